/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-library-equipment-jobs.h"

G_BEGIN_DECLS

/* A job on an equipment: several boxes, and conductors between them. Its board is the boxes' boards joined into one
 * (ids of a board read "role/id"), so everything a bench does is done as for a board; here is what only an equipment
 * has. What would change the document is refused there: a board is changed under Boards, or in a job of its own. */

/* NULL: a job on one board. Valid until "changed". (transfer none) */
const BlEquipment *bl_bench_get_equipment (BlBench *self);
/* BlEquipmentBoard by the document's order; NULL: a job on one board. Valid until "changed". (transfer none) */
GPtrArray *bl_bench_get_boxes (BlBench *self);
/* The box that an id of the joined board belongs to, its role; NULL: the equipment's own, or a job on one board.
 * (transfer none) */
const char *bl_bench_role_of (BlBench *self, const char *id);
/* The id as it is on that box's board: "TP5" of "wall/TP5". (transfer none), a part of id */
const char *bl_bench_local_id (BlBench *self, const char *id);
/* "wall: Supply", "Field checks and conductors" (section NULL), of one board "Supply" and "Other". (transfer full) */
char *bl_bench_section_title (BlBench *self, const char *section);
/* Id of the library's board with this role; 0: none. */
gint64 bl_bench_box_board (BlBench *self, const char *role);

/* TRUE for a job on this board, or on an equipment that it is part of. */
gboolean bl_bench_is_about (BlBench *self, gint64 board);

/* Other equipments that join the same boards with a conductor in the other direction: which box feeds which is not
 * what this document says, there. Ids; empty for one board. (transfer full) GArray of gint64 */
GArray *bl_bench_other_directions (BlBench *self, GError **error);
/* The measurement that asks which box feeds which, where its last answer was that it is not as the document says; NULL:
 * nobody said so. (transfer none), valid until "changed" */
const char *bl_bench_direction_denied (BlBench *self);
/* TRUE while nothing but such an answer was read, tested or replaced, so that the job can still be about another
 * equipment. */
gboolean bl_bench_can_change_equipment (BlBench *self);
/* TRUE when the log has a note of which box feeds which. */
gboolean bl_bench_has_said_direction (BlBench *self);
/* Makes it a job on that one, or leaves it with its own, and notes which box feeds which; what denied it is struck. The
 * bench has to be opened anew. */
gboolean bl_bench_change_equipment (BlBench *self, gint64 equipment, GError **error);
/* Where it cannot be changed any more: begins a job on that one for the same customer, unit and complaint, and says so in
 * both logs. Returns its id, 0 on error. */
gint64 bl_bench_begin_other_direction (BlBench *self, gint64 equipment, GError **error);

/* Where the fault lies, of the newest odds; NULL: a job on one board, or there are none yet. (transfer none), valid until
 * the next "diagnosed" */
const BlPlaces *bl_bench_get_places (BlBench *self);
/* The likeliest place, where it has one half or more and something was read; NULL: none has, or it is elsewhere. */
const BlFaultPlace *bl_bench_likely_place (BlBench *self);
/* TRUE when something was read or noted that the odds follow from. */
gboolean bl_bench_has_evidence (BlBench *self);
/* Role of the one board that the fault is on with 95 % or more; NULL: no board has that. (transfer none) */
const char *bl_bench_isolated_role (BlBench *self);

/* Starts a job on an equipment, as bl_bench_start (). */
gint64 bl_bench_start_equipment (BlLibrary *library, gint64 equipment, const BlJob *head, GError **error);

/* The job on the board of a box that goes on from this one; 0: none was begun. */
gint64 bl_bench_part_job (BlBench *self, const char *role, GError **error);
/* Begins it: a job on that board with what was read, tested and replaced there, each line as it stands in this log.
 * Returns its id, 0 on error. */
gint64 bl_bench_begin_part_job (BlBench *self, const char *role, GError **error);
/* The job on the equipment that this one goes on from; NULL: none. (transfer none) */
const BlJob *bl_bench_get_whole_job (BlBench *self);

G_END_DECLS
