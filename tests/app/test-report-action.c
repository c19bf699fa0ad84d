/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of an open job from the window: a PDF appears while the loop runs, and where it cannot be
 * written the reason names the file. */
#include "config.h"

#include "fixture.h"

#include <glib/gstdio.h>

#include "bl-report-action.h"

typedef struct
{
  gboolean done, ok;
  GError *error;
} Answer;

static void
answered (GObject *source, GAsyncResult *result, gpointer data)
{
  Answer *answer = data;

  answer->ok = bl_report_write_finish (result, &answer->error);
  answer->done = TRUE;
}

static gboolean
is_done (gpointer data)
{
  return ((Answer *) data)->done;
}

static void
test_written (AppFixture *fixture, gconstpointer unused)
{
  g_autofree char *path = g_strconcat (fixture->path, ".pdf", NULL), *text = NULL;
  Answer answer = { 0 };
  gsize length;

  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  bl_report_write_async (fixture->library, fixture->job, path, answered, &answer);
  g_assert_false (answer.done);
  g_assert_true (app_wait (is_done, &answer));
  g_assert_no_error (answer.error);
  g_assert_true (answer.ok);
  g_assert_true (g_file_get_contents (path, &text, &length, NULL));
  g_assert_true (g_str_has_prefix (text, "%PDF-"));
  g_unlink (path);
}

static void
test_refused (AppFixture *fixture, gconstpointer unused)
{
  g_autofree char *path = g_strconcat (fixture->path, "/no-such-folder.pdf", NULL);
  Answer answer = { 0 };

  bl_report_write_async (fixture->library, fixture->job, path, answered, &answer);
  g_assert_true (app_wait (is_done, &answer));
  g_assert_false (answer.ok);
  g_assert_nonnull (strstr (answer.error->message, "no-such-folder.pdf"));
  g_clear_error (&answer.error);
}

static void
test_no_job (AppFixture *fixture, gconstpointer unused)
{
  Answer answer = { 0 };

  bl_report_write_async (fixture->library, 99, "none.pdf", answered, &answer);
  g_assert_true (app_wait (is_done, &answer));
  g_assert_error (answer.error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&answer.error);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name, function)                                                                                            \
  g_test_add ("/app/report-action/" name, AppFixture, NULL, app_fixture_set_up, function, app_fixture_tear_down)
  ADD ("written", test_written);
  ADD ("refused", test_refused);
  ADD ("no-job", test_no_job);
  return g_test_run ();
}
