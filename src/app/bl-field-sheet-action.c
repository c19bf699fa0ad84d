/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of field checks as a file, to be sent on, or on paper: what is on it is read at once; how many pages it takes is known when the dialog
 * says which paper. */
#include "config.h"

#include "bl-field-sheet-action.h"

#include <glib/gi18n-lib.h>

#include "bl-field-sheet-draw.h"
#include "bl-field-sheet-fill.h"
#include "bl-print.h"
#include "bl-report-action.h"
#include "bl-safe-settings.h"
#include "bl-shell.h"

/* (transfer full); NULL: it was said why */
static BlFieldSheet *
filled (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job)
{
  GError *error = NULL;
  BlFieldSheet *sheet = bl_field_sheet_fill (library, equipment, job, &error);

  if (sheet == NULL)
    bl_widget_report (widget, _ ("The field checks cannot be read"), error);
  else
    sheet->limits = bl_safe_settings_limits ();
  return sheet;
}

/* --- file --- */

static void
file_chosen (GtkNativeDialog *dialog, int response, GtkWidget *widget)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  const BlFieldSheet *sheet = g_object_get_data (G_OBJECT (dialog), "sheet");
  GError *error = NULL;

  if (response == GTK_RESPONSE_ACCEPT && path != NULL)
    {
      g_autofree char *name = g_filename_display_basename (path);
      g_autofree char *words
        = g_strdup_printf (_ ("Field checks written as %s. Ctrl Shift T takes down what comes back."), name);
      if (bl_field_sheet_write_pdf (sheet, bl_report_action_paper () == BL_REPORT_LETTER, path, &error))
        bl_widget_notify (widget, words);
      else
        bl_widget_report (widget, _ ("The field checks were not written"), error);
    }
  g_object_unref (dialog);
}

void
bl_field_sheet_save (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  BlFieldSheet *sheet = filled (widget, library, equipment, job);

  if (sheet == NULL)
    return;
  GtkFileChooserNative *dialog
    = gtk_file_chooser_native_new (_ ("Field checks"), GTK_WINDOW (gtk_widget_get_root (widget)),
                                   GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  g_object_set_data_full (G_OBJECT (dialog), "sheet", sheet, (GDestroyNotify) bl_field_sheet_free);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), _ ("field-checks.pdf"));
  g_signal_connect_object (dialog, "response", G_CALLBACK (file_chosen), widget, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

/* --- paper --- */

static void
begin_print (GtkPrintOperation *operation, GtkPrintContext *context, BlFieldSheet *sheet)
{
  gtk_print_operation_set_n_pages (operation,
                                   (int) bl_field_sheet_n_pages (sheet, gtk_print_context_get_width (context),
                                                                 gtk_print_context_get_height (context)));
}

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, BlFieldSheet *sheet)
{
  bl_field_sheet_draw (sheet, (guint) page, gtk_print_context_get_cairo_context (context),
                       gtk_print_context_get_width (context), gtk_print_context_get_height (context));
}

void
bl_field_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  BlFieldSheet *sheet = filled (widget, library, equipment, job);

  if (sheet == NULL)
    return;
  g_autofree char *name = g_strdup_printf (_ ("Field checks, %s"), sheet->equipment);
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (widget, name);
  g_object_set_data_full (G_OBJECT (operation), "sheet", sheet, (GDestroyNotify) bl_field_sheet_free);
  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_print), sheet);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), sheet);
  bl_print_run (operation, _ ("The field checks were not printed"),
                _ ("Field checks sent to the printer. Ctrl Shift T takes down what comes back."));
}
