/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-tree-chart.h"

G_BEGIN_DECLS

/* A drawn fault tree to move about in: wheel zooms to the pointer, dragging pans, Z fits, + and - zoom;
 * arrows step along the tree, Space folds and unfolds, Enter or a press takes what is there. Each item shown
 * is a child for assistive technology, with a name of its own.
 *
 * Signals: "chosen" (guint node): pressed, or Enter. "moved": another part is in view. */
#define BL_TYPE_TREE_CANVAS (bl_tree_canvas_get_type ())
G_DECLARE_FINAL_TYPE (BlTreeCanvas, bl_tree_canvas, BL, TREE_CANVAS, GtkWidget)

GtkWidget *bl_tree_canvas_new (void);
/* The whole tree in small, with the part in view framed; a press or drag in it goes there. */
GtkWidget *bl_tree_plan_new (BlTreeCanvas *canvas);
/* Takes over chart (transfer full), NULL: none; words (may be NULL) stand in its place then. */
void bl_tree_canvas_set_chart (BlTreeCanvas *self, BlTreeChart *chart, const char *words);
BlTreeChart *bl_tree_canvas_get_chart (BlTreeCanvas *self);
/* Facts or folding of the chart have changed. */
void bl_tree_canvas_update (BlTreeCanvas *self);
/* Selects the item and flies there, unfolding what stands before it; -1: nothing is selected. */
void bl_tree_canvas_show (BlTreeCanvas *self, int item);
int bl_tree_canvas_get_selected (BlTreeCanvas *self);
/* Nodes to be marked, with their ways to the top; NULL: none. (transfer none) */
void bl_tree_canvas_mark (BlTreeCanvas *self, const GArray *nodes);
void bl_tree_canvas_set_priors (BlTreeCanvas *self, gboolean priors);
void bl_tree_canvas_fit (BlTreeCanvas *self);
/* The selection, at a size that can be read. A new chart begins with its leading suspect, or its top. */
void bl_tree_canvas_begin (BlTreeCanvas *self);
void bl_tree_canvas_zoom (BlTreeCanvas *self, double factor);
void bl_tree_canvas_pan (BlTreeCanvas *self, double dx, double dy);
/* Folds or unfolds the item, which stays where it is on the screen. */
void bl_tree_canvas_toggle (BlTreeCanvas *self, guint item);
/* Where an item is, widget px; FALSE: it is folded away. */
gboolean bl_tree_canvas_place_of (BlTreeCanvas *self, guint item, GdkRectangle *place);
/* How many items the last drawing had; for tests. */
guint bl_tree_canvas_get_drawn (BlTreeCanvas *self);

G_END_DECLS
