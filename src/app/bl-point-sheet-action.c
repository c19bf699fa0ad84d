/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of test points on paper: what is on it is read at once, the print dialog asks for the pages. */
#include "config.h"

#include "bl-point-sheet-action.h"

#include <glib/gi18n-lib.h>

#include "bl-point-sheet-draw.h"
#include "bl-point-sheet-fill.h"
#include "bl-window.h"

typedef struct
{
  BlPointSheet *sheet;
  GtkWidget *widget; /* weak */
  GError *error;     /* the first that came up while drawing */
} Printing;

static void
printing_free (Printing *printing)
{
  bl_point_sheet_free (printing->sheet);
  g_clear_weak_pointer (&printing->widget);
  g_clear_error (&printing->error);
  g_free (printing);
}

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, Printing *printing)
{
  g_autoptr (GError) error = NULL;

  if (!bl_point_sheet_draw (printing->sheet, (guint) page, gtk_print_context_get_cairo_context (context),
                            gtk_print_context_get_width (context), gtk_print_context_get_height (context), &error)
      && printing->error == NULL)
    printing->error = g_steal_pointer (&error);
}

static void
done (GtkPrintOperation *operation, GtkPrintOperationResult result, Printing *printing)
{
  g_autoptr (GError) reason = NULL;

  if (result == GTK_PRINT_OPERATION_RESULT_ERROR)
    gtk_print_operation_get_error (operation, &reason);
  if (printing->widget == NULL)
    return;
  if (reason != NULL || printing->error != NULL)
    bl_widget_report (printing->widget, _ ("The test points were not printed"),
                      reason != NULL ? g_steal_pointer (&reason) : g_steal_pointer (&printing->error));
  else if (result == GTK_PRINT_OPERATION_RESULT_APPLY)
    bl_widget_notify (printing->widget, _ ("Test points sent to the printer"));
}

void
bl_point_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 board)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  BlPointSheet *sheet = bl_point_sheet_fill (library, board, &error);
  GtkRoot *root = gtk_widget_get_root (widget);

  if (sheet == NULL)
    {
      bl_widget_report (widget, _ ("The test points cannot be printed"), error);
      return;
    }
  g_autoptr (GtkPrintOperation) operation = gtk_print_operation_new ();
  Printing *printing = g_new0 (Printing, 1);
  printing->sheet = sheet;
  g_set_weak_pointer (&printing->widget, widget);
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, (GDestroyNotify) printing_free);
  gtk_print_operation_set_n_pages (operation, (int) sheet->photos->len);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_job_name (operation, sheet->board);
  gtk_print_operation_set_allow_async (operation, TRUE);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), printing);
  g_signal_connect (operation, "done", G_CALLBACK (done), printing);
  gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                           GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, NULL);
}
