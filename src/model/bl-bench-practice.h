/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* A job somebody practises on: without what the program makes of it, and as it stood at an earlier time. */

/* Without odds, reasons and advice: none are computed, so that nothing can show them. */
void bl_bench_set_blind (BlBench *self, gboolean blind);
gboolean bl_bench_is_blind (BlBench *self);
/* The job is a drill: its odds are those of bl_drill_set_odds (), which the score has too, and nothing learned is in
 * them. */
void bl_bench_set_drilled (BlBench *self, gboolean planted);

/* Shows the job as if these (BlRecord, transfer full, NULL: its own again) were its log: readings, state and odds are
 * those of these lines, and nothing can be written meanwhile. */
gboolean bl_bench_show_log (BlBench *self, GPtrArray *records, GError **error);
/* The same with the first n lines of its own log: the job as it stood then. */
gboolean bl_bench_show_first (BlBench *self, guint n, GError **error);
/* Gives readings among records (BlRecord) that have no verdict the one the bench would have given them there: by the
 * board as it is now, and by what stands before them. */
gboolean bl_bench_judge_log (BlBench *self, GPtrArray *records, GError **error);

/* The measurement whose reading would be kept if this were typed (that in hand, or the one the text names); NULL: the
 * text is something else, or cannot be read. (transfer none) */
BlMeasurementItem *bl_bench_typed_reading (BlBench *self, const char *text);
/* The component that the text names ("K1", "K1 good"); NULL: of none. Valid until the document changes. */
const char *bl_bench_typed_part (BlBench *self, const char *text);

G_END_DECLS
