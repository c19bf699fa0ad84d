/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

typedef enum
{
  BL_KIND_STATE,
  BL_KIND_PHOTO,
  BL_KIND_SECTION,
  BL_KIND_STAGE,
  BL_KIND_COMPONENT,
  BL_KIND_TEST_POINT,
  BL_KIND_MEASUREMENT,
  BL_N_KINDS
} BlKind;

/* "state", "photo", "section", "stage", "component", "test point", "measurement". */
gboolean bl_kind_parse (const char *name, BlKind *kind);

/* TRUE when the board has an element of this kind and id. */
gboolean bl_board_has (const BlBoard *board, BlKind kind, const char *id);

/* First id PREFIX1, PREFIX2 ... that no element of this kind has and, for stages and measurements, no
 * element of the other of the two kinds either. Returns: (transfer full). */
char *bl_board_free_id (const BlBoard *board, BlKind kind, const char *prefix);

/* Gives an element a new id; every reference to it follows. The caller checks that it is free. */
void bl_board_rename (BlBoard *board, BlKind kind, const char *id, const char *new_id);

/* Removes an element and what cannot stand without it; references that may be left out are dropped. */
void bl_board_remove (BlBoard *board, BlKind kind, const char *id);

/* The same for what has no kind of its own. The caller checks that the new name is free. */
void bl_board_rename_port (BlBoard *board, const char *id, const char *new_id);
void bl_board_rename_symptom (BlBoard *board, const char *id, const char *new_id);
void bl_board_rename_mode (BlBoard *board, const char *component, const char *mode, const char *new_mode);
void bl_board_rename_mark (BlBoard *board, const char *measurement, const char *mark, const char *new_mark);

/* Removes one element of these; feeds from a port, links to a mode, effects that name a mark and
 * indications of a symptom go with it. */
void bl_board_remove_port (BlBoard *board, const char *id);
void bl_board_remove_symptom (BlBoard *board, const char *id);
void bl_board_remove_mode (BlBoard *board, const char *component, const char *mode);
void bl_board_remove_mark (BlBoard *board, const char *measurement, const char *mark);

/* Who may feed a stage without closing a loop and does not yet: the nearest stage before it, then any
 * after it, then a port ("port:ID"); NULL: nobody. Returns: (transfer full). */
char *bl_board_possible_feed (const BlBoard *board, const BlStage *stage);

G_END_DECLS
