/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-ruler-draw.h"

G_BEGIN_DECLS

/* The band ruler with its limits written under it, for the focus panel and the probe view. */
#define BL_TYPE_RULER (bl_ruler_get_type ())
G_DECLARE_FINAL_TYPE (BlRuler, bl_ruler, BL, RULER, GtkWidget)

GtkWidget *bl_ruler_new (void);
/* Height of the lane (40 in the panel, 88 in the probe view), size of the figures below, px. */
void bl_ruler_set_sizes (BlRuler *self, int lane, int figures, gboolean zones, gboolean raised);
/* As wide as this and no wider, px; for columns. */
void bl_ruler_set_width (BlRuler *self, int width);
/* Copies all; each may be NULL. typing: the needle is hollow. */
void bl_ruler_show (BlRuler *self, const BlBand *band, const BlReading *reading, const BlVerdict *verdict,
                    gboolean typing);

G_END_DECLS
