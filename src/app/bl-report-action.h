/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Asks where to, then writes the report of a job as PDF; says when it is done or why it is not. */
void bl_report_action_run (GtkWidget *widget, BlLibrary *library, gint64 job);
/* The same without asking: a thread computes and draws, whole or not at all. Answers on this thread;
 * finish returns FALSE with the reason. */
void bl_report_write_async (BlLibrary *library, gint64 job, const char *path, GAsyncReadyCallback done,
                            gpointer data);
gboolean bl_report_write_finish (GAsyncResult *result, GError **error);

G_END_DECLS
