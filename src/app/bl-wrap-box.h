/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Children side by side in their own width; those that do not fit go on in a further line. */
#define BL_TYPE_WRAP_BOX (bl_wrap_box_get_type ())
G_DECLARE_FINAL_TYPE (BlWrapBox, bl_wrap_box, BL, WRAP_BOX, GtkWidget)

/* gap: between children; line_gap: between lines, px. */
GtkWidget *bl_wrap_box_new (int gap, int line_gap);
void bl_wrap_box_append (BlWrapBox *self, GtkWidget *child);

G_END_DECLS
