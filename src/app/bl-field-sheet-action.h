/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Prints the sheet of field checks through the system's print dialog, which can also write a PDF, on the paper chosen
 * there. job: a job on the equipment, whose head is on the sheet; 0: none. What does not work is said in the window.
 * library is of the application. */
void bl_field_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job);

G_END_DECLS
