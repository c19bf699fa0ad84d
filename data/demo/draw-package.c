/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The packages of the demo boards: body, lands and painter of each, one line a package. Sizes are
 * those usual in the trade, rounded; none is a part of a particular maker. A land hidden under its
 * body gets a bare spot beside the body where a probe reaches the same copper. */
#include "config.h"

#include "draw-package.h"

#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

static const double choke_lands[] = { -7.5, -10, 7.5, -10, -7.5, 10, 7.5, 10 };
/* Coil 1 and 2, contact 3 and 4. */
static const double relay_big[] = { 12, -5.5, 12, 5.5, -11, -5.5, -11, 5.5 };
static const double relay_slim[] = { 12, -3.8, 12, 3.8, -8, -3.8, -8, 3.8 };
static const double relay_small[] = { 7.8, -2.6, 7.8, 2.6, -5, -2.6, -5, 2.6 };
static const double flyback_lands[] = { 9,  -7.5, 9,  -2.5, 9,  2.5,  9,  7.5,
                                        -9, 7.5,  -9, 2.5,  -9, -2.5, -9, -7.5 };
static const double mains_lands[] = { -12.5, -10, -12.5, 10, 12.5, -5, 12.5, 5 };
static const double sot23_lands[] = { -0.95, 1.1, 0.95, 1.1, 0, -1.1 };
static const double sot223_lands[] = { -2.3, 3.1, 0, 3.1, 2.3, 3.1, 0, -3.1 };
static const double tact_lands[] = { -3.9, -2.25, 3.9, -2.25, -3.9, 2.25, 3.9, 2.25 };
static const double ring_lands[] = { 2.6, 0, 0, 2.6, -2.6, 0, 0, -2.6 };

