/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-surface.h"

G_BEGIN_DECLS

/* Photos by id: each is read and decoded once, off the thread that draws, and kept as long as the loader.
 * Signal "loaded" (const char *id): it is there, or its message. */
#define BL_TYPE_PHOTO_LOADER (bl_photo_loader_get_type ())
G_DECLARE_FINAL_TYPE (BlPhotoLoader, bl_photo_loader, BL, PHOTO_LOADER, GObject)

/* Reads the file of a photo. (transfer full); NULL: error is set */
typedef GBytes *(*BlPhotoRead) (const char *id, gpointer data, GError **error);

/* read is called with data only from bl_photo_loader_get (). */
BlPhotoLoader *bl_photo_loader_new (BlPhotoRead read, gpointer data);
/* NULL while it is being decoded, or when it cannot be; then message (transfer none) says so, with title where that is not
 * NULL. (transfer none) */
BlPhotoSurface *bl_photo_loader_get (BlPhotoLoader *self, const char *id, const char *title, const char **message);
/* The photo if it is there already; nothing is begun. (transfer none) */
BlPhotoSurface *bl_photo_loader_peek (BlPhotoLoader *self, const char *id);
/* It was tried, and cannot be opened. */
gboolean bl_photo_loader_is_broken (BlPhotoLoader *self, const char *id);
/* Another picture stands in its place now: it is read anew when it is asked for next. */
void bl_photo_loader_forget (BlPhotoLoader *self, const char *id);
/* Stops what is being decoded, tells no more, and gives up the reference. NULL: nothing. */
void bl_photo_loader_close (BlPhotoLoader *self);

G_END_DECLS
