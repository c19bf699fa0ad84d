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

/* The key of the foot switch as set ("" for the usual ones: Space and Page Down), in words. (transfer full) */
char *bl_foot_key_words (const char *accelerator);
/* Whether this key is it. in_entry: the entry has the focus and is empty, where alone the usual ones count. */
gboolean bl_foot_key_matches (const char *accelerator, guint keyval, GdkModifierType state, gboolean in_entry);

/* The meter read live: the one new jobs begin with where it can be, else the first that can; NULL: none.
 * (transfer full) */
BlShopMeter *bl_live_meter (BlLibrary *library);
/* Parts "PORT 9600/8n1" into what the driver wants; both may become NULL. (transfer full) */
void bl_live_connection (const char *text, char **connection, char **serialcomm);

G_END_DECLS