static const DrawPackage packages[] = {
  /* name, w, h, top, lands, n, pitch, row, land w h, through, painter, colour, extra, list, round
   */
  { "tb3", 15.4, 10.5, 11, LANDS_ROW, 3, 5.0, 0, 2.6, 2.6, TRUE, draw_terminal, 0x2e7d46, 0 },
  { "tb2", 10.4, 10.5, 11, LANDS_ROW, 2, 5.0, 0, 2.6, 2.6, TRUE, draw_terminal, 0x2e7d46, 0 },
  { "fuse", 22.5, 8.0, 9, LANDS_TWO, 2, 22.6, 0, 3.0, 3.6, TRUE, draw_fuse, 0, 0 },
  { "mov14", 14.4, 5.2, 16, LANDS_TWO, 2, 7.5, 0, 2.2, 2.2, TRUE, draw_disc_part, 0x2a4c7d, 0 },
  { "mov10", 10.6, 4.6, 13, LANDS_TWO, 2, 7.5, 0, 2.2, 2.2, TRUE, draw_disc_part, 0x2d5184, 0 },
  { "ntc15", 15.4, 5.6, 17, LANDS_TWO, 2, 7.5, 0, 2.2, 2.2, TRUE, draw_disc_part, 0x24402f, 0 },
  { "ptc7", 7.4, 4.2, 9, LANDS_TWO, 2, 5.0, 0, 2.0, 2.0, TRUE, draw_disc_part, 0xa8752a, 0 },
  { "cer5", 5.4, 3.0, 6, LANDS_TWO, 2, 5.0, 0, 1.8, 1.8, TRUE, draw_disc_part, 0xb98a3c, 0 },
  { "x2", 18.0, 11.0, 17, LANDS_TWO, 2, 15, 0, 2.2, 2.2, TRUE, draw_box_capacitor, 0xc8a63c, 0 },
  { "choke25", 27.0, 25.0, 18, LANDS_LIST, 4, 0, 0, 2.8, 2.8, TRUE, draw_choke, 0, 0, choke_lands },
  { "relay30", 30.0, 20.0, 19, LANDS_LIST, 4, 0, 0, 2.6, 2.6, TRUE, draw_relay, 0x26272a, 0,
    relay_big },
  { "relay29", 29.0, 13.0, 16, LANDS_LIST, 4, 0, 0, 2.4, 2.4, TRUE, draw_relay, 0x34507a, 0,
    relay_slim },
  { "relay20", 20.0, 10.0, 15, LANDS_LIST, 4, 0, 0, 2.0, 2.0, TRUE, draw_relay, 0x2a2c30, 0,
    relay_small },
  { "heatsink60", 60.0, 25.0, 24, LANDS_NONE, 0, 0, 0, 0, 0, FALSE, draw_heatsink, 0xa9adb0, 0 },
  { "bridge", 30.0, 5.0, 18, LANDS_ROW, 4, 7.5, 0, 2.6, 3.0, TRUE, draw_flat_bridge, 0x1d1e20, 0 },
  { "can30", 30.0, 30.0, 38, LANDS_TWO, 2, 10, 0, 3.0, 3.0, TRUE, draw_can, 0x1c2128, 0, NULL,
    TRUE },
  { "can16", 16.0, 16.0, 25, LANDS_TWO, 2, 7.5, 0, 2.2, 2.2, TRUE, draw_can, 0x20262e, 0, NULL,
    TRUE },
  { "can12", 12.5, 12.5, 20, LANDS_TWO, 2, 5, 0, 2.0, 2.0, TRUE, draw_can, 0x1d2a3d, 0, NULL,
    TRUE },
  { "can10", 10.0, 10.0, 16, LANDS_TWO, 2, 5, 0, 2.0, 2.0, TRUE, draw_can, 0x20262e, 0, NULL,
    TRUE },
  { "can8", 8.0, 8.0, 12, LANDS_TWO, 2, 3.5, 0, 1.7, 1.7, TRUE, draw_can, 0x1d2a3d, 0, NULL, TRUE },
  { "can6", 6.3, 6.3, 11, LANDS_TWO, 2, 2.5, 0, 1.6, 1.6, TRUE, draw_can, 0x20262e, 0, NULL, TRUE },
  { "axial6", 6.3, 2.4, 2.6, LANDS_TWO, 2, 10.16, 0, 1.9, 1.9, TRUE, draw_resistor, 0x6f9cb4, 0.3 },
  { "axial7", 7.0, 2.7, 3.0, LANDS_TWO, 2, 12.7, 0, 2.0, 2.0, TRUE, draw_resistor, 0xcfb68a, 0.3 },
  { "axial12", 12.0, 4.4, 5.0, LANDS_TWO, 2, 18, 0, 2.4, 2.4, TRUE, draw_resistor, 0x7ea6b2, 0.4 },
  { "fusible12", 12.0, 4.4, 5.0, LANDS_TWO, 2, 18, 0, 2.4, 2.4, TRUE, draw_resistor, 0x8d8f90,
    0.4 },
  { "axial15", 15.0, 5.2, 6.0, LANDS_TWO, 2, 21, 0, 2.6, 2.6, TRUE, draw_resistor, 0x9db3ab, 0.4 },
  { "diode", 5.2, 2.7, 2.9, LANDS_TWO, 2, 10.16, 0, 2.0, 2.0, TRUE, draw_diode, 0x1b1c1e, 0.38 },
  { "diode-thick", 9.0, 5.2, 5.6, LANDS_TWO, 2, 15, 0, 2.6, 2.6, TRUE, draw_diode, 0x1b1c1e, 0.6 },
  { "glass", 3.9, 1.9, 2.0, LANDS_TWO, 2, 7.62, 0, 1.7, 1.7, TRUE, draw_glass_diode, 0xb8582a,
    0.25 },
  { "dip8", 9.6, 6.4, 3.6, LANDS_DUAL, 8, 2.54, 7.62, 2.1, 1.5, TRUE, draw_dip, 0x202123, 0 },
  { "dip16", 19.4, 6.4, 3.6, LANDS_DUAL, 16, 2.54, 7.62, 2.1, 1.5, TRUE, draw_dip, 0x202123, 0 },
  { "opto4", 4.7, 6.5, 3.6, LANDS_DUAL, 4, 2.54, 10.16, 2.1, 1.6, TRUE, draw_dip, 0xe4e2da, 1 },
  { "to92", 4.7, 3.7, 5.5, LANDS_ROW, 3, 2.0, 0, 1.4, 1.7, TRUE, draw_to92, 0x1c1d1f, 0 },
  { "to220", 18.0, 9.0, 17, LANDS_ROW, 3, 2.54, 0, 1.7, 2.2, TRUE, draw_to220, 0x1c1d1f, 0 },
  { "led3g", 3.9, 3.9, 5, LANDS_TWO, 2, 2.54, 0, 1.6, 1.6, TRUE, draw_led, 0x3aa657, 0, NULL,
    TRUE },
  { "led3y", 3.9, 3.9, 5, LANDS_TWO, 2, 2.54, 0, 1.6, 1.6, TRUE, draw_led, 0xd8a21e, 0, NULL,
    TRUE },
  { "led3r", 3.9, 3.9, 5, LANDS_TWO, 2, 2.54, 0, 1.6, 1.6, TRUE, draw_led, 0xc23a2c, 0, NULL,
    TRUE },
  { "resonator", 8.0, 3.2, 6, LANDS_ROW, 3, 2.5, 0, 1.6, 1.6, TRUE, draw_resonator, 0x2d5fae, 0 },
  { "bridge-round", 9.2, 9.2, 6, LANDS_LIST, 4, 0, 0, 1.9, 1.9, TRUE, draw_round_bridge, 0x1b1c1e,
    0, ring_lands, TRUE },
  { "trafo33", 33.0, 28.0, 26, LANDS_LIST, 4, 0, 0, 2.4, 2.4, TRUE, draw_mains_transformer,
    0x17181a, 0, mains_lands },
  { "ee20", 22.0, 21.0, 17, LANDS_LIST, 8, 0, 0, 2.0, 2.0, TRUE, draw_flyback, 0x3a3b3d, 0,
    flyback_lands },
  { "plug2", 8.0, 6.0, 9, LANDS_ROW, 2, 2.5, 0, 1.7, 1.7, TRUE, draw_plug, 0xe6e2d4, 0 },
  { "plug5", 15.5, 6.0, 9, LANDS_ROW, 5, 2.5, 0, 1.7, 1.7, TRUE, draw_plug, 0xe6e2d4, 0 },
  { "plug3w", 17.0, 8.5, 11, LANDS_ROW, 3, 5.0, 0, 2.2, 2.2, TRUE, draw_plug, 0xe6e2d4, 0 },
  { "tact6", 6.2, 6.2, 5, LANDS_LIST, 4, 0, 0, 1.9, 1.5, TRUE, draw_switch, 0x2a2b2d, 0,
    tact_lands },
  { "r0805", 2.0, 1.25, 0.5, LANDS_TWO, 2, 1.9, 0, 1.2, 1.4, FALSE, draw_chip_resistor, 0x1b1c1f,
    0 },
  { "r1206", 3.2, 1.6, 0.6, LANDS_TWO, 2, 3.0, 0, 1.5, 1.8, FALSE, draw_chip_resistor, 0x1b1c1f,
    0 },
  { "c0805", 2.0, 1.25, 0.9, LANDS_TWO, 2, 1.9, 0, 1.2, 1.4, FALSE, draw_chip_capacitor, 0xa58a63,
    0 },
  { "fb0805", 2.0, 1.25, 0.9, LANDS_TWO, 2, 1.9, 0, 1.2, 1.4, FALSE, draw_chip_capacitor, 0x3d3c3c,
    0 },
  { "sot23", 2.9, 1.3, 1.0, LANDS_LIST, 3, 0, 0, 0.9, 1.0, FALSE, draw_gull, 0x1d1e20, 0.45,
    sot23_lands },
  { "sot223", 6.5, 3.5, 1.7, LANDS_LIST, 4, 0, 0, 1.3, 1.8, FALSE, draw_gull, 0x1d1e20, 0.7,
    sot223_lands },
  { "so8", 4.9, 3.9, 1.6, LANDS_DUAL, 8, 1.27, 5.4, 1.7, 0.65, FALSE, draw_gull, 0x1d1e20, 0.42 },
  { "lqfp44", 10.0, 10.0, 1.5, LANDS_QUAD, 44, 0.8, 11.6, 1.6, 0.45, FALSE, draw_quad, 0x1f2022,
    0.36 },
  { "lqfp64", 10.0, 10.0, 1.5, LANDS_QUAD, 64, 0.5, 11.6, 1.6, 0.30, FALSE, draw_quad, 0x1f2022,
    0.22 },
  { "module20", 20.0, 15.0, 7, LANDS_ROW, 4, 2.54, 0, 1.8, 1.8, TRUE, draw_module, 0x7a2331, 0 },
  { "lead-sensor", 4, 4, 3, LANDS_NONE, 0, 0, 0, 0, 0, FALSE, draw_lead_sensor, 0x1a1b1d, 30 },
};

