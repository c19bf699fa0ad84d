/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-drill-score.h"
#include "bl-library-practice.h"

G_BEGIN_DECLS

/* A drill and its score in plain words. All (transfer full). */

/* What is to be found, and how: "One part failed. Enter on an empty field takes the reading." */
char *bl_drill_about_words (const BlDrillRow *row);
/* "D5 short, K1 open" */
char *bl_drill_faults_words (const char *const *faults);
/* Who is right about what: "Right: D5 short." */
char *bl_drill_outcome_words (BlBench *bench, const BlDrillRow *row, const BlDrillScore *score, const char *const *faults);
/* "6 of 8 measurements right. Time given away: 2 min 5 s; the work took 6 min. 1 could tell nothing new." */
char *bl_drill_figures_words (const BlDrillScore *score);
/* A step in a line, as "TP5 4.98" or "state: running". */
char *bl_drill_step_words (BlBench *bench, const BlDrillStep *step);
/* What a step was worth in a few words: "right", "2 min 5 s given away"; "" where there is nothing to say. */
char *bl_drill_worth_words (const BlDrillStep *step);
/* The same in sentences, with the best measurement at that moment. */
char *bl_drill_worth_long (BlBench *bench, const BlDrillStep *step);
/* How long the best plan's way (BlDrillStep) is, and why one's own may be shorter; symptom: one was shown. */
char *bl_drill_best_words (GPtrArray *best, gboolean symptom);

G_END_DECLS
