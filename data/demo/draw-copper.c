/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The flat art of a board side as coverage masks: copper with its pours pulled back from foreign
 * nets, openings of the solder mask, holes. The silk screen is in draw-silk.c. */
#include "config.h"

#include "draw-copper.h"

#include <math.h>

static const double pour_gap = 0.55; /* mm between a pour and a foreign net */

cairo_t *
draw_board_context (cairo_surface_t *surface, const DrawField *field, gboolean mirror)
{
  cairo_t *cr = cairo_create (surface);

  cairo_scale (cr, field->scale, field->scale);
  cairo_translate (cr, field->margin, field->margin);
  if (mirror)
    {
      cairo_translate (cr, field->board_w, 0);
      cairo_scale (cr, -1, 1);
    }
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  return cr;
}

static void
path (cairo_t *cr, const GArray *points)
{
  for (guint k = 0; k < points->len; k++)
    {
      DrawPoint p = g_array_index (points, DrawPoint, k);

      if (k == 0)
        cairo_move_to (cr, p.x, p.y);
      else
        cairo_line_to (cr, p.x, p.y);
    }
}

static void
land_path (cairo_t *cr, const DrawLandAt *l, double grow)
{
  double w = l->pad.w / 2 + grow, h = l->pad.h / 2 + grow;
  double r = l->pad.through ? MIN (w, h) : 0.12 + MAX (0, grow);
  gboolean square = l->pad.through && l->pad.name[0] == '1' && !l->pad.name[1];

  if (square)
    r = 0.25;
  cairo_save (cr);
  cairo_translate (cr, l->x, l->y);
  cairo_rotate (cr, l->turn * G_PI / 180);
  cairo_new_sub_path (cr);
  cairo_arc (cr, w - r, -h + r, r, -G_PI / 2, 0);
  cairo_arc (cr, w - r, h - r, r, 0, G_PI / 2);
  cairo_arc (cr, -w + r, h - r, r, G_PI / 2, G_PI);
  cairo_arc (cr, -w + r, -h + r, r, G_PI, 1.5 * G_PI);
  cairo_close_path (cr);
  cairo_restore (cr);
  cairo_fill (cr);
}

static gboolean
on_side (const DrawLandAt *l, gboolean back)
{
  return l->pad.through || l->back == back;
}

static gboolean
has_spot (const DrawLandAt *l, gboolean back)
{
  return l->probed && !back && l->pad.through && l->pad.probe_z < 1 &&
         hypot (l->probe_x - l->x, l->probe_y - l->y) > 0.1;
}

static void
spot_path (cairo_t *cr, const DrawLandAt *l, double grow, gboolean stub)
{
  if (stub)
    {
      cairo_set_line_width (cr, 1.0 + 2 * grow);
      cairo_move_to (cr, l->x, l->y);
      cairo_line_to (cr, l->probe_x, l->probe_y);
      cairo_stroke (cr);
    }
  cairo_arc (cr, l->probe_x, l->probe_y, 0.85 + grow, 0, 2 * G_PI);
  cairo_fill (cr);
}

static void
hatch (cairo_t *cr, const DrawLayout *layout)
{
  cairo_set_line_width (cr, 0.55);
  for (double t = -layout->h; t < layout->w; t += 1.8)
    {
      cairo_move_to (cr, t, 0);
      cairo_line_to (cr, t + layout->h, layout->h);
      cairo_move_to (cr, t + layout->h, 0);
      cairo_line_to (cr, t, layout->h);
    }
  cairo_stroke (cr);
}

static void
pour (cairo_t *cr, const DrawLayout *layout, const DrawShape *s)
{
  cairo_save (cr);
  path (cr, s->points);
  cairo_close_path (cr);
  if (s->hatched)
    {
      cairo_clip_preserve (cr);
      cairo_set_line_width (cr, 1.6);
      cairo_stroke (cr);
      hatch (cr, layout);
    }
  else
    cairo_fill (cr);
  cairo_restore (cr);
}

/* Takes the pour away around everything of another net, and a ring around its own lands. */
static void
pull_back (cairo_t *cr,
           const DrawLayout *layout,
           const DrawRoute *route,
           const DrawShape *pour,
           gboolean back)
{
  int net = pour->net;

  cairo_set_operator (cr, CAIRO_OPERATOR_CLEAR);
  for (guint i = 0; i < route->tracks->len; i++)
    {
      const DrawTrack *t = route->tracks->pdata[i];

      if (t->back != back || t->net == net)
        continue;
      cairo_set_line_width (cr, t->width + 2 * pour_gap);
      path (cr, t->points);
      cairo_stroke (cr);
    }
  for (guint i = 0; i < route->vias->len; i++)
    {
      DrawPoint p = g_array_index (route->vias, DrawPoint, i);

      cairo_arc (cr, p.x, p.y, 0.5 + pour_gap, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);

      if (!on_side (l, back) || (l->net == net && pour->routed))
        continue;
      land_path (cr, l, l->net == net ? 0.4 : pour_gap);
      if (has_spot (l, back) && l->net != net)
        spot_path (cr, l, pour_gap, TRUE);
    }
  for (guint i = 0; i < layout->gaps->len; i++)
    {
      const DrawShape *s = layout->gaps->pdata[i];

      cairo_set_line_width (cr, s->width);
      path (cr, s->points);
      cairo_stroke (cr);
    }
  for (guint i = 0; i < layout->holes->len; i++)
    {
      const DrawPoint *hole = (const DrawPoint *) (gpointer) layout->holes->data + 2 * i;

      cairo_arc (cr, hole[0].x, hole[0].y, hole[1].x / 2 + 2.2, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  cairo_set_operator (cr, CAIRO_OPERATOR_OVER);
}

/* Four spokes tie a land to its pour. */
static void
spokes (cairo_t *cr, const DrawLayout *layout, int net, gboolean back)
{
  cairo_set_line_width (cr, 0.5);
  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);
      double a = l->turn * G_PI / 180, u = l->pad.w / 2 + 0.7, v = l->pad.h / 2 + 0.7;

      if (l->net != net || !on_side (l, back))
        continue;
      cairo_move_to (cr, l->x - u * cos (a), l->y - u * sin (a));
      cairo_line_to (cr, l->x + u * cos (a), l->y + u * sin (a));
      cairo_move_to (cr, l->x + v * sin (a), l->y - v * cos (a));
      cairo_line_to (cr, l->x - v * sin (a), l->y + v * cos (a));
      cairo_stroke (cr);
    }
}

