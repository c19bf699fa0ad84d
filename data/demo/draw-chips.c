/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Painters of surface-mounted parts, the plug-in sensor board and the sensor on its lead. */
#include "config.h"

#include "draw-package.h"

#include <math.h>

/* Three or four figure code of a chip resistor: "4.7k" is 472, "10k 1 %" is 1002, a link is 0. */
static void
chip_code (const char *mark, char *code, gsize size)
{
  char *end = NULL;
  double ohm = g_ascii_strtod (mark, &end);
  gboolean tight = g_strrstr (mark, "1 %") != NULL;
  int n = tight ? 3 : 2, power;

  while (*end == ' ')
    end++;
  if (*end == 'k')
    {
      double rest = g_ascii_isdigit (end[1]) ? g_ascii_strtod (end + 1, NULL) / 10 : 0; /* 1k5 */

      ohm = (ohm + rest) * 1e3;
    }
  else if (*end == 'M')
    ohm *= 1e6;
  if (ohm <= 0)
    {
      g_snprintf (code, size, "0");
      return;
    }
  power = (int) floor (log10 (ohm) + 1e-9) - (n - 1);
  g_snprintf (code, size, "%d%d", (int) floor (ohm / pow (10, power) + 0.5), power);
}

static void
chip_ends (const DrawBody *b, double share)
{
  const DrawPackage *p = b->package;
  DrawSkin tin = draw_skin (0xc6c7c3, DRAW_TIN);

  for (int side = -1; side <= 1; side += 2)
    {
      draw_block (b->field, &b->frame, side * p->w / 2 * (1 - share), 0, p->w * share, p->h, 0.12,
                  p->top + 0.03, 0.14, tin);
      draw_ball (b->field, &b->frame, side * (p->w / 2 + 0.12), 0, p->h * 0.52, 0.05, p->top * 0.62,
                 tin); /* solder fillet */
    }
}

void
draw_chip_resistor (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  char code[8];

  chip_ends (b, 0.2);
  draw_block (b->field, &b->frame, 0, 0, p->w * 0.98, p->h, 0.05, p->top - 0.04, 0.05,
              draw_skin (0xd8d6cf, DRAW_CERAMIC));
  draw_block (b->field, &b->frame, 0, 0, p->w * 0.66, p->h * 0.94, 0.05, p->top + 0.02, 0.04,
              draw_skin (p->colour, DRAW_GLOSSY));
  chip_code (b->mark, code, sizeof code);
  draw_print (b, 0, 0, p->h * (code[3] ? 0.32 : 0.42), 0xd9dad6, 0, code);
}

void
draw_chip_capacitor (const DrawBody *b)
{
  const DrawPackage *p = b->package;

  chip_ends (b, 0.22);
  draw_block (b->field, &b->frame, 0, 0, p->w * 0.62, p->h, 0.05, p->top, 0.1,
              draw_skin (p->colour, DRAW_CERAMIC));
}

/* A gull wing: foot on the land, shank up to the body. */
static void
wing (const DrawBody *b, double u, double v, double inner, double width)
{
  DrawSkin tin = draw_skin (0xc2c3bf, DRAW_TIN);
  gboolean lying = fabs (u) > b->package->w / 2 && fabs (v) < b->package->h / 2 + 0.2;
  double len = (1 - inner) * (lying ? fabs (u) : fabs (v));
  double mid = (1 + inner) / 2;

  if (lying)
    draw_block (b->field, &b->frame, u * mid, v, len, width, 0.05, 0.75, 0.2, tin);
  else
    draw_block (b->field, &b->frame, u, v * mid, width, len, 0.05, 0.75, 0.2, tin);
  draw_block (b->field, &b->frame, u, v, lying ? 0.9 : width, lying ? width : 0.9, 0.05, 0.32, 0.12,
              tin);
}

void
draw_gull (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawPad pads[DRAW_MAX_PADS];
  int n = draw_package_pads (p, pads);

  for (int k = 0; k < n; k++)
    wing (b, pads[k].u, pads[k].v, 0.55, n == 4 && k == 3 ? 3.0 : p->extra);
  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.15, p->top, 0.25,
              draw_skin (p->colour, DRAW_PLASTIC));
  if (n == 8)
    draw_disc (b->field, &b->frame, -p->w / 2 + 0.8, p->h / 2 - 0.8, 0.35, p->top + 0.01, 0.02,
               draw_skin (0x121314, DRAW_PLASTIC));
  if (p->w > 2.5)
    draw_print (b, 0, 0, p->w > 4 ? 0.9 : 0.62, 0xb4b4ae, 0, b->mark);
}

