/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Two paths side by side, the one somebody took and the one of the best plan, gone through a step at a time.
 *
 * Signal: "shown" (gboolean best, guint step): this step is to be shown; step 0 is before the first, 1 the first. */
#define BL_TYPE_DRILL_PATH (bl_drill_path_get_type ())
G_DECLARE_FINAL_TYPE (BlDrillPath, bl_drill_path, BL, DRILL_PATH, GtkWidget)

/* own: BlDrillStep, copied. The place of the best plan says that it is being worked out. Shapes: BlShape of each step's
 * verdict, -1 where it has none; NULL: none has. */
GtkWidget *bl_drill_path_new (BlBench *bench, GPtrArray *own, const int *own_shapes);
/* The best plan came later; NULL: it will not come. about: what is to be known of it as a whole. */
void bl_drill_path_set_best (BlDrillPath *self, GPtrArray *best, const int *shapes, const char *about);
/* One step on or back; stays at the ends. */
void bl_drill_path_step (BlDrillPath *self, int by);
/* Goes over to the other path, to the step it was left at. */
void bl_drill_path_change (BlDrillPath *self);
gboolean bl_drill_path_is_best (BlDrillPath *self);
guint bl_drill_path_get_step (BlDrillPath *self);
/* What the step shown is, and what it was worth. (transfer full) */
char *bl_drill_path_step_words (BlDrillPath *self);
char *bl_drill_path_worth_words (BlDrillPath *self);
/* Left, right: a step; B: the other path. FALSE: not for it. */
gboolean bl_drill_path_key (BlDrillPath *self, guint keyval, GdkModifierType state);

G_END_DECLS