static void
copper (cairo_surface_t *surface,
        const DrawLayout *layout,
        const DrawRoute *route,
        const DrawField *field,
        gboolean mirror,
        gboolean back)
{
  cairo_t *cr = draw_board_context (surface, field, mirror);

  for (guint i = 0; i < layout->pours->len; i++)
    {
      const DrawShape *s = layout->pours->pdata[i];

      if (s->back != back)
        continue;
      cairo_push_group_with_content (cr, CAIRO_CONTENT_ALPHA);
      pour (cr, layout, s);
      pull_back (cr, layout, route, s, back);
      cairo_pop_group_to_source (cr);
      cairo_paint (cr);
      cairo_set_source_rgb (cr, 0, 0, 0);
    }
  for (guint i = 0; i < layout->pours->len; i++)
    {
      const DrawShape *s = layout->pours->pdata[i];

      if (s->back == back && !s->routed)
        spokes (cr, layout, s->net, back);
    }
  for (guint i = 0; i < route->tracks->len; i++)
    {
      const DrawTrack *t = route->tracks->pdata[i];

      if (t->back != back)
        continue;
      cairo_set_line_width (cr, t->width);
      path (cr, t->points);
      cairo_stroke (cr);
    }
  for (guint i = 0; i < route->vias->len; i++)
    {
      DrawPoint p = g_array_index (route->vias, DrawPoint, i);

      cairo_arc (cr, p.x, p.y, 0.5, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  for (guint i = 0; i < layout->fiducials->len && !back; i++)
    {
      DrawPoint p = g_array_index (layout->fiducials, DrawPoint, i);

      cairo_arc (cr, p.x, p.y, 0.5, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);

      if (!on_side (l, back))
        continue;
      land_path (cr, l, 0);
      if (has_spot (l, back))
        spot_path (cr, l, 0, TRUE);
    }
  cairo_destroy (cr);
}

static void
bare (cairo_surface_t *surface, const DrawLayout *layout, const DrawField *field, gboolean back)
{
  cairo_t *cr = draw_board_context (surface, field, back);

  for (guint i = 0; i < layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, i);

      if (!on_side (l, back))
        continue;
      land_path (cr, l, 0.02);
      if (has_spot (l, back))
        spot_path (cr, l, 0, FALSE);
    }
  for (guint i = 0; i < layout->fiducials->len && !back; i++)
    {
      DrawPoint p = g_array_index (layout->fiducials, DrawPoint, i);

      cairo_arc (cr, p.x, p.y, 1.1, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  for (guint i = 0; i < layout->holes->len; i++)
    {
      const DrawPoint *hole = (const DrawPoint *) (gpointer) layout->holes->data + 2 * i;

      cairo_arc (cr, hole[0].x, hole[0].y, hole[1].x / 2 + 1.5, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  cairo_destroy (cr);
}

static void
cut (cairo_surface_t *surface, const DrawLayout *layout, const DrawField *field, gboolean back)
{
  cairo_t *cr = draw_board_context (surface, field, back);

  for (guint i = 0; i < layout->holes->len; i++)
    {
      const DrawPoint *hole = (const DrawPoint *) (gpointer) layout->holes->data + 2 * i;

      cairo_arc (cr, hole[0].x, hole[0].y, hole[1].x / 2, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  for (guint i = 0; i < layout->slots->len; i++)
    {
      const DrawShape *s = layout->slots->pdata[i];

      cairo_set_line_width (cr, s->width);
      path (cr, s->points);
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

void
draw_masks_make (DrawMasks *self,
                 const DrawLayout *layout,
                 const DrawRoute *route,
                 const DrawField *field,
                 gboolean back)
{
  cairo_surface_t **all[] = { &self->copper, &self->other, &self->bare, &self->ink, &self->cut };

  for (gsize k = 0; k < G_N_ELEMENTS (all); k++)
    *all[k] = cairo_image_surface_create (CAIRO_FORMAT_A8, field->w, field->h);
  copper (self->copper, layout, route, field, back, back);
  copper (self->other, layout, route, field, back, !back);
  bare (self->bare, layout, field, back);
  draw_silk (self->ink, layout, field, back);
  cut (self->cut, layout, field, back);
  for (gsize k = 0; k < G_N_ELEMENTS (all); k++)
    cairo_surface_flush (*all[k]);
}

void
draw_masks_clear (DrawMasks *self)
{
  g_clear_pointer (&self->copper, cairo_surface_destroy);
  g_clear_pointer (&self->other, cairo_surface_destroy);
  g_clear_pointer (&self->bare, cairo_surface_destroy);
  g_clear_pointer (&self->ink, cairo_surface_destroy);
  g_clear_pointer (&self->cut, cairo_surface_destroy);
}
