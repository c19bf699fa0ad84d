/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes with the pointer on the photo: what a corner catches on, the line to the next corner of a
 * polygon, the name of what the next press places. Drawn over everything else in each frame: a few strokes
 * and one chip. */
#include "config.h"

#include "bl-photo-view-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-style.h"

static const BlColour white = { 1, 1, 1 };

/* White on a dark casing, as all lines on photos. */
static void
stroke (cairo_t *cr, double width, gboolean dashed)
{
  static const double dashes[] = { 3, 3 };

  cairo_set_line_width (cr, width + 2.5);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, dashes, dashed ? 2 : 0, 0);
  cairo_set_line_width (cr, width);
  bl_set_source (cr, &white);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

/* Beside (x, y), inside the pane. */
static void
draw_chip (BlPhotoView *self, cairo_t *cr, const char *words, double x, double y, gboolean inverted)
{
  const BlPalette *dark = bl_palette_get (TRUE);
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), words, 12, 700);
  int w, h;

  pango_layout_get_pixel_size (layout, &w, &h);
  w += 10;
  h += 4;
  if (x + 16 + w > self->viewport.view_w)
    x -= w + 32;
  if (y + 14 + h > self->viewport.view_h)
    y -= h + 28;
  cairo_rectangle (cr, round (x) + 16, round (y) + 14, w, h);
  bl_set_source (cr, inverted ? &white : &dark->chip);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1);
  bl_set_source (cr, &dark->chip);
  cairo_stroke (cr);
  bl_style_show (cr, layout, inverted ? &dark->chip : &dark->chip_ink, round (x) + 16 + w / 2.0,
                 round (y) + 14 + h / 2.0, 0.5);
}

/* --- snapping --- */

char *
bl_photo_hint_words (const BlSnap *snap)
{
  gboolean line = snap->above || snap->beside;

  switch (snap->kind)
    {
    case BL_SNAP_PLACE:
      return g_strdup (snap->name != NULL ? snap->name : "");
    case BL_SNAP_CORNER:
      return snap->name != NULL ? g_strdup_printf (_ ("corner of %s"), snap->name) : g_strdup (_ ("corner"));
    case BL_SNAP_EDGE:
      if (snap->name == NULL)
        return g_strdup (line ? _ ("edge, in line") : _ ("edge"));
      return g_strdup_printf (line ? _ ("edge of %s, in line") : _ ("edge of %s"), snap->name);
    case BL_SNAP_ALIGN:
      return g_strdup (snap->above && snap->beside ? _ ("in line both ways") : _ ("in line"));
    case BL_SNAP_NONE:
    default:
      return NULL;
    }
}

static void
guide (BlPhotoView *self, cairo_t *cr, double ax, double ay, double bx, double by, gboolean dashed)
{
  double x0, y0, x1, y1;

  bl_viewport_to_view (&self->viewport, ax, ay, &x0, &y0);
  bl_viewport_to_view (&self->viewport, bx, by, &x1, &y1);
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
  stroke (cr, dashed ? 1 : 3, dashed);
}

static void
draw_snap (BlPhotoView *self, cairo_t *cr)
{
  const BlSnap *snap = &self->snap;
  g_autofree char *words = bl_photo_hint_words (snap);
  double x, y;

  if (words == NULL)
    return;
  bl_viewport_to_view (&self->viewport, snap->x, snap->y, &x, &y);
  if (snap->kind == BL_SNAP_EDGE)
    guide (self, cr, snap->ax, snap->ay, snap->bx, snap->by, FALSE);
  if (snap->above)
    guide (self, cr, snap->above_x, snap->above_y, snap->x, snap->y, TRUE);
  if (snap->beside)
    guide (self, cr, snap->beside_x, snap->beside_y, snap->x, snap->y, TRUE);
  if (snap->kind == BL_SNAP_PLACE)
    {
      cairo_new_sub_path (cr);
      cairo_arc (cr, x, y, 10, 0, 2 * G_PI);
      stroke (cr, 2, FALSE);
    }
  else
    {
      cairo_rectangle (cr, round (x) - 7.5, round (y) - 7.5, 15, 15);
      stroke (cr, 2, FALSE);
    }
  draw_chip (self, cr, words, x, y, FALSE);
}

/* --- all of it --- */

/* From the last corner of a polygon to where the next one would go. */
static void
draw_next_edge (BlPhotoView *self, cairo_t *cr)
{
  const GArray *draft = self->draft;

  if (self->tool != BL_PHOTO_TOOL_POLYGON || draft == NULL || draft->len < 2 || isnan (self->pointer_x))
    return;
  guide (self, cr, g_array_index (draft, double, draft->len - 2), g_array_index (draft, double, draft->len - 1),
         self->hover_x, self->hover_y, TRUE);
}

static void
draw_corner_in_hand (BlPhotoView *self, cairo_t *cr)
{
  guint corner;
  const BlPhotoOutline *outline = bl_photo_outlines_corner (self, &corner);
  double x, y;

  if (outline == NULL)
    return;
  bl_viewport_to_view (&self->viewport, g_array_index (outline->points, double, 2 * corner),
                       g_array_index (outline->points, double, 2 * corner + 1), &x, &y);
  cairo_rectangle (cr, round (x) - 6, round (y) - 6, 12, 12);
  bl_set_source (cr, &bl_palette_get (TRUE)->chip);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 2);
  bl_set_source (cr, &white);
  cairo_stroke (cr);
}

void
bl_photo_hint_draw (BlPhotoView *self, cairo_t *cr)
{
  draw_corner_in_hand (self, cr);
  draw_next_edge (self, cr);
  draw_snap (self, cr);
  if (self->tool == BL_PHOTO_TOOL_PLACE && self->pointer_name != NULL && !isnan (self->pointer_x))
    draw_chip (self, cr, self->pointer_name, self->pointer_x, self->pointer_y, TRUE);
}
