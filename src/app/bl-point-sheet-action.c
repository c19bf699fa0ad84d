/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of test points on paper: what is on it is read at once, the print dialog asks for the pages. */
#include "config.h"

#include "bl-point-sheet-action.h"

#include <glib/gi18n-lib.h>

#include "bl-point-sheet-draw.h"
#include "bl-point-sheet-fill.h"
#include "bl-print.h"
#include "bl-safe-settings.h"
#include "bl-shell.h"

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, BlPointSheet *sheet)
{
  GError *error = NULL;

  if (!bl_point_sheet_draw (sheet, (guint) page, gtk_print_context_get_cairo_context (context),
                            gtk_print_context_get_width (context), gtk_print_context_get_height (context), &error))
    bl_print_fail (operation, error);
}

void
bl_point_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 board)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  BlPointSheet *sheet = bl_point_sheet_fill (library, board, &error);

  if (sheet == NULL)
    {
      bl_widget_report (widget, _ ("The test points cannot be printed"), error);
      return;
    }
  sheet->limits = bl_safe_settings_limits ();
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (widget, sheet->board);
  g_object_set_data_full (G_OBJECT (operation), "sheet", sheet, (GDestroyNotify) bl_point_sheet_free);
  gtk_print_operation_set_n_pages (operation, (int) sheet->photos->len);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), sheet);
  bl_print_run (operation, _ ("The test points were not printed"), _ ("Test points sent to the printer"));
}
