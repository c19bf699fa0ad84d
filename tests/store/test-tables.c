/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Migrations: the machinery with steps of the test's own on top of the real ones, and the rules
 * that the tables themselves keep. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-tables.h"

#include "scratch.h"

#include <string.h>

#define MAX_STEPS 32

static BlDatabase *
open_ok (const char *path, BlDatabaseFlags flags)
{
  g_autoptr (GError) error = NULL;
  BlDatabase *database = bl_database_open (path, flags, &error);

  g_assert_no_error (error);
  return database;
}

static gint64
number (BlDatabase *database, const char *sql)
{
  g_autoptr (GError) error = NULL;
  gint64 value = -1;

  bl_database_get_number (database, "testing", sql, &value, &error);
  g_assert_no_error (error);
  return value;
}

static char *
column (BlDatabase *database, const char *sql)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (database, "testing", sql, NULL);
  GString *all = g_string_new (NULL);

  g_assert_nonnull (statement);
  while (bl_statement_step (statement, NULL) == BL_STEP_ROW)
    {
      g_autofree char *cell = bl_statement_dup_text (statement, 0);
      g_string_append_printf (all, "%s\n", cell != NULL ? cell : "NULL");
    }
  return g_string_free (all, FALSE);
}

static char *
schema_text (BlDatabase *database)
{
  return column (database,
                 "SELECT type || ' ' || name || ' ' || coalesce (sql, '') FROM sqlite_schema"
                 " WHERE name <> 'sqlite_stat1' ORDER BY type, name");
}

/* The real steps, and one of the test's own after them. */
static guint
steps_and (BlMigration *steps, const char *sql, gboolean (*run) (BlDatabase *, GError **))
{
  guint n = 0;
  const BlMigration *real = bl_tables_steps (&n);

  g_assert_cmpuint (n + 2, <=, MAX_STEPS);
  memcpy (steps, real, n * sizeof *steps);
  steps[n] = (BlMigration){ (int) n + 1, sql, run };
  return n + 1;
}

static void
prepare_ok (BlDatabase *database, const BlMigration *steps, guint n)
{
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_tables_prepare (database, steps, n, &error);

  g_assert_no_error (error);
  g_assert_true (ok);
}

/* A library of the newest real version with a board, a job and a log line in it. */
static char *
fixture (const char *folder)
{
  char *path = scratch_file (folder, "old.benchlore-library");
  BlDatabase *database = open_ok (path, BL_DATABASE_CREATE);
  guint n = 0;
  const BlMigration *steps = bl_tables_steps (&n);

  prepare_ok (database, steps, n);
  g_assert_true (bl_database_run (
      database, "testing",
      "INSERT INTO board VALUES (1, 'u', 'm', 'o', 'b', 'e', 0, 0, 0, '{}', 5, 0);"
      "INSERT INTO job (id, uid, number, board, customer, unit, serial, complaint, state, closed, created, changed)"
      " VALUES (1, 'ju', 7, 1, 'c', 'u', 's', 'mute', 'on the bench', 0, 5, 5);"
      "INSERT INTO record (uid, job, time, kind, text, unproven) VALUES ('ru', 1, 5, 'note', 'burnt', 0)",
      NULL));
  bl_database_close (database);
  return path;
}

static guint
count_copies (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  guint n = 0;

  while ((name = g_dir_read_name (dir)) != NULL)
    n += strstr (name, ".version-") != NULL;
  return n;
}

#define EXTRA                                                                                      \
  "ALTER TABLE job ADD COLUMN warranty TEXT; CREATE TABLE shelf (id INTEGER PRIMARY KEY, name "    \
  "TEXT) STRICT"

