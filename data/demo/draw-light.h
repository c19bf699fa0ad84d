/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-field.h"

/* Light leaving each cell towards the lens, linear, 1 is white paper in the key light; stored as
 * the square root in 8 bits, full scale 2. */
typedef struct
{
  guint8 r, g, b;
  guint8 shade; /* how much of the key light arrives, for the walls of parts */
} DrawLit;

DrawLit *draw_light (const DrawField *field, guint seed);
double draw_lit_value (guint8 code);
double draw_srgb_to_linear (guint8 code);
