/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-round-view.h"

G_BEGIN_DECLS

/* What should it read: of a measurement its board state, what the meter measures, where the black probe is, and the value,
 * one after the other. The point is marked on the photo; a value is shown on the band ruler.
 *
 * By keys: a digit chooses, a value is typed. */
#define BL_TYPE_READS_VIEW (bl_reads_view_get_type ())
G_DECLARE_FINAL_TYPE (BlReadsView, bl_reads_view, BL, READS_VIEW, BlRoundView)

GtkWidget *bl_reads_view_new (BlQuizRound *round);

G_END_DECLS