static void
test_fresh_equals_migrated (void)
{
  char *folder = scratch_new ();
  g_autofree char *old = fixture (folder), *fresh_path = scratch_file (folder, "fresh");
  g_autofree char *fresh_text = NULL, *migrated_text = NULL, *copy_path = NULL, *notes = NULL;
  BlMigration steps[MAX_STEPS];
  guint n = steps_and (steps, EXTRA, NULL);
  BlDatabase *fresh = open_ok (fresh_path, BL_DATABASE_CREATE), *migrated = open_ok (old, 0), *copy;

  prepare_ok (fresh, steps, n);
  g_assert_cmpuint (count_copies (folder), ==, 0); /* nothing to keep of a new one */
  prepare_ok (migrated, steps, n);
  g_assert_cmpuint (count_copies (folder), ==, 1);
  fresh_text = schema_text (fresh);
  migrated_text = schema_text (migrated);
  g_assert_cmpstr (fresh_text, ==, migrated_text);
  g_assert_nonnull (strstr (fresh_text, "shelf"));
  g_assert_cmpint (number (migrated, "PRAGMA user_version"), ==, n);
  g_assert_cmpint (number (migrated, "PRAGMA application_id"), ==, BL_DATABASE_APPLICATION_ID);
  g_assert_cmpint (number (migrated, "PRAGMA foreign_keys"), ==, 1);
  notes = column (migrated, "SELECT text FROM record");
  g_assert_cmpstr (notes, ==, "burnt\n");
  bl_database_close (migrated);
  bl_database_close (fresh);

  copy_path = g_strdup_printf ("%s.version-%u", old, n - 1);
  copy = open_ok (copy_path, BL_DATABASE_READ_ONLY);
  g_assert_cmpint (number (copy, "PRAGMA user_version"), ==, n - 1);
  g_assert_cmpint (number (copy, "PRAGMA application_id"), ==, BL_DATABASE_APPLICATION_ID);
  g_assert_cmpint (number (copy, "SELECT count(*) FROM record"), ==, 1);
  bl_database_close (copy);
  scratch_free (folder);
}

static gboolean
fail_half_way (BlDatabase *database, GError **error)
{
  g_assert_true (
      bl_database_run (database, "testing", "UPDATE job SET complaint = 'changed half way'", NULL));
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_FAILED, "the plug was pulled");
  return FALSE;
}

static gboolean
orphan_job (BlDatabase *database, GError **error)
{
  return bl_database_run (database, "testing", "UPDATE job SET board = 99", error);
}

