/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"
#include "bl-report.h"

G_BEGIN_DECLS

/* For whom and on what paper the next report is made; kept in the settings. */
BlReportAudience bl_report_action_audience (void);
void bl_report_action_set_audience (BlReportAudience audience);
BlReportPaper bl_report_action_paper (void);
void bl_report_action_set_paper (BlReportPaper paper);

/* Asks where to, then writes the report of a job as PDF; says when it is done or why it is not. */
void bl_report_action_run (GtkWidget *widget, BlLibrary *library, gint64 job);
/* Shows the system's print dialog with its sheets, on the paper chosen. */
void bl_report_action_print (GtkWidget *widget, BlLibrary *library, gint64 job);
/* As a PDF without asking: a thread computes and draws, whole or not at all. Answers on this thread;
 * finish returns FALSE with the reason. */
void bl_report_write_async (BlLibrary *library, gint64 job, const char *path, GAsyncReadyCallback done,
                            gpointer data);
gboolean bl_report_write_finish (GAsyncResult *result, GError **error);
/* Letters that no font here has, known once it is finished; NULL: none. (transfer none) */
const char *bl_report_write_missing (GAsyncResult *result);
/* Its sheets, drawn in a thread: finish gives recording surfaces. (transfer full) GPtrArray of cairo_surface_t */
void bl_report_sheets_async (BlLibrary *library, gint64 job, GAsyncReadyCallback done, gpointer data);
GPtrArray *bl_report_sheets_finish (GAsyncResult *result, GError **error);

G_END_DECLS
