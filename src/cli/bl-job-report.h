/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"
#include "bl-report.h"

G_BEGIN_DECLS

/* Gathers what the report of a job shows: head, photos, log, and odds computed anew from the log.
 * Without odds (nothing entered, or evidence that fits nothing) the report says so.
 * (transfer full) */
BlReport *bl_job_report_new (BlLibrary *library, gint64 job, GError **error);

G_END_DECLS
