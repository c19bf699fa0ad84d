/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The silk screen: an outline and a designator for every part, pin 1 and polarity marks, the
 * layout's own texts and lines. A designator looks for the first free place around its part:
 * never over a body, a land, a hole or another designator. */
#include "config.h"

#include "draw-camera.h"
#include "draw-copper.h"

#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

typedef struct
{
  double l, t, r, b;
} Box;

/* Text about its middle, `size` mm high capitals. */
void
draw_text (cairo_t *cr, double x, double y, double size, double degrees, const char *text)
{
  g_autoptr (PangoLayout) layout = NULL;
  g_autoptr (PangoFontDescription) font = pango_font_description_from_string ("Sans");
  PangoRectangle ink;

  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_rotate (cr, degrees * G_PI / 180);
  layout = pango_cairo_create_layout (cr);
  pango_font_description_set_absolute_size (font, 100 * PANGO_SCALE);
  pango_layout_set_font_description (layout, font);
  pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  pango_layout_set_text (layout, text, -1);
  pango_layout_get_pixel_extents (layout, &ink, NULL);
  cairo_scale (cr, size / 73, size / 73);
  cairo_translate (cr, -ink.x - ink.width / 2.0, -ink.y - ink.height / 2.0);
  pango_cairo_show_layout (cr, layout);
  cairo_restore (cr);
}

static gboolean
meets (const Box *a, const Box *b)
{
  return a->l < b->r && b->l < a->r && a->t < b->b && b->t < a->b;
}

static void
taken (GArray *boxes, double l, double t, double r, double b)
{
  Box box = { l, t, r, b };

  g_array_append_val (boxes, box);
}

static void
take_stroke (GArray *boxes, const DrawShape *s)
{
  for (guint k = 1; k < s->points->len; k++)
    {
      DrawPoint a = g_array_index (s->points, DrawPoint, k - 1);
      DrawPoint b = g_array_index (s->points, DrawPoint, k);
      double w = s->width / 2 + 0.2;

      taken (boxes, MIN (a.x, b.x) - w, MIN (a.y, b.y) - w, MAX (a.x, b.x) + w, MAX (a.y, b.y) + w);
    }
}

/* About the room a text takes; the layout's own texts are upright. */
static void
take_text (GArray *boxes, const DrawShape *s, gboolean back)
{
  DrawPoint p = g_array_index (s->points, DrawPoint, 0);
  g_auto (GStrv) lines = g_strsplit (s->text, "\n", -1);
  gsize longest = 0, n = 0;
  double w, h;

  for (; lines[n]; n++)
    longest = MAX (longest, strlen (lines[n]));
  w = 0.42 * s->width * (double) longest;
  h = 0.8 * s->width * (double) n;
  if (s->back == back)
    taken (boxes, p.x - w, p.y - h, p.x + w, p.y + h);
}

/* A part's box and what of the board its leaning top hides from the lens. */
static void
seen_box (const DrawLayout *layout, const DrawPart *p, double grow, double box[4])
{
  double lean = p->package->top * 1.15 / DRAW_LENS_HEIGHT;
  double dx, dy;

  draw_part_box (p, grow, box);
  dx = ((box[0] + box[2]) / 2 - layout->w / 2) * lean;
  dy = ((box[1] + box[3]) / 2 - layout->h / 2) * lean;
  if (dx < 0)
    box[0] += dx;
  else
    box[2] += dx;
  if (dy < 0)
    box[1] += dy;
  else
    box[3] += dy;
}

/* Everything ink must not cross on this side, board mm as seen from the front. */
static GArray *
obstacles (const DrawLayout *layout, gboolean back)
{
  GArray *boxes = g_array_new (FALSE, FALSE, sizeof (Box));

  for (guint i = 0; i < layout->parts->len; i++)
    {
      const DrawPart *p = layout->parts->pdata[i];
      double box[4];

      seen_box (layout, p, 0.3, box);
      if (p->back == back)
        taken (boxes, box[0], box[1], box[2], box[3]);
    }
  for (guint i = 0; i < layout->texts->len; i++)
    take_text (boxes, layout->texts->pdata[i], back);
  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);
      double r = MAX (l->pad.w, l->pad.h) / 2 + 0.25;

      if (l->pad.through || l->back == back)
        taken (boxes, l->x - r, l->y - r, l->x + r, l->y + r);
      if (l->probed && !back && l->pad.through)
        taken (boxes, l->probe_x - 1.2, l->probe_y - 1.2, l->probe_x + 1.2, l->probe_y + 1.2);
    }
  for (guint i = 0; i < layout->slots->len; i++)
    take_stroke (boxes, layout->slots->pdata[i]);
  for (guint i = 0; i < layout->lines->len; i++)
    if (((DrawShape *) layout->lines->pdata[i])->back == back)
      take_stroke (boxes, layout->lines->pdata[i]);
  for (guint i = 0; i < layout->labels->len; i++)
    {
      const DrawShape *s = layout->labels->pdata[i];
      DrawPoint p = g_array_index (s->points, DrawPoint, 0);

      if (s->back == back)
        taken (boxes, p.x - s->width / 2, p.y - s->height / 2, p.x + s->width / 2,
               p.y + s->height / 2);
    }
  for (guint i = 0; i < layout->holes->len; i++)
    {
      const DrawPoint *hole = (const DrawPoint *) (gpointer) layout->holes->data + 2 * i;

      taken (boxes, hole->x - 3.5, hole->y - 3.5, hole->x + 3.5, hole->y + 3.5);
    }
  return boxes;
}

