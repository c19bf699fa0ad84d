/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-equipment.h"

G_BEGIN_DECLS

/* What a job on an equipment asks of the library beside its document. */

/* Another text whenever the equipment's document, or that of a board of it, is another one. (transfer full) */
char *bl_library_equipment_digest (BlLibrary *library, gint64 id, GError **error);

/* Ids of the other equipments that join the same boards, by title. (transfer full) GArray of gint64 */
GArray *bl_library_equipments_alike (BlLibrary *library, gint64 id, GError **error);

/* Causes confirmed in jobs on the equipment itself, with ids as there ("wall/K1", "W3"), as bl_library_causes (). */
GPtrArray *bl_library_equipment_causes (BlLibrary *library, gint64 id, gint64 except, GError **error);

/* Jobs on a board of an equipment that go on from a job (their part_of), in the order they were begun. (transfer full)
 * GArray of gint64 */
GArray *bl_library_part_jobs (BlLibrary *library, gint64 job, GError **error);

G_END_DECLS
