/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of field checks on paper: what is on it is read at once; how many pages it takes is known when the dialog
 * says which paper. */
#include "config.h"

#include "bl-field-sheet-action.h"

#include <glib/gi18n-lib.h>

#include "bl-field-sheet-draw.h"
#include "bl-field-sheet-fill.h"
#include "bl-window.h"

typedef struct
{
  BlFieldSheet *sheet;
  GtkWidget *widget; /* weak */
} Printing;

static void
printing_free (Printing *printing)
{
  bl_field_sheet_free (printing->sheet);
  g_clear_weak_pointer (&printing->widget);
  g_free (printing);
}

static void
begin_print (GtkPrintOperation *operation, GtkPrintContext *context, Printing *printing)
{
  gtk_print_operation_set_n_pages (operation,
                                   (int) bl_field_sheet_n_pages (printing->sheet, gtk_print_context_get_width (context),
                                                                 gtk_print_context_get_height (context)));
}

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, Printing *printing)
{
  bl_field_sheet_draw (printing->sheet, (guint) page, gtk_print_context_get_cairo_context (context),
                       gtk_print_context_get_width (context), gtk_print_context_get_height (context));
}

static void
done (GtkPrintOperation *operation, GtkPrintOperationResult result, Printing *printing)
{
  g_autoptr (GError) reason = NULL;

  if (result == GTK_PRINT_OPERATION_RESULT_ERROR)
    gtk_print_operation_get_error (operation, &reason);
  if (printing->widget == NULL)
    return;
  if (reason != NULL)
    bl_widget_report (printing->widget, _ ("The field checks were not printed"), g_steal_pointer (&reason));
  else if (result == GTK_PRINT_OPERATION_RESULT_APPLY)
    bl_widget_notify (printing->widget, _ ("Field checks sent to the printer. Ctrl Shift T takes down what comes back."));
}

void
bl_field_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  BlFieldSheet *sheet = bl_field_sheet_fill (library, equipment, job, &error);
  GtkRoot *root = gtk_widget_get_root (widget);

  if (sheet == NULL)
    {
      bl_widget_report (widget, _ ("The field checks cannot be printed"), error);
      return;
    }
  g_autoptr (GtkPrintOperation) operation = gtk_print_operation_new ();
  g_autofree char *name = g_strdup_printf (_ ("Field checks, %s"), sheet->equipment);
  Printing *printing = g_new0 (Printing, 1);
  printing->sheet = sheet;
  g_set_weak_pointer (&printing->widget, widget);
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, (GDestroyNotify) printing_free);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_job_name (operation, name);
  gtk_print_operation_set_allow_async (operation, TRUE);
  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_print), printing);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), printing);
  g_signal_connect (operation, "done", G_CALLBACK (done), printing);
  gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                           GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, NULL);
}
