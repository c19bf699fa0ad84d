/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `diagnose --learn`: the built program with a library behind it. Without the option, and where nothing
 * was found, its answer is the same to the byte. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bundle.h"

#include <glib/gstdio.h>
#include <jansson.h>

#include <string.h>
#include <sys/wait.h>

typedef struct
{
  char *folder, *library, *board, *readings;
  gint64 job;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  f->folder = g_dir_make_tmp ("benchlore-test-XXXXXX", &error);
  g_assert_no_error (error);
  f->library = g_build_filename (f->folder, "shop.benchlore-library", NULL);
  f->board = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  f->readings = g_build_filename (f->folder, "r.csv", NULL);
  g_assert_true (g_file_set_contents (f->readings, "measurement,reading,meter\nM5,0.02,\n", -1, NULL));
  g_autoptr (BlBoard) board = bl_board_load_file (f->board, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlLibrary) library = bl_library_open (f->library, TRUE, &error);
  g_assert_no_error (error);
  g_autoptr (BlJob) job = bl_job_new ();
  job->board = bl_library_add_board (library, board, FALSE, &error);
  f->job = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_autoptr (GDir) dir = g_dir_open (f->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (f->folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (f->folder);
  g_free (f->folder);
  g_free (f->library);
  g_free (f->board);
  g_free (f->readings);
}

static int
run (const char *const *more, Fixture *f, char **out, char **err)
{
  g_autoptr (GPtrArray) arguments = g_ptr_array_new ();
  const char *const first[] = { g_getenv ("BENCHLORE_CLI"), "diagnose", "--board", f->board, "--readings", f->readings,
                                "--json" };
  g_autoptr (GError) error = NULL;
  int status = -1;

  for (guint i = 0; i < G_N_ELEMENTS (first); i++)
    g_ptr_array_add (arguments, (gpointer) first[i]);
  for (guint i = 0; more[i] != NULL; i++)
    g_ptr_array_add (arguments, (gpointer) more[i]);
  g_ptr_array_add (arguments, NULL);
  g_spawn_sync (NULL, (char **) arguments->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, out, err, &status, &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  return WEXITSTATUS (status);
}

static char *
run_ok (Fixture *f, const char *const *more)
{
  char *out = NULL;
  g_autofree char *err = NULL;
  int code = run (more, f, &out, &err);

  g_test_message ("%s", err);
  g_assert_cmpint (code, ==, 0);
  return out;
}

static void
run_fails (Fixture *f, int expected, const char *words, const char *const *more)
{
  g_autofree char *out = NULL, *err = NULL;

  g_assert_cmpint (run (more, f, &out, &err), ==, expected);
  g_test_message ("%s", err);
  g_assert_nonnull (strstr (err, words));
}

static void
confirm (Fixture *f, const char *component, const char *mode)
{
  g_autoptr (BlLibrary) library = bl_library_open (f->library, FALSE, NULL);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_CAUSE, component, mode);

  record->job = f->job;
  g_assert_true (bl_library_append (library, record, NULL));
}

static double
probability (const char *text, const char *component)
{
  json_t *root = json_loads (text, 0, NULL), *item;
  double found = -1;
  gsize i;

  g_assert_nonnull (root);
  json_array_foreach (json_object_get (root, "components"), i, item)
    if (strcmp (json_string_value (json_object_get (item, "id")), component) == 0)
      found = json_number_value (json_object_get (item, "probability"));
  json_decref (root);
  return found;
}

static void
test_learned (Fixture *f, gconstpointer data)
{
  const char *const none[] = { NULL }, *const learn[] = { "--learn", f->library, NULL };
  const char *const weak[] = { "--learn", f->library, "--strength", "1", NULL };
  g_autofree char *before = run_ok (f, none), *nothing = run_ok (f, learn);

  g_assert_cmpstr (before, ==, nothing);
  confirm (f, "F1", "open");
  g_autofree char *alone = run_ok (f, none), *learned = run_ok (f, learn), *weaker = run_ok (f, weak);
  g_assert_cmpstr (before, ==, alone);
  g_assert_cmpfloat (probability (learned, "F1"), >, probability (before, "F1"));
  g_assert_cmpfloat (probability (weaker, "F1"), >, probability (learned, "F1"));
}

static void
test_refused (Fixture *f, gconstpointer data)
{
  const char *const missing[] = { "--learn", "/nowhere/at-all", NULL };
  const char *const alone[] = { "--strength", "5", NULL };
  const char *const zero[] = { "--learn", f->library, "--strength", "0", NULL };
  const char *const learn[] = { "--learn", f->library, NULL };

  run_fails (f, 1, "/nowhere/at-all", missing);
  run_fails (f, 2, "--strength", alone);
  run_fails (f, 2, "--strength", zero);
  /* A board that the library does not have. */
  g_autofree char *other = g_build_filename (f->folder, "other.json", NULL);
  g_assert_true (g_file_set_contents (
    other, "{\"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"99999999-2222-4333-8444-555555555555\"}", -1,
    NULL));
  g_assert_true (g_file_set_contents (f->readings, "measurement,reading,meter\n", -1, NULL));
  g_free (f->board);
  f->board = g_steal_pointer (&other);
  run_fails (f, 1, "not in this library", learn);
}

#define ADD(path, test) g_test_add (path, Fixture, NULL, set_up, test, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("/cli/learn-option/learned", test_learned);
  ADD ("/cli/learn-option/refused", test_refused);
  return g_test_run ();
}
