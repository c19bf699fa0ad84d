/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Puts one side of a board together: bench mat, laminate with its masks, lands and joints, parts,
 * the print on the parts, traces of a life (scratches, flux, a burnt spot). */
#include "config.h"

#include "draw-scene.h"

#include <math.h>

static const double mat_level = -9; /* the board lies on its spacers */

static DrawSkin
mixed (DrawSkin a, DrawSkin b, double t, DrawMaterial material)
{
  return (DrawSkin){ (guint8) (a.r + (b.r - a.r) * t), (guint8) (a.g + (b.g - a.g) * t),
                     (guint8) (a.b + (b.b - a.b) * t), material };
}

static void
lay_mat (DrawField *f, guint32 rgb, guint seed)
{
  DrawSkin mat = draw_skin (rgb, DRAW_MAT), dark = draw_skin (0x101214, DRAW_MAT);
  DrawSkin line = draw_skin (0xa8acae, DRAW_MAT);

  for (int j = 0; j < f->h; j++)
    for (int i = 0; i < f->w; i++)
      {
        gsize at = (gsize) j * f->w + i;
        double x = i / f->scale, y = j / f->scale;
        double worn = draw_noise (x * 0.05, y * 0.05, seed) * 0.25 +
                      draw_noise (x * 0.6, y * 0.6, seed + 1) * 0.12;
        double gx = fabs (fmod (x + 7, 25) - 12.5), gy = fabs (fmod (y + 3, 25) - 12.5);
        double ruled = MIN (gx, gy) < 0.18 ? 0.34 * draw_noise (x, y, seed + 2) : 0;

        f->z[at] = (float) (mat_level + 0.05 * draw_noise (x * 2.2, y * 2.2, seed + 3));
        f->skin[at] = mixed (mixed (mat, dark, worn, DRAW_MAT), line, ruled, DRAW_MAT);
      }
}

/* Distance inside the board's edge with its rounded corners. */
static double
inside (const DrawField *f, double x, double y)
{
  double r = 2.0, dx = fabs (x - f->board_w / 2) - f->board_w / 2 + r;
  double dy = fabs (y - f->board_h / 2) - f->board_h / 2 + r;

  return dx > 0 && dy > 0 ? r - hypot (dx, dy) : r - MAX (dx, dy);
}

static double
cover (cairo_surface_t *s, int i, int j)
{
  return cairo_image_surface_get_data (s)[(gsize) j * cairo_image_surface_get_stride (s) + i] /
         255.0;
}

typedef struct
{
  DrawSkin mask, copper, ink, tin, laminate;
  guint seed;
} Paint;

static void
lay_cell (DrawField *f, const DrawMasks *m, const Paint *p, int i, int j, double depth)
{
  gsize at = (gsize) j * f->w + i;
  double x = i / f->scale, y = j / f->scale;
  double cu = cover (m->copper, i, j), ink = cover (m->ink, i, j), bare = cover (m->bare, i, j);
  double weave = 0.5 + 0.25 * sin (x * 9.5) + 0.25 * sin (y * 9.5);
  double far = cover (m->other, i, j);
  DrawSkin skin = mixed (p->mask, p->copper, cu * 0.86 + far * (1 - cu) * 0.13, DRAW_MASK);
  double z = 0.035 * cu + 0.006 * weave * (1 - cu);

  skin =
      mixed (skin, draw_skin (0x0a0d0c, DRAW_MASK),
             0.10 * draw_noise (x * 0.11, y * 0.11, p->seed) + 0.03 * weave * (1 - cu), DRAW_MASK);
  if (ink > 0.02)
    {
      double worn = 0.80 + 0.14 * draw_noise (x * 3, y * 3, p->seed + 1);

      skin = mixed (skin, p->ink, ink * worn, ink > 0.5 ? DRAW_INK : DRAW_MASK);
      z += 0.012 * ink;
    }
  if (bare > 0.5)
    {
      skin = cu > 0.5 ? p->tin : mixed (p->mask, p->laminate, 0.75, DRAW_LAMINATE);
      z = cu > 0.5 ? 0.06 + 0.02 * draw_noise (x * 1.3, y * 1.3, p->seed + 2) : 0;
    }
  if (depth < 0.22)
    {
      skin = mixed (p->laminate, skin, MAX (0, depth / 0.22 - 0.5), DRAW_LAMINATE);
      z -= 0.05;
    }
  f->skin[at] = skin;
  f->z[at] = (float) z;
}

