/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Is there any sober explanation? At most two own events, of different components, with whatever
 * they may provoke and show, must make every reading's class possible and agree with every part test
 * and symptom. Where nothing does, the smallest sets of readings that would have to go are listed:
 * those are the readings to take again.
 *
 * Each single event, with each choice of links and shows it meets, is a "case" and is played through
 * the network once. What it does to a reading is one byte: the class that shows in order of
 * precedence, times two, plus one when the reading speaks against it. For two cases the larger byte
 * stands, as long as no gate that is more than an or hears of both; those pairs are played through.
 * Cases with the same bytes are one, so some hundred cases and ten thousand pairs remain of a board
 * of some hundred modes. */
#include "config.h"

#include "bl-engine-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

enum
{
  CHUNK = 16,        /* bytes compared at once */
  MAX_CHOICES = 16,  /* links and shows of one event: 2^16 cases */
  MANY = -1          /* of more than one component */
};

typedef struct
{
  int part;        /* component, or MANY */
  guint fixes;     /* places where no event at all fails and this doesn't */
  guint n_roots;
  guint *roots;    /* true in this case */
  guint8 *bytes;   /* of each place */
  guint64 *meets;  /* bit set of the gates that are more than an or and that hear of it */
} Case;

typedef struct
{
  BlEngine *engine;
  BlJobCircuit *compiled;
  BlNetwork *network;
  guint n_places, n_hard, stride; /* places: first part tests and symptoms, then readings */
  guint *place_node;
  guint8 (*bytes)[256];           /* [place][value of its node] */
  guint *value, *plain;           /* of each node: now, and with no event */
  guint64 *dirty;                 /* bit set of nodes to compute */
  guint n_words;
  guint *changed, n_changed;
  guint n_knots;                  /* gates that are more than an or */
  guint *knot_of;                 /* per node its number, or G_MAXUINT */
  guint8 **downstream;            /* per knot: 0 for the places it can change, 0xff for others */
  guint knot_words;
  GPtrArray *cases, *knotted;     /* without and with knots they meet */
  GHashTable *known;              /* cases without knots by their bytes */
  Case *none;
  guint best;
  GHashTable *quarrel;            /* GBytes of violated places */
} Fit;

static void
case_free (Case *self)
{
  if (self == NULL)
    return;
  g_free (self->roots);
  g_free (self->bytes);
  g_free (self->meets);
  g_free (self);
}

/* --- playing events through the network --- */

static guint
compute (const Fit *fit, guint index)
{
  const BlNetNode *node = bl_net_node (fit->network, index);
  guint64 state = 0;
  for (guint i = 0; i < node->in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, i);
      state = bl_net_join (node, state, edge->add[fit->value[edge->from]]);
    }
  return bl_net_close (node, state);
}

static void
change (Fit *fit, guint node, guint value)
{
  const GArray *out = bl_net_node (fit->network, node)->out;
  if (fit->value[node] == value)
    return;
  fit->value[node] = value;
  fit->changed[fit->n_changed++] = node;
  for (guint i = 0; i < out->len; i++)
    {
      guint to = g_array_index (out, guint, i);
      fit->dirty[to / 64] |= G_GUINT64_CONSTANT (1) << (to % 64);
    }
}

/* Sets the roots true and lets it go through; notes the knots met in meets (may be NULL). */
static void
play (Fit *fit, const guint *roots, guint n, guint64 *meets)
{
  for (guint i = 0; i < n; i++)
    change (fit, roots[i], 1);
  for (guint w = 0; w < fit->n_words; w++)
    while (fit->dirty[w] != 0)
      {
        guint node = w * 64 + (guint) __builtin_ctzll (fit->dirty[w]);
        fit->dirty[w] &= fit->dirty[w] - 1;
        guint knot = fit->knot_of[node];
        if (meets != NULL && knot != G_MAXUINT)
          meets[knot / 64] |= G_GUINT64_CONSTANT (1) << (knot % 64);
        change (fit, node, compute (fit, node));
      }
}

static void
read_places (const Fit *fit, guint8 *bytes)
{
  memset (bytes, 0, fit->stride);
  for (guint p = 0; p < fit->n_places; p++)
    bytes[p] = fit->bytes[p][fit->value[fit->place_node[p]]];
}

static void
rewind_play (Fit *fit)
{
  while (fit->n_changed > 0)
    {
      guint node = fit->changed[--fit->n_changed];
      fit->value[node] = fit->plain[node];
    }
}

/* --- what is found --- */

