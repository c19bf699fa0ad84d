/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure next: how many bits each unread measurement is expected to say about where the
 * root causes lie, over the effort. For each class that may show all others are struck out of the
 * reading's leaf, only the tables above it are computed again, and one downward pass as far as the
 * components gives the joint probability of "an own event of the component" and "this class shows"
 * for every component; what is read follows from what shows. The likeliest class needs none of this: its
 * joints are what the others leave of those before the reading. Of the others only rows are computed that
 * the class has anything to do with (bl_pass_strike_path ()). */
#include "config.h"

#include "bl-engine-private.h"

#include <math.h>

void
bl_next_free (BlNext *next)
{
  if (next == NULL)
    return;
  g_free (next->measurement);
  g_free (next);
}

#define NEGLIGIBLE 1e-17 /* of the probability of the evidence */
#define COARSER 1e6     /* bits need fewer digits than odds: those of the test boards agree to 1e-9 */

enum
{
  BATCH = 8,                  /* unread measurements that share a circuit at first */
  FEWER = 3,                  /* when they were too many; then each by itself */
  BATCH_TERMS = 300 * 1000,         /* more terms: they are parted */
  SINGLE_TERMS = 40 * 1000 * 1000
};

/* The lanes in which the lead and the state of some readings are right, and what is so before one is
 * read. */
typedef struct
{
  guint mask;      /* of those setups; G_MAXUINT: nothing is picked yet */
  double *weights; /* of the lanes */
  double *joints;  /* of each part with the evidence, in these lanes */
} Picked;

static void
picked_clear (Picked *picked)
{
  g_clear_pointer (&picked->weights, g_free);
  g_clear_pointer (&picked->joints, g_free);
}

typedef struct
{
  BlEngine *engine;
  BlJobCircuit *compiled;
  const BlSlot *slot;
  const Picked *picked;
  BlCircuitPath *path; /* from the slot's leaf to the root */
  double *rest;        /* [part]: its joint with the classes not asked about yet */
  double *joint;       /* [part * n + class] */
  double *read;        /* [class] */
} Asking;

static double
part_joint (BlJobCircuit *compiled, guint part, const BlCircuitPath *standing)
{
  BlGroup *group = bl_at (compiled->parts, part);
  if (group->path == NULL)
    return 0;
  if (!group->laned)
    return bl_group_joint (compiled->some, group, group->with);
  /* Readings lie below the component's top; perhaps the one asked about. */
  g_autofree double *with = bl_group_with (compiled->some, group, standing);
  return bl_group_joint (compiled->some, group, with);
}

/* The lanes in which this reading's lead and state are right. In the others every class is as
 * likely, which needs no pass of its own. Lanes that the evidence rules out, beyond what a double can
 * hold, are left aside: what shows cannot make them likelier than they are. */
static void
pick_lanes (Picked *picked, BlJobCircuit *compiled, guint mask)
{
  guint n = 0, root = compiled->circuit->root;
  const double *values = bl_pass_value (compiled->pass, root);
  gboolean laned = bl_circuit_table (compiled->circuit, root)->laned;
  g_autofree guint *lanes = g_new (guint, compiled->n_lanes);
  if (picked->mask == mask)
    return;
  picked_clear (picked);
  picked->mask = mask;
  picked->weights = g_new0 (double, compiled->n_lanes);
  picked->joints = g_new0 (double, compiled->parts->len + 1);
  for (guint l = 0; l < compiled->n_lanes; l++)
    if ((compiled->lane_sets[l] & mask) == 0
        && (l == 0 || compiled->lane_weights[l] * values[laned ? l : 0] > NEGLIGIBLE * compiled->total))
      {
        picked->weights[n] = compiled->lane_weights[l];
        lanes[n++] = l;
      }
  if (compiled->some == NULL)
    compiled->some = bl_pass_new (compiled->circuit, compiled->room);
  bl_pass_pick_lanes (compiled->some, compiled->pass, lanes, n);
  bl_pass_down (compiled->some, picked->weights, compiled->needed_parts);
  for (guint p = 0; p < compiled->parts->len; p++)
    picked->joints[p] = part_joint (compiled, p, NULL);
}

/* Adds, for the class that a row of the leaf stands for, the joint probabilities of what may be read when it
 * shows: total is that of the row with the evidence, joints those of the components with both. */
