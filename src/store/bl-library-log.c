/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench log of a job: lines that only grow in number. A wrong one is struck by a further row,
 * and restored by yet another; the triggers of the schema refuse anything else. A reading carries
 * the band it was judged by, so that a later change of the document leaves the past as it was. */
#include "config.h"

#include "bl-library-private.h"
#include "bl-library-time.h"
#include "bl-record-json.h"

#include <glib/gi18n-lib.h>

static const char *const kind_names[] = {
  [BL_RECORD_READING] = "reading",   [BL_RECORD_PART_TEST] = "part test",
  [BL_RECORD_REPLACED] = "replaced", [BL_RECORD_ROUND] = "round",
  [BL_RECORD_SYMPTOM] = "symptom",   [BL_RECORD_STATE] = "state",
  [BL_RECORD_PROOF] = "proof",       [BL_RECORD_METER] = "meter",
  [BL_RECORD_MARK] = "mark",         [BL_RECORD_NOTE] = "note",
  [BL_RECORD_CAUSE] = "cause",       [BL_RECORD_NO_CAUSE] = "no cause",
  [BL_RECORD_TIME] = "time",         [BL_RECORD_PHOTO] = "photo",
  [BL_RECORD_TEST] = "test",         [BL_RECORD_SUPPLY] = "supply",
  [BL_RECORD_JOB] = "job",
};

BlRecord *
bl_record_new (BlRecordKind kind, const char *subject, const char *text)
{
  BlRecord *record = g_new0 (BlRecord, 1);

  record->kind = kind;
  record->subject = g_strdup (subject);
  record->text = g_strdup (text);
  record->misread = NAN;
  record->x = record->y = NAN;
  return record;
}

void
bl_record_free (BlRecord *record)
{
  if (record == NULL)
    return;
  g_free (record->uid);
  g_free (record->subject);
  g_free (record->text);
  g_free (record->state);
  g_free (record->black);
  g_free (record->meter);
  g_free (record->expected);
  g_clear_pointer (&record->band, bl_band_free);
  g_clear_pointer (&record->verdict, bl_verdict_free);
  g_free (record->told_by);
  g_free (record->old);
  g_free (record->why);
  g_free (record->photo);
  g_free (record->struck_reason);
  g_free (record);
}

/* A clock set back must not shuffle the log: a line is never earlier than the one before it. */
static gboolean
next_time (BlLibrary *library, gint64 job, gint64 *time, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("adding to the bench log"),
                           "SELECT coalesce (max (time), 0) + 1 FROM record WHERE job = ?1", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job);
  if (bl_statement_step (statement, error) != BL_STEP_ROW)
    return FALSE;
  *time = MAX (bl_library_now (), bl_statement_int (statement, 0));
  return TRUE;
}

static gboolean
insert_record (BlLibrary *library, const BlRecord *record, gint64 time, GError **error)
{
  g_autofree char *band = bl_band_to_json (record->band),
                  *verdict = bl_verdict_to_json (record->verdict);
  g_autofree char *uid = record->uid != NULL ? g_strdup (record->uid) : bl_library_new_uid ();
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("adding to the bench log"),
                           "INSERT INTO record (job, time, kind, subject, text, state, black, "
                           "meter, misread, expected, band, verdict,"
                           " unproven, photo, x, y, uid, told_by, old, why) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, "
                           "?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20)",
                           error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, record->job);
  bl_statement_bind_int (statement, 2, time);
  bl_statement_bind_text (statement, 3, kind_names[record->kind]);
  bl_statement_bind_text (statement, 4, record->subject);
  bl_statement_bind_text (statement, 5, record->text);
  bl_statement_bind_text (statement, 6, record->state);
  bl_statement_bind_text (statement, 7, record->black);
  bl_statement_bind_text (statement, 8, record->meter);
  bl_statement_bind_double (statement, 9, record->misread);
  bl_statement_bind_text (statement, 10, record->expected);
  bl_statement_bind_text (statement, 11, band);
  bl_statement_bind_text (statement, 12, verdict);
  bl_statement_bind_int (statement, 13, record->unproven ? 1 : 0);
  bl_statement_bind_text (statement, 14, record->photo);
  bl_statement_bind_double (statement, 15, record->x);
  bl_statement_bind_double (statement, 16, record->y);
  bl_statement_bind_text (statement, 17, uid);
  bl_statement_bind_text (statement, 18, record->told_by);
  bl_statement_bind_text (statement, 19, record->old);
  bl_statement_bind_text (statement, 20, record->why);
  return bl_statement_run (statement, error);
}