static guint
violations (const Fit *fit, const guint8 *bytes)
{
  guint n = 0;
  for (guint p = 0; p < fit->n_places; p++)
    n += bytes[p] & 1;
  return n;
}

static void
consider (Fit *fit, const guint8 *bytes)
{
  guint n = violations (fit, bytes);
  for (guint p = 0; p < fit->n_hard; p++)
    if (bytes[p] & 1)
      return;
  if (n > fit->best)
    return;
  if (n < fit->best)
    g_hash_table_remove_all (fit->quarrel);
  fit->best = n;
  g_autofree guint8 *violated = g_new0 (guint8, fit->stride);
  for (guint p = 0; p < fit->n_places; p++)
    violated[p] = bytes[p] & 1;
  g_hash_table_add (fit->quarrel, g_bytes_new (violated, fit->stride));
}

/* --- cases --- */

static guint
count_fixes (const Fit *fit, const guint8 *bytes)
{
  guint n = 0;
  for (guint p = 0; p < fit->n_places; p++)
    n += (fit->none->bytes[p] & 1) && !(bytes[p] & 1);
  return n;
}

static void
add_case (Fit *fit, int part, const guint *roots, guint n)
{
  Case *self = g_new0 (Case, 1), *same;
  gboolean knotted = FALSE;
  self->part = part;
  self->bytes = g_new (guint8, fit->stride);
  self->meets = g_new0 (guint64, fit->knot_words + 1);
  play (fit, roots, n, self->meets);
  read_places (fit, self->bytes);
  rewind_play (fit);
  for (guint w = 0; w < fit->knot_words; w++)
    knotted |= self->meets[w] != 0;
  self->fixes = count_fixes (fit, self->bytes);
  consider (fit, self->bytes);
  if (knotted)
    {
      self->n_roots = n;
      self->roots = g_memdup2 (roots, n * sizeof *roots);
      g_ptr_array_add (fit->knotted, self);
      return;
    }
  g_autoptr (GBytes) key = g_bytes_new (self->bytes, fit->stride);
  same = g_hash_table_lookup (fit->known, key);
  if (same != NULL || memcmp (self->bytes, fit->none->bytes, fit->stride) == 0)
    {
      if (same != NULL && same->part != part)
        same->part = MANY;
      case_free (self);
      return;
    }
  self->n_roots = n;
  self->roots = g_memdup2 (roots, n * sizeof *roots);
  g_hash_table_insert (fit->known, g_bytes_ref (key), self);
  g_ptr_array_add (fit->cases, self);
}

static void
add_choice (GArray *choices, guint root)
{
  for (guint i = 0; i < choices->len; i++)
    if (g_array_index (choices, guint, i) == root)
      return;
  if (root != BL_NET_NONE)
    g_array_append_val (choices, root);
}

/* Links and shows that an own event of a mode can meet in a round, mode by mode it may provoke. */
static void
collect_choices (Fit *fit, guint mode, guint round, GArray *choices)
{
  const BlCauses *causes = fit->engine->causes;
  const BlRounds *rounds = &fit->compiled->rounds;
  g_autoptr (GArray) reached = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (reached, mode);
  for (guint i = 0; i < reached->len; i++)
    {
      guint m = g_array_index (reached, guint, i);
      const BlCauseMode *self = bl_cause_mode (causes, m);
      add_choice (choices, bl_network_find_root (fit->network, BL_ROOT_SHOW, m, round, 0, 0));
      for (guint l = 0; l < self->links->len; l++)
        {
          guint to = g_array_index (self->links, BlCauseLink, l).mode, j = 0;
          guint to_part = bl_cause_mode (causes, to)->part;
          add_choice (choices, bl_network_find_root (fit->network, BL_ROOT_LINK, m, l,
                                                     bl_rounds_version (rounds, round, self->part),
                                                     bl_rounds_version (rounds, round, to_part)));
          while (j < reached->len && g_array_index (reached, guint, j) != to)
            j++;
          if (j == reached->len)
            g_array_append_val (reached, to);
        }
    }
}

