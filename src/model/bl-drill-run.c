/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A drill that somebody works on. Its job's log is the truth: steps are read from it anew after every entry, struck lines
 * among them, for what was measured cannot be unmeasured; but what was struck is no evidence for what comes after. Which
 * drill it is follows from order and document alone; what was drawn first is kept, so that a drill that would be another
 * one now is not gone on with. The score is computed in bl-drill-run-score.c. */
#include "config.h"

#include "bl-drill-run-private.h"

#include "bl-bench-practice.h"
#include "bl-bench-private.h"
#include "bl-bench-safe.h"
#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define CAUTIONS "cautions" /* subject of the note that they were read */
#define LIMITS "limits"     /* subject of the note what unsafe acts were judged by: the last line but what was named */
#define SUPPLY "supply:"    /* how such lines of the log begin; others are about a repair */
#define KNOWN_SOURCE "12.0" /* V, before and after a proof of dead; a battery at hand */

enum
{
  CHANGED,
  UNSAFE,
  SCORED,
  BEST,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlDrillRun, bl_drill_run, G_TYPE_OBJECT)

/* --- steps --- */

/* What a line of the log is in a drill; NULL: nothing. */
static BlDrillStep *
step_of (const BlRecord *record)
{
  BlDrillStep *step;

  switch ((int) record->kind)
    {
    case BL_RECORD_READING:
      step = bl_drill_step_new (BL_STEP_MEASURE, record->subject, record->text);
      step->at_s = (double) record->time / G_USEC_PER_SEC;
      step->meter = g_strdup (record->meter);
      step->state = g_strdup (record->state);
      step->black = g_strdup (record->black);
      return step;
    case BL_RECORD_STATE:
      return bl_drill_step_new (BL_STEP_STATE, record->subject, NULL);
    case BL_RECORD_PROOF:
      step = bl_drill_step_new (BL_STEP_PROOF, record->subject, record->text);
      step->at_s = (double) record->time / G_USEC_PER_SEC;
      return step;
    case BL_RECORD_PART_TEST:
      return bl_drill_step_new (BL_STEP_PART, record->subject, record->text);
    case BL_RECORD_SUPPLY:
      return record->text != NULL && g_str_has_prefix (record->text, SUPPLY)
               ? bl_drill_step_new (BL_STEP_SUPPLY, NULL, record->text + strlen (SUPPLY)) : NULL;
    case BL_RECORD_NOTE:
      return g_strcmp0 (record->subject, CAUTIONS) == 0 ? bl_drill_step_new (BL_STEP_CAUTIONS, NULL, NULL) : NULL;
    default:
      return NULL;
    }
}

static void
add_step (BlDrillRun *self, BlDrillStep *step, guint place)
{
  g_ptr_array_add (self->steps, step);
  g_array_append_val (self->places, place);
}

/* The figures alone, the same in every language: limits_from () reads them again. (transfer full) */
static char *
limits_text (const BlSafeLimits *limits)
{
  char dc[G_ASCII_DTOSTR_BUF_SIZE], ac[G_ASCII_DTOSTR_BUF_SIZE], ohms[G_ASCII_DTOSTR_BUF_SIZE], again[G_ASCII_DTOSTR_BUF_SIZE];

  return g_strdup_printf ("%s %s %s %s", g_ascii_formatd (dc, sizeof dc, "%g", limits->shock_dc),
                          g_ascii_formatd (ac, sizeof ac, "%g", limits->shock_ac),
                          g_ascii_formatd (ohms, sizeof ohms, "%g", limits->ohms_below),
                          g_ascii_formatd (again, sizeof again, "%g", limits->again_s));
}

/* The figures of such a text in their order, which may have words between them, as older ones have; one that is missing
 * stays what a shop begins with. */
static BlSafeLimits
limits_from (const char *text)
{
  BlSafeLimits limits = BL_SAFE_LIMITS;
  double *figures[] = { &limits.shock_dc, &limits.shock_ac, &limits.ohms_below, &limits.again_s };

  for (guint i = 0; i < G_N_ELEMENTS (figures) && *(text += strcspn (text, "0123456789")) != '\0'; i++)
    *figures[i] = g_ascii_strtod (text, (char **) &text);
  bl_safe_limits_mend (&limits);
  return limits;
}

static gboolean
keeps_limits (const BlRecord *record)
{
  return record->kind == BL_RECORD_NOTE && g_strcmp0 (record->subject, LIMITS) == 0 && record->text != NULL;
}

