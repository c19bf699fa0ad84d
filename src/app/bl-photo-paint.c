/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing on the photo: section outlines, the likely failed stage, points with their verdict shape,
 * the brackets of the point in hand, the black lead, marks. Their names are bl-photo-names.c's.
 *
 * Photos have every colour, so all that is drawn here wears a dark casing and the dark theme's
 * colours in both themes. Lines keep their width at every zoom. Up to some 200 points; it decides
 * nothing about what is shown. */
#include "config.h"

#include "bl-photo-paint.h"

#include <math.h>

#include "bl-difference-mark.h"
#include "bl-style.h"

static const BlColour white = { 1, 1, 1 };

static void
path_of (const BlPhotoPaint *paint, cairo_t *cr, GArray *points, gboolean closed)
{
  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double x, y;
      bl_viewport_to_view (paint->viewport, g_array_index (points, double, i),
                           g_array_index (points, double, i + 1), &x, &y);
      cairo_line_to (cr, x, y);
    }
  if (closed)
    cairo_close_path (cr);
}

static void
stroke_cased (cairo_t *cr, const BlColour *colour, double width, double casing, const double *dash,
              int n_dash)
{
  const BlPalette *dark = bl_palette_get (TRUE);

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  cairo_set_dash (cr, NULL, 0, 0);
  cairo_set_line_width (cr, casing);
  bl_set_source (cr, &dark->chip);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, dash, n_dash, 0);
  cairo_set_line_width (cr, width);
  bl_set_source (cr, colour);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

static void
draw_corners (const BlPhotoPaint *paint, cairo_t *cr, GArray *points)
{
  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double x, y;
      bl_viewport_to_view (paint->viewport, g_array_index (points, double, i),
                           g_array_index (points, double, i + 1), &x, &y);
      cairo_rectangle (cr, round (x) - 4, round (y) - 4, 8, 8);
    }
  bl_set_source (cr, &white);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1.5);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_stroke (cr);
}

/* Drawn so that what is on this photo stands before it. */
static void
stroke_far (cairo_t *cr, BlPhotoFar far, double s)
{
  static const double dashes[] = { 3, 3 };
  const BlPalette *dark = bl_palette_get (TRUE);

  cairo_set_dash (cr, NULL, 0, 0);
  cairo_set_line_width (cr, 3 * s);
  cairo_set_source_rgba (cr, dark->chip.red, dark->chip.green, dark->chip.blue, 0.55);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, dashes, far == BL_PHOTO_BEHIND ? 2 : 0, 0);
  cairo_set_line_width (cr, 1.2 * s);
  cairo_set_source_rgba (cr, 1, 1, 1, 0.8);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

static void
draw_outline (const BlPhotoPaint *paint, cairo_t *cr, const BlPhotoOutline *outline)
{
  static const double dashes[] = { 6, 4 };
  const BlPalette *dark = bl_palette_get (TRUE);
  double s = paint->scale;

  if (outline->points == NULL || outline->points->len < 4)
    return;
  cairo_new_path (cr);
  path_of (paint, cr, outline->points, TRUE);
  if (outline->far != BL_PHOTO_HERE && outline->kind != BL_PHOTO_LIKELY)
    stroke_far (cr, outline->far, s);
  else if (outline->kind == BL_PHOTO_LIKELY)
    stroke_cased (cr, &dark->likely, 4 * s, 8 * s, NULL, 0);
  else if (outline->kind == BL_PHOTO_SECTION)
    stroke_cased (cr, &white, outline->selected ? 2.5 : 1.5, 3.5, dashes, outline->selected ? 0 : 2);
  else
    stroke_cased (cr, &white, outline->selected ? 2 : 1, outline->selected ? 4 : 2.5, NULL, 0);
  if (outline->selected)
    draw_corners (paint, cr, outline->points);
}

