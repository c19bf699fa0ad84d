/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-store-error.h"

G_BEGIN_DECLS

/* Private to store: where a file's documents and pictures come from, a zip or the folder it lies in. */

#define BL_BOARD_DOCUMENT "board.json"
#define BL_EQUIPMENT_DOCUMENT "equipment.json"

typedef struct
{
  char *path;          /* the file, as given */
  GHashTable *entries; /* of a zip: name -> GBytes; NULL: a bare document, others lie beside it */
  GHashTable *taken;   /* names in the zip that somebody asked for */
} BlSource;

/* Opens path. A zip is unpacked into memory under the limits of bl-zip.h. (transfer full) */
BlSource *bl_source_open (const char *path, GError **error);
void bl_source_free (BlSource *source);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlSource, bl_source_free)

/* A board document is some hundred kilobytes; what parses one needs a hundred times the memory. */
#define BL_DOCUMENT_MAX_BYTES (8 << 20)
gboolean bl_source_check_document (BlSource *source, const char *name, GBytes *document, GError **error);

/* The document it is about: in a zip equipment.json, else board.json, else the file itself. *name is what it
 * is called in messages (transfer none). Refused when it is
 * too large for a document. (transfer full) */
GBytes *bl_source_document (BlSource *source, const char **name, GError **error);
/* A file by its path from the document's folder; NULL without error when it is not there. Paths that lead
 * out of the folder, links followed, are refused. (transfer full) */
GBytes *bl_source_get (BlSource *source, const char *name, GError **error);
/* Names in a zip that nobody asked for, sorted. (transfer container) */
GPtrArray *bl_source_left (BlSource *source);

/* The path of what a document calls file, where the document itself is called document: relative to the
 * same folder as that. Returns: (transfer full). */
char *bl_source_beside (const char *document, const char *file);

/* Sets BL_STORE_ERROR_INVALID: "PATH: NAME: REASON". Returns FALSE. */
gboolean bl_source_invalid (const char *path, const char *name, const char *reason, GError **error);

G_END_DECLS
