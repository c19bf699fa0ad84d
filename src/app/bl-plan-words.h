/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-effort-words.h"
#include "bl-plan.h"

G_BEGIN_DECLS

/* The plan and the acts on parts in a technician's words. All (transfer full). */

/* What follows the likelier outcomes of a step: "low: then TP7 · in band: not on this board". */
char *bl_plan_words_after (const BlPlan *plan, const BlPlanStep *step, BlBench *bench);
/* "about 4 min to one part"; says that it is the shortest there is only where that is known. */
char *bl_plan_words_effort (const BlPlan *plan);
/* "D2: test by itself, 2 min", and what is to be tested before replacing it. */
char *bl_act_words (const BlAct *act, BlBench *bench);

G_END_DECLS
