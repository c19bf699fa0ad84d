/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An equipment as a file, or a board alone: what one shop hands to another.
 *
 * The joined board is made once on reading, only to hear what is wrong with it, so that nothing half valid
 * reaches a library. Two roles that name the same document are one board. */
#include "config.h"

#include "bl-delivery.h"

#include "bl-bundle-private.h"
#include "bl-document.h"
#include "bl-zip.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define PHOTO_FOLDER "photos/"

BlDelivery *
bl_delivery_new (void)
{
  BlDelivery *delivery = g_new0 (BlDelivery, 1);

  delivery->photos = bl_photo_table_new ();
  delivery->boards = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_bundle_free);
  delivery->members = g_array_new (FALSE, FALSE, sizeof (guint));
  return delivery;
}

void
bl_delivery_free (BlDelivery *delivery)
{
  if (delivery == NULL)
    return;
  bl_equipment_free (delivery->equipment);
  g_hash_table_unref (delivery->photos);
  g_ptr_array_unref (delivery->boards);
  g_array_unref (delivery->members);
  g_free (delivery);
}

/* --- reading --- */

static char *
load_member (const char *name, gsize *length, gpointer data, GError **error)
{
  BlSource *source = data;
  g_autoptr (GError) reason = NULL;
  g_autoptr (GBytes) bytes = bl_source_get (source, name, &reason);

  if (reason != NULL)
    g_propagate_error (error, g_steal_pointer (&reason));
  else if (bytes == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND,
                 _ ("%s: %s: there is no such file"), source->path, name);
  if (bytes == NULL || !bl_source_check_document (source, name, bytes, error))
    return NULL;
  *length = g_bytes_get_size (bytes);
  return g_strndup (*length > 0 ? g_bytes_get_data (bytes, NULL) : "", *length);
}

static BlBoard *
join (BlSource *source, GBytes *document, GPtrArray *problems, GError **error)
{
  gsize length = g_bytes_get_size (document);
  g_autofree char *text = g_strndup (g_bytes_get_data (document, NULL), length);
  BlBoard *board = bl_equipment_parse (text, (gssize) length, load_member, source, problems, error);

  if (board == NULL)
    g_prefix_error (error, "%s: ", source->path);
  return board;
}

static gboolean
is_equipment (GBytes *document)
{
  gsize length = g_bytes_get_size (document);
  g_autofree char *text = g_strndup (length > 0 ? g_bytes_get_data (document, NULL) : "", length);

  return bl_document_is_equipment (text, (gssize) length);
}

/* The board that a member names, read when no member before named it. */
static gboolean
read_member (BlDelivery *delivery, BlSource *source, GHashTable *known, const BlMember *member, GError **error)
{
  const char *name = g_str_has_prefix (member->board, "./") ? member->board + 2 : member->board;
  gpointer at = NULL;
  guint index;

  if (!g_hash_table_lookup_extended (known, name, NULL, &at))
    {
      g_autoptr (GBytes) document = bl_source_get (source, name, error);
      BlBundle *bundle = document != NULL ? bl_bundle_from_source (source, name, document, NULL, error) : NULL;
      if (bundle == NULL)
        return FALSE;
      at = GUINT_TO_POINTER (delivery->boards->len);
      g_ptr_array_add (delivery->boards, bundle);
      g_hash_table_insert (known, g_strdup (name), at);
    }
  index = GPOINTER_TO_UINT (at);
  g_array_append_val (delivery->members, index);
  return TRUE;
}

static gboolean
read_equipment (BlDelivery *delivery, BlSource *source, GBytes *document, BlBoard **joined, GPtrArray *problems,
                GError **error)
{
  g_autoptr (GHashTable) known = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  gsize length = g_bytes_get_size (document);

  *joined = join (source, document, problems, error);
  if (*joined == NULL)
    return FALSE;
  delivery->equipment = bl_equipment_read (g_bytes_get_data (document, NULL), (gssize) length, NULL, error);
  if (delivery->equipment == NULL)
    return FALSE;
  for (guint i = 0; i < bl_len (delivery->equipment->members); i++)
    if (!read_member (delivery, source, known, bl_at (delivery->equipment->members, i), error))
      return FALSE;
  return bl_source_take_photos (source, BL_EQUIPMENT_DOCUMENT, delivery->equipment->own.photos, delivery->photos,
                                problems, error) &&
         bl_source_finish (source, delivery->photos, problems, error);
}

static gboolean
read_board (BlDelivery *delivery, BlSource *source, const char *name, GBytes *document, GPtrArray *problems,
            GError **error)
{
  BlBundle *bundle = bl_bundle_from_source (source, name, document, problems, error);

  if (bundle == NULL)
    return FALSE;
  g_ptr_array_add (delivery->boards, bundle);
  return bl_source_finish (source, bundle->photos, problems, error);
}

BlDelivery *
bl_delivery_read (const char *path, GPtrArray *problems, GError **error)
{
  g_autoptr (BlSource) source = NULL;
  g_autoptr (GBytes) document = NULL;
  g_autoptr (BlDelivery) delivery = bl_delivery_new ();
  g_autoptr (BlBoard) joined = NULL;
  const char *name = NULL;
  gboolean ok;

  g_return_val_if_fail (path != NULL, NULL);
  source = bl_source_open (path, error);
  document = source != NULL ? bl_source_document (source, &name, error) : NULL;
  if (document == NULL)
    return NULL;
  ok = is_equipment (document) ? read_equipment (delivery, source, document, &joined, problems, error)
                               : read_board (delivery, source, name, document, problems, error);
  return ok ? g_steal_pointer (&delivery) : NULL;
}

