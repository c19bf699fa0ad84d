/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The diagnosis engine: exact odds of every failure mode given all that a job knows.
 *
 * Three ways were weighed, with measurements on generated boards of 480 modes and 40 readings.
 * A decision diagram over the modes with a variable per reading is very fast once compiled (some
 * 10^4 nodes), but grows worse than linearly with cascaded boards (300,000 nodes at 2,560 modes) and
 * depends on a good order of the modes. A clique tree over single events, gates split into binary
 * ones, needs cliques of 2^11 to 2^22 entries and depends on how wide gates are split. Enumerating at
 * most two faults is not exact: posteriors were off by up to 0.05. What is done here instead sums out
 * modes where they act: a stage of fifty modes has at most sixteen combinations of deviations, mostly
 * five that anything can tell apart, and what remains is a graph of stages with few states each,
 * nearly a chain on real boards. It grows linearly on cascaded boards. Its weak point is a board with
 * closed loops, whose modes act on a dozen measurements each: there the circuit is compiled for the
 * readings at hand, and combinations of negligible weight, BL_JOB_NEGLIGIBLE, are left out
 * (bl-eliminate.c); it is kept for further ones as long as what is missing stays negligible
 * (bl-job-wear.c). What is still too hard ends with an error.
 *
 * The steps, a file each: bl-causes.c flattens the board; bl-network.c builds the events and gates
 * that the evidence needs; bl-eliminate.c compiles them into an arithmetic circuit; bl-circuit.c
 * evaluates it; bl-job-circuit.c ties a job to it, bl-likelihood.c its readings; bl-odds.c, bl-why.c,
 * bl-fit.c and bl-next.c ask. The circuit is kept between calls: a further reading of the same round
 * only changes weights on its leaves. */
#include "config.h"

#include "bl-engine-private.h"
#include "bl-plan.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

enum
{
  LARGE_TERMS = 20 * 1000,            /* of a circuit for any readings: it is trimmed */
  MAX_SHARP_TERMS = 40 * 1000 * 1000, /* of a circuit for one evidence, 12 bytes each */
  NARROW_TERMS = 300 * 1000,          /* of one for what was read, to begin with */
  WIDE_TERMS = 3 * 1000 * 1000,       /* of one that is to serve the next readings too */
  TRY_TERMS = 100 * 1000,             /* that many are tried in any case */
  PAUSE = 4                           /* readings until it is tried again */
};

BlEngine *
bl_engine_new (const BlBoard *board, GError **error)
{
  g_return_val_if_fail (board != NULL, NULL);
  g_autoptr (BlEngine) engine = g_new0 (BlEngine, 1);
  engine->board = board;
  engine->large = LARGE_TERMS;
  engine->room = bl_room_new ();
  engine->causes = bl_causes_new (board, error);
  return engine->causes != NULL ? g_steal_pointer (&engine) : NULL;
}

void
bl_engine_free (BlEngine *engine)
{
  if (engine == NULL)
    return;
  g_clear_pointer (&engine->compiled, bl_job_circuit_free);
  g_clear_pointer (&engine->signatures, bl_network_free);
  g_clear_pointer (&engine->single.conditions, g_strfreev);
  g_free (engine->single.versions);
  g_clear_pointer (&engine->causes, bl_causes_free);
  g_clear_pointer (&engine->room, bl_room_free);
  g_free (engine);
}

void
bl_diagnosis_free (BlDiagnosis *diagnosis)
{
  if (diagnosis == NULL)
    return;
  GPtrArray *lists[] = { diagnosis->readings, diagnosis->sections, diagnosis->stages,
                         diagnosis->components, diagnosis->setup, diagnosis->why,
                         diagnosis->quarrel, diagnosis->next, diagnosis->not_visible };
  for (guint i = 0; i < G_N_ELEMENTS (lists); i++)
    g_clear_pointer (&lists[i], g_ptr_array_unref);
  g_clear_pointer (&diagnosis->plan, bl_plan_free);
  g_clear_pointer (&diagnosis->acts, bl_acts_free);
  g_clear_pointer (&diagnosis->places, bl_places_free);
  g_free (diagnosis->likely_stage);
  g_free (diagnosis);
}

