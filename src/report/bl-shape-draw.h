/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-palette.h"
#include "bl-verdict.h"

G_BEGIN_DECLS

/* The shapes that stand for verdicts on photo, list, tree, log and paper alike. */
typedef enum
{
  BL_SHAPE_IN_BAND,
  BL_SHAPE_LOW,
  BL_SHAPE_HIGH,
  BL_SHAPE_ABSENT,
  BL_SHAPE_UNSTEADY,
  BL_SHAPE_SHORTED,
  BL_SHAPE_OPEN,
  BL_SHAPE_TOO_CLOSE,
  BL_SHAPE_NOT_REACHED,
  BL_N_SHAPES
} BlShape;

/* Below this size (px) shapes are not drawn: they could not be told apart. */
#define BL_SHAPE_LEAST 11.0

/* The shape of a class name. A mark has the shape of the zone it lies in, which needs band (NULL:
 * unknown marks show as too close to call); so does "deviates", whose shape depends on the answer
 * that was expected. Labels that are no classes ("too close to call", "reversed", "not reached")
 * are understood too. */
BlShape bl_shape_for_class (const char *class_name, const BlBand *band);
/* The shape of a verdict as it is announced; band may be NULL. verdict NULL: not reached. */
BlShape bl_shape_for_verdict (const BlVerdict *verdict, const BlBand *band);

/* The colour of a shape. (transfer none) */
const BlColour *bl_shape_colour (BlShape shape, const BlPalette *palette);
/* The word that belongs to a shape, translated. (transfer none) */
const char *bl_shape_word (BlShape shape);

/* Draws shape centred at (cx, cy), size px high and wide; nothing below BL_SHAPE_LEAST.
 * casing: a dark edge around it, for photos (with the dark palette's colours there). */
void bl_shape_draw (cairo_t *cr,
                    BlShape shape,
                    double cx,
                    double cy,
                    double size,
                    const BlPalette *palette,
                    gboolean casing);

G_END_DECLS
