/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Painters of the big parts: terminals, fuse, boxes, choke, relays, heatsinks, transformers,
 * plugs. Measures are those of the package table; v grows towards the wire side of a terminal. */
#include "config.h"

#include "draw-package.h"

#include <math.h>
#include <string.h>

static DrawSkin
shaded (guint32 rgb, double k, DrawMaterial material)
{
  guint r = (rgb >> 16 & 255) * k, g = (rgb >> 8 & 255) * k, b = (rgb & 255) * k;

  return draw_skin (MIN (r, 255) << 16 | MIN (g, 255) << 8 | MIN (b, 255), material);
}

static double
screw_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const double *s = data; /* middle u, v, radius, top, slot angle */
  double du = u - s[0], dv = v - s[1], d = hypot (du, dv);
  double across = fabs (du * sin (s[4]) - dv * cos (s[4]));
  double z;

  if (d > s[2])
    return -G_MAXFLOAT;
  *skin = draw_skin (0xb4b3ac, DRAW_METAL);
  z = s[3] - 0.5 * pow (d / s[2], 4);
  if (across < 0.3)
    {
      *skin = draw_skin (0x4a4a46, DRAW_METAL);
      z -= 0.8;
    }
  return z;
}

/* The housing with a well over each screw: the well's floor lies lower. */
typedef struct
{
  const DrawPackage *p;
  double pitch;
} Terminal;

static double
terminal_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Terminal *t = data;
  const DrawPackage *p = t->p;
  double first = -(p->n - 1) / 2.0 * p->pitch;
  int k = CLAMP ((int) floor ((u - first) / p->pitch + 0.5), 0, p->n - 1);
  double du = u - first - k * p->pitch, well = hypot (du, v + 0.9);
  double wall = fabs (fabs (du) - p->pitch / 2);
  double z = p->top;

  *skin = shaded (p->colour, 1, DRAW_PLASTIC);
  if (v > p->h / 2 - 2.6) /* sloping face above the wire entry */
    z -= (v - p->h / 2 + 2.6) * 1.1;
  if (v < -p->h / 2 + 1.5)
    z -= 1.4;
  if (well < 2.0)
    {
      *skin = shaded (p->colour, 0.45, DRAW_PLASTIC);
      return z - 3.2;
    }
  if (wall < 0.18)
    {
      *skin = shaded (p->colour, 0.72, DRAW_PLASTIC);
      z -= 0.35;
    }
  if (v > p->h / 2 - 1.0 && fabs (du) < 1.7)
    {
      *skin = draw_skin (0x0c100d, DRAW_PLASTIC);
      z -= 3.5;
    }
  return z;
}

void
draw_terminal (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Terminal t = { p, p->pitch };

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, terminal_solid, &t);
  for (int k = 0; k < p->n; k++)
    {
      double u = (k - (p->n - 1) / 2.0) * p->pitch;
      double screw[5] = { u, -0.9, 1.85, p->top - 1.6,
                          0.3 + 2.2 * draw_hash (k, (int) g_str_hash (b->id), 3) };

      draw_stamp (b->field, &b->frame, u - 2, -3, u + 2, 1.2, screw_solid, screw);
    }
}

static double
tube_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  double r = 2.6, end = 10 - fabs (u), axis = 5.2;

  if (end < 0 || fabs (v) >= r)
    return -G_MAXFLOAT;
  if (end < 5)
    {
      *skin = draw_skin (0xb9b7af, DRAW_METAL);
      r += end > 4.6 ? -0.15 : 0;
      if (fabs (v) >= r)
        return -G_MAXFLOAT;
      return axis + sqrt (r * r - v * v) - (end < 0.4 ? 0.3 * (0.4 - end) : 0);
    }
  *skin = draw_skin (fabs (v + 0.25 * sin (u * 0.8)) < 0.13 ? 0x9a978e : 0x77847c, DRAW_GLASS);
  return axis - 0.1 + sqrt (2.5 * 2.5 - MIN (v * v, 6.2));
}

