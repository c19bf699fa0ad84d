/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the steps of a drill are worth.
 *
 * For each measurement the job is diagnosed as it stood before it, with a plan, and the plan is asked what it is
 * expected to cost to begin with this measurement instead of the best: that is the regret, in seconds of the bench,
 * whatever the reading turned out to be. So luck is not rewarded, nor haste. A measurement that was read before counts
 * as unread for this question: where the readings do not fit together, reading it again tells something.
 *
 * A drill has ten to forty steps; one takes some tenths of a second on a board of a hundred measurements, in a thread of
 * the caller. Unsafe acts are bl-drill-safe.c's. */
#include "config.h"

#include "bl-drill-score.h"

#include "bl-drill-private.h"
#include "bl-engine-private.h"
#include "bl-plan.h"

#include <math.h>

#include <glib/gi18n-lib.h>

BlDrillStep *
bl_drill_step_new (BlDrillStepKind kind, const char *subject, const char *text)
{
  BlDrillStep *step = g_new0 (BlDrillStep, 1);

  step->kind = kind;
  step->subject = g_strdup (subject);
  step->text = g_strdup (text);
  step->best_s = step->at_s = NAN;
  return step;
}

BlDrillStep *
bl_drill_step_copy (const BlDrillStep *step)
{
  g_return_val_if_fail (step != NULL, NULL);
  BlDrillStep *copy = g_memdup2 (step, sizeof *step);

  copy->subject = g_strdup (step->subject);
  copy->text = g_strdup (step->text);
  copy->meter = g_strdup (step->meter);
  copy->state = g_strdup (step->state);
  copy->black = g_strdup (step->black);
  copy->best = g_strdup (step->best);
  return copy;
}

void
bl_drill_step_free (BlDrillStep *step)
{
  if (step == NULL)
    return;
  g_free (step->subject);
  g_free (step->text);
  g_free (step->meter);
  g_free (step->state);
  g_free (step->black);
  g_free (step->best);
  g_free (step);
}

void
bl_drill_score_free (BlDrillScore *score)
{
  if (score == NULL)
    return;
  g_clear_pointer (&score->steps, g_ptr_array_unref);
  g_free (score);
}

/* --- evidence --------------------------------------------------------------------------------- */

static gboolean
check_name (const BlBoard *board, const BlDrillStep *step)
{
  const char *id = step->subject;

  switch (step->kind)
    {
    case BL_STEP_MEASURE:
      return id != NULL && bl_board_measurement (board, id) != NULL;
    case BL_STEP_PROOF:
      return id == NULL || bl_board_measurement (board, id) != NULL;
    case BL_STEP_STATE:
      return id != NULL && bl_board_state (board, id) != NULL;
    case BL_STEP_PART:
    case BL_STEP_COMPONENT:
      return id != NULL && bl_board_component (board, id) != NULL;
    case BL_STEP_STAGE:
      return id != NULL && bl_board_stage (board, id) != NULL;
    case BL_STEP_SUPPLY:
    case BL_STEP_CAUTIONS:
    default:
      return TRUE;
    }
}

static BlEntry *
reading_entry (const BlDrill *drill, const BlMeasurement *measurement, const BlDrillStep *step, GError **error)
{
  const char *meter = step->meter != NULL ? step->meter : bl_drill_meter (drill);
  g_autoptr (BlEntry) entry = bl_entry_new (BL_ENTRY_READING, measurement->id, step->text);

  if (!bl_reading_parse (step->text != NULL ? step->text : "", measurement->measures, &entry->reading, error))
    return NULL;
  entry->meter = g_strdup (meter);
  entry->state = g_strdup (step->state);
  entry->black = g_strdup (step->black);
  return g_steal_pointer (&entry);
}

/* The entry of a step; NULL without error: it is no evidence. */
static BlEntry *
entry_of (const BlDrill *drill, const BlDrillStep *step, guint number, GError **error)
{
  const BlBoard *board = bl_drill_board (drill);
  BlEntry *entry = NULL;

  if (!check_name (board, step))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("step %u: there is no “%s”"), number,
                   step->subject != NULL ? step->subject : "");
      return NULL;
    }
  if (step->kind == BL_STEP_MEASURE)
    entry = reading_entry (drill, bl_board_measurement (board, step->subject), step, error);
  else if (step->kind == BL_STEP_PART)
    {
      const BlComponent *component = bl_board_component (board, step->subject);
      if (g_strcmp0 (step->text, "good") != 0
          && (step->text == NULL || bl_component_mode (component, step->text) == NULL))
        g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("%s is “good” or has one of its modes, not “%s”"),
                     step->subject, step->text != NULL ? step->text : "");
      else
        entry = bl_entry_new (BL_ENTRY_PART_TEST, step->subject, step->text);
    }
  if (entry == NULL && error != NULL && *error != NULL)
    g_prefix_error (error, _ ("step %u: "), number);
  return entry;
}