/* Migrates with a step that must fail with code, and shows that nothing of it stayed. */
static void
check_failing (const char *sql, gboolean (*run) (BlDatabase *, GError **), int code)
{
  char *folder = scratch_new ();
  g_autofree char *path = fixture (folder), *before = NULL, *after = NULL, *complaint = NULL;
  g_autoptr (GError) error = NULL;
  BlMigration steps[MAX_STEPS];
  guint n = steps_and (steps, sql, run);
  BlDatabase *database = open_ok (path, 0);

  before = schema_text (database);
  g_assert_false (bl_tables_prepare (database, steps, n, &error));
  g_assert_error (error, BL_STORE_ERROR, code);
  after = schema_text (database);
  g_assert_cmpstr (before, ==, after);
  complaint = column (database, "SELECT complaint FROM job");
  g_assert_cmpstr (complaint, ==, "mute\n");
  g_assert_cmpint (number (database, "PRAGMA user_version"), ==, n - 1);
  g_assert_cmpint (number (database, "PRAGMA foreign_keys"), ==, 1);
  bl_database_close (database);

  /* The old program still opens it. */
  database = open_ok (path, 0);
  prepare_ok (database, steps, n - 1);
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_failing_step (void)
{
  check_failing (EXTRA, fail_half_way, BL_STORE_ERROR_FAILED);
  check_failing ("CREATE TABLE shelf (a); UPDATE job SET complaint = ''; SELECT no FROM such", NULL,
                 BL_STORE_ERROR_FAILED);
  check_failing (EXTRA, orphan_job, BL_STORE_ERROR_CORRUPT);
}

/* Rebuilding a table that others refer to works, because references are checked at the end. */
static void
test_rebuild (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = fixture (folder);
  BlMigration steps[MAX_STEPS];
  guint n = steps_and (steps,
                       "CREATE TABLE board_2 AS SELECT * FROM board; DROP TABLE board;"
                       "CREATE TABLE board (id INTEGER PRIMARY KEY, uid TEXT, shelf TEXT) STRICT;"
                       "INSERT INTO board SELECT id, uid, 'A' FROM board_2; DROP TABLE board_2",
                       NULL);
  BlDatabase *database = open_ok (path, 0);

  prepare_ok (database, steps, n);
  g_assert_cmpint (number (database, "SELECT count(*) FROM job JOIN board ON board.id = job.board"),
                   ==, 1);
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_newer_refused (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = fixture (folder), *before = NULL, *after = NULL;
  g_autoptr (GError) error = NULL;
  BlMigration steps[MAX_STEPS];
  guint n = steps_and (steps, EXTRA, NULL);
  BlDatabase *database = open_ok (path, 0);

  prepare_ok (database, steps, n);
  before = schema_text (database);
  g_assert_false (bl_tables_prepare (database, steps, n - 1, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NEWER);
  g_assert_nonnull (strstr (error->message, path));
  after = schema_text (database);
  g_assert_cmpstr (before, ==, after);
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_foreign_refused (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "recipes");
  g_autoptr (GError) error = NULL;
  guint n = 0;
  const BlMigration *steps = bl_tables_steps (&n);
  BlDatabase *database = open_ok (path, BL_DATABASE_CREATE);

  g_assert_true (bl_database_run (database, "testing", "CREATE TABLE recipe (id INTEGER)", NULL));
  g_assert_false (bl_tables_prepare (database, steps, n, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN);
  g_assert_cmpint (number (database, "SELECT count(*) FROM sqlite_schema"), ==, 1);
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_old_read_only (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = fixture (folder);
  g_autoptr (GError) error = NULL;
  BlMigration steps[MAX_STEPS];
  guint n = steps_and (steps, EXTRA, NULL);
  BlDatabase *database = open_ok (path, BL_DATABASE_READ_ONLY);

  prepare_ok (database, steps, n - 1);
  g_assert_false (bl_tables_prepare (database, steps, n, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_READ_ONLY);
  bl_database_close (database);
  scratch_free (folder);
}

/* A library of version 1 keeps its log through the rebuilding of that table: lines, their numbers, what
 * was struck, and that nothing can be changed; a number is not used again. */
static void
test_from_version_1 (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "first"), *lines = NULL, *struck = NULL;
  g_autoptr (GError) error = NULL;
  guint n = 0;
  const BlMigration *steps = bl_tables_steps (&n);
  BlDatabase *database = open_ok (path, BL_DATABASE_CREATE);

  prepare_ok (database, steps, 1);
  g_assert_true (bl_database_run (
      database, "testing",
      "INSERT INTO board VALUES (1, 'u', 'm', 'o', 'b', 'e', 0, 0, 0, '{}', 5);"
      "INSERT INTO job VALUES (1, 7, 1, 'c', 'u', 's', 'mute', NULL, 0, 5, 5);"
      "INSERT INTO record (id, job, time, kind, text, unproven, misread)"
      " VALUES (3, 1, 5, 'note', 'burnt', 0, 0.15), (9, 1, 6, 'note', 'wet', 0, NULL);"
      "INSERT INTO strike (record, time, struck, reason) VALUES (9, 7, 1, 'slip')",
      NULL));
  g_assert_false (bl_database_run (database, "testing",
                                   "INSERT INTO record (job, time, kind, subject, unproven)"
                                   " VALUES (1, 8, 'cause', 'K1', 0)",
                                   NULL));
  prepare_ok (database, steps, n);
  lines = column (database, "SELECT id || text || coalesce (misread, '-') FROM record ORDER BY id");
  g_assert_cmpstr (lines, ==, "3burnt0.15\n9wet-\n");
  struck = column (database, "SELECT text FROM record JOIN strike ON record.id = strike.record");
  g_assert_cmpstr (struck, ==, "wet\n");
  g_assert_true (bl_database_run (database, "testing",
                                  "INSERT INTO record (uid, job, time, kind, subject, unproven)"
                                  " VALUES ('ru', 1, 8, 'cause', 'K1', 0)",
                                  &error));
  g_assert_no_error (error);
  g_assert_cmpint (number (database, "SELECT max (id) FROM record"), ==, 10);
  g_assert_cmpint (number (database, "SELECT count (DISTINCT uid) FROM record"), ==, 3);
  /* A job that was open is on the bench, and its log is found by its words as before. */
  g_assert_cmpint (number (database, "SELECT state = 'on the bench' AND length (uid) = 32 FROM job"), ==, 1);
  g_assert_cmpint (number (database, "SELECT rowid FROM record_words WHERE record_words MATCH 'burnt'"), ==, 3);
  g_assert_false (bl_database_run (database, "testing", "DELETE FROM record", NULL));
  g_assert_false (bl_database_run (database, "testing", "UPDATE record SET time = 1", NULL));
  /* A strike of no line is refused as before. */
  g_assert_false (bl_database_run (
      database, "testing", "INSERT INTO strike (record, time, struck) VALUES (77, 7, 1)", NULL));
  bl_database_close (database);
  scratch_free (folder);
}

/* No statement changes or removes a log line or a strike, whoever sends it. */
static void
test_append_only (void)
{
  static const char *const refused[] = {
    "UPDATE record SET text = 'fine'",
    "UPDATE record SET time = time + 1",
    "DELETE FROM record",
    "REPLACE INTO record (id, uid, job, time, kind, text, unproven) VALUES (1, 'n', 1, 5, 'note', 'fine', 0)",
    "INSERT OR REPLACE INTO record (id, uid, job, time, kind, unproven) VALUES (1, 'n', 1, 5, 'note', 0)",
    "REPLACE INTO record (uid, job, time, kind, text, unproven) VALUES ('ru', 1, 5, 'note', 'fine', 0)",
    "INSERT INTO record (id, uid, job, time, kind, text, unproven) VALUES (1, 'n', 1, 5, 'note', 'fine', 0)"
    " ON CONFLICT (id) DO UPDATE SET text = excluded.text",
    "UPDATE strike SET struck = 0",
    "DELETE FROM strike",
    "REPLACE INTO strike (id, record, time, struck) VALUES (1, 1, 5, 0)",
    "DELETE FROM job",
    "DELETE FROM board",
  };
  char *folder = scratch_new ();
  g_autofree char *path = fixture (folder), *notes = NULL;
  BlDatabase *database = open_ok (path, 0);

  g_assert_true (bl_database_run (
      database, "testing",
      "INSERT INTO strike (record, time, struck, reason) VALUES (1, 6, 1, 'slip')", NULL));
  for (int pass = 0; pass < 2; pass++)
    {
      for (guint i = 0; i < G_N_ELEMENTS (refused); i++)
        {
          g_autoptr (GError) error = NULL;
          g_test_message ("%s", refused[i]);
          g_assert_false (bl_database_run (database, "testing", refused[i], &error));
          g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
        }
      /* Also from a connection that did not ask for the help of recursive triggers. */
      g_assert_true (bl_database_run (database, "testing", "PRAGMA recursive_triggers = 0", NULL));
    }
  notes = column (database, "SELECT text FROM record");
  g_assert_cmpstr (notes, ==, "burnt\n");
  g_assert_cmpint (number (database, "SELECT struck FROM strike"), ==, 1);
  bl_database_close (database);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/tables/fresh-equals-migrated", test_fresh_equals_migrated);
  g_test_add_func ("/store/tables/failing-step", test_failing_step);
  g_test_add_func ("/store/tables/rebuild", test_rebuild);
  g_test_add_func ("/store/tables/newer-refused", test_newer_refused);
  g_test_add_func ("/store/tables/foreign-refused", test_foreign_refused);
  g_test_add_func ("/store/tables/old-read-only", test_old_read_only);
  g_test_add_func ("/store/tables/from-version-1", test_from_version_1);
  g_test_add_func ("/store/tables/append-only", test_append_only);
  return g_test_run ();
}
