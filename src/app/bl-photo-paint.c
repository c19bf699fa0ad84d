/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing on the photo: section outlines, the likely failed stage, points with their verdict shape
 * and name, the brackets of the point in hand, the black lead, marks.
 *
 * Photos have every colour, so all that is drawn here wears a dark casing and the dark theme's
 * colours in both themes. Lines keep their width at every zoom. Names are moved when they would
 * cover a point or another name, and left out when there is no room (the name of the point in hand
 * and those near the pointer are always shown). Up to some 200 points; it decides nothing about
 * what is shown. */
#include "config.h"

#include "bl-photo-paint.h"

#include <math.h>

#include "bl-style.h"

#define NEAR_POINTER 48.0 /* view px */
#define MOST_NAME 24.0    /* width of a name in its own size */

static const BlColour white = { 1, 1, 1 };

static PangoLayout *
cached_layout (const BlPhotoPaint *paint, const char *text, double px, int weight)
{
  g_autofree char *key = g_strdup_printf ("%g %d %s", px, weight, text);
  PangoLayout *layout = g_hash_table_lookup (paint->layouts, key);

  if (layout == NULL)
    {
      int width;
      layout = bl_style_layout (paint->widget, text, px, weight);
      pango_layout_get_pixel_size (layout, &width, NULL);
      if (width > MOST_NAME * px)
        {
          pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_MIDDLE);
          pango_layout_set_width (layout, (int) (MOST_NAME * px * PANGO_SCALE));
        }
      g_hash_table_insert (paint->layouts, g_steal_pointer (&key), layout);
    }
  return layout;
}

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
view_bounds (const BlPhotoPaint *paint, GArray *points, graphene_rect_t *box)
{
  double x0 = INFINITY, y0 = INFINITY, x1 = -INFINITY, y1 = -INFINITY;

  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double x, y;
      bl_viewport_to_view (paint->viewport, g_array_index (points, double, i),
                           g_array_index (points, double, i + 1), &x, &y);
      x0 = MIN (x0, x);
      y0 = MIN (y0, y);
      x1 = MAX (x1, x);
      y1 = MAX (y1, y);
    }
  graphene_rect_init (box, (float) x0, (float) y0, (float) (x1 - x0), (float) (y1 - y0));
}

/* Size of a chip with this text. */
static void
chip_size (const BlPhotoPaint *paint, const char *text, double px, double *width, double *height)
{
  int w, h;

  pango_layout_get_pixel_size (cached_layout (paint, text, px, 700), &w, &h);
  *width = w + 8 * paint->scale;
  *height = MAX (h, 15 * paint->scale);
}

static void
draw_chip (const BlPhotoPaint *paint, cairo_t *cr, const char *text, double px,
           const graphene_rect_t *box, const BlColour *ground, const BlColour *ink)
{
  bl_set_source (cr, ground);
  cairo_rectangle (cr, box->origin.x, box->origin.y, box->size.width, box->size.height);
  cairo_fill (cr);
  bl_style_show (cr, cached_layout (paint, text, px, 700), ink, box->origin.x + box->size.width / 2,
                 box->origin.y + box->size.height / 2, 0.5);
}

/* How many points a box would cover. */
static guint
covered (const BlPhotoPaint *paint, const graphene_rect_t *box)
{
  guint n = 0;

  for (guint i = 0; paint->items != NULL && i < paint->items->len; i++)
    {
      const BlPhotoItem *item = g_ptr_array_index (paint->items, i);
      double x, y, r = 7 * paint->scale;
      bl_viewport_to_view (paint->viewport, item->x, item->y, &x, &y);
      n += x > box->origin.x - r && x < box->origin.x + box->size.width + r && y > box->origin.y - r
           && y < box->origin.y + box->size.height + r;
    }
  return n;
}

/* The tab stands on the outline's top left; elsewhere on it where it would cover points there. */
static void
place_tab (const BlPhotoPaint *paint, const graphene_rect_t *bounds, double w, double h, graphene_rect_t *box)
{
  double left = bounds->origin.x - 3, right = bounds->origin.x + bounds->size.width + 3 - w;
  double above = bounds->origin.y - h + 1, below = bounds->origin.y + bounds->size.height - 1;
  const double places[][2] = { { left, above }, { right, above }, { left, below }, { right, below },
                               { left, above - h }, { left, below + h } };
  guint least = G_MAXUINT;

  for (guint i = 0; i < G_N_ELEMENTS (places); i++)
    {
      graphene_rect_t at;
      double x = CLAMP (places[i][0], 2, MAX (2, paint->viewport->view_w - w - 2));
      double y = CLAMP (places[i][1], 2, MAX (2, paint->viewport->view_h - h - 2));
      graphene_rect_init (&at, (float) round (x), (float) round (y), (float) w, (float) h);
      guint n = covered (paint, &at);
      if (n < least)
        {
          least = n;
          *box = at;
        }
    }
}

