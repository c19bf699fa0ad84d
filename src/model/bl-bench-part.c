/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The suspect board of an equipment as a job of its own. What goes along is bl-carry.c's; each line stands in the new log
 * as in the equipment's, with its own time, the band it was judged by and the verdict it was given. The new job takes what
 * comes in at the board's ports for good: so a board is opened when the others are cleared. A declared state goes along,
 * for a hazard does not end where a job begins; a proof of dead does not, it was taken on the equipment as it stood.
 */
#include "config.h"

#include "bl-bench-equipment.h"

#include "bl-bench-private.h"
#include "bl-carry.h"

#include <glib/gi18n-lib.h>

const BlJob *
bl_bench_get_whole_job (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->whole;
}

void
bl_bench_load_whole (BlBench *self)
{
  g_clear_pointer (&self->whole, bl_job_free);
  if (self->job->part_of != 0)
    self->whole = bl_library_load_job (self->library, self->job->part_of, NULL);
}

gint64
bl_bench_part_job (BlBench *self, const char *role, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);
  gint64 board = bl_bench_box_board (self, role), found = 0;
  g_autoptr (GArray) jobs = board != 0 ? bl_library_part_jobs (self->library, self->job->id, error) : NULL;

  for (guint i = 0; jobs != NULL && i < jobs->len; i++)
    {
      g_autoptr (BlJob) job = bl_library_load_job (self->library, g_array_index (jobs, gint64, i), error);
      if (job != NULL && job->board == board)
        found = job->id;
    }
  return found;
}

/* --- carrying over --- */

/* A line of evidence and what it says; several of them, in order of time. */
typedef struct
{
  GPtrArray *entries; /* BlEntry */
  GPtrArray *records; /* BlRecord of each, of the log */
} Evidence;

static Evidence
evidence_of (BlBench *self)
{
  Evidence evidence = { g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free), g_ptr_array_new () };

  for (guint i = 0; i < self->records->len; i++)
    {
      g_autoptr (GPtrArray) one = g_ptr_array_new ();
      g_ptr_array_add (one, bl_at (self->records, i));
      GPtrArray *entries = bl_records_to_entries (one);
      if (entries->len > 0)
        g_ptr_array_add (evidence.records, bl_at (self->records, i));
      g_ptr_array_extend_and_steal (evidence.entries, entries);
    }
  return evidence;
}

static BlRecordKind
kind_of (const BlEntry *entry)
{
  static const BlRecordKind kinds[] = { [BL_ENTRY_READING] = BL_RECORD_READING,
                                        [BL_ENTRY_PART_TEST] = BL_RECORD_PART_TEST,
                                        [BL_ENTRY_REPLACED] = BL_RECORD_REPLACED,
                                        [BL_ENTRY_ROUND] = BL_RECORD_ROUND,
                                        [BL_ENTRY_SYMPTOM] = BL_RECORD_SYMPTOM };

  return kinds[entry->kind];
}

/* The line as it stands in the log, under the names that the board alone has. (transfer full) */
static BlRecord *
carry_record (const BlRecord *from, const BlEntry *entry, gint64 job)
{
  BlRecord *record = bl_record_new (kind_of (entry), entry->subject, from->text);

  if (entry->kind == BL_ENTRY_ROUND && from->kind != BL_RECORD_ROUND)
    {
      g_free (record->text); /* a part of another box was replaced: a round in the same condition */
      record->text = g_strdup (entry->text != NULL ? entry->text : "");
    }
  record->job = job;
  record->time = from->time;
  record->state = g_strdup (from->state);
  record->black = g_strdup (entry->black);
  record->meter = g_strdup (from->meter);
  record->misread = from->misread;
  record->told_by = g_strdup (from->told_by);
  record->expected = g_strdup (from->expected);
  record->band = from->band != NULL ? bl_band_copy (from->band) : NULL;
  record->verdict = from->verdict != NULL ? bl_verdict_copy (from->verdict) : NULL;
  record->unproven = from->unproven;
  record->old = g_strdup (from->old);
  record->why = g_strdup (from->why);
  return record;
}

