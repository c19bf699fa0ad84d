/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-board.h"

G_BEGIN_DECLS

/* The band ruler of an expected value as a row of a list: lane and limits over the full height, so that
 * the rows join into one stripe. No reading, no needle. */
#define BL_TYPE_BAND_LANE (bl_band_lane_get_type ())
G_DECLARE_FINAL_TYPE (BlBandLane, bl_band_lane, BL, BAND_LANE, GtkWidget)

/* joined: fills its height; raised: stands on the raised ground. */
GtkWidget *bl_band_lane_new (gboolean joined, gboolean raised);
/* NULL or without limits: an empty track. */
void bl_band_lane_show (BlBandLane *self, const BlMeasurement *measurement);

G_END_DECLS