void
draw_fuse (const DrawBody *b)
{
  DrawSkin clip = draw_skin (0xc2bda8, DRAW_METAL);

  for (int side = -1; side <= 1; side += 2)
    {
      for (int jaw = -1; jaw <= 1; jaw += 2)
        {
          draw_block (b->field, &b->frame, side * 8.0, jaw * 3.0, 4.6, 0.9, 0.2, 7.6, 0.35, clip);
          draw_block (b->field, &b->frame, side * 8.0, jaw * 2.7, 4.0, 0.5, 0.1, 6.6, 0.2, clip);
        }
      draw_block (b->field, &b->frame, side * 10.6, 0, 0.7, 4.4, 0.1, 4.2, 0.2, clip);
      draw_block (b->field, &b->frame, side * 8.2, 0, 4.8, 6.0, 0.3, 1.2, 0.2, clip);
    }
  draw_stamp (b->field, &b->frame, -10, -2.7, 10, 2.7, tube_solid, NULL);
  draw_print (b, 7.6, -0.5, 0.9, 0x4a4a46, 0, b->mark);
}

void
draw_box_capacitor (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  g_autofree char *text = g_strdup_printf ("%s\nX2  310 V~", b->mark);

  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.6, p->top, 0.5,
              draw_skin (p->colour, DRAW_PLASTIC));
  draw_print (b, 0, -0.4, 1.55, 0x4a3a10, 0, text);
  draw_print (b, 0, p->h / 2 - 1.6, 0.95, 0x5d4a18, 0,
              "40/110/56/B   \xc2\xb1"
              "10 %");
}

/* Ring with two windings, seen from above: enamelled wire laid turn beside turn. */
static double
ring_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  double d = hypot (u, v), mid = 8.1, half = 3.3, top = 12.5;
  double angle = atan2 (v, fabs (u)), x = (d - mid) / half, turn, bulge;

  if (fabs (angle) > 1.22)
    {
      half = 2.9;
      x = (d - mid) / half;
      if (fabs (x) >= 1)
        return -G_MAXFLOAT;
      *skin = draw_skin (0x2f5a3d, DRAW_GLOSSY);
      return top - 1.6 + 1.0 * (1 - pow (x, 6));
    }
  if (fabs (x) >= 1)
    return -G_MAXFLOAT;
  turn = cos (angle * 15.5 * 2 + (u > 0 ? 0.4 : 0) + x * 0.18);
  bulge = 0.34 * sqrt (MAX (0, 0.5 + 0.5 * turn));
  *skin = draw_skin (turn < -0.72 ? 0x4a2412 : 0xa85f34, DRAW_COPPER);
  return top - 1.3 + 1.3 * sqrt (MAX (0, 1 - pow (fabs (x), 3.2))) + bulge;
}

void
draw_choke (const DrawBody *b)
{
  DrawSkin base = draw_skin (0x232427, DRAW_PLASTIC);

  draw_block (b->field, &b->frame, 0, 0, 24.5, 24.5, 3.5, 2.6, 0.4, base);
  draw_stamp (b->field, &b->frame, -12.5, -12.5, 12.5, 12.5, ring_solid, NULL);
  draw_block (b->field, &b->frame, 0, 0, 1.1, 22.6, 0.3, 11.5, 0.2, base);
  for (int k = 0; k < 4; k++)
    {
      double u = k & 1 ? 7.5 : -7.5, v = k & 2 ? 10 : -10;

      draw_rod (b->field, &b->frame, u, v * 1.02, u * 0.72, v * 0.72, 0.5, 4.2,
                draw_skin (0xa85f34, DRAW_COPPER));
    }
}

