/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A library whose files somebody else in the process opens and closes, as a file dialog does, while a second program
 * opens and closes it. That program is this one with two more arguments; it uses SQLite as it comes, as any other
 * program does. With the locks of a process, the first test finds the log deleted under the open library. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-database.h"

#include "scratch.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *self;

typedef struct
{
  char *folder, *path, *log, *shared;
} Fixture;

static void
set_up (Fixture *f, gconstpointer unused)
{
  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "shop.library");
  f->log = g_strconcat (f->path, "-wal", NULL);
  f->shared = g_strconcat (f->path, "-shm", NULL);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  g_free (f->path);
  g_free (f->log);
  g_free (f->shared);
  scratch_free (f->folder);
}

static BlDatabase *
open_ok (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  BlDatabase *database = bl_database_open (f->path, BL_DATABASE_CREATE, &error);

  g_assert_no_error (error);
  return database;
}

static gboolean
run (BlDatabase *database, const char *sql)
{
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_database_run (database, "testing", sql, &error);

  if (!ok)
    g_test_message ("%s: %s", sql, error->message);
  return ok;
}

static gint64
count (BlDatabase *database)
{
  g_autoptr (GError) error = NULL;
  gint64 value = -1;

  bl_database_get_number (database, "testing", "SELECT count(*) FROM reading", &value, &error);
  g_assert_no_error (error);
  return value;
}

/* What a program does that looks into each file of a folder. */
static void
look_into_all (Fixture *f)
{
  g_autoptr (GDir) dir = g_dir_open (f->folder, 0, NULL);
  const char *name;
  char start[16];

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (f->folder, name, NULL);
      int fd = open (path, O_RDONLY | O_CLOEXEC);
      g_assert_cmpint (fd, >=, 0);
      g_assert_cmpint (read (fd, start, sizeof start), >=, 0);
      close (fd);
    }
}

/* The exit status of the second program, which runs sql with no patience. */
static int
second_program (Fixture *f, const char *sql)
{
  const char *words[] = { self, "--second", f->path, sql, NULL };
  g_autoptr (GError) error = NULL;
  int status = 0;

  g_assert_true (g_spawn_sync (NULL, (char **) words, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL, &status, &error));
  g_assert_no_error (error);
  return status;
}

static int
be_second (const char *path, const char *sql)
{
  sqlite3 *handle = NULL;
  int result = sqlite3_open_v2 (path, &handle, SQLITE_OPEN_READWRITE, NULL);

  if (result == SQLITE_OK)
    result = sqlite3_exec (handle, sql, NULL, NULL, NULL);
  sqlite3_close (handle);
  return result == SQLITE_OK ? 0 : 1;
}

static gint64
size_of (const char *path)
{
  struct stat what;
  return stat (path, &what) == 0 ? what.st_size : -1;
}

static void
test_looked_into (Fixture *f, gconstpointer unused)
{
  BlDatabase *database = open_ok (f);
  g_autoptr (BlDatabase) again = NULL;

  g_assert_true (run (database, "CREATE TABLE reading (value); INSERT INTO reading VALUES (1)"));
  g_assert_cmpint (size_of (f->shared), >=, 32768);
  look_into_all (f);
  g_assert_cmpint (second_program (f, "SELECT count(*) FROM reading"), ==, 0);
  /* It was not the last one: log and index are as they were. */
  g_assert_cmpint (size_of (f->shared), >=, 32768);
  g_assert_cmpint (size_of (f->log), >, 0);
  g_assert_true (run (database, "INSERT INTO reading VALUES (2)"));
  g_assert_cmpint (second_program (f, "INSERT INTO reading VALUES (3)"), ==, 0);
  look_into_all (f);
  g_assert_cmpint (count (database), ==, 3);
  bl_database_close (database);
  /* The last one cleans up: no lock of ours stayed behind. */
  g_assert_cmpint (size_of (f->log), ==, -1);
  again = open_ok (f);
  g_assert_cmpint (count (again), ==, 3);
}

static void
test_keeps_others_out (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlDatabase) database = open_ok (f);

  g_assert_true (run (database, "CREATE TABLE reading (value)"));
  g_assert_true (bl_database_begin (database, "testing", NULL));
  look_into_all (f);
  g_assert_cmpint (second_program (f, "INSERT INTO reading VALUES (1)"), !=, 0);
  g_assert_true (bl_database_commit (database, "testing", NULL));
  g_assert_cmpint (second_program (f, "INSERT INTO reading VALUES (1)"), ==, 0);
  g_assert_cmpint (count (database), ==, 1);
}

/* Several connections of one process, with the journal that locks and unlocks the file at each transaction: what one
 * of them locked another may unlock. */
static void
test_several_connections (Fixture *f, gconstpointer unused)
{
  BlDatabase *one = open_ok (f);
  g_autoptr (BlDatabase) two = NULL, three = NULL;

  g_assert_true (run (one, "CREATE TABLE reading (value); PRAGMA journal_mode = delete"));
  two = open_ok (f);
  g_assert_true (run (two, "PRAGMA journal_mode = delete"));
  for (guint i = 0; i < 3; i++)
    {
      g_assert_true (run (one, "BEGIN; SELECT count(*) FROM reading"));
      g_assert_true (run (two, "BEGIN; SELECT count(*) FROM reading"));
      g_assert_cmpint (second_program (f, "INSERT INTO reading VALUES (7)"), !=, 0);
      g_assert_true (run (one, "COMMIT"));
      g_assert_true (run (two, "COMMIT"));
      g_assert_true (run (i % 2 == 0 ? one : two, "INSERT INTO reading VALUES (1)"));
      g_assert_cmpint (second_program (f, "INSERT INTO reading VALUES (2)"), ==, 0);
    }
  bl_database_close (one);
  look_into_all (f);
  g_assert_true (run (two, "INSERT INTO reading VALUES (3)"));
  three = open_ok (f);
  g_assert_cmpint (count (three), ==, 7);
}

static guint
open_files (void)
{
  g_autoptr (GDir) dir = g_dir_open ("/proc/self/fd", 0, NULL);
  guint n = 0;

  while (dir != NULL && g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

static void
test_nothing_stays_open (Fixture *f, gconstpointer unused)
{
  guint before = open_files ();

  for (guint i = 0; i < 20; i++)
    {
      g_autoptr (BlDatabase) database = open_ok (f);
      g_assert_true (run (database, "CREATE TABLE IF NOT EXISTS reading (value); INSERT INTO reading VALUES (1)"));
    }
  g_assert_cmpuint (open_files (), ==, before);
}

int
main (int argc, char **argv)
{
  if (argc == 4 && strcmp (argv[1], "--second") == 0)
    return be_second (argv[2], argv[3]);
  self = argv[0];
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/file-locks/looked-into", Fixture, NULL, set_up, test_looked_into, tear_down);
  g_test_add ("/file-locks/keeps-others-out", Fixture, NULL, set_up, test_keeps_others_out, tear_down);
  g_test_add ("/file-locks/several-connections", Fixture, NULL, set_up, test_several_connections, tear_down);
  g_test_add ("/file-locks/nothing-stays-open", Fixture, NULL, set_up, test_nothing_stays_open, tear_down);
  return g_test_run ();
}