static gboolean
add_event (Fit *fit, guint mode, guint version, GError **error)
{
  const BlCauseMode *self = bl_cause_mode (fit->engine->causes, mode);
  guint own = bl_network_find_root (fit->network, BL_ROOT_OWN, mode, version, 0, 0);
  g_autoptr (GArray) choices = g_array_new (FALSE, FALSE, sizeof (guint));
  if (own == BL_NET_NONE)
    return TRUE;
  for (guint r = 0; r < fit->compiled->rounds.n; r++)
    if (bl_rounds_version (&fit->compiled->rounds, r, self->part) == version)
      collect_choices (fit, mode, r, choices);
  if (choices->len > MAX_CHOICES)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD,
                        _("“%s” may provoke and show too much to try every way"), self->name), FALSE;
  g_autofree guint *roots = g_new (guint, choices->len + 1);
  for (guint subset = 0; subset < 1u << choices->len; subset++)
    {
      guint n = 0;
      roots[n++] = own;
      for (guint i = 0; i < choices->len; i++)
        if (subset >> i & 1)
          roots[n++] = g_array_index (choices, guint, i);
      add_case (fit, (int) self->part, roots, n);
    }
  return TRUE;
}

/* --- pairs --- */

static guint
pair_violations (const guint8 *a, const guint8 *b, guint stride)
{
  guint8 sum[CHUNK] = { 0 };
  guint n = 0;
  for (guint at = 0; at < stride; at += CHUNK)
    for (guint i = 0; i < CHUNK; i++)
      sum[i] = (guint8) (sum[i] + ((a[at + i] > b[at + i] ? a[at + i] : b[at + i]) & 1));
  for (guint i = 0; i < CHUNK; i++)
    n += sum[i];
  return n;
}

static void
consider_larger (Fit *fit, const Case *a, const Case *b)
{
  g_autofree guint8 *bytes = NULL;
  if (pair_violations (a->bytes, b->bytes, fit->stride) > fit->best)
    return;
  bytes = g_new (guint8, fit->stride);
  for (guint i = 0; i < fit->stride; i++)
    bytes[i] = MAX (a->bytes[i], b->bytes[i]);
  consider (fit, bytes);
}

static int
compare_cases (gconstpointer a, gconstpointer b)
{
  const Case *x = *(Case *const *) a, *y = *(Case *const *) b;
  return x->fixes > y->fixes ? -1 : x->fixes < y->fixes;
}

static gboolean
of_different_parts (const Case *a, const Case *b)
{
  return a->part == MANY || b->part == MANY || a->part != b->part;
}

/* Pairs of cases that meet no common knot: together they mend at most what each mends alone. */
static void
plain_pairs (Fit *fit, const GPtrArray *first, const GPtrArray *second)
{
  guint to_fix = violations (fit, fit->none->bytes);
  for (guint i = 0; i < first->len && fit->best > 0; i++)
    {
      const Case *a = bl_at (first, i);
      for (guint j = first == second ? i + 1 : 0; j < second->len; j++)
        {
          const Case *b = bl_at (second, j);
          if (a->fixes + b->fixes + (guint64) fit->best < to_fix)
            break;
          if (of_different_parts (a, b))
            consider_larger (fit, a, b);
        }
    }
}

/* A lower bound: violations at places that no common knot can change. */
static gboolean
hopeless (const Fit *fit, const Case *a, const Case *b, gboolean *common)
{
  g_autofree guint8 *fixed = g_malloc (fit->stride);
  guint n = 0;
  *common = FALSE;
  memset (fixed, 0xff, fit->stride);
  for (guint w = 0; w < fit->knot_words; w++)
    for (guint64 both = a->meets[w] & b->meets[w]; both != 0; both &= both - 1)
      {
        const guint8 *mask = fit->downstream[w * 64 + (guint) __builtin_ctzll (both)];
        *common = TRUE;
        for (guint i = 0; i < fit->stride; i++)
          fixed[i] &= mask[i];
      }
  for (guint i = 0; i < fit->stride; i++)
    n += MAX (a->bytes[i], b->bytes[i]) & fixed[i] & 1;
  return n > fit->best;
}

static gboolean
knotted_pairs (Fit *fit, GError **error)
{
  g_autofree guint8 *bytes = g_new (guint8, fit->stride);
  for (guint i = 0; i < fit->knotted->len && fit->best > 0; i++)
    for (guint j = i + 1; j < fit->knotted->len; j++)
      {
        const Case *a = bl_at (fit->knotted, i), *b = bl_at (fit->knotted, j);
        gboolean common;
        if (!of_different_parts (a, b) || hopeless (fit, a, b, &common))
          continue;
        if (!common)
          {
            consider_larger (fit, a, b);
            continue;
          }
        if (bl_engine_cancelled (fit->engine, error))
          return FALSE;
        play (fit, a->roots, a->n_roots, NULL);
        play (fit, b->roots, b->n_roots, NULL);
        read_places (fit, bytes);
        rewind_play (fit);
        consider (fit, bytes);
      }
  return TRUE;
}

