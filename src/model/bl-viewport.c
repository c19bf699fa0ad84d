/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where a photo lies in a pane. Kept free of any widget so that its rules can be stated and tested
 * without a display: the point under the pointer stays there, the photo cannot be lost outside the
 * pane, a fitted photo stays fitted. Photos up to about 10,000 px a side, panes up to a few thousand;
 * doubles throughout, rounding is the painter's business. Rotation is not offered.
 */
#include "config.h"

#include "bl-viewport.h"

#include <math.h>

#define MAX_ZOOM 8.0

void
bl_viewport_init (BlViewport *viewport)
{
  *viewport = (BlViewport){ .zoom = 1, .fitted = TRUE };
}

static gboolean
is_empty (const BlViewport *viewport)
{
  return viewport->image_w <= 0 || viewport->image_h <= 0 || viewport->view_w <= 0 || viewport->view_h <= 0;
}

static double
fit_zoom (const BlViewport *viewport)
{
  return MIN (viewport->view_w / viewport->image_w, viewport->view_h / viewport->image_h);
}

/* Start of the visible range along one axis: inside the photo, or the photo centred when it is
 * smaller than the pane. */
static double
limit_axis (double start, double image, double visible)
{
  if (visible >= image)
    return (image - visible) / 2;
  return CLAMP (start, 0, image - visible);
}

static void
limit (BlViewport *viewport)
{
  viewport->x = limit_axis (viewport->x, viewport->image_w, viewport->view_w / viewport->zoom);
  viewport->y = limit_axis (viewport->y, viewport->image_h, viewport->view_h / viewport->zoom);
}

void
bl_viewport_fit (BlViewport *viewport)
{
  viewport->fitted = TRUE;
  if (is_empty (viewport))
    return;
  viewport->zoom = fit_zoom (viewport);
  limit (viewport);
}

void
bl_viewport_set_image (BlViewport *viewport, double width, double height)
{
  viewport->image_w = width;
  viewport->image_h = height;
  bl_viewport_fit (viewport);
}

void
bl_viewport_set_view (BlViewport *viewport, double width, double height)
{
  double middle_x = viewport->x + viewport->view_w / viewport->zoom / 2;
  double middle_y = viewport->y + viewport->view_h / viewport->zoom / 2;

  viewport->view_w = width;
  viewport->view_h = height;
  if (is_empty (viewport))
    return;
  if (viewport->fitted)
    {
      bl_viewport_fit (viewport);
      return;
    }
  viewport->zoom = MAX (viewport->zoom, fit_zoom (viewport));
  viewport->x = middle_x - width / viewport->zoom / 2;
  viewport->y = middle_y - height / viewport->zoom / 2;
  limit (viewport);
}

void
bl_viewport_zoom_at (BlViewport *viewport, double factor, double vx, double vy)
{
  double ix, iy;

  if (is_empty (viewport) || !(factor > 0))
    return;
  bl_viewport_to_image (viewport, vx, vy, &ix, &iy);
  double least = fit_zoom (viewport);
  double most = MAX (MAX_ZOOM, least);
  viewport->zoom = CLAMP (viewport->zoom * factor, least, most);
  viewport->fitted = viewport->zoom <= least;
  viewport->x = ix - vx / viewport->zoom;
  viewport->y = iy - vy / viewport->zoom;
  limit (viewport);
}

void
bl_viewport_pan (BlViewport *viewport, double dx, double dy)
{
  if (is_empty (viewport))
    return;
  viewport->x -= dx / viewport->zoom;
  viewport->y -= dy / viewport->zoom;
  limit (viewport);
}

void
bl_viewport_to_view (const BlViewport *viewport, double ix, double iy, double *vx, double *vy)
{
  *vx = (ix - viewport->x) * viewport->zoom;
  *vy = (iy - viewport->y) * viewport->zoom;
}

void
bl_viewport_to_image (const BlViewport *viewport, double vx, double vy, double *ix, double *iy)
{
  *ix = viewport->x + vx / viewport->zoom;
  *iy = viewport->y + vy / viewport->zoom;
}

gboolean
bl_viewport_shows (const BlViewport *viewport, double ix, double iy, double margin)
{
  double vx, vy;

  bl_viewport_to_view (viewport, ix, iy, &vx, &vy);
  return vx >= margin && vy >= margin && vx <= viewport->view_w - margin && vy <= viewport->view_h - margin;
}

void
bl_viewport_centre_on (const BlViewport *viewport, double ix, double iy, double *x, double *y)
{
  double visible_w = viewport->view_w / viewport->zoom;
  double visible_h = viewport->view_h / viewport->zoom;

  *x = limit_axis (ix - visible_w / 2, viewport->image_w, visible_w);
  *y = limit_axis (iy - visible_h / 2, viewport->image_h, visible_h);
}

gboolean
bl_viewport_same (const BlViewport *a, const BlViewport *b)
{
  return a->x == b->x && a->y == b->y && a->zoom == b->zoom && a->view_w == b->view_w && a->view_h == b->view_h;
}
