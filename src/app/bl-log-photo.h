/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* A photo of the job as a thumbnail in a line of the log, on a button. photo: its id. It is read when it is first
 * drawn and kept for as long as the bench is. (transfer floating) */
GtkWidget *bl_log_photo_new (BlBench *bench, gint64 photo);

G_END_DECLS
