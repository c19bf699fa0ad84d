/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-palette.h"

G_BEGIN_DECLS

/* How the readings of many boards lie beside the documented band and a proposed one: a strip of dots in the style of
 * the band ruler, but to one scale. */

typedef enum
{
  BL_SPREAD_COUNTS,  /* a filled dot */
  BL_SPREAD_OUTLIER, /* hollow: named as an outlier, still counts */
  BL_SPREAD_OUT      /* hollow and crossed: left out */
} BlSpreadKind;

typedef struct
{
  double value;
  BlSpreadKind kind;
} BlSpreadDot;

typedef struct
{
  const BlSpreadDot *dots;
  guint n_dots;
  double documented_low, documented_high; /* infinite: no limit on this side */
  gboolean documented;                    /* FALSE: nothing is documented */
  double proposed_low, proposed_high;     /* NAN both: nothing is proposed; infinite: no limit on this side */
  double other_low, other_high;           /* the one without the outliers; NAN both: none */
} BlSpread;

/* Height of the strip of dots and lanes, px, and where a value stands across it. */
#define BL_SPREAD_HEIGHT 34

/* Where each dot stands, in a strip of this width: x, y of its centre from the strip's left and top. Dots that
 * would cover each other are stacked. (transfer full) GArray of double pairs */
GArray *bl_spread_places (const BlSpread *spread, double width);
/* x of a value; beyond the ends for values beyond. */
double bl_spread_across (const BlSpread *spread, double width, double value);
/* The dot under x, y (from the strip's left and top); -1: none. */
int bl_spread_dot_at (const BlSpread *spread, double width, double x, double y);

/* Draws the strip into (x, y, w, BL_SPREAD_HEIGHT). marked: the dot in hand, -1: none. raised: it stands on the
 * raised ground. */
void bl_spread_draw (cairo_t *cr,
                     const BlSpread *spread,
                     int marked,
                     gboolean raised,
                     double x,
                     double y,
                     double w,
                     const BlPalette *palette);

G_END_DECLS
