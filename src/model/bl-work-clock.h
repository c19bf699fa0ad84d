/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Time spent on a job, counted from input: a gap between two inputs counts up to so long, a longer one does not
 * count at all, for nobody knows what it was. Reads no clock; all times are microseconds of one that only rises. */
typedef struct
{
  gint64 last;    /* the newest input; 0: none yet */
  gint64 counted; /* since the last bl_work_clock_take () */
  gboolean paused;
} BlWorkClock;

/* Something was typed, pressed or moved. idle: a gap longer than this does not count. TRUE: a pause ended here,
 * so what was counted before it is a stretch of its own. */
gboolean bl_work_clock_touch (BlWorkClock *clock, gint64 now, gint64 idle);
/* What was counted so far; a gap that is still open does not count yet. */
gint64 bl_work_clock_counted (const BlWorkClock *clock);
/* The same, and begins anew: whole minutes are taken, what is left is counted on. Returns minutes. */
guint bl_work_clock_take (BlWorkClock *clock);
/* Nothing counts until it goes on. */
void bl_work_clock_pause (BlWorkClock *clock, gboolean paused);

G_END_DECLS
