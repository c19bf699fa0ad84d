/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The colours, once, for screens and paper.
 *
 * Verdict hues are those of Okabe and Ito's set for all kinds of colour vision, darkened on the
 * light ground and lightened on the dark one until text in them reaches a contrast of 4.5
 * (WCAG 2.1, success criterion 1.4.3); the test of this file computes the ratios. It knows no theme
 * of the desktop: the caller says dark or light. */
#include "config.h"

#include "bl-palette.h"

#define RGB(hex)                                                                                   \
  {                                                                                                \
    ((hex) >> 16 & 0xff) / 255.0, ((hex) >> 8 & 0xff) / 255.0, ((hex) &0xff) / 255.0               \
  }

static const BlPalette light = {
  .dark = FALSE,
  .page = RGB (0xF3F2EE),
  .raised = RGB (0xFFFFFF),
  .ink = RGB (0x17181A),
  .muted = RGB (0x55544F),
  .edge = RGB (0x8A8780),
  .hairline = RGB (0xCFCCC3),
  .track = RGB (0xDCDAD2),
  .hatch = RGB (0x8A8780),
  .in_band = RGB (0x00694C),
  .low = RGB (0x00598C),
  .high = RGB (0xA63D00),
  .unsteady = RGB (0x8F2F66),
  .shorted = RGB (0x7A4E00),
  .too_close = RGB (0x4A4A46),
  .not_reached = RGB (0x6B6963),
  .lane = RGB (0xBFE3D6),
  .lane_limit = RGB (0x007A5A),
  .mark = RGB (0xD9C7A0),
  .mark_ink = RGB (0x5C3F00),
  .likely = RGB (0xF0E442),
  .likely_row = RGB (0xFBF6B8),
  .likely_ink = RGB (0x17181A),
  .banner_live = RGB (0xA63D00),
  .banner_live_ink = RGB (0xFFFFFF),
  .banner_limited = RGB (0xE69F00),
  .banner_limited_ink = RGB (0x17181A),
  .banner_no_proof = RGB (0xF0E442),
  .banner_no_proof_ink = RGB (0x17181A),
  .chip = RGB (0x0B0C0D),
  .chip_ink = RGB (0xFFFFFF),
};

static const BlPalette dark_palette = {
  .dark = TRUE,
  .page = RGB (0x17191B),
  .raised = RGB (0x26292C),
  .ink = RGB (0xF4F2ED),
  .muted = RGB (0xB5B2AA),
  .edge = RGB (0x7C8288),
  .hairline = RGB (0x3A3E42),
  .track = RGB (0x33373A),
  .hatch = RGB (0x7C8288),
  .in_band = RGB (0x34C79B),
  .low = RGB (0x6CC0F0),
  .high = RGB (0xFF8B4A),
  .unsteady = RGB (0xE6A4CB),
  .shorted = RGB (0xE9A81B),
  .too_close = RGB (0xD2CFC7),
  .not_reached = RGB (0xA5A29A),
  .lane = RGB (0x14493A),
  .lane_limit = RGB (0x34C79B),
  .mark = RGB (0x5A4720),
  .mark_ink = RGB (0xF3CF85),
  .likely = RGB (0xF0E442),
  .likely_row = RGB (0x3A3712),
  .likely_ink = RGB (0x17181A),
  .banner_live = RGB (0xB84300),
  .banner_live_ink = RGB (0xFFFFFF),
  .banner_limited = RGB (0xE69F00),
  .banner_limited_ink = RGB (0x17181A),
  .banner_no_proof = RGB (0xF0E442),
  .banner_no_proof_ink = RGB (0x17181A),
  .chip = RGB (0x0B0C0D),
  .chip_ink = RGB (0xFFFFFF),
};

const BlPalette *
bl_palette_get (gboolean dark)
{
  return dark ? &dark_palette : &light;
}

void
bl_set_source (cairo_t *cr, const BlColour *colour)
{
  cairo_set_source_rgb (cr, colour->red, colour->green, colour->blue);
}

void
bl_set_source_alpha (cairo_t *cr, const BlColour *colour, double alpha)
{
  cairo_set_source_rgba (cr, colour->red, colour->green, colour->blue, alpha);
}
