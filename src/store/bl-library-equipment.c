/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equipments of a library: a handful of rows, each a document of some ten kilobytes. As with boards the
 * document is the truth and the columns that lists show are written from it in the same transaction; only which
 * board has which role is not in the document, for there it is the path of a file. A removed equipment keeps its
 * row, so that removing can be undone. */
#include "config.h"

#include "bl-library-equipment.h"

#include "bl-bundle-private.h"
#include "bl-document.h"
#include "bl-library-private.h"
#include "bl-zip.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static void
equipment_board_free (BlEquipmentBoard *board)
{
  g_free (board->role);
  g_free (board);
}

void
bl_equipment_row_free (BlEquipmentRow *row)
{
  if (row == NULL)
    return;
  g_free (row->uid);
  g_free (row->title);
  g_clear_pointer (&row->boards, g_ptr_array_unref);
  g_free (row);
}

/* --- reading --- */

GPtrArray *
bl_library_equipment_boards (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (GPtrArray) boards = g_ptr_array_new_with_free_func ((GDestroyNotify) equipment_board_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the equipment"),
                                   "SELECT role, board FROM equipment_board WHERE equipment = ?1 ORDER BY place", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlEquipmentBoard *board = g_new0 (BlEquipmentBoard, 1);
      board->role = bl_statement_dup_text (statement, 0);
      board->board = bl_statement_int (statement, 1);
      g_ptr_array_add (boards, board);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&boards) : NULL;
}

static BlEquipmentRow *
row_from (BlLibrary *library, BlStatement *statement, GError **error)
{
  g_autoptr (BlEquipmentRow) row = g_new0 (BlEquipmentRow, 1);

  row->id = bl_statement_int (statement, 0);
  row->uid = bl_statement_dup_text (statement, 1);
  row->title = bl_statement_dup_text (statement, 2);
  row->n_conductors = (guint) bl_statement_int (statement, 3);
  row->n_cables = (guint) bl_statement_int (statement, 4);
  row->n_measurements = (guint) bl_statement_int (statement, 5);
  row->changed = bl_statement_int (statement, 6);
  row->boards = bl_library_equipment_boards (library, row->id, error);
  return row->boards != NULL ? g_steal_pointer (&row) : NULL;
}

GPtrArray *
bl_library_equipments (BlLibrary *library, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_equipment_row_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("listing the equipments"),
                                   "SELECT id, uid, title, n_conductors, n_cables, n_measurements, changed"
                                   " FROM equipment WHERE removed = 0 ORDER BY title COLLATE NOCASE, id",
                                   error);
  if (statement == NULL)
    return NULL;
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlEquipmentRow *row = row_from (library, statement, error);
      if (row == NULL)
        return NULL;
      g_ptr_array_add (rows, row);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

gint64
bl_library_find_equipment (BlLibrary *library, const char *uid, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && uid != NULL, 0);
  statement = bl_database_prepare (library->database, _ ("looking for the equipment"),
                                   "SELECT id FROM equipment WHERE uid = ?1 AND removed = 0", error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_text (statement, 1, uid);
  return bl_statement_step (statement, error) == BL_STEP_ROW ? bl_statement_int (statement, 0) : 0;
}

/* Effects say "on": "ROLE/MEASUREMENT", wherever in the document they stand. */
#define OUTSIDE_SQL                                                                                                    \
  "SELECT DISTINCT substr (tree.value, length (b.role) + 2) FROM equipment_board b JOIN equipment e ON e.id ="         \
  " b.equipment AND e.removed = 0, json_tree (e.document) tree WHERE b.board = ?1 AND tree.key = 'on'"                 \
  " AND substr (tree.value, 1, length (b.role) + 1) = b.role || '/'"

GHashTable *
bl_library_acted_on_from_outside (BlLibrary *library, gint64 board, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GHashTable) ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (BlStatement) statement
    = bl_database_prepare (library->database, _ ("reading the equipments"), OUTSIDE_SQL, error);
  BlStep step = BL_STEP_ERROR;

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_hash_table_add (ids, bl_statement_dup_text (statement, 0));
  return step == BL_STEP_DONE ? g_steal_pointer (&ids) : NULL;
}

static char *
document_text (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("reading the equipment"),
                                                           "SELECT document FROM equipment WHERE id = ?1", error);
  BlStep step;

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("equipment"), id, error);
  return step == BL_STEP_ROW ? bl_statement_dup_text (statement, 0) : NULL;
}

