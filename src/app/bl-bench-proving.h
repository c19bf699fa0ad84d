/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-page-private.h"

G_BEGIN_DECLS

/* bl-bench-proving.c: the panel "proving" and what is answered from it. */
void bl_bench_proving_connect (BlBenchPage *self);
void bl_bench_proving_add_actions (BlBenchPage *self);
/* FALSE: not a question of its own. */
gboolean bl_bench_proving_entered (BlBenchPage *self, const char *tag, const char *words);
gboolean bl_bench_proving_chosen (BlBenchPage *self, const char *tag, const char *id);

/* bl-bench-repair-ask.c: what was taken out, what was put in, and why; each question can be passed with Enter, and
 * whatever closes them keeps what was said so far. */
void bl_bench_repair_ask (BlBenchPage *self, const char *component);
gboolean bl_bench_repair_entered (BlBenchPage *self, const char *tag, const char *words);
/* Keeps what is being asked. TRUE: there was something. */
gboolean bl_bench_repair_keep (BlBenchPage *self);

/* bl-bench-time.c: time spent. */
typedef struct BlBenchTime BlBenchTime;
BlBenchTime *bl_bench_time_new (BlBenchPage *page);
/* Writes what was counted. */
void bl_bench_time_free (BlBenchTime *self);
/* The job that is counted for from now on; what was counted for the one before is written. NULL: none. */
void bl_bench_time_set_bench (BlBenchTime *self, BlBench *bench);
/* Writes what was counted without telling anybody, for the window has lost its parts by then. */
void bl_bench_time_end (BlBenchTime *self);
void bl_bench_time_add_actions (BlBenchPage *page);
gboolean bl_bench_time_entered (BlBenchPage *page, const char *tag, const char *words);

G_END_DECLS