/* --- places --- */

static void
said_place (Fit *fit, guint place, const BlSaid *said)
{
  fit->place_node[place] = said->node;
  for (guint v = 0; v < 256; v++)
    fit->bytes[place][v] = (guint8) (2 * (v != 0) + ((v != 0) != said->wants));
}

/* A reading speaks against a class of which less than one in twenty is likely. */
static void
reading_place (Fit *fit, guint place, const BlSlot *slot)
{
  const BlCauseMeasure *measure = bl_cause_measure (fit->engine->causes, slot->measure);
  const BlVerdict *verdict = slot->judged->verdict;
  guint order = 0;
  fit->place_node[place] = slot->node;
  for (guint code = 0; code < BL_CAUSE_WRONG; code++)
    {
      guint class_index = measure->class_of[code];
      double w = 0;
      if (code > 0 && class_index == measure->good)
        continue;
      for (guint j = 0; j < verdict->n; j++)
        if (strcmp (verdict->classes[j], measure->classes[class_index]) == 0)
          w += verdict->weights[j];
      fit->bytes[place][code] = (guint8) (2 * MIN (order, 127) + !(w >= .05));
      order++;
    }
}

static void
make_places (Fit *fit)
{
  BlJobCircuit *compiled = fit->compiled;
  guint max = compiled->said->len + compiled->slots->len;
  fit->n_hard = compiled->said->len;
  fit->place_node = g_new0 (guint, max + 1);
  fit->bytes = g_malloc0_n (max + 1, sizeof *fit->bytes);
  for (guint i = 0; i < fit->n_hard; i++)
    said_place (fit, fit->n_places++, &g_array_index (compiled->said, BlSaid, i));
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL)
      reading_place (fit, fit->n_places++, bl_slot (compiled, i));
  fit->stride = (fit->n_places / CHUNK + 1) * CHUNK;
}

/* The places each knot can change, found from the places back. */
static void
make_knots (Fit *fit)
{
  guint n = fit->network->nodes->len;
  GPtrArray *masks = g_ptr_array_new_with_free_func (g_free);
  fit->knot_of = g_new (guint, n + 1);
  for (guint i = 0; i < n; i++)
    {
      BlNetKind kind = bl_net_node (fit->network, i)->kind;
      gboolean knot = kind == BL_NET_AND || kind == BL_NET_COUNT;
      fit->knot_of[i] = knot ? fit->n_knots++ : G_MAXUINT;
      guint8 *mask = g_malloc (fit->stride);
      memset (mask, 0xff, fit->stride);
      g_ptr_array_add (masks, mask);
    }
  fit->knot_words = (fit->n_knots + 63) / 64;
  fit->downstream = g_new0 (guint8 *, fit->n_knots + 1);
  for (guint p = 0; p < fit->n_places; p++)
    ((guint8 *) bl_at (masks, fit->place_node[p]))[p] = 0;
  for (guint i = n; fit->n_knots > 0 && i-- > 0;)
    {
      guint8 *mask = bl_at (masks, i);
      const GArray *out = bl_net_node (fit->network, i)->out;
      for (guint o = 0; o < out->len; o++)
        {
          const guint8 *from = bl_at (masks, g_array_index (out, guint, o));
          for (guint b = 0; b < fit->stride; b++)
            mask[b] &= from[b];
        }
      if (fit->knot_of[i] != G_MAXUINT)
        fit->downstream[fit->knot_of[i]] = g_memdup2 (mask, fit->stride);
    }
  g_ptr_array_unref (masks);
}

static void
make_plain (Fit *fit)
{
  guint n = fit->network->nodes->len;
  fit->value = g_new0 (guint, n + 1);
  fit->plain = g_new0 (guint, n + 1);
  fit->changed = g_new0 (guint, 2 * n + 1); /* two cases may be played after each other */
  fit->n_words = (n + 63) / 64;
  fit->dirty = g_new0 (guint64, fit->n_words + 1);
  for (guint i = 0; i < n; i++)
    if (bl_net_node (fit->network, i)->kind != BL_NET_ROOT)
      fit->value[i] = compute (fit, i);
  memcpy (fit->plain, fit->value, n * sizeof *fit->plain);
  fit->none = g_new0 (Case, 1);
  fit->none->bytes = g_new (guint8, fit->stride);
  read_places (fit, fit->none->bytes);
}