gboolean
bl_photo_paint_name_box (const BlPhotoPaint *paint, const BlPhotoOutline *outline, graphene_rect_t *box)
{
  gboolean likely = outline->kind == BL_PHOTO_LIKELY;
  double px = likely ? 13 * paint->scale : 12 * paint->scale, w, h, x, y;
  graphene_rect_t bounds;

  if (outline->name == NULL || outline->points == NULL || outline->points->len < 6)
    return FALSE;
  view_bounds (paint, outline->points, &bounds);
  chip_size (paint, outline->name, px, &w, &h);
  if (likely)
    {
      h += 6 * paint->scale;
      w += 6 * paint->scale;
      place_tab (paint, &bounds, w, h, box);
      return TRUE;
    }
  x = bounds.origin.x + bounds.size.width / 2 - w / 2;
  y = bounds.origin.y - h / 2;
  x = CLAMP (x, 2, MAX (2, paint->viewport->view_w - w - 2));
  y = CLAMP (y, 2, MAX (2, paint->viewport->view_h - h - 2));
  graphene_rect_init (box, (float) round (x), (float) round (y), (float) w, (float) h);
  return bounds.origin.x < paint->viewport->view_w && bounds.origin.y < paint->viewport->view_h
         && bounds.origin.x + bounds.size.width > 0 && bounds.origin.y + bounds.size.height > 0;
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
  if (outline->kind == BL_PHOTO_LIKELY)
    stroke_cased (cr, &dark->likely, 4 * s, 8 * s, NULL, 0);
  else if (outline->kind == BL_PHOTO_SECTION)
    stroke_cased (cr, &white, outline->selected ? 2.5 : 1.5, 3.5, dashes, outline->selected ? 0 : 2);
  else
    stroke_cased (cr, &white, outline->selected ? 2 : 1, outline->selected ? 4 : 2.5, NULL, 0);
  if (outline->selected)
    draw_corners (paint, cr, outline->points);
}

static void
draw_outline_name (const BlPhotoPaint *paint, cairo_t *cr, const BlPhotoOutline *outline)
{
  const BlPalette *dark = bl_palette_get (TRUE);
  graphene_rect_t box;

  if (!bl_photo_paint_name_box (paint, outline, &box))
    return;
  if (outline->kind == BL_PHOTO_LIKELY)
    {
      bl_set_source (cr, &dark->chip);
      cairo_rectangle (cr, box.origin.x - 2, box.origin.y - 2, box.size.width + 4, box.size.height + 2);
      cairo_fill (cr);
      draw_chip (paint, cr, outline->name, 13 * paint->scale, &box, &dark->likely, &dark->likely_ink);
    }
  else
    draw_chip (paint, cr, outline->name, 12 * paint->scale, &box, &dark->chip, &dark->chip_ink);
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
    case BL_PHOTO_COMPONENT:
      draw_part (cr, x, y, s);
      if (item->in_hand)
        draw_brackets (cr, x, y, s);
      break;
    }
}

static gboolean
collides (GArray *boxes, const graphene_rect_t *box, gsize own)
{
  for (guint i = 0; i < boxes->len; i++)
    if (i != own && graphene_rect_intersection (&g_array_index (boxes, graphene_rect_t, i), box, NULL))
      return TRUE;
  return FALSE;
}

