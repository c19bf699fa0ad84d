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
  ACT_DRAW
} Act;

struct _BlPhotoView
{
  GtkWidget parent_instance;

  BlViewport viewport;
  BlPhotoSurface *surface;
  char *message;
  GPtrArray *items, *outlines;
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
  guint corner;
  double start_x, start_y;    /* view px */
  double last_dx, last_dy;    /* pan so far */
  gint64 last_press;          /* for a double press while drawing */

  guint glide;
  gint64 glide_start;
  BlViewport glide_from, glide_to;
};

/* bl-photo-view.c */
void bl_photo_view_stop_glide (BlPhotoView *self);
/* What is to be painted, without places for the names ... */
void bl_photo_view_begin_paint (BlPhotoView *self, BlPhotoPaint *paint);
/* ... and with them. */
void bl_photo_view_fill_paint (BlPhotoView *self, BlPhotoPaint *paint);

/* bl-photo-moving.c */
/* Points, outlines and names of this frame. */
void bl_photo_view_draw_marks (BlPhotoView *self, cairo_t *cr);

/* bl-photo-input.c */
void bl_photo_view_add_controllers (BlPhotoView *self);
void bl_photo_view_drop_draft (BlPhotoView *self);

G_END_DECLS
