/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of printing: the first reason, once, and nothing to a widget that is gone; no dialog where the pages
 * could not be made. */
#include "config.h"

#include "fixture.h"

#include "bl-print.h"

static GError *
reason (const char *words)
{
  return g_error_new_literal (G_IO_ERROR, G_IO_ERROR_FAILED, words);
}

/* Nothing was made, so that nothing is printed: said at once. */
static void
test_before (void)
{
  g_autoptr (GtkWidget) note = g_object_ref_sink (gtk_label_new (""));
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (note, "Cautions");

  bl_print_fail (operation, reason ("no page"));
  bl_print_run (operation, NULL, NULL);
  g_assert_cmpstr (gtk_label_get_label (GTK_LABEL (note)), ==, "no page");
  g_assert_cmpint (gtk_print_operation_get_status (operation), ==, GTK_PRINT_STATUS_INITIAL);
}

/* The printer took the pages, but what is on them is not whole. */
static void
test_first (void)
{
  g_autoptr (GtkWidget) note = g_object_ref_sink (gtk_label_new (""));
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (note, "Cautions");

  bl_print_fail (operation, reason ("first"));
  bl_print_fail (operation, reason ("second"));
  g_signal_emit_by_name (operation, "done", GTK_PRINT_OPERATION_RESULT_APPLY);
  g_assert_cmpstr (gtk_label_get_label (GTK_LABEL (note)), ==, "first");
}

static void
test_gone (void)
{
  GtkWidget *note = g_object_ref_sink (gtk_label_new (""));
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (note, "Cautions");

  g_object_unref (note);
  bl_print_run (operation, "Not printed", "Sent");
  g_assert_cmpint (gtk_print_operation_get_status (operation), ==, GTK_PRINT_STATUS_INITIAL);
  bl_print_fail (operation, reason ("first"));
  g_signal_emit_by_name (operation, "done", GTK_PRINT_OPERATION_RESULT_APPLY);
}

/* Without a window of ours the line of messages is the log. */
static void
test_said (void)
{
  g_autoptr (GtkWidget) box = g_object_ref_sink (gtk_box_new (GTK_ORIENTATION_VERTICAL, 0));
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (box, "Label");

  bl_print_fail (operation, reason ("no ink"));
  g_test_expect_message ("bl-app", G_LOG_LEVEL_MESSAGE, "The label was not printed: no ink");
  bl_print_run (operation, "The label was not printed", NULL);
  g_test_assert_expected_messages ();
}

/* A printer 'to a file' calls the file as the job is called, unless somebody says otherwise. */
static void
test_file (void)
{
  g_autoptr (GtkWidget) box = g_object_ref_sink (gtk_box_new (GTK_ORIENTATION_VERTICAL, 0));
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (box, "Label of job 7");
  GtkPrintSettings *settings = gtk_print_operation_get_print_settings (operation);

  g_assert_cmpstr (gtk_print_settings_get (settings, GTK_PRINT_SETTINGS_OUTPUT_BASENAME), ==, "Label of job 7");
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/print/before", test_before);
  g_test_add_func ("/app/print/first", test_first);
  g_test_add_func ("/app/print/gone", test_gone);
  g_test_add_func ("/app/print/said", test_said);
  g_test_add_func ("/app/print/file", test_file);
  return g_test_run ();
}