static gboolean
is_free (const DrawLayout *layout, const GArray *boxes, const Box *box)
{
  if (box->l < 0.8 || box->t < 0.8 || box->r > layout->w - 0.8 || box->b > layout->h - 0.8)
    return FALSE;
  for (guint k = 0; k < boxes->len; k++)
    if (meets (box, &g_array_index (boxes, Box, k)))
      return FALSE;
  return TRUE;
}

/* Above, below, left, right of the box, then slid along its sides: shadows fall to the lower right,
 * so the upper left reads best. */
static gboolean
find_place (const DrawLayout *layout,
            const DrawPart *part,
            GArray *boxes,
            double size,
            double *x,
            double *y)
{
  static const double slide[] = { 0, -0.5, 0.5, -1, 1 };
  double box[4], w = 0.72 * size * (double) strlen (part->id) / 2, h = size / 2;

  seen_box (layout, part, 0.5, box);
  for (double away = 0.35; away < 3; away += 0.6)
    for (gsize s = 0; s < G_N_ELEMENTS (slide); s++)
      for (int side = 0; side < 4; side++)
        {
          double half_w = (box[2] - box[0]) / 2, half_h = (box[3] - box[1]) / 2;
          double cx = (box[0] + box[2]) / 2, cy = (box[1] + box[3]) / 2;
          Box at;

          if (side < 2)
            {
              cx += slide[s] * MAX (0, half_w - w * 0.5);
              cy += (side ? 1 : -1) * (half_h + h + away);
            }
          else
            {
              cx += (side == 2 ? -1 : 1) * (half_w + w + away);
              cy += slide[s] * MAX (0, half_h - h * 0.5);
            }
          at = (Box){ cx - w, cy - h, cx + w, cy + h };
          if (!is_free (layout, boxes, &at))
            continue;
          g_array_append_val (boxes, at);
          *x = cx, *y = cy;
          return TRUE;
        }
  return FALSE;
}

static void
designate (cairo_t *cr,
           const DrawLayout *layout,
           const DrawPart *part,
           GArray *boxes,
           gboolean back)
{
  double big = part->package->w > 9 ? 1.9 : 1.5, x = 0, y = 0;
  double size = big;

  if (part->label_set)
    x = part->x + part->label_u, y = part->y + part->label_v;
  else if (!find_place (layout, part, boxes, big, &x, &y))
    {
      size = 1.2;
      if (!find_place (layout, part, boxes, size, &x, &y))
        {
          g_printerr ("%s: no room for its designator\n", part->id);
          return;
        }
    }
  draw_text (cr, back ? layout->w - x : x, y, size, 0, part->id);
}

