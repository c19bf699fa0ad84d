/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-steps.h"

G_BEGIN_DECLS

/* Two buttons that say what can be undone and redone at a place of the library, and do it; nothing is shown while there
 * is nothing. Signal "taken": the library is as it was; show it. */
#define BL_TYPE_STEPS_BAR (bl_steps_bar_get_type ())
G_DECLARE_FINAL_TYPE (BlStepsBar, bl_steps_bar, BL, STEPS_BAR, GtkWidget)

GtkWidget *bl_steps_bar_new (BlLibrary *library, BlStepsPlace place, gint64 owner);
/* Something was done. */
void bl_steps_bar_refresh (BlStepsBar *self);
void bl_steps_bar_take (BlStepsBar *self, gboolean undo);
/* Ctrl Z and Ctrl Shift Z anywhere in a widget. */
void bl_steps_bar_add_keys (BlStepsBar *self, GtkWidget *widget);

G_END_DECLS
