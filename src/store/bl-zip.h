/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-store-error.h"

G_BEGIN_DECLS

/* What a zip from a stranger may hold. */
typedef struct
{
  guint files;   /* number of files */
  guint64 entry; /* bytes of one file, unpacked */
  guint64 total; /* bytes of all files, unpacked */
  guint ratio;   /* bytes unpacked per byte of the zip, once more than ratio_from are unpacked */
  guint64 ratio_from;
} BlZipLimits;

/* 64 files, 128 MiB each, 512 MiB in all, at most 100 times the size of the zip. */
extern const BlZipLimits bl_zip_limits;

/* TRUE for a relative path of plain components in valid UTF-8, without "." or "..". */
gboolean bl_path_is_plain (const char *path);

/* Unpacks the zip at path into memory; nothing is written anywhere. Refuses, with
 * BL_STORE_ERROR_INVALID and the reason, names that are not plain, links and other special files,
 * double names, encryption, damage and whatever is over limits.
 * Returns: (transfer full) a table of name (char *) -> GBytes *, folders left out. */
GHashTable *bl_zip_read (const char *path, const BlZipLimits *limits, GError **error);

/* Writes a zip whole or not at all: beside path, then moved over it. names: in this order;
 * entries: name -> GBytes. The same input gives the same bytes. */
gboolean
bl_zip_write (const char *path, const char *const *names, GHashTable *entries, GError **error);

G_END_DECLS