const DrawPackage *
draw_package_find (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (packages); i++)
    if (g_str_equal (packages[i].name, name))
      return &packages[i];
  return NULL;
}

static void
place_dual (const DrawPackage *p, int k, double *u, double *v)
{
  int side = p->n / 2;
  gboolean upright = p->h > p->w; /* optocoupler: pins left and right of a tall body */
  int step = k < side ? k : p->n - 1 - k;
  double along = (step - (side - 1) / 2.0) * p->pitch;
  double across = k < side ? p->row / 2 : -p->row / 2;

  *u = upright ? -across : along;
  *v = upright ? along : across;
}

static void
place_quad (const DrawPackage *p, int k, double *u, double *v, gboolean *lying)
{
  int side = p->n / 4, which = k / side;
  double along = (k % side - (side - 1) / 2.0) * p->pitch;

  *lying = which % 2 == 0;
  switch (which)
    {
    case 0:
      *u = -p->row / 2, *v = along;
      break;
    case 1:
      *u = along, *v = p->row / 2;
      break;
    case 2:
      *u = p->row / 2, *v = -along;
      break;
    default:
      *u = -along, *v = -p->row / 2;
      break;
    }
}

/* A land under the body is reached at a bare spot just outside the nearest side. */
static void
place_probe (const DrawPackage *p, DrawPad *pad)
{
  double left = p->w / 2 - fabs (pad->u), up = p->h / 2 - fabs (pad->v);
  gboolean screw = p->paint == draw_terminal;

  pad->probe_u = pad->u;
  pad->probe_v = screw ? -0.9 : pad->v;
  pad->probe_z = screw ? p->top - 1.6 : 0.1;
  if (screw || !pad->through || left < -0.3 || up < -0.3)
    return;
  if (left < up || (p->round && fabs (pad->u) > 0.1))
    pad->probe_u = copysign (p->w / 2 + (p->top > 30 ? 3.2 : 1.7), pad->u); /* tall parts lean */
  else
    pad->probe_v = copysign (p->h / 2 + 1.7, p->lands == LANDS_ROW ? 1 : pad->v);
}

