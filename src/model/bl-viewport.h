/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Where a photo lies in a pane: zoom and pan in doubles, both conversions, no display needed.
 * Image coordinates are photo pixels, view coordinates are pixels of the pane. */
typedef struct
{
  double image_w, image_h; /* photo size, px; 0: none */
  double view_w, view_h;   /* pane size, px */
  double zoom;             /* view px per image px */
  double x, y;             /* image point at the pane's top left corner */
  gboolean fitted;         /* the whole photo is shown and stays so when the pane changes */
} BlViewport;

void bl_viewport_init (BlViewport *viewport);
/* TRUE when both show the same part of a photo in a pane of the same size. */
gboolean bl_viewport_same (const BlViewport *a, const BlViewport *b);
/* A new photo: fits it. */
void bl_viewport_set_image (BlViewport *viewport, double width, double height);
/* A new pane size: keeps the image point in the middle, or the fit. */
void bl_viewport_set_view (BlViewport *viewport, double width, double height);
void bl_viewport_fit (BlViewport *viewport);
/* Zooms by factor, the image point under the view point (vx, vy) staying where it is.
 * Limits: from the fit to 8 view pixels an image pixel. */
void bl_viewport_zoom_at (BlViewport *viewport, double factor, double vx, double vy);
/* Moves the photo by view pixels; the photo cannot leave the pane. */
void bl_viewport_pan (BlViewport *viewport, double dx, double dy);
void bl_viewport_to_view (const BlViewport *viewport, double ix, double iy, double *vx, double *vy);
void bl_viewport_to_image (const BlViewport *viewport, double vx, double vy, double *ix, double *iy);
/* TRUE when the image point is at least margin view pixels inside the pane. */
gboolean bl_viewport_shows (const BlViewport *viewport, double ix, double iy, double margin);
/* The top left corner (image coordinates) that brings the image point into the middle, within limits. */
void bl_viewport_centre_on (const BlViewport *viewport, double ix, double iy, double *x, double *y);

G_END_DECLS