void
draw_quad (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawPad pads[DRAW_MAX_PADS];
  int n = draw_package_pads (p, pads);

  for (int k = 0; k < n; k++)
    wing (b, pads[k].u, pads[k].v, 0.84, p->extra);
  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.5, p->top, 0.3,
              draw_skin (p->colour, DRAW_PLASTIC));
  draw_disc (b->field, &b->frame, -p->w / 2 + 1.5, -p->h / 2 + 1.5, 0.65, p->top + 0.01, 0.05,
             draw_skin (0x121314, DRAW_PLASTIC));
  draw_disc (b->field, &b->frame, p->w / 2 - 1.7, p->h / 2 - 1.7, 0.8, p->top + 0.01, 0.05,
             draw_skin (0x151617, DRAW_PLASTIC));
  draw_print (b, 0, 0.2, 1.1, 0xb9b9b4, 0, b->mark);
}

/* A small board standing on its header, with the metal can of the sensor. */
void
draw_module (const DrawBody *b)
{
  const DrawPackage *p = b->package;
  DrawSkin gold = draw_skin (0xc9a64a, DRAW_COPPER), tin = draw_skin (0xc6c7c3, DRAW_TIN);

  draw_block (b->field, &b->frame, 0, 0, p->w, p->h, 0.6, 5.2, 0.1,
              draw_skin (p->colour, DRAW_MASK));
  for (int k = 0; k < p->n; k++)
    {
      double u = (k - (p->n - 1) / 2.0) * p->pitch, v = p->h / 2 - 1.6;

      draw_disc (b->field, &b->frame, u, v, 0.85, 5.25, 0.04, gold);
      draw_joint (b->field, &b->frame, u, v, 0.8, 6.2, 0.32, k + 11);
    }
  draw_block (b->field, &b->frame, 3.2, -2, 6.4, 6.4, 0.8, 8.2, 0.5,
              draw_skin (0xb9bbbb, DRAW_METAL));
  for (int k = 0; k < 9; k++)
    draw_disc (b->field, &b->frame, 3.2 + (k % 3 - 1) * 1.3, -2 + (k / 3 - 1) * 1.3, 0.32, 8.22,
               0.02, draw_skin (0x17181a, DRAW_PLASTIC));
  draw_block (b->field, &b->frame, -5.4, -2.4, 4.2, 3.4, 0.2, 6.4, 0.2,
              draw_skin (0x1d1e20, DRAW_PLASTIC));
  for (int k = 0; k < 3; k++)
    {
      draw_block (b->field, &b->frame, -7.4 + 2.2 * k, 2.3, 1.0, 1.4, 0.1, 5.8, 0.1, tin);
      draw_block (b->field, &b->frame, -7.4 + 2.2 * k, 2.3, 1.02, 0.8, 0.1, 5.85, 0.1,
                  draw_skin (k == 1 ? 0xa58a63 : 0x1b1c1f, DRAW_CERAMIC));
    }
  draw_print (b, -5.4, -2.4, 0.9, 0xb9b9b4, 0, "AQ3");
  draw_print (b, 4.6, 3.1, 1.0, 0xe6e2da, 0, "AIR");
}

/* Two twisted wires that leave the board sideways and end in a bead on the bench mat; the frame's
 * origin is the bead, the plug lies `extra` mm towards -u. */
void
draw_lead_sensor (const DrawBody *b)
{
  double len = b->package->extra, old_u = 0, old_v[2] = { 0 };

  for (int k = 0; k <= 60; k++)
    {
      double t = k / 60.0, u = -len * t;
      double sag = 2.2 * sin (t * G_PI) * (g_str_hash (b->id) & 1 ? 1 : -1);
      double axis = -8.2 + (t > 0.45 ? (t - 0.45) / 0.55 * 17 : 0);

      for (int w = 0; w < 2; w++)
        {
          double apart = t < 0.05 || t > 0.9 ? 0.75 : 0.62 * cos (u * 1.1);
          double v = sag + (w ? 1 : -1) * apart;

          if (k > 0)
            draw_rod (b->field, &b->frame, old_u, old_v[w], u, v, 0.55,
                      axis + (w ? 0.2 : 0) * cos (u),
                      draw_skin (w ? 0x1e1f21 : 0xb9b7b0, DRAW_GLOSSY));
          old_v[w] = v;
        }
      old_u = u;
    }
  draw_rod (b->field, &b->frame, 0.2, 0, 4.5, 0.2, 1.5, -8.0,
            draw_skin (b->package->colour, DRAW_GLOSSY));
}
