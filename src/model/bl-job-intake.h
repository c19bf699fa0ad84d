/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-bundle.h"

G_BEGIN_DECLS

/* Jobs of another bench on their way into this library. */

typedef struct
{
  GPtrArray *jobs;      /* BlJobMerged, as the bundle has them */
  guint added, merged;  /* jobs: new here; here before, with something new */
  guint lines, strikes, photos; /* that were not here yet */
  guint boards;         /* boards and equipments that were not */
  guint boards_otherwise; /* that are here otherwise, and stayed as they are */
} BlJobIntake;
void bl_job_intake_free (BlJobIntake *intake);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobIntake, bl_job_intake_free)

/* Takes all jobs of a bundle in, with the boards they are about, wholly or not at all. A board that is here, known by its
 * uid, is used as it is: to merge it too it is exported and imported as a board. The deliveries of the bundle are taken
 * out of it. NULL with error. (transfer full) */
BlJobIntake *bl_job_intake_run (BlLibrary *library, BlJobBundle *bundle, GError **error);

/* What was done, in lines: "2 jobs added, 1 had 5 new lines", and what has to be told of single jobs: other numbers, what
 * both heads said otherwise. (transfer full) */
char *bl_job_intake_words (const BlJobIntake *intake);

G_END_DECLS
