/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-delivery.h"

G_BEGIN_DECLS

/* Equipments of a library: documents that join boards of the same library, for faults that lie between them.
 * The document names its boards by role; which board of the library has a role is kept beside it, so boards are
 * edited as ever and the equipment follows. A board stays while an equipment needs it. */

typedef struct
{
  char *role;
  gint64 board; /* id of the board */
} BlEquipmentBoard;

typedef struct
{
  gint64 id;
  char *uid, *title;
  GPtrArray *boards; /* BlEquipmentBoard, in the document's order */
  guint n_conductors, n_cables, n_measurements; /* measurements of its own, not of its boards */
  gint64 changed;                               /* UTC, microseconds since 1970 */
} BlEquipmentRow;
void bl_equipment_row_free (BlEquipmentRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlEquipmentRow, bl_equipment_row_free)

/* All of them, by title. (transfer full) GPtrArray of BlEquipmentRow */
GPtrArray *bl_library_equipments (BlLibrary *library, GError **error);
/* Id of the equipment with this uid; 0: none, or an error. */
gint64 bl_library_find_equipment (BlLibrary *library, const char *uid, GError **error);
/* The document. (transfer full) */
BlEquipment *bl_library_get_equipment (BlLibrary *library, gint64 id, GError **error);
/* Its boards by role. (transfer full) GPtrArray of BlEquipmentBoard */
GPtrArray *bl_library_equipment_boards (BlLibrary *library, gint64 id, GError **error);
/* Its boards, as they are now, joined into one flat board that everything behind it can be asked about. problems
 * (may be NULL) as in bl_equipment_parse (): an edited board can break it. (transfer full) */
BlBoard *bl_library_join_equipment (BlLibrary *library, gint64 id, GPtrArray *problems, GError **error);

/* The measurements of a board that a fault outside it acts on: of a conductor, a cable or another board of an equipment
 * that the board belongs to. (transfer full) set of their ids */
GHashTable *bl_library_acted_on_from_outside (BlLibrary *library, gint64 board, GError **error);

/* Adds an equipment (id 0) or saves it. boards: ids of boards of the library, one for each of the document's
 * boards in their order. The document gets a uid when it has none, and the paths of its boards are written
 * anew. One that does not hold together is refused with the first problem. Returns its id, 0 on error. */
gint64 bl_library_put_equipment (BlLibrary *library, gint64 id, BlEquipment *equipment, const gint64 *boards,
                                 GError **error);
/* Takes it out of use; its boards stay. Refused while a job is about it. Within a step of undo it is part of that, which
 * is the way back. */
gboolean bl_library_delete_equipment (BlLibrary *library, gint64 id, GError **error);

/* A photo of the equipment itself, by its id in the document; as bl_library_put_board_photo (). */
gboolean bl_library_put_equipment_photo (BlLibrary *library, gint64 id, const char *photo, const char *mime,
                                         GBytes *image, GError **error);
GBytes *bl_library_get_equipment_photo (BlLibrary *library, gint64 id, const char *photo, char **mime, GError **error);

/* The equipment with its boards and all photos, for bl_delivery_write (). (transfer full) */
BlDelivery *bl_library_export_equipment (BlLibrary *library, gint64 id, GError **error);

G_END_DECLS