/* The state the equipment is in, where the board has it, and the meter in use. */
static void
add_present (BlBench *self, const BlBoard *board, gint64 job, GPtrArray *lines)
{
  if (self->state != NULL && bl_board_state (board, self->state) != NULL)
    {
      BlRecord *record = bl_record_new (BL_RECORD_STATE, self->state, NULL);
      record->job = job;
      record->time = self->state_time;
      g_ptr_array_add (lines, record);
    }
  for (guint i = self->records->len; i > 0; i--)
    {
      const BlRecord *from = bl_at (self->records, i - 1);
      if (from->kind != BL_RECORD_METER || from->struck)
        continue;
      BlRecord *record = bl_record_new (BL_RECORD_METER, from->subject, from->text);
      record->job = job;
      record->time = from->time;
      g_ptr_array_add (lines, record);
      break;
    }
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  const BlRecord *x = *(BlRecord *const *) a, *y = *(BlRecord *const *) b;
  return x->time < y->time ? -1 : x->time > y->time;
}

/* words: what came along and what did not. */
static GPtrArray *
lines_for (BlBench *self, const char *role, const BlBoard *board, gint64 job, char **words)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free);
  Evidence evidence = evidence_of (self);
  g_autoptr (BlCarried) carried = bl_carry (evidence.entries, bl_bench_get_board (self), board, role);

  *words = bl_carried_words (carried);
  for (guint i = 0; i < carried->entries->len; i++)
    g_ptr_array_add (lines, carry_record (bl_at (evidence.records, g_array_index (carried->from, guint, i)),
                                          bl_at (carried->entries, i), job));
  add_present (self, board, job, lines);
  g_ptr_array_sort (lines, compare_times); /* stable */
  g_ptr_array_unref (evidence.entries);
  g_ptr_array_unref (evidence.records);
  return lines;
}

gboolean
bl_bench_note_in (BlBench *self, gint64 job, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, NULL, text);

  record->job = job;
  return bl_library_append (self->library, record, error);
}

/* Both logs say where the work went. */
static gboolean
note_both (BlBench *self, const BlJob *part, const char *role, const char *words, GError **error)
{
  g_autofree char *here = g_strdup_printf (_ ("The %s board is worked on in job %d"), role, part->number);
  g_autofree char *there = g_strdup_printf (_ ("Begun from job %d. %s"), self->job->number, words);

  return bl_bench_note_in (self, self->job->id, here, error)
         && bl_bench_note_in (self, part->id, there, error);
}

static gboolean
begin_part (BlBench *self, const char *role, const BlBoard *board, BlJob *part, GError **error)
{
  g_autoptr (GPtrArray) lines = NULL;
  g_autofree char *words = NULL;

  if (bl_library_add_job (self->library, part, error) == 0)
    return FALSE;
  lines = lines_for (self, role, board, part->id, &words);
  return (lines->len == 0
          || bl_library_append_all (self->library, (BlRecord *const *) lines->pdata, lines->len, error))
         && note_both (self, part, role, words, error);
}

gint64
bl_bench_begin_part_job (BlBench *self, const char *role, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && role != NULL, 0);
  const char *doing = _ ("opening the board");
  gint64 id = bl_bench_box_board (self, role);
  g_autoptr (BlBoard) board = id != 0 ? bl_library_load_board (self->library, id, error) : NULL;
  g_autoptr (BlJob) part = bl_job_new ();

  if (board == NULL)
    {
      if (id == 0)
        g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no board “%s” in this equipment"), role);
      return 0;
    }
  bl_bench_take_head (part, self->job);
  part->number = 0;
  g_clear_pointer (&part->serial, g_free); /* of the unit, not of this board */
  part->board = id;
  part->part_of = self->job->id;
  if (!bl_library_begin (self->library, doing, error)
      || !bl_library_end (self->library, begin_part (self, role, board, part, error), doing, error)
      || !bl_bench_reload (self, error))
    return 0;
  return part->id;
}