char *
bl_drill_limits_words (const BlRecord *record)
{
  g_return_val_if_fail (record != NULL, NULL);
  if (!keeps_limits (record))
    return NULL;
  BlSafeLimits limits = limits_from (record->text);
  return g_strdup_printf (_ ("judged by: shock above %g V DC or %g V AC, ohms below %g V, proved again after %g s"),
                          limits.shock_dc, limits.shock_ac, limits.ohms_below, limits.again_s);
}

/* A drill that has ended before limits were kept was judged by what a shop begins with. */
static void
read_limits (BlDrillRun *self, GPtrArray *records)
{
  if (!bl_drill_run_is_ended (self))
    {
      self->limits = *bl_bench_get_limits (self->bench);
      return;
    }
  self->limits = BL_SAFE_LIMITS;
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (records, i);
      if (keeps_limits (record))
        self->limits = limits_from (record->text);
    }
}

static void
read_steps (BlDrillRun *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);

  read_limits (self, records);
  g_ptr_array_set_size (self->steps, 0);
  g_array_set_size (self->places, 0);
  for (guint i = 0; i < records->len; i++)
    {
      BlDrillStep *step = step_of (g_ptr_array_index (records, i));
      if (step == NULL)
        continue;
      step->struck = ((const BlRecord *) g_ptr_array_index (records, i))->struck;
      add_step (self, step, i);
    }
  if (self->row->stage != NULL)
    add_step (self, bl_drill_step_new (BL_STEP_STAGE, self->row->stage, NULL), G_MAXUINT);
  if (self->row->component != NULL)
    add_step (self, bl_drill_step_new (BL_STEP_COMPONENT, self->row->component, NULL), G_MAXUINT);
  bl_drill_find_unsafe (bl_drill_board (self->drill), self->steps, &self->limits);
}

/* Something was done. A look back at another log is nothing done. */
static void
follow_log (BlDrillRun *self)
{
  guint before = self->steps->len, new_acts = 0;

  if (self->bench->other_log)
    return;
  read_steps (self);
  self->unsafe = 0;
  for (guint i = 0; i < self->steps->len; i++)
    {
      guint acts = ((const BlDrillStep *) g_ptr_array_index (self->steps, i))->unsafe;
      self->unsafe |= acts;
      if (i >= before)
        new_acts |= acts;
    }
  if (self->steps->len == before)
    return;
  bl_drill_run_ask_score (self);
  g_signal_emit (self, signals[CHANGED], 0);
  if (new_acts != 0)
    g_signal_emit (self, signals[UNSAFE], 0, new_acts);
}

void
bl_drill_run_announce_score (BlDrillRun *self)
{
  g_signal_emit (self, signals[SCORED], 0);
}

void
bl_drill_run_announce_best (BlDrillRun *self)
{
  g_signal_emit (self, signals[BEST], 0);
}

/* --- opening --- */

static BlDrill *
make_drill (const BlBoard *board, const BlDrillRow *row, GError **error)
{
  BlDrillOrder order = { row->kind, (const char *const *) row->sections, row->seed };

  if (row->planted)
    return bl_drill_planted (board, (const char *const *) row->faults, error);
  g_autoptr (BlDrill) drill = bl_drill_new (board, &order, error);
  if (drill != NULL && row->faults != NULL && row->job != 0
      && !g_strv_equal ((const char *const *) row->faults, bl_drill_faults (drill)))
    {
      g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                           _ ("This drill was begun with another version of the program and would be another one now."));
      return NULL;
    }
  return g_steal_pointer (&drill);
}

static gboolean
append_first (BlLibrary *library, gint64 job, BlRecordKind kind, const char *subject, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);

  record->job = job;
  return bl_library_append (library, record, error);
}

/* The job with what is known before the first measurement: the meter, and what the customer would say. */
static gboolean
begin (BlDrillRun *self, GError **error)
{
  BlLibrary *library = bl_practice_get_library (self->practice);
  const char *symptom = bl_drill_run_get_symptom (self), *meter = bl_drill_meter (self->drill);
  const char *doing = _ ("beginning the drill");

  if (!bl_library_begin (library, doing, error))
    return FALSE;
  gint64 job = bl_library_begin_drill (library, self->row->id, bl_drill_faults (self->drill), error);
  gboolean ok = job != 0
                && (meter == NULL || append_first (library, job, BL_RECORD_METER, NULL, meter, error))
                && (symptom == NULL || append_first (library, job, BL_RECORD_SYMPTOM, symptom, "yes", error));
  return bl_library_end (library, ok, doing, error);
}

static gboolean
load_row (BlDrillRun *self, gint64 drill, GError **error)
{
  BlDrillRow *row = bl_practice_load_drill (self->practice, drill, error);

  if (row == NULL)
    return FALSE;
  g_clear_pointer (&self->row, bl_drill_row_free);
  self->row = row;
  return TRUE;
}