static void
lay_board (DrawField *f, const DrawLayout *layout, const DrawMasks *m, guint seed)
{
  Paint p = { draw_skin (layout->mask, DRAW_MASK), draw_skin (layout->mask_copper, DRAW_MASK),
              draw_skin (0xdcdcd2, DRAW_INK),      draw_skin (0xc8cac6, DRAW_TIN),
              draw_skin (0xa38f5c, DRAW_LAMINATE), seed };

  for (int j = 0; j < f->h; j++)
    for (int i = 0; i < f->w; i++)
      {
        double x = (i + 0.5) / f->scale - f->margin, y = (j + 0.5) / f->scale - f->margin;
        double depth = inside (f, x, y);

        if (depth < 0 || cover (m->cut, i, j) > 0.5)
          continue;
        lay_cell (f, m, &p, i, j, depth);
      }
}

static void
lay_vias (DrawField *f, const DrawLayout *layout, const DrawRoute *route, gboolean back)
{
  for (guint k = 0; k < route->vias->len; k++)
    {
      DrawPoint p = g_array_index (route->vias, DrawPoint, k);
      int i = (int) (((back ? layout->w - p.x : p.x) + f->margin) * f->scale);
      int j = (int) ((p.y + f->margin) * f->scale), r = (int) (0.2 * f->scale);

      for (int b = -r; b <= r; b++)
        for (int a = -r; a <= r; a++)
          if (a * a + b * b <= r * r)
            {
              gsize at = (gsize) (j + b) * f->w + i + a;

              f->z[at] -= 0.12f;
              f->skin[at] = mixed (f->skin[at], draw_skin (0x080a09, DRAW_MASK), 0.55, DRAW_MASK);
            }
    }
}

static void
lay_joints (DrawField *f, const DrawLayout *layout, gboolean back)
{
  for (guint k = 0; k < layout->lands->len; k++)
    {
      const DrawLandAt *l = &g_array_index (layout->lands, DrawLandAt, k);
      DrawFrame frame =
          draw_frame (back ? layout->w - l->x : l->x, l->y, back ? -l->turn : l->turn, FALSE);
      double r = MIN (l->pad.w, l->pad.h) / 2;

      if (l->pad.through)
        draw_joint (f, &frame, 0, 0, r * 0.94, back ? 0.55 + 0.55 * r : 0.22, MIN (0.55, r * 0.38),
                    k + 7);
      else if (l->back == back)
        draw_ball (f, &frame, 0, 0, r * 0.9, 0.04, 0.1, draw_skin (0xc8cac6, DRAW_TIN));
      if (!back && l->probed && l->pad.through && l->pad.probe_z < 1)
        {
          DrawFrame spot = draw_frame (l->probe_x, l->probe_y, 0, FALSE);

          draw_ball (f, &spot, 0, 0, 0.8, 0.05, 0.16, draw_skin (0xcfd0cc, DRAW_TIN));
        }
    }
}

static void
lay_parts (DrawField *f, const DrawLayout *layout, cairo_t *print, gboolean back)
{
  for (guint k = 0; k < layout->parts->len; k++)
    {
      const DrawPart *part = layout->parts->pdata[k];
      DrawBody body = { f,          print,    part->package,
                        part->mark, part->id, draw_part_frame (part, layout->w, back) };

      if (part->back == back)
        part->package->paint (&body);
    }
}

