/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The complete hypotheses that hold most of the probability: single own events, then pairs and triples
 * grown from the likeliest, each with the links it fires and the shows it has. What happens then is
 * played through the network of the job, which gives the likelihood of everything read, and through a
 * second one of the measurements not read yet. The joint probability of a hypothesis and the evidence
 * is exact (as long as no more than MOST_STATES states were read in a round), and the diagnosis knows
 * that of the evidence: so shares are exact, and what is left out is known. Some hundred events, some
 * thousand hypotheses; a play touches some dozen nodes. One file: growing, playing and weighing a
 * hypothesis share its struct. */
#include "config.h"

#include "bl-plan-hypotheses.h"
#include "bl-net-play.h"

#include <math.h>
#include <string.h>

enum
{
  MOST_EVENTS = 3,   /* of a hypothesis */
  MOST_CHOICES = 5,  /* links and shows of a hypothesis taken both ways */
  MOST_PARENTS = 40, /* hypotheses grown at each step */
  MOST_GROWN = 2500, /* that come out of it */
  LEADING = 16,      /* events by their own probability, paired with each other */
  MOST_KEPT = 300,
  MOST_STATES = 5    /* of a round whose setups are taken wrong in every combination */
};

#define NEGLIGIBLE 1e-7
#define ENOUGH_COVERED 0.99

/* A root by what it stands for, since the two networks number it differently. */
typedef struct
{
  BlRootKind kind;
  guint a, b, c, d;
  double p;
} Event;

typedef struct
{
  guint n, event[MOST_EVENTS]; /* rising */
  double share;
} Guess;

typedef struct
{
  BlEngine *engine;
  BlJobCircuit *compiled;
  const BlCauses *causes;
  const BlDiagnosis *diagnosis;
  const GArray *unread;
  guint *node;           /* in the second network, of each unread measurement */
  BlNetPlay now, ahead;
  GArray *events;        /* Event: own events of every version, then elsewhere */
  double log_none;       /* log of the chance of no event, over that of the evidence */
  GArray *choices;       /* Event, of the hypothesis at hand */
  GHashTable *tried;     /* gint64 of guesses */
  GHashTable *rows;      /* GBytes (group, also, codes) -> double * */
  double covered;
  double *marginal;      /* of each part: its probability */
  int *leads;            /* scratch: as many as there are slots */
} Gather;

static void
fire (BlNetPlay *play, const Event *event)
{
  guint root = bl_network_find_root (play->network, event->kind, event->a, event->b, event->c, event->d);
  if (root != BL_NET_NONE)
    bl_net_play_fire (play, root);
}

static double
root_chance (Gather *gather, const Event *event)
{
  BlNetwork *networks[] = { gather->now.network, gather->ahead.network };
  for (guint i = 0; i < 2; i++)
    {
      guint root = bl_network_find_root (networks[i], event->kind, event->a, event->b, event->c, event->d);
      if (root != BL_NET_NONE)
        return bl_net_node (networks[i], root)->p;
    }
  return 0;
}

static void
list_events (Gather *gather)
{
  const BlRounds *rounds = &gather->compiled->rounds;
  gather->log_none = -gather->diagnosis->log_evidence;
  for (guint m = 0; m <= gather->causes->modes->len; m++)
    {
      gboolean own = m < gather->causes->modes->len;
      guint last = own ? bl_rounds_version (rounds, rounds->n - 1, bl_cause_mode (gather->causes, m)->part) : 0;
      for (guint v = 0; v <= last; v++)
        {
          Event event = { own ? BL_ROOT_OWN : BL_ROOT_ELSEWHERE, own ? m : 0, v, 0, 0, 0 };
          event.p = MIN (root_chance (gather, &event), 1 - 1e-12);
          if (!(event.p > 0))
            continue;
          gather->log_none += log1p (-event.p);
          g_array_append_val (gather->events, event);
        }
    }
}

/* --- likelihood --- */

/* Of the readings of a round that depend on a lead (-1: on none) with some states wrong. */
static double
readings_of (const Gather *gather, guint round, int lead, const int *states, guint n_states, guint wrong,
             gboolean lead_wrong)
{
  const BlJobCircuit *compiled = gather->compiled;
  double product = 1;
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      const BlSlot *slot = bl_slot (compiled, i);
      gboolean is_wrong = lead_wrong;
      if (slot->judged == NULL || slot->round != round || slot->black != lead)
        continue;
      const BlCauseMeasure *measure = bl_cause_measure (gather->causes, slot->measure);
      for (guint s = 0; s < n_states; s++)
        is_wrong |= states[s] == slot->state && (wrong >> s & 1);
      guint code = gather->now.value[slot->node];
      product *= slot->weights[is_wrong || code == BL_CAUSE_WRONG ? measure->n : measure->class_of[code]];
    }
  return product;
}