static void
add_row (Asking *ask, guint row, double total, const double *joints)
{
  const BlCauseMeasure *measure = bl_cause_measure (ask->engine->causes, ask->slot->measure);
  const GArray *values = bl_net_node (ask->compiled->network, ask->slot->node)->values;
  double hidden = bl_slot_hidden (ask->compiled, ask->engine->causes, ask->slot);
  guint code = g_array_index (values, guint, row), n = measure->n;
  for (guint j = 0; j < n; j++)
    {
      double chance = code == BL_CAUSE_WRONG
                        ? 1.0 / n
                        : (1 - hidden) * bl_confusion (measure, measure->misread, measure->class_of[code], j)
                            + hidden / n;
      ask->read[j] += chance * total;
      for (guint p = 0; p < ask->compiled->parts->len; p++)
        ask->joint[p * n + j] += chance * joints[p];
    }
}

/* With the class that a row of the leaf stands for as the one that shows. */
static void
ask_row (Asking *ask, guint row, double total)
{
  BlPass *pass = ask->compiled->some;
  guint n_parts = ask->compiled->parts->len;
  g_autofree double *joints = g_new (double, n_parts + 1);
  bl_pass_path_begin (pass, ask->path);
  bl_pass_strike_path (pass, ask->path, row, ask->compiled->needed_parts);
  for (guint p = 0; p < n_parts; p++)
    {
      joints[p] = part_joint (ask->compiled, p, ask->path);
      ask->rest[p] -= joints[p];
    }
  bl_pass_path_end (pass, ask->path, NULL);
  add_row (ask, row, total, joints);
}

/* All rows; of the likeliest, which is the most work, the joints are what the others leave. */
static void
ask_rows (Asking *ask)
{
  BlPass *pass = ask->compiled->some;
  guint rows = bl_circuit_table (ask->compiled->circuit, ask->slot->leaf)->rows, best = 0;
  g_autofree double *totals = g_new0 (double, rows);
  bl_pass_down_path (pass, ask->path, ask->picked->weights);
  const double *der = bl_pass_der (pass, ask->slot->leaf);
  for (guint r = 0; r < rows; r++)
    {
      for (guint l = 0; l < pass->lanes; l++)
        totals[r] += der[(gsize) r * pass->lanes + l];
      best = totals[r] > totals[best] ? r : best;
    }
  for (guint r = 0; r < rows; r++)
    if (r != best && totals[r] > NEGLIGIBLE * ask->compiled->total)
      ask_row (ask, r, totals[r]);
  for (guint p = 0; p < ask->compiled->parts->len; p++)
    ask->rest[p] = MAX (ask->rest[p], 0);
  add_row (ask, best, totals[best], ask->rest);
}

/* What is left to the lanes in which a setup is wrong goes to all classes alike. */
static void
add_wrong (Asking *ask, guint n_parts, guint n)
{
  for (guint p = 0; p <= n_parts; p++)
    {
      double *row = p < n_parts ? ask->joint + (gsize) p * n : ask->read;
      double rest = p < n_parts ? ask->compiled->part_joints[p] : ask->compiled->total;
      for (guint j = 0; j < n; j++)
        rest -= row[j];
      for (guint j = 0; j < n; j++)
        row[j] += MAX (rest, 0) / n;
    }
}

static double
term (double joint, double part, double read, double total)
{
  return joint > 0 && part > 0 && read > 0 ? joint * log2 (joint * total / (part * read)) : 0;
}

/* Mutual information summed over components, in bits. */
static double
sum_bits (const Asking *ask, guint n_parts, guint n)
{
  double bits = 0, total = 0;
  for (guint j = 0; j < n; j++)
    total += ask->read[j];
  for (guint p = 0; p < n_parts; p++)
    {
      double part = 0;
      for (guint j = 0; j < n; j++)
        part += ask->joint[p * n + j];
      for (guint j = 0; j < n; j++)
        bits += term (ask->joint[p * n + j], part, ask->read[j], total)
                + term (ask->read[j] - ask->joint[p * n + j], total - part, ask->read[j], total);
    }
  bits /= total;
  return bits > 1e-12 ? bits : 0; /* below that it is rounding */
}

