/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-drill-score.h"

G_BEGIN_DECLS

/* Simulated people in a drill, to see what a score tells apart and how long a drill is. All of them work safely: they
 * read the cautions, say an isolating supply and prove the board dead. */
typedef enum
{
  BL_TRAINEE_ADVICE,   /* what is advised first: the first step of the plan */
  BL_TRAINEE_IN_ORDER, /* front to back, as the document has it */
  BL_TRAINEE_RANDOM,   /* whatever */
  BL_N_TRAINEES
} BlTrainee;

/* The steps of one who measures until a component is found (95 %), nothing tells any more, or most measurements were
 * taken; the last two steps name the leading stage and component. seed: of the random one. (transfer full) */
GPtrArray *bl_trainee_work (const BlDrill *drill, BlTrainee trainee, guint32 seed, guint most, const int *cancel,
                            GError **error);

G_END_DECLS
