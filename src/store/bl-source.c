/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One way to a document and to what lies beside it, whether that is a zip or a folder.
 *
 * Both come from other shops: a zip is unpacked under limits before anybody looks into it, and a path in a
 * document stays inside the document's folder, links followed. What the files mean is not known here. */
#include "config.h"

#include "bl-source.h"

#include "bl-zip.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

gboolean
bl_source_invalid (const char *path, const char *name, const char *reason, GError **error)
{
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s: %s"), path, name, reason);
  return FALSE;
}

/* The whole of an ordinary file of bounded size. */
static GBytes *
read_file (const char *path, GError **error)
{
  g_autoptr (GError) reason = NULL;
  char *text = NULL;
  gsize length = 0;
  GStatBuf info;

  if (g_stat (path, &info) != 0)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: %s"), path,
                 g_strerror (errno));
  else if (!S_ISREG (info.st_mode))
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: %s"), path,
                 _ ("it is no ordinary file"));
  else if ((guint64) info.st_size > bl_zip_limits.entry)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s"), path,
                 _ ("the file is too large"));
  else if (!g_file_get_contents (path, &text, &length, &reason))
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: %s"), path, reason->message);
  return text != NULL ? g_bytes_new_take (text, length) : NULL;
}

static gboolean
is_zip (const char *path)
{
  char start[4] = { 0 };
  FILE *file = g_fopen (path, "rbe");
  gboolean zip;

  if (file == NULL)
    return FALSE;
  zip = fread (start, 1, 4, file) == 4 &&
        (memcmp (start, "PK\3\4", 4) == 0 || memcmp (start, "PK\5\6", 4) == 0);
  fclose (file);
  return zip;
}

BlSource *
bl_source_open (const char *path, GError **error)
{
  g_autoptr (BlSource) source = g_new0 (BlSource, 1);

  source->path = g_strdup (path);
  source->taken = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  if (!is_zip (path))
    return g_steal_pointer (&source);
  source->entries = bl_zip_read (path, &bl_zip_limits, error);
  return source->entries != NULL ? g_steal_pointer (&source) : NULL;
}

void
bl_source_free (BlSource *source)
{
  if (source == NULL)
    return;
  g_free (source->path);
  g_clear_pointer (&source->entries, g_hash_table_unref);
  g_clear_pointer (&source->taken, g_hash_table_unref);
  g_free (source);
}

gboolean
bl_source_check_document (BlSource *source, const char *name, GBytes *document, GError **error)
{
  return g_bytes_get_size (document) <= BL_DOCUMENT_MAX_BYTES ||
         bl_source_invalid (source->path, name, _ ("the document is too large"), error);
}

/* Name of the document in a zip; NULL with error. */
static const char *
document_name (BlSource *source, GError **error)
{
  if (g_hash_table_contains (source->entries, BL_EQUIPMENT_DOCUMENT))
    return BL_EQUIPMENT_DOCUMENT;
  if (g_hash_table_contains (source->entries, BL_BOARD_DOCUMENT))
    return BL_BOARD_DOCUMENT;
  bl_source_invalid (source->path, BL_BOARD_DOCUMENT, _ ("the bundle holds no board document"), error);
  return NULL;
}

GBytes *
bl_source_document (BlSource *source, const char **name, GError **error)
{
  g_autoptr (GBytes) bytes = NULL;

  *name = source->entries != NULL ? document_name (source, error) : BL_BOARD_DOCUMENT;
  if (*name == NULL)
    return NULL;
  bytes = source->entries != NULL ? bl_source_get (source, *name, error) : read_file (source->path, error);
  return bytes != NULL && bl_source_check_document (source, *name, bytes, error) ? g_steal_pointer (&bytes) : NULL;
}

/* The file that name, relative to the folder of path, leads to; NULL when it is not there. Sets
 * error when it lies outside that folder. (transfer full) */
static char *
resolve_beside (const char *path, const char *name, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path),
                  *joined = g_build_filename (folder, name, NULL);
  char *real_folder = realpath (folder, NULL), *real_file = realpath (joined, NULL);
  g_autofree char *inside = NULL, *found = NULL;

  if (real_folder != NULL && real_file != NULL)
    {
      inside = g_str_has_suffix (real_folder, "/") ? g_strdup (real_folder)
                                                   : g_strconcat (real_folder, "/", NULL);
      if (g_str_has_prefix (real_file, inside))
        found = g_strdup (real_file);
      else
        bl_source_invalid (path, name, _ ("the path leads out of the folder"), error);
    }
  free (real_folder);
  free (real_file);
  return g_steal_pointer (&found);
}

GBytes *
bl_source_get (BlSource *source, const char *name, GError **error)
{
  g_autofree char *file = NULL;
  GBytes *found;

  if (!bl_path_is_plain (name))
    {
      bl_source_invalid (source->path, name,
                         _ ("a path like this is not allowed: it may lead out of the folder"), error);
      return NULL;
    }
  if (source->entries != NULL)
    {
      found = g_hash_table_lookup (source->entries, name);
      if (found != NULL)
        g_hash_table_add (source->taken, g_strdup (name));
      return found != NULL ? g_bytes_ref (found) : NULL;
    }
  file = resolve_beside (source->path, name, error);
  return file != NULL ? read_file (file, error) : NULL;
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

GPtrArray *
bl_source_left (BlSource *source)
{
  GPtrArray *left = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer name;

  if (source->entries == NULL)
    return left;
  g_hash_table_iter_init (&iter, source->entries);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    if (!g_hash_table_contains (source->taken, name))
      g_ptr_array_add (left, name);
  g_ptr_array_sort (left, compare_names);
  return left;
}

char *
bl_source_beside (const char *document, const char *file)
{
  g_autofree char *folder = g_path_get_dirname (document);

  return g_str_equal (folder, ".") ? g_strdup (file) : g_strconcat (folder, "/", file, NULL);
}
