/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bundle.h"
#include "bl-equipment.h"

G_BEGIN_DECLS

/* What comes in one file: a board, or an equipment with the boards it joins. The file is a bundle (a zip of
 * board.json and photos, or of equipment.json, the documents it names and their photos) or a bare document with
 * what it names beside it. A document's photos lie relative to the document. */
typedef struct
{
  BlEquipment *equipment; /* NULL: a board alone */
  GHashTable *photos;     /* of the equipment itself: file name as in its document -> GBytes */
  GPtrArray *boards;      /* BlBundle, each once */
  GArray *members;        /* guint: of the equipment's boards in their order, which of boards */
} BlDelivery;
/* An empty one: no equipment, no boards. (transfer full) */
BlDelivery *bl_delivery_new (void);
void bl_delivery_free (BlDelivery *delivery);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDelivery, bl_delivery_free)

/* Reads a file wholly, checked; hostile or broken input is refused with the reason. problems as in
 * bl_bundle_read (). (transfer full) */
BlDelivery *bl_delivery_read (const char *path, GPtrArray *problems, GError **error);
/* Writes it as a bundle, whole or not at all. Of an equipment each board gets a folder named like its first
 * role, with its photos in it. */
gboolean bl_delivery_write (const BlDelivery *delivery, const char *path, GError **error);

G_END_DECLS