static guint
add_once (int *list, guint n, guint most, int value)
{
  for (guint i = 0; i < n; i++)
    if (list[i] == value)
      return n;
  if (value < 0 || n == most)
    return n;
  list[n] = value;
  return n + 1;
}

/* Sums over which leads and states were wrong; given the states the leads are independent. */
static double
round_likelihood (const Gather *gather, guint round)
{
  const BlJobCircuit *compiled = gather->compiled;
  double s = gather->causes->odds.setup, sum = 0;
  int states[MOST_STATES];
  guint n_states = 0, n_leads = 0;
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL && bl_slot (compiled, i)->round == round)
      {
        n_states = add_once (states, n_states, MOST_STATES, bl_slot (compiled, i)->state);
        n_leads = add_once (gather->leads, n_leads, compiled->slots->len, bl_slot (compiled, i)->black);
      }
  for (guint wrong = 0; wrong < (s > 0 ? 1u << n_states : 1u); wrong++)
    {
      double product = readings_of (gather, round, -1, states, n_states, wrong, FALSE);
      for (guint b = 0; b < n_states; b++)
        product *= wrong >> b & 1 ? s : 1 - s;
      for (guint l = 0; l < n_leads; l++)
        product *= (1 - s) * readings_of (gather, round, gather->leads[l], states, n_states, wrong, FALSE)
                   + (s > 0 ? s * readings_of (gather, round, gather->leads[l], states, n_states, wrong, TRUE) : 0);
      sum += product;
    }
  return sum;
}

static double
log_likelihood (const Gather *gather)
{
  const BlJobCircuit *compiled = gather->compiled;
  double sum = 0;
  for (guint i = 0; i < compiled->said->len; i++)
    {
      const BlSaid *said = &g_array_index (compiled->said, BlSaid, i);
      sum += log (said->weight[gather->now.value[said->node] != 0]);
    }
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL)
      sum += bl_slot (compiled, i)->log_scale;
  for (guint r = 0; r < compiled->rounds.n && sum > -INFINITY; r++)
    sum += log (round_likelihood (gather, r));
  return sum;
}

/* --- one hypothesis --- */

static void
add_choice (Gather *gather, Event event)
{
  for (guint i = 0; i < gather->choices->len; i++)
    {
      const Event *other = &g_array_index (gather->choices, Event, i);
      if (other->kind == event.kind && other->a == event.a && other->b == event.b && other->c == event.c
          && other->d == event.d)
        return;
    }
  event.p = root_chance (gather, &event);
  if (event.p > 0)
    g_array_append_val (gather->choices, event);
}

/* Links and shows that an own event can meet in a round. */
static void
collect_choices (Gather *gather, guint mode, guint round)
{
  const BlRounds *rounds = &gather->compiled->rounds;
  g_autoptr (GArray) reached = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (reached, mode);
  for (guint i = 0; i < reached->len; i++)
    {
      guint m = g_array_index (reached, guint, i);
      const BlCauseMode *self = bl_cause_mode (gather->causes, m);
      add_choice (gather, (Event){ BL_ROOT_SHOW, m, round, 0, 0, 0 });
      for (guint l = 0; l < self->links->len; l++)
        {
          guint to = g_array_index (self->links, BlCauseLink, l).mode, j = 0;
          add_choice (gather,
                      (Event){ BL_ROOT_LINK, m, l, bl_rounds_version (rounds, round, self->part),
                               bl_rounds_version (rounds, round, bl_cause_mode (gather->causes, to)->part), 0 });
          while (j < reached->len && g_array_index (reached, guint, j) != to)
            j++;
          if (j == reached->len)
            g_array_append_val (reached, to);
        }
    }
}