/* Outline just outside the body, broken at the lands. */
static void
outline (cairo_t *cr, const DrawPart *part, double board_w, gboolean back)
{
  const DrawPackage *p = part->package;
  DrawFrame f = draw_part_frame (part, board_w, back);
  double w = p->w / 2 + 0.3, h = p->h / 2 + 0.3;

  cairo_save (cr);
  cairo_translate (cr, f.x, f.y);
  cairo_rotate (cr, atan2 (f.s, f.c));
  if (f.mirror)
    cairo_scale (cr, -1, 1);
  cairo_set_line_width (cr, 0.2);
  if (p->round)
    cairo_arc (cr, 0, 0, w, 0, 2 * G_PI);
  else
    cairo_rectangle (cr, -w, -h, 2 * w, 2 * h);
  cairo_stroke (cr);
  if (p->lands == LANDS_DUAL || p->lands == LANDS_QUAD) /* pin 1 */
    {
      DrawPad pads[DRAW_MAX_PADS];
      double u, v;

      draw_package_pads (p, pads);
      u = pads[0].u - (fabs (pads[0].u) > p->w / 2 ? 0 : 1.1);
      v = pads[0].v - (fabs (pads[0].u) > p->w / 2 ? 1.15 : 0);
      cairo_arc (cr, u, v, 0.3, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  if (p->paint == draw_can) /* plus */
    {
      double u = -p->w / 2 - 0.2, v = -p->w / 2 + 0.6, s = 0.6;

      cairo_move_to (cr, u - s, v), cairo_line_to (cr, u + s, v);
      cairo_move_to (cr, u, v - s), cairo_line_to (cr, u, v + s);
      cairo_stroke (cr);
    }
  if (p->paint == draw_diode || p->paint == draw_glass_diode)
    {
      cairo_set_line_width (cr, 0.35);
      cairo_move_to (cr, p->w / 2 + 0.75, -h), cairo_line_to (cr, p->w / 2 + 0.75, h);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}

/* Solder mask openings take no ink. */
static void
keep_lands_clean (cairo_t *cr, const DrawLayout *layout, gboolean back)
{
  cairo_set_operator (cr, CAIRO_OPERATOR_CLEAR);
  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);
      double a = l->turn * G_PI / 180, w = l->pad.w / 2 + 0.18, h = l->pad.h / 2 + 0.18;
      double x = back ? layout->w - l->x : l->x;

      if (!l->pad.through && l->back != back)
        continue;
      cairo_save (cr);
      cairo_translate (cr, x, l->y);
      cairo_rotate (cr, back ? -a : a);
      cairo_rectangle (cr, -w, -h, 2 * w, 2 * h);
      cairo_restore (cr);
      cairo_fill (cr);
      if (l->probed && !back && l->pad.through)
        {
          cairo_arc (cr, l->probe_x, l->probe_y, 1.0, 0, 2 * G_PI);
          cairo_fill (cr);
        }
    }
  cairo_set_operator (cr, CAIRO_OPERATOR_OVER);
}

static void
own_shapes (cairo_t *cr, const DrawLayout *layout, gboolean back)
{
  for (guint i = 0; i < layout->texts->len; i++)
    {
      const DrawShape *s = layout->texts->pdata[i];
      DrawPoint p = g_array_index (s->points, DrawPoint, 0);

      if (s->back == back)
        draw_text (cr, back ? layout->w - p.x : p.x, p.y, s->width, s->turn, s->text);
    }
  for (guint i = 0; i < layout->lines->len; i++)
    {
      const DrawShape *s = layout->lines->pdata[i];

      if (s->back != back)
        continue;
      cairo_set_line_width (cr, s->width);
      for (guint k = 0; k < s->points->len; k++)
        {
          DrawPoint p = g_array_index (s->points, DrawPoint, k);

          cairo_line_to (cr, back ? layout->w - p.x : p.x, p.y);
        }
      cairo_stroke (cr);
    }
}

static void
slot_frames (cairo_t *cr, const DrawLayout *layout, gboolean back)
{
  cairo_set_line_width (cr, 0.2);
  for (guint i = 0; i < layout->slots->len; i++)
    {
      const DrawShape *s = layout->slots->pdata[i];
      DrawPoint a = g_array_index (s->points, DrawPoint, 0);
      DrawPoint b = g_array_index (s->points, DrawPoint, s->points->len - 1);
      double x = back ? layout->w - a.x : a.x, r = s->width / 2 + 0.5;

      cairo_new_sub_path (cr);
      cairo_arc (cr, x, a.y, r, G_PI, 2 * G_PI);
      cairo_arc (cr, x, b.y, r, 0, G_PI);
      cairo_close_path (cr);
      cairo_stroke (cr);
    }
}

/* Ink of one side, drawn as it is read on that side. */
void
draw_silk (cairo_surface_t *ink, const DrawLayout *layout, const DrawField *field, gboolean back)
{
  cairo_t *cr = draw_board_context (ink, field, FALSE);
  g_autoptr (GArray) boxes = obstacles (layout, back);

  for (guint i = 0; i < layout->parts->len; i++)
    {
      const DrawPart *part = layout->parts->pdata[i];

      if (part->back == back && part->package->paint != draw_lead_sensor)
        outline (cr, part, layout->w, back);
    }
  keep_lands_clean (cr, layout, back);
  own_shapes (cr, layout, back);
  slot_frames (cr, layout, back);
  for (guint i = 0; i < layout->parts->len; i++)
    {
      const DrawPart *part = layout->parts->pdata[i];

      if (part->back == back && part->package->paint != draw_lead_sensor)
        designate (cr, layout, part, boxes, back);
    }
  cairo_destroy (cr);
}
