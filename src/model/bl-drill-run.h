/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-drill-score.h"
#include "bl-practice.h"

G_BEGIN_DECLS

/* A drill that somebody works on: a job of the library of practice, whose bench is blind until the drill has ended. What
 * is done is in the job's log before it is shown, so a drill broken off is taken up where it stood. The score is computed
 * beside it and kept when the drill ends.
 *
 * Signals: "changed" (something was done, or the drill ended), "unsafe" (guint: BlUnsafe of what was just done), "scored"
 * (the score of everything is there; or bl_drill_run_get_trouble () says why not), "best" (after it: the best plan's way
 * is there, or will not be). */
#define BL_TYPE_DRILL_RUN (bl_drill_run_get_type ())
G_DECLARE_FINAL_TYPE (BlDrillRun, bl_drill_run, BL, DRILL_RUN, GObject)

/* Begins the drill, takes it up again, or opens one that has ended. BL_STORE_ERROR_INVALID where it is under way but
 * would be another drill now: another version of the program drew it. */
BlDrillRun *bl_drill_run_new (BlPractice *practice, gint64 drill, GError **error);
/* Gives up computing; for whoever closes the view. */
void bl_drill_run_stop (BlDrillRun *self);

/* Valid until "changed". (transfer none) */
const BlDrillRow *bl_drill_run_get_row (BlDrillRun *self);
BlBench *bl_drill_run_get_bench (BlDrillRun *self);
gboolean bl_drill_run_is_ended (BlDrillRun *self);
/* Readings are typed from a real board. */
gboolean bl_drill_run_is_planted (BlDrillRun *self);
/* Symptom that is shown; NULL: none, or planted, where the board itself shows it. */
const char *bl_drill_run_get_symptom (BlDrillRun *self);

/* Takes the reading of a measurement and enters it. Refused where the fault is planted: it is typed. */
gboolean bl_drill_run_measure (BlDrillRun *self, BlMeasurementItem *item, GError **error);
/* Tests a part by itself and enters what was found; of a planted one it is typed as well. */
gboolean bl_drill_run_test_part (BlDrillRun *self, const char *component, GError **error);
/* Proves the declared state dead: a known source, the point, the known source again, and enters it. Refused where the
 * point still has voltage, and where the fault is planted. */
gboolean bl_drill_run_prove (BlDrillRun *self, GError **error);
/* The cautions were read. Once is enough. */
gboolean bl_drill_run_read_cautions (BlDrillRun *self, GError **error);
gboolean bl_drill_run_cautions_read (BlDrillRun *self);
/* Board states, supply, typed readings: by the bench. */

/* Unsafe acts so far, BlUnsafe: by the limits of its bench, which a window sets to the shop's; once it has ended, by those
 * it ended with, which are kept in its log. */
guint bl_drill_run_get_unsafe (BlDrillRun *self);
/* Words for the line of a drill's log that keeps those limits; NULL for every other line. (transfer full) */
char *bl_drill_limits_words (const BlRecord *record);

/* Names stage and component, either may be NULL, and ends the drill. */
gboolean bl_drill_run_conclude (BlDrillRun *self, const char *stage, const char *component, GError **error);

/* Once it has ended: */
/* What was wrong, "COMPONENT:MODE"; NULL before. */
const char *const *bl_drill_run_get_faults (BlDrillRun *self);
/* NULL until "scored". Valid until then. (transfer none) */
const BlDrillScore *bl_drill_run_get_score (BlDrillRun *self);
const char *bl_drill_run_get_trouble (BlDrillRun *self);
/* Blocks until it is scored and the best plan's way is there; for tests. */
void bl_drill_run_settle (BlDrillRun *self);
/* The first record of the job's log that a step stands for, by its place there; G_MAXUINT: it stands in none (what was
 * named). */
guint bl_drill_run_record_of (BlDrillRun *self, guint step);
/* What whoever follows the best plan would have done on the same board: BlDrillStep, scored; NULL until "scored" and often
 * for some time after it: the score does not wait for it. */
GPtrArray *bl_drill_run_get_best (BlDrillRun *self);
/* TRUE: it is still being worked out. */
gboolean bl_drill_run_is_best_awaited (BlDrillRun *self);
/* The same as lines of a log that bl_bench_show_log () takes. (transfer full) GPtrArray of BlRecord */
GPtrArray *bl_drill_run_best_records (BlDrillRun *self);

G_END_DECLS