void
draw_relay (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  double s = p->h / 20;
  g_autofree char *text = NULL;
  DrawSkin cover = draw_skin (p->colour, DRAW_PLASTIC);

  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.8, p->top, 0.7, cover);
  draw_block (b->field, &b->frame, 0, 0, p->w - 1.8, p->h - 1.8, 0.5, p->top + 0.12, 0.12,
              shaded (p->colour, 1.08, DRAW_PLASTIC));
  draw_disc (b->field, &b->frame, -p->w / 2 + 2.4, p->h / 2 - 2.4, 0.55, p->top + 0.35, 0.2,
             shaded (p->colour, 0.8, DRAW_PLASTIC));
  text = g_strdup_printf ("HR-%s\n%s\n%s",
                          p->w > 29.5 ? "20A"
                          : p->w > 25 ? "16A"
                                      : "5A",
                          "250 V~", b->mark);
  draw_print (b, 1.2 * s, 0, MAX (1.25, 1.9 * s), 0xb9bcbf, 0, text);
}

static double
fins_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const DrawPackage *p = data;
  double t = u / 5.0 - floor (u / 5.0 + 0.5); /* fins every 5 mm, running from front to back */

  *skin = draw_skin (p->colour, DRAW_METAL);
  if (v > p->h / 2 - 3.2)
    return p->top; /* the plate the bridge is screwed to */
  if (fabs (t) < 0.17)
    return p->top - 0.05;
  *skin = draw_skin (0x6f7275, DRAW_METAL);
  return 5;
}

void
draw_heatsink (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, fins_solid, p);
}

void
draw_flat_bridge (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_block (b->field, &b->frame, 0, -0.3, p->w, p->h - 0.6, 0.4, p->top, 0.5,
              draw_skin (p->colour, DRAW_PLASTIC));
  draw_print (b, -11.2, -0.3, 1.9, 0xc9c9c4, 0, "+");
  draw_print (b, -3.8, -0.3, 1.6, 0xc9c9c4, 0, "~");
  draw_print (b, 3.8, -0.3, 1.6, 0xc9c9c4, 0, "~");
  draw_print (b, 11.2, -0.3, 1.9, 0xc9c9c4, 0, "\xe2\x88\x92");
}

void
draw_flyback (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawSkin tape = draw_skin (0xcaa944, DRAW_GLOSSY), core = draw_skin (0x3a3b3d, DRAW_CERAMIC);

  draw_block (b->field, &b->frame, 0, 0, 21, 20, 0.6, 3.4, 0.3, draw_skin (0x202123, DRAW_PLASTIC));
  for (int k = 0; k < p->n; k++)
    draw_block (b->field, &b->frame, p->list[2 * k], p->list[2 * k + 1], 2.4, 1.6, 0.3, 4.4, 0.3,
                draw_skin (0x202123, DRAW_PLASTIC));
  draw_block (b->field, &b->frame, 0, 0, 15, 15.5, 2.2, 13.5, 1.4, tape);
  draw_block (b->field, &b->frame, 0.4, 5.2, 14.8, 3.6, 0.3, 13.7, 0.25,
              shaded (0xcaa944, 0.94, DRAW_GLOSSY));
  draw_block (b->field, &b->frame, 0, -9.0, 20.4, 2.6, 0.3, 15, 0.3, core);
  draw_block (b->field, &b->frame, 0, 9.0, 20.4, 2.6, 0.3, 15, 0.3, core);
  draw_block (b->field, &b->frame, 0, 0, 5.6, 20.4, 0.3, 16, 0.3, core);
  draw_block (b->field, &b->frame, 0, 0, 7.0, 17.4, 0.3, 16.2, 0.2,
              draw_skin (0xd2b450, DRAW_GLOSSY));
  draw_print (b, 0, -1, 1.5, 0x5b4712, 90, b->mark);
}

