/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Painters of leaded parts: resistors with the colour code of their value, diodes, cans, discs,
 * dual-in-line bodies, lamps. Colour code after IEC 60062 (from memory; textbook material). */
#include "config.h"

#include "draw-package.h"

#include <math.h>
#include <string.h>

static const guint32 band_colours[10] = { 0x141414, 0x6b3a1c, 0xb3261e, 0xd9731a, 0xdcc21f,
                                          0x2d7a3c, 0x2a4f9e, 0x6d3f8f, 0x7c7f82, 0xe8e6e0 };
static const guint32 gold = 0xb48a35, silver = 0xa9acad;

static void
leads (const DrawBody *b, double reach, double radius, double axis)
{
  DrawSkin wire = draw_skin (0xb9bab6, DRAW_TIN);
  double pitch = b->package->pitch / 2;

  for (int side = -1; side <= 1; side += 2)
    {
      draw_rod (b->field, &b->frame, side * pitch, 0, side * reach, 0, radius, axis, wire);
      draw_ball (b->field, &b->frame, side * pitch, 0, radius * 1.15, 0.1, axis * 0.9, wire);
    }
}

typedef struct
{
  double half, radius, bulge, axis;
  DrawSkin body;
  int n;
  double at[6], width[6];
  DrawSkin band[6];
} Barrel;

/* A body of revolution on its side: thicker caps, painted rings. */
static double
barrel_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Barrel *b = data;
  double end = b->half - fabs (u), cap = b->half * 0.36;
  double r = b->radius;

  if (end < 0)
    return -G_MAXFLOAT;
  if (end < cap)
    r += b->bulge * sin (G_PI * MIN (1, end / cap));
  if (end < b->radius * 0.6)
    {
      double q = 1 - end / (b->radius * 0.6);

      r *= sqrt (MAX (0.02, 1 - 0.75 * q * q));
    }
  if (fabs (v) >= r)
    return -G_MAXFLOAT;
  *skin = b->body;
  for (int k = 0; k < b->n; k++)
    if (fabs (u - b->at[k]) < b->width[k] / 2)
      *skin = b->band[k];
  return b->axis + sqrt (r * r - v * v);
}

/* Significant figures and power of ten of "38.3k 1 %", "1M", "470 ohm", "22 ohm 2 W". */
static gboolean
figures_of (const char *mark, int n, int *figures, int *power)
{
  char *end = NULL;
  double ohm = g_ascii_strtod (mark, &end);

  if (end == mark || ohm <= 0)
    return FALSE;
  while (*end == ' ')
    end++;
  ohm *= *end == 'k' ? 1e3 : *end == 'M' ? 1e6 : 1;
  *power = (int) floor (log10 (ohm) + 1e-9) - (n - 1);
  *figures = (int) floor (ohm / pow (10, *power) + 0.5);
  return TRUE;
}

static void
add_bands (Barrel *b, const char *mark)
{
  gboolean tight = strstr (mark, "1 %") != NULL;
  int n = tight ? 3 : 2, figures, power, k = 0;
  double span = b->half * 1.36;
  guint32 colour[6];

  if (!figures_of (mark, n, &figures, &power))
    return;
  if (n == 3)
    colour[k++] = band_colours[figures / 100];
  colour[k++] = band_colours[figures / 10 % 10];
  colour[k++] = band_colours[figures % 10];
  colour[k++] = power >= 0 ? band_colours[power] : power == -1 ? gold : silver;
  colour[k++] = tight ? band_colours[1] : gold;
  b->n = k;
  for (int i = 0; i < k; i++)
    {
      /* The last ring stands apart. */
      double t = i == k - 1 ? 1 : (double) i / (k - 1) * 0.86;
      gboolean metal = colour[i] == gold || colour[i] == silver;

      b->at[i] = -span / 2 + span * t;
      b->width[i] = b->half * (k > 4 ? 0.16 : 0.19);
      b->band[i] = draw_skin (colour[i], metal ? DRAW_COPPER : DRAW_GLOSSY);
    }
}

