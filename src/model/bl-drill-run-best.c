/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best way through a drill as lines of a bench log, for the same screens. The lines are of no job: they have no number
 * and stay out of the library. */
#include "config.h"

#include "bl-drill-run-private.h"

#include "bl-bench-practice.h"

static BlRecord *
record_of (const BlDrillStep *step, const char *meter)
{
  BlRecord *record;

  switch (step->kind)
    {
    case BL_STEP_MEASURE:
      record = bl_record_new (BL_RECORD_READING, step->subject, step->text);
      record->state = g_strdup (step->state);
      record->black = g_strdup (step->black);
      record->meter = g_strdup (step->meter != NULL ? step->meter : meter);
      return record;
    case BL_STEP_STATE:
      return bl_record_new (BL_RECORD_STATE, step->subject, NULL);
    case BL_STEP_PROOF:
      return bl_record_new (BL_RECORD_PROOF, step->subject, "12.0 0.0 12.0");
    case BL_STEP_PART:
      return bl_record_new (BL_RECORD_PART_TEST, step->subject, step->text);
    case BL_STEP_SUPPLY:
    case BL_STEP_CAUTIONS:
    case BL_STEP_STAGE:
    case BL_STEP_COMPONENT:
    default:
      return NULL;
    }
}

/* Judged and with what was expected, as a line of a log has it. */
static gboolean
judge (BlDrillRun *self, GPtrArray *records)
{
  for (guint i = 0; i < records->len; i++)
    {
      BlRecord *record = g_ptr_array_index (records, i);
      BlMeasurementItem *item = record->kind == BL_RECORD_READING ? bl_bench_find (self->bench, record->subject) : NULL;
      if (item != NULL)
        record->expected = g_strdup (bl_measurement_item_get_expected (item));
    }
  return bl_bench_judge_log (self->bench, records, NULL);
}

static void
add (GPtrArray *records, BlRecord *record)
{
  record->time = records->len; /* in order, and nothing else */
  g_ptr_array_add (records, record);
}

/* The state that a measurement is taken in is declared by taking it. */
static void
add_state (BlDrillRun *self, GPtrArray *records, const BlDrillStep *step, char **state)
{
  const BlMeasurement *measurement = bl_board_measurement (bl_drill_board (self->drill), step->subject);
  const char *wanted = step->state != NULL ? step->state : measurement->state;

  if (wanted == NULL || g_strcmp0 (wanted, *state) == 0)
    return;
  g_free (*state);
  *state = g_strdup (wanted);
  add (records, bl_record_new (BL_RECORD_STATE, wanted, NULL));
}

GPtrArray *
bl_drill_run_best_records (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  g_autoptr (GPtrArray) records = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free);
  GPtrArray *best = bl_drill_run_get_best (self);
  g_autofree char *state = NULL;

  if (best == NULL)
    return NULL;
  if (bl_drill_meter (self->drill) != NULL)
    add (records, bl_record_new (BL_RECORD_METER, NULL, bl_drill_meter (self->drill)));
  if (bl_drill_run_get_symptom (self) != NULL)
    add (records, bl_record_new (BL_RECORD_SYMPTOM, bl_drill_run_get_symptom (self), "yes"));
  for (guint i = 0; i < best->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (best, i);
      BlRecord *record = record_of (step, bl_drill_meter (self->drill));
      if (record == NULL)
        continue;
      if (step->kind == BL_STEP_MEASURE)
        add_state (self, records, step, &state);
      if (step->kind == BL_STEP_STATE)
        {
          g_free (state);
          state = g_strdup (step->subject);
        }
      add (records, record);
    }
  return judge (self, records) ? g_steal_pointer (&records) : NULL;
}
