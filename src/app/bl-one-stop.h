/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define BL_TYPE_ONE_STOP (bl_one_stop_get_type ())
G_DECLARE_FINAL_TYPE (BlOneStop, bl_one_stop, BL, ONE_STOP, GtkWidget)

/* Around a list where marking a row has consequences: Tab goes to the marked row, and from it out of the list; arrows move
 * within. (transfer floating) */
GtkWidget *bl_one_stop_new (GtkWidget *list);

G_END_DECLS
