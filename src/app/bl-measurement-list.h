/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* All measurements of the job by section, one lane through all of them. Pressing a row selects it. */
#define BL_TYPE_MEASUREMENT_LIST (bl_measurement_list_get_type ())
G_DECLARE_FINAL_TYPE (BlMeasurementList, bl_measurement_list, BL, MEASUREMENT_LIST, GtkWidget)

GtkWidget *bl_measurement_list_new (void);
void bl_measurement_list_set_bench (BlMeasurementList *self, BlBench *bench);
/* Fold what is in band to a row of shapes. */
void bl_measurement_list_set_folded (BlMeasurementList *self, gboolean folded);
gboolean bl_measurement_list_get_folded (BlMeasurementList *self);
void bl_measurement_list_set_preview (BlMeasurementList *self, const BlReading *reading, const BlVerdict *verdict);

G_END_DECLS
