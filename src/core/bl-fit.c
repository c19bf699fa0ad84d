/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Is there any sober explanation? At most two own events, of different components, with whatever
 * they may provoke and show, must make every reading's class possible and agree with every part test
 * and symptom. Where nothing does, the smallest sets of readings that would have to go are listed:
 * those are the readings to take again.
 *
 * Each single event, in each way it can go on (bl-fit-ways.c), is a "case", with a byte per reading
 * (bl-fit-play.c). For two cases the larger byte stands, as long as no gate that counts hears of both;
 * those pairs are played through. Links and shows are no such gates: what two events together make
 * present is what one of them makes present. Cases with the same bytes are one, so some hundred cases
 * and ten thousand pairs remain of a board of some hundred modes. An event that can go on in too many
 * ways is left out; then an explanation that is found stands, but that there is none cannot be said. */
#include "config.h"

#include "bl-fit-private.h"

#include <string.h>

/* --- what is found --- */

static guint
violations (const BlFit *fit, const guint8 *bytes)
{
  guint n = 0;
  for (guint p = 0; p < fit->n_places; p++)
    n += bytes[p] & 1;
  return n;
}

static void
consider (BlFit *fit, const guint8 *bytes)
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
count_fixes (const BlFit *fit, const guint8 *bytes)
{
  guint n = 0;
  for (guint p = 0; p < fit->n_places; p++)
    n += (fit->none->bytes[p] & 1) && !(bytes[p] & 1);
  return n;
}

/* A case that no knot hears of: one of several with the same bytes is enough. */
static void
keep_plain (BlFit *fit, BlFitCase *self)
{
  g_autoptr (GBytes) key = g_bytes_new (self->bytes, fit->stride);
  BlFitCase *same = g_hash_table_lookup (fit->known, key);
  if (same != NULL || memcmp (self->bytes, fit->none->bytes, fit->stride) == 0)
    {
      if (same != NULL && same->part != self->part)
        same->part = BL_FIT_MANY;
      bl_fit_case_free (self);
      return;
    }
  g_hash_table_insert (fit->known, g_bytes_ref (key), self);
  g_ptr_array_add (fit->cases, self);
}

static void
add_case (BlFit *fit, int part, guint own, BlFitWay *way)
{
  BlFitCase *self = g_new0 (BlFitCase, 1);
  gboolean knotted = FALSE;
  self->part = part;
  self->bytes = g_memdup2 (way->bytes, fit->stride);
  self->meets = g_steal_pointer (&way->meets);
  self->n_roots = way->roots->len + 1;
  self->roots = g_new (guint, self->n_roots);
  self->roots[0] = own;
  for (guint i = 0; i < way->roots->len; i++)
    self->roots[i + 1] = g_array_index (way->roots, guint, i);
  if (self->meets == NULL)
    {
      self->meets = g_new0 (guint64, fit->knot_words + 1);
      bl_fit_play (fit, self->roots, self->n_roots, self->meets);
      bl_fit_rewind (fit);
    }
  for (guint w = 0; w < fit->knot_words; w++)
    knotted |= self->meets[w] != 0;
  self->fixes = count_fixes (fit, self->bytes);
  consider (fit, self->bytes);
  if (knotted)
    g_ptr_array_add (fit->knotted, self);
  else
    keep_plain (fit, self);
}

static gboolean
add_event (BlFit *fit, guint mode, guint version, GError **error)
{
  g_autoptr (GError) problem = NULL;
  guint own;
  g_autoptr (GPtrArray) ways = bl_fit_ways (fit, mode, version, &own, &problem);
  if (problem != NULL)
    return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
  fit->left_out |= ways == NULL;
  for (guint i = 0; i < bl_len (ways); i++)
    add_case (fit, (int) bl_cause_mode (fit->engine->causes, mode)->part, own, bl_at (ways, i));
  return TRUE;
}

/* --- pairs --- */