/* Four square brackets round the point in hand. */
static void
draw_brackets (cairo_t *cr, double x, double y, double s)
{
  double r = 16 * s, arm = 8 * s;

  for (int pass = 0; pass < 2; pass++)
    {
      for (int corner = 0; corner < 4; corner++)
        {
          double sx = corner & 1 ? 1 : -1, sy = corner & 2 ? 1 : -1;
          cairo_move_to (cr, x + sx * (r - arm), y + sy * r);
          cairo_line_to (cr, x + sx * r, y + sy * r);
          cairo_line_to (cr, x + sx * r, y + sy * (r - arm));
        }
      cairo_set_line_cap (cr, CAIRO_LINE_CAP_SQUARE);
      cairo_set_line_width (cr, pass == 0 ? 6 * s : 3 * s);
      bl_set_source (cr, pass == 0 ? &bl_palette_get (TRUE)->chip : &white);
      cairo_stroke (cr);
      cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
    }
}

static void
draw_black_lead (cairo_t *cr, double x, double y, double s)
{
  double r = 8 * s;

  cairo_rectangle (cr, round (x) - r, round (y) - r, 2 * r, 2 * r);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 4.5 * s);
  cairo_stroke_preserve (cr);
  cairo_set_line_width (cr, 2.5 * s);
  bl_set_source (cr, &white);
  cairo_stroke (cr);
}

static void
draw_cross (cairo_t *cr, double x, double y, double s)
{
  for (int pass = 0; pass < 2; pass++)
    {
      double r = 6 * s;
      cairo_move_to (cr, x - r, y - r);
      cairo_line_to (cr, x + r, y + r);
      cairo_move_to (cr, x + r, y - r);
      cairo_line_to (cr, x - r, y + r);
      cairo_set_line_width (cr, pass == 0 ? 6 * s : 2.5 * s);
      bl_set_source (cr, pass == 0 ? &bl_palette_get (TRUE)->chip : &white);
      cairo_stroke (cr);
    }
}

/* A ring with four arms and nothing in its middle, so that the place itself stays in sight. */
static void
draw_landmark (cairo_t *cr, const BlPhotoItem *item, double x, double y, double s)
{
  static const double dashes[] = { 3, 2.5 };
  double ring = 7 * s, arm = 13 * s, inner = 3 * s;

  cairo_new_path (cr);
  cairo_arc (cr, x, y, ring, 0, 2 * G_PI);
  for (int i = 0; i < 4; i++)
    {
      double dx = i < 2 ? (i == 0 ? 1 : -1) : 0, dy = i >= 2 ? (i == 2 ? 1 : -1) : 0;
      cairo_move_to (cr, x + inner * dx, y + inner * dy);
      cairo_line_to (cr, x + arm * dx, y + arm * dy);
    }
  stroke_cased (cr, &white, 1.6 * s, 4 * s, dashes, item->foretold ? 2 : 0);
}

/* A ring for a point, a lozenge for a part: what is on another photo has no verdict here. */
static void
draw_far (cairo_t *cr, const BlPhotoItem *item, double x, double y, double s)
{
  double r = 5 * s;

  cairo_new_path (cr);
  if (item->kind == BL_PHOTO_COMPONENT)
    {
      cairo_move_to (cr, x, y - r);
      cairo_line_to (cr, x + r, y);
      cairo_line_to (cr, x, y + r);
      cairo_line_to (cr, x - r, y);
      cairo_close_path (cr);
    }
  else
    cairo_arc (cr, x, y, r, 0, 2 * G_PI);
  stroke_far (cr, item->far, s);
}

static void
draw_part (cairo_t *cr, double x, double y, double s)
{
  double r = 5 * s;

  cairo_move_to (cr, x, y - r);
  cairo_line_to (cr, x + r, y);
  cairo_line_to (cr, x, y + r);
  cairo_line_to (cr, x - r, y);
  cairo_close_path (cr);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1.5 * s);
  bl_set_source (cr, &white);
  cairo_stroke (cr);
}