static gboolean
touch_job (BlLibrary *library, gint64 job, gint64 time, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("adding to the bench log"),
                           "UPDATE job SET changed = max (changed, ?1) WHERE id = ?2", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, time);
  bl_statement_bind_int (statement, 2, job);
  return bl_statement_run (statement, error);
}

/* Words to be found by; see versions 7 and 10 of the tables. */
static gboolean
index_words (BlLibrary *library, const BlRecord *record, gint64 id, GError **error)
{
  if (record->kind == BL_RECORD_READING || record->kind == BL_RECORD_STATE || record->kind == BL_RECORD_METER
      || record->kind == BL_RECORD_ROUND || record->kind == BL_RECORD_JOB
      || (record->kind == BL_RECORD_TIME && (record->subject == NULL || g_str_equal (record->subject, BL_TIME_COUNTED))))
    return TRUE;
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("adding to the bench log"),
                           "INSERT INTO record_words (rowid, subject, text, old, why, told_by)"
                           " VALUES (?1, ?2, ?3, ?4, ?5, ?6)", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  bl_statement_bind_text (statement, 2, record->subject);
  bl_statement_bind_text (statement, 3, record->text);
  bl_statement_bind_text (statement, 4, record->old);
  bl_statement_bind_text (statement, 5, record->why);
  bl_statement_bind_text (statement, 6, record->told_by);
  return bl_statement_run (statement, error);
}

/* Sets id and time of what was written. */
static gboolean
append_one (BlLibrary *library, const BlRecord *record, gint64 *id, gint64 *time, GError **error)
{
  *time = record->time;
  if (!bl_library_require (library, "job", _ ("job"), record->job, error) ||
      (*time == 0 && !next_time (library, record->job, time, error)) ||
      !insert_record (library, record, *time, error))
    return FALSE;
  *id = bl_database_last_id (library->database);
  return index_words (library, record, *id, error) && touch_job (library, record->job, *time, error);
}

gboolean
bl_library_append_all (BlLibrary *library, BlRecord *const *records, guint n, GError **error)
{
  const char *doing = _ ("adding to the bench log");
  g_autofree gint64 *ids = g_new0 (gint64, n + 1), *times = g_new0 (gint64, n + 1);
  gboolean ok = TRUE;

  g_return_val_if_fail (library != NULL && (records != NULL || n == 0), FALSE);
  for (guint i = 0; i < n; i++)
    g_return_val_if_fail ((guint) records[i]->kind < G_N_ELEMENTS (kind_names), FALSE);
  if (!bl_database_begin (library->database, doing, error))
    return FALSE;
  for (guint i = 0; i < n && ok; i++)
    ok = append_one (library, records[i], &ids[i], &times[i], error);
  if (!bl_database_end (library->database, ok, doing, error))
    return FALSE;
  for (guint i = 0; i < n; i++)
    {
      records[i]->id = ids[i];
      records[i]->time = times[i];
    }
  return TRUE;
}

gboolean
bl_library_append (BlLibrary *library, BlRecord *record, GError **error)
{
  g_return_val_if_fail (record != NULL, FALSE);
  return bl_library_append_all (library, &record, 1, error);
}

/* Whether the record is struck now, by its latest strike row. The latest in time: those of another bench come in later,
 * whatever their time. A clock set back must not undo what was said last. */
