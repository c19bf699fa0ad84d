/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Boards as files: a bundle (zip of board.json and photos), a bare document with its photos beside
 * it, an equipment of several documents; and their way into and out of a library.
 *
 * Files come from other shops, so everything is read and checked in memory first and reaches the
 * library in one transaction. Paths in documents stay inside the document's folder, links followed.
 */
#include "config.h"

#include "bl-bundle.h"

#include "bl-document.h"
#include "bl-library-private.h"
#include "bl-zip.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

#define DOCUMENT_NAME "board.json"
#define PHOTO_FOLDER "photos/"

void
bl_bundle_free (BlBundle *bundle)
{
  if (bundle == NULL)
    return;
  g_clear_pointer (&bundle->board, bl_board_free);
  g_free (bundle->text);
  g_clear_pointer (&bundle->photos, g_hash_table_unref);
  g_free (bundle);
}

static BlBundle *
bundle_new (void)
{
  BlBundle *bundle = g_new0 (BlBundle, 1);

  bundle->photos =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  return bundle;
}

const char *
bl_image_mime (GBytes *image)
{
  gsize size = 0;
  const guint8 *data = g_bytes_get_data (image, &size);

  if (size >= 3 && memcmp (data, "\xff\xd8\xff", 3) == 0)
    return "image/jpeg";
  if (size >= 8 && memcmp (data, "\x89PNG\r\n\x1a\n", 8) == 0)
    return "image/png";
  if (size >= 12 && memcmp (data, "RIFF", 4) == 0 && memcmp (data + 8, "WEBP", 4) == 0)
    return "image/webp";
  if (size >= 12 && memcmp (data + 4, "ftyp", 4) == 0)
    {
      if (memcmp (data + 8, "avif", 4) == 0)
        return "image/avif";
      if (memcmp (data + 8, "heic", 4) == 0 || memcmp (data + 8, "heix", 4) == 0 ||
          memcmp (data + 8, "mif1", 4) == 0)
        return "image/heif";
    }
  return NULL;
}

static const char *
suffix_for (const char *mime)
{
  static const char *const suffixes[][2] = { { "image/jpeg", ".jpg" },
                                             { "image/png", ".png" },
                                             { "image/webp", ".webp" },
                                             { "image/heif", ".heic" },
                                             { "image/avif", ".avif" } };

  for (guint i = 0; i < G_N_ELEMENTS (suffixes); i++)
    if (g_strcmp0 (mime, suffixes[i][0]) == 0)
      return suffixes[i][1];
  return "";
}

static void
warn (GPtrArray *problems, char *path, char *message)
{
  BlProblem *problem;

  if (problems == NULL)
    {
      g_free (path);
      g_free (message);
      return;
    }
  problem = g_new0 (BlProblem, 1);
  problem->warning = TRUE;
  problem->path = path;
  problem->message = message;
  g_ptr_array_add (problems, problem);
}

static gboolean
invalid (const char *path, const char *name, const char *reason, GError **error)
{
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s: %s"), path, name, reason);
  return FALSE;
}

/* --- files --- */

/* The whole of an ordinary file of bounded size. */
static char *
read_file (const char *path, gsize *length, GError **error)
{
  g_autoptr (GError) reason = NULL;
  char *text = NULL;
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
  else if (!g_file_get_contents (path, &text, length, &reason))
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: %s"), path, reason->message);
  return text;
}

static gboolean
is_zip (const char *path)
{
  g_autofree char *start = g_malloc0 (4);
  FILE *file = g_fopen (path, "rbe");
  gboolean zip;

  if (file == NULL)
    return FALSE;
  zip = fread (start, 1, 4, file) == 4 &&
        (memcmp (start, "PK\3\4", 4) == 0 || memcmp (start, "PK\5\6", 4) == 0);
  fclose (file);
  return zip;
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

  if (!bl_path_is_plain (name))
    invalid (path, name, _ ("a path like this is not allowed: it may lead out of the folder"),
             error);
  else if (real_folder != NULL && real_file != NULL)
    {
      inside = g_str_has_suffix (real_folder, "/") ? g_strdup (real_folder)
                                                   : g_strconcat (real_folder, "/", NULL);
      if (g_str_has_prefix (real_file, inside))
        found = g_strdup (real_file);
      else
        invalid (path, name, _ ("the path leads out of the folder"), error);
    }
  free (real_folder);
  free (real_file);
  return g_steal_pointer (&found);
}

/* --- bundles --- */

static gboolean
parse_document (BlBundle *bundle,
                const char *path,
                gsize length,
                GPtrArray *problems,
                GError **error)
{
  if (bl_document_is_equipment (bundle->text, (gssize) length))
    return invalid (
        path, DOCUMENT_NAME,
        _ ("this is an equipment, which joins boards; its boards are imported one by one"), error);
  bundle->board = bl_document_parse (bundle->text, (gssize) length, problems, error);
  if (bundle->board == NULL)
    g_prefix_error (error, "%s: ", path);
  return bundle->board != NULL;
}