static double
bits_of (BlEngine *engine, const BlSlot *slot, Picked *picked)
{
  BlJobCircuit *compiled = engine->compiled;
  guint n = bl_cause_measure (engine->causes, slot->measure)->n;
  guint n_parts = compiled->parts->len, mask = bl_slot_lane_mask (compiled, slot);
  g_autofree double *joint = g_new0 (double, n_parts * n + 1), *read = g_new0 (double, n);
  pick_lanes (picked, compiled, mask);
  g_autofree double *rest = g_memdup2 (picked->joints, (n_parts + 1) * sizeof (double));
  Asking ask = { engine, compiled, slot, picked, NULL, rest, joint, read };
  ask.path = bl_circuit_path_new (compiled->circuit, &slot->leaf, 1, TRUE);
  ask_rows (&ask);
  bl_circuit_path_free (ask.path);
  if (mask != 0)
    add_wrong (&ask, n_parts, n);
  return sum_bits (&ask, n_parts, n);
}

/* --- effort and order --- */

static const BlJudged *
last_reading (GPtrArray *judged)
{
  for (guint i = judged->len; i-- > 0;)
    {
      const BlJudged *one = bl_at (judged, i);
      if (!one->verdict->not_reached && !one->verdict->reversed)
        return one;
    }
  return NULL;
}

static const char *
or_else (const char *first, const char *second)
{
  return first != NULL ? first : second;
}

static double
effort (const BlBoard *board, const BlMeasurement *measurement, const BlJudged *last)
{
  double sum = isnan (measurement->effort_s) ? 20 : measurement->effort_s;
  if (last == NULL)
    return sum;
  const char *state = or_else (last->entry->state, last->measurement->state);
  const char *black = or_else (last->entry->black, last->measurement->black);
  if (g_strcmp0 (measurement->state, state) != 0)
    {
      const BlState *enter = bl_board_state (board, measurement->state);
      sum += enter == NULL || isnan (enter->enter_s) ? 60 : enter->enter_s;
    }
  if (measurement->black != NULL && g_strcmp0 (measurement->black, black) != 0)
    sum += 10;
  return sum;
}

typedef struct
{
  BlNext *next;
  gboolean live;
  double volts;
  guint index;
} Ranked;

static int
compare_ranked (gconstpointer a, gconstpointer b)
{
  const Ranked *x = a, *y = b;
  if (x->next->score != y->next->score)
    return x->next->score > y->next->score ? -1 : 1;
  if (x->live != y->live)
    return x->live ? 1 : -1;
  if (x->live && x->volts != y->volts)
    return x->volts < y->volts ? -1 : 1;
  return x->index < y->index ? -1 : x->index > y->index;
}

static gboolean
is_open (GPtrArray *judged, const BlMeasurement *measurement, guint round)
{
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *one = bl_at (judged, i);
      if (one->measurement == measurement && one->round == round && !one->verdict->reversed)
        return FALSE;
    }
  return TRUE;
}

static void
rank (BlEngine *engine, GArray *ranked, guint m, const BlJudged *last, Picked *picked)
{
  const BlMeasurement *measurement = bl_at (engine->board->measurements, m);
  const BlState *state = bl_board_state (engine->board, measurement->state);
  const BlSlot *slot = bl_job_circuit_find_slot (engine->compiled, m, engine->compiled->rounds.n - 1);
  BlNext *next = g_new0 (BlNext, 1);
  Ranked entry = { next, state == NULL || state->live != 0, /* not said: taken for live */
                   state == NULL || isnan (state->volts) ? 0 : state->volts, m };
  next->measurement = g_strdup (measurement->id);
  next->bits = bl_settle (bits_of (engine, slot, picked));
  next->effort_s = effort (engine->board, measurement, last);
  next->score = next->bits > 0 ? next->bits / next->effort_s : 0;
  g_array_append_val (ranked, entry);
}

/* The unread measurements of list, each with the circuit at hand. */
static gboolean
rank_list (BlEngine *engine, GArray *ranked, const GArray *list, const BlJudged *last, GError **error)
{
  Picked picked = { G_MAXUINT, NULL, NULL };
  gboolean ok = TRUE;
  for (guint i = 0; i < list->len && ok; i++)
    {
      ok = !bl_engine_cancelled (engine, error);
      if (ok)
        rank (engine, ranked, g_array_index (list, guint, i), last, &picked);
    }
  picked_clear (&picked);
  return ok;
}

/* A circuit for the readings and n unread measurements. Returns NULL without an error when it would
 * have too many terms and fewer can be tried. */
