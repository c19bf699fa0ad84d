/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-page.h"
#include "bl-meter-link.h"

G_BEGIN_DECLS

/* The meter read live on the bench. Its values stand where nothing is typed; the key takes one, and one
 * that is sure and stands still is taken by itself. Belongs to its page. */
#define BL_TYPE_BENCH_CAPTURE (bl_bench_capture_get_type ())
G_DECLARE_FINAL_TYPE (BlBenchCapture, bl_bench_capture, BL, BENCH_CAPTURE, GObject)

BlBenchCapture *bl_bench_capture_new (BlBenchPage *page);
/* Another job is open; NULL: none. */
void bl_bench_capture_set_bench (BlBenchCapture *self, BlBench *bench);
/* Connects to the meter that the library names for it, or disconnects; kept for the next start. */
void bl_bench_capture_toggle (BlBenchCapture *self);
/* Takes the value shown, as Enter on an empty entry does. FALSE: no meter is read, or it has nothing to do
 * with what is asked for. */
gboolean bl_bench_capture_take (BlBenchCapture *self);
/* A key before anybody else sees it: the foot switch. FALSE: not for it. */
gboolean bl_bench_capture_key (BlBenchCapture *self, guint keyval, GdkModifierType state);
/* The words of its small place: "meter live"; NULL: no meter is set up. (transfer full) */
char *bl_bench_capture_state (BlBenchCapture *self, gboolean *trouble);

G_END_DECLS
