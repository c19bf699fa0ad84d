/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>
#include <gdk-pixbuf/gdk-pixbuf.h>
#include <gio/gio.h>

G_BEGIN_DECLS

/* A decoded photo, upright, with halved copies of itself. Immutable and reference counted: views of
 * the same photo share it. */
#define BL_TYPE_PHOTO_SURFACE (bl_photo_surface_get_type ())
typedef struct BlPhotoSurface BlPhotoSurface;
GType bl_photo_surface_get_type (void);

BlPhotoSurface *bl_photo_surface_ref (BlPhotoSurface *self);
void bl_photo_surface_unref (BlPhotoSurface *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPhotoSurface, bl_photo_surface_unref)

/* Decodes an image file (JPEG, PNG, WebP ...) in the calling thread. (transfer full) */
BlPhotoSurface *bl_photo_surface_decode (GBytes *image, GCancellable *cancellable, GError **error);
/* The same in a worker thread. */
void bl_photo_surface_load_async (GBytes *image, GCancellable *cancellable, GAsyncReadyCallback callback,
                                  gpointer data);
BlPhotoSurface *bl_photo_surface_load_finish (GAsyncResult *result, GError **error);

/* Size of the upright photo, px. */
int bl_photo_surface_width (const BlPhotoSurface *self);
int bl_photo_surface_height (const BlPhotoSurface *self);
/* Paints the photo so that the image point (x, y) falls on view point (0, 0), at zoom view px an
 * image px, into 0, 0, width, height. */
void bl_photo_surface_paint (BlPhotoSurface *self, cairo_t *cr, double x, double y, double zoom, double width,
                             double height);

/* A small PNG of an image file, longest side 256 px. (transfer full) */
GBytes *bl_photo_thumbnail (GBytes *image, GError **error);
/* Mime type by content ("image/jpeg", "image/png", "image/webp" ...) or NULL when it is no image.
 * (transfer full) */
char *bl_photo_mime (GBytes *image);

G_END_DECLS
