/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Asks for the printer, then prints the label of a job as it was chosen (bl-tag-choice.h); a PDF by the printer 'to a
 * file'. */
void bl_job_tag_print (GtkWidget *widget, BlLibrary *library, gint64 job);

G_END_DECLS
