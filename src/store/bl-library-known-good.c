/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which boards were healthy, what was read on them, and what the technician said about the bands that follow.
 * A shop marks some tens of boards of an edition; a board has a hundred measurements. Nothing is computed here:
 * the statistics are the core's, the proposal is the model's. */
#include "config.h"

#include "bl-library-known-good.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define NOT_STRUCK                                                                                                     \
  "coalesce ((SELECT struck FROM strike WHERE record = r.id ORDER BY strike.time DESC, strike.id DESC LIMIT 1), 0) = 0"

/* Of the lines of the log about one component the newest decides whether it was a cause. */
#define FAULT                                                                                                          \
  "(coalesce (j.cause, '') <> '' OR EXISTS (SELECT 1 FROM record r WHERE r.job = j.id AND r.kind = 'replaced' AND "    \
  NOT_STRUCK ") OR EXISTS (SELECT 1 FROM ("                                                                            \
  "SELECT r.kind AS kind, row_number () OVER (PARTITION BY r.subject ORDER BY r.time DESC, r.id DESC) AS place"        \
  " FROM record r WHERE r.job = j.id AND r.kind IN ('cause', 'no cause') AND " NOT_STRUCK                              \
  ") WHERE place = 1 AND kind = 'cause'))"

#define COUNTS "(NOT j.removed AND (g.despite_fault = 1 OR NOT " FAULT "))"

gboolean
bl_known_good_counts (BlKnownGoodMark mark, gboolean fault)
{
  return mark == BL_KNOWN_GOOD_DESPITE_FAULT || (mark == BL_KNOWN_GOOD_YES && !fault);
}

gboolean
bl_library_mark_known_good (BlLibrary *library, gint64 job, BlKnownGoodMark mark, GError **error)
{
  const char *doing = _ ("marking a known-good board");
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_library_require (library, "job", _ ("job"), job, error)
      || !bl_step_touch_id (library, "known-good", job, error))
    return FALSE;
  statement = bl_database_prepare (library->database, doing,
                                   mark == BL_KNOWN_GOOD_NO
                                     ? "DELETE FROM known_good WHERE job = ?1"
                                     : "INSERT INTO known_good (job, despite_fault, time) VALUES (?1, ?2, ?3)"
                                       " ON CONFLICT (job) DO UPDATE SET despite_fault = excluded.despite_fault",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job);
  if (mark != BL_KNOWN_GOOD_NO)
    {
      bl_statement_bind_int (statement, 2, mark == BL_KNOWN_GOOD_DESPITE_FAULT);
      bl_statement_bind_int (statement, 3, bl_library_now ());
    }
  return bl_statement_run (statement, error);
}

static BlKnownGoodMark
mark_of (gboolean marked, gboolean despite_fault)
{
  return !marked ? BL_KNOWN_GOOD_NO : despite_fault ? BL_KNOWN_GOOD_DESPITE_FAULT : BL_KNOWN_GOOD_YES;
}

gboolean
bl_library_get_known_good (BlLibrary *library, gint64 job, BlKnownGoodMark *mark, gboolean *fault, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL && mark != NULL, FALSE);
  statement = bl_database_prepare (library->database, _ ("reading whether the board was good"),
                                   "SELECT g.job IS NOT NULL, coalesce (g.despite_fault, 0), " FAULT
                                   " FROM job j LEFT JOIN known_good g ON g.job = j.id WHERE j.id = ?1",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("job"), job, error);
  if (step != BL_STEP_ROW)
    return FALSE;
  *mark = mark_of (bl_statement_int (statement, 0) != 0, bl_statement_int (statement, 1) != 0);
  if (fault != NULL)
    *fault = bl_statement_int (statement, 2) != 0;
  return TRUE;
}

