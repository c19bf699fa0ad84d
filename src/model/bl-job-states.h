/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-library-states.h"

G_BEGIN_DECLS

/* Where a job stands: in words, and what leads from one state to the next. */

/* "waiting for parts", translated. (transfer none) */
const char *bl_job_state_word (BlJobState state);
/* "waiting for parts, 12 days", "handed back, yesterday"; since: when it came into this state, UTC microseconds.
 * (transfer full) */
char *bl_job_since_words (const BlJob *job, gint64 since, gint64 now);
/* Whole days between two times, 0 at least. */
int bl_days_between (gint64 from, gint64 to);

/* The state that a line of this kind leads to: work begins or goes on, proving begins with a test, what is replaced
 * while proving goes back to the bench. The state itself where it leads nowhere. */
BlJobState bl_job_state_after (BlJobState state, BlRecordKind kind);

/* Puts a job that is not on the bench into a state, as a step of undo of the list of jobs. */
gboolean bl_jobs_set_state (BlLibrary *library, gint64 job, BlJobState state, GError **error);
/* Begins the job of one that came back, as a step of undo of the list of jobs. Returns its id, 0 on error. */
gint64 bl_jobs_take_back (BlLibrary *library, gint64 job, const char *complaint, GError **error);

/* The same for the job on the bench, as a step of its own undo. */
gboolean bl_bench_set_job_state (BlBench *self, BlJobState state, GError **error);

G_END_DECLS
