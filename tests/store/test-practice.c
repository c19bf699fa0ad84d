/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Practice in its library: a file of the version before, drills from composing to the score, answers, and that a person
 * who is removed leaves nothing behind while a job of the shop keeps its log. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library-practice.h"

#include "sample.h"
#include "scratch.h"

#include "bl-database.h"
#include "bl-library-private.h"
#include "bl-library-steps.h"
#include "bl-tables.h"

#include <string.h>

static const char *const drawn[] = { "U2:open", NULL };

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 board;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "practice");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->board = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  bl_library_close (fixture->library);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static void
reopen (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;

  bl_library_close (fixture->library);
  fixture->library = bl_library_open (fixture->path, FALSE, &error);
  g_assert_no_error (error);
}

/* Each library of the shop has a file of its own, all in the user's data folder. */
static void
test_path (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *other_path = scratch_file (fixture->folder, "other");
  BlLibrary *other = bl_library_open (other_path, TRUE, &error);
  g_assert_no_error (error);
  g_autofree char *one = bl_library_practice_path (fixture->library), *two = bl_library_practice_path (other);
  g_autofree char *folder = g_path_get_dirname (one), *usual = bl_library_default_path ();
  g_autofree char *usual_folder = g_path_get_dirname (usual);

  g_assert_cmpstr (one, !=, two);
  g_assert_cmpstr (folder, ==, usual_folder);
  bl_library_close (other);
  reopen (fixture);
  g_autofree char *again = bl_library_practice_path (fixture->library);
  g_assert_cmpstr (one, ==, again);
}

static gint64
add_person (Fixture *fixture, const char *name)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_library_add_person (fixture->library, name, &error);

  g_assert_no_error (error);
  return id;
}

static gint64
add_drill (Fixture *fixture, gint64 person, gboolean planted)
{
  static const char *const sections[] = { "supply", "co\"mm", NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDrillRow) row = bl_drill_row_new ();

  row->person = person;
  row->kind = BL_DRILL_MISREAD;
  row->planted = planted;
  row->board = fixture->board;
  row->subject = g_strdup (SAMPLE_UID);
  row->seed = G_MAXUINT32;
  row->sections = g_strdupv ((char **) sections);
  row->faults = planted ? g_strdupv ((char **) drawn) : NULL;
  gint64 id = bl_library_add_drill (fixture->library, row, &error);
  g_assert_no_error (error);
  return id;
}

static void
append (Fixture *fixture, gint64 job, BlRecordKind kind, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlRecord) record = bl_record_new (kind, NULL, text);

  record->job = job;
  bl_library_append (fixture->library, record, &error);
  g_assert_no_error (error);
  bl_library_strike (fixture->library, record->id, TRUE, "slip", &error);
  g_assert_no_error (error);
}

static guint
n_persons (Fixture *fixture)
{
  g_autoptr (GPtrArray) persons = bl_library_persons (fixture->library, NULL);

  return persons->len;
}

