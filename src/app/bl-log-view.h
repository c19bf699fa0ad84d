/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The bench log, newest first; what was struck stays and is struck through. Signal: "photo" (const char *key, as
 * "job:7"): a photo in it was pressed. */
#define BL_TYPE_LOG_VIEW (bl_log_view_get_type ())
G_DECLARE_FINAL_TYPE (BlLogView, bl_log_view, BL, LOG_VIEW, GtkWidget)

GtkWidget *bl_log_view_new (void);
void bl_log_view_set_bench (BlLogView *self, BlBench *bench);

/* "TP10 230 V AC", "proof of dead", ... of a record, and the words after its shape. (transfer full) */
char *bl_record_words (BlBench *bench, const BlRecord *record, char **rest);

G_END_DECLS
