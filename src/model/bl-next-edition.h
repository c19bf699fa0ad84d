/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-origin.h"

G_BEGIN_DECLS

/* The mark that usually follows: "D" after "C", "3" after "2", "C2" after "C1", "1.10" after "1.9", "AA" after "Z",
 * "2" after none. A proposal: makers leave letters out as they like. Returns: (transfer full). */
char *bl_next_mark (const char *mark);

/* The first such mark that no other edition of the board in the library has. NULL with error. (transfer full) */
char *bl_next_edition_propose (BlLibrary *library, gint64 board, GError **error);

/* Copies an edition to the next one: everything the document says, and the photos, under another edition mark and a
 * new uid. Indications of the old mark are those of the new one. Jobs, known-good boards and causes found stay with the
 * old edition. Refused without a mark, and for a mark that another edition of the same board number has.
 * Returns the new board's id, 0 with error. */
gint64 bl_next_edition_make (BlLibrary *library, gint64 board, const char *mark, GError **error);

/* One thing to look at on a real board of the new edition: is it the same there? */
typedef struct
{
  const char *list; /* of the document */
  char *id;         /* as a difference of the document calls it */
  char *part;       /* what it is noted under in the library: "components/R12" */
  char *words;      /* what it should be: "fuse, 3.15 A" */
  char *photo;      /* where it is; NULL: nowhere */
  double x, y;
  gboolean looked_at;
} BlLookAt;
void bl_look_at_free (BlLookAt *self);

/* Photos first, then components, test points and lamp patterns, each in the document's order. looked_at: names of
 * parts, from bl_library_looked_at (); NULL: none. (transfer full), of BlLookAt */
GPtrArray *bl_next_edition_parts (const BlBoard *board, GHashTable *looked_at);

G_END_DECLS
