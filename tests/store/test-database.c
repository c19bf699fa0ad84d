/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The skin over SQLite: what is set on opening, transactions, binding, and how each kind of trouble
 * of a real disk is reported. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-database.h"

#include "scratch.h"

#include <math.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static BlDatabase *
open_ok (const char *path, BlDatabaseFlags flags)
{
  g_autoptr (GError) error = NULL;
  BlDatabase *database = bl_database_open (path, flags, &error);

  g_assert_no_error (error);
  g_assert_nonnull (database);
  return database;
}

static void
run_ok (BlDatabase *database, const char *sql)
{
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_database_run (database, "testing", sql, &error);

  g_assert_no_error (error);
  g_assert_true (ok);
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
text (BlDatabase *database, const char *sql)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (database, "testing", sql, NULL);

  g_assert_cmpint (bl_statement_step (statement, NULL), ==, BL_STEP_ROW);
  return bl_statement_dup_text (statement, 0);
}

static void
test_settings (void)
{
  g_autofree char *path = NULL, *mode = NULL;
  char *folder = scratch_new ();
  BlDatabase *database;

  path = scratch_file (folder, "odd ?&#%20 name.library"); /* an address must not eat any of it */
  database = open_ok (path, BL_DATABASE_CREATE);
  mode = text (database, "PRAGMA journal_mode");
  g_assert_cmpstr (mode, ==, "wal");
  g_assert_cmpint (number (database, "PRAGMA synchronous"), ==, 2);
  g_assert_cmpint (number (database, "PRAGMA foreign_keys"), ==, 1);
  g_assert_cmpint (number (database, "PRAGMA busy_timeout"), >=, 1000);
  run_ok (database, "CREATE TABLE t (a INTEGER)");
  g_assert_false (bl_database_is_read_only (database));
  g_assert_true (g_file_test (path, G_FILE_TEST_EXISTS));
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_open_errors (void)
{
  g_autofree char *missing = NULL, *other = NULL;
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();

  missing = scratch_file (folder, "missing");
  other = scratch_file (folder, "letter.txt");
  g_assert_null (bl_database_open (missing, 0, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN);
  g_assert_nonnull (strstr (error->message, missing));
  g_assert_false (g_file_test (missing, G_FILE_TEST_EXISTS));
  g_clear_error (&error);

  g_assert_true (g_file_set_contents (
      other, "Dear customer, this is a letter and no database at all.", -1, NULL));
  g_assert_null (bl_database_open (other, BL_DATABASE_CREATE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN);
  g_clear_error (&error);

  g_assert_null (bl_database_open (folder, 0, &error)); /* a folder */
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN);
  scratch_free (folder);
}

static void
test_values (void)
{
  BlDatabase *database = open_ok (":memory:", 0);
  g_autoptr (GBytes) bytes = g_bytes_new_static ("a\0b", 3), empty = g_bytes_new_static ("", 0);
  BlStatement *statement;

  run_ok (database, "CREATE TABLE t (i INTEGER, r REAL, s TEXT, b BLOB) STRICT");
  statement =
      bl_database_prepare (database, "testing", "INSERT INTO t VALUES (?1, ?2, ?3, ?4)", NULL);
  bl_statement_bind_int (statement, 1, G_MAXINT64);
  bl_statement_bind_double (statement, 2, 0.1);
  bl_statement_bind_text (statement, 3, "Ω'; DROP TABLE t; --");
  bl_statement_bind_bytes (statement, 4, bytes);
  g_assert_true (bl_statement_run (statement, NULL));
  bl_statement_reset (statement);
  bl_statement_bind_double (statement, 2, NAN);
  bl_statement_bind_bytes (statement, 4, empty);
  g_assert_true (bl_statement_run (statement, NULL));
  bl_statement_free (statement);

  statement =
      bl_database_prepare (database, "testing", "SELECT i, r, s, b FROM t ORDER BY rowid", NULL);
  g_assert_cmpint (bl_statement_step (statement, NULL), ==, BL_STEP_ROW);
  {
    g_autofree char *s = bl_statement_dup_text (statement, 2);
    g_autoptr (GBytes) b = bl_statement_dup_bytes (statement, 3);
    g_assert_cmpint (bl_statement_int (statement, 0), ==, G_MAXINT64);
    g_assert_cmpfloat (bl_statement_double (statement, 1), ==, 0.1);
    g_assert_cmpstr (s, ==, "Ω'; DROP TABLE t; --");
    g_assert_true (g_bytes_equal (b, bytes));
  }
  g_assert_cmpint (bl_statement_step (statement, NULL), ==, BL_STEP_ROW);
  {
    g_autoptr (GBytes) b = bl_statement_dup_bytes (statement, 3);
    g_assert_true (isnan (bl_statement_double (statement, 1)));
    g_assert_null (bl_statement_dup_text (statement, 2));
    g_assert_nonnull (b);
    g_assert_cmpuint (g_bytes_get_size (b), ==, 0);
  }
  g_assert_cmpint (bl_statement_step (statement, NULL), ==, BL_STEP_DONE);
  bl_statement_free (statement);
  bl_database_close (database);
}

/* A step that fails is neither a row nor the end, and so is one whose value was never bound. */
static void
test_step_error (void)
{
  BlDatabase *database = open_ok (":memory:", 0);
  g_autoptr (GError) error = NULL;
  BlStatement *statement;

  run_ok (database, "CREATE TABLE t (r REAL) STRICT");
  statement = bl_database_prepare (database, "testing", "INSERT INTO t VALUES (?1)", NULL);
  bl_statement_bind_text (statement, 1, "high");
  g_assert_cmpint (bl_statement_step (statement, &error), ==, BL_STEP_ERROR);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  bl_statement_reset (statement);
  bl_statement_bind_double (statement, 7, 1);
  g_assert_cmpint (bl_statement_step (statement, &error), ==, BL_STEP_ERROR);
  g_assert_nonnull (error);
  bl_statement_free (statement);
  g_assert_null (bl_database_prepare (database, "testing", "SELECT nothing FROM nowhere", NULL));
  bl_database_close (database);
}

static void
test_transactions (void)
{
  BlDatabase *database = open_ok (":memory:", 0);

  run_ok (database, "CREATE TABLE t (a INTEGER)");
  g_assert_true (bl_database_begin (database, "testing", NULL));
  run_ok (database, "INSERT INTO t VALUES (1)");
  g_assert_true (bl_database_begin (database, "testing", NULL));
  run_ok (database, "INSERT INTO t VALUES (2)");
  g_assert_false (bl_database_end (database, FALSE, "testing", NULL)); /* the inner one alone */
  g_assert_true (bl_database_begin (database, "testing", NULL));
  run_ok (database, "INSERT INTO t VALUES (3)");
  g_assert_true (bl_database_end (database, TRUE, "testing", NULL));
  g_assert_true (bl_database_end (database, TRUE, "testing", NULL));
  g_assert_cmpint (number (database, "SELECT group_concat (a, '') FROM t"), ==, 13);
  g_assert_true (bl_database_begin (database, "testing", NULL));
  run_ok (database, "INSERT INTO t VALUES (4)");
  bl_database_rollback (database);
  g_assert_cmpint (number (database, "SELECT count(*) FROM t"), ==, 2);
  bl_database_close (database);
}

/* SQLITE_FULL by its page limit stands for a full disk. */
static void
test_full (void)
{
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  BlDatabase *database;

  path = scratch_file (folder, "full");
  database = open_ok (path, BL_DATABASE_CREATE);
  run_ok (
      database,
      "CREATE TABLE t (b BLOB); INSERT INTO t VALUES (zeroblob (100)); PRAGMA max_page_count = 4");
  g_assert_true (bl_database_begin (database, "keeping the photo", NULL));
  g_assert_false (bl_database_run (database, "keeping the photo",
                                   "INSERT INTO t VALUES (zeroblob (100000))", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_FULL);
  g_assert_nonnull (strstr (error->message, path));
  g_assert_nonnull (strstr (error->message, "keeping the photo"));
  bl_database_rollback (database);
  g_assert_cmpint (number (database, "SELECT count(*) FROM t"), ==, 1);
  run_ok (database, "INSERT INTO t VALUES (zeroblob (1))"); /* and it goes on */
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_busy (void)
{
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  BlDatabase *one, *two;

  path = scratch_file (folder, "busy");
  one = open_ok (path, BL_DATABASE_CREATE);
  run_ok (one, "CREATE TABLE t (a INTEGER)");
  two = open_ok (path, 0);
  run_ok (two, "PRAGMA busy_timeout = 20");
  g_assert_true (bl_database_begin (one, "testing", NULL));
  g_assert_false (bl_database_begin (two, "testing", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY);
  g_assert_true (bl_database_commit (one, "testing", NULL));
  g_assert_true (bl_database_begin (two, "testing", NULL));
  bl_database_rollback (two);
  bl_database_close (two);
  bl_database_close (one);
  scratch_free (folder);
}

static void
test_corrupt (void)
{
  g_autofree char *path = NULL, *data = NULL;
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  BlDatabase *database;
  gsize length = 0;

  path = scratch_file (folder, "damaged");
  database = open_ok (path, BL_DATABASE_CREATE);
  run_ok (database,
          "CREATE TABLE t (a TEXT); WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n"
          " WHERE i < 2000) INSERT INTO t SELECT printf ('row %d of many', i) FROM n");
  bl_database_close (database);
  g_assert_true (g_file_get_contents (path, &data, &length, NULL));
  g_assert_cmpuint (length, >, 3 * 4096);
  memset (data + 4096, 0x5a, length - 4096);
  g_assert_true (g_file_set_contents (path, data, (gssize) length, NULL));
  database = open_ok (path, 0);
  g_assert_false (
      bl_database_run (database, "testing", "SELECT count (a) FROM t WHERE a > ''", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT);
  bl_database_close (database);
  scratch_free (folder);
}

static void
test_read_only_flag (void)
{
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  BlDatabase *database;

  path = scratch_file (folder, "kept");
  database = open_ok (path, BL_DATABASE_CREATE);
  run_ok (database, "CREATE TABLE t (a INTEGER); INSERT INTO t VALUES (7)");
  bl_database_close (database);
  database = open_ok (path, BL_DATABASE_READ_ONLY);
  g_assert_true (bl_database_is_read_only (database));
  g_assert_cmpint (number (database, "SELECT a FROM t"), ==, 7);
  g_assert_false (bl_database_run (database, "testing", "INSERT INTO t VALUES (8)", &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_READ_ONLY);
  bl_database_close (database);
  scratch_free (folder);
}

/* Child of the test below: 0 when the file opened read-only, could be read and refused a write. */
static int
use_as_nobody (const char *path)
{
  g_autoptr (GError) error = NULL;
  BlDatabase *database;
  gint64 value = 0;
  int wrong = 0;

  if (geteuid () == 0 && (setgid (65534) != 0 || setuid (65534) != 0))
    return 10;
  database = bl_database_open (path, 0, &error);
  if (database == NULL)
    return 11;
  if (!bl_database_is_read_only (database))
    wrong = 12;
  else if (!bl_database_get_number (database, "testing", "SELECT a FROM t", &value, NULL) ||
           value != 7)
    wrong = 13;
  else if (bl_database_run (database, "testing", "INSERT INTO t VALUES (8)", &error) ||
           !g_error_matches (error, BL_STORE_ERROR, BL_STORE_ERROR_READ_ONLY))
    wrong = 14;
  bl_database_close (database);
  return wrong;
}

/* A library on a disc or share that this user may only read, in a folder that takes no files. */
static void
test_no_permission (void)
{
  g_autofree char *path = NULL;
  char *folder = scratch_new ();
  BlDatabase *database;
  int status = -1;
  pid_t child;

  path = scratch_file (folder, "kept");
  database = open_ok (path, BL_DATABASE_CREATE);
  run_ok (database, "CREATE TABLE t (a INTEGER); INSERT INTO t VALUES (7)");
  bl_database_close (database);
  g_assert_cmpint (g_chmod (path, 0444), ==, 0);
  g_assert_cmpint (g_chmod (folder, 0555), ==, 0);
  child = fork ();
  if (child == 0)
    _exit (use_as_nobody (path));
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFEXITED (status));
  g_assert_cmpint (WEXITSTATUS (status), ==, 0);
  g_assert_cmpint (g_chmod (folder, 0755), ==, 0);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/database/settings", test_settings);
  g_test_add_func ("/store/database/open-errors", test_open_errors);
  g_test_add_func ("/store/database/values", test_values);
  g_test_add_func ("/store/database/step-error", test_step_error);
  g_test_add_func ("/store/database/transactions", test_transactions);
  g_test_add_func ("/store/database/full", test_full);
  g_test_add_func ("/store/database/busy", test_busy);
  g_test_add_func ("/store/database/corrupt", test_corrupt);
  g_test_add_func ("/store/database/read-only-flag", test_read_only_flag);
  g_test_add_func ("/store/database/no-permission", test_no_permission);
  return g_test_run ();
}
