/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names, points and outlines as one picture that a pan moves with the photo.
 *
 * Finding room for 200 names and drawing them takes longer than a frame has. Names that stay where they are
 * on the board while it moves are easier to follow, too; when the pan ends they are placed anew for what the
 * pane shows then. The picture reaches MARGIN beyond the pane on each side, so a pan draws a new one every
 * few hundred pixels. Some 6 MB for a pane of 800 x 740. */
#include "config.h"

#include "bl-photo-layer.h"

#include <math.h>

#define MARGIN 256.0 /* view px */

struct BlPhotoLayer
{
  cairo_surface_t *surface;
  BlViewport viewport; /* of the pane when it was drawn */
  GPtrArray *items, *outlines;
  double scale;
};

static GPtrArray *
ref_or_null (GPtrArray *array)
{
  return array != NULL ? g_ptr_array_ref (array) : NULL;
}

BlPhotoLayer *
bl_photo_layer_new (const BlPhotoPaint *paint)
{
  BlPhotoLayer *self = g_new0 (BlPhotoLayer, 1);
  BlViewport around = *paint->viewport;
  BlPhotoPaint wide = *paint;
  int device = gtk_widget_get_scale_factor (paint->widget);
  g_autoptr (GArray) labels = NULL;

  around.x -= MARGIN / around.zoom;
  around.y -= MARGIN / around.zoom;
  around.view_w += 2 * MARGIN;
  around.view_h += 2 * MARGIN;
  wide.viewport = &around;
  wide.pointer_x = wide.pointer_y = NAN;
  wide.reserved = (BlLabelBox){ 0 }; /* what is kept free there covers the names that pass */
  wide.labels = labels = bl_photo_names_place (&wide);
  self->viewport = *paint->viewport;
  self->items = ref_or_null (paint->items);
  self->outlines = ref_or_null (paint->outlines);
  self->scale = paint->scale;
  self->surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) around.view_w * device,
                                              (int) around.view_h * device);
  cairo_surface_set_device_scale (self->surface, device, device);
  cairo_t *cr = cairo_create (self->surface);
  bl_photo_paint (&wide, cr);
  cairo_destroy (cr);
  return self;
}

void
bl_photo_layer_free (BlPhotoLayer *self)
{
  if (self == NULL)
    return;
  cairo_surface_destroy (self->surface);
  g_clear_pointer (&self->items, g_ptr_array_unref);
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  g_free (self);
}

static void
shift_of (const BlPhotoLayer *self, const BlViewport *viewport, double *dx, double *dy)
{
  *dx = (self->viewport.x - viewport->x) * viewport->zoom;
  *dy = (self->viewport.y - viewport->y) * viewport->zoom;
}

gboolean
bl_photo_layer_serves (const BlPhotoLayer *self, const BlPhotoPaint *paint)
{
  const BlViewport *now = paint->viewport;
  double dx, dy;

  shift_of (self, now, &dx, &dy);
  return self->items == paint->items && self->outlines == paint->outlines && self->scale == paint->scale
         && self->viewport.zoom == now->zoom && self->viewport.view_w == now->view_w
         && self->viewport.view_h == now->view_h && fabs (dx) <= MARGIN && fabs (dy) <= MARGIN;
}

void
bl_photo_layer_paint (const BlPhotoLayer *self, cairo_t *cr, const BlViewport *viewport)
{
  double dx, dy;

  shift_of (self, viewport, &dx, &dy);
  cairo_set_source_surface (cr, self->surface, round (dx) - MARGIN, round (dy) - MARGIN);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_NEAREST);
  cairo_paint (cr);
}
