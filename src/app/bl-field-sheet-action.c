/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of field checks on paper: what is on it is read at once; how many pages it takes is known when the dialog
 * says which paper. */
#include "config.h"

#include "bl-field-sheet-action.h"

#include <glib/gi18n-lib.h>

#include "bl-field-sheet-draw.h"
#include "bl-field-sheet-fill.h"
#include "bl-print.h"
#include "bl-safe-settings.h"
#include "bl-window.h"

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
  GError *error = NULL;
  BlFieldSheet *sheet = bl_field_sheet_fill (library, equipment, job, &error);

  if (sheet == NULL)
    {
      bl_widget_report (widget, _ ("The field checks cannot be printed"), error);
      return;
    }
  sheet->limits = bl_safe_settings_limits ();
  g_autofree char *name = g_strdup_printf (_ ("Field checks, %s"), sheet->equipment);
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (widget, name);
  g_object_set_data_full (G_OBJECT (operation), "sheet", sheet, (GDestroyNotify) bl_field_sheet_free);
  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_print), sheet);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), sheet);
  bl_print_run (operation, _ ("The field checks were not printed"),
                _ ("Field checks sent to the printer. Ctrl Shift T takes down what comes back."));
}
