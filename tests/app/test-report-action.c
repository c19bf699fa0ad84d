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

/* For whom and on what paper stay as they were chosen; sheets come for printing, of that size. */
static void
sheets_answered (GObject *source, GAsyncResult *result, gpointer data)
{
  GError *error = NULL;

  *(GPtrArray **) data = bl_report_sheets_finish (result, &error);
  g_assert_no_error (error);
}

static gboolean
is_there (gpointer data)
{
  return *(GPtrArray **) data != NULL;
}

static void
test_sheets (AppFixture *fixture, gconstpointer unused)
{
  const double widths[2] = { 210 / 25.4 * 72, 8.5 * 72 };
  guint pages[2];

  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  for (int paper = 0; paper < 2; paper++)
    for (int audience = 0; audience < 2; audience++)
      {
        GPtrArray *sheets = NULL;
        cairo_rectangle_t extents;
        bl_report_action_set_paper (paper == 1 ? BL_REPORT_LETTER : BL_REPORT_A4);
        bl_report_action_set_audience (audience == 1 ? BL_REPORT_FOR_CUSTOMER : BL_REPORT_FOR_SHOP);
        g_assert_cmpint (bl_report_action_paper (), ==, paper == 1 ? BL_REPORT_LETTER : BL_REPORT_A4);
        bl_report_sheets_async (fixture->library, fixture->job, sheets_answered, &sheets);
        g_assert_true (app_wait (is_there, &sheets));
        pages[audience] = sheets->len;
        g_assert_true (cairo_recording_surface_get_extents (g_ptr_array_index (sheets, 0), &extents));
        g_assert_cmpfloat_with_epsilon (extents.width, widths[paper], 0.01);
        g_ptr_array_unref (sheets);
      }
  g_assert_cmpuint (pages[1], <=, 2);
  bl_report_action_set_paper (BL_REPORT_A4);
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
  ADD ("sheets", test_sheets);
  ADD ("refused", test_refused);
  ADD ("no-job", test_no_job);
  return g_test_run ();
}
