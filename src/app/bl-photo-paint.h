/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-label-place.h"
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
  BlLabelBox reserved;     /* view px nothing may be written in; w 0: none */
  GArray *labels;          /* BlLabel of the outlines, then of the items: bl_photo_names_place () */
} BlPhotoPaint;

void bl_photo_paint (const BlPhotoPaint *paint, cairo_t *cr);

/* bl-photo-names.c. Finds room for all names; to be done anew when the view or what stands on it
 * changes. (transfer full) */
GArray *bl_photo_names_place (const BlPhotoPaint *paint);
/* Moves the names with what they name, without looking for room: for the frames of a zoom. */
void bl_photo_names_follow (const BlPhotoPaint *paint, GArray *labels);
/* Where item stands in the view, x NAN: outside. (transfer none) */
const BlLabel *bl_photo_names_item (const BlPhotoPaint *paint, guint item);
/* View rectangle of an outline's name or tab. FALSE: it has none. */
gboolean bl_photo_names_outline_box (const BlPhotoPaint *paint, guint outline, graphene_rect_t *box);
void bl_photo_names_draw_outlines (const BlPhotoPaint *paint, cairo_t *cr);
void bl_photo_names_draw_items (const BlPhotoPaint *paint, cairo_t *cr);

G_END_DECLS
