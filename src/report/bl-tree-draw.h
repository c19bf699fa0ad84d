/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <pango/pangocairo.h>

#include "bl-palette.h"
#include "bl-tree-chart.h"

G_BEGIN_DECLS

/* Sizes of what is drawn, px. */
#define BL_CHART_GATE_W 272.0
#define BL_CHART_GATE_H 50.0
#define BL_CHART_LEAF_W 272.0
#define BL_CHART_LEAF_H 26.0
#define BL_CHART_TALL_H 38.0 /* a leaf whose name takes two lines */
#define BL_CHART_LONG 18     /* characters from which it does */
#define BL_CHART_TEXT 12.5 /* names and odds */
#define BL_CHART_LEAST 11.0 /* the smallest text there is */

/* How a chart is drawn. */
typedef struct
{
  const BlPalette *palette;
  PangoContext *context; /* its font's family is kept, sizes are absolute */
  double x0, y0, x1, y1; /* what lies outside is not drawn, chart px */
  int selected;          /* item, -1: none */
  GHashTable *marked;    /* nodes of the tree (GUINT_TO_POINTER (node + 1)), NULL: none */
  gboolean priors;       /* beside the odds */
  gboolean plain;        /* too small to read: no text */
  const guint *pages;    /* of each item the page it is drawn on, 0: none; NULL: no pages */
} BlTreeLook;

/* Draws what is shown of chart at the origin of cr. Returns how many items were drawn. */
guint bl_tree_chart_draw (cairo_t *cr, const BlTreeChart *chart, const BlTreeLook *look);

/* The symbols with what they mean, side by side in as many lines as width asks for; draws nothing where
 * cr is NULL. Returns the height, px. */
double bl_tree_legend_draw (cairo_t *cr, const BlTreeLook *look, double x, double y, double width);

/* "12 %", "0.3 %", "0.0004 %": of a prior, which is small. (transfer full) */
char *bl_chart_prior (double probability);

G_END_DECLS
