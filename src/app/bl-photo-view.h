/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-outline-edit.h"
#include "bl-photo-surface.h"
#include "bl-shape-draw.h"
#include "bl-snap.h"
#include "bl-viewport.h"

G_BEGIN_DECLS

/* What stands on the photo at one place. */
typedef enum
{
  BL_PHOTO_POINT,     /* test point: verdict shape and name */
  BL_PHOTO_BLACK,     /* the black lead: square and name */
  BL_PHOTO_MARK,      /* burn, corrosion ...: a cross and its words */
  BL_PHOTO_COMPONENT, /* a part: small corner marks and name */
  BL_PHOTO_LANDMARK,  /* a place to lay another photo over this one by: ring and cross-hairs, name */
  BL_PHOTO_DIFFERENCE /* two editions have it differently: its mark (BlDifferenceMark in shape) and name */
} BlPhotoItemKind;

/* What is really on another photo, shown at its place on this one: pressed, never moved. */
typedef enum
{
  BL_PHOTO_HERE,
  BL_PHOTO_BESIDE, /* another photo of the same side: fainter */
  BL_PHOTO_BEHIND  /* the other side of the board: fainter and dashed */
} BlPhotoFar;

typedef struct
{
  BlPhotoItemKind kind;
  char *id;
  char *name; /* shown on the chip; NULL: none */
  double x, y; /* photo pixels */
  int shape;  /* BlShape of a POINT, or -1: unread */
  gboolean in_hand; /* the four brackets; its name inverted */
  gboolean differs; /* stands out: not as on the twin */
  gboolean quiet;   /* its name shows near the pointer only */
  BlPhotoFar far;
  gboolean foretold; /* a landmark: where it should be; dashed, cannot be pressed */
} BlPhotoItem;
BlPhotoItem *bl_photo_item_new (BlPhotoItemKind kind, const char *id, const char *name, double x, double y);
void bl_photo_item_free (BlPhotoItem *item);

typedef enum
{
  BL_PHOTO_SECTION, /* dashed white */
  BL_PHOTO_STAGE,   /* thin */
  BL_PHOTO_LIKELY   /* the likely failed stage: yellow, with a tab */
} BlPhotoOutlineKind;

typedef struct
{
  BlPhotoOutlineKind kind;
  char *id;
  char *name;     /* on the outline, or the words of the tab */
  GArray *points; /* double pairs x, y in photo pixels; closed */
  gboolean selected; /* editor: corners are shown and can be dragged */
  BlPhotoFar far;
} BlPhotoOutline;
BlPhotoOutline *bl_photo_outline_new (BlPhotoOutlineKind kind, const char *id, const char *name, GArray *points);
void bl_photo_outline_free (BlPhotoOutline *outline);

/* What a press on empty photo does. */
typedef enum
{
  BL_PHOTO_TOOL_NONE,      /* press: "clicked"; drag pans */
  BL_PHOTO_TOOL_PLACE,     /* the same, and a press on an outline is one on the photo */
  BL_PHOTO_TOOL_PRESS,     /* the same, whatever stands there: what lies close together can be set */
  BL_PHOTO_TOOL_RECTANGLE, /* drag draws a rectangle: "outline-drawn" */
  BL_PHOTO_TOOL_POLYGON,   /* presses set corners; Enter, a double press or the first corner close it */
  BL_PHOTO_TOOL_RULER      /* two presses, on things or beside: the length between is told */
} BlPhotoTool;

/* A photo with what is known on it; zoom by wheel or + -, pan by drag or arrows, Z fits.
 *
 * Property "editable" (gboolean): points and corners of selected outlines can be dragged.
 * Signals (coordinates in photo pixels):
 *   "point-activated" (BlPhotoItemKind kind, const char *id): pressed
 *   "point-pressed-other" (BlPhotoItemKind kind, const char *id): pressed with the secondary button
 *   "outline-activated" (BlPhotoOutlineKind kind, const char *id): pressed on its name or its line
 *   "clicked" (double x, double y): pressed where nothing stands
 *   "point-dragged" (BlPhotoItemKind kind, const char *id, double x, double y, gboolean finished)
 *   "outline-drawn" (GArray *points): a rectangle or polygon was drawn with the tool
 *   "outline-changed" (BlPhotoOutlineKind kind, const char *id, GArray *points, BlOutlineChange change,
 *                      gboolean finished)
 *   "pointed" (double x, double y): the pointer is there, with the tool that places
 *   "tool-changed": the tool went back to none */