void
draw_resistor (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  double radius = p->h / 2 * 0.86;
  double axis = p->w > 14 ? 3.4 : p->top - p->h / 2; /* big ones stand off the board */
  Barrel barrel = { .half = p->w / 2,
                    .radius = radius,
                    .bulge = p->h / 2 - radius,
                    .axis = axis,
                    .body = draw_skin (p->colour, DRAW_GLOSSY) };

  add_bands (&barrel, b->mark);
  leads (b, p->w / 2 - 0.4, p->extra, MAX (0.5, axis * 0.8));
  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, barrel_solid, &barrel);
}

void
draw_diode (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Barrel barrel = { .half = p->w / 2,
                    .radius = p->h / 2,
                    .axis = p->top - p->h / 2,
                    .body = draw_skin (p->colour, DRAW_PLASTIC),
                    .n = 1,
                    .at = { p->w * 0.30 },
                    .width = { p->w * 0.15 },
                    .band = { draw_skin (0xc4c5c2, DRAW_PLASTIC) } };

  leads (b, p->w / 2 - 0.2, p->extra, MAX (0.6, barrel.axis * 0.8));
  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, barrel_solid, &barrel);
}

void
draw_glass_diode (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Barrel barrel = { .half = p->w / 2,
                    .radius = p->h / 2,
                    .axis = p->top - p->h / 2,
                    .body = draw_skin (p->colour, DRAW_GLASS),
                    .n = 2,
                    .at = { p->w * 0.30, -p->w * 0.12 },
                    .width = { p->w * 0.16, p->w * 0.2 },
                    .band = { draw_skin (0x1a1715, DRAW_GLASS),
                              draw_skin (0xd7996a, DRAW_GLASS) } };

  leads (b, p->w / 2 - 0.2, p->extra, MAX (0.6, barrel.axis * 0.8));
  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, barrel_solid, &barrel);
}

typedef struct
{
  double r, top;
  DrawSkin sleeve, metal;
} Can;

/* Sleeve rolled over the rim, sunk aluminium top with the vent cross pressed in. */
static double
can_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Can *c = data;
  double d = hypot (u, v), rim = MAX (0.5, c->r * 0.12), edge = c->r - d;
  double groove, z, angle = atan2 (v, u);

  if (edge < 0)
    return -G_MAXFLOAT;
  if (edge < rim)
    {
      double q = (edge - rim / 2) / (rim / 2);

      *skin = c->sleeve;
      if (fabs (angle) < 0.55) /* stripe on the minus side, folded over the rim */
        *skin = draw_skin (0x9aa3ab, DRAW_GLOSSY);
      return c->top - rim * 0.55 + rim * 0.55 * sqrt (MAX (0, 1 - q * q));
    }
  *skin = c->metal;
  z = c->top - rim * 0.35;
  groove = MIN (fabs (u + v), fabs (u - v)) / G_SQRT2;
  if (d < c->r * 0.62 && groove < 0.28)
    z -= 0.16 * cos (groove / 0.28 * G_PI / 2);
  return z - 0.02 * (edge - rim);
}

void
draw_can (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Can can = { p->w / 2, p->top, draw_skin (p->colour, DRAW_GLOSSY),
              draw_skin (0xb4b8ba, DRAW_METAL) };

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->w / 2, p->w / 2, p->w / 2, can_solid, &can);
}

typedef struct
{
  double w, h, top;
  DrawSkin skin;
  guint seed;
} Lens;

/* A dipped disc standing upright: from above a lens, highest along its middle. */
static double
lens_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Lens *l = data;
  double q = u / (l->w / 2), half, s;

  if (fabs (q) >= 1)
    return -G_MAXFLOAT;
  half = l->h / 2 * (0.42 + 0.58 * pow (1 - q * q, 0.4));
  half *= pow (1 - pow (fabs (q), 9), 0.5) * (0.97 + 0.06 * draw_noise (u * 0.9, l->seed, 5));
  s = v / half;
  if (fabs (s) >= 1)
    return -G_MAXFLOAT;
  *skin = l->skin;
  /* The rim of the disc falls away to both sides; the coating rounds it. */
  return l->top * (0.45 + 0.55 * sqrt (1 - 0.92 * q * q)) - (1 - sqrt (1 - s * s)) * l->h * 0.5;
}

void
draw_disc_part (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Lens lens = { p->w, p->h, p->top, draw_skin (p->colour, DRAW_GLOSSY), g_str_hash (b->id) };

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h / 2, p->w / 2, p->h / 2, lens_solid, &lens);
}

