/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-known-good.h"

G_BEGIN_DECLS

/* What known-good boards say, in words. All (transfer full). */

/* A value of what is compared: "12.1", of a measurement that follows another "+1.2 %". */
char *bl_good_value_words (const BlGoodProposal *proposal, double value);
/* "11.97 – 12.19 V DC", "≤ 0.31 V AC", "±2.4 % of the line"; "" without limits. */
char *bl_good_interval_words (const BlGoodProposal *proposal, const BlGoodInterval *interval);
/* The same for what the document says now; "nothing" where it says nothing. */
char *bl_good_documented_words (const BlGoodProposal *proposal);
/* "14 boards, mean 12.08 V, s 31 mV, 2025-09 to 2025-12" */
char *bl_good_count_words (const BlGoodProposal *proposal);
/* What is proposed, or why nothing is, in one sentence; brief: beside many others that say the same of theirs. */
char *bl_good_state_words (BlKnownGood *self, const BlGoodProposal *proposal, gboolean brief);
/* The proposed band beside the documented one: "narrower than documented" ... "" where none is proposed. */
char *bl_good_compare_words (const BlGoodProposal *proposal);
/* "without job 1018: 11.97 – 12.19 V DC"; "" where no outlier is named. */
char *bl_good_without_words (const BlGoodProposal *proposal);
/* "Job 1018, W350-C-19544, 2025-10-21: 12.9 V DC; outlier: G 3.41 above 2.51" */
char *bl_good_board_words (const BlGoodProposal *proposal, const BlGoodBoard *board);

G_END_DECLS
