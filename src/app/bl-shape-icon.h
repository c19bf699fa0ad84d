/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-shape-draw.h"

G_BEGIN_DECLS

/* A verdict shape as a small widget; the word stands beside it, so it is decoration to assistive
 * technology. */
#define BL_TYPE_SHAPE_ICON (bl_shape_icon_get_type ())
G_DECLARE_FINAL_TYPE (BlShapeIcon, bl_shape_icon, BL, SHAPE_ICON, GtkWidget)

/* shape: BlShape or -1 for none. */
GtkWidget *bl_shape_icon_new (int shape, int size);
void bl_shape_icon_set_shape (BlShapeIcon *self, int shape);

G_END_DECLS