/* A paper label with bars of a made-up code over its print. */
static void
lay_label (DrawField *f, const DrawLayout *layout, const DrawShape *s, cairo_t *print)
{
  DrawPoint p = g_array_index (s->points, DrawPoint, 0);
  DrawFrame frame = draw_frame (s->back ? layout->w - p.x : p.x, p.y, s->turn, FALSE);
  DrawBody body = { f, print, NULL, "", "", frame };
  double left = -s->width / 2 + 2, u = left;

  draw_block (f, &frame, 0, 0, s->width, s->height, 0.8, 0.16, 0.05,
              draw_skin (0xc9c8c0, DRAW_INK));
  cairo_save (print);
  cairo_translate (print, frame.x, frame.y);
  cairo_rotate (print, atan2 (frame.s, frame.c));
  cairo_set_source_rgb (print, 0.08, 0.08, 0.09);
  for (int k = 0; u < -left - 0.6; k++)
    {
      double bar = 0.2 * (1 + (int) (3 * draw_hash (k, 1, g_str_hash (s->text))));

      cairo_rectangle (print, u, -s->height / 2 + 1.1, bar, s->height * 0.42);
      u += bar + 0.2 * (1 + (int) (2.6 * draw_hash (k, 2, g_str_hash (s->text))));
    }
  cairo_fill (print);
  cairo_restore (print);
  draw_print (&body, 0, s->height * 0.24, MIN (1.5, s->height * 0.18), 0x1c1d1f, 0, s->text);
}

/* Ink printed on the bodies replaces their colour, not their shape. */
static void
lay_print (DrawField *f, cairo_surface_t *print)
{
  int stride = cairo_image_surface_get_stride (print);
  const guint8 *data;

  cairo_surface_flush (print);
  data = cairo_image_surface_get_data (print);
  for (int j = 0; j < f->h; j++)
    {
      const guint32 *row = (const guint32 *) (gconstpointer) (data + (gsize) j * stride);

      for (int i = 0; i < f->w; i++)
        {
          guint32 c = row[i];
          double a = (c >> 24) / 255.0;
          DrawSkin *s = &f->skin[(gsize) j * f->w + i];

          if (a < 0.02)
            continue;
          *s = mixed (*s, draw_skin (c, 0), 0, s->material);
          s->r = (guint8) MIN (255, s->r * (1 - a) + (c >> 16 & 255));
          s->g = (guint8) MIN (255, s->g * (1 - a) + (c >> 8 & 255));
          s->b = (guint8) MIN (255, s->b * (1 - a) + (c & 255));
        }
    }
}

/* A scratch through the gloss of the mask: a thin pale line. */
static void
scratch (DrawField *f, double x, double y, double angle, double length, guint seed)
{
  for (double t = 0; t < length; t += 0.4 / f->scale)
    {
      double bend = 0.6 * sin (t * 0.21 + seed);
      int i = (int) ((x + t * cos (angle) - bend * sin (angle) + f->margin) * f->scale);
      int j = (int) ((y + t * sin (angle) + bend * cos (angle) + f->margin) * f->scale);
      gsize at = (gsize) j * f->w + i;
      double strength = 0.28 * draw_noise (t * 0.5, seed, seed) * sin (G_PI * t / length);

      if (i < 0 || j < 0 || i >= f->w || j >= f->h || f->skin[at].material != DRAW_MASK)
        continue;
      f->skin[at] = mixed (f->skin[at], draw_skin (0xc8d0c8, DRAW_MASK), strength, DRAW_MASK);
      f->z[at] -= 0.012f;
    }
}

static void
lay_scratches (DrawField *f, guint n, guint seed)
{
  for (guint k = 0; k < n; k++)
    scratch (f, f->board_w * draw_hash ((int) k, 1, seed),
             f->board_h * draw_hash ((int) k, 2, seed), -0.9 + 1.8 * draw_hash ((int) k, 3, seed),
             8 + 34 * draw_hash ((int) k, 4, seed), seed + k);
}