static void
fit_init (Fit *fit, BlEngine *engine)
{
  *fit = (Fit){ .engine = engine, .compiled = engine->compiled,
                .network = engine->compiled->network, .best = G_MAXINT };
  fit->cases = g_ptr_array_new_with_free_func ((GDestroyNotify) case_free);
  fit->knotted = g_ptr_array_new_with_free_func ((GDestroyNotify) case_free);
  fit->known = g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref,
                                      NULL);
  fit->quarrel = g_hash_table_new_full (g_bytes_hash, g_bytes_equal,
                                        (GDestroyNotify) g_bytes_unref, NULL);
  make_places (fit);
  make_knots (fit);
  make_plain (fit);
}

static void
fit_clear (Fit *fit)
{
  g_ptr_array_unref (fit->cases);
  g_ptr_array_unref (fit->knotted);
  g_hash_table_unref (fit->known);
  g_hash_table_unref (fit->quarrel);
  case_free (fit->none);
  for (guint i = 0; i < fit->n_knots; i++)
    g_free (fit->downstream[i]);
  g_free (fit->downstream);
  g_free (fit->knot_of);
  g_free (fit->place_node);
  g_free (fit->bytes);
  g_free (fit->value);
  g_free (fit->plain);
  g_free (fit->changed);
  g_free (fit->dirty);
}

static gboolean
search (Fit *fit, GError **error)
{
  const BlCauses *causes = fit->engine->causes;
  guint last = fit->compiled->rounds.n - 1;
  consider (fit, fit->none->bytes);
  for (guint m = 0; m < causes->modes->len && fit->best > 0; m++)
    for (guint v = 0; v <= bl_rounds_version (&fit->compiled->rounds, last,
                                              bl_cause_mode (causes, m)->part); v++)
      if (bl_engine_cancelled (fit->engine, error) || !add_event (fit, m, v, error))
        return FALSE;
  g_ptr_array_sort (fit->cases, compare_cases);
  g_ptr_array_sort (fit->knotted, compare_cases);
  plain_pairs (fit, fit->cases, fit->cases);
  plain_pairs (fit, fit->cases, fit->knotted);
  return knotted_pairs (fit, error);
}

/* --- the answer --- */

static void
reading_ref_free (BlReadingRef *ref)
{
  g_free (ref->measurement);
  g_free (ref);
}

static gboolean
is_violated (Fit *fit, const guint8 *violated, const BlJudged *judged)
{
  guint place = fit->n_hard;
  for (guint i = 0; i < fit->compiled->slots->len; i++)
    {
      const BlSlot *slot = bl_slot (fit->compiled, i);
      if (slot->judged == judged)
        return violated[place];
      place += slot->judged != NULL;
    }
  return FALSE;
}

static GPtrArray *
quarrel_set (Fit *fit, const BlDiagnosis *diagnosis, GBytes *key)
{
  const guint8 *violated = g_bytes_get_data (key, NULL);
  GPtrArray *set = g_ptr_array_new_with_free_func ((GDestroyNotify) reading_ref_free);
  for (guint i = 0; i < diagnosis->readings->len; i++)
    {
      const BlJudged *judged = bl_at (diagnosis->readings, i);
      if (!is_violated (fit, violated, judged))
        continue;
      BlReadingRef *ref = g_new0 (BlReadingRef, 1);
      ref->measurement = g_strdup (judged->measurement->id);
      ref->round = judged->round;
      g_ptr_array_add (set, ref);
    }
  return set;
}

static int
compare_sets (gconstpointer a, gconstpointer b)
{
  return g_bytes_compare (*(gconstpointer *) b, *(gconstpointer *) a);
}

gboolean
bl_fit (BlEngine *engine, BlDiagnosis *diagnosis, GError **error)
{
  Fit fit;
  fit_init (&fit, engine);
  gboolean ok = search (&fit, error);
  g_autoptr (GPtrArray) keys = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer key;
  diagnosis->fitted = ok;
  diagnosis->explained = fit.best == 0;
  diagnosis->quarrel = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  g_hash_table_iter_init (&iter, fit.quarrel);
  while (fit.best > 0 && g_hash_table_iter_next (&iter, &key, NULL))
    g_ptr_array_add (keys, key);
  g_ptr_array_sort (keys, compare_sets);
  for (guint i = 0; i < keys->len; i++)
    g_ptr_array_add (diagnosis->quarrel, quarrel_set (&fit, diagnosis, bl_at (keys, i)));
  fit_clear (&fit);
  return ok;
}