static gboolean
open_drill (BlDrillRun *self, GError **error)
{
  BlDrillRow *row = self->row;
  g_autoptr (BlBoard) board = bl_practice_load_copy (self->practice, row->board, row->equipment, error);

  self->drill = board != NULL ? make_drill (board, row, error) : NULL;
  if (self->drill == NULL)
    return FALSE;
  if (row->job == 0
      && (!begin (self, error) || !load_row (self, row->id, error) || !bl_practice_reload (self->practice, error)))
    return FALSE;
  self->bench = bl_bench_new (bl_practice_get_library (self->practice), self->row->job, error);
  if (self->bench == NULL)
    return FALSE;
  bl_bench_set_blind (self->bench, !bl_drill_run_is_ended (self));
  bl_bench_set_drilled (self->bench, bl_drill_is_planted (self->drill));
  return TRUE;
}

BlDrillRun *
bl_drill_run_new (BlPractice *practice, gint64 drill, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice), NULL);
  g_autoptr (BlDrillRun) self = g_object_new (BL_TYPE_DRILL_RUN, NULL);

  self->practice = g_object_ref (practice);
  if (!load_row (self, drill, error) || !open_drill (self, error))
    return NULL;
  g_signal_connect_object (self->bench, "changed", G_CALLBACK (follow_log), self, G_CONNECT_SWAPPED);
  read_steps (self);
  for (guint i = 0; i < self->steps->len; i++)
    self->unsafe |= ((const BlDrillStep *) g_ptr_array_index (self->steps, i))->unsafe;
  bl_drill_run_ask_score (self);
  return g_steal_pointer (&self);
}

/* --- what it holds --- */

const BlDrillRow *
bl_drill_run_get_row (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->row;
}

BlBench *
bl_drill_run_get_bench (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->bench;
}

gboolean
bl_drill_run_is_ended (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  return self->row->ended != 0;
}

gboolean
bl_drill_run_is_planted (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  return self->row->planted;
}

const char *
bl_drill_run_get_symptom (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->row->planted ? NULL : bl_drill_symptom (self->drill);
}

guint
bl_drill_run_get_unsafe (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), 0);
  return self->unsafe;
}

const char *const *
bl_drill_run_get_faults (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return bl_drill_run_is_ended (self) ? bl_drill_faults (self->drill) : NULL;
}

const BlDrillScore *
bl_drill_run_get_score (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->score;
}

const char *
bl_drill_run_get_trouble (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->trouble;
}

guint
bl_drill_run_record_of (BlDrillRun *self, guint step)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self) && step < self->places->len, G_MAXUINT);
  return g_array_index (self->places, guint, step);
}

GPtrArray *
bl_drill_run_get_best (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), NULL);
  return self->score != NULL ? self->best : NULL; /* not before the drill has ended */
}

gboolean
bl_drill_run_is_best_awaited (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  return self->best == NULL && !self->lost;
}

/* --- acts --- */

static gboolean
check_open (BlDrillRun *self, gboolean typed, GError **error)
{
  if (bl_drill_run_is_ended (self))
    g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("The drill has ended."));
  else if (typed && self->row->planted)
    g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                         _ ("The fault is in a real board: type what the meter shows."));
  else
    return TRUE;
  return FALSE;
}

/* Struck ones count: it was read. */
static guint
count_readings (BlDrillRun *self, const char *measurement)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (records, i);
      n += record->kind == BL_RECORD_READING && g_strcmp0 (record->subject, measurement) == 0;
    }
  return n;
}

gboolean
bl_drill_run_measure (BlDrillRun *self, BlMeasurementItem *item, GError **error)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self) && BL_IS_MEASUREMENT_ITEM (item), FALSE);
  g_autoptr (BlMeasurementItem) kept = g_object_ref (item);
  const char *id = bl_measurement_item_get_id (kept);

  if (!check_open (self, TRUE, error))
    return FALSE;
  g_autofree char *text = bl_drill_read (self->drill, id, count_readings (self, id), error);
  if (text == NULL || !bl_bench_keep_reading (self->bench, kept, text, error))
    return FALSE;
  bl_bench_select (self->bench, kept);
  return TRUE;
}

gboolean
bl_drill_run_test_part (BlDrillRun *self, const char *component, GError **error)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self) && component != NULL, FALSE);

  if (!check_open (self, TRUE, error))
    return FALSE;
  g_autofree char *result = bl_drill_test_part (self->drill, component, error);
  return result != NULL && bl_bench_part (self->bench, component, result, error);
}

