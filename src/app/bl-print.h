/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A print operation for whole pages in points, called name with the printer. What comes of it is said for widget, which
 * may be gone by then: in the line of messages of its window, or in widget itself if that is a label. Who gets it
 * connects the drawing. */
GtkPrintOperation *bl_print_operation_new (GtkWidget *widget, const char *name);
/* What went wrong while drawing, or before; takes error. The first is the one that is told. */
void bl_print_fail (GtkPrintOperation *operation, GError *error);
/* Asks for the printer and prints, without waiting for either. Nothing is asked for a widget that is gone, nor after
 * bl_print_fail(). failed stands before what went wrong; NULL for a label, which says only that.
 * sent NULL: nothing is said of what went well. */
void bl_print_run (GtkPrintOperation *operation, const char *failed, const char *sent);

G_END_DECLS