static gboolean
get_struck (BlLibrary *library, gint64 record, gboolean *struck, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("striking a line of the bench log"),
      "SELECT struck FROM strike WHERE record = ?1 ORDER BY time DESC, id DESC LIMIT 1", error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, record);
  step = bl_statement_step (statement, error);
  *struck = step == BL_STEP_ROW && bl_statement_int (statement, 0) != 0;
  return step != BL_STEP_ERROR;
}

static gboolean
insert_strike (BlLibrary *library,
               gint64 record,
               gboolean strike,
               const char *reason,
               GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("striking a line of the bench log"),
      "INSERT INTO strike (record, time, struck, reason)"
      " VALUES (?1, max (?2, coalesce ((SELECT max (time) + 1 FROM strike WHERE record = ?1), 0)), ?3, ?4)", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, record);
  bl_statement_bind_int (statement, 2, bl_library_now ());
  bl_statement_bind_int (statement, 3, strike ? 1 : 0);
  bl_statement_bind_text (statement, 4, reason);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_strike (BlLibrary *library,
                   gint64 record,
                   gboolean strike,
                   const char *reason,
                   GError **error)
{
  const char *doing = _ ("striking a line of the bench log");
  gboolean struck = FALSE, ok;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_database_begin (library->database, doing, error))
    return FALSE;
  ok = bl_library_require (library, "record", _ ("line of the bench log"), record, error) &&
       get_struck (library, record, &struck, error) && bl_step_touch_id (library, "record", record, error);
  if (ok && struck != !!strike)
    ok = insert_strike (library, record, strike, reason, error);
  return bl_database_end (library->database, ok, doing, error);
}

const char *
bl_record_kind_name (BlRecordKind kind)
{
  return (guint) kind < G_N_ELEMENTS (kind_names) ? kind_names[kind] : NULL;
}

gboolean
bl_record_kind_parse (const char *name, BlRecordKind *kind)
{
  g_return_val_if_fail (kind != NULL, FALSE);
  for (guint i = 0; i < G_N_ELEMENTS (kind_names); i++)
    if (g_strcmp0 (kind_names[i], name) == 0)
      {
        *kind = (BlRecordKind) i;
        return TRUE;
      }
  return FALSE;
}

static BlRecord *
record_from_row (BlLibrary *library, BlStatement *statement, GError **error)
{
  g_autofree char *name = bl_statement_dup_text (statement, 3),
                  *subject = bl_statement_dup_text (statement, 4);
  g_autofree char *text = bl_statement_dup_text (statement, 5),
                  *band = bl_statement_dup_text (statement, 11);
  g_autofree char *verdict = bl_statement_dup_text (statement, 12);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, subject, text);

  if (!bl_record_kind_parse (name, &record->kind))
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT,
                   _ ("%s: unknown kind of log line: %s"), bl_database_path (library->database),
                   name);
      return NULL;
    }
  record->id = bl_statement_int (statement, 0);
  record->job = bl_statement_int (statement, 1);
  record->time = bl_statement_int (statement, 2);
  record->state = bl_statement_dup_text (statement, 6);
  record->black = bl_statement_dup_text (statement, 7);
  record->meter = bl_statement_dup_text (statement, 8);
  record->misread = bl_statement_double (statement, 9);
  record->expected = bl_statement_dup_text (statement, 10);
  record->unproven = bl_statement_int (statement, 13) != 0;
  record->photo = bl_statement_dup_text (statement, 14);
  record->x = bl_statement_double (statement, 15);
  record->y = bl_statement_double (statement, 16);
  record->struck = bl_statement_int (statement, 17) != 0;
  record->restored_time = record->struck ? 0 : bl_statement_int (statement, 18);
  record->struck_time = record->struck ? bl_statement_int (statement, 18) : 0;
  record->struck_reason = record->struck ? bl_statement_dup_text (statement, 19) : NULL;
  record->uid = bl_statement_dup_text (statement, 20);
  record->told_by = bl_statement_dup_text (statement, 21);
  record->old = bl_statement_dup_text (statement, 22);
  record->why = bl_statement_dup_text (statement, 23);
  if ((band != NULL && (record->band = bl_band_from_json (band, error)) == NULL) ||
      (verdict != NULL && (record->verdict = bl_verdict_from_json (verdict, error)) == NULL))
    {
      g_prefix_error (error, "%s: ", bl_database_path (library->database));
      return NULL;
    }
  return g_steal_pointer (&record);
}