/* --- a board for one look --- */

static BlBoard *
parse_bare (BlSource *source, GBytes *document, GPtrArray *problems, GError **error)
{
  gsize length = g_bytes_get_size (document);
  g_autofree char *text = g_strndup (length > 0 ? g_bytes_get_data (document, NULL) : "", length);
  BlBoard *board = bl_document_parse (text, (gssize) length, problems, error);

  if (board == NULL)
    g_prefix_error (error, "%s: ", source->path);
  return board;
}

/* Of a bundle the pictures are looked into as well. */
BlBoard *
bl_board_load_file (const char *path, GPtrArray *problems, GError **error)
{
  g_autoptr (BlSource) source = NULL;
  g_autoptr (GBytes) document = NULL;
  g_autoptr (BlDelivery) delivery = bl_delivery_new ();
  g_autoptr (BlBoard) joined = NULL;
  const char *name = NULL;
  gboolean bare, equipment;

  g_return_val_if_fail (path != NULL, NULL);
  source = bl_source_open (path, error);
  document = source != NULL ? bl_source_document (source, &name, error) : NULL;
  if (document == NULL)
    return NULL;
  bare = source->entries == NULL;
  equipment = is_equipment (document);
  if (bare)
    return equipment ? join (source, document, problems, error) : parse_bare (source, document, problems, error);
  if (equipment)
    return read_equipment (delivery, source, document, &joined, problems, error) ? g_steal_pointer (&joined) : NULL;
  if (!read_board (delivery, source, name, document, problems, error))
    return NULL;
  return g_steal_pointer (&((BlBundle *) bl_at (delivery->boards, 0))->board);
}

/* --- writing --- */

typedef struct
{
  GPtrArray *names; /* in the order they are written */
  GHashTable *entries;
} Files;

static void
add_file (Files *files, char *name, GBytes *bytes)
{
  g_ptr_array_add (files->names, name);
  g_hash_table_insert (files->entries, name, bytes);
}

static void
add_text (Files *files, char *name, char *text)
{
  add_file (files, name, g_bytes_new_take (text, strlen (text)));
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* folder: "" or "ROLE/". */
static gboolean
add_photos (Files *files, const char *path, const char *folder, GHashTable *photos, GError **error)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer name;

  g_hash_table_iter_init (&iter, photos);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    {
      if (!g_str_has_prefix (name, PHOTO_FOLDER) || !bl_path_is_plain (name))
        return bl_source_invalid (path, name, _ ("photos of a bundle lie in its folder photos"), error);
      g_ptr_array_add (names, name);
    }
  g_ptr_array_sort (names, compare_names);
  for (guint i = 0; i < names->len; i++)
    add_file (files, g_strconcat (folder, bl_at (names, i), NULL),
              g_bytes_ref (g_hash_table_lookup (photos, bl_at (names, i))));
  return TRUE;
}

/* The folder of a board: its first role; where that is no folder's name, a number. (transfer full) */
static char *
folder_of (const BlDelivery *delivery, guint board)
{
  for (guint i = 0; i < delivery->members->len; i++)
    if (g_array_index (delivery->members, guint, i) == board)
      {
        const char *role = ((BlMember *) bl_at (delivery->equipment->members, i))->role;
        /* "board-2" could be the number of another one. */
        if (bl_path_is_plain (role) && strchr (role, '/') == NULL && !g_str_equal (role, "photos") &&
            !g_str_equal (role, BL_EQUIPMENT_DOCUMENT) && !g_str_has_prefix (role, "board-"))
          return g_strconcat (role, "/", NULL);
        break;
      }
  return g_strdup_printf ("board-%u/", board + 1);
}

/* With the paths of its boards as they are in the bundle. (transfer full) */
static char *
equipment_text (const BlDelivery *delivery)
{
  g_autoptr (BlEquipment) copy = bl_equipment_copy (delivery->equipment);

  for (guint i = 0; i < bl_len (copy->members); i++)
    {
      BlMember *member = bl_at (copy->members, i);
      g_autofree char *folder = folder_of (delivery, g_array_index (delivery->members, guint, i));
      g_free (member->board);
      member->board = g_strconcat (folder, BL_BOARD_DOCUMENT, NULL);
    }
  return bl_equipment_write (copy);
}

static gboolean
gather (const BlDelivery *delivery, Files *files, const char *path, GError **error)
{
  add_text (files, g_strdup (BL_EQUIPMENT_DOCUMENT), equipment_text (delivery));
  for (guint i = 0; i < delivery->boards->len; i++)
    {
      const BlBundle *bundle = bl_at (delivery->boards, i);
      g_autofree char *folder = folder_of (delivery, i);
      add_text (files, g_strconcat (folder, BL_BOARD_DOCUMENT, NULL), bl_document_write (bundle->board));
      if (!add_photos (files, path, folder, bundle->photos, error))
        return FALSE;
    }
  return add_photos (files, path, "", delivery->photos, error);
}

gboolean
bl_delivery_write (const BlDelivery *delivery, const char *path, GError **error)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  Files files = { names, entries };

  g_return_val_if_fail (delivery != NULL && path != NULL && delivery->boards->len > 0, FALSE);
  if (delivery->equipment == NULL)
    return bl_bundle_write (bl_at (delivery->boards, 0), path, error);
  if (!gather (delivery, &files, path, error))
    return FALSE;
  g_ptr_array_add (names, NULL);
  return bl_zip_write (path, (const char *const *) names->pdata, entries, error);
}