static guint
pair_violations (const guint8 *a, const guint8 *b, guint stride)
{
  guint8 sum[BL_FIT_CHUNK] = { 0 };
  guint n = 0;
  for (guint at = 0; at < stride; at += BL_FIT_CHUNK)
    for (guint i = 0; i < BL_FIT_CHUNK; i++)
      sum[i] = (guint8) (sum[i] + ((a[at + i] > b[at + i] ? a[at + i] : b[at + i]) & 1));
  for (guint i = 0; i < BL_FIT_CHUNK; i++)
    n += sum[i];
  return n;
}

static void
consider_larger (BlFit *fit, const BlFitCase *a, const BlFitCase *b)
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
  const BlFitCase *x = *(BlFitCase *const *) a, *y = *(BlFitCase *const *) b;
  return x->fixes > y->fixes ? -1 : x->fixes < y->fixes;
}

static gboolean
of_different_parts (const BlFitCase *a, const BlFitCase *b)
{
  return a->part == BL_FIT_MANY || b->part == BL_FIT_MANY || a->part != b->part;
}

/* Pairs of cases that meet no common knot: together they mend at most what each mends alone. */
static void
plain_pairs (BlFit *fit, const GPtrArray *first, const GPtrArray *second)
{
  guint to_fix = violations (fit, fit->none->bytes);
  for (guint i = 0; i < first->len && fit->best > 0; i++)
    {
      const BlFitCase *a = bl_at (first, i);
      for (guint j = first == second ? i + 1 : 0; j < second->len; j++)
        {
          const BlFitCase *b = bl_at (second, j);
          if (a->fixes + b->fixes + (guint64) fit->best < to_fix)
            break;
          if (of_different_parts (a, b))
            consider_larger (fit, a, b);
        }
    }
}

/* A lower bound: violations at places that no common knot can change. */
static gboolean
hopeless (const BlFit *fit, const BlFitCase *a, const BlFitCase *b, gboolean *common)
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
knotted_pairs (BlFit *fit, GError **error)
{
  g_autofree guint8 *bytes = g_new (guint8, fit->stride);
  for (guint i = 0; i < fit->knotted->len && fit->best > 0; i++)
    for (guint j = i + 1; j < fit->knotted->len; j++)
      {
        const BlFitCase *a = bl_at (fit->knotted, i), *b = bl_at (fit->knotted, j);
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
        bl_fit_play (fit, a->roots, a->n_roots, NULL);
        bl_fit_play (fit, b->roots, b->n_roots, NULL);
        bl_fit_read (fit, bytes);
        bl_fit_rewind (fit);
        /* What either does that no knot hears of was not played. */
        for (guint p = 0; p < fit->stride; p++)
          bytes[p] = MAX (bytes[p], MAX (a->bytes[p], b->bytes[p]));
        consider (fit, bytes);
      }
  return TRUE;
}

static gboolean
search (BlFit *fit, GError **error)
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
is_violated (BlFit *fit, const guint8 *violated, const BlJudged *judged)
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
quarrel_set (BlFit *fit, const BlDiagnosis *diagnosis, GBytes *key)
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
  BlFit fit;
  bl_fit_init (&fit, engine);
  gboolean ok = search (&fit, error);
  g_autoptr (GPtrArray) keys = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer key;
  diagnosis->fitted = ok && (fit.best == 0 || !fit.left_out);
  diagnosis->explained = fit.best == 0;
  diagnosis->quarrel = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  g_hash_table_iter_init (&iter, fit.quarrel);
  while (diagnosis->fitted && fit.best > 0 && g_hash_table_iter_next (&iter, &key, NULL))
    g_ptr_array_add (keys, key);
  g_ptr_array_sort (keys, compare_sets);
  for (guint i = 0; i < keys->len; i++)
    g_ptr_array_add (diagnosis->quarrel, quarrel_set (&fit, diagnosis, bl_at (keys, i)));
  bl_fit_clear (&fit);
  return ok;
}