BlEquipment *
bl_library_get_equipment (BlLibrary *library, gint64 id, GError **error)
{
  g_autofree char *text = NULL;
  BlEquipment *equipment;

  g_return_val_if_fail (library != NULL, NULL);
  text = document_text (library, id, error);
  if (text == NULL)
    return NULL;
  equipment = bl_equipment_read (text, -1, NULL, error);
  if (equipment == NULL)
    g_prefix_error (error, "%s: ", bl_database_path (library->database));
  return equipment;
}

/* --- joining --- */

typedef struct
{
  BlLibrary *library;
  const BlEquipment *equipment;
  const gint64 *boards; /* of its members */
} Load;

static char *
load_member (const char *path, gsize *length, gpointer data, GError **error)
{
  const Load *load = data;

  for (guint i = 0; i < bl_len (load->equipment->members); i++)
    {
      const BlMember *member = bl_at (load->equipment->members, i);
      g_autoptr (BlBoard) board = NULL;
      char *text;
      if (g_strcmp0 (member->board, path) != 0)
        continue;
      board = bl_library_load_board (load->library, load->boards[i], error);
      if (board == NULL)
        return NULL;
      text = bl_document_write (board);
      *length = strlen (text);
      return text;
    }
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND, _ ("%s: %s: there is no such file"),
               bl_database_path (load->library->database), path);
  return NULL;
}

static BlBoard *
join (BlLibrary *library, const BlEquipment *equipment, const gint64 *boards, GPtrArray *problems, GError **error)
{
  g_autofree char *text = bl_equipment_write (equipment);
  Load load = { library, equipment, boards };

  return bl_equipment_parse (text, -1, load_member, &load, problems, error);
}

/* Ids of the boards by the members' order; NULL when one is missing. */
static gint64 *
board_ids (BlLibrary *library, gint64 id, const BlEquipment *equipment, GError **error)
{
  g_autoptr (GPtrArray) boards = bl_library_equipment_boards (library, id, error);
  g_autofree gint64 *ids = g_new0 (gint64, bl_len (equipment->members) + 1);

  if (boards == NULL)
    return NULL;
  for (guint i = 0; i < bl_len (equipment->members) && i < boards->len; i++)
    ids[i] = ((BlEquipmentBoard *) bl_at (boards, i))->board;
  return g_steal_pointer (&ids);
}

BlBoard *
bl_library_join_equipment (BlLibrary *library, gint64 id, GPtrArray *problems, GError **error)
{
  g_autoptr (BlEquipment) equipment = NULL;
  g_autofree gint64 *ids = NULL;

  g_return_val_if_fail (library != NULL, NULL);
  equipment = bl_library_get_equipment (library, id, error);
  ids = equipment != NULL ? board_ids (library, id, equipment, error) : NULL;
  return ids != NULL ? join (library, equipment, ids, problems, error) : NULL;
}

/* --- writing --- */

/* The same path for roles of the same board, another for each other board. */
static void
name_boards (BlEquipment *equipment, const gint64 *boards)
{
  for (guint i = 0; i < bl_len (equipment->members); i++)
    {
      BlMember *member = bl_at (equipment->members, i);
      g_free (member->board);
      member->board = g_strdup_printf ("%" G_GINT64_FORMAT "/" BL_BOARD_DOCUMENT, boards[i]);
    }
}

static gboolean
check (BlLibrary *library, const BlEquipment *equipment, const gint64 *boards, GError **error)
{
  g_autoptr (BlBoard) joined = NULL;

  for (guint i = 0; i < bl_len (equipment->members); i++)
    if (!bl_library_require (library, "board", _ ("board"), boards[i], error))
      return FALSE;
  joined = join (library, equipment, boards, NULL, error);
  if (joined == NULL)
    g_prefix_error (error, _ ("%s: the equipment is not kept: "), bl_database_path (library->database));
  return joined != NULL;
}

/* Sets *id to the one that has the uid, a removed one included; that one comes back. */
static gboolean
find_uid (BlLibrary *library, const char *uid, gint64 *id, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("looking for the equipment"), "SELECT id, removed FROM equipment WHERE uid = ?1", error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, uid);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW && bl_statement_int (statement, 1) != 0 && *id == 0)
    *id = bl_statement_int (statement, 0);
  else if (step == BL_STEP_ROW && bl_statement_int (statement, 0) != *id)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: this equipment is in the library already (uid %s)"), bl_database_path (library->database), uid);
      return FALSE;
    }
  return step != BL_STEP_ERROR;
}