/* gint64 keys, numbers as pointers, of a statement with two columns. */
static GHashTable *
table_of (BlLibrary *library, const char *sql, GError **error)
{
  g_autoptr (GHashTable) table = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, NULL);
  g_autoptr (BlStatement) statement =
    bl_database_prepare (library->database, _ ("listing the known-good boards"), sql, error);
  BlStep step = BL_STEP_ERROR;

  while (statement != NULL && (step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 key = bl_statement_int (statement, 0);
      g_hash_table_insert (table, g_memdup2 (&key, sizeof key),
                           GINT_TO_POINTER ((int) bl_statement_int (statement, 1)));
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&table) : NULL;
}

GHashTable *
bl_library_known_good_jobs (BlLibrary *library, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  return table_of (library,
                   "SELECT j.id, 1 + g.despite_fault FROM job j JOIN known_good g ON g.job = j.id WHERE " COUNTS,
                   error);
}

GHashTable *
bl_library_known_good_counts (BlLibrary *library, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  return table_of (library,
                   "SELECT j.board, count (*) FROM job j JOIN known_good g ON g.job = j.id WHERE " COUNTS
                   " GROUP BY j.board",
                   error);
}

/* --- readings --- */

void
bl_good_reading_free (BlGoodReading *reading)
{
  if (reading == NULL)
    return;
  g_free (reading->serial);
  g_free (reading->measurement);
  g_free (reading->text);
  g_free (reading->meter);
  g_free (reading);
}

/* The boards first, once; then their readings, but for those of a round that was wet, hot or otherwise different, and
 * those told by somebody else. Those that stand before those struck, the newest first, and the
 * first of each job and measurement counts. */
static const char readings_sql[] =
  "WITH good AS MATERIALIZED ("
  "  SELECT j.id AS id, j.number AS number, j.serial AS serial FROM job j JOIN known_good g ON g.job = j.id"
  "  WHERE j.board = ?1 AND " COUNTS "),"
  " rounds AS MATERIALIZED ("
  "  SELECT r.job AS job, r.time AS time, r.id AS id, r.text AS text FROM good JOIN record r ON r.job = good.id"
  "  WHERE r.kind = 'round' AND " NOT_STRUCK "),"
  " told AS ("
  "  SELECT r.id AS id, r.job AS job, r.time AS time, good.number AS number, good.serial AS serial,"
  "         r.subject AS subject, r.text AS text, r.meter AS meter, NOT " NOT_STRUCK " AS struck"
  "  FROM good JOIN record r ON r.job = good.id"
  "  WHERE r.kind = 'reading' AND r.subject IS NOT NULL AND (?2 IS NULL OR r.subject = ?2) AND r.misread IS NULL"
  "    AND coalesce ((SELECT x.text FROM rounds x WHERE x.job = r.job AND (x.time, x.id) < (r.time, r.id)"
  "                   ORDER BY x.time DESC, x.id DESC LIMIT 1), '') = '')"
  "SELECT id, job, time, number, serial, subject, text, meter, struck FROM ("
  "  SELECT *, row_number () OVER (PARTITION BY job, subject ORDER BY struck, time DESC, id DESC) AS place FROM told)"
  " WHERE place = 1 ORDER BY subject, number";

static BlGoodReading *
reading_of (BlStatement *statement)
{
  BlGoodReading *reading = g_new0 (BlGoodReading, 1);

  reading->record = bl_statement_int (statement, 0);
  reading->job = bl_statement_int (statement, 1);
  reading->time = bl_statement_int (statement, 2);
  reading->number = (int) bl_statement_int (statement, 3);
  reading->serial = bl_statement_dup_text (statement, 4);
  reading->measurement = bl_statement_dup_text (statement, 5);
  reading->text = bl_statement_dup_text (statement, 6);
  reading->meter = bl_statement_dup_text (statement, 7);
  reading->struck = bl_statement_int (statement, 8) != 0;
  return reading;
}

