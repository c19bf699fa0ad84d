/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What a corner that is being drawn or dragged catches on. All lengths are photo pixels; the reach is
 * given in them too, so whoever asks divides the pixels of the screen by the zoom. */
typedef enum
{
  BL_SNAP_NONE,   /* nothing near: where the pointer is */
  BL_SNAP_PLACE,  /* a test point or component */
  BL_SNAP_CORNER, /* a corner of another outline */
  BL_SNAP_EDGE,   /* an edge of another outline, perhaps where a line of alignment crosses it */
  BL_SNAP_ALIGN   /* straight above, below or beside other corners */
} BlSnapKind;

typedef struct
{
  BlSnapKind kind;
  double x, y;      /* where the corner goes */
  const char *name; /* of the place or outline, NULL: none. Of the field. */
  /* Corners it is in line with; for the hint. */
  gboolean above;   /* same x as (above_x, above_y) */
  gboolean beside;  /* same y as (beside_x, beside_y) */
  double above_x, above_y, beside_x, beside_y;
  double ax, ay, bx, by; /* of an EDGE: its ends */
} BlSnap;

typedef struct BlSnapField BlSnapField;

/* Nothing to catch on yet. (transfer full) */
BlSnapField *bl_snap_field_new (void);
void bl_snap_field_free (BlSnapField *field);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlSnapField, bl_snap_field_free)
/* An outline to catch on: its corners and edges. points: n_corners pairs x, y. name may be NULL. */
void bl_snap_field_add_outline (BlSnapField *field, const char *name, const double *points, guint n_corners);
void bl_snap_field_add_place (BlSnapField *field, const char *name, double x, double y);
/* A corner of the outline in hand: the one that moves can come in line with it. */
void bl_snap_field_add_line (BlSnapField *field, double x, double y);
/* Takes the corners of the outline in hand away again. */
void bl_snap_field_clear_lines (BlSnapField *field);

/* Where a corner at (x, y) goes. Within reach a place or corner comes first, the nearest of them, then a
 * crossing of edges or of an edge with a line of alignment, then the nearest edge, then alignment. */
BlSnap bl_snap (const BlSnapField *field, double x, double y, double reach);

/* Where an outline moved as a whole goes: the corner that catches best takes the others along. Returns
 * what it caught on, and in dx, dy the movement with it. Lines of the field are not asked. */
BlSnap bl_snap_outline (const BlSnapField *field, const double *points, guint n_corners, double *dx, double *dy,
                        double reach);

G_END_DECLS
