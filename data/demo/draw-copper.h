/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-route.h"

/* Masks of one side as it is seen, in the cells of a field: A8 cairo surfaces. */
typedef struct
{
  cairo_surface_t *copper; /* this side */
  cairo_surface_t *other;  /* far side, faintly seen through the board */
  cairo_surface_t *bare;   /* openings of the solder mask */
  cairo_surface_t *ink;    /* silk screen */
  cairo_surface_t *cut;    /* holes and slots */
} DrawMasks;

void draw_masks_make (DrawMasks *self,
                      const DrawLayout *layout,
                      const DrawRoute *route,
                      const DrawField *field,
                      gboolean back);
void draw_masks_clear (DrawMasks *self);
cairo_t *draw_board_context (cairo_surface_t *surface, const DrawField *field, gboolean mirror);
void
draw_silk (cairo_surface_t *ink, const DrawLayout *layout, const DrawField *field, gboolean back);
void draw_text (cairo_t *cr, double x, double y, double size, double degrees, const char *text);
