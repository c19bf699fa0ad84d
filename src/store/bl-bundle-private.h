/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bundle.h"
#include "bl-source.h"

G_BEGIN_DECLS

/* Private to store: what a bundle of one board and one of an equipment share. */

BlBundle *bl_bundle_new (void);
/* File name -> GBytes. (transfer full) */
GHashTable *bl_photo_table_new (void);
/* ".jpg" for "image/jpeg" and so on; "". (transfer none) */
const char *bl_image_suffix (const char *mime);

/* Puts the pictures of photos (BlPhoto) of the document called document into table, by the name that the
 * document has for them. FALSE with error when one is no picture; one that is not there is warned of. */
gboolean bl_source_take_photos (BlSource *source,
                                const char *document,
                                const GPtrArray *photos,
                                GHashTable *table,
                                GPtrArray *problems,
                                GError **error);
/* What is left of a zip: pictures that no document names go into photos, the rest is warned of. */
gboolean bl_source_finish (BlSource *source, GHashTable *photos, GPtrArray *problems, GError **error);

/* The board whose document, of this name, was read. (transfer full) */
BlBundle *bl_bundle_from_source (BlSource *source,
                                 const char *name,
                                 GBytes *document,
                                 GPtrArray *problems,
                                 GError **error);

G_END_DECLS
