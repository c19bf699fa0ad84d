/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* Repairing: what was taken out and put in, photos and time spent, as lines of the bench log. */

/* A part replaced, or put right where it was. old: what was taken out; new: what was put in, or what was done
 * (resoldered, cleaned); why. Each may be NULL or "". Begins the next round. */
gboolean bl_bench_replaced_with (BlBench *self, const char *component, const char *old, const char *new,
                                 const char *why, GError **error);
/* The same as it is typed after the part's name: "replaced", "replaced by 12 V 16 A because contacts burnt",
 * "replaced 5 A by 5 A slow because blown". FALSE without error: the text is not about that. */
gboolean bl_bench_is_replaced (const char *text);
gboolean bl_bench_enter_replaced (BlBench *self, const char *component, const char *text, GError **error);
/* The part that an entry says was replaced ("K1 replaced"), when by what and why are left to be asked; NULL: it says
 * more, or something else. (transfer full) */
char *bl_bench_typed_bare_replaced (BlBench *self, const char *text);

/* A photo taken for this job: the picture and its line of the log, as one. title may be NULL. Returns the photo's id,
 * 0 on error. Undo strikes the line; the picture is kept. */
gint64 bl_bench_add_photo (BlBench *self, const char *title, const char *mime, GBytes *image, GError **error);

/* Minutes that were typed, "25" or "25 soldering" or "1 h 30 soldering"; refused with the form where it is none. */
gboolean bl_bench_enter_time (BlBench *self, const char *text, GError **error);
/* Minutes that were counted. No step of undo: nobody did it. */
gboolean bl_bench_count_time (BlBench *self, guint minutes, GError **error);
/* Sum of the lines that are not struck, minutes. */
double bl_bench_time_spent (BlBench *self);
/* "1 h 25 min", "5 min". (transfer full) */
char *bl_minutes_words (double minutes);

/* A photo of a job as it came. mime may be NULL. (transfer full) */
GBytes *bl_bench_job_photo (BlBench *self, gint64 photo, char **mime, GError **error);

G_END_DECLS
