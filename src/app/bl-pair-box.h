/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Two widgets: side by side, equally wide, where there is this much width, else one below the other. */
#define BL_TYPE_PAIR_BOX (bl_pair_box_get_type ())
G_DECLARE_FINAL_TYPE (BlPairBox, bl_pair_box, BL, PAIR_BOX, GtkWidget)

/* width: px, from which on they stand side by side. */
GtkWidget *bl_pair_box_new (GtkWidget *first, GtkWidget *second, int width);

G_END_DECLS
