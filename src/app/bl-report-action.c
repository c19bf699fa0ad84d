/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of the job on the bench, as PDF.
 *
 * The library belongs to this thread, so what the report is made from is gathered at once; odds,
 * decoding of photos and drawing may take seconds and are done in a thread that shares nothing but
 * the struct it was given. */
#include "config.h"

#include "bl-report-action.h"

#include <glib/gi18n-lib.h>

#include "bl-application.h"
#include "bl-report-gather.h"
#include "bl-report.h"
#include "bl-window.h"

typedef struct
{
  BlJobReport *report;
  char *path;
} Task;

static void
task_free (gpointer data)
{
  Task *task = data;

  bl_job_report_free (task->report);
  g_free (task->path);
  g_free (task);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Task *self = data;
  GError *error = NULL;

  bl_job_report_compute (self->report, NULL);
  if (bl_report_write_pdf (self->report, self->path, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

void
bl_report_write_async (BlLibrary *library, gint64 job, const char *path, GAsyncReadyCallback done, gpointer data)
{
  g_return_if_fail (library != NULL && path != NULL);
  g_autoptr (GTask) task = g_task_new (NULL, NULL, done, data);
  GError *error = NULL;
  GSettings *settings = bl_application_settings ();
  BlJobReport *report = bl_report_gather (library, job, &error);

  if (report != NULL && settings != NULL
      && !bl_report_weigh (report, library, job, g_settings_get_double (settings, "prior-strength"), &error))
    g_clear_pointer (&report, bl_job_report_free);
  if (report == NULL)
    {
      g_task_return_error (task, error);
      return;
    }
  Task *self = g_new0 (Task, 1);
  self->report = report;
  self->path = g_strdup (path);
  g_task_set_task_data (task, self, task_free);
  g_task_run_in_thread (task, write_in_thread);
}

gboolean
bl_report_write_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (G_IS_TASK (result), FALSE);
  return g_task_propagate_boolean (G_TASK (result), error);
}

/* --- asking where to --- */

typedef struct
{
  GtkWidget *widget; /* weak */
  BlLibrary *library;
  gint64 job;
  char *path;
  GtkFileChooserNative *dialog;
} Ask;

static void
ask_free (Ask *ask)
{
  g_clear_weak_pointer (&ask->widget);
  g_clear_object (&ask->dialog);
  g_free (ask->path);
  g_free (ask);
}

static void
written (GObject *source, GAsyncResult *result, gpointer data)
{
  Ask *ask = data;
  GError *error = NULL;
  gboolean done = bl_report_write_finish (result, &error);
  BlWindow *window = ask->widget != NULL ? bl_window_of (ask->widget) : NULL;

  if (window == NULL)
    g_clear_error (&error);
  else if (!done)
    bl_widget_report (ask->widget, _ ("The report was not written"), error);
  else
    {
      g_autofree char *name = g_filename_display_basename (ask->path);
      g_autofree char *words = g_strdup_printf (_ ("Report written as %s"), name);
      bl_window_notify_file (window, words, ask->path);
    }
  ask_free (ask);
}

static void
responded (GtkNativeDialog *dialog, int response, Ask *ask)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;

  if (response != GTK_RESPONSE_ACCEPT || ask->widget == NULL || path == NULL)
    {
      ask_free (ask);
      return;
    }
  ask->path = g_str_has_suffix (path, ".pdf") ? g_steal_pointer (&path) : g_strconcat (path, ".pdf", NULL);
  bl_widget_notify (ask->widget, _ ("Writing the report …"));
  bl_report_write_async (ask->library, ask->job, ask->path, written, ask);
}

void
bl_report_action_run (GtkWidget *widget, BlLibrary *library, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GtkRoot *root = gtk_widget_get_root (widget);
  g_autoptr (BlJob) head = bl_library_load_job (library, job, NULL);
  g_autofree char *name = g_strdup_printf (_ ("job-%d.pdf"), head != NULL ? head->number : 0);
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  Ask *ask = g_new0 (Ask, 1);

  g_set_weak_pointer (&ask->widget, widget);
  ask->library = library;
  ask->job = job;
  gtk_file_filter_set_name (filter, _ ("PDF documents"));
  gtk_file_filter_add_pattern (filter, "*.pdf");
  ask->dialog = gtk_file_chooser_native_new (_ ("Report as PDF"), GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                             GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (ask->dialog), TRUE);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (ask->dialog), filter);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (ask->dialog), name);
  g_signal_connect (ask->dialog, "response", G_CALLBACK (responded), ask);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (ask->dialog));
}
