/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What a guess goes by. */
typedef enum
{
  BL_READS_NOTHING,    /* no guess */
  BL_READS_SAID,       /* typed */
  BL_READS_OUTLINE,    /* the point lies in the outline of the stage */
  BL_READS_SAME_POINT, /* what is measured there already reads it */
  BL_READS_NAME        /* point and stage have words in common */
} BlReadsWhy;

/* The stage a new measurement at this point most likely reads; NULL: none, or several are as likely. measurement
 * says what would be measured, with its state: resistances, proofs of absence ("< 10 V") and what is measured
 * without power read no output. *why may be NULL. Returns: (transfer none), of the board. */
const BlStage *bl_reads_guess (const BlBoard *board, const BlTestPoint *point, const BlMeasurement *measurement,
                               BlReadsWhy *why);

G_END_DECLS
