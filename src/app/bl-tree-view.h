/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The fault tree of the likely failed stage: causes left, effect right. */
#define BL_TYPE_TREE_VIEW (bl_tree_view_get_type ())
G_DECLARE_FINAL_TYPE (BlTreeView, bl_tree_view, BL, TREE_VIEW, GtkWidget)

GtkWidget *bl_tree_view_new (void);
void bl_tree_view_set_bench (BlTreeView *self, BlBench *bench);

G_END_DECLS
