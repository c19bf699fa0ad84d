/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How it goes for whoever practises: the chart, and the results as a table for somebody else's program. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-practice-paper.h"
#include "bl-progress-chart.h"
#include "bl-report-action.h"
#include "bl-shell.h"
#include "bl-style.h"

void
bl_practice_progress_show (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  GError *error = NULL;
  g_autoptr (BlPracticeResults) results = person != NULL ? bl_practice_results (self->practice, person->id, &error) : NULL;
  gboolean any = results != NULL && bl_results_row_tried (&results->all) > 0;
  g_autofree char *head = person != NULL ? g_strdup_printf (_ ("How it goes: %s"), person->name) : g_strdup (_ ("How it goes"));

  if (error != NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The results cannot be counted"), error);
  bl_progress_chart_show (BL_PROGRESS_CHART (self->chart), any ? results : NULL);
  gtk_widget_set_visible (self->chart, any);
  gtk_label_set_label (GTK_LABEL (self->progress_head), head);
  gtk_label_set_label (GTK_LABEL (self->progress_note),
                       any ? _ ("Given away: time that the best next measurement would have saved, as a share of the time a drill "
                                "took. How fast somebody is counts nowhere.")
                           : _ ("Nothing practised yet. What is answered and drilled shows here, week by week, for each kind of "
                                "section and each family of faults."));
  gtk_widget_set_visible (self->csv, any); /* there is nothing to write */
  gtk_widget_set_visible (self->pdf, any);
}

/* --- files --- */

static void
csv_chosen (GtkNativeDialog *dialog, int response, BlPracticePage *self)
{
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  const BlPerson *person = bl_practice_get_person (self->practice);
  GError *error = NULL;

  if (path != NULL && person != NULL)
    {
      g_autofree char *text = bl_practice_csv (self->practice, person->id, &error);
      BlShell *shell = bl_shell_of (GTK_WIDGET (self));
      if (text == NULL || !g_file_set_contents (path, text, -1, &error))
        bl_widget_report (GTK_WIDGET (self), _ ("The results were not written"), error);
      else if (shell != NULL)
        bl_shell_notify_file (shell, _ ("The results were written."), path);
    }
  g_clear_object (&self->dialog);
}

/* A file that ends like this, named after whoever practises. */
static GtkFileChooserNative *
ask_where (BlPracticePage *self, const char *title, const char *ending)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

  if (person == NULL || self->dialog != NULL)
    return NULL;
  g_autofree char *name = g_strdup_printf (_ ("practice %s.%s"), person->name, ending);
  self->dialog = gtk_file_chooser_native_new (title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                              GTK_FILE_CHOOSER_ACTION_SAVE, _ ("Write"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), g_strdelimit (name, "/", '-'));
  return self->dialog;
}

static void
pdf_chosen (GtkNativeDialog *dialog, int response, BlPracticePage *self)
{
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  const BlPerson *person = bl_practice_get_person (self->practice);
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));
  GError *error = NULL;

  if (path != NULL && person != NULL)
    {
      g_autoptr (BlPracticeResults) results = bl_practice_results (self->practice, person->id, &error);
      if (results == NULL
          || !bl_practice_paper_write_pdf (results, bl_report_action_paper () == BL_REPORT_LETTER, path, &error))
        bl_widget_report (GTK_WIDGET (self), _ ("The page was not written"), error);
      else if (shell != NULL)
        bl_shell_notify_file (shell, _ ("The page was written."), path);
    }
  g_clear_object (&self->dialog);
}

static void
pdf_pressed (BlPracticePage *self)
{
  GtkFileChooserNative *dialog = ask_where (self, _ ("Write one page of results"), "pdf");

  if (dialog == NULL)
    return;
  g_signal_connect (dialog, "response", G_CALLBACK (pdf_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

static void
csv_pressed (BlPracticePage *self)
{
  GtkFileChooserNative *dialog = ask_where (self, _ ("Write the results as a table"), "csv");

  if (dialog == NULL)
    return;
  g_signal_connect (dialog, "response", G_CALLBACK (csv_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

/* --- layout --- */

GtkWidget *
bl_practice_progress_new (BlPracticePage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->chart = bl_progress_chart_new ();
  self->progress_head = bl_label ("", "heading", 0);
  self->progress_note = bl_practice_words ("", "muted small");
  self->csv = bl_act_button ("plain", _ ("Results as a table…"), NULL, FALSE);
  g_signal_connect_object (self->csv, "clicked", G_CALLBACK (csv_pressed), self, G_CONNECT_SWAPPED);
  gtk_label_set_ellipsize (GTK_LABEL (self->progress_head), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->progress_head, TRUE);
  gtk_box_append (GTK_BOX (row), self->progress_head);
  self->pdf = bl_act_button ("plain", _ ("One page as PDF…"), NULL, FALSE);
  g_signal_connect_object (self->pdf, "clicked", G_CALLBACK (pdf_pressed), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (row), self->csv);
  gtk_box_append (GTK_BOX (row), self->pdf);
  gtk_box_append (GTK_BOX (column), row);
  gtk_box_append (GTK_BOX (column), self->chart);
  gtk_box_append (GTK_BOX (column), self->progress_note);
  gtk_widget_set_size_request (column, 500, -1);
  self->progress = column;
  return column;
}