/* What the point of the proof reads; nothing is documented to be asked there: nothing is left. */
static double
dead_volts (BlDrillRun *self)
{
  const char *id = bl_bench_get_dead_proof (self->bench)[0];
  const BlMeasurement *measurement = id != NULL ? bl_board_measurement (bl_bench_get_board (self->bench), id) : NULL;
  g_autofree char *text = measurement != NULL ? bl_drill_read (self->drill, id, count_readings (self, id), NULL) : NULL;
  BlReading reading;

  if (text == NULL || !bl_reading_parse (text, measurement->measures, &reading, NULL)
      || (reading.kind != BL_READING_VALUE && reading.kind != BL_READING_RANGE))
    return 0;
  return fabs (reading.kind == BL_READING_RANGE ? reading.high : reading.value);
}

gboolean
bl_drill_run_prove (BlDrillRun *self, GError **error)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  char volts[G_ASCII_DTOSTR_BUF_SIZE];

  if (!check_open (self, TRUE, error))
    return FALSE;
  g_ascii_formatd (volts, sizeof volts, "%.1f", dead_volts (self));
  g_autofree char *text = g_strdup_printf ("%s %s %s", KNOWN_SOURCE, volts, KNOWN_SOURCE);
  return bl_bench_take_proof (self->bench, text, error);
}

gboolean
bl_drill_run_cautions_read (BlDrillRun *self)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  for (guint i = 0; i < self->steps->len; i++)
    if (((const BlDrillStep *) g_ptr_array_index (self->steps, i))->kind == BL_STEP_CAUTIONS)
      return TRUE;
  return FALSE;
}

gboolean
bl_drill_run_read_cautions (BlDrillRun *self, GError **error)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);

  if (!check_open (self, FALSE, error))
    return FALSE;
  if (bl_drill_run_cautions_read (self))
    return TRUE;
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, CAUTIONS, _ ("cautions read"));
  return bl_bench_append (self->bench, record, error);
}

/* With the drill, so that it is judged by the same ones whenever it is looked at. Should the program be gone before the
 * drill has ended, they are kept again at its end: the last ones count. */
static gboolean
keep_limits (BlDrillRun *self, GError **error)
{
  g_autofree char *text = limits_text (bl_bench_get_limits (self->bench));
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, LIMITS, text);

  return bl_bench_append (self->bench, record, error);
}

gboolean
bl_drill_run_conclude (BlDrillRun *self, const char *stage, const char *component, GError **error)
{
  g_return_val_if_fail (BL_IS_DRILL_RUN (self), FALSE);
  const BlBoard *board = bl_drill_board (self->drill);
  const char *unknown = stage != NULL && bl_board_stage (board, stage) == NULL           ? stage
                        : component != NULL && bl_board_component (board, component) == NULL ? component : NULL;

  if (unknown != NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no “%s” on this board."), unknown);
      return FALSE;
    }
  if (!check_open (self, FALSE, error) || !keep_limits (self, error)
      || !bl_library_end_drill (bl_practice_get_library (self->practice), self->row->id, stage, component, error)
      || !load_row (self, self->row->id, error))
    return FALSE;
  read_steps (self);
  bl_bench_set_blind (self->bench, FALSE);
  bl_drill_run_ask_score (self);
  g_signal_emit (self, signals[CHANGED], 0);
  return bl_practice_reload (self->practice, error);
}

/* --- the object --- */

static void
bl_drill_run_finalize (GObject *object)
{
  BlDrillRun *self = BL_DRILL_RUN (object);

  g_clear_object (&self->bench); /* before the library that it writes into */
  g_clear_pointer (&self->drill, bl_drill_free);
  g_clear_pointer (&self->row, bl_drill_row_free);
  g_clear_pointer (&self->steps, g_ptr_array_unref);
  g_clear_pointer (&self->places, g_array_unref);
  g_clear_pointer (&self->scored, g_ptr_array_unref);
  g_clear_pointer (&self->score, bl_drill_score_free);
  g_clear_pointer (&self->best, g_ptr_array_unref);
  g_free (self->trouble);
  g_clear_object (&self->practice);
  G_OBJECT_CLASS (bl_drill_run_parent_class)->finalize (object);
}

static void
bl_drill_run_class_init (BlDrillRunClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_drill_run_finalize;
  signals[CHANGED] = g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[UNSAFE] = g_signal_new ("unsafe", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  signals[SCORED] = g_signal_new ("scored", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[BEST] = g_signal_new ("best", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_drill_run_init (BlDrillRun *self)
{
  self->steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  self->places = g_array_new (FALSE, FALSE, sizeof (guint));
}