GPtrArray *
bl_drill_evidence (const BlDrill *drill, GPtrArray *steps, guint n, GError **error)
{
  g_return_val_if_fail (drill != NULL && steps != NULL, NULL);
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);

  if (bl_drill_symptom (drill) != NULL)
    g_ptr_array_add (entries, bl_entry_new (BL_ENTRY_SYMPTOM, bl_drill_symptom (drill), "yes"));
  for (guint i = 0; i < MIN (n, steps->len); i++)
    {
      g_autoptr (GError) problem = NULL;
      const BlDrillStep *step = bl_at (steps, i);
      BlEntry *entry = step->struck ? NULL : entry_of (drill, step, i + 1, &problem);
      if (problem != NULL)
        return g_propagate_error (error, g_steal_pointer (&problem)), NULL;
      if (entry != NULL)
        g_ptr_array_add (entries, entry);
    }
  return g_steal_pointer (&entries);
}

/* --- one step --------------------------------------------------------------------------------- */

typedef struct
{
  const BlDrill *drill;
  const BlBoard *board;
  GPtrArray *steps;
  BlEngine *engine;
  const int *cancel;
} Scoring;

static gboolean
was_read (const Scoring *self, guint n, const char *measurement)
{
  for (guint i = 0; i < n; i++)
    {
      const BlDrillStep *step = bl_at (self->steps, i);
      if (step->kind == BL_STEP_MEASURE && g_str_equal (step->subject, measurement))
        return TRUE;
    }
  return FALSE;
}

static gboolean
proves_dead (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlState *state = bl_board_state (board, measurement->state);

  return state != NULL && state->dead_proof != NULL
         && g_strv_contains ((const char *const *) state->dead_proof, measurement->id);
}

static int
find_test (const BlPlan *plan, const char *measurement)
{
  for (int t = 0; plan->measurements[t] != NULL; t++)
    if (g_str_equal (plan->measurements[t], measurement))
      return t;
  return -1;
}

static void
set_best (BlDrillStep *step, const BlPlan *plan, const BlPlanBeginning *best)
{
  g_free (step->best);
  step->best = best->test >= 0 ? g_strdup (plan->measurements[best->test]) : NULL;
  step->best_s = best->effort;
}

/* From the plan that was made with this measurement among the unread ones. */
static void
judge (const Scoring *self, BlDrillStep *step, const BlMeasurement *measurement, const BlPlan *plan)
{
  const BlPlanStep *first = plan->tree->first;
  int test = find_test (plan, step->subject);

  set_best (step, plan, &(BlPlanBeginning){ first->test, first->effort });
  if (test < 0) /* of more classes than a plan holds */
    {
      step->right = TRUE;
      return;
    }
  step->effort_s = bl_plan_cost (plan->table, (guint) test);
  step->told_nothing = test != first->test && bl_plan_bits (plan->table, (guint) test) <= plan->table->telling;
  if (step->told_nothing && proves_dead (self->board, measurement))
    {
      step->for_safety = TRUE;
      step->told_nothing = FALSE;
    }
  else
    {
      BlPlanBeginning best;
      step->regret_s = bl_plan_regret_against (plan->table, plan->tree, (guint) test, BL_PLAN_REGRET_BUDGET, self->cancel,
                                               &best);
      set_best (step, plan, &best);
    }
  step->right = !step->told_nothing && step->regret_s <= BL_DRILL_RIGHT * step->best_s;
}

static gboolean
score_measure (Scoring *self, guint n, GError **error)
{
  BlDrillStep *step = bl_at (self->steps, n);
  const BlMeasurement *measurement = bl_board_measurement (self->board, step->subject);
  g_autoptr (GPtrArray) entries = bl_drill_evidence (self->drill, self->steps, n, error);
  g_autoptr (BlDiagnosis) diagnosis = NULL;

  if (entries == NULL)
    return FALSE;
  self->engine->again
    = was_read (self, n, step->subject) ? 1 + bl_causes_find (self->engine->causes->measure_index, step->subject) : 0;
  diagnosis = bl_engine_diagnose (self->engine, entries, BL_DIAGNOSE_PLAN, self->cancel, error);
  self->engine->again = 0;
  if (diagnosis == NULL)
    return FALSE;
  judge (self, step, measurement, diagnosis->plan);
  if (isnan (step->regret_s))
    g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _ ("cancelled"));
  return !isnan (step->regret_s);
}

