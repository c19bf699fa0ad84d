/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

/* A photo has at most so many pixels, and no side longer than cairo can draw. */
#define BL_IMAGE_MAX_PIXELS (200 * 1000 * 1000)
#define BL_IMAGE_MAX_SIDE 32767

/* The kind of picture by its first bytes ("image/jpeg", "image/png", "image/webp", "image/heif",
 * "image/avif"); NULL when it is none of these. (transfer none) */
const char *bl_image_mime (GBytes *image);

/* Width and height in pixels, as the header of a JPEG, PNG or WebP file declares them; not turned upright.
 * FALSE when it says none. */
gboolean bl_image_size (GBytes *image, guint *width, guint *height);

/* Looks whether image is a JPEG, PNG or WebP file that does not break off and does not unpack to more pixels
 * than a photo has; it is not decoded. FALSE
 * with G_IO_ERROR_INVALID_DATA and the reason. name: what the file is called, for the message. */
gboolean bl_image_check (GBytes *image, const char *name, GError **error);

G_END_DECLS