const BlOdd *
bl_diagnosis_find (GPtrArray *list, const char *id)
{
  for (guint i = 0; i < bl_len (list); i++)
    if (g_strcmp0 (((const BlOdd *) bl_at (list, i))->id, id) == 0)
      return bl_at (list, i);
  return NULL;
}

/* A copy of what bl_evidence_judge () says, to outlive the other readings. */
static BlJudged *
copy_judged (const BlJudged *judged)
{
  BlJudged *copy = g_memdup2 (judged, sizeof *judged);
  copy->band = judged->band != NULL ? bl_band_copy (judged->band) : NULL;
  copy->verdict = bl_verdict_copy (judged->verdict);
  return copy;
}

static void
list_readings (BlDiagnosis *diagnosis, GPtrArray *judged)
{
  diagnosis->readings = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_judged_free);
  for (guint i = 0; i < judged->len; i++)
    if (((const BlJudged *) bl_at (judged, i))->last)
      g_ptr_array_add (diagnosis->readings, copy_judged (bl_at (judged, i)));
}

static gboolean
answer (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, BlDiagnoseFlags flags,
        GError **error)
{
  return bl_odds (engine, diagnosis, error) && bl_places (engine, diagnosis, error)
         && (!(flags & BL_DIAGNOSE_WHY) || bl_why (engine, diagnosis, error))
         && (!(flags & BL_DIAGNOSE_FIT) || bl_fit (engine, diagnosis, error))
         && (!(flags & BL_DIAGNOSE_NEXT) || bl_next (engine, diagnosis, judged, error))
         && (!(flags & BL_DIAGNOSE_PLAN)
             || bl_plan (engine, diagnosis, judged, (flags & BL_DIAGNOSE_TO_STAGE) != 0, error));
}

/* Whether the last round began with a replaced part and has no reading yet. */
static gboolean
is_unproven (GPtrArray *entries)
{
  gboolean unproven = FALSE;
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      if (entry->kind == BL_ENTRY_REPLACED)
        unproven = TRUE;
      else if (entry->kind == BL_ENTRY_READING)
        unproven = FALSE;
    }
  return unproven;
}

/* The slots must not keep pointing at readings that are about to go. */
static void
let_go (BlJobCircuit *compiled)
{
  for (guint i = 0; compiled != NULL && i < compiled->slots->len; i++)
    bl_slot (compiled, i)->judged = NULL;
}

static BlJobCircuit *
compile_for (BlEngine *engine, GPtrArray *judged, gboolean wide, gsize max_terms, BlJobCircuit *old, GError **error)
{
  g_autofree guint8 *every = g_malloc (engine->causes->measures->len + 1);
  memset (every, 1, engine->causes->measures->len + 1);
  return bl_job_compile_sharp (engine->causes, engine->entries, judged, wide ? every : NULL, 0, max_terms, old,
                               engine->room, engine->cancel, error);
}

/* Clears the error when it says that there are too many terms. */
static gboolean
is_too_hard (GError **error)
{
  if (!g_error_matches (*error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD))
    return FALSE;
  g_clear_error (error);
  return TRUE;
}

/* With a place for every measurement a circuit serves the next reading too, and the ranking. On some boards that is
 * as small as one for what was read only, on others out of reach: one without says how much is worth trying. It takes
 * longer to make, so that waits for the ranking, which comes after the odds: without it, one at hand that serves is
 * all that is looked for. */