static gboolean
score_step (Scoring *self, guint n, GError **error)
{
  BlDrillStep *step = bl_at (self->steps, n);
  g_autoptr (GError) problem = NULL;
  g_autoptr (BlEntry) entry = NULL;

  if (step->scored)
    return TRUE;
  entry = entry_of (self->drill, step, n + 1, &problem); /* names are wrong whatever the kind */
  if (problem != NULL)
    return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
  step->effort_s = step->regret_s = 0;
  step->best_s = NAN;
  g_clear_pointer (&step->best, g_free);
  step->right = step->told_nothing = step->for_safety = FALSE;
  if (step->kind == BL_STEP_MEASURE && !score_measure (self, n, error))
    return FALSE;
  if (step->kind == BL_STEP_PART)
    {
      const BlComponent *component = bl_board_component (self->board, step->subject);
      step->effort_s = isnan (component->test_s) ? BL_ACT_TEST_S : component->test_s;
    }
  return step->scored = TRUE;
}

/* --- all of them ------------------------------------------------------------------------------ */

/* What was named last; the stage of the component where no stage was named. */
static void
add_named (BlDrillScore *score, const BlDrill *drill, BlDrillStep *step)
{
  const BlComponent *component;

  if (step->kind == BL_STEP_STAGE)
    {
      score->named_stage = TRUE;
      step->right = score->stage_right = bl_drill_is_stage (drill, step->subject);
    }
  if (step->kind != BL_STEP_COMPONENT)
    return;
  score->named_component = TRUE;
  step->right = score->component_right = bl_drill_is_component (drill, step->subject);
  score->victim_named = bl_drill_is_victim (drill, step->subject);
  component = bl_board_component (bl_drill_board (drill), step->subject);
  if (!score->named_stage)
    score->stage_right
      = component->stage != NULL ? bl_drill_is_stage (drill, component->stage) : score->component_right;
}

static void
add_step (BlDrillScore *score, const BlDrill *drill, BlDrillStep *step)
{
  score->effort_s += step->effort_s;
  score->regret_s += step->regret_s;
  score->n_unsafe += step->unsafe != 0 ? 1 : 0;
  score->unsafe |= step->unsafe;
  score->failed = score->failed || step->unsafe != 0;
  add_named (score, drill, step);
  if (step->kind != BL_STEP_MEASURE || step->for_safety)
    return;
  score->n_measured++;
  score->n_right += step->right ? 1 : 0;
  score->n_told_nothing += step->told_nothing ? 1 : 0;
}

/* Copies, with those at the beginning that are already scored. */
static GPtrArray *
copy_steps (GPtrArray *steps)
{
  GPtrArray *copies = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  gboolean before = TRUE;

  for (guint i = 0; i < steps->len; i++)
    {
      BlDrillStep *copy = bl_drill_step_copy (bl_at (steps, i));
      before = copy->scored = before && copy->scored;
      g_ptr_array_add (copies, copy);
    }
  return copies;
}

static gboolean
score_all (BlDrill *drill, GPtrArray *steps, const int *cancel, GError **error)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&drill->lock);
  Scoring self = { drill, drill->board, steps, bl_drill_engine (drill, error), cancel };

  if (self.engine == NULL)
    return FALSE;
  for (guint i = 0; i < steps->len; i++)
    if (!score_step (&self, i, error))
      return FALSE;
  return TRUE;
}

BlDrillScore *
bl_drill_score (const BlDrill *drill, GPtrArray *steps, const int *cancel, GError **error)
{
  const BlSafeLimits limits = BL_SAFE_LIMITS;

  return bl_drill_score_by (drill, steps, &limits, cancel, error);
}

BlDrillScore *
bl_drill_score_by (const BlDrill *drill, GPtrArray *steps, const BlSafeLimits *limits, const int *cancel, GError **error)
{
  g_return_val_if_fail (drill != NULL && steps != NULL && limits != NULL, NULL);
  g_autoptr (BlDrillScore) score = g_new0 (BlDrillScore, 1);

  score->steps = copy_steps (steps);
  if (!score_all ((BlDrill *) drill, score->steps, cancel, error)) /* of which only the engine changes */
    return NULL;
  bl_drill_find_unsafe (drill->board, score->steps, limits);
  for (guint i = 0; i < score->steps->len; i++)
    add_step (score, drill, bl_at (score->steps, i));
  return g_steal_pointer (&score);
}
