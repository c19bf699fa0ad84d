/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who practises, what they answered, and when each topic is due again. A shop has a handful of people; each gives some
 * thousand answers a year. Drills are in bl-library-drills.c.
 *
 * A person is removed for good, and a name that was changed as well: the rows are written over, the file is made anew without
 * what lay on unused pages, and the log of writes is emptied, so that the name cannot be found in it afterwards. The file
 * has some megabytes, most of it photos: a fraction of a second. */
#include "config.h"

#include "bl-library-practice.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

char *
bl_library_practice_path (BlLibrary *shop)
{
  g_return_val_if_fail (shop != NULL, NULL);
  g_autofree char *usual = bl_library_default_path ();
  g_autofree char *path = g_canonicalize_filename (bl_database_path (shop->database), NULL);
  g_autofree char *digest = g_compute_checksum_for_string (G_CHECKSUM_SHA256, path, -1);
  g_autofree char *name = g_str_equal (path, usual) ? g_strdup ("practice.benchlore-library")
                                                    : g_strdup_printf ("practice-%.12s.benchlore-library", digest);

  return g_build_filename (g_get_user_data_dir (), "benchlore", name, NULL);
}

/* --- who practises --- */

void
bl_person_free (BlPerson *person)
{
  if (person == NULL)
    return;
  g_free (person->name);
  g_free (person);
}

GPtrArray *
bl_library_persons (BlLibrary *library, GError **error)
{
  g_autoptr (GPtrArray) persons = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_person_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("listing who practises"),
                                   "SELECT id, name, practising, created FROM person ORDER BY name COLLATE NOCASE",
                                   error);
  if (statement == NULL)
    return NULL;
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlPerson *person = g_new0 (BlPerson, 1);
      person->id = bl_statement_int (statement, 0);
      person->name = bl_statement_dup_text (statement, 1);
      person->practising = bl_statement_int (statement, 2) != 0;
      person->created = bl_statement_int (statement, 3);
      g_ptr_array_add (persons, person);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&persons) : NULL;
}

/* A name without blanks at its ends; NULL with an error where nothing is left, or somebody else than id has it. The
 * database compares letters of the basic set only. */
static char *
check_name (BlLibrary *library, const char *name, gint64 id, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (name)), *folded = g_utf8_casefold (trimmed, -1);
  g_autoptr (GPtrArray) persons = bl_library_persons (library, error);

  if (persons == NULL)
    return NULL;
  if (*trimmed == '\0')
    {
      g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("A person needs a short name or initials."));
      return NULL;
    }
  for (guint i = 0; i < persons->len; i++)
    {
      const BlPerson *person = bl_at (persons, i);
      g_autofree char *other = g_utf8_casefold (person->name, -1);
      if (person->id == id || strcmp (folded, other) != 0)
        continue;
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("“%s” practises here already."), person->name);
      return NULL;
    }
  return g_steal_pointer (&trimmed);
}

gint64
bl_library_add_person (BlLibrary *library, const char *name, GError **error)
{
  g_return_val_if_fail (library != NULL && name != NULL, 0);
  g_autofree char *checked = check_name (library, name, 0, error);
  if (checked == NULL)
    return 0;
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("adding a person"), "INSERT INTO person (name, created) VALUES (?1, ?2)", error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_text (statement, 1, checked);
  bl_statement_bind_int (statement, 2, bl_library_now ());
  return bl_statement_run (statement, error) ? bl_database_last_id (library->database) : 0;
}

/* --- leaving nothing behind --- */

static gboolean
write_over (BlLibrary *library, const char *doing, GError **error)
{
  return bl_database_run (library->database, doing, "PRAGMA secure_delete = 1", error);
}

/* That another program reads the file, so that the log has to stay, is told in a row, not as an error. */
static gboolean
empty_log (BlLibrary *library, const char *doing, GError **error)
{
  gint64 busy = 0;

  if (!bl_database_get_number (library->database, doing, "PRAGMA wal_checkpoint (TRUNCATE)", &busy, error))
    return FALSE;
  if (busy != 0)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY, _ ("%s: %s: %s"), bl_database_path (library->database), doing,
                 _ ("it is done, but another program reads the file: what was there before stays in the log of writes until "
                    "all have closed it"));
  return busy == 0;
}

/* What was deleted lies on in the index of words, on pages given up long before, and in the log of writes, until these are
 * made anew. Not in a transaction. */
static gboolean
wipe (BlLibrary *library, const char *doing, GError **error)
{
  return bl_database_run (library->database, doing,
                          "INSERT INTO record_words (record_words) VALUES ('optimize');"
                          "VACUUM",
                          error)
         && empty_log (library, doing, error);
}

