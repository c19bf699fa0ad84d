/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-report.h"

G_BEGIN_DECLS

/* Words and figures of the report. All return (transfer full), translated, numbers by the locale, unless said. */

char *bl_report_time (gint64 time); /* date and time, local: "2026-03-02 09:00" */
char *bl_report_day (gint64 time);  /* "2 March 2026" */
const char *bl_report_class_word (const char *class_name); /* (transfer none) */
/* "5 V rail" of a stage id, "something else in 5 V rail" of "rail5/other", "U2 7805" of a component. */
char *bl_report_stage_name (const BlBoard *board, const char *stage);
char *bl_report_component_name (const BlBoard *board, const char *component);
char *bl_report_state_name (const BlBoard *board, const char *state);
/* What was typed, with the decimal sign of the locale: "11,8". A figure only; words stay. */
char *bl_report_typed (const char *text);
/* The same with its unit where it was typed without; yes and no of a check in words. */
char *bl_report_reading (const BlReportLine *line);
/* What was expected, with its unit. */
char *bl_report_expected (const BlReportLine *line);
/* "inside/K1" as "K1": the place is said beside it. Ids of a board alone stay. (transfer none) */
const char *bl_report_short_id (const char *id);
/* Text between directional isolates where letters of it run from right to left, so that it cannot turn what stands
 * around it in a sentence (UAX #9); as it is otherwise. NULL as "". */
char *bl_report_isolate (const char *text);

/* --- plain words, for who has never seen a board --- */

/* "a relay" of "relay.latching"; NULL: no word for it. (transfer none) */
const char *bl_report_plain_kind (const char *kind);
/* "makes the low voltages that the board works with" of a section's kind; NULL: no word for it. (transfer none) */
const char *bl_report_plain_section (const char *kind);
/* "it no longer conducts" of a failure mode; NULL: it is its own word. (transfer none) */
const char *bl_report_plain_mode (const char *mode);

G_END_DECLS