static void
dip_pins (const DrawBody *b)
{
  DrawPad pads[DRAW_MAX_PADS];
  int n = draw_package_pads (b->package, pads);
  DrawSkin tin = draw_skin (0xbdbebb, DRAW_TIN);
  gboolean upright = b->package->h > b->package->w;

  for (int k = 0; k < n; k++)
    {
      double u = pads[k].u, v = pads[k].v, inner = 0.62;

      if (upright)
        draw_block (b->field, &b->frame, u * (1 + inner) / 2, v, fabs (u) * (1 - inner) + 0.5, 1.1,
                    0.15, 2.0, 0.3, tin);
      else
        draw_block (b->field, &b->frame, u, v * (1 + inner) / 2, 1.25, fabs (v) * (1 - inner) + 0.5,
                    0.15, 2.0, 0.3, tin);
      draw_block (b->field, &b->frame, u, v, upright ? 0.5 : 0.62, upright ? 0.62 : 0.5, 0.1, 1.0,
                  0.2, tin);
    }
}

void
draw_dip (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  gboolean opto = p->extra > 0;
  DrawSkin skin = draw_skin (p->colour, DRAW_PLASTIC);
  DrawSkin dark = draw_skin (opto ? 0xc9c6bb : 0x151617, DRAW_PLASTIC);
  guint32 ink = opto ? 0x4c4c48 : 0xb9b9b4;

  dip_pins (b);
  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.3, p->top, 0.55, skin);
  if (opto)
    draw_disc (b->field, &b->frame, -p->w / 2 + 1.1, -p->h / 2 + 1.1, 0.5, p->top + 0.01, 0.05,
               dark);
  else
    {
      draw_disc (b->field, &b->frame, -p->w / 2 + 0.75, 0, 0.85, p->top + 0.01, 0.02, dark);
      draw_disc (b->field, &b->frame, -p->w / 2 + 1.5, 1.9, 0.5, p->top + 0.02, 0.02, dark);
    }
  draw_print (b, 0.4, -0.3, opto ? 1.0 : 1.25, ink, opto ? 90 : 0, b->mark);
}

static double
to92_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Lens *l = data;

  if (hypot (u, v) > l->w / 2 || v > l->h - l->w / 2)
    return -G_MAXFLOAT;
  *skin = l->skin;
  return l->top - 0.25 * pow (hypot (u, v) / (l->w / 2), 8);
}

void
draw_to92 (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  Lens lens = { p->w, p->h, p->top, draw_skin (p->colour, DRAW_PLASTIC), 0 };

  draw_stamp (b->field, &b->frame, -p->w / 2, -p->h, p->w / 2, p->h, to92_solid, &lens);
}

void
draw_led (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_disc (b->field, &b->frame, 0, 0, p->w / 2, 1.4, 0.2, draw_skin (p->colour, DRAW_GLASS));
  draw_disc (b->field, &b->frame, 0, 0, 1.5, 3.4, 0.5, draw_skin (p->colour, DRAW_GLASS));
  draw_ball (b->field, &b->frame, 0, 0, 1.5, 3.3, 1.3, draw_skin (p->colour, DRAW_GLASS));
  draw_block (b->field, &b->frame, 0.3, 0, 0.8, 0.7, 0.1, 4.35, 0.2,
              draw_skin (0xd8d6c8, DRAW_GLASS));
}

void
draw_resonator (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, p->h * 0.42, p->top, 1.1,
              draw_skin (p->colour, DRAW_GLOSSY));
  draw_print (b, 0, 0, 1.1, 0xdfe3ea, 0, "8.00");
}

void
draw_round_bridge (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  draw_disc (b->field, &b->frame, 0, 0, p->w / 2, p->top, 0.5, draw_skin (p->colour, DRAW_PLASTIC));
  draw_print (b, 2.7, 0, 1.7, 0xc4c4be, 0, "+");
  draw_print (b, -2.7, 0, 1.7, 0xc4c4be, 0, "\xe2\x88\x92");
  draw_print (b, 0, 2.6, 1.5, 0xc4c4be, 0, "~");
  draw_print (b, 0, -2.6, 1.5, 0xc4c4be, 0, "~");
}
