/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-view.h"

G_BEGIN_DECLS

/* Draws what is known on a photo; private to the photo view. */
typedef struct
{
  GtkWidget *widget;       /* for fonts */
  const BlViewport *viewport;
  GPtrArray *items, *outlines;
  GHashTable *layouts;     /* text -> PangoLayout, kept between frames */
  double scale;            /* of everything drawn, 1 */
  double pointer_x, pointer_y; /* view px; NAN: outside */
  GArray *draft;           /* corners being drawn, photo px, or NULL */
} BlPhotoPaint;

void bl_photo_paint (const BlPhotoPaint *paint, cairo_t *cr);

/* View rectangle of an outline's name or tab. FALSE: it has none. */
gboolean bl_photo_paint_name_box (const BlPhotoPaint *paint, const BlPhotoOutline *outline,
                                  graphene_rect_t *box);

G_END_DECLS
