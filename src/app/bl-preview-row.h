/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-preview.h"

G_BEGIN_DECLS

/* What one measurement would read: its title, the values it would lie between, where that is on the band ruler, and
 * the verdict as shape and word. */
GtkWidget *bl_preview_row_new (const BlBoard *board, const BlPreviewRow *row);
/* "0 – 0.04 V", "2.9 … 3.6 V", "OL", "no". (transfer full) */
char *bl_preview_row_values (const BlMeasurement *measurement, const BlPreviewRow *row);
/* The word of its class; a mark as it is called. (transfer none) */
const char *bl_preview_row_word (const BlPreviewRow *row);

G_END_DECLS
