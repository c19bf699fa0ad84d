/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `numbers`, `export-jobs` and the import of jobs by the built program, from outside. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library.h"

#include "../store/sample.h"
#include "../store/scratch.h"

#include <string.h>
#include <sys/wait.h>

/* Runs the program; its exit status, and what it printed. */
static int
run (char **out, ...)
{
  g_autoptr (GPtrArray) arguments = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  const char *argument;
  int status = -1;
  va_list list;

  g_clear_pointer (out, g_free);
  g_ptr_array_add (arguments, (gpointer) g_getenv ("BENCHLORE_CLI"));
  va_start (list, out);
  while ((argument = va_arg (list, const char *)) != NULL)
    g_ptr_array_add (arguments, (gpointer) argument);
  va_end (list);
  g_ptr_array_add (arguments, NULL);
  g_spawn_sync (NULL, (char **) arguments->pdata, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, out, NULL, &status,
                &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  return WEXITSTATUS (status);
}

static void
make_library (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlLibrary) library = bl_library_open (path, TRUE, &error);
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (BlRecord) cause = bl_record_new (BL_RECORD_CAUSE, "U2", "open");

  g_assert_no_error (error);
  job->board = bl_library_add_board (library, board, FALSE, &error);
  bl_job_set_state (job, BL_JOB_HANDED_BACK);
  cause->job = bl_library_add_job (library, job, &error);
  g_assert_true (bl_library_append (library, cause, &error));
}

static void
test_shop (void)
{
  char *folder = scratch_new (), *out = NULL;
  g_autofree char *mine = scratch_file (folder, "mine.benchlore-library"), *other = scratch_file (folder, "other"),
                  *file = scratch_file (folder, "jobs.benchlore");

  make_library (mine);
  g_assert_cmpint (run (&out, "numbers", "--csv", "--library", mine, NULL), ==, 0);
  g_assert_true (g_str_has_prefix (out, "figure,edition,item,count,of,value,unit\r\njobs,,,1,,,\r\n"));
  g_assert_nonnull (strstr (out, "\r\ncause,\"RB-17, edition C\",U2,1,1,,\r\n"));
  g_assert_cmpint (run (&out, "numbers", "--board", "RB-17/C", "--library", mine, NULL), ==, 0);
  g_assert_nonnull (strstr (out, "1 of 1"));
  g_assert_cmpint (run (&out, "numbers", "--board", "nothing", "--library", mine, NULL), ==, 1);
  g_assert_cmpstr (out, ==, "");
  g_assert_cmpint (run (&out, "numbers", "--months", "-3", "--library", mine, NULL), ==, 2);

  g_assert_cmpint (run (&out, "export-jobs", file, "7", "--library", mine, NULL), ==, 1);
  g_assert_false (g_file_test (file, G_FILE_TEST_EXISTS));
  g_assert_cmpint (run (&out, "export-jobs", file, "1", "--library", mine, NULL), ==, 0);
  g_assert_cmpint (run (&out, "import", file, "--library", other, NULL), ==, 0);
  g_assert_cmpstr (out, ==, "Jobs: 1 new, 0 with something new. Log lines 1, strikes 0, photos 0, boards 1.\n");
  g_assert_cmpint (run (&out, "import", file, "--library", other, NULL), ==, 0);
  g_assert_cmpstr (out, ==, "Everything in it was here already.\n");
  g_assert_cmpint (run (&out, "numbers", "--csv", "--library", other, NULL), ==, 0);
  g_assert_nonnull (strstr (out, "\r\ncause,\"RB-17, edition C\",U2,1,1,,\r\n"));
  g_free (out);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/shop", test_shop);
  return g_test_run ();
}
