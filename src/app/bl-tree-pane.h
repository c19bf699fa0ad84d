/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"
#include "bl-tree-canvas.h"

G_BEGIN_DECLS

/* The fault tree of the job in full: of the likely stage, of another or of the whole board; beside it in
 * which ways it comes about. Computes only while it is open.
 *
 * Signals: "component-chosen", "stage-chosen" (const char *id): taken in the tree. */
#define BL_TYPE_TREE_PANE (bl_tree_pane_get_type ())
G_DECLARE_FINAL_TYPE (BlTreePane, bl_tree_pane, BL, TREE_PANE, GtkWidget)

GtkWidget *bl_tree_pane_new (void);
void bl_tree_pane_set_bench (BlTreePane *self, BlBench *bench);
void bl_tree_pane_set_open (BlTreePane *self, gboolean open);
gboolean bl_tree_pane_is_open (BlTreePane *self);
/* The tree of this stage from now on; NULL: of the whole board. */
void bl_tree_pane_set_stage (BlTreePane *self, const char *stage);
/* Flies to it, in the tree of the whole board where this one does not have it. FALSE: the board neither. */
gboolean bl_tree_pane_show_component (BlTreePane *self, const char *component);
gboolean bl_tree_pane_show_stage (BlTreePane *self, const char *stage);
/* Puts the cursor into the search field. */
void bl_tree_pane_find (BlTreePane *self);
/* TRUE while the keyboard is in the tree itself. */
gboolean bl_tree_pane_has_focus (BlTreePane *self);
BlTreeCanvas *bl_tree_pane_get_canvas (BlTreePane *self);

G_END_DECLS
