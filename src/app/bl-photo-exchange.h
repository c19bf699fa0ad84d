/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-view.h"

G_BEGIN_DECLS

/* Shows another photo in the same cut-out, as far as the two have the same shape: going to and fro between two
 * pictures, the eye finds what is otherwise. Everything else as bl_photo_view_set_surface (). */
void bl_photo_view_exchange_surface (BlPhotoView *self, BlPhotoSurface *surface, const char *message);

G_END_DECLS
