/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Before and after a repair, and what the whole of proving still lacks.
 *
 * A job is proved from its last repair on: a part replaced, or put right otherwise, which is a line of the
 * same kind. What was tested before it was tested with another board, so to speak, and is asked for again.
 * A fault that only showed in the wet must be read again in the wet: reading it dry says nothing, so the
 * condition of both readings is compared. Checks are in bl-proving-checks.c, soak and electrical safety in
 * bl-proving-tests.c. The log has some hundred lines; everything is found by walking it. */
#include "config.h"

#include "bl-job-states.h"
#include "bl-proving-private.h"

#include <glib/gi18n-lib.h>

/* --- since when --- */

gssize
bl_proving_repair_place (BlBench *bench)
{
  GPtrArray *records = bl_bench_get_records (bench);
  gssize round = -1;

  for (guint i = bl_len (records); i > 0; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->struck)
        continue;
      if (record->kind == BL_RECORD_REPLACED)
        return i - 1;
      if (record->kind == BL_RECORD_ROUND && round < 0)
        round = i - 1;
    }
  return round;
}

const BlRecord *
bl_proving_repair (BlBench *bench)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  gssize place = bl_proving_repair_place (bench);

  return place >= 0 ? bl_at (bl_bench_get_records (bench), (guint) place) : NULL;
}

const BlRecord *
bl_proving_last (BlBench *bench, BlRecordKind kind, const char *subject, gboolean since_repair)
{
  GPtrArray *records = bl_bench_get_records (bench);
  gssize from = since_repair ? bl_proving_repair_place (bench) : -1;

  for (gssize i = (gssize) bl_len (records) - 1; i > from; i--)
    {
      const BlRecord *record = bl_at (records, (guint) i);
      if (!record->struck && record->kind == kind && g_strcmp0 (record->subject, subject) == 0)
        return record;
    }
  return NULL;
}

/* --- what killed it --- */

#define KILLER_ODDS 0.01 /* below this the readings speak against it; own choice */

static gboolean
provokes (const BlComponent *killer, const char *component)
{
  for (guint m = 0; m < bl_len (killer->modes); m++)
    {
      const BlMode *mode = bl_at (killer->modes, m);
      for (guint i = 0; i < bl_len (mode->provokes); i++)
        if (g_strcmp0 (((BlProvokes *) bl_at (mode->provokes, i))->component, component) == 0)
          return TRUE;
    }
  return FALSE;
}

char **
bl_proving_untested_killers (BlBench *bench, const char *component)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && component != NULL, NULL);
  const BlBoard *board = bl_bench_get_board (bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);
  g_autoptr (GPtrArray) killers = g_ptr_array_new ();

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *killer = bl_at (board->components, i);
      if (g_strcmp0 (killer->id, component) == 0 || !provokes (killer, component)
          || bl_proving_last (bench, BL_RECORD_PART_TEST, killer->id, FALSE) != NULL
          || bl_proving_last (bench, BL_RECORD_REPLACED, killer->id, FALSE) != NULL)
        continue;
      const BlOdd *odd = diagnosis != NULL ? bl_diagnosis_find (diagnosis->components, killer->id) : NULL;
      if (odd == NULL || odd->present >= KILLER_ODDS)
        g_ptr_array_add (killers, g_strdup (killer->id));
    }
  g_ptr_array_add (killers, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&killers), FALSE);
}

/* --- before and after --- */

void
bl_pair_free (BlPair *pair)
{
  if (pair == NULL)
    return;
  g_clear_object (&pair->item);
  g_free (pair->before_condition);
  g_free (pair->after_condition);
  g_free (pair);
}

/* A reading of the log with the condition it was taken in. */
typedef struct
{
  const BlRecord *record;
  const char *condition;
} Read;

static gboolean
deviates (const BlRecord *record)
{
  const BlVerdict *verdict = record->verdict;

  return verdict != NULL && verdict->evidence && verdict->certain && record->band != NULL
         && verdict->best != record->band->good;
}

static gboolean
is_evidence (const BlRecord *record)
{
  return record->verdict == NULL || record->verdict->evidence;
}

/* The last reading of each condition, those of one side of the repair, newest condition last. */
static GArray *
last_of_conditions (BlBench *bench, const char *measurement, gssize repair, gboolean after)
{
  GPtrArray *records = bl_bench_get_records (bench);
  GArray *reads = g_array_new (FALSE, FALSE, sizeof (Read));
  const char *condition = "";

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->struck)
        continue;
      if (record->kind == BL_RECORD_ROUND)
        condition = record->text != NULL ? record->text : "";
      if (record->kind != BL_RECORD_READING || (((gssize) i > repair) != after)
          || g_strcmp0 (record->subject, measurement) != 0 || !is_evidence (record))
        continue;
      for (guint k = 0; k < reads->len; k++)
        if (g_str_equal (g_array_index (reads, Read, k).condition, condition))
          g_array_remove_index (reads, k--);
      const Read read = { record, condition };
      g_array_append_val (reads, read);
    }
  return reads;
}

