/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the photo from frame to frame: at rest its names are where there is room for them, in a pan
 * all of it moves as one picture, in a zoom the names go along with what they name. */
#include "config.h"

#include "bl-photo-view-private.h"

#define SETTLE_MS 200 /* without a movement: then names are placed anew */

static gboolean
settled (gpointer data)
{
  BlPhotoView *self = data;

  self->settle = 0;
  g_clear_pointer (&self->layer, bl_photo_layer_free);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return G_SOURCE_REMOVE;
}

/* What stands on the photo in a frame of a pan: moved, not placed anew. */
static void
draw_panned (BlPhotoView *self, const BlPhotoPaint *paint, cairo_t *cr)
{
  if (self->layer != NULL && !bl_photo_layer_serves (self->layer, paint))
    g_clear_pointer (&self->layer, bl_photo_layer_free);
  if (self->layer == NULL)
    self->layer = bl_photo_layer_new (paint);
  bl_photo_layer_paint (self->layer, cr, paint->viewport);
}

/* ... in a frame of a zoom. */
static void
draw_zoomed (BlPhotoView *self, BlPhotoPaint *paint, cairo_t *cr)
{
  bl_photo_names_follow (paint, self->labels);
  paint->labels = self->labels;
  bl_photo_paint (paint, cr);
  self->placed.zoom = 0; /* they have not been placed for this view */
}

void
bl_photo_view_draw_marks (BlPhotoView *self, cairo_t *cr)
{
  BlPhotoPaint paint;
  gboolean moves = !bl_viewport_same (&self->drawn, &self->viewport) && self->drawn.view_w == self->viewport.view_w
                   && self->drawn.view_h == self->viewport.view_h && self->draft == NULL
                   && (self->act == ACT_NONE || self->act == ACT_PAN);

  if (moves)
    {
      g_clear_handle_id (&self->settle, g_source_remove);
      self->settle = g_timeout_add (SETTLE_MS, settled, self);
    }
  bl_photo_view_begin_paint (self, &paint);
  if (self->settle != 0 && self->drawn.zoom == self->viewport.zoom)
    draw_panned (self, &paint, cr);
  else if (self->settle != 0 && self->labels != NULL && self->placed_scale == self->mark_scale)
    draw_zoomed (self, &paint, cr);
  else
    {
      bl_photo_view_fill_paint (self, &paint);
      bl_photo_paint (&paint, cr);
    }
  bl_photo_hint_draw (self, cr);
  self->drawn = self->viewport;
}
