/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>
#include <glib.h>

G_BEGIN_DECLS

typedef struct
{
  double red, green, blue; /* sRGB, 0 to 1 */
} BlColour;

/* The colours of the program, by what they say. A colour stands for a verdict, a danger or the
 * likely failed stage; everything else is ink on a ground. */
typedef struct
{
  gboolean dark;
  BlColour page, raised;   /* grounds: page, and panels lifted off it (also paper) */
  BlColour ink;            /* text, selection, absent */
  BlColour muted;          /* captions, reasons */
  BlColour edge, hairline; /* key caps and fields; separators */
  BlColour track, hatch;   /* of the band ruler outside the lane */
  BlColour in_band, low, high, unsteady, shorted, too_close, not_reached; /* verdicts */
  BlColour lane, lane_limit;   /* the band, and its limits */
  BlColour mark, mark_ink;     /* marked values */
  BlColour likely, likely_row; /* likely failed stage; ink on it is likely_ink */
  BlColour likely_ink;
  BlColour banner_live, banner_live_ink;       /* above 60 V */
  BlColour banner_limited, banner_limited_ink; /* live up to 60 V */
  BlColour banner_no_proof, banner_no_proof_ink;
  BlColour chip, chip_ink; /* names on photos, and the casing of shapes there */
} BlPalette;

/* Returns: (transfer none), static. */
const BlPalette *bl_palette_get (gboolean dark);

/* Makes colour the source of cr, opaque or with alpha (0 to 1). */
void bl_set_source (cairo_t *cr, const BlColour *colour);
void bl_set_source_alpha (cairo_t *cr, const BlColour *colour, double alpha);

G_END_DECLS