/* Residue of flux around the joints of the solder side: a faint amber film. */
static void
lay_flux (DrawField *f, guint seed)
{
  for (int j = 0; j < f->h; j++)
    for (int i = 0; i < f->w; i++)
      {
        double x = i / f->scale, y = j / f->scale;
        double film = 0.55 * draw_noise (x * 0.06 + y * 0.02, y * 0.06 - x * 0.02, seed) +
                      0.28 * draw_noise (x * 0.19 - y * 0.08, y * 0.19 + x * 0.08, seed + 1) +
                      0.17 * draw_noise (x * 0.7 + y * 0.3, y * 0.7 - x * 0.3, seed + 2);
        DrawSkin *s = &f->skin[(gsize) j * f->w + i];

        if (s->material == DRAW_MASK && film > 0.56)
          *s = mixed (*s, draw_skin (0x8a7a4a, DRAW_MASK), MIN (0.14, (film - 0.56) * 0.9),
                      DRAW_MASK);
      }
}

/* A joint that ran hot: brown ring, black middle, the mask dull and lifted. */
static void
burn (DrawField *f, const DrawScorch *scorch)
{
  double reach = scorch->radius * 1.5;

  for (double y = scorch->y - reach; y < scorch->y + reach; y += 1 / f->scale)
    for (double x = scorch->x - reach; x < scorch->x + reach; x += 1 / f->scale)
      {
        int i = (int) ((x + f->margin) * f->scale), j = (int) ((y + f->margin) * f->scale);
        double a = atan2 (y - scorch->y, x - scorch->x);
        double edge =
            scorch->radius * (0.8 + 0.4 * draw_noise (3 + 0.8 * cos (a), 3 + 0.8 * sin (a), 77));
        double q = hypot (x - scorch->x, y - scorch->y) / edge;
        double brown = 0.85 * CLAMP ((1.25 - q) / 0.5, 0, 1);
        double black = 0.9 * CLAMP ((0.62 - q) / 0.3, 0, 1);
        DrawSkin *s;

        if (i < 0 || j < 0 || i >= f->w || j >= f->h || brown <= 0)
          continue;
        s = &f->skin[(gsize) j * f->w + i];
        if (f->z[(gsize) j * f->w + i] > 2) /* the part itself took no harm */
          continue;
        if (s->material == DRAW_TIN) /* solder dulls, it does not char */
          brown *= 0.4, black *= 0.15;
        *s =
            mixed (*s, draw_skin (0x4a3018, 0), brown * (0.7 + 0.3 * draw_noise (x * 2, y * 2, 78)),
                   brown > 0.5 && s->material == DRAW_MASK ? DRAW_SOOT : s->material);
        *s = mixed (*s, draw_skin (0x120d09, 0), black, black > 0.4 ? DRAW_SOOT : s->material);
        f->z[(gsize) j * f->w + i] += (float) (0.05 * black * draw_noise (x * 3, y * 3, 79));
      }
}

/* `bench` is how many mm of mat lie around the board, `scale` cells per mm. */
DrawField *
draw_scene (const DrawLayout *layout,
            const DrawRoute *route,
            gboolean back,
            double bench,
            double scale,
            const DrawScorch *scorch)
{
  DrawField *f =
      draw_field_new (layout->w, layout->h, bench, back ? 0 : layout->margin_right, scale);
  guint seed = back ? 4101 : 1709;
  DrawMasks masks = { 0 };
  cairo_surface_t *print = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, f->w, f->h);
  cairo_t *cr = draw_board_context (print, f, FALSE);

  draw_masks_make (&masks, layout, route, f, back);
  lay_mat (f, layout->bench, seed);
  lay_board (f, layout, &masks, seed + 10);
  lay_vias (f, layout, route, back);
  lay_scratches (f, back ? 26 : 7, seed + 20);
  if (back)
    lay_flux (f, seed + 30);
  lay_joints (f, layout, back);
  for (guint k = 0; k < layout->labels->len; k++)
    if (((DrawShape *) layout->labels->pdata[k])->back == back)
      lay_label (f, layout, layout->labels->pdata[k], cr);
  lay_parts (f, layout, cr, back);
  lay_print (f, print);
  if (scorch->radius > 0)
    burn (f, scorch);
  cairo_destroy (cr);
  cairo_surface_destroy (print);
  draw_masks_clear (&masks);
  return f;
}
