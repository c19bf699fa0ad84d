/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-slot.h"

G_BEGIN_DECLS

/* Finding a part of a board by its designator or its words, and where on the photos it is. */
typedef struct
{
  BlRef ref;   /* component, test point, measurement, stage or section */
  char *name;  /* "K1", "TP5"; of a stage or section its title */
  char *words; /* what it is: its title or kind, and where it belongs */
} BlFound;
void bl_found_free (BlFound *found);

/* What matches all words of text, the likeliest meant first: its id, an id that begins with it, words of its
 * title, kind, value; of equal ones K2 before K10. most: no more than these. Empty text: nothing.
 * Returns: GPtrArray of BlFound (transfer full). */
GPtrArray *bl_find (const BlBoard *board, const char *text, guint most);

/* Where it is to be looked for. */
typedef struct
{
  const char *photo;      /* of the board (transfer none) */
  double x0, y0, x1, y1;  /* photo px; a place has no size */
  BlRef of;               /* what has this place: the thing itself, or its stage or section */
} BlWhere;
/* shown: the photo that is in front, taken where there is a choice; may be NULL. A component that has no
 * place yet is looked for in its stage. FALSE: nobody has said where it is. */
gboolean bl_find_where (const BlBoard *board, const BlRef *ref, const char *shown, BlWhere *where);

/* The stage whose outline lies under this place of a photo, the smallest where they overlap; NULL: none.
 * (transfer none) */
const BlStage *bl_find_stage_at (const BlBoard *board, const char *photo, double x, double y);

G_END_DECLS
