/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

/* Looks whether image is a JPEG, PNG or WebP file that does not break off; it is not decoded. FALSE
 * with G_IO_ERROR_INVALID_DATA and the reason. name: what the file is called, for the message. */
gboolean bl_image_check (GBytes *image, const char *name, GError **error);

G_END_DECLS
