/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Simulated people in a drill. Each measurement costs one diagnosis, with a plan for the one who follows advice: some
 * tenths of a second on a board of a hundred measurements. They know what the engine knows and never mistype; what
 * they differ in is what they measure. */
#include "config.h"

#include "bl-trainee.h"

#include "bl-drill-private.h"
#include "bl-plan.h"
#include "bl-safe-limits.h"

typedef struct
{
  const BlDrill *drill;
  const BlBoard *board;
  GPtrArray *steps;
  guint8 *read; /* one flag a measurement */
  gboolean was_live, proved;
} Work;

static void
add (Work *self, BlDrillStepKind kind, const char *subject, const char *text)
{
  g_ptr_array_add (self->steps, bl_drill_step_new (kind, subject, text));
}

/* Whatever has to be done before this measurement is safe. */
static void
prepare (Work *self, const BlMeasurement *measurement)
{
  const BlState *state = bl_board_state (self->board, measurement->state);

  if (bl_board_state_may_be_live (self->board, measurement->state))
    {
      if (!self->was_live)
        {
          add (self, BL_STEP_CAUTIONS, NULL, NULL);
          add (self, BL_STEP_SUPPLY, NULL, "isolated");
        }
      self->was_live = TRUE;
      self->proved = FALSE;
    }
  else if (bl_measures_drives_current (measurement->measures) && !self->proved)
    {
      add (self, BL_STEP_PROOF, state != NULL && state->dead_proof != NULL ? state->dead_proof[0] : NULL, NULL);
      self->proved = TRUE;
    }
}

static gboolean
take (Work *self, guint index, GError **error)
{
  const BlMeasurement *measurement = bl_at (self->board->measurements, index);
  g_autofree char *text = bl_drill_read (self->drill, measurement->id, 0, error);

  if (text == NULL)
    return FALSE;
  prepare (self, measurement);
  add (self, BL_STEP_MEASURE, measurement->id, text);
  self->read[index] = 1;
  return TRUE;
}

static int
index_of (const Work *self, const char *measurement)
{
  for (guint i = 0; i < bl_len (self->board->measurements); i++)
    if (g_str_equal (((const BlMeasurement *) bl_at (self->board->measurements, i))->id, measurement))
      return (int) i;
  return -1;
}

/* One of those not read yet: the first, or any. -1: all were. */
static int
any_unread (const Work *self, GRand *random)
{
  guint n = 0;
  int chosen = -1;

  for (guint i = 0; i < bl_len (self->board->measurements); i++)
    if (!self->read[i] && (n++ == 0 || (random != NULL && g_rand_int_range (random, 0, (gint32) n) == 0)))
      chosen = (int) i;
  return chosen;
}

static int
choose (const Work *self, BlTrainee trainee, const BlDiagnosis *diagnosis, GRand *random)
{
  const BlPlan *plan = diagnosis->plan;

  switch (trainee)
    {
    case BL_TRAINEE_ADVICE:
      return plan->tree->first->test < 0 ? -1 : index_of (self, plan->measurements[plan->tree->first->test]);
    case BL_TRAINEE_RANDOM:
      return any_unread (self, random);
    case BL_TRAINEE_IN_ORDER:
    case BL_N_TRAINEES:
    default:
      return any_unread (self, NULL);
    }
}

/* The leading documented component: an implied one has no name that could be given. NULL: none. */
static const BlOdd *
leading (const Work *self, const BlDiagnosis *diagnosis)
{
  for (guint i = 0; i < diagnosis->components->len; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      if (odd->index < bl_len (self->board->components))
        return odd;
    }
  return NULL;
}

static void
name_it (Work *self, const BlDiagnosis *diagnosis)
{
  const BlOdd *stage = diagnosis->stages->len > 0 ? bl_at (diagnosis->stages, 0) : NULL;
  const BlOdd *component = leading (self, diagnosis);

  if (stage != NULL)
    add (self, BL_STEP_STAGE, stage->id, NULL);
  if (component != NULL)
    add (self, BL_STEP_COMPONENT, component->id, NULL);
}

GPtrArray *
bl_trainee_work (const BlDrill *drill, BlTrainee trainee, guint32 seed, guint most, const int *cancel, GError **error)
{
  g_return_val_if_fail (drill != NULL && (guint) trainee < BL_N_TRAINEES, NULL);
  g_autoptr (GPtrArray) steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  g_autofree guint8 *read = g_new0 (guint8, bl_len (bl_drill_board (drill)->measurements) + 1);
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  BlDrill *own = (BlDrill *) drill; /* of which only the engine changes */
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&own->lock);
  BlEngine *engine = bl_drill_engine (own, error);
  Work self = { drill, bl_drill_board (drill), steps, read, FALSE, FALSE };
  BlDiagnoseFlags flags = trainee == BL_TRAINEE_ADVICE ? BL_DIAGNOSE_PLAN : BL_DIAGNOSE_ODDS;

  for (guint n = 0; engine != NULL; n++)
    {
      g_autoptr (GPtrArray) entries = bl_drill_evidence (drill, steps, G_MAXUINT, error);
      g_autoptr (BlDiagnosis) diagnosis
        = entries != NULL ? bl_engine_diagnose (engine, entries, flags, cancel, error) : NULL;
      if (diagnosis == NULL)
        return NULL;
      const BlOdd *odd = leading (&self, diagnosis);
      int index = n >= most || (odd != NULL && odd->probability >= BL_STAGE_ISOLATED)
                      ? -1
                      : choose (&self, trainee, diagnosis, random);
      if (index < 0)
        {
          name_it (&self, diagnosis);
          return g_steal_pointer (&steps);
        }
      if (!take (&self, (guint) index, error))
        return NULL;
    }
  return NULL;
}
