/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-engine-private.h"
#include "bl-plan.h"

G_BEGIN_DECLS

/* A complete hypothesis as far as the table needs it. */
typedef struct
{
  double share;   /* of the probability, given all evidence */
  int group, also; /* parts by number; then elsewhere, then nothing left */
  guint8 *codes;  /* what each unread measurement of list shows */
} BlHypothesis;

typedef struct
{
  GPtrArray *list;  /* BlHypothesis, most probable first */
  double covered;   /* sum of shares before the list was cut short */
} BlHypotheses;

/* The most probable hypotheses after a diagnosis with odds, told apart by what the unread
 * measurements (indices) would show. NULL when cancelled. (transfer full) */
BlHypotheses *bl_hypotheses_gather (BlEngine *engine, const BlDiagnosis *diagnosis, const GArray *unread,
                                    GError **error);
void bl_hypotheses_free (BlHypotheses *hypotheses);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlHypotheses, bl_hypotheses_free)

G_END_DECLS