static gboolean
write_row (BlLibrary *library, gint64 *id, const BlEquipment *equipment, GError **error)
{
  g_autofree char *document = bl_equipment_write (equipment);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("saving the equipment"),
      *id == 0 ? "INSERT INTO equipment (uid, title, n_conductors, n_cables, n_measurements, document, changed)"
                 " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)"
               : "UPDATE equipment SET uid = ?1, title = ?2, n_conductors = ?3, n_cables = ?4, n_measurements = ?5,"
                 " document = ?6, changed = ?7, removed = 0 WHERE id = ?8",
      error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, equipment->own.uid);
  bl_statement_bind_text (statement, 2, equipment->title);
  bl_statement_bind_int (statement, 3, bl_len (equipment->conductors));
  bl_statement_bind_int (statement, 4, bl_len (equipment->cables));
  bl_statement_bind_int (statement, 5, bl_len (equipment->own.measurements));
  bl_statement_bind_text (statement, 6, document);
  bl_statement_bind_int (statement, 7, bl_library_now ());
  if (*id != 0)
    bl_statement_bind_int (statement, 8, *id);
  if (!bl_statement_run (statement, error))
    return FALSE;
  if (*id == 0)
    *id = bl_database_last_id (library->database);
  return TRUE;
}

static gboolean
write_boards (BlLibrary *library, gint64 id, const BlEquipment *equipment, const gint64 *boards, GError **error)
{
  const char *doing = _ ("saving the equipment");
  g_autoptr (BlStatement) clear =
      bl_database_prepare (library->database, doing, "DELETE FROM equipment_board WHERE equipment = ?1", error);

  if (clear == NULL)
    return FALSE;
  bl_statement_bind_int (clear, 1, id);
  if (!bl_statement_run (clear, error))
    return FALSE;
  for (guint i = 0; i < bl_len (equipment->members); i++)
    {
      g_autoptr (BlStatement) statement = bl_database_prepare (
          library->database, doing,
          "INSERT INTO equipment_board (equipment, role, place, board) VALUES (?1, ?2, ?3, ?4)", error);
      if (statement == NULL)
        return FALSE;
      bl_statement_bind_int (statement, 1, id);
      bl_statement_bind_text (statement, 2, ((BlMember *) bl_at (equipment->members, i))->role);
      bl_statement_bind_int (statement, 3, i);
      bl_statement_bind_int (statement, 4, boards[i]);
      if (!bl_statement_run (statement, error))
        return FALSE;
    }
  return TRUE;
}

gint64
bl_library_put_equipment (BlLibrary *library, gint64 id, BlEquipment *equipment, const gint64 *boards, GError **error)
{
  const char *doing = _ ("saving the equipment");
  gboolean ok;

  g_return_val_if_fail (library != NULL && equipment != NULL && boards != NULL, 0);
  if (equipment->own.uid == NULL || equipment->own.uid[0] == '\0')
    {
      g_free (equipment->own.uid);
      equipment->own.uid = g_uuid_string_random ();
    }
  if (id != 0 && !bl_library_require (library, "equipment", _ ("equipment"), id, error))
    return 0;
  name_boards (equipment, boards);
  if (!check (library, equipment, boards, error) || !bl_database_begin (library->database, doing, error))
    return 0;
  ok = find_uid (library, equipment->own.uid, &id, error) && write_row (library, &id, equipment, error) &&
       write_boards (library, id, equipment, boards, error);
  return bl_database_end (library->database, ok, doing, error) ? id : 0;
}

gboolean
bl_library_check_boards_of (BlLibrary *library, gint64 equipment, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("restoring the equipment"),
      "SELECT role FROM equipment_board JOIN board ON board = board.id WHERE equipment = ?1 AND deleted", error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, equipment);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      g_autofree char *role = bl_statement_dup_text (statement, 0);
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: its board “%s” is deleted"),
                   bl_database_path (library->database), role);
    }
  return step == BL_STEP_DONE;
}

gboolean
bl_library_check_no_jobs_on (BlLibrary *library, gint64 equipment, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("deleting the equipment"),
                           "SELECT count(*) FROM job WHERE equipment = ?1 AND NOT removed", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, equipment);
  if (bl_statement_step (statement, error) != BL_STEP_ROW)
    return FALSE;
  gint64 n = bl_statement_int (statement, 0);
  if (n > 0)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                 g_dngettext (GETTEXT_PACKAGE, "%s: the equipment stays: %" G_GINT64_FORMAT " job belongs to it",
                              "%s: the equipment stays: %" G_GINT64_FORMAT " jobs belong to it", (gulong) n),
                 bl_database_path (library->database), n);
  return n == 0;
}

