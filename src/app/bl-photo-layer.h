/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-paint.h"

G_BEGIN_DECLS

/* What stands on the photo, drawn once for a region around the pane, so that a pan only moves it. */
typedef struct BlPhotoLayer BlPhotoLayer;

/* Draws it for this view and some way around. */
BlPhotoLayer *bl_photo_layer_new (const BlPhotoPaint *paint);
void bl_photo_layer_free (BlPhotoLayer *self);
/* TRUE when it shows the same things at the same size, and reaches as far as this view. */
gboolean bl_photo_layer_serves (const BlPhotoLayer *self, const BlPhotoPaint *paint);
/* Puts it on the photo as this view shows it, to the whole pixel. */
void bl_photo_layer_paint (const BlPhotoLayer *self, cairo_t *cr, const BlViewport *viewport);

G_END_DECLS