static void
test_persons (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 jo = add_person (fixture, "  JÖ "), ab = add_person (fixture, "Ab");

  g_assert_cmpint (bl_library_add_person (fixture->library, "jö", &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_cmpint (bl_library_add_person (fixture->library, "  ", &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_library_rename_person (fixture->library, jo, "AB", &error));
  g_clear_error (&error);
  g_assert_true (bl_library_rename_person (fixture->library, jo, "jö", &error));
  g_assert_false (bl_library_rename_person (fixture->library, 99, "z", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);

  g_assert_true (bl_library_set_practising (fixture->library, ab, NULL));
  g_assert_true (bl_library_set_practising (fixture->library, jo, NULL));
  reopen (fixture);
  g_autoptr (GPtrArray) persons = bl_library_persons (fixture->library, &error);
  g_assert_cmpuint (persons->len, ==, 2);
  g_assert_cmpstr (((BlPerson *) bl_at (persons, 0))->name, ==, "Ab");
  g_assert_cmpstr (((BlPerson *) bl_at (persons, 1))->name, ==, "jö");
  g_assert_false (((BlPerson *) bl_at (persons, 0))->practising);
  g_assert_true (((BlPerson *) bl_at (persons, 1))->practising);
}

static void
test_drill (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 person = add_person (fixture, "ab"), id = add_drill (fixture, person, FALSE);
  g_autoptr (BlDrillRow) row = bl_library_load_drill (fixture->library, id, &error);

  g_assert_no_error (error);
  g_assert_cmpint (row->kind, ==, BL_DRILL_MISREAD);
  g_assert_cmpuint (row->seed, ==, G_MAXUINT32);
  g_assert_cmpstr (row->sections[1], ==, "co\"mm");
  g_assert_null (row->faults);
  g_assert_cmpint (row->job, ==, 0);
  g_assert_cmpstr (row->title, ==, "RB-17, edition C");
  g_assert_false (bl_library_end_drill (fixture->library, id, "rail5", "U2", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);

  gint64 job = bl_library_begin_drill (fixture->library, id, drawn, &error);
  g_assert_no_error (error);
  g_assert_cmpint (bl_library_begin_drill (fixture->library, id, drawn, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_library_delete_drill (fixture->library, id, &error));
  g_clear_error (&error);
  g_assert_false (bl_library_score_drill (fixture->library, row, &error));
  g_clear_error (&error);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (fixture->library, NULL);
  g_assert_cmpuint (jobs->len, ==, 1); /* the second beginning left none behind */

  g_assert_true (bl_library_end_drill (fixture->library, id, "rail5", NULL, &error));
  g_assert_false (bl_library_end_drill (fixture->library, id, "rail5", "U2", &error));
  g_clear_error (&error);
  row->section_kind = g_strdup ("supply");
  row->stage_right = TRUE;
  row->regret_s = 12.5;
  row->n_measured = 3;
  g_assert_true (bl_library_score_drill (fixture->library, row, &error));
  reopen (fixture);
  g_autoptr (BlDrillRow) kept = bl_library_load_drill (fixture->library, id, &error);
  g_assert_cmpint (kept->job, ==, job);
  g_assert_cmpstr (kept->faults[0], ==, "U2:open");
  g_assert_cmpstr (kept->stage, ==, "rail5");
  g_assert_null (kept->component);
  g_assert_true (kept->scored && kept->stage_right && !kept->component_right && !kept->failed);
  g_assert_cmpfloat (kept->regret_s, ==, 12.5);
  g_assert_true (isnan (kept->effort_s));
  g_assert_cmpuint (kept->n_measured, ==, 3);
  g_assert_cmpint (kept->ended, >=, kept->started);
}

static void
test_answers (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 person = add_person (fixture, "ab");
  BlAnswer answer = { 0, person, 0, BL_ANSWER_READS, (char *) "u", (char *) "supply", NULL, (char *) "M5", FALSE, TRUE,
                      TRUE };
  BlTopicRow topic = { BL_TOPIC_FAMILY, (char *) "open", { 100, 2, 1 } };

  g_assert_true (bl_library_add_answer (fixture->library, &answer, &error));
  g_assert_no_error (error);
  g_assert_cmpint (answer.time, >, 0);
  g_assert_true (bl_library_put_topic (fixture->library, person, &topic, &error));
  topic.spacing = (BlSpacing){ 104, 4, 2 };
  g_assert_true (bl_library_put_topic (fixture->library, person, &topic, &error));
  topic.kind = BL_TOPIC_SECTION;
  topic.spacing.due = 99;
  g_assert_true (bl_library_put_topic (fixture->library, person, &topic, &error));
  answer.person = 77;
  g_assert_false (bl_library_add_answer (fixture->library, &answer, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);

  reopen (fixture);
  g_autoptr (GPtrArray) answers = bl_library_answers (fixture->library, person, NULL);
  g_autoptr (GPtrArray) topics = bl_library_topics (fixture->library, person, NULL);
  g_assert_cmpuint (answers->len, ==, 1);
  const BlAnswer *kept = bl_at (answers, 0);
  g_assert_cmpint (kept->kind, ==, BL_ANSWER_READS);
  g_assert_true (!kept->right && kept->near && kept->asked && kept->family == NULL);
  g_assert_cmpuint (topics->len, ==, 2);
  const BlTopicRow *first = bl_at (topics, 0), *second = bl_at (topics, 1);
  g_assert_cmpint (first->kind, ==, BL_TOPIC_SECTION);
  g_assert_cmpint (second->kind, ==, BL_TOPIC_FAMILY);
  g_assert_cmpuint (second->spacing.interval, ==, 4);
}

/* Whether these bytes stand anywhere in the file or in what SQLite keeps beside it. */
static gboolean
file_holds (const char *path, const char *bytes)
{
  static const char *const beside[] = { "", "-wal" };
  gboolean found = FALSE;

  for (guint i = 0; i < G_N_ELEMENTS (beside); i++)
    {
      g_autofree char *name = g_strconcat (path, beside[i], NULL), *content = NULL;
      gsize length = 0;
      if (!g_file_get_contents (name, &content, &length, NULL))
        continue;
      g_autofree char *small = g_ascii_strdown (bytes, -1); /* the index of words has no capitals */
      for (gsize k = 0; k < length; k++)
        content[k] = g_ascii_tolower (content[k]);
      found |= memmem (content, length, small, strlen (small)) != NULL;
    }
  return found;
}

static gint64
number (Fixture *fixture, const char *sql)
{
  g_autoptr (GError) error = NULL;
  BlDatabase *database = bl_database_open (fixture->path, 0, &error);
  gint64 value = -1;

  g_assert_no_error (error);
  bl_database_get_number (database, "testing", sql, &value, &error);
  g_assert_no_error (error);
  bl_database_close (database);
  return value;
}

#define NAME "Quillonia"

static void
test_removal (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 gone = add_person (fixture, NAME), stays = add_person (fixture, "ab");
  gint64 ids[] = { add_drill (fixture, gone, FALSE), add_drill (fixture, stays, FALSE), add_drill (fixture, gone, TRUE) };
  gint64 jobs[2];
  BlAnswer answer = { 0, gone, 0, BL_ANSWER_WAY, (char *) "u", (char *) "supply", NULL, (char *) NAME " asked", FALSE,
                      FALSE, TRUE };
  BlTopicRow topic = { BL_TOPIC_WAY, (char *) NAME " topic", { 100, 2, 1 } };

  for (guint i = 0; i < 2; i++)
    {
      jobs[i] = bl_library_begin_drill (fixture->library, ids[i], drawn, &error);
      append (fixture, jobs[i], BL_RECORD_NOTE, i == 0 ? "was " NAME " here" : "burnt");
      g_autoptr (GBytes) image = g_bytes_new_static ("x", 1);
      g_assert_true (bl_library_add_job_photo (fixture->library, jobs[i], "t", "image/png", image, NULL) > 0);
    }
  g_assert_true (bl_library_add_answer (fixture->library, &answer, NULL));
  g_assert_true (bl_library_put_topic (fixture->library, gone, &topic, NULL));
  g_assert_true (file_holds (fixture->path, NAME));

  g_assert_true (bl_library_remove_person (fixture->library, gone, &error));
  g_assert_no_error (error);
  g_assert_false (file_holds (fixture->path, NAME));
  g_assert_cmpuint (n_persons (fixture), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM drill"), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM job"), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM record"), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM strike"), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM job_photo"), ==, 1);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM answer"), ==, 0);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM spacing"), ==, 0);
  /* The other's words are still found. */
  g_autoptr (GHashTable) found = bl_library_find_in_logs (fixture->library, "burnt", NULL);
  g_assert_cmpuint (g_hash_table_size (found), ==, 1);
  g_assert_false (bl_library_remove_person (fixture->library, gone, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

/* Long work, so that the file had pages that were given up meanwhile, and a name that was another one before. */
static void
test_removal_after_long_work (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 gone = add_person (fixture, "Evandra Broome"), stays = add_person (fixture, "ab");
  gint64 id = add_drill (fixture, gone, FALSE), job = bl_library_begin_drill (fixture->library, id, drawn, &error);

  g_assert_no_error (error);
  for (guint i = 0; i < 400; i++)
    {
      g_autofree char *text = g_strdup_printf ("%u " NAME "%u looked at part %u of the board again", i, i % 7, i);
      g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, NULL, text);
      g_assert_true (i % 20 != 0 || bl_library_begin (fixture->library, "testing", &error)); /* some at once, for speed */
      BlAnswer answer = { 0, gone, 0, BL_ANSWER_WAY, (char *) "u", (char *) "supply", NULL, text, TRUE, FALSE, TRUE };
      record->job = job;
      g_assert_true (bl_library_append (fixture->library, record, &error));
      g_assert_true (bl_library_add_answer (fixture->library, &answer, &error));
      g_assert_true (i % 20 != 19 || bl_library_end (fixture->library, TRUE, "testing", &error));
    }
  g_assert_true (bl_library_rename_person (fixture->library, gone, "EB", &error));
  g_assert_no_error (error);
  g_assert_false (file_holds (fixture->path, "Broome"));
  g_assert_true (file_holds (fixture->path, NAME));
  g_assert_true (bl_library_remove_person (fixture->library, gone, &error));
  g_assert_no_error (error);
  g_assert_false (file_holds (fixture->path, NAME));
  g_assert_false (file_holds (fixture->path, "looked at part"));
  g_assert_cmpint (number (fixture, "PRAGMA freelist_count"), ==, 0);
  g_autoptr (GPtrArray) persons = bl_library_persons (fixture->library, &error);
  g_assert_cmpuint (persons->len, ==, 1);
  g_assert_cmpint (((BlPerson *) bl_at (persons, 0))->id, ==, stays);
}

/* While another program reads the file, the log of writes cannot be emptied: whoever wanted a name gone is told. */
static void
test_removal_while_read (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  gint64 gone = add_person (fixture, NAME), other = add_person (fixture, "Evandra Broome");
  BlDatabase *reader = bl_database_open (fixture->path, 0, &error);

  g_assert_no_error (error);
  g_assert_true (bl_database_run (reader, "testing", "BEGIN; SELECT count(*) FROM person", &error));
  g_assert_true (bl_database_run (fixture->library->database, "testing", "PRAGMA busy_timeout = 20", &error)); /* for speed */
  g_assert_false (bl_library_remove_person (fixture->library, gone, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY);
  g_clear_error (&error);
  g_assert_true (file_holds (fixture->path, NAME));
  g_assert_false (bl_library_rename_person (fixture->library, other, "EB", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY);
  g_clear_error (&error);
  bl_database_close (reader);
  g_assert_true (bl_library_rename_person (fixture->library, other, "EB", &error));
  g_assert_no_error (error);
  g_assert_false (file_holds (fixture->path, NAME));
  g_assert_false (file_holds (fixture->path, "Broome"));
  g_assert_cmpuint (n_persons (fixture), ==, 1);
}

/* The way that is open for a drill's log is closed for every other, also for who knows of it. */
static void
test_log_of_the_shop (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_job_new ();
  static const char *const refused[] = {
    "DELETE FROM record",
    "DELETE FROM strike",
    "UPDATE drill SET job = 1",
    "INSERT INTO drill (person, kind, board, subject, seed, sections, made, job)"
    " VALUES (1, 'single', 1, 'u', 0, '[]', 0, 1)",
  };

  job->board = fixture->board;
  gint64 id = bl_library_add_job (fixture->library, job, &error);
  g_assert_cmpint (id, ==, 1);
  append (fixture, id, BL_RECORD_NOTE, "kept");
  add_drill (fixture, add_person (fixture, "ab"), FALSE);
  BlDatabase *database = bl_database_open (fixture->path, 0, &error);
  for (guint i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_assert_false (bl_database_run (database, "testing", refused[i], &error));
      g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
      g_clear_error (&error);
    }
  bl_database_close (database);
  g_assert_cmpint (number (fixture, "SELECT count(*) FROM record JOIN strike ON strike.record = record.id"), ==, 1);
}

/* A library of the version before keeps what it has, and has no practice. */
static void
test_from_version_12 (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "old"), *copy = scratch_file (folder, "old.version-12");
  g_autoptr (GError) error = NULL;
  guint n = 0;
  const BlMigration *steps = bl_tables_steps (&n);
  BlDatabase *database = bl_database_open (path, BL_DATABASE_CREATE, &error);

  g_assert_true (bl_tables_prepare (database, steps, 12, &error));
  g_assert_true (bl_database_run (
      database, "testing",
      "INSERT INTO board VALUES (1, 'u', 'm', 'o', 'b', 'e', 0, 0, 0, '{}', 5, 0);"
      "INSERT INTO job (id, uid, number, board, state, closed, created, changed)"
      " VALUES (1, 'ju', 7, 1, 'on the bench', 0, 5, 5);"
      "INSERT INTO record (id, uid, job, time, kind, text, unproven) VALUES (4, 'ru', 1, 5, 'note', 'burnt', 0);"
      "INSERT INTO strike (record, time, struck, reason) VALUES (4, 7, 1, 'slip')",
      &error));
  bl_database_close (database);
  g_autoptr (BlLibrary) library = bl_library_open (path, FALSE, &error);
  g_assert_no_error (error);
  g_assert_true (g_file_test (copy, G_FILE_TEST_EXISTS));
  g_autoptr (GPtrArray) records = bl_library_records (library, 1, &error);
  g_assert_cmpuint (records->len, ==, 1);
  const BlRecord *record = bl_at (records, 0);
  g_assert_cmpint (record->id, ==, 4);
  g_assert_cmpstr (record->text, ==, "burnt");
  g_assert_true (record->struck);
  g_autoptr (GPtrArray) persons = bl_library_persons (library, &error), drills = bl_library_drills (library, 0, &error);
  g_assert_cmpuint (persons->len + drills->len, ==, 0);
  database = bl_database_open (path, 0, &error);
  g_assert_false (bl_database_run (database, "testing", "DELETE FROM record", NULL));
  g_assert_false (bl_database_run (database, "testing", "DELETE FROM strike", NULL));
  bl_database_close (database);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/store/practice/path", Fixture, NULL, set_up, test_path, tear_down);
  g_test_add ("/store/practice/persons", Fixture, NULL, set_up, test_persons, tear_down);
  g_test_add ("/store/practice/drill", Fixture, NULL, set_up, test_drill, tear_down);
  g_test_add ("/store/practice/answers", Fixture, NULL, set_up, test_answers, tear_down);
  g_test_add ("/store/practice/removal", Fixture, NULL, set_up, test_removal, tear_down);
  g_test_add ("/store/practice/removal-after-long-work", Fixture, NULL, set_up, test_removal_after_long_work, tear_down);
  g_test_add ("/store/practice/removal-while-read", Fixture, NULL, set_up, test_removal_while_read, tear_down);
  g_test_add ("/store/practice/log-of-the-shop", Fixture, NULL, set_up, test_log_of_the_shop, tear_down);
  g_test_add_func ("/store/practice/from-version-12", test_from_version_12);
  return g_test_run ();
}