gboolean
bl_library_delete_equipment (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  g_autoptr (BlStatement) statement = NULL;

  if (!bl_library_check_no_jobs_on (library, id, error) || !bl_step_touch_id (library, "equipment", id, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("deleting the equipment"),
                                   "UPDATE equipment SET removed = 1 WHERE id = ?1", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  return bl_statement_run (statement, error) && (bl_database_changes (library->database) == 1 ||
                                                 bl_library_not_found (library, _ ("equipment"), id, error));
}

/* What a removed equipment still says about a board goes with the board. */
static gboolean
forget_removed (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("deleting the board"),
      "DELETE FROM equipment WHERE removed = 1 AND id IN (SELECT equipment FROM equipment_board WHERE board = ?1)",
      error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_check_no_equipment (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("deleting the board"),
      "SELECT coalesce (title, uid) FROM equipment JOIN equipment_board ON equipment = equipment.id"
      " WHERE board = ?1 AND removed = 0",
      error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      g_autofree char *title = bl_statement_dup_text (statement, 0);
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: the board stays: the equipment “%s” needs it"),
                   bl_database_path (library->database), title);
    }
  return step == BL_STEP_DONE;
}

gboolean
bl_library_leave_equipments (BlLibrary *library, gint64 board, GError **error)
{
  return bl_library_check_no_equipment (library, board, error)
         && (bl_step_is_open (library) || forget_removed (library, board, error));
}

/* --- photos --- */

gboolean
bl_library_put_equipment_photo (BlLibrary *library, gint64 id, const char *photo, const char *mime, GBytes *image,
                                GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && photo != NULL && mime != NULL && image != NULL, FALSE);
  if (!bl_library_require (library, "equipment", _ ("equipment"), id, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("keeping the photo"),
                                   "INSERT INTO equipment_photo (equipment, photo, mime, image) VALUES (?1, ?2, ?3, ?4)"
                                   " ON CONFLICT (equipment, photo) DO UPDATE SET mime = excluded.mime,"
                                   " image = excluded.image",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  bl_statement_bind_text (statement, 2, photo);
  bl_statement_bind_text (statement, 3, mime);
  bl_statement_bind_bytes (statement, 4, image);
  return bl_statement_run (statement, error);
}

GBytes *
bl_library_get_equipment_photo (BlLibrary *library, gint64 id, const char *photo, char **mime, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL && photo != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the photo"),
                                   "SELECT image, mime FROM equipment_photo WHERE equipment = ?1 AND photo = ?2", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  bl_statement_bind_text (statement, 2, photo);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("photo of equipment"), id, error);
  if (step != BL_STEP_ROW)
    return NULL;
  if (mime != NULL)
    *mime = bl_statement_dup_text (statement, 1);
  return bl_statement_dup_bytes (statement, 0);
}

/* --- export --- */

static gboolean
export_photo (BlLibrary *library, gint64 id, BlDelivery *delivery, BlPhoto *photo, GError **error)
{
  g_autofree char *mime = NULL;
  g_autoptr (GError) reason = NULL;
  GBytes *image = bl_library_get_equipment_photo (library, id, photo->id, &mime, &reason);

  if (image == NULL && g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
    return TRUE; /* it never had the picture */
  if (image == NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return FALSE;
    }
  g_free (photo->file);
  photo->file = g_strconcat ("photos/", photo->id, bl_image_suffix (mime), NULL);
  g_hash_table_insert (delivery->photos, g_strdup (photo->file), image);
  return TRUE;
}

static gboolean
export_boards (BlLibrary *library, gint64 id, BlDelivery *delivery, GError **error)
{
  g_autofree gint64 *ids = board_ids (library, id, delivery->equipment, error);
  g_autoptr (GArray) known = g_array_new (FALSE, FALSE, sizeof (gint64));

  if (ids == NULL)
    return FALSE;
  for (guint i = 0; i < bl_len (delivery->equipment->members); i++)
    {
      guint at = 0;
      while (at < known->len && g_array_index (known, gint64, at) != ids[i])
        at++;
      if (at == known->len)
        {
          BlBundle *bundle = bl_library_export (library, ids[i], error);
          if (bundle == NULL)
            return FALSE;
          g_ptr_array_add (delivery->boards, bundle);
          g_array_append_val (known, ids[i]);
        }
      g_array_append_val (delivery->members, at);
    }
  return TRUE;
}

BlDelivery *
bl_library_export_equipment (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlDelivery) delivery = bl_delivery_new ();

  g_return_val_if_fail (library != NULL, NULL);
  delivery->equipment = bl_library_get_equipment (library, id, error);
  if (delivery->equipment == NULL || !export_boards (library, id, delivery, error))
    return NULL;
  for (guint i = 0; i < bl_len (delivery->equipment->own.photos); i++)
    if (!export_photo (library, id, delivery, bl_at (delivery->equipment->own.photos, i), error))
      return NULL;
  return g_steal_pointer (&delivery);
}