/* Where the fault of a guess is now: parts with an own event that were not replaced since. */
static void
name_groups (const Gather *gather, const Guess *guess, int *group, int *also)
{
  const BlRounds *rounds = &gather->compiled->rounds;
  int elsewhere = -1;
  *group = *also = -1;
  for (guint i = 0; i < guess->n; i++)
    {
      const Event *event = &g_array_index (gather->events, Event, guess->event[i]);
      if (event->kind == BL_ROOT_ELSEWHERE)
        {
          elsewhere = (int) gather->causes->parts->len;
          continue;
        }
      int part = (int) bl_cause_mode (gather->causes, event->a)->part;
      if (bl_rounds_version (rounds, rounds->n - 1, (guint) part) != event->b || part == *group)
        continue;
      if (*group < 0 || gather->marginal[part] > gather->marginal[*group])
        {
          *also = *group;
          *group = part;
        }
      else if (*also < 0)
        *also = part;
    }
  if (*group < 0)
    *group = elsewhere >= 0 ? elsewhere : (int) gather->causes->parts->len + 1;
  else if (*also < 0)
    *also = elsewhere;
}

static void
keep_row (Gather *gather, const Guess *guess, double share)
{
  guint n = gather->unread->len;
  gsize size = 2 * sizeof (int) + n;
  guint8 *data = g_malloc0 (size);
  int groups[2];
  name_groups (gather, guess, &groups[0], &groups[1]);
  memcpy (data, groups, sizeof groups);
  for (guint i = 0; i < n; i++)
    data[sizeof groups + i] = (guint8) gather->ahead.value[gather->node[i]];
  g_autoptr (GBytes) key = g_bytes_new_take (data, size);
  double *sum = g_hash_table_lookup (gather->rows, key);
  if (sum == NULL)
    {
      sum = g_new0 (double, 1);
      g_hash_table_insert (gather->rows, g_bytes_ref (key), sum);
    }
  *sum += share;
}

static void
fire_all (Gather *gather, BlNetPlay *play, const Guess *guess, guint subset)
{
  for (guint i = 0; i < guess->n; i++)
    fire (play, &g_array_index (gather->events, Event, guess->event[i]));
  for (guint i = 0; i < gather->choices->len; i++)
    {
      const Event *choice = &g_array_index (gather->choices, Event, i);
      if (i < MOST_CHOICES ? subset >> i & 1 : choice->p > .5)
        fire (play, choice);
    }
  bl_net_play_run (play, NULL, NULL);
}

static double
choice_chance (const Gather *gather, guint subset)
{
  double chance = 1;
  for (guint i = 0; i < gather->choices->len; i++)
    {
      double p = g_array_index (gather->choices, Event, i).p;
      chance *= (i < MOST_CHOICES ? subset >> i & 1 : p > .5) ? p : 1 - p;
    }
  return chance;
}

static double
log_prior (const Gather *gather, const Guess *guess)
{
  double sum = gather->log_none;
  for (guint i = 0; i < guess->n; i++)
    {
      double p = g_array_index (gather->events, Event, guess->event[i]).p;
      sum += log (p) - log1p (-p);
    }
  return sum;
}

static void
collect_all_choices (Gather *gather, const Guess *guess)
{
  const BlRounds *rounds = &gather->compiled->rounds;
  g_array_set_size (gather->choices, 0);
  for (guint i = 0; i < guess->n; i++)
    {
      const Event *event = &g_array_index (gather->events, Event, guess->event[i]);
      for (guint r = 0; event->kind == BL_ROOT_OWN && r < rounds->n; r++)
        if (bl_rounds_version (rounds, r, bl_cause_mode (gather->causes, event->a)->part) == event->b)
          collect_choices (gather, event->a, r);
    }
}

/* Works out the share of a guess and keeps the rows it leads to. */
static void
weigh (Gather *gather, Guess *guess)
{
  double prior = log_prior (gather, guess);
  guess->share = 0;
  collect_all_choices (gather, guess);
  for (guint subset = 0; subset < 1u << MIN (gather->choices->len, (guint) MOST_CHOICES); subset++)
    {
      double chance = choice_chance (gather, subset);
      if (!(chance > 1e-4))
        continue;
      fire_all (gather, &gather->now, guess, subset);
      double share = chance * exp (prior + log_likelihood (gather));
      bl_net_play_rewind (&gather->now);
      if (!(share > NEGLIGIBLE))
        continue;
      fire_all (gather, &gather->ahead, guess, subset);
      keep_row (gather, guess, share);
      bl_net_play_rewind (&gather->ahead);
      guess->share += share;
    }
  gather->covered += guess->share;
}

/* --- growing --- */

static gboolean
is_new (Gather *gather, const Guess *guess)
{
  gint64 key = 0;
  for (guint i = 0; i < guess->n; i++)
    key = key * 1000003 + guess->event[i] + 1;
  return g_hash_table_add (gather->tried, g_memdup2 (&key, sizeof key));
}