void
draw_mains_transformer (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 1.2, p->top, 1.1,
              draw_skin (p->colour, DRAW_PLASTIC));
  draw_block (b->field, &b->frame, 0, 0, p->w - 5, p->h - 5, 0.4, p->top + 0.06, 0.06,
              draw_skin (0xc4c2b8, DRAW_GLOSSY));
  draw_print (b, 0, -5.8, 2.2, 0x26282a, 0, "5 VA   ta 70/B");
  draw_print (b, 0, -0.8, 2.4, 0x26282a, 0, b->mark);
  draw_print (b, 0, 4.2, 1.5, 0x26282a, 0, "PRI 230 V~ 50/60 Hz\nSEC 15 V~ 333 mA");
  draw_print (b, -9.5, 8.8, 1.3, 0x26282a, 0, "PRI 1 \xe2\x80\x93 2");
  draw_print (b, 9.5, 8.8, 1.3, 0x26282a, 0, "SEC 3 \xe2\x80\x93 4");
}

/* Standing TO-220 in a folded heatsink clip: body in front, tab, clip wings around. */
void
draw_to220 (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawSkin clip = draw_skin (0x25272a, DRAW_METAL), wing = draw_skin (0x3b3e42, DRAW_METAL);
  DrawSkin tab = draw_skin (0xbcbdb9, DRAW_METAL);

  draw_block (b->field, &b->frame, 0, -2.0, p->w, 1.5, 0.2, p->top - 1, 0.3, clip);
  for (int side = -1; side <= 1; side += 2)
    {
      draw_block (b->field, &b->frame, side * 8.3, -0.4, 1.4, 7.6, 0.3, p->top - 1, 0.3, wing);
      draw_block (b->field, &b->frame, side * 5.9, -3.5, 1.2, 2.0, 0.2, p->top - 1, 0.3, wing);
    }
  draw_block (b->field, &b->frame, 0, -0.6, 10.2, 1.3, 0.2, p->top, 0.25, tab);
  draw_block (b->field, &b->frame, 0, 1.6, 10.2, 3.3, 0.3, 11.5, 0.4,
              draw_skin (p->colour, DRAW_PLASTIC));
  draw_print (b, 0, 1.7, 1.3, 0xb9b9b4, 0, b->mark);
  for (int k = -1; k <= 1; k++)
    {
      draw_block (b->field, &b->frame, 2.54 * k, 3.4, 0.8, 1.0, 0.1, 2.2, 0.2, tab);
    }
}

static double
shell_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const DrawPackage *p = data;
  double du = p->w / 2 - fabs (u), up = v + p->h / 2, down = p->h / 2 - v;

  *skin = draw_skin (p->colour, DRAW_PLASTIC);
  if (MIN (du, MIN (up, down)) < 0.8)
    return p->top - (down < 0.8 && fabs (u) < p->w * 0.3 ? 3.5 : 0);
  *skin = shaded (p->colour, 0.86, DRAW_PLASTIC);
  return 2.0;
}

void
draw_plug (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawSkin pin = draw_skin (0xc9c6ae, DRAW_METAL);

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, shell_solid, p);
  for (int k = 0; k < p->n; k++)
    draw_block (b->field, &b->frame, (k - (p->n - 1) / 2.0) * p->pitch, 0, 0.65, 0.65, 0.1,
                p->top - 1.6, 0.25, pin);
}

void
draw_switch (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawSkin metal = draw_skin (0xb9bab8, DRAW_METAL), black = draw_skin (0x1d1e20, DRAW_PLASTIC);

  for (int k = 0; k < 4; k++)
    draw_block (b->field, &b->frame, p->list[2 * k] * 0.94, p->list[2 * k + 1], 1.6, 0.7, 0.1, 1.4,
                0.3, draw_skin (0xbdbebb, DRAW_TIN));
  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.3, 3.0, 0.3, black);
  draw_block (b->field, &b->frame, 0, 0, 5.8, 5.8, 0.4, 3.5, 0.15, metal);
  for (int k = 0; k < 4; k++)
    draw_disc (b->field, &b->frame, k & 1 ? 2.2 : -2.2, k & 2 ? 2.2 : -2.2, 0.45, 3.8, 0.25, black);
  draw_disc (b->field, &b->frame, 0, 0, 1.75, 5.0, 0.3, black);
}