GPtrArray *
bl_library_known_good (BlLibrary *library, gint64 board, const char *measurement, GError **error)
{
  g_autoptr (GPtrArray) readings = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_good_reading_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step = BL_STEP_ERROR;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading what good boards read"), readings_sql, error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, measurement);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_ptr_array_add (readings, reading_of (statement));
  return step == BL_STEP_DONE ? g_steal_pointer (&readings) : NULL;
}

/* --- outliers --- */

gboolean
bl_library_leave_out (BlLibrary *library, gint64 board, const char *measurement, gint64 job, gboolean out,
                      GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  g_autofree char *subject
    = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s\t%" G_GINT64_FORMAT, board, measurement, job);

  g_return_val_if_fail (library != NULL && measurement != NULL, FALSE);
  if (!bl_library_require (library, "board", _ ("board"), board, error)
      || !bl_library_require (library, "job", _ ("job"), job, error)
      || !bl_step_touch (library, "left-out", subject, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("leaving out an outlier"),
                                   out ? "INSERT INTO left_out (board, measurement, job) VALUES (?1, ?2, ?3)"
                                         " ON CONFLICT DO NOTHING"
                                       : "DELETE FROM left_out WHERE board = ?1 AND measurement = ?2 AND job = ?3",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, measurement);
  bl_statement_bind_int (statement, 3, job);
  return bl_statement_run (statement, error);
}

GHashTable *
bl_library_left_out (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (GHashTable) set = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading which outliers are left out"),
                                   "SELECT measurement || char (9) || job FROM left_out WHERE board = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_hash_table_add (set, bl_statement_dup_text (statement, 0));
  return step == BL_STEP_DONE ? g_steal_pointer (&set) : NULL;
}

/* --- answers --- */

void
bl_band_answer_free (BlBandAnswer *answer)
{
  if (answer == NULL)
    return;
  g_free (answer->measurement);
  g_free (answer->jobs);
  g_free (answer);
}

gboolean
bl_library_answer_band (BlLibrary *library, gint64 board, const BlBandAnswer *answer, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && answer != NULL && answer->measurement != NULL, FALSE);
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s", board, answer->measurement);
  if (!bl_library_require (library, "board", _ ("board"), board, error)
      || !bl_step_touch (library, "band-answer", subject, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("keeping the answer about a band"),
                                   "INSERT INTO band_answer (board, measurement, accepted, low, high, jobs, time)"
                                   " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (board, measurement) DO UPDATE"
                                   " SET accepted = excluded.accepted, low = excluded.low, high = excluded.high,"
                                   " jobs = excluded.jobs, time = excluded.time",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, answer->measurement);
  bl_statement_bind_int (statement, 3, answer->accepted ? 1 : 0);
  bl_statement_bind_double (statement, 4, isfinite (answer->low) ? answer->low : NAN);
  bl_statement_bind_double (statement, 5, isfinite (answer->high) ? answer->high : NAN);
  bl_statement_bind_text (statement, 6, answer->jobs != NULL ? answer->jobs : "");
  bl_statement_bind_int (statement, 7, answer->time != 0 ? answer->time : bl_library_now ());
  return bl_statement_run (statement, error);
}

GHashTable *
bl_library_band_answers (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (GHashTable) answers =
    g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) bl_band_answer_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading what was said about proposed bands"),
                                   "SELECT measurement, accepted, low, high, jobs, time FROM band_answer"
                                   " WHERE board = ?1",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlBandAnswer *answer = g_new0 (BlBandAnswer, 1);
      answer->measurement = bl_statement_dup_text (statement, 0);
      answer->accepted = bl_statement_int (statement, 1) != 0;
      answer->low = bl_statement_double (statement, 2);
      answer->high = bl_statement_double (statement, 3);
      answer->jobs = bl_statement_dup_text (statement, 4);
      answer->time = bl_statement_int (statement, 5);
      g_hash_table_insert (answers, answer->measurement, answer);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&answers) : NULL;
}
