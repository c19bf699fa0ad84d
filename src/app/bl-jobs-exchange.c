/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs to another bench and from one: a file is asked for, and what was done is told. What is shown in the list is what
 * is written, so the chips and the search say which; one job alone is found by its number. */
#include "config.h"

#include "bl-jobs-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-job-intake.h"
#include "bl-shell.h"
#include "bl-style.h"

/* --- writing --- */

static gboolean
write_shown (BlJobsPage *self, const char *path, guint *n, GError **error)
{
  g_autoptr (GPtrArray) shown = bl_jobs_page_shown (self);
  g_autofree gint64 *ids = g_new0 (gint64, shown->len + 1);

  for (guint i = 0; i < shown->len; i++)
    ids[i] = ((const BlJob *) bl_at (shown, i))->id;
  *n = shown->len;
  g_autoptr (BlJobBundle) bundle = bl_library_export_jobs (self->library, ids, shown->len, error);
  return bundle != NULL && bl_job_bundle_write (bundle, path, error);
}

static void
target_chosen (BlJobsPage *self, const char *path)
{
  g_autofree char *full = g_str_has_suffix (path, ".benchlore") ? g_strdup (path)
                                                                : g_strconcat (path, ".benchlore", NULL);
  g_autofree char *name = g_filename_display_basename (full);
  GError *error = NULL;
  guint n = 0;

  if (!write_shown (self, full, &n, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was exported"), error);
      return;
    }
  g_autofree char *words = g_strdup_printf (ngettext ("%u job with its log, photos and board written as %s",
                                                      "%u jobs with their logs, photos and boards written as %s", n),
                                            n, name);
  if (bl_shell_of (GTK_WIDGET (self)) != NULL)
    bl_shell_notify_file (bl_shell_of (GTK_WIDGET (self)), words, full);
}

/* --- reading --- */

static void
source_chosen (BlJobsPage *self, const char *path)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));
  BlBench *bench = shell != NULL ? bl_shell_get_bench (shell) : NULL;
  GError *error = NULL;
  g_autoptr (BlJobBundle) bundle = bl_job_bundle_read (path, NULL, &error);
  g_autoptr (BlJobIntake) intake = bundle != NULL ? bl_job_intake_run (self->library, bundle, &error) : NULL;

  if (intake == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was imported"), error);
      return;
    }
  g_autofree char *words = bl_job_intake_words (intake);
  bl_jobs_page_refresh (self);
  /* The job on the bench may have got lines, too. */
  for (guint i = 0; bench != NULL && i < intake->jobs->len; i++)
    if (((BlJobMerged *) bl_at (intake->jobs, i))->job == bl_bench_get_job (bench)->id)
      {
        bl_shell_read_anew (shell);
        break;
      }
  if (shell != NULL)
    bl_shell_notify (shell, words, TRUE); /* time to read it */
}

/* --- asking --- */

static void
responded (GtkNativeDialog *dialog, int response, BlJobsPage *self)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  gboolean save = gtk_file_chooser_get_action (GTK_FILE_CHOOSER (dialog)) == GTK_FILE_CHOOSER_ACTION_SAVE;

  if (response == GTK_RESPONSE_ACCEPT && path != NULL && save)
    target_chosen (self, path);
  else if (response == GTK_RESPONSE_ACCEPT && path != NULL)
    source_chosen (self, path);
  g_clear_object (&self->dialog);
}

static void
ask (BlJobsPage *self, const char *title, GtkFileChooserAction action, const char *name)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  if (self->dialog != NULL)
    return;
  gtk_file_filter_set_name (filter, _ ("Jobs"));
  gtk_file_filter_add_pattern (filter, "*.benchlore");
  self->dialog = gtk_file_chooser_native_new (title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, action, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), filter);
  if (name != NULL)
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), name);
  g_signal_connect_object (self->dialog, "response", G_CALLBACK (responded), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

void
bl_jobs_page_export (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  g_autoptr (GPtrArray) shown = bl_jobs_page_shown (self);
  g_autofree char *title = g_strdup_printf (ngettext ("The %u job shown, for another bench",
                                                      "The %u jobs shown, for another bench", shown->len), shown->len);

  if (shown->len == 0)
    bl_widget_notify (GTK_WIDGET (self), _ ("No job is shown: there is nothing to write."));
  else
    ask (self, title, GTK_FILE_CHOOSER_ACTION_SAVE, _ ("jobs.benchlore"));
}

void
bl_jobs_page_import (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  ask (self, _ ("Jobs of another bench"), GTK_FILE_CHOOSER_ACTION_OPEN, NULL);
}
