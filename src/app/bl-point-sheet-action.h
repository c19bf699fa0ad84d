/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Prints the test points of an edition, a page for each photo, through the system's print dialog, which can
 * also write a PDF. What does not work is said in the window. library is of the application. */
void bl_point_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 board);

G_END_DECLS
