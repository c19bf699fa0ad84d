/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Changing the corners of one outline: double pairs x, y in photo pixels, closed. */

/* What was done to an outline, for the words of undo. */
typedef enum
{
  BL_OUTLINE_CORNER_MOVED,
  BL_OUTLINE_CORNER_ADDED,
  BL_OUTLINE_CORNER_REMOVED,
  BL_OUTLINE_MOVED
} BlOutlineChange;

/* Puts a corner into the edge that begins at corner `edge`. Returns its number. */
guint bl_outline_add_corner (GArray *points, guint edge, double x, double y);
/* FALSE: three corners are the least. */
gboolean bl_outline_remove_corner (GArray *points, guint corner);
/* Moves all corners, not beyond a photo of this size: the outline keeps its shape. */
void bl_outline_move (GArray *points, double dx, double dy, double width, double height);
/* The edge nearest to (x, y), and its distance; -1: no corners. */
int bl_outline_nearest_edge (const GArray *points, double x, double y, double *distance);
/* TRUE when (x, y) lies inside (even-odd). */
gboolean bl_outline_contains (const GArray *points, double x, double y);
/* Area in px², never negative. */
double bl_outline_area (const GArray *points);

G_END_DECLS
