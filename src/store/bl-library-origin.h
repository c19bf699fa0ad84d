/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Editions that were copied from others, and what of them was looked at on a real board. Neither is in the document,
 * so no bundle carries it. */

typedef struct
{
  gint64 board; /* it was copied from this one; 0: that is not in the library any more */
  char *name;   /* what it was called then: "BM-R350-PWR C" */
  gint64 time;  /* when it was copied; UTC, microseconds since 1970 */
} BlOrigin;
void bl_origin_free (BlOrigin *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlOrigin, bl_origin_free)

/* Adds copy as a board of its own, with a new uid, the photos of the board from and a note of where it comes from, whose
 * name was name. Jobs, known-good boards and what repairs found stay with from. Returns its id, 0 on error (nothing was
 * added). */
gint64 bl_library_add_copy (BlLibrary *library, gint64 from, const char *name, BlBoard *copy, GError **error);

/* What a board was copied from; NULL without error: nothing. (transfer full) */
BlOrigin *bl_library_get_origin (BlLibrary *library, gint64 board, GError **error);

/* part: the document's list and the id in it, "components/R12". */
gboolean bl_library_set_looked_at (BlLibrary *library, gint64 board, const char *part, gboolean looked_at,
                                   GError **error);
/* The parts that were looked at. (transfer full) GHashTable, a set of their names */
GHashTable *bl_library_looked_at (BlLibrary *library, gint64 board, GError **error);

G_END_DECLS
