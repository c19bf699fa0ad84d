/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Undo and redo at the bench: one history of what was done there, in the order it was done. A step is an
 * entry of the log, which undo strikes and redo restores, or a change of the document (a point added to
 * a board that began as a photo, its expected value), which the document's own undo takes back.
 *
 * The log is on disk, so entries of earlier days can be undone as well; changes of the document only as
 * long as the job is open. Declared states and proofs of dead are facts about the hazard and no steps.
 */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-edition-parts.h"

#include <glib/gi18n-lib.h>

typedef struct
{
  gint64 record; /* of the log; 0: a change of the document */
  guint edit;    /* bl_edition_get_step () of that change */
  gboolean keeps; /* the change that made the photo's board an edition */
} Step;

struct BlBenchHistory
{
  GArray *done, *undone; /* Step, newest last */
  gint64 last_record;    /* the newest record seen */
  guint last_edit;
};

BlBenchHistory *
bl_bench_history_new (void)
{
  BlBenchHistory *self = g_new0 (BlBenchHistory, 1);

  self->done = g_array_new (FALSE, FALSE, sizeof (Step));
  self->undone = g_array_new (FALSE, FALSE, sizeof (Step));
  return self;
}

void
bl_bench_history_free (BlBenchHistory *self)
{
  g_array_unref (self->done);
  g_array_unref (self->undone);
  g_free (self);
}

static gboolean
is_step (const BlRecord *record)
{
  return !record->struck && record->kind != BL_RECORD_STATE && record->kind != BL_RECORD_PROOF;
}

void
bl_bench_history_follow_log (BlBench *bench)
{
  BlBenchHistory *self = bench->history;
  gint64 newest = self->last_record;

  for (guint i = 0; i < bench->records->len; i++)
    {
      const BlRecord *record = bl_at (bench->records, i);
      Step step = { .record = record->id };
      if (record->id <= self->last_record)
        continue;
      newest = MAX (newest, record->id);
      g_array_set_size (self->undone, 0);
      if (is_step (record))
        g_array_append_val (self->done, step);
    }
  if (newest == self->last_record)
    return;
  self->last_record = newest;
  bl_edition_settle (bench->edition); /* a change after a reading does not merge with one before it */
}

void
bl_bench_history_follow_edition (BlBench *bench)
{
  BlBenchHistory *self = bench->history;
  Step step = { .edit = bl_edition_get_step (bench->edition) };

  if (step.edit <= self->last_edit)
    return; /* merged with the step before, or undone, or redone */
  self->last_edit = step.edit;
  g_array_set_size (self->undone, 0);
  g_array_append_val (self->done, step);
}

void
bl_bench_history_mark_keeping (BlBench *bench)
{
  GArray *done = bench->history->done;

  if (done->len > 0)
    g_array_index (done, Step, done->len - 1).keeps = TRUE;
}

static const BlRecord *
find_record (BlBench *bench, gint64 id)
{
  for (guint i = bench->records->len; i > 0; i--)
    if (((BlRecord *) bl_at (bench->records, i - 1))->id == id)
      return bl_at (bench->records, i - 1);
  return NULL;
}

/* A step may have gone otherwise: struck by hand, restored, undone in the document's own history. */
static gboolean
still_stands (BlBench *bench, const Step *step, gboolean undo)
{
  const BlRecord *record;

  if (step->record == 0)
    return undo ? bl_edition_get_step (bench->edition) == step->edit
                : bl_edition_get_next_step (bench->edition) == step->edit;
  record = find_record (bench, step->record);
  return record != NULL && record->struck != undo;
}

/* The newest step of the array that still stands; NULL: none. */
static Step *
newest (BlBench *bench, GArray *steps, gboolean undo)
{
  while (steps->len > 0 && !still_stands (bench, &g_array_index (steps, Step, steps->len - 1), undo))
    g_array_set_size (steps, steps->len - 1);
  return steps->len > 0 ? &g_array_index (steps, Step, steps->len - 1) : NULL;
}

