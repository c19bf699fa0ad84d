/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-round-view.h"

G_BEGIN_DECLS

/* Find your way: a section, stage, component or test point is asked for and pressed on the photo, or it is lit and named.
 * The photo shows nothing but the board until the answer is given.
 *
 * By keys: arrows move a cross, Enter presses there; a name is typed, or chosen by its digit. */
#define BL_TYPE_WAY_VIEW (bl_way_view_get_type ())
G_DECLARE_FINAL_TYPE (BlWayView, bl_way_view, BL, WAY_VIEW, BlRoundView)

GtkWidget *bl_way_view_new (BlQuizRound *round);

G_END_DECLS