/* Finds room for the name of the item at (x, y): right, left, below, above; FALSE: there is none. */
static gboolean
place_name (const BlPhotoPaint *paint, const BlPhotoItem *item, double x, double y, GArray *boxes,
            gsize own, graphene_rect_t *box)
{
  double s = paint->scale, w, h, gap = (item->in_hand ? 24 : 12) * s;
  double px = (item->in_hand ? 13 : 11.5) * s;

  chip_size (paint, item->name, px, &w, &h);
  const double places[][2] = {
    { x + gap, y - h / 2 },     { x - gap - w, y - h / 2 },  { x - w / 2, y + gap },
    { x - w / 2, y - gap - h }, { x + gap, y + 4 * s },      { x + gap, y - h - 4 * s },
    { x - gap - w, y + 4 * s }, { x - gap - w, y - h - 4 * s },
  };
  /* The name of the point in hand stands below its brackets, as in the list it stands alone. */
  static const int order[2][8] = { { 0, 1, 2, 3, 4, 5, 6, 7 }, { 2, 0, 1, 3, 4, 5, 6, 7 } };

  for (guint i = 0; i < G_N_ELEMENTS (places); i++)
    {
      const double *p = places[order[item->in_hand][i]];
      graphene_rect_init (box, (float) round (p[0]), (float) round (p[1]), (float) w, (float) h);
      if (box->origin.x < 0 || box->origin.y < 0 || box->origin.x + w > paint->viewport->view_w
          || box->origin.y + h > paint->viewport->view_h)
        continue;
      if (!collides (boxes, box, own))
        return TRUE;
    }
  graphene_rect_init (box, (float) round (places[0][0]), (float) round (places[0][1]), (float) w, (float) h);
  return item->in_hand || hypot (x - paint->pointer_x, y - paint->pointer_y) < NEAR_POINTER;
}

static void
draw_names (const BlPhotoPaint *paint, cairo_t *cr, const double *at, GArray *boxes)
{
  const BlPalette *dark = bl_palette_get (TRUE);

  /* The point in hand chooses its place first, then the rest in order. */
  for (int round = 0; round < 2; round++)
    for (guint i = 0; i < paint->items->len; i++)
      {
        const BlPhotoItem *item = g_ptr_array_index (paint->items, i);
        graphene_rect_t box;
        if (item->name == NULL || item->in_hand != (round == 0) || isnan (at[2 * i]))
          continue;
        if (item->quiet && !item->in_hand
            && !(hypot (at[2 * i] - paint->pointer_x, at[2 * i + 1] - paint->pointer_y) < NEAR_POINTER))
          continue;
        if (!place_name (paint, item, at[2 * i], at[2 * i + 1], boxes, i, &box))
          continue;
        g_array_append_val (boxes, box);
        draw_chip (paint, cr, item->name, (item->in_hand ? 13 : 11.5) * paint->scale, &box,
                   item->in_hand ? &white : &dark->chip, item->in_hand ? &dark->chip : &dark->chip_ink);
      }
}

static void
draw_items (const BlPhotoPaint *paint, cairo_t *cr)
{
  guint n = paint->items->len;
  g_autofree double *at = g_new (double, 2 * n + 1);
  g_autoptr (GArray) boxes = g_array_new (FALSE, FALSE, sizeof (graphene_rect_t));
  double margin = 40 * paint->scale;

  for (guint i = 0; i < n; i++)
    {
      const BlPhotoItem *item = g_ptr_array_index (paint->items, i);
      double r = (item->in_hand ? 17 : 9) * paint->scale, x, y;
      graphene_rect_t box = GRAPHENE_RECT_INIT (-1e6f, -1e6f, 0, 0);
      bl_viewport_to_view (paint->viewport, item->x, item->y, &x, &y);
      if (x < -margin || y < -margin || x > paint->viewport->view_w + margin
          || y > paint->viewport->view_h + margin)
        x = NAN;
      else
        graphene_rect_init (&box, (float) (x - r), (float) (y - r), (float) (2 * r), (float) (2 * r));
      at[2 * i] = x;
      at[2 * i + 1] = y;
      g_array_append_val (boxes, box);
    }
  for (guint i = 0; paint->outlines != NULL && i < paint->outlines->len; i++)
    {
      graphene_rect_t box;
      if (bl_photo_paint_name_box (paint, g_ptr_array_index (paint->outlines, i), &box))
        g_array_append_val (boxes, box);
    }
  for (guint i = 0; i < n; i++)
    if (!isnan (at[2 * i]))
      draw_item (paint, cr, g_ptr_array_index (paint->items, i), at[2 * i], at[2 * i + 1]);
  draw_names (paint, cr, at, boxes);
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
  for (guint i = 0; paint->outlines != NULL && i < paint->outlines->len; i++)
    draw_outline_name (paint, cr, g_ptr_array_index (paint->outlines, i));
  if (paint->items != NULL)
    draw_items (paint, cr);
  if (paint->draft != NULL && paint->draft->len > 0)
    {
      cairo_new_path (cr);
      path_of (paint, cr, paint->draft, FALSE);
      stroke_cased (cr, &white, 2, 4, NULL, 0);
      draw_corners (paint, cr, paint->draft);
    }
}