static BlJobCircuit *
compile_sharply (BlEngine *engine, GPtrArray *judged, BlJobCircuit *old, GError **error)
{
  g_autoptr (GError) problem = NULL;
  BlJobCircuit *wide = NULL, *narrow = NULL;
  if (engine->wide)
    {
      wide = compile_for (engine, judged, TRUE, engine->ranks ? WIDE_TERMS : 1, old, &problem);
      old = NULL;
    }
  if (wide == NULL && (problem == NULL || is_too_hard (&problem)))
    narrow = compile_for (engine, judged, FALSE, NARROW_TERMS, old, &problem);
  if (wide == NULL
      && (narrow != NULL ? engine->ranks && judged->len >= engine->narrow_until : is_too_hard (&problem)))
    {
      gsize most = narrow != NULL ? CLAMP (20 * (gsize) narrow->circuit->to->len, TRY_TERMS, WIDE_TERMS) : WIDE_TERMS;
      wide = compile_for (engine, judged, TRUE, most, NULL, &problem);
      engine->narrow_until = wide != NULL ? 0 : judged->len + PAUSE;
      if (wide == NULL && is_too_hard (&problem) && narrow == NULL)
        narrow = compile_for (engine, judged, FALSE, MAX_SHARP_TERMS, NULL, &problem);
    }
  engine->wide = wide != NULL;
  if (problem != NULL || wide != NULL)
    g_clear_pointer (&narrow, bl_job_circuit_free);
  if (problem != NULL)
    g_propagate_error (error, g_steal_pointer (&problem));
  return wide != NULL ? wide : narrow;
}

/* A circuit for any readings where that is small enough; otherwise one for these. */
static gboolean
compile (BlEngine *engine, GPtrArray *judged, GError **error)
{
  g_autoptr (GError) problem = NULL;
  BlJobCircuit *old = g_steal_pointer (&engine->compiled);
  if (!engine->dense)
    {
      engine->compiled = bl_job_compile (engine->causes, engine->entries, judged, engine->large, old, engine->room,
                                         engine->cancel, &problem);
      if (engine->compiled != NULL)
        return TRUE;
      if (!g_error_matches (problem, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD))
        return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
      engine->dense = TRUE;
      old = NULL;
    }
  engine->compiled = compile_sharply (engine, judged, old, error);
  return engine->compiled != NULL;
}

BlDiagnosis *
bl_engine_diagnose (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags, const int *cancel,
                    GError **error)
{
  g_return_val_if_fail (engine != NULL, NULL);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (engine->board, entries, error);
  g_autoptr (BlDiagnosis) diagnosis = g_new0 (BlDiagnosis, 1);
  if (judged == NULL)
    return NULL;
  engine->cancel = cancel;
  engine->ranks = (flags & BL_DIAGNOSE_NEXT) != 0;
  list_readings (diagnosis, judged);
  diagnosis->unproven = is_unproven (entries);
  engine->entries = entries;
  gboolean ok = compile (engine, diagnosis->readings, error)
                && answer (engine, diagnosis, judged, flags, error);
  let_go (engine->compiled);
  bl_room_clear (engine->room);
  /* Not before: while it is at work the engine compares measurements by their place in the board. */
  for (guint i = 0; i < diagnosis->readings->len; i++)
    bl_judged_own (bl_at (diagnosis->readings, i));
  engine->cancel = NULL;
  engine->entries = NULL;
  return ok ? g_steal_pointer (&diagnosis) : NULL;
}

/* --- signatures --- */

static void
make_single (BlEngine *engine)
{
  const BlCauses *causes = engine->causes;
  BlRounds *single = &engine->single;
  const char *conditions[] = { "", NULL };
  if (engine->signatures != NULL)
    return;
  single->n = 1;
  single->n_parts = causes->parts->len;
  single->conditions = g_strdupv ((char **) conditions);
  single->versions = g_new0 (guint, single->n_parts + 1);
  engine->signatures = bl_network_new (causes, single, TRUE);
  for (guint m = 0; m < causes->measures->len; m++)
    bl_network_measure (engine->signatures, m, bl_cause_measure (causes, m)->state, 0, NULL, 0);
}

