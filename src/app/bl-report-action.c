/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of the job on the bench, as PDF or printed.
 *
 * The library belongs to this thread, so what the report is made from is gathered at once; odds,
 * decoding of photos and drawing may take seconds and are done in a thread that shares nothing but
 * the struct it was given. */
#include "config.h"

#include "bl-report-action.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-print.h"
#include "bl-report-gather.h"
#include "bl-report-shop.h"
#include "bl-settings.h"
#include "bl-shell.h"

/* --- what was chosen last --- */

/* Where there are no settings, as in a program that was not installed. */
static BlReportAudience own_audience = BL_REPORT_FOR_CUSTOMER;
static int own_paper = -1;

BlReportAudience
bl_report_action_audience (void)
{
  GSettings *settings = bl_settings ();

  return settings != NULL ? (BlReportAudience) g_settings_get_enum (settings, "report-for") : own_audience;
}

void
bl_report_action_set_audience (BlReportAudience audience)
{
  GSettings *settings = bl_settings ();

  own_audience = audience;
  if (settings != NULL)
    g_settings_set_enum (settings, "report-for", (int) audience);
}

BlReportPaper
bl_report_action_paper (void)
{
  GSettings *settings = bl_settings ();

  return settings == NULL && own_paper >= 0 ? (BlReportPaper) own_paper : bl_report_paper_wanted (settings);
}

void
bl_report_action_set_paper (BlReportPaper paper)
{
  GSettings *settings = bl_settings ();

  own_paper = (int) paper;
  if (settings != NULL)
    g_settings_set_enum (settings, "report-paper", paper == BL_REPORT_LETTER ? 2 : 1);
}

/* --- in a thread --- */

typedef struct
{
  BlJobReport *report;
  char *path; /* NULL: sheets are wanted */
  char *missing;
} Task;

static void
task_free (gpointer data)
{
  Task *task = data;

  bl_job_report_free (task->report);
  g_free (task->path);
  g_free (task->missing);
  g_free (task);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Task *self = data;
  GError *error = NULL;

  bl_job_report_compute (self->report, NULL);
  if (self->report->audience == BL_REPORT_FOR_SHOP)
    bl_job_report_steps (self->report, NULL);
  if (self->path == NULL)
    {
      GPtrArray *sheets = bl_report_sheets (self->report, &error);
      if (sheets != NULL)
        g_task_return_pointer (task, sheets, (GDestroyNotify) g_ptr_array_unref);
      else
        g_task_return_error (task, error);
    }
  else if (bl_report_write_pdf (self->report, self->path, &self->missing, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
start (BlLibrary *library, gint64 job, const char *path, GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, NULL, done, data);
  GError *error = NULL;
  GSettings *settings = bl_settings ();
  BlJobReport *report = bl_report_gather (library, job, &error);

  if (report != NULL && settings != NULL
      && !bl_report_weigh (report, library, job, g_settings_get_double (settings, "prior-strength"), &error))
    g_clear_pointer (&report, bl_job_report_free);
  if (report == NULL)
    {
      g_task_return_error (task, error);
      return;
    }
  report->audience = bl_report_action_audience ();
  report->paper = bl_report_action_paper ();
  bl_report_take_shop (report, settings);
  Task *self = g_new0 (Task, 1);
  self->report = report;
  self->path = g_strdup (path);
  g_task_set_task_data (task, self, task_free);
  g_task_run_in_thread (task, write_in_thread);
}

void
bl_report_write_async (BlLibrary *library, gint64 job, const char *path, GAsyncReadyCallback done, gpointer data)
{
  g_return_if_fail (library != NULL && path != NULL);
  start (library, job, path, done, data);
}

const char *
bl_report_write_missing (GAsyncResult *result)
{
  g_return_val_if_fail (G_IS_TASK (result), NULL);
  const Task *self = g_task_get_task_data (G_TASK (result));

  return self != NULL ? self->missing : NULL;
}

void
bl_report_sheets_async (BlLibrary *library, gint64 job, GAsyncReadyCallback done, gpointer data)
{
  g_return_if_fail (library != NULL);
  start (library, job, NULL, done, data);
}

GPtrArray *
bl_report_sheets_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (G_IS_TASK (result), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
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
  BlShell *shell = ask->widget != NULL ? bl_shell_of (ask->widget) : NULL;

  if (shell == NULL)
    g_clear_error (&error);
  else if (!done)
    bl_widget_report (ask->widget, _ ("The report was not written"), error);
  else
    {
      g_autofree char *name = g_filename_display_basename (ask->path);
      const char *missing = bl_report_write_missing (result);
      g_autofree char *words = missing != NULL
                                   ? g_strdup_printf (_ ("Report written as %s; no font here has these letters: %s"), name,
                                                      missing)
                                   : g_strdup_printf (_ ("Report written as %s"), name);
      bl_shell_notify_file (shell, words, ask->path);
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
  gboolean customer = bl_report_action_audience () == BL_REPORT_FOR_CUSTOMER;
  g_autofree char *name = g_strdup_printf (customer ? _ ("job-%d-customer.pdf") : _ ("job-%d-shop.pdf"),
                                           head != NULL ? head->number : 0);
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

/* --- printing --- */

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, GPtrArray *sheets)
{
  cairo_t *cr = gtk_print_context_get_cairo_context (context);
  cairo_surface_t *sheet;
  cairo_rectangle_t extents;
  double scale;

  g_return_if_fail (page >= 0 && (guint) page < sheets->len);
  sheet = g_ptr_array_index (sheets, page);
  /* On other paper than was chosen it is made to fit. */
  if (!cairo_recording_surface_get_extents (sheet, &extents) || extents.width <= 0 || extents.height <= 0)
    return;
  scale = MIN (gtk_print_context_get_width (context) / extents.width,
               gtk_print_context_get_height (context) / extents.height);
  if (fabs (scale - 1) > 0.005)
    cairo_scale (cr, scale, scale);
  cairo_set_source_surface (cr, sheet, 0, 0);
  cairo_paint (cr);
}

static void
sheets_ready (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GtkPrintOperation) operation = data;
  GError *error = NULL;
  GPtrArray *sheets = bl_report_sheets_finish (result, &error);
  g_autoptr (GtkPageSetup) setup = gtk_page_setup_new ();
  g_autoptr (GtkPaperSize) size = NULL;

  if (sheets == NULL)
    bl_print_fail (operation, error);
  else
    {
      size = gtk_paper_size_new (bl_report_action_paper () == BL_REPORT_LETTER ? GTK_PAPER_NAME_LETTER
                                                                                : GTK_PAPER_NAME_A4);
      gtk_page_setup_set_paper_size_and_default_margins (setup, size);
      gtk_print_operation_set_default_page_setup (operation, setup);
      gtk_print_operation_set_n_pages (operation, (int) sheets->len);
      g_object_set_data_full (G_OBJECT (operation), "sheets", sheets, (GDestroyNotify) g_ptr_array_unref);
      g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), sheets);
    }
  bl_print_run (operation, _ ("The report was not printed"), _ ("Report sent to the printer"));
}

void
bl_report_action_print (GtkWidget *widget, BlLibrary *library, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  g_autoptr (BlJob) head = bl_library_load_job (library, job, NULL);
  g_autofree char *name = g_strdup_printf (_ ("Report of job %d"), head != NULL ? head->number : 0);

  bl_widget_notify (widget, _ ("Drawing the report …"));
  bl_report_sheets_async (library, job, sheets_ready, bl_print_operation_new (widget, name));
}