static void
draw_difference (cairo_t *cr, const BlPhotoItem *item, double x, double y, double s)
{
  double r = 11 * s;

  if (item->in_hand)
    draw_brackets (cr, x, y, s);
  cairo_rectangle (cr, round (x) - r, round (y) - r, 2 * r, 2 * r);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_fill (cr);
  bl_difference_mark_draw (cr, (BlDifferenceMark) item->shape, round (x), round (y), 18 * s, &white,
                           &bl_palette_get (TRUE)->chip);
}

/* A point nobody has read yet: a small white dot, unlike every verdict shape. */
static void
draw_unread (cairo_t *cr, double x, double y, double s)
{
  cairo_new_sub_path (cr);
  cairo_arc (cr, x, y, 5 * s, 0, 2 * G_PI);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_fill (cr);
  cairo_arc (cr, x, y, 3 * s, 0, 2 * G_PI);
  bl_set_source (cr, &white);
  cairo_fill (cr);
}

static void
draw_item (const BlPhotoPaint *paint, cairo_t *cr, const BlPhotoItem *item, double x, double y)
{
  double s = paint->scale;

  if (item->far != BL_PHOTO_HERE)
    {
      draw_far (cr, item, x, y, s);
      if (item->in_hand)
        draw_brackets (cr, x, y, s);
      return;
    }
  switch (item->kind)
    {
    case BL_PHOTO_POINT:
      if (item->in_hand)
        draw_brackets (cr, x, y, s);
      if (item->differs)
        {
          cairo_new_sub_path (cr);
          cairo_arc (cr, x, y, 13 * s, 0, 2 * G_PI);
          stroke_cased (cr, &white, 2 * s, 5 * s, NULL, 0);
        }
      if (item->shape >= 0)
        bl_shape_draw (cr, (BlShape) item->shape, x, y, 18 * s, bl_palette_get (TRUE), TRUE);
      else
        draw_unread (cr, x, y, s);
      break;
    case BL_PHOTO_BLACK:
      draw_black_lead (cr, x, y, s);
      break;
    case BL_PHOTO_MARK:
      draw_cross (cr, x, y, s);
      break;
    case BL_PHOTO_DIFFERENCE:
      draw_difference (cr, item, x, y, s);
      break;
    case BL_PHOTO_COMPONENT:
      draw_part (cr, x, y, s);
      if (item->in_hand)
        draw_brackets (cr, x, y, s);
      break;
    case BL_PHOTO_LANDMARK:
      draw_landmark (cr, item, x, y, s);
      if (item->in_hand)
        draw_brackets (cr, x, y, s);
      break;
    }
}

static void
draw_items (const BlPhotoPaint *paint, cairo_t *cr)
{
  for (guint i = 0; i < paint->items->len; i++)
    {
      const BlLabel *label = bl_photo_names_item (paint, i);
      if (!isnan (label->x))
        draw_item (paint, cr, g_ptr_array_index (paint->items, i), label->x, label->y);
    }
}

void
bl_photo_paint (const BlPhotoPaint *paint, cairo_t *cr)
{
  for (int pass = 0; pass < 2 && paint->outlines != NULL; pass++)
    for (guint i = 0; i < paint->outlines->len; i++)
      {
        const BlPhotoOutline *outline = g_ptr_array_index (paint->outlines, i);
        /* The likely stage lies over all other outlines. */
        if ((outline->kind == BL_PHOTO_LIKELY) == (pass == 1))
          draw_outline (paint, cr, outline);
      }
  bl_photo_names_draw_outlines (paint, cr);
  if (paint->items != NULL)
    draw_items (paint, cr);
  bl_photo_names_draw_items (paint, cr);
  if (paint->draft != NULL && paint->draft->len > 0)
    {
      cairo_new_path (cr);
      path_of (paint, cr, paint->draft, FALSE);
      stroke_cased (cr, &white, 2, 4, NULL, 0);
      draw_corners (paint, cr, paint->draft);
    }
}
