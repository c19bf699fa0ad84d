/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pointing at the photo without a mouse, and pointing out a place of it: a cross that keys move, which stays at its
 * place of the photo while that is moved and zoomed, and a spot, round which everything is dark. A few strokes a frame. */
#include "config.h"

#include "bl-photo-view-private.h"

#include <math.h>

#include "bl-style.h"

#define SPOT_RADIUS 26.0 /* of a place that has no outline, view px */
#define SPOT_DARK 0.62   /* share of the light taken from what is beside */
#define EDGE 40.0        /* the photo follows a cross that comes nearer to the edge, view px */

static const BlColour white = { 1, 1, 1 };

void
bl_photo_view_set_aim (BlPhotoView *self, double x, double y)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  self->aim_x = x;
  self->aim_y = y;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
bl_photo_view_get_aim (BlPhotoView *self, double *x, double *y)
{
  g_return_val_if_fail (BL_IS_PHOTO_VIEW (self), FALSE);
  *x = self->aim_x;
  *y = self->aim_y;
  return !isnan (self->aim_x);
}

/* The photo goes along, so that what lies ahead of the cross is in sight. */
static void
follow (BlPhotoView *self)
{
  const BlViewport *v = &self->viewport;
  double x, y, dx = 0, dy = 0;

  bl_viewport_to_view (v, self->aim_x, self->aim_y, &x, &y);
  if (x < EDGE || x > v->view_w - EDGE)
    dx = x < EDGE ? EDGE - x : v->view_w - EDGE - x;
  if (y < EDGE || y > v->view_h - EDGE)
    dy = y < EDGE ? EDGE - y : v->view_h - EDGE - y;
  if (dx != 0 || dy != 0)
    bl_photo_view_pan (self, dx, dy);
}

void
bl_photo_view_move_aim (BlPhotoView *self, double dx, double dy)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  const BlViewport *v = &self->viewport;

  if (self->surface == NULL || v->zoom <= 0)
    return;
  if (isnan (self->aim_x))
    bl_viewport_to_image (v, v->view_w / 2, v->view_h / 2, &self->aim_x, &self->aim_y);
  else
    {
      self->aim_x += dx / v->zoom;
      self->aim_y += dy / v->zoom;
    }
  self->aim_x = CLAMP (self->aim_x, 0, v->image_w);
  self->aim_y = CLAMP (self->aim_y, 0, v->image_h);
  follow (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_set_spot (BlPhotoView *self, GArray *points, double x, double y)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  g_clear_pointer (&self->spot, g_array_unref);
  if (points != NULL)
    self->spot = g_array_copy (points);
  self->spot_x = x;
  self->spot_y = y;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- drawing --- */

static void
spot_path (BlPhotoView *self, cairo_t *cr)
{
  double x, y;

  cairo_new_sub_path (cr); /* or a line comes from the corner, where the rectangle before it ends */
  if (self->spot == NULL)
    {
      bl_viewport_to_view (&self->viewport, self->spot_x, self->spot_y, &x, &y);
      cairo_arc (cr, x, y, SPOT_RADIUS * self->mark_scale, 0, 2 * G_PI);
      return;
    }
  for (guint i = 0; i + 1 < self->spot->len; i += 2)
    {
      bl_viewport_to_view (&self->viewport, g_array_index (self->spot, double, i),
                           g_array_index (self->spot, double, i + 1), &x, &y);
      cairo_line_to (cr, x, y);
    }
  cairo_close_path (cr);
}

static void
cased (cairo_t *cr, double width, const BlColour *colour)
{
  cairo_set_line_width (cr, width + 3);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_stroke_preserve (cr);
  cairo_set_line_width (cr, width);
  bl_set_source (cr, colour);
  cairo_stroke (cr);
}

static void
draw_spot (BlPhotoView *self, cairo_t *cr)
{
  if (self->spot == NULL && isnan (self->spot_x))
    return;
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_rectangle (cr, 0, 0, self->viewport.view_w, self->viewport.view_h);
  spot_path (self, cr);
  cairo_set_fill_rule (cr, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_set_source_rgba (cr, 0, 0, 0, SPOT_DARK);
  cairo_fill (cr);
  cairo_restore (cr);
  cairo_new_path (cr);
  spot_path (self, cr);
  cased (cr, 2.5, &white);
}

/* Long arms, so that it is found at once, and nothing in the middle, so that what it points at stays in sight. */
static void
draw_aim (BlPhotoView *self, cairo_t *cr)
{
  const double inner = 7, arm = 30;
  double x, y;

  if (isnan (self->aim_x))
    return;
  bl_viewport_to_view (&self->viewport, self->aim_x, self->aim_y, &x, &y);
  x = floor (x) + 0.5;
  y = floor (y) + 0.5;
  cairo_new_path (cr);
  for (int i = 0; i < 4; i++)
    {
      double dx = i < 2 ? 1 - 2 * i : 0, dy = i < 2 ? 0 : 5 - 2 * i; /* right, left, down, up */
      cairo_move_to (cr, x + inner * dx, y + inner * dy);
      cairo_line_to (cr, x + arm * dx, y + arm * dy);
    }
  cased (cr, 2, &white);
  cairo_arc (cr, x, y, 1.5, 0, 2 * G_PI);
  cased (cr, 1.5, &white);
}

void
bl_photo_aim_draw (BlPhotoView *self, cairo_t *cr)
{
  draw_spot (self, cr);
  draw_aim (self, cr);
}