static gboolean
set_name (BlLibrary *library, gint64 id, const char *name, const char *doing, GError **error)
{
  g_autoptr (BlStatement) statement
    = bl_database_prepare (library->database, doing, "UPDATE person SET name = ?1 WHERE id = ?2", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, name);
  bl_statement_bind_int (statement, 2, id);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_rename_person (BlLibrary *library, gint64 id, const char *name, GError **error)
{
  g_return_val_if_fail (library != NULL && name != NULL, FALSE);
  g_autofree char *checked = check_name (library, name, id, error);
  const char *doing = _ ("renaming a person");

  if (checked == NULL || !bl_library_require (library, "person", _ ("person"), id, error)
      || !write_over (library, doing, error) || !set_name (library, id, checked, doing, error))
    return FALSE;
  return wipe (library, doing, error);
}

gboolean
bl_library_set_practising (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  if (id != 0 && !bl_library_require (library, "person", _ ("person"), id, error))
    return FALSE;
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("saving who practises"),
      "UPDATE person SET practising = (id = ?1) WHERE practising <> (id = ?1)", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  return bl_statement_run (statement, error);
}

/* --- removing one --- */

/* In this order, for the log of a job may only be deleted while the job is a drill. */
static const char *const of_a_job[] = {
  "INSERT INTO record_words (record_words, rowid, subject, text, old, why, told_by)"
  " SELECT 'delete', id, subject, text, old, why, told_by FROM record"
  "  WHERE job = ?1 AND id IN (SELECT id FROM record_words_docsize)",
  "DELETE FROM strike WHERE record IN (SELECT id FROM record WHERE job = ?1)",
  "DELETE FROM record WHERE job = ?1",
  "DELETE FROM job_photo WHERE job = ?1",
  "DELETE FROM step WHERE place = 'job' AND owner = ?1",
  "DELETE FROM drill WHERE job = ?1",
  "DELETE FROM job WHERE id = ?1",
};
static const char *const of_a_person[] = {
  "DELETE FROM drill WHERE person = ?1",
  "DELETE FROM answer WHERE person = ?1",
  "DELETE FROM spacing WHERE person = ?1",
  "DELETE FROM person WHERE id = ?1",
};

static gboolean
run_all (BlLibrary *library, const char *const *statements, guint n, gint64 id, GError **error)
{
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlStatement) statement
        = bl_database_prepare (library->database, _ ("removing a person"), statements[i], error);
      if (statement == NULL)
        return FALSE;
      bl_statement_bind_int (statement, 1, id);
      if (!bl_statement_run (statement, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
remove_jobs (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (GPtrArray) drills = bl_library_drills (library, id, error);

  for (guint i = 0; i < bl_len (drills); i++)
    {
      const BlDrillRow *drill = bl_at (drills, i);
      if (drill->job != 0 && !run_all (library, of_a_job, G_N_ELEMENTS (of_a_job), drill->job, error))
        return FALSE;
    }
  return drills != NULL;
}

gboolean
bl_library_remove_person (BlLibrary *library, gint64 id, GError **error)
{
  const char *doing = _ ("removing a person");

  g_return_val_if_fail (library != NULL, FALSE);
  if (!write_over (library, doing, error) || !bl_database_begin (library->database, doing, error))
    return FALSE;
  gboolean ok = bl_library_require (library, "person", _ ("person"), id, error) && remove_jobs (library, id, error)
                && run_all (library, of_a_person, G_N_ELEMENTS (of_a_person), id, error);
  return bl_database_end (library->database, ok, doing, error) && wipe (library, doing, error);
}

/* --- answers --- */

static const char *const answer_names[BL_N_ANSWER_KINDS] = { "way", "reads", "worked" };

const char *
bl_answer_kind_name (BlAnswerKind kind)
{
  g_return_val_if_fail ((guint) kind < BL_N_ANSWER_KINDS, NULL);
  return answer_names[kind];
}

void
bl_answer_free (BlAnswer *answer)
{
  if (answer == NULL)
    return;
  g_free (answer->subject);
  g_free (answer->topic);
  g_free (answer->family);
  g_free (answer->what);
  g_free (answer);
}

static BlAnswer *
answer_from_row (BlStatement *statement)
{
  g_autofree char *name = bl_statement_dup_text (statement, 3);
  BlAnswer *answer = g_new0 (BlAnswer, 1);

  answer->id = bl_statement_int (statement, 0);
  answer->person = bl_statement_int (statement, 1);
  answer->time = bl_statement_int (statement, 2);
  for (guint i = 0; i < BL_N_ANSWER_KINDS; i++)
    if (g_strcmp0 (answer_names[i], name) == 0) /* the table refuses any other */
      answer->kind = (BlAnswerKind) i;
  answer->subject = bl_statement_dup_text (statement, 4);
  answer->topic = bl_statement_dup_text (statement, 5);
  answer->family = bl_statement_dup_text (statement, 6);
  answer->what = bl_statement_dup_text (statement, 7);
  answer->right = bl_statement_int (statement, 8) != 0;
  answer->near = bl_statement_int (statement, 9) != 0;
  answer->asked = bl_statement_int (statement, 10) != 0;
  return answer;
}

GPtrArray *
bl_library_answers (BlLibrary *library, gint64 person, GError **error)
{
  g_autoptr (GPtrArray) answers = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_answer_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the answers"),
                                   "SELECT id, person, time, kind, subject, topic, family, what, correct, near, asked"
                                   " FROM answer WHERE person = ?1 ORDER BY time, id",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, person);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_ptr_array_add (answers, answer_from_row (statement));
  return step == BL_STEP_DONE ? g_steal_pointer (&answers) : NULL;
}

gboolean
bl_library_add_answer (BlLibrary *library, BlAnswer *answer, GError **error)
{
  g_return_val_if_fail (library != NULL && answer != NULL, FALSE);
  gint64 time = answer->time != 0 ? answer->time : bl_library_now ();

  if (!bl_library_require (library, "person", _ ("person"), answer->person, error))
    return FALSE;
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("keeping the answer"),
      "INSERT INTO answer (person, time, kind, subject, topic, family, what, correct, near, asked)"
      " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
      error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, answer->person);
  bl_statement_bind_int (statement, 2, time);
  bl_statement_bind_text (statement, 3, bl_answer_kind_name (answer->kind));
  bl_statement_bind_text (statement, 4, answer->subject);
  bl_statement_bind_text (statement, 5, answer->topic);
  bl_statement_bind_text (statement, 6, answer->family);
  bl_statement_bind_text (statement, 7, answer->what);
  bl_statement_bind_int (statement, 8, answer->right ? 1 : 0);
  bl_statement_bind_int (statement, 9, answer->near ? 1 : 0);
  bl_statement_bind_int (statement, 10, answer->asked ? 1 : 0);
  if (!bl_statement_run (statement, error))
    return FALSE;
  answer->id = bl_database_last_id (library->database);
  answer->time = time;
  return TRUE;
}

/* --- what is due again --- */

static const char *const topic_names[BL_N_TOPIC_KINDS] = { "way", "reads", "section", "family" };

void
bl_topic_row_free (BlTopicRow *row)
{
  if (row == NULL)
    return;
  g_free (row->topic);
  g_free (row);
}

static BlTopicRow *
topic_from_row (BlStatement *statement)
{
  g_autofree char *name = bl_statement_dup_text (statement, 0);
  BlTopicRow *row = g_new0 (BlTopicRow, 1);

  for (guint i = 0; i < BL_N_TOPIC_KINDS; i++)
    if (g_strcmp0 (topic_names[i], name) == 0) /* the table refuses any other */
      row->kind = (BlTopicKind) i;
  row->topic = bl_statement_dup_text (statement, 1);
  row->spacing.due = (guint32) bl_statement_int (statement, 2);
  row->spacing.interval = (guint32) bl_statement_int (statement, 3);
  row->spacing.streak = (guint) bl_statement_int (statement, 4);
  return row;
}

GPtrArray *
bl_library_topics (BlLibrary *library, gint64 person, GError **error)
{
  g_autoptr (GPtrArray) topics = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_topic_row_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading what is due"),
                                   "SELECT kind, topic, due, interval, streak FROM spacing WHERE person = ?1"
                                   " ORDER BY due, topic, kind",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, person);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_ptr_array_add (topics, topic_from_row (statement));
  return step == BL_STEP_DONE ? g_steal_pointer (&topics) : NULL;
}

gboolean
bl_library_put_topic (BlLibrary *library, gint64 person, const BlTopicRow *row, GError **error)
{
  g_return_val_if_fail (library != NULL && row != NULL && (guint) row->kind < BL_N_TOPIC_KINDS, FALSE);

  if (!bl_library_require (library, "person", _ ("person"), person, error))
    return FALSE;
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("keeping what is due"),
      "INSERT INTO spacing (person, kind, topic, due, interval, streak) VALUES (?1, ?2, ?3, ?4, ?5, ?6)"
      " ON CONFLICT (person, kind, topic) DO UPDATE SET due = excluded.due, interval = excluded.interval,"
      " streak = excluded.streak",
      error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, person);
  bl_statement_bind_text (statement, 2, topic_names[row->kind]);
  bl_statement_bind_text (statement, 3, row->topic);
  bl_statement_bind_int (statement, 4, row->spacing.due);
  bl_statement_bind_int (statement, 5, row->spacing.interval);
  bl_statement_bind_int (statement, 6, row->spacing.streak);
  return bl_statement_run (statement, error);
}
