/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Prints the sheet of field checks through the system's print dialog, which can also write a PDF, on the paper chosen
 * there. job: a job on the equipment, whose head is on the sheet; 0: none. What does not work is said in the window.
 * library is of the application. */
/* Asks for a file and writes it as PDF, on the paper of the reports; says what came of it. */
void bl_field_sheet_save (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job);
void bl_field_sheet_print (GtkWidget *widget, BlLibrary *library, gint64 equipment, gint64 job);

G_END_DECLS
