/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Where the columns of the measurement list stand, px from its left edge; shared by all rows. */
typedef struct
{
  double id, title, title_end, expected_end, ruler, ruler_end, reading_end, shape, word, width;
  double before_end; /* of the readings of earlier rounds; 0: there are none */
} BlColumns;

/* A row of the measurement list: one measurement, or the head of a section. Draws its part of the one
 * lane over its full height. */
#define BL_TYPE_MEASUREMENT_ROW (bl_measurement_row_get_type ())
G_DECLARE_FINAL_TYPE (BlMeasurementRow, bl_measurement_row, BL, MEASUREMENT_ROW, GtkWidget)

GtkWidget *bl_measurement_row_new (BlMeasurementItem *item, const BlColumns *columns);
GtkWidget *bl_measurement_row_new_head (const char *title, const BlColumns *columns);
BlMeasurementItem *bl_measurement_row_get_item (BlMeasurementRow *self);
/* Of a head; NULL: a measurement. (transfer none) */
const char *bl_measurement_row_get_title (BlMeasurementRow *self);
/* Head: words after the title, danger: in the colour of a hazard; folded: shapes of what is folded away,
 * one BlShape each, NULL: none. */
void bl_measurement_row_set_head (BlMeasurementRow *self, const char *words, gboolean danger, GArray *folded);
/* Takes the item's present values over. */
void bl_measurement_row_update (BlMeasurementRow *self);
/* Takes over that the columns are others: a title that needs two lines makes the row higher. */
void bl_measurement_row_fit (BlMeasurementRow *self);
void bl_measurement_row_set_current (BlMeasurementRow *self, gboolean current);
/* What is being typed into it; NULL: nothing. (copied) */
void bl_measurement_row_set_preview (BlMeasurementRow *self, const BlReading *reading, const BlVerdict *verdict);

/* The band to draw for it: NULL also where it has no limit at all. (transfer none) */
const BlBand *bl_measurement_shown_band (BlMeasurementItem *item);

/* "TP10 contact drop, expected 0.16 – 0.24 V, reading 230, high" (transfer full) */
char *bl_measurement_describe (BlMeasurementItem *item);

G_END_DECLS
