/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-image-check.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* A bundle (.benchlore): a zip of board.json and photos. */
typedef struct
{
  BlBoard *board;
  char *text;         /* board.json as it came */
  GHashTable *photos; /* file name as in the document -> GBytes */
} BlBundle;
void bl_bundle_free (BlBundle *bundle);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBundle, bl_bundle_free)

/* Reads a bundle, or a board document with its photos beside it. Hostile or broken input is refused
 * with the reason; problems (may be NULL) collects BlProblem of the document. (transfer full) */
BlBundle *bl_bundle_read (const char *path, GPtrArray *problems, GError **error);
gboolean bl_bundle_write (const BlBundle *bundle, const char *path, GError **error);

/* Imports a bundle as a new board. A board whose uid is in the library already is refused with
 * BL_STORE_ERROR_INVALID. Returns its id, 0 on error (the library is as it was). */
gint64 bl_library_import (BlLibrary *library, const BlBundle *bundle, GError **error);
/* A board of the library as a bundle. (transfer full) */
BlBundle *bl_library_export (BlLibrary *library, gint64 board, GError **error);

/* Puts the pictures that a bundle brought for its photos into the library
 * under their ids. */
gboolean bl_library_put_bundle_photos (BlLibrary *library, gint64 board, const BlBundle *bundle, GError **error);

/* Reads a board, bundle or equipment file into one board, member boards relative to the file.
 * (transfer full) */
BlBoard *bl_board_load_file (const char *path, GPtrArray *problems, GError **error);

G_END_DECLS
