/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* The values at the ends of the ruler's zones; private to the ruler's drawing. All in the frame the
 * band judges in (signs reversed for a negative nominal). */
typedef struct
{
  gboolean has_start;         /* there is an absent or shorted class: zone 0 to start */
  gboolean has_low, has_high; /* the band has this limit */
  gboolean has_open;          /* there is an open class above end */
  double floor;     /* left end of the low zone where there is no absent or shorted class */
  double start;     /* absent_below or shorted_below */
  double low, high; /* the lane's ends; made up where the limit was left out */
  double end;       /* right end of the high zone */
} BlRulerScale;

void bl_ruler_scale_init (BlRulerScale *scale, const BlBand *band);
/* Position of a value of the judging frame, 0 to 1. */
double bl_ruler_scale_at (const BlRulerScale *scale, double value);
/* value as read turned into the judging frame, and back: the same operation. */
double bl_ruler_scale_turn (const BlBand *band, double value);

G_END_DECLS