static void
warn_missing (const BlBundle *bundle, GPtrArray *problems)
{
  for (guint i = 0; i < bl_len (bundle->board->photos); i++)
    {
      const BlPhoto *photo = bl_at (bundle->board->photos, i);
      if (photo->file != NULL && !g_hash_table_contains (bundle->photos, photo->file))
        warn (problems, g_strdup_printf ("$.photos[%u].file", i),
              g_strdup_printf (_ ("%s is not there"), photo->file));
    }
}

/* Sorts what the zip held into document, photos and the rest. */
static gboolean
take_entries (BlBundle *bundle,
              const char *path,
              GHashTable *entries,
              GPtrArray *problems,
              GError **error)
{
  GHashTableIter iter;
  gpointer name, bytes;

  g_hash_table_iter_init (&iter, entries);
  while (g_hash_table_iter_next (&iter, &name, &bytes))
    if (g_str_has_prefix (name, PHOTO_FOLDER))
      {
        if (bl_image_mime (bytes) == NULL)
          return invalid (path, name, _ ("this is no picture of a known kind"), error);
        g_hash_table_insert (bundle->photos, g_strdup (name), g_bytes_ref (bytes));
      }
    else if (!g_str_equal (name, DOCUMENT_NAME))
      warn (problems, g_strdup (name),
            g_strdup (_ ("this file is no part of a bundle and was left out")));
  return TRUE;
}

static BlBundle *
read_zip (const char *path, GPtrArray *problems, GError **error)
{
  g_autoptr (GHashTable) entries = bl_zip_read (path, &bl_zip_limits, error);
  g_autoptr (BlBundle) bundle = bundle_new ();
  GBytes *document;
  gsize length = 0;

  if (entries == NULL)
    return NULL;
  document = g_hash_table_lookup (entries, DOCUMENT_NAME);
  if (document == NULL)
    {
      invalid (path, DOCUMENT_NAME, _ ("the bundle holds no board document"), error);
      return NULL;
    }
  length = g_bytes_get_size (document);
  bundle->text = g_strndup (g_bytes_get_data (document, NULL), length);
  if (!parse_document (bundle, path, length, problems, error) ||
      !take_entries (bundle, path, entries, problems, error))
    return NULL;
  warn_missing (bundle, problems);
  return g_steal_pointer (&bundle);
}

static gboolean
take_photo_beside (BlBundle *bundle, const char *path, const char *name, GError **error)
{
  g_autoptr (GError) reason = NULL;
  g_autofree char *file = resolve_beside (path, name, &reason);
  g_autoptr (GBytes) bytes = NULL;
  char *data;
  gsize length = 0;

  if (reason != NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return FALSE;
    }
  if (file == NULL)
    return TRUE; /* warned of later */
  data = read_file (file, &length, error);
  if (data == NULL)
    return FALSE;
  bytes = g_bytes_new_take (data, length);
  if (bl_image_mime (bytes) == NULL)
    return invalid (path, name, _ ("this is no picture of a known kind"), error);
  g_hash_table_insert (bundle->photos, g_strdup (name), g_steal_pointer (&bytes));
  return TRUE;
}

static BlBundle *
read_bare (const char *path, GPtrArray *problems, GError **error)
{
  g_autoptr (BlBundle) bundle = bundle_new ();
  gsize length = 0;

  bundle->text = read_file (path, &length, error);
  if (bundle->text == NULL || !parse_document (bundle, path, length, problems, error))
    return NULL;
  for (guint i = 0; i < bl_len (bundle->board->photos); i++)
    {
      const BlPhoto *photo = bl_at (bundle->board->photos, i);
      if (photo->file != NULL && !take_photo_beside (bundle, path, photo->file, error))
        return NULL;
    }
  warn_missing (bundle, problems);
  return g_steal_pointer (&bundle);
}

