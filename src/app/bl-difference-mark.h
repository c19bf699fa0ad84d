/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-board-difference.h"
#include "bl-palette.h"

G_BEGIN_DECLS

/* How a difference is marked in lists and on photos, seen from the open edition. Told apart by their shape alone:
 * added a full square with a plus, gone an empty dashed one with a minus, changed two triangles that meet at their tips,
 * renamed a tag. */
typedef enum
{
  BL_MARK_ADDED,
  BL_MARK_GONE,
  BL_MARK_CHANGED,
  BL_MARK_RENAMED,
  BL_N_MARKS
} BlDifferenceMark;

/* What the other edition alone has is gone here. */
BlDifferenceMark bl_difference_mark_of (BlDifferenceKind kind);
BlDifferenceKind bl_difference_mark_kind (BlDifferenceMark mark);

/* Centred at (x, y), size px high and wide, in ink; what is cut out of a full shape shows paper. */
void bl_difference_mark_draw (cairo_t *cr, BlDifferenceMark mark, double x, double y, double size, const BlColour *ink,
                              const BlColour *paper);

/* The mark beside its word, in ink. */
#define BL_TYPE_DIFFERENCE_ICON (bl_difference_icon_get_type ())
G_DECLARE_FINAL_TYPE (BlDifferenceIcon, bl_difference_icon, BL, DIFFERENCE_ICON, GtkWidget)
GtkWidget *bl_difference_icon_new (BlDifferenceMark mark);

G_END_DECLS
