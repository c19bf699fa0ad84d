/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-report.h"

G_BEGIN_DECLS

/* What of a job's readings and tests tells its story, and what was left out; for the customer's report. */

/* A measurement as it read before the repair and after it. */
typedef struct
{
  const BlReportLine *before, *after; /* one of them may be NULL */
  guint repair;                       /* place in lines of the part replaced between them; G_MAXUINT: none was */
  gboolean other_condition;           /* before was read wet, hot ..., after was not: it proves nothing of that */
} BlReportPair;

/* Those that deviated, before or after, first what reads a stage in which a cause was confirmed; where none did, those
 * read on both sides; most at most. before is the last reading in front of the first part replaced, or later the first
 * one that deviated, and one that deviated in another condition stays; after the last behind the last part replaced, in
 * the condition of before where there is one. Struck ones and what gave no verdict do not count.
 * (transfer full) GPtrArray of BlReportPair */
GPtrArray *bl_report_pairs (const BlJobReport *report, guint most);

/* The stages in which a cause was confirmed, what was said last of each component, struck lines apart. (transfer
 * container) GPtrArray of BlReportLine, of kind CAUSE */
GPtrArray *bl_report_causes (const BlJobReport *report);

/* Sections of the board of which nothing was read, though something of them can be. (transfer container) GPtrArray of
 * BlSection */
GPtrArray *bl_report_unread_sections (const BlJobReport *report);

/* Measurements that deviated and were not read again in that condition after the last part replaced; none where none was.
 * (transfer container) GPtrArray of BlReportLine, the last of each */
GPtrArray *bl_report_unproven (const BlJobReport *report);

/* Lines TEST that count, behind the last part replaced and the last of each subject, whose subject begins with this ("functional", "soak", "safety");
 * NULL: all. (transfer container) GPtrArray of BlReportLine */
GPtrArray *bl_report_tests (const BlJobReport *report, const char *what);

/* What was said behind the last part replaced of each symptom that was seen before it. (transfer container) GPtrArray of
 * BlReportLine, of kind SYMPTOM */
GPtrArray *bl_report_symptoms_after (const BlJobReport *report);
/* Of a line SYMPTOM. */
gboolean bl_report_said_yes (const BlReportLine *line);

/* Minutes of the lines TIME. */
double bl_report_minutes (const BlJobReport *report);

/* TRUE when a reading gives a verdict that is announced and not the good one; "too close to call" is none. */
gboolean bl_report_deviates (const BlReportLine *line);
/* TRUE when it is the good one, announced. */
gboolean bl_report_in_band (const BlReportLine *line);

/* The stage that a measurement reads or, where it reads none, that an effect named on it is of; NULL: none. */
const char *bl_report_stage_of (const BlBoard *board, const BlMeasurement *measurement);

G_END_DECLS
