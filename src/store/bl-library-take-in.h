/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* What is asked of the library when a job is taken in. */

/* The number that the next job gets unless another is said; 0 with error. */
int bl_library_next_job_number (BlLibrary *library, GError **error);
/* Id of the job with this uid; one that was taken out of the list counts. 0: none, or an error. */
gint64 bl_library_find_job (BlLibrary *library, const char *uid, GError **error);
/* Jobs with this serial number, newest first; letters in either case, blanks and hyphens left out. None where nothing is
 * left of it. (transfer full) GPtrArray of BlJob */
GPtrArray *bl_library_jobs_of_serial (BlLibrary *library, const char *serial, GError **error);

G_END_DECLS
