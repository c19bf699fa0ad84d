/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-drill-score.h"

G_BEGIN_DECLS

/* The steps of a drill as a table, and its score as JSON: what goes in and out of the command line. */

/* Reads CSV with the columns measurement and, if wanted, reading. A row is a measurement, or "state:ID", "proof:ID",
 * "supply:isolated" (or limited, mains; several with blanks), "cautions:", "part:ID", "stage:ID", "component:ID". The
 * drill reads what is measured and tests parts; only where the fault is a planted one may the second column say what was
 * read, or what the part is. Errors name the line. (transfer full) GPtrArray of BlDrillStep */
GPtrArray *bl_drill_steps_parse_csv (const BlDrill *drill, const char *text, gssize length, GError **error);

/* What stands in the first column for a step. Returns: (transfer full). */
char *bl_drill_step_to_text (const BlDrillStep *step);

/* {"fault": [], "provoked": [], "symptom", "steps": [{"measurement", "reading", "regret_s", "unsafe", "acts": [],
 * "right", "told_nothing", "best", "best_s", "effort_s"}], "stage_right", "component_right", "failed", "regret_s",
 * "effort_s"}. Returns: (transfer full). */
char *bl_drill_score_to_json (const BlDrill *drill, const BlDrillScore *score);

G_END_DECLS
