/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-report.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* Gathers what the report of a job shows: head, photos, log, and as entries the evidence in it, less
 * what the document no longer knows. bl_job_report_compute () then adds the odds. Errors are those of
 * the library. (transfer full) */
BlJobReport *bl_report_gather (BlLibrary *library, gint64 job, GError **error);

/* Weights for the odds of a gathered report, as the bench has them: today's history of the edition, or of
 * the equipment, without this job. usual: how many confirmed causes the document counts as where nobody said so for the edition;
 * gathering takes BL_LEARN_STRENGTH. */
gboolean bl_report_weigh (BlJobReport *report, BlLibrary *library, gint64 job, double usual, GError **error);

G_END_DECLS
