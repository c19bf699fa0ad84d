/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* A line of the log; which it is counts from the oldest, so that it stays when lines come. */
#define BL_TYPE_LOG_LINE (bl_log_line_get_type ())
G_DECLARE_FINAL_TYPE (BlLogLine, bl_log_line, BL, LOG_LINE, GObject)

guint bl_log_line_get_place (BlLogLine *self);

/* A list of BlLogLine, the newest first. */
#define BL_TYPE_LOG_MODEL (bl_log_model_get_type ())
G_DECLARE_FINAL_TYPE (BlLogModel, bl_log_model, BL, LOG_MODEL, GObject)

/* The log has these lines now, oldest first: BlRecord, not kept. Lines added at its end leave the others as they are.
 * FALSE: they are the lines it had. */
gboolean bl_log_model_set (BlLogModel *self, GPtrArray *records);

G_END_DECLS
