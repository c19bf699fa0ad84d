/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Where the band in hand comes from, in few words, all of it in the tooltip; where it follows a measurement that was
 * not read, an offer to read that first.
 *
 * Signal "wanted" (const char *measurement): the offer was taken. */
#define BL_TYPE_BAND_FROM (bl_band_from_get_type ())
G_DECLARE_FINAL_TYPE (BlBandFrom, bl_band_from, BL, BAND_FROM, GtkWidget)

/* bench and item may be NULL: nothing is shown. */
void bl_band_from_show (BlBandFrom *self, BlBench *bench, BlMeasurementItem *item);

G_END_DECLS
