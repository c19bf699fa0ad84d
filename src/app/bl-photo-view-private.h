/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-layer.h"

G_BEGIN_DECLS

/* Shared by bl-photo-view.c (the widget) and bl-photo-input.c (pointer and keys). */
typedef enum
{
  ACT_NONE,
  ACT_PAN,
  ACT_ITEM,
  ACT_CORNER,
  ACT_EDGE,    /* a corner of its own once it moves */
  ACT_OUTLINE, /* as a whole */
  ACT_DRAW
} Act;

typedef struct BlPhotoLengths BlPhotoLengths; /* bl-photo-lengths.c */

struct _BlPhotoView
{
  GtkWidget parent_instance;

  BlViewport viewport;
  BlPhotoSurface *surface;
  char *message;
  GPtrArray *items, *outlines;
  GPtrArray *later;   /* outlines handed in while one is being dragged */
  gboolean has_later;
  GHashTable *layouts;
  GArray *labels;     /* where names go; NULL: to be found anew */
  BlViewport placed;  /* the view they were placed in */
  double placed_scale;
  BlPhotoLayer *layer; /* while the view moves; NULL: it rests */
  BlViewport drawn;    /* the view of the last frame */
  guint settle;        /* ends the movement */
  BlLabelBox reserved; /* size of the corner at the lower right kept free; x, y unused */
  double mark_scale;
  gboolean editable;
  BlPhotoTool tool;
  GArray *draft; /* corners so far, photo px */

  double pointer_x, pointer_y; /* view px, NAN: outside */
  Act act;
  gboolean moving;
  guint hit;                  /* item or outline of the act */
  guint corner;               /* of it; of an EDGE the corner where it begins */
  gboolean adding;            /* the corner was made by this drag */
  GArray *before;             /* corners of the outline before the drag */
  char *corner_of;            /* outline with a corner in hand, NULL: none */
  guint corner_at;
  BlPhotoSnapFunc snap_func;
  gpointer snap_data;
  BlSnapField *snap_field;    /* during a movement, or while drawing */
  BlSnap snap;                /* what was caught; NONE: nothing */
  double fixed_x, fixed_y;    /* first corner of a rectangle, photo px */
  double hover_x, hover_y;    /* where the next corner would go, photo px */
  char *pointer_name;         /* NULL: none */
  gboolean dimmed;
  double start_x, start_y;    /* view px */
  double last_dx, last_dy;    /* pan so far */
  gint64 last_press;          /* for a double press while drawing */

  BlPhotoLengths *lengths; /* NULL: none are told */

  double aim_x, aim_y;   /* the cross that keys move, photo px; NAN: none */
  double spot_x, spot_y; /* middle of what is lit, photo px; NAN: nothing, or an outline */
  GArray *spot;          /* outline of what is lit, photo px, or NULL */

  guint glide;
  gint64 glide_start;
  BlViewport glide_from, glide_to;
};

/* bl-photo-view.c */
void bl_photo_view_stop_glide (BlPhotoView *self);
/* The press or drag is over; outlines that waited for that are shown. */
void bl_photo_view_end_act (BlPhotoView *self);
/* What is to be painted, without places for the names ... */
void bl_photo_view_begin_paint (BlPhotoView *self, BlPhotoPaint *paint);
/* ... and with them. */
void bl_photo_view_fill_paint (BlPhotoView *self, BlPhotoPaint *paint);

/* bl-photo-moving.c */
/* Points, outlines and names of this frame. */
void bl_photo_view_draw_marks (BlPhotoView *self, cairo_t *cr);

/* bl-photo-lengths.c */
void bl_photo_lengths_draw (BlPhotoView *self, cairo_t *cr);
/* A press with the ruler; item: what was hit, or NULL. FALSE: another tool. */
gboolean bl_photo_lengths_press (BlPhotoView *self, const BlPhotoItem *item, double x, double y);
void bl_photo_lengths_free (BlPhotoLengths *lengths);

/* bl-photo-aim.c */
void bl_photo_aim_draw (BlPhotoView *self, cairo_t *cr);

/* bl-photo-input.c */
void bl_photo_view_add_controllers (BlPhotoView *self);
/* From a place of the photo to one of the view, view px. */
double bl_photo_view_distance (BlPhotoView *self, double ix, double iy, double x, double y);

/* bl-photo-outlines.c */
void bl_photo_view_drop_draft (BlPhotoView *self);
/* The edge of an outline at this place of the view; -1: none. */
int bl_photo_outline_edge (BlPhotoView *self, GArray *points, double x, double y);
/* A press; TRUE: it is about an outline, and the act is set. */
gboolean bl_photo_outlines_begin (BlPhotoView *self, double x, double y, GdkModifierType modifiers, gboolean on_item);
void bl_photo_outlines_drag (BlPhotoView *self, double x, double y, GdkModifierType modifiers);
void bl_photo_outlines_end (BlPhotoView *self, double x, double y, GdkModifierType modifiers);
/* The press was no drag. */
void bl_photo_outlines_cancel (BlPhotoView *self);
void bl_photo_outlines_hover (BlPhotoView *self, double x, double y, GdkModifierType modifiers);
void bl_photo_outlines_finish_draft (BlPhotoView *self);
/* The last corner of a polygon being drawn. FALSE: there is none. */
gboolean bl_photo_outlines_take_back (BlPhotoView *self);
void bl_photo_outlines_take_corner (BlPhotoView *self);
/* The corner in hand and its outline, NULL: none. */
BlPhotoOutline *bl_photo_outlines_corner (BlPhotoView *self, guint *corner);
/* A press with the other button: takes the corner there out. FALSE: there is none. */
gboolean bl_photo_outlines_press_other (BlPhotoView *self, double x, double y);

/* bl-photo-hint.c */
void bl_photo_hint_draw (BlPhotoView *self, cairo_t *cr);
/* What is caught, in words; NULL: nothing. (transfer full) */
char *bl_photo_hint_words (const BlSnap *snap);

G_END_DECLS