/* Fills in the lands, at most DRAW_MAX_PADS; returns how many. */
int
draw_package_pads (const DrawPackage *self, DrawPad *pads)
{
  for (int k = 0; k < self->n; k++)
    {
      DrawPad *pad = &pads[k];
      gboolean lying = self->h > self->w;

      *pad = (DrawPad){ .w = self->land_w, .h = self->land_h, .through = self->through };
      g_snprintf (pad->name, sizeof pad->name, "%d", k + 1);
      if (self->lands == LANDS_TWO)
        pad->u = (k == 0 ? -0.5 : 0.5) * self->pitch;
      else if (self->lands == LANDS_ROW)
        pad->u = (k - (self->n - 1) / 2.0) * self->pitch;
      else if (self->lands == LANDS_DUAL)
        place_dual (self, k, &pad->u, &pad->v);
      else if (self->lands == LANDS_QUAD)
        place_quad (self, k, &pad->u, &pad->v, &lying);
      else
        pad->u = self->list[2 * k], pad->v = self->list[2 * k + 1];
      if ((self->lands == LANDS_DUAL && !lying) || (self->lands == LANDS_QUAD && !lying))
        pad->w = self->land_h, pad->h = self->land_w;
      if (self->paint == draw_to220)
        pad->v = 2.6;
      if (self->paint == draw_module)
        pad->v = self->h / 2 - 1.6;
      place_probe (self, pad);
    }
  return self->n;
}

/* Where the part stands in the picture of one side. Behind, the board is turned about its upright
 * axis: leaded parts appear mirrored, parts of that side as they are. */
DrawFrame
draw_part_frame (const DrawPart *part, double board_w, gboolean from_back)
{
  if (!from_back)
    return draw_frame (part->x, part->y, part->turn, part->back);
  if (part->back)
    return draw_frame (board_w - part->x, part->y, -part->turn, FALSE);
  return draw_frame (board_w - part->x, part->y, -part->turn, TRUE);
}

void
draw_print (const DrawBody *body,
            double u,
            double v,
            double size,
            guint32 rgb,
            double degrees,
            const char *text)
{
  g_autoptr (PangoLayout) layout = NULL;
  g_autoptr (PangoFontDescription) font = pango_font_description_from_string ("Sans");
  DrawFrame at = draw_frame_at (&body->frame, u, v, degrees);
  PangoRectangle ink;

  cairo_save (body->print);
  cairo_translate (body->print, at.x, at.y);
  cairo_rotate (body->print, atan2 (at.s, at.c));
  layout = pango_cairo_create_layout (body->print);
  /* Pango lays out in its own units; draw large and scale down so that hinting does not matter. */
  pango_font_description_set_absolute_size (font, 100 * PANGO_SCALE);
  pango_layout_set_font_description (layout, font);
  pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  pango_layout_set_text (layout, text, -1);
  pango_layout_get_pixel_extents (layout, &ink, NULL);
  cairo_scale (body->print, size / 73, size / 73);
  cairo_translate (body->print, -ink.x - ink.width / 2.0, -ink.y - ink.height / 2.0);
  cairo_set_source_rgb (body->print, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0,
                        (rgb & 255) / 255.0);
  pango_cairo_show_layout (body->print, layout);
  cairo_restore (body->print);
}