#define BL_TYPE_PHOTO_VIEW (bl_photo_view_get_type ())
G_DECLARE_FINAL_TYPE (BlPhotoView, bl_photo_view, BL, PHOTO_VIEW, GtkWidget)

GtkWidget *bl_photo_view_new (void);
/* NULL: no photo; message (may be NULL) says why in its place. Keeps the zoom when it is the same. */
void bl_photo_view_set_surface (BlPhotoView *self, BlPhotoSurface *surface, const char *message);
BlPhotoSurface *bl_photo_view_get_surface (BlPhotoView *self);
/* Takes over the arrays (transfer full); drawn in this order, hit in reverse. NULL: none. */
void bl_photo_view_set_items (BlPhotoView *self, GPtrArray *items);
void bl_photo_view_set_outlines (BlPhotoView *self, GPtrArray *outlines);
/* Brings the point into view if it is not: glides for 150 ms where animations are on. */
void bl_photo_view_reveal (BlPhotoView *self, double x, double y);
/* The same, zoomed in at least so far that the photo's pixel is `zoom` view pixels. */
void bl_photo_view_close_up (BlPhotoView *self, double x, double y, double zoom);
void bl_photo_view_fit (BlPhotoView *self);
/* Shows this box of the photo (photo pixels) as large as it fits, with a margin. */
void bl_photo_view_frame (BlPhotoView *self, double x0, double y0, double x1, double y1);
void bl_photo_view_zoom (BlPhotoView *self, double factor);
void bl_photo_view_pan (BlPhotoView *self, double dx, double dy);
void bl_photo_view_set_tool (BlPhotoView *self, BlPhotoTool tool);
BlPhotoTool bl_photo_view_get_tool (BlPhotoView *self);
void bl_photo_view_set_editable (BlPhotoView *self, gboolean editable);
/* What a length between two places of the photo is in words (transfer full). With it lengths are told while something
 * is drawn or moved, and the ruler works. */
typedef char *(*BlPhotoLengthFunc) (double x0, double y0, double x1, double y1, gpointer data);
void bl_photo_view_set_length_func (BlPhotoView *self, BlPhotoLengthFunc words, gpointer data);
/* Everything drawn on the photo times this factor (1; the probe view takes more). */
void bl_photo_view_set_mark_scale (BlPhotoView *self, double scale);
/* A corner at the lower right that names keep out of, view px: something else stands there. */
void bl_photo_view_set_reserved (BlPhotoView *self, double width, double height);
/* What outlines being drawn or changed catch on, asked for when that begins. except: id of the outline that
 * is changed, NULL: a new one. (transfer full) */
typedef BlSnapField *(*BlPhotoSnapFunc) (const char *except, gpointer data);
void bl_photo_view_set_snapping (BlPhotoView *self, BlPhotoSnapFunc func, gpointer data);
/* Removes the corner of a selected outline that was pressed last. FALSE: none was. */
gboolean bl_photo_view_remove_corner (BlPhotoView *self);
void bl_photo_view_drop_corner (BlPhotoView *self);
/* Goes with the pointer while the tool is to place; NULL: nothing. */
void bl_photo_view_set_pointer_name (BlPhotoView *self, const char *name);
/* Goes to this box of the photo, or place where it has no size: near enough to see it, not so near that
 * nothing is round it. Glides as reveal does. */
void bl_photo_view_fly (BlPhotoView *self, double x0, double y0, double x1, double y1);
/* The photo darker, for what stands on it. */
void bl_photo_view_set_dimmed (BlPhotoView *self, gboolean dimmed);
/* A cross at this place, photo px, for pressing without a mouse; x NAN: none. It stays at its place of the photo. */
void bl_photo_view_set_aim (BlPhotoView *self, double x, double y);
/* FALSE: there is none. */
gboolean bl_photo_view_get_aim (BlPhotoView *self, double *x, double *y);
/* Moves it by view px, and the photo with it where it would leave the pane; the first time it comes to the middle. */
void bl_photo_view_move_aim (BlPhotoView *self, double dx, double dy);
/* Everything is dark but the inside of this outline (photo px, copied), or where it is NULL a spot at x, y; x NAN:
 * nothing is. */
void bl_photo_view_set_spot (BlPhotoView *self, GArray *points, double x, double y);
/* What assistive technology reads: what is shown. */
void bl_photo_view_describe (BlPhotoView *self, const char *label);
const BlViewport *bl_photo_view_get_viewport (BlPhotoView *self);

G_END_DECLS