/* The newest that deviates, else the newest; NULL: none. */
static const Read *
worst (const GArray *reads)
{
  for (guint i = reads->len; i > 0; i--)
    if (deviates (g_array_index (reads, Read, i - 1).record))
      return &g_array_index (reads, Read, i - 1);
  return reads->len > 0 ? &g_array_index (reads, Read, reads->len - 1) : NULL;
}

static const Read *
in_condition (const GArray *reads, const char *condition)
{
  for (guint i = 0; i < reads->len; i++)
    if (g_str_equal (g_array_index (reads, Read, i).condition, condition))
      return &g_array_index (reads, Read, i);
  return reads->len > 0 ? &g_array_index (reads, Read, reads->len - 1) : NULL;
}

const BlVerdict *
bl_pair_verdict (const BlPair *pair, const BlRecord *record)
{
  g_return_val_if_fail (pair != NULL && record != NULL, NULL);
  /* One that follows another reading is judged by that as it stands now. */
  return bl_measurement_item_get_record (pair->item) == record ? bl_measurement_item_get_verdict (pair->item)
                                                               : record->verdict;
}

static BlPairState
state_of (const BlPair *pair)
{
  if (pair->after == NULL)
    return BL_PAIR_UNREAD;
  const BlVerdict *verdict = bl_pair_verdict (pair, pair->after);
  if (verdict == NULL || pair->after->band == NULL || !verdict->evidence || !verdict->certain)
    return BL_PAIR_NOT_SURE;
  if (verdict->best != pair->after->band->good)
    return BL_PAIR_DEVIATES;
  return deviates (pair->before) && !g_str_equal (pair->before_condition, pair->after_condition)
           ? BL_PAIR_OTHER_CONDITION
           : BL_PAIR_IN_BAND;
}

static BlPair *
pair_of (BlBench *bench, BlMeasurementItem *item, gssize repair)
{
  const char *id = bl_measurement_item_get_id (item);
  g_autoptr (GArray) earlier = last_of_conditions (bench, id, repair, FALSE);
  g_autoptr (GArray) later = last_of_conditions (bench, id, repair, TRUE);
  const Read *before = worst (earlier);

  if (before == NULL)
    return NULL;
  const Read *after = in_condition (later, before->condition);
  BlPair *pair = g_new0 (BlPair, 1);
  pair->item = g_object_ref (item);
  pair->before = before->record;
  pair->before_condition = g_strdup (before->condition);
  pair->after = after != NULL ? after->record : NULL;
  pair->after_condition = g_strdup (after != NULL ? after->condition : "");
  pair->state = state_of (pair);
  return pair;
}

GPtrArray *
bl_proving_pairs (BlBench *bench)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  GPtrArray *pairs = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_pair_free);
  GListModel *model = bl_bench_get_measurements (bench);
  gssize repair = bl_proving_repair_place (bench);

  for (guint i = 0; repair >= 0 && i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      BlPair *pair = bl_proving_is_check (bench, item) ? NULL : pair_of (bench, item, repair);
      if (pair != NULL)
        g_ptr_array_add (pairs, pair);
    }
  return pairs;
}

/* --- the whole --- */

static void
count_safety (BlBench *bench, const BlSafetyLimits *limits, BlProvingCount *count)
{
  BlSafetyUnit unit;
  gboolean has_class;

  bl_proving_unit (bench, &unit, &has_class);
  if (!has_class)
    {
      count->tests = count->open_tests = 1;
      return;
    }
  for (guint i = 0; i < BL_N_SAFETY_TESTS; i++)
    {
      const BlRecord *record = bl_proving_safety_record (bench, (BlSafetyTest) i);
      if (isnan (bl_safety_limit (limits, &unit, (BlSafetyTest) i)))
        continue;
      count->tests++;
      if (record == NULL || !is_evidence (record))
        count->open_tests++;
      else if (deviates (record))
        count->failed_tests++;
    }
}

void
bl_proving_count (BlBench *bench, const BlSafetyLimits *limits, const char *const *shop, BlProvingCount *count)
{
  g_return_if_fail (BL_IS_BENCH (bench) && limits != NULL && count != NULL);
  g_autoptr (GPtrArray) pairs = bl_proving_pairs (bench), checks = bl_proving_checks (bench, shop);

  *count = (BlProvingCount){ .pairs = pairs->len, .checks = checks->len };
  for (guint i = 0; i < pairs->len; i++)
    {
      const BlPair *pair = bl_at (pairs, i);
      count->unread += pair->state == BL_PAIR_UNREAD;
      count->deviating += pair->state == BL_PAIR_DEVIATES;
      count->other_condition += pair->state == BL_PAIR_OTHER_CONDITION;
    }
  for (guint i = 0; i < checks->len; i++)
    {
      const BlCheck *check = bl_at (checks, i);
      count->open_checks += check->answer == NULL;
      count->failed_checks += check->answer != NULL && !check->passed;
    }
  count_safety (bench, limits, count);
}

gboolean
bl_proving_begin (BlBench *bench, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), FALSE);
  const BlJob *job = bl_bench_get_job (bench);

  if (bl_proving_repair (bench) == NULL || job->state != BL_JOB_ON_THE_BENCH)
    return TRUE;
  return bl_bench_set_job_state (bench, BL_JOB_PROVING, error);
}
