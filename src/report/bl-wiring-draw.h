/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-wiring-layout.h"

#include <pango/pangocairo.h>

#include "bl-palette.h"

G_BEGIN_DECLS

/* What the drawing shows beside the wiring itself. */
typedef struct
{
  const BlPalette *palette;
  const BlColour *ground;  /* what it is drawn on; NULL: the page */
  PangoContext *context;   /* its font's family is kept, sizes are absolute */
  const int *shapes;       /* BlShape of each check, -1: unread; NULL: all unread */
  int current;             /* check in hand; -1: none */
  int focus;               /* check that the keyboard is at; -1: none */
  BlWirePlace likely;      /* as given to the layout */
  guint likely_index;
  const char *likely_words; /* of the tab: "likely failed: roof 62 %" */
} BlWiringLook;

/* Draws it at the origin of cr. */
void bl_wiring_draw (cairo_t *cr, const BlWiring *wiring, const BlWiringLayout *layout, const BlWiringLook *look);

/* For bl_wiring_layout_new (); data: the PangoContext. */
double bl_wiring_measure (const char *text, double px, gboolean bold, gpointer data);

/* "wall feeds roof"; NULL: not known. (transfer full) */
char *bl_wiring_supply_words (const BlWiring *wiring, int feeds, int fed);

G_END_DECLS