/* parent and one event more. FALSE: it has it already, or as many as a hypothesis may have. */
static gboolean
grow (const Gather *gather, const Guess *parent, guint more, Guess *grown)
{
  guint at = 0;
  if (parent->n == MOST_EVENTS)
    return FALSE;
  for (guint i = 0; i < parent->n; i++)
    if (parent->event[i] == more)
      return FALSE;
  *grown = *parent;
  while (at < parent->n && parent->event[at] < more)
    at++;
  memmove (grown->event + at + 1, grown->event + at, (parent->n - at) * sizeof (guint));
  grown->event[at] = more;
  grown->n++;
  double p = g_array_index (gather->events, Event, more).p;
  grown->share = parent->share * p / (1 - p); /* for the order only: as if it changed nothing read */
  return TRUE;
}

static int
compare_guesses (gconstpointer a, gconstpointer b)
{
  const Guess *x = a, *y = b;
  if (x->share != y->share)
    return x->share > y->share ? -1 : 1;
  return memcmp (x->event, y->event, sizeof x->event);
}

/* The likeliest of parents, each with one event more. */
static GArray *
grow_all (Gather *gather, GArray *parents)
{
  GArray *grown = g_array_new (FALSE, FALSE, sizeof (Guess));
  g_array_sort (parents, compare_guesses);
  for (guint i = 0; i < MIN (parents->len, (guint) MOST_PARENTS); i++)
    for (guint e = 0; e < gather->events->len; e++)
      {
        Guess guess = { 0 };
        if (grow (gather, &g_array_index (parents, Guess, i), e, &guess) && guess.share > NEGLIGIBLE)
          g_array_append_val (grown, guess);
      }
  g_array_sort (grown, compare_guesses);
  if (grown->len > MOST_GROWN)
    g_array_set_size (grown, MOST_GROWN);
  return grown;
}

typedef struct
{
  double probability;
  guint event;
} Leading;

static int
compare_leading (gconstpointer a, gconstpointer b)
{
  const Leading *x = a, *y = b;
  return x->probability > y->probability ? -1 : x->probability < y->probability;
}

/* Two faults that only together explain what was read are leading ones by the odds. */
static void
add_leading_pairs (Gather *gather, GArray *pairs)
{
  g_autoptr (GArray) leading = g_array_new (FALSE, FALSE, sizeof (Leading));
  for (guint e = 0; e < gather->events->len; e++)
    {
      const Event *event = &g_array_index (gather->events, Event, e);
      const BlCauseMode *mode = event->kind == BL_ROOT_OWN ? bl_cause_mode (gather->causes, event->a) : NULL;
      const BlOdd *part = mode == NULL ? NULL
                                       : bl_diagnosis_find (gather->diagnosis->components,
                                                            bl_cause_part (gather->causes, mode->part)->id);
      const BlOdd *odd = part != NULL ? bl_diagnosis_find (part->modes, mode->name) : NULL;
      Leading one = { odd != NULL ? odd->probability : mode == NULL ? gather->diagnosis->elsewhere : 0, e };
      g_array_append_val (leading, one);
    }
  g_array_sort (leading, compare_leading);
  for (guint i = 0; i < MIN (leading->len, (guint) LEADING); i++)
    for (guint j = 0; j < i; j++)
      {
        Guess single = { .n = 1, .event = { g_array_index (leading, Leading, i).event } }, pair;
        if (grow (gather, &single, g_array_index (leading, Leading, j).event, &pair))
          g_array_append_val (pairs, pair);
      }
}

static gboolean
weigh_all (Gather *gather, GArray *guesses, GError **error)
{
  for (guint i = 0; i < guesses->len; i++)
    {
      Guess *guess = &g_array_index (guesses, Guess, i);
      if (i % 64 == 0 && bl_engine_cancelled (gather->engine, error))
        return FALSE;
      if (is_new (gather, guess))
        weigh (gather, guess);
      else
        guess->share = 0;
    }
  return TRUE;
}

static gboolean
search (Gather *gather, GError **error)
{
  g_autoptr (GArray) singles = g_array_new (FALSE, FALSE, sizeof (Guess));
  for (guint e = 0; e < gather->events->len; e++)
    {
      Guess guess = { .n = 1, .event = { e } };
      g_array_append_val (singles, guess);
    }
  if (!weigh_all (gather, singles, error))
    return FALSE;
  g_autoptr (GArray) pairs = grow_all (gather, singles);
  add_leading_pairs (gather, pairs);
  if (!weigh_all (gather, pairs, error))
    return FALSE;
  if (gather->covered >= ENOUGH_COVERED)
    return TRUE;
  g_autoptr (GArray) triples = grow_all (gather, pairs);
  return weigh_all (gather, triples, error);
}

