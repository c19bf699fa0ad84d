/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on a label is what was chosen, and the preview has the paper's own proportions. */
#include "config.h"

#include "fixture.h"

#include "bl-tag-choice.h"

#include "../store/sample.h"

#include <string.h>

static gint64
make_job (BlLibrary *library)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  job->customer = g_strdup ("Brook Lane");
  job->complaint = g_strdup ("fan stands still");
  job->serial = g_strdup ("A-7");
  gint64 id = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
  return id;
}

static void
test_left_out (void)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);
  gint64 id = make_job (library);
  BlTagChoice choice = { BL_TAG_89X36, FALSE, TRUE };

  bl_tag_choose (&choice);
  choice = bl_tag_choice ();
  g_assert_cmpint (choice.size, ==, BL_TAG_89X36);
  g_assert_false (choice.customer);
  g_autoptr (BlJobTag) one = bl_tag_choice_fill (&choice, library, id, &error);
  g_assert_no_error (error);
  g_assert_null (one->customer);
  g_assert_cmpstr (one->complaint, ==, "fan stands still");
  g_assert_nonnull (strstr (one->serial, "A-7"));
  g_assert_nonnull (one->link);
  choice.customer = TRUE;
  choice.complaint = FALSE;
  g_autoptr (BlJobTag) other = bl_tag_choice_fill (&choice, library, id, &error);
  g_assert_cmpstr (other->customer, ==, "Brook Lane");
  g_assert_null (other->complaint);
  bl_library_close (library);
}

static void
test_preview (void)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);
  gint64 id = make_job (library);
  g_autoptr (GtkWidget) preview = g_object_ref_sink (bl_tag_preview_new (496));
  BlTagChoice choice = { BL_TAG_62X29, TRUE, TRUE };
  int width, height;

  bl_tag_choose (&choice);
  bl_tag_preview_show (BL_TAG_PREVIEW (preview), library, id);
  gtk_widget_get_size_request (preview, &width, &height);
  g_assert_cmpint (width, ==, 496);
  g_assert_cmpint (height, ==, 232); /* 8 px a mm */
  choice.size = BL_TAG_A4;
  bl_tag_choose (&choice);
  bl_tag_preview_show (BL_TAG_PREVIEW (preview), library, id);
  gtk_widget_get_size_request (preview, &width, &height);
  g_assert_cmpint (height, ==, 146); /* 62 of the 297 mm, at 496 px for 210 mm */
  bl_library_close (library);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/tag-choice/left-out", test_left_out);
  g_test_add_func ("/app/tag-choice/preview", test_preview);
  return g_test_run ();
}
