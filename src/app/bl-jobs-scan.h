/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Codes among the jobs: a label held before the camera opens its job, a serial number is looked for. */

/* Puts the button that opens the camera beside the search of the page, and the camera below its line. */
void bl_jobs_scan_attach (GtkWidget *page, GtkEditable *search);
/* Enter in the search: TRUE when a label's address stood in it, as a hand scanner types it; its job is opened and the search
 * is empty again. */
gboolean bl_jobs_scan_entered (GtkWidget *page, GtkEditable *search);

G_END_DECLS