BlBundle *
bl_bundle_read (const char *path, GPtrArray *problems, GError **error)
{
  g_return_val_if_fail (path != NULL, NULL);
  return is_zip (path) ? read_zip (path, problems, error) : read_bare (path, problems, error);
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

gboolean
bl_bundle_write (const BlBundle *bundle, const char *path, GError **error)
{
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer name, bytes;
  char *text;

  g_return_val_if_fail (bundle != NULL && bundle->board != NULL && path != NULL, FALSE);
  g_hash_table_iter_init (&iter, bundle->photos);
  while (g_hash_table_iter_next (&iter, &name, &bytes))
    {
      if (!g_str_has_prefix (name, PHOTO_FOLDER) || !bl_path_is_plain (name))
        return invalid (path, name, _ ("photos of a bundle lie in its folder photos"), error);
      g_hash_table_insert (entries, name, g_bytes_ref (bytes));
      g_ptr_array_add (names, name);
    }
  g_ptr_array_sort (names, compare_names);
  g_ptr_array_insert (names, 0, (gpointer) DOCUMENT_NAME);
  g_ptr_array_add (names, NULL);
  text = bundle->text != NULL ? g_strdup (bundle->text) : bl_document_write (bundle->board);
  g_hash_table_insert (entries, (gpointer) DOCUMENT_NAME, g_bytes_new_take (text, strlen (text)));
  return bl_zip_write (path, (const char *const *) names->pdata, entries, error);
}

/* --- the library --- */

static gboolean
import_photos (BlLibrary *library, gint64 id, const BlBundle *bundle, GError **error)
{
  for (guint i = 0; i < bl_len (bundle->board->photos); i++)
    {
      const BlPhoto *photo = bl_at (bundle->board->photos, i);
      GBytes *image =
          photo->file != NULL ? g_hash_table_lookup (bundle->photos, photo->file) : NULL;
      const char *mime = image != NULL ? bl_image_mime (image) : NULL;
      if (mime != NULL &&
          !bl_library_put_board_photo (library, id, photo->id, mime, image, NULL, error))
        return FALSE;
    }
  return TRUE;
}

gint64
bl_library_import (BlLibrary *library, const BlBundle *bundle, GError **error)
{
  const char *doing = _ ("importing the board");
  g_autoptr (BlBoard) board = NULL;
  gint64 id;
  gboolean ok;

  g_return_val_if_fail (library != NULL && bundle != NULL && bundle->board != NULL, 0);
  board = bl_board_copy (bundle->board);
  if (!bl_database_begin (library->database, doing, error))
    return 0;
  id = bl_library_add_board (library, board, FALSE, error);
  ok = id != 0 && import_photos (library, id, bundle, error);
  return bl_database_end (library->database, ok, doing, error) ? id : 0;
}

/* Takes the photo out of the library; its place in the bundle is photos/ whatever it was before. */
static gboolean
export_photo (BlLibrary *library, gint64 id, BlBundle *bundle, BlPhoto *photo, GError **error)
{
  g_autofree char *mime = NULL;
  g_autoptr (GError) reason = NULL;
  GBytes *image = bl_library_get_board_photo (library, id, photo->id, &mime, &reason);

  if (image == NULL && g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
    return TRUE; /* it never had the picture */
  if (image == NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return FALSE;
    }
  if (photo->file == NULL || !g_str_has_prefix (photo->file, PHOTO_FOLDER) ||
      !bl_path_is_plain (photo->file) || g_hash_table_contains (bundle->photos, photo->file))
    {
      g_free (photo->file);
      photo->file = g_strconcat (PHOTO_FOLDER, photo->id, suffix_for (mime), NULL);
    }
  g_hash_table_insert (bundle->photos, g_strdup (photo->file), image);
  return TRUE;
}

BlBundle *
bl_library_export (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlBundle) bundle = bundle_new ();

  g_return_val_if_fail (library != NULL, NULL);
  bundle->board = bl_library_load_board (library, id, error);
  if (bundle->board == NULL)
    return NULL;
  for (guint i = 0; i < bl_len (bundle->board->photos); i++)
    if (!export_photo (library, id, bundle, bl_at (bundle->board->photos, i), error))
      return NULL;
  bundle->text = bl_document_write (bundle->board);
  return g_steal_pointer (&bundle);
}

/* --- a board for one look --- */

static char *
load_member (const char *name, gsize *length, gpointer data, GError **error)
{
  const char *path = data;
  g_autoptr (GError) reason = NULL;
  g_autofree char *file = resolve_beside (path, name, &reason);

  if (reason != NULL)
    g_propagate_error (error, g_steal_pointer (&reason));
  else if (file == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND,
                 _ ("%s: %s: there is no such file"), path, name);
  else
    return read_file (file, length, error);
  return NULL;
}

BlBoard *
bl_board_load_file (const char *path, GPtrArray *problems, GError **error)
{
  g_autofree char *text = NULL;
  BlBoard *board;
  gsize length = 0;

  g_return_val_if_fail (path != NULL, NULL);
  if (is_zip (path))
    {
      g_autoptr (BlBundle) bundle = read_zip (path, problems, error);
      return bundle != NULL ? g_steal_pointer (&bundle->board) : NULL;
    }
  text = read_file (path, &length, error);
  if (text == NULL)
    return NULL;
  if (bl_document_is_equipment (text, (gssize) length))
    board =
        bl_equipment_parse (text, (gssize) length, load_member, (gpointer) path, problems, error);
  else
    board = bl_document_parse (text, (gssize) length, problems, error);
  if (board == NULL)
    g_prefix_error (error, "%s: ", path);
  return board;
}