static BlJobCircuit *
compile_some (BlEngine *engine, const GArray *list, guint from, guint n, GPtrArray *judged, GError **error)
{
  g_autoptr (GError) problem = NULL;
  g_autofree guint8 *unread = g_new0 (guint8, engine->causes->measures->len + 1);
  for (guint i = from; i < from + n; i++)
    unread[g_array_index (list, guint, i)] = 1;
  BlJobCircuit *own = bl_job_compile_sharp (engine->causes, engine->entries, judged, unread,
                                            engine->compiled->least * COARSER, n > 1 ? BATCH_TERMS : SINGLE_TERMS,
                                            NULL, engine->room, engine->cancel, &problem);
  if (own == NULL && !(n > 1 && g_error_matches (problem, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD)))
    g_propagate_error (error, g_steal_pointer (&problem));
  return own;
}

/* Ranks with a circuit of their own; what the components' odds are is known from the main one. */
static gboolean
rank_with (BlEngine *engine, BlJobCircuit *own, GArray *ranked, const GArray *list, const BlJudged *last,
           GError **error)
{
  BlJobCircuit *main = engine->compiled;
  engine->compiled = own;
  gboolean ok = bl_evaluate_up (engine, error);
  if (ok)
    {
      guint n = main->parts->len;
      own->part_joints = g_new (double, n + 1);
      for (guint p = 0; p < n; p++)
        {
          BlGroup *group = bl_at (own->parts, p);
          own->part_joints[p] = main->part_joints[p] / main->total * own->total;
          if (group->path != NULL && !group->laned)
            group->with = bl_group_with (own->pass, group, NULL);
        }
      ok = rank_list (engine, ranked, list, last, error);
    }
  engine->compiled = main;
  return ok;
}

/* With a circuit for these readings the unread measurements get circuits of their own, as many of
 * them together as stay small: more places mean more combinations. Neighbours are alike, so the number
 * that went well is where the next attempt begins. An attempt that fails costs as much as ten that succeed:
 * there are few in a row. */
static gboolean
rank_sharply (BlEngine *engine, GArray *ranked, const GArray *list, const BlJudged *last,
              GPtrArray *judged, GError **error)
{
  guint size = BATCH;
  gboolean ok = TRUE;
  for (guint from = 0, n; ok && from < list->len; from += n)
    {
      g_autoptr (GError) problem = NULL;
      BlJobCircuit *own;
      n = MIN (size, list->len - from);
      while ((own = compile_some (engine, list, from, n, judged, &problem)) == NULL && problem == NULL)
        size = n = n > FEWER ? FEWER : 1;
      if (own == NULL)
        return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
      g_autoptr (GArray) part = g_array_new (FALSE, FALSE, sizeof (guint));
      g_array_append_vals (part, &g_array_index (list, guint, from), n);
      if (own->circuit->to->len < BATCH_TERMS / 3)
        size = MIN (n * 2, BATCH);
      ok = rank_with (engine, own, ranked, part, last, error);
      bl_job_circuit_free (own);
    }
  return ok;
}

static gboolean
has_places (const BlEngine *engine, const GArray *list)
{
  guint last = engine->compiled->rounds.n - 1;
  for (guint i = 0; i < list->len; i++)
    if (bl_job_circuit_find_slot (engine->compiled, g_array_index (list, guint, i), last) == NULL)
      return FALSE;
  return TRUE;
}

gboolean
bl_next (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, GError **error)
{
  g_autoptr (GArray) ranked = g_array_new (FALSE, FALSE, sizeof (Ranked));
  g_autoptr (GArray) list = g_array_new (FALSE, FALSE, sizeof (guint));
  const BlJudged *last = last_reading (judged);
  gboolean ok = TRUE;
  for (guint m = 0; m < bl_len (engine->board->measurements); m++)
    if (is_open (judged, bl_at (engine->board->measurements, m), engine->compiled->rounds.n))
      g_array_append_val (list, m);
  if (!has_places (engine, list))
    ok = rank_sharply (engine, ranked, list, last, judged, error);
  else
    ok = rank_list (engine, ranked, list, last, error);
  g_array_sort (ranked, compare_ranked);
  diagnosis->next = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_next_free);
  for (guint i = 0; i < ranked->len; i++)
    g_ptr_array_add (diagnosis->next, g_array_index (ranked, Ranked, i).next);
  return ok;
}
