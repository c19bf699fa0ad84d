/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Where the jobs stand. Each change is a line of the job's log, so the log says how long a job waited for what. */

/* Puts a job into a state: its head and a line of kind BL_RECORD_JOB, in one transaction and part of the step of undo
 * that is being made, if one is. A job that is in it stays as it is. */
gboolean bl_library_set_job_state (BlLibrary *library, gint64 job, BlJobState state, GError **error);

/* Since when each job is in its state: the time of the last line about it that stands, where there is one; other jobs
 * are not in it. (transfer full) Table of job id (gint64 *) to gint64 *; NULL with error. */
GHashTable *bl_library_states_since (BlLibrary *library, GError **error);

/* Adds a job that is the return of one handed back, of the same board or equipment, customer, unit and serial: it waits,
 * and the old one is returned. complaint may be NULL. Returns its id, 0 on error. */
gint64 bl_library_add_return (BlLibrary *library, gint64 job, const char *complaint, GError **error);

G_END_DECLS