static gboolean
find_fault (BlEngine *engine, const char *fault, guint *mode, GError **error)
{
  const char *colon = strchr (fault, ':');
  g_autofree char *id = colon != NULL ? g_strndup (fault, (gsize) (colon - fault)) : NULL;
  int part = bl_causes_find (engine->causes->part_index, id);
  int index = part < 0 ? -1 : bl_causes_mode (engine->causes, (guint) part, colon + 1);
  *mode = (guint) MAX (index, 0);
  if (index < 0)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no fault “%s”"),
                        fault), FALSE;
  return TRUE;
}

/* What a node is when exactly these modes' own events are true: links are false and every present
 * mode is active. */
static guint
value_of (BlEngine *engine, guint index, guint *values, const gboolean *own)
{
  const BlNetNode *node = bl_net_node (engine->signatures, index);
  guint64 state = 0;
  if (node->kind == BL_NET_ROOT)
    return own[index];
  for (guint i = 0; i < node->in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, i);
      state = bl_net_join (node, state, edge->add[values[edge->from]]);
    }
  return bl_net_close (node, state);
}

static GPtrArray *
name_classes (BlEngine *engine, const guint *values)
{
  GPtrArray *names = g_ptr_array_new ();
  const BlCauses *causes = engine->causes;
  for (guint i = 0, m = 0; m < causes->measures->len; i++)
    if (bl_net_node (engine->signatures, i)->kind == BL_NET_FIRST)
      {
        const BlCauseMeasure *measure = bl_cause_measure (causes, m++);
        g_ptr_array_add (names, (gpointer) measure->classes[measure->class_of[values[i]]]);
      }
  return names;
}

GPtrArray *
bl_engine_signature (BlEngine *engine, const char *const *faults, GError **error)
{
  g_return_val_if_fail (engine != NULL, NULL);
  make_single (engine);
  guint n = engine->signatures->nodes->len, mode;
  g_autofree guint *values = g_new0 (guint, n + 1);
  g_autofree gboolean *own = g_new0 (gboolean, n + 1);
  for (guint i = 0; faults != NULL && faults[i] != NULL; i++)
    {
      if (!find_fault (engine, faults[i], &mode, error))
        return NULL;
      guint root = bl_network_find_root (engine->signatures, BL_ROOT_OWN, mode, 0, 0, 0);
      if (root != BL_NET_NONE)
        own[root] = TRUE;
    }
  for (guint i = 0; i < n; i++)
    values[i] = value_of (engine, i, values, own);
  return name_classes (engine, values);
}

/* --- any of several own events --- */

static gboolean
find_set (BlEngine *engine, const char *const *set, GArray *nodes)
{
  guint mode;
  g_array_set_size (nodes, 0);
  for (; *set != NULL; set++)
    {
      if (!find_fault (engine, *set, &mode, NULL))
        return FALSE;
      g_array_append_val (nodes, engine->compiled->own[mode]);
    }
  return TRUE;
}

static gboolean
weigh_sets (BlEngine *engine, GPtrArray *sets, double *odds, GError **error)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  if (!bl_evaluate (engine, error))
    return FALSE;
  for (guint i = 0; i < sets->len; i++)
    {
      if (bl_engine_cancelled (engine, error))
        return FALSE;
      odds[i] = find_set (engine, bl_at (sets, i), nodes) ? bl_odds_any (engine->compiled, nodes) : NAN;
    }
  return TRUE;
}

gboolean
bl_engine_unions (BlEngine *engine, GPtrArray *entries, GPtrArray *sets, double *odds, const int *cancel,
                  GError **error)
{
  g_return_val_if_fail (engine != NULL && sets != NULL && odds != NULL, FALSE);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (engine->board, entries, error);
  g_autoptr (BlDiagnosis) diagnosis = g_new0 (BlDiagnosis, 1);
  if (judged == NULL)
    return FALSE;
  engine->cancel = cancel;
  engine->ranks = FALSE;
  engine->entries = entries;
  list_readings (diagnosis, judged);
  gboolean ok = compile (engine, diagnosis->readings, error) && weigh_sets (engine, sets, odds, error);
  let_go (engine->compiled);
  bl_room_clear (engine->room);
  engine->cancel = NULL;
  engine->entries = NULL;
  return ok;
}
