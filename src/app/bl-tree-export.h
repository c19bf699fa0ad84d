/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"
#include "bl-tree-scene.h"

G_BEGIN_DECLS

/* Asks where to, then writes the scene's tree, unfolded, as PDF or SVG; says when it is done or why it is
 * not. The tree is that of now, whatever happens to scene later. */
void bl_tree_export_run (GtkWidget *widget, BlBench *bench, const BlTreeScene *scene, gboolean priors);

G_END_DECLS
