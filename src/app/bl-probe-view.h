/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-live.h"
#include "bl-photo-view.h"

G_BEGIN_DECLS

/* One point, readable from 1.5 m: close-up, expected value, reading, verdict.
 * Signals: "entered" (const char *text); "shown": another measurement is held, or none. */
#define BL_TYPE_PROBE_VIEW (bl_probe_view_get_type ())
G_DECLARE_FINAL_TYPE (BlProbeView, bl_probe_view, BL, PROBE_VIEW, GtkWidget)

GtkWidget *bl_probe_view_new (void);
void bl_probe_view_set_bench (BlProbeView *self, BlBench *bench);
/* Size of the text as a factor, 0.5 to 2. */
void bl_probe_view_set_scale (BlProbeView *self, double scale);
BlPhotoView *bl_probe_view_get_photo (BlProbeView *self);
void bl_probe_view_focus (BlProbeView *self);
/* Stay on this measurement, just read, until something is typed; NULL: show the one in hand. */
void bl_probe_view_hold (BlProbeView *self, BlMeasurementItem *item);
/* Says why what was typed is not kept, or asks about it, until the text changes; NULL: nothing. */
void bl_probe_view_say (BlProbeView *self, const char *text);
gboolean bl_probe_view_is_holding (BlProbeView *self);
/* What the meter shows now, where nothing is typed or held; NULL: no meter is read. (copied) */
void bl_probe_view_set_live (BlProbeView *self, const BlLive *live);
/* How the meter is doing, in words; NULL: none is read. */
void bl_probe_view_set_meter (BlProbeView *self, const char *words, gboolean trouble);
/* The measurement shown: the one held, or the one in hand. (transfer none) */
BlMeasurementItem *bl_probe_view_get_shown (BlProbeView *self);

G_END_DECLS
