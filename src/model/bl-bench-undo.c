/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Undo and redo at the bench: one history of what was done there, in the order it was done. A step is an
 * entry of the log, which undo strikes and redo restores, a line struck by hand, which undo restores, something on
 * the job's head, or a change of the document (a point added to a board that began as a photo, its expected value),
 * which the document's own undo takes back. The history is in the library (bl-library-steps.h), so that it is there
 * when the job is opened again on the same day.
 *
 * A declared board state can be undone, for that never makes the board look safer: a proof of dead that a live state
 * made void stays void, and an unpowered state that is restored needs a new one (bl-bench.c). Proofs are no steps.
 */
#include "config.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- words --- */

static char *
cause_label (BlBench *self, const BlRecord *record)
{
  g_autofree char *words = bl_cause_words (bl_bench_get_board (self), record->subject, record->text);

  return g_strdup_printf (record->kind == BL_RECORD_CAUSE ? _ ("%s the cause") : _ ("%s not the cause"), words);
}

char *
bl_bench_record_label (BlBench *self, const BlRecord *record)
{
  BlMeasurementItem *item;

  switch (record->kind)
    {
    case BL_RECORD_READING:
      item = bl_bench_find (self, record->subject);
      return g_strdup_printf (_ ("reading %s: %s"),
                              item != NULL ? bl_measurement_item_get_point (item) : record->subject, record->text);
    case BL_RECORD_PART_TEST:
      return g_strdup_printf ("%s: %s", record->subject, record->text);
    case BL_RECORD_REPLACED:
      return g_strdup_printf (_ ("%s replaced"), record->subject);
    case BL_RECORD_ROUND:
      return g_strdup (_ ("new round"));
    case BL_RECORD_SYMPTOM:
      return g_strdup (_ ("fault shown"));
    case BL_RECORD_METER:
      return g_strdup (_ ("meter"));
    case BL_RECORD_MARK:
      return g_strdup_printf (_ ("mark “%s”"), record->text);
    case BL_RECORD_CAUSE:
    case BL_RECORD_NO_CAUSE:
      return cause_label (self, record);
    case BL_RECORD_STATE:
      return g_strdup_printf (_ ("board state %s"), record->subject);
    case BL_RECORD_TIME:
      return g_strdup (_ ("time spent"));
    case BL_RECORD_PHOTO:
      return g_strdup (_ ("photo added"));
    case BL_RECORD_TEST:
      return g_strdup (_ ("test after the repair"));
    case BL_RECORD_SUPPLY:
      return g_strdup (_ ("what it is fed by"));
    case BL_RECORD_JOB:
      return g_strdup (_ ("state of the job"));
    case BL_RECORD_NOTE:
    case BL_RECORD_PROOF:
    default:
      return g_strdup (_ ("note"));
    }
}

gboolean
bl_bench_begin_step (BlBench *self, const char *label, GError **error)
{
  return bl_bench_may_write (self, error)
         && bl_library_begin_step (self->library, BL_STEPS_JOB, self->job->id, label, error);
}

gboolean
bl_bench_mark_known_good (BlBench *self, BlKnownGoodMark how, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (!bl_bench_begin_step (self, _ ("known-good mark"), error)
      || !bl_library_end_step (self->library,
                               bl_library_mark_known_good (self->library, self->job->id, how, error), NULL, error))
    return FALSE;
  bl_bench_announce (self);
  return TRUE;
}

gboolean
bl_bench_can_undo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return !self->other_log && bl_library_peek_step (self->library, BL_STEPS_JOB, self->job->id, TRUE, NULL) != 0;
}

gboolean
bl_bench_can_redo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return !self->other_log && bl_library_peek_step (self->library, BL_STEPS_JOB, self->job->id, FALSE, NULL) != 0;
}

char *
bl_bench_get_undo_label (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  char *label = NULL;

  bl_library_peek_step (self->library, BL_STEPS_JOB, self->job->id, TRUE, &label);
  return label;
}

char *
bl_bench_get_redo_label (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  char *label = NULL;

  bl_library_peek_step (self->library, BL_STEPS_JOB, self->job->id, FALSE, &label);
  return label;
}

/* --- going --- */

/* The measurement that a line of the log is a reading of; NULL: none. */
static char *
reading_of (BlBench *self, gint64 id)
{
  for (guint i = self->records->len; i > 0; i--)
    {
      const BlRecord *record = bl_at (self->records, i - 1);
      if (record->id == id)
        return record->kind == BL_RECORD_READING ? g_strdup (record->subject) : NULL;
    }
  return NULL;
}

/* Where a document step leads: to the measurement that came with it, or to the last one when the one in
 * hand went. ids: the measurements before. */
static void
select_after_edit (BlBench *self, GHashTable *ids)
{
  GListModel *model = G_LIST_MODEL (self->items);
  guint n = g_list_model_get_n_items (model);

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (!g_hash_table_contains (ids, bl_measurement_item_get_id (item)))
        {
          bl_bench_select (self, item);
          return;
        }
    }
  if (self->current == NULL && n > 0)
    {
      g_autoptr (BlMeasurementItem) last = g_list_model_get_item (model, n - 1);
      bl_bench_select (self, last);
    }
}

/* The measurements there are now: a set of their ids. */
static GHashTable *
measurement_ids (BlBench *self)
{
  GHashTable *ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GListModel *model = G_LIST_MODEL (self->items);

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      g_hash_table_add (ids, g_strdup (bl_measurement_item_get_id (item)));
    }
  return ids;
}

/* Shows the measurement whose reading was struck or restored; restored, it goes on to the next unread one. */
static void
select_after_record (BlBench *self, const char *record, gboolean undo)
{
  g_autofree char *measurement = reading_of (self, g_ascii_strtoll (record, NULL, 10));
  BlMeasurementItem *item = measurement != NULL ? bl_bench_find (self, measurement) : NULL;

  if (item == NULL)
    return;
  bl_bench_select (self, item);
  if (!undo)
    bl_bench_select_next_unread (self);
}

static gboolean
go (BlBench *self, gboolean undo, GError **error)
{
  g_auto (BlStepTaken) taken = { 0 };
  g_autoptr (GHashTable) ids = measurement_ids (self);
  const char *rest = NULL;

  if (!bl_library_take_step (self->library, BL_STEPS_JOB, self->job->id, undo, &taken, error))
    {
      /* It may have been refused because something else is there now. */
      bl_edition_catch_up (self->edition, NULL);
      bl_bench_reload (self, NULL);
      return FALSE;
    }
  if (taken.id == 0)
    return TRUE;
  if (bl_step_taken_has (&taken, "step", NULL))
    {
      if (!bl_edition_follow_step (self->edition, &taken, error))
        return FALSE;
      select_after_edit (self, ids);
    }
  if ((bl_step_taken_has (&taken, "strength", NULL) && !bl_bench_learn (self, error))
      || (bl_step_taken_has (&taken, "job", NULL) && !bl_bench_load_head (self, error))
      || !bl_bench_reload (self, error))
    return FALSE;
  if (bl_step_taken_has (&taken, "record", &rest))
    select_after_record (self, rest, undo);
  return TRUE;
}

gboolean
bl_bench_undo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return bl_bench_may_write (self, error) && go (self, TRUE, error);
}

gboolean
bl_bench_redo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return bl_bench_may_write (self, error) && go (self, FALSE, error);
}