/* --- the whole --- */

static void
hypothesis_free (BlHypothesis *self)
{
  g_free (self->codes);
  g_free (self);
}

void
bl_hypotheses_free (BlHypotheses *hypotheses)
{
  if (hypotheses == NULL)
    return;
  g_ptr_array_unref (hypotheses->list);
  g_free (hypotheses);
}

static int
compare_hypotheses (gconstpointer a, gconstpointer b, gpointer n)
{
  const BlHypothesis *x = *(BlHypothesis *const *) a, *y = *(BlHypothesis *const *) b;
  if (fabs (x->share - y->share) > 1e-12 * x->share)
    return x->share > y->share ? -1 : 1;
  if (x->group != y->group)
    return x->group < y->group ? -1 : 1;
  if (x->also != y->also)
    return x->also < y->also ? -1 : 1;
  return memcmp (x->codes, y->codes, GPOINTER_TO_UINT (n));
}

static BlHypotheses *
list_rows (Gather *gather)
{
  BlHypotheses *all = g_new0 (BlHypotheses, 1);
  GHashTableIter iter;
  gpointer key, share;
  all->list = g_ptr_array_new_with_free_func ((GDestroyNotify) hypothesis_free);
  g_hash_table_iter_init (&iter, gather->rows);
  while (g_hash_table_iter_next (&iter, &key, &share))
    {
      BlHypothesis *one = g_new0 (BlHypothesis, 1);
      const guint8 *data = g_bytes_get_data (key, NULL);
      int groups[2];
      memcpy (groups, data, sizeof groups);
      one->share = *(double *) share;
      one->group = groups[0];
      one->also = groups[1];
      one->codes = g_memdup2 (data + sizeof groups, gather->unread->len);
      g_ptr_array_add (all->list, one);
    }
  g_ptr_array_sort_with_data (all->list, compare_hypotheses, GUINT_TO_POINTER (gather->unread->len));
  if (all->list->len > MOST_KEPT)
    g_ptr_array_set_size (all->list, MOST_KEPT);
  for (guint i = 0; i < all->list->len; i++)
    all->covered += ((BlHypothesis *) bl_at (all->list, i))->share;
  return all;
}

/* The measurements not read yet, in a network of their own. */
static BlNetwork *
look_forward (Gather *gather)
{
  const BlRounds *rounds = &gather->compiled->rounds;
  BlNetwork *network = bl_network_new (gather->causes, rounds, FALSE);
  gather->node = g_new0 (guint, gather->unread->len + 1);
  for (guint i = 0; i < gather->unread->len; i++)
    {
      guint m = g_array_index (gather->unread, guint, i);
      gather->node[i] = bl_network_measure (network, m, bl_cause_measure (gather->causes, m)->state,
                                            rounds->n - 1, NULL, 0);
    }
  return network;
}

BlHypotheses *
bl_hypotheses_gather (BlEngine *engine, const BlDiagnosis *diagnosis, const GArray *unread, GError **error)
{
  const BlCauses *causes = engine->causes;
  Gather gather = { .engine = engine, .compiled = engine->compiled, .causes = causes, .diagnosis = diagnosis,
                    .unread = unread };
  g_autoptr (BlNetwork) network = look_forward (&gather);
  bl_net_play_init (&gather.now, engine->compiled->network);
  bl_net_play_init (&gather.ahead, network);
  gather.events = g_array_new (FALSE, FALSE, sizeof (Event));
  gather.choices = g_array_new (FALSE, FALSE, sizeof (Event));
  gather.tried = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, NULL);
  gather.rows = g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref, g_free);
  gather.marginal = g_new0 (double, causes->parts->len + 1);
  for (guint i = 0; i < diagnosis->components->len; i++)
    gather.marginal[((BlOdd *) bl_at (diagnosis->components, i))->index]
      = ((BlOdd *) bl_at (diagnosis->components, i))->probability;
  gather.leads = g_new (int, engine->compiled->slots->len + 1);
  list_events (&gather);
  BlHypotheses *all = search (&gather, error) ? list_rows (&gather) : NULL;
  bl_net_play_clear (&gather.now);
  bl_net_play_clear (&gather.ahead);
  g_array_unref (gather.events);
  g_array_unref (gather.choices);
  g_hash_table_unref (gather.tried);
  g_hash_table_unref (gather.rows);
  g_free (gather.node);
  g_free (gather.marginal);
  g_free (gather.leads);
  return all;
}
