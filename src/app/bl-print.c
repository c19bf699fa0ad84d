/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What all printing here has in common: the pages are whole and in points, the dialog and the printer are waited for by
 * nobody, and what came of it is told to a widget that may be gone by then. What is on the pages is the business of
 * those who print. */
#include "config.h"

#include "bl-print.h"

#include <glib/gi18n-lib.h>

#include "bl-shell.h"

#define KEY "bl-print"

typedef struct
{
  GtkWidget *widget; /* weak */
  GError *error;     /* the first that came up while drawing */
  char *failed, *sent;
} Print;

static void
print_free (Print *print)
{
  g_clear_weak_pointer (&print->widget);
  g_clear_error (&print->error);
  g_free (print->failed);
  g_free (print->sent);
  g_free (print);
}

static void
tell_failure (Print *print)
{
  if (GTK_IS_LABEL (print->widget))
    gtk_label_set_label (GTK_LABEL (print->widget), print->error->message);
  else if (print->widget != NULL)
    bl_widget_report (print->widget, print->failed, g_steal_pointer (&print->error));
}

/* No printer has it that was printed into a file. FALSE: it was not. */
static gboolean
tell_file (GtkPrintOperation *operation, Print *print)
{
  GtkPrintSettings *settings = gtk_print_operation_get_print_settings (operation);
  const char *uri = settings != NULL ? gtk_print_settings_get (settings, GTK_PRINT_SETTINGS_OUTPUT_URI) : NULL;
  g_autofree char *path = uri != NULL ? g_filename_from_uri (uri, NULL, NULL) : NULL;

  if (path == NULL)
    return FALSE;
  g_autofree char *name = g_filename_display_basename (path);
  g_autofree char *words = g_strdup_printf (_ ("Printed into the file %s"), name);
  BlShell *shell = bl_shell_of (print->widget);
  if (shell != NULL)
    bl_shell_notify_file (shell, words, path);
  return TRUE;
}

static void
done (GtkPrintOperation *operation, GtkPrintOperationResult result, Print *print)
{
  g_autoptr (GError) reason = NULL;

  if (result == GTK_PRINT_OPERATION_RESULT_ERROR)
    gtk_print_operation_get_error (operation, &reason);
  if (reason != NULL)
    {
      g_clear_error (&print->error);
      print->error = g_steal_pointer (&reason);
    }
  if (print->error != NULL)
    tell_failure (print);
  else if (result == GTK_PRINT_OPERATION_RESULT_APPLY && print->sent != NULL && print->widget != NULL
           && !tell_file (operation, print))
    bl_widget_notify (print->widget, print->sent);
}

GtkPrintOperation *
bl_print_operation_new (GtkWidget *widget, const char *name)
{
  g_return_val_if_fail (GTK_IS_WIDGET (widget) && name != NULL, NULL);
  GtkPrintOperation *operation = gtk_print_operation_new ();
  g_autoptr (GtkPrintSettings) settings = gtk_print_settings_new ();
  Print *print = g_new0 (Print, 1);

  g_set_weak_pointer (&print->widget, widget);
  g_object_set_data_full (G_OBJECT (operation), KEY, print, (GDestroyNotify) print_free);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_job_name (operation, name);
  /* What a printer 'to a file' calls the file. */
  gtk_print_settings_set (settings, GTK_PRINT_SETTINGS_OUTPUT_BASENAME, name);
  gtk_print_operation_set_print_settings (operation, settings);
  gtk_print_operation_set_allow_async (operation, TRUE);
  g_signal_connect (operation, "done", G_CALLBACK (done), print);
  return operation;
}

void
bl_print_fail (GtkPrintOperation *operation, GError *error)
{
  g_return_if_fail (GTK_IS_PRINT_OPERATION (operation) && error != NULL);
  Print *print = g_object_get_data (G_OBJECT (operation), KEY);

  if (print->error == NULL)
    print->error = error;
  else
    g_error_free (error);
}

void
bl_print_run (GtkPrintOperation *operation, const char *failed, const char *sent)
{
  g_return_if_fail (GTK_IS_PRINT_OPERATION (operation));
  Print *print = g_object_get_data (G_OBJECT (operation), KEY);

  print->failed = g_strdup (failed);
  print->sent = g_strdup (sent);
  if (print->widget == NULL)
    return;
  if (print->error != NULL)
    {
      tell_failure (print);
      return;
    }
  GtkRoot *root = gtk_widget_get_root (print->widget);
  gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                           GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, NULL);
}
