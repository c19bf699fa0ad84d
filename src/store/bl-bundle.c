/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One board as a file: a bundle (zip of board.json and photos), a bare document with its photos beside
 * it; and its way into and out of a library. Equipments are bl-delivery.c's.
 *
 * Files come from other shops, so everything is read and checked in memory first and reaches the
 * library in one transaction. */
#include "config.h"

#include "bl-bundle.h"

#include "bl-bundle-private.h"
#include "bl-document.h"
#include "bl-library-private.h"
#include "bl-zip.h"

#include <glib/gi18n-lib.h>
#include <string.h>

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

GHashTable *
bl_photo_table_new (void)
{
  return g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
}

BlBundle *
bl_bundle_new (void)
{
  BlBundle *bundle = g_new0 (BlBundle, 1);

  bundle->photos = bl_photo_table_new ();
  return bundle;
}

const char *
bl_image_suffix (const char *mime)
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

/* --- reading --- */

/* A picture must be one, whole, and of a size that a photo has. What some decoders read and this program does
 * not look into is let through by its first bytes; whoever shows it finds out. */
static gboolean
check_picture (const char *path, const char *name, GBytes *image, GError **error)
{
  const char *mime = bl_image_mime (image);
  g_autoptr (GError) reason = NULL;

  if (mime == NULL)
    return bl_source_invalid (path, name, _ ("this is no picture of a known kind"), error);
  if (g_str_equal (mime, "image/heif") || g_str_equal (mime, "image/avif") ||
      bl_image_check (image, name, &reason))
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: %s"), path, reason->message);
  return FALSE;
}

gboolean
bl_source_take_photos (BlSource *source,
                       const char *document,
                       const GPtrArray *photos,
                       GHashTable *table,
                       GPtrArray *problems,
                       GError **error)
{
  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlPhoto *photo = bl_at (photos, i);
      g_autofree char *name = photo->file != NULL ? bl_source_beside (document, photo->file) : NULL;
      g_autoptr (GError) reason = NULL;
      GBytes *image;
      if (name == NULL)
        continue;
      image = bl_source_get (source, name, &reason);
      if (reason != NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      if (image == NULL)
        warn (problems, g_strdup_printf ("$.photos[%u].file", i), g_strdup_printf (_ ("%s is not there"), name));
      else
        g_hash_table_insert (table, g_strdup (photo->file), image);
      if (image != NULL && !check_picture (source->path, name, image, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
bl_source_finish (BlSource *source, GHashTable *photos, GPtrArray *problems, GError **error)
{
  g_autoptr (GPtrArray) left = bl_source_left (source);

  for (guint i = 0; i < left->len; i++)
    {
      const char *name = bl_at (left, i);
      GBytes *bytes = g_hash_table_lookup (source->entries, name);
      if (!g_str_has_prefix (name, PHOTO_FOLDER))
        warn (problems, g_strdup (name), g_strdup (_ ("this file is no part of a bundle and was left out")));
      else if (check_picture (source->path, name, bytes, error))
        g_hash_table_insert (photos, g_strdup (name), g_bytes_ref (bytes));
      else
        return FALSE;
    }
  return TRUE;
}

BlBundle *
bl_bundle_from_source (BlSource *source, const char *name, GBytes *document, GPtrArray *problems, GError **error)
{
  g_autoptr (BlBundle) bundle = bl_bundle_new ();
  gsize length = g_bytes_get_size (document);

  bundle->text = g_strndup (length > 0 ? g_bytes_get_data (document, NULL) : "", length);
  if (bl_document_is_equipment (bundle->text, (gssize) length))
    {
      bl_source_invalid (source->path, name, _ ("this is an equipment, which joins boards, and no board"), error);
      return NULL;
    }
  bundle->board = bl_document_parse (bundle->text, (gssize) length, problems, error);
  if (bundle->board == NULL)
    {
      g_prefix_error (error, "%s: ", source->path);
      return NULL;
    }
  return bl_source_take_photos (source, name, bundle->board->photos, bundle->photos, problems, error)
             ? g_steal_pointer (&bundle)
             : NULL;
}

BlBundle *
bl_bundle_read (const char *path, GPtrArray *problems, GError **error)
{
  g_autoptr (BlSource) source = NULL;
  g_autoptr (GBytes) document = NULL;
  g_autoptr (BlBundle) bundle = NULL;
  const char *name = NULL;

  g_return_val_if_fail (path != NULL, NULL);
  source = bl_source_open (path, error);
  document = source != NULL ? bl_source_document (source, &name, error) : NULL;
  bundle = document != NULL ? bl_bundle_from_source (source, name, document, problems, error) : NULL;
  if (bundle == NULL || !bl_source_finish (source, bundle->photos, problems, error))
    return NULL;
  return g_steal_pointer (&bundle);
}

/* --- writing --- */

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
        return bl_source_invalid (path, name, _ ("photos of a bundle lie in its folder photos"), error);
      g_hash_table_insert (entries, name, g_bytes_ref (bytes));
      g_ptr_array_add (names, name);
    }
  g_ptr_array_sort (names, compare_names);
  g_ptr_array_insert (names, 0, (gpointer) BL_BOARD_DOCUMENT);
  g_ptr_array_add (names, NULL);
  text = bundle->text != NULL ? g_strdup (bundle->text) : bl_document_write (bundle->board);
  g_hash_table_insert (entries, (gpointer) BL_BOARD_DOCUMENT, g_bytes_new_take (text, strlen (text)));
  return bl_zip_write (path, (const char *const *) names->pdata, entries, error);
}

/* --- the library --- */

gboolean
bl_library_put_bundle_photos (BlLibrary *library, gint64 id, const BlBundle *bundle, GError **error)
{
  g_return_val_if_fail (library != NULL && bundle != NULL && bundle->board != NULL, FALSE);
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
  ok = id != 0 && bl_library_put_bundle_photos (library, id, bundle, error);
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
      photo->file = g_strconcat (PHOTO_FOLDER, photo->id, bl_image_suffix (mime), NULL);
    }
  g_hash_table_insert (bundle->photos, g_strdup (photo->file), image);
  return TRUE;
}

BlBundle *
bl_library_export (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlBundle) bundle = bl_bundle_new ();

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