gboolean
bl_bench_can_undo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return newest (self, self->history->done, TRUE) != NULL;
}

gboolean
bl_bench_can_redo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return newest (self, self->history->undone, FALSE) != NULL;
}

/* --- words --- */

static char *
cause_label (BlBench *self, const BlRecord *record)
{
  g_autofree char *words = bl_cause_words (bl_bench_get_board (self), record->subject, record->text);

  return g_strdup_printf (record->kind == BL_RECORD_CAUSE ? _ ("%s the cause") : _ ("%s not the cause"), words);
}

static char *
record_label (BlBench *self, const BlRecord *record)
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
    case BL_RECORD_NOTE:
    case BL_RECORD_STATE:
    case BL_RECORD_PROOF:
    default:
      return g_strdup (_ ("note"));
    }
}

char *
bl_bench_get_undo_label (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const Step *step = newest (self, self->history->done, TRUE);

  if (step == NULL)
    return NULL;
  return step->record != 0 ? record_label (self, find_record (self, step->record))
                           : g_strdup (bl_edition_get_undo_label (self->edition));
}

char *
bl_bench_get_redo_label (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const Step *step = newest (self, self->history->undone, FALSE);

  if (step == NULL)
    return NULL;
  return step->record != 0 ? record_label (self, find_record (self, step->record))
                           : g_strdup (bl_edition_get_redo_label (self->edition));
}

/* --- going --- */

static char *
reading_of (BlBench *self, gint64 id)
{
  const BlRecord *record = find_record (self, id);
  return record != NULL && record->kind == BL_RECORD_READING ? g_strdup (record->subject) : NULL;
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

static gboolean
go_edit (BlBench *self, const Step *step, gboolean undo, GError **error)
{
  g_autoptr (GHashTable) ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GListModel *model = G_LIST_MODEL (self->items);

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      g_hash_table_add (ids, g_strdup (bl_measurement_item_get_id (item)));
    }
  if (step->keeps && !bl_library_set_provisional (self->library, bl_edition_get_id (self->edition), undo, error))
    return FALSE;
  if (!(undo ? bl_edition_undo (self->edition, error) : bl_edition_redo (self->edition, error)))
    return FALSE;
  select_after_edit (self, ids);
  return TRUE;
}

static gboolean
go_record (BlBench *self, gint64 id, gboolean undo, GError **error)
{
  g_autofree char *measurement = reading_of (self, id);
  BlMeasurementItem *item;

  if (!bl_library_strike (self->library, id, undo, undo ? _ ("undone") : _ ("redone"), error)
      || !bl_bench_reload (self, error))
    return FALSE;
  item = measurement != NULL ? bl_bench_find (self, measurement) : NULL;
  if (item == NULL)
    return TRUE;
  bl_bench_select (self, item);
  if (!undo)
    bl_bench_select_next_unread (self);
  return TRUE;
}

static gboolean
go (BlBench *self, gboolean undo, GError **error)
{
  GArray *from = undo ? self->history->done : self->history->undone;
  GArray *to = undo ? self->history->undone : self->history->done;
  const Step *found = newest (self, from, undo);

  if (found == NULL)
    return TRUE;
  /* Moved before it is done: whoever hears of the change asks at once what can be undone now. */
  const Step step = *found;
  guint before = to->len;
  g_array_set_size (from, from->len - 1);
  g_array_append_val (to, step);
  if (step.record != 0 ? go_record (self, step.record, undo, error) : go_edit (self, &step, undo, error))
    return TRUE;
  g_array_set_size (to, MIN (to->len, before));
  g_array_append_val (from, step);
  return FALSE;
}

gboolean
bl_bench_undo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return go (self, TRUE, error);
}

gboolean
bl_bench_redo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return go (self, FALSE, error);
}