GPtrArray *
bl_library_records (BlLibrary *library, gint64 job, GError **error)
{
  g_autoptr (GPtrArray) records = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the bench log"),
                                   "SELECT r.id, job, r.time, kind, subject, text, state, black, "
                                   "meter, misread, expected, band, verdict,"
                                   " unproven, photo, x, y, coalesce (s.struck, 0), s.time, "
                                   "s.reason, r.uid, told_by, old, why FROM record r LEFT JOIN strike s"
                                   " ON s.id = (SELECT id FROM strike WHERE record = r.id ORDER BY time DESC, id DESC LIMIT 1) "
                                   "WHERE job = ?1 ORDER BY r.time, r.id",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, job);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlRecord *record = record_from_row (library, statement, error);
      if (record == NULL)
        return NULL;
      g_ptr_array_add (records, record);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&records) : NULL;
}

/* --- as evidence --- */

static gboolean
entry_kind (BlRecordKind kind, BlEntryKind *entry)
{
  switch (kind)
    {
    case BL_RECORD_READING:
      *entry = BL_ENTRY_READING;
      return TRUE;
    case BL_RECORD_PART_TEST:
      *entry = BL_ENTRY_PART_TEST;
      return TRUE;
    case BL_RECORD_REPLACED:
      *entry = BL_ENTRY_REPLACED;
      return TRUE;
    case BL_RECORD_ROUND:
      *entry = BL_ENTRY_ROUND;
      return TRUE;
    case BL_RECORD_SYMPTOM:
      *entry = BL_ENTRY_SYMPTOM;
      return TRUE;
    case BL_RECORD_STATE:
    case BL_RECORD_PROOF:
    case BL_RECORD_METER:
    case BL_RECORD_MARK:
    case BL_RECORD_NOTE:
    case BL_RECORD_CAUSE:
    case BL_RECORD_NO_CAUSE:
    case BL_RECORD_TIME:
    case BL_RECORD_PHOTO:
    case BL_RECORD_TEST:
    case BL_RECORD_SUPPLY:
    case BL_RECORD_JOB:
    default:
      return FALSE;
    }
}

/* Without a band the kind of measurement is unknown; then whatever kind can read the text will do,
 * for such a reading is no evidence. */
static gboolean
parse_reading (const BlRecord *record, BlReading *reading)
{
  const char *text = record->text != NULL ? record->text : "";

  if (record->band != NULL)
    return bl_reading_parse (text, record->band->measures, reading, NULL);
  for (int measures = 0; measures < BL_N_MEASURES; measures++)
    if (bl_reading_parse (text, (BlMeasures) measures, reading, NULL))
      return TRUE;
  return FALSE;
}

GPtrArray *
bl_records_to_entries (GPtrArray *records)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      BlEntryKind kind;
      BlEntry *entry;
      if (record->struck || !entry_kind (record->kind, &kind))
        continue;
      entry = bl_entry_new (kind, record->subject, record->text);
      entry->misread = record->misread;
      entry->meter = g_strdup (record->meter);
      entry->state = g_strdup (record->state);
      entry->black = g_strdup (record->black);
      if (record->verdict != NULL)
        entry->judged = bl_verdict_copy (record->verdict);
      if (kind == BL_ENTRY_READING && !parse_reading (record, &entry->reading))
        {
          bl_entry_free (entry);
          continue;
        }
      g_ptr_array_add (entries, entry);
    }
  return entries;
}
