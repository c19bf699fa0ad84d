/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a file from another shop would change in the library.
 *
 * A board is found by its uid, else by its number and edition: shops document the same edition before they ever
 * exchange a file. There is no common ancestor, so what both have and say otherwise is a conflict that nobody but
 * the technician can decide; what only one side has is no conflict, and nothing of the library is removed unless
 * that is chosen. Pictures are compared byte by byte and never replaced, for points lie on them. An equipment is
 * compared as a whole. Doing it is bl-intake-run.c's. */
#include "config.h"

#include "bl-intake.h"

#include "bl-document.h"
#include "bl-missing.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <string.h>

static void
photo_free (gpointer data)
{
  BlIntakePhoto *photo = data;

  g_free (photo->id);
  g_clear_pointer (&photo->mine, g_bytes_unref);
  g_clear_pointer (&photo->theirs, g_bytes_unref);
  g_free (photo);
}

static void
board_free (gpointer data)
{
  BlIntakeBoard *board = data;

  bl_board_free (board->mine);
  bl_board_free (board->theirs);
  g_clear_pointer (&board->differences, g_ptr_array_unref);
  g_clear_pointer (&board->photos, g_ptr_array_unref);
  g_free (board->edition);
  g_free (board);
}

void
bl_intake_free (BlIntake *intake)
{
  if (intake == NULL)
    return;
  g_clear_pointer (&intake->boards, g_ptr_array_unref);
  g_clear_pointer (&intake->delivery, bl_delivery_free);
  g_free (intake->otherwise);
  g_free (intake->title);
  g_free (intake);
}

/* --- finding --- */

static gboolean
is_empty (const char *text)
{
  return text == NULL || *text == '\0';
}

static gboolean
same_text (const char *one, const char *other)
{
  return strcmp (one != NULL ? one : "", other != NULL ? other : "") == 0;
}

/* The row that is the same board: by uid, else by number and edition, of the same maker where both name one. */
static const BlBoardRow *
find_row (GPtrArray *rows, const BlBoard *board, gboolean *by_uid)
{
  *by_uid = TRUE;
  for (guint i = 0; i < rows->len && !is_empty (board->uid); i++)
    if (g_strcmp0 (((BlBoardRow *) bl_at (rows, i))->uid, board->uid) == 0)
      return bl_at (rows, i);
  *by_uid = FALSE;
  for (guint i = 0; i < rows->len && !is_empty (board->board_number); i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      if (!row->provisional && same_text (row->board_number, board->board_number)
          && same_text (row->edition, board->edition)
          && (is_empty (row->maker) || is_empty (board->maker) || same_text (row->maker, board->maker)))
        return row;
    }
  return NULL;
}

static GBytes *
picture_of (const BlBundle *bundle, const BlPhoto *photo)
{
  return photo->file != NULL ? g_hash_table_lookup (bundle->photos, photo->file) : NULL;
}

/* Pictures of the same id; the file's name is a matter of the bundle and is taken from mine. FALSE with error. */
static gboolean
compare_photos (BlLibrary *library, BlIntakeBoard *board, GError **error)
{
  for (guint i = 0; i < bl_len (board->theirs->photos); i++)
    {
      BlPhoto *photo = bl_at (board->theirs->photos, i);
      const BlPhoto *same = bl_board_photo (board->mine, photo->id);
      GBytes *theirs = picture_of (board->bundle, photo);
      g_autoptr (GError) reason = NULL;
      g_autoptr (GBytes) mine = same != NULL
                                    ? bl_library_get_board_photo (library, board->board, photo->id, NULL, &reason)
                                    : NULL;
      if (same == NULL)
        continue;
      if (reason != NULL && !g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      if (theirs != NULL && (mine == NULL || !g_bytes_equal (mine, theirs)))
        {
          BlIntakePhoto *item = g_new0 (BlIntakePhoto, 1);
          item->id = g_strdup (photo->id);
          item->mine = g_steal_pointer (&mine);
          item->theirs = g_bytes_ref (theirs);
          item->take = item->mine == NULL;
          g_ptr_array_add (board->photos, item);
        }
      g_free (photo->file);
      photo->file = g_strdup (same->file);
    }
  return TRUE;
}

/* "C-2", or the first after it that no edition of the same board has. */
static char *
free_edition (GPtrArray *rows, const BlBoard *board)
{
  const char *edition = board->edition != NULL ? board->edition : "";

  for (guint n = 2;; n++)
    {
      g_autofree char *mark = g_strdup_printf ("%s%s%u", edition, *edition != '\0' ? "-" : "", n);
      gboolean taken = FALSE;
      for (guint i = 0; i < rows->len; i++)
        {
          const BlBoardRow *row = bl_at (rows, i);
          taken = taken || (same_text (row->board_number, board->board_number) && same_text (row->edition, mark));
        }
      if (!taken)
        return g_steal_pointer (&mark);
    }
}

static gboolean
compare_board (BlLibrary *library, BlIntakeBoard *board, const BlBoardRow *row, GPtrArray *rows, GError **error)
{
  board->board = row->id;
  board->n_jobs = row->n_jobs;
  board->mine = bl_library_load_board (library, row->id, error);
  if (board->mine == NULL || !compare_photos (library, board, error))
    return FALSE;
  board->differences = bl_board_differences (board->mine, board->theirs);
  board->finding = board->differences->len == 0 && board->photos->len == 0 ? BL_INTAKE_SAME : BL_INTAKE_DIFFERENT;
  board->choice = board->finding == BL_INTAKE_SAME ? BL_INTAKE_LEAVE : BL_INTAKE_MERGE;
  board->edition = free_edition (rows, board->theirs);
  bl_intake_take (board, TRUE);
  return TRUE;
}

static BlIntakeBoard *
look_at (BlLibrary *library, const BlBundle *bundle, GPtrArray *rows, GError **error)
{
  BlIntakeBoard *board = g_new0 (BlIntakeBoard, 1);
  const BlBoardRow *row = find_row (rows, bundle->board, &board->by_uid);

  board->bundle = bundle;
  board->theirs = bl_board_copy (bundle->board);
  board->photos = g_ptr_array_new_with_free_func (photo_free);
  if (row == NULL || compare_board (library, board, row, rows, error))
    return board;
  board_free (board);
  return NULL;
}

/* --- choosing --- */

gboolean
bl_intake_is_conflict (const BlDifference *difference)
{
  g_return_val_if_fail (difference != NULL, FALSE);
  if (difference->kind == BL_DIFFERENCE_RENAMED)
    return TRUE;
  if (difference->kind != BL_DIFFERENCE_CHANGED)
    return FALSE;
  for (guint i = 0; i < bl_len (difference->fields); i++)
    if (((BlDifferenceField *) bl_at (difference->fields, i))->mine != NULL)
      return TRUE;
  return FALSE;
}

/* Fields alone: what a changed element has that the library's says nothing of. */
static void
take_fields (BlDifference *difference, gboolean mine)
{
  for (guint i = 0; i < bl_len (difference->fields); i++)
    {
      BlDifferenceField *field = bl_at (difference->fields, i);
      field->take = difference->kind == BL_DIFFERENCE_CHANGED && field->theirs != NULL
                    && (field->mine == NULL || !mine);
    }
}

/* Something that only the file has lies on this photo. */
static gboolean
is_needed (const BlIntakeBoard *board, const char *photo)
{
  for (guint i = 0; i < board->differences->len; i++)
    {
      const BlDifference *difference = bl_at (board->differences, i);
      if (difference->kind == BL_DIFFERENCE_ADDED && g_strcmp0 (difference->theirs.photo, photo) == 0)
        return TRUE;
    }
  return FALSE;
}

void
bl_intake_take (BlIntakeBoard *board, gboolean mine)
{
  g_return_if_fail (board != NULL && board->differences != NULL);
  for (guint i = 0; i < board->differences->len; i++)
    {
      BlDifference *difference = bl_at (board->differences, i);
      difference->take = difference->kind == BL_DIFFERENCE_ADDED
                         || (!mine && difference->kind == BL_DIFFERENCE_RENAMED);
      take_fields (difference, mine);
    }
  for (guint i = 0; i < board->photos->len; i++)
    {
      BlIntakePhoto *photo = bl_at (board->photos, i);
      photo->take = photo->mine == NULL || !mine || is_needed (board, photo->id);
    }
  bl_differences_take_along (board->differences);
}

void
bl_intake_take_nothing (BlIntakeBoard *board)
{
  g_return_if_fail (board != NULL && board->differences != NULL);
  for (guint i = 0; i < board->differences->len; i++)
    bl_intake_set_take (board, bl_at (board->differences, i), FALSE);
  for (guint i = 0; i < board->photos->len; i++)
    ((BlIntakePhoto *) bl_at (board->photos, i))->take = FALSE;
}

static void
set_fields (BlDifference *difference, gboolean take)
{
  for (guint i = 0; i < bl_len (difference->fields); i++)
    ((BlDifferenceField *) bl_at (difference->fields, i))->take = take;
}

/* What was chosen or put back goes with what it refers to, or with what refers to it. */
static void
settle (BlIntakeBoard *board, gboolean take)
{
  if (take)
    bl_differences_take_along (board->differences);
  else
    bl_differences_leave_along (board->differences);
}

void
bl_intake_set_take (BlIntakeBoard *board, BlDifference *difference, gboolean take)
{
  g_return_if_fail (board != NULL && difference != NULL);
  difference->take = take;
  set_fields (difference, FALSE);
  settle (board, take);
}

void
bl_intake_set_field (BlIntakeBoard *board, BlDifference *difference, BlDifferenceField *field, gboolean take)
{
  g_return_if_fail (board != NULL && difference != NULL && field != NULL);
  if (difference->take) /* all of it was; the others stay taken */
    set_fields (difference, TRUE);
  difference->take = FALSE;
  field->take = take;
  settle (board, take);
}

static gboolean
takes (const BlDifference *difference)
{
  gboolean take = difference->take;

  for (guint i = 0; !take && i < bl_len (difference->fields); i++)
    take = ((BlDifferenceField *) bl_at (difference->fields, i))->take;
  return take;
}

guint
bl_intake_count (const BlIntakeBoard *board, guint *all)
{
  guint n = 0;

  g_return_val_if_fail (board != NULL, 0);
  for (guint i = 0; i < bl_len (board->differences); i++)
    n += takes (bl_at (board->differences, i));
  for (guint i = 0; i < board->photos->len; i++)
    n += ((BlIntakePhoto *) bl_at (board->photos, i))->take;
  if (all != NULL)
    *all = bl_len (board->differences) + board->photos->len;
  return n;
}

char *
bl_intake_board_name (const BlIntakeBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  return bl_board_title (board->theirs->board_number, board->theirs->edition);
}

/* --- the equipment --- */

/* Without what each library and each bundle writes anew. */
static json_t *
bare_equipment (const BlEquipment *equipment)
{
  g_autoptr (BlEquipment) copy = bl_equipment_copy (equipment);
  g_autofree char *text = NULL;

  g_clear_pointer (&copy->own.uid, g_free);
  for (guint i = 0; i < bl_len (copy->members); i++)
    {
      BlMember *member = bl_at (copy->members, i);
      g_free (member->board);
      member->board = g_strdup ("x");
    }
  for (guint i = 0; i < bl_len (copy->own.photos); i++)
    g_clear_pointer (&((BlPhoto *) bl_at (copy->own.photos, i))->file, g_free);
  text = bl_equipment_write (copy);
  return json_loads (text, 0, NULL);
}

/* What a key of an equipment's document is called; those that a board has too have their words already. */
static const char *
key_words (const char *key)
{
  static const struct
  {
    const char *key, *words;
  } own[] = { { "title", N_ ("title") },           { "notes", N_ ("notes") },
              { "odds", N_ ("odds") },             { "boards", N_ ("boards") },
              { "conductors", N_ ("conductors") }, { "cables", N_ ("cables") },
              { "effects", N_ ("effects from board to board") },
              { "shares", N_ ("shares of boards and conductors") } };

  for (guint i = 0; i < G_N_ELEMENTS (own); i++)
    if (g_str_equal (own[i].key, key))
      return _ (own[i].words);
  return bl_difference_list_words (key);
}

/* What of the document says something else, in words; "" when nothing does. */
static char *
keys_otherwise (const BlEquipment *mine, const BlEquipment *theirs)
{
  json_t *one = bare_equipment (mine), *other = bare_equipment (theirs), *value;
  g_autoptr (GString) words = g_string_new (NULL);
  const char *key;

  json_object_foreach (other, key, value)
    if (!json_equal (value, json_object_get (one, key)))
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", key_words (key));
  json_object_foreach (one, key, value)
    if (json_object_get (other, key) == NULL)
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", key_words (key));
  json_decref (one);
  json_decref (other);
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static gboolean
same_roles (const BlEquipmentRow *row, const BlEquipment *equipment)
{
  if (row->boards->len != bl_len (equipment->members))
    return FALSE;
  for (guint i = 0; i < row->boards->len; i++)
    if (!same_text (((BlEquipmentBoard *) bl_at (row->boards, i))->role,
                    ((BlMember *) bl_at (equipment->members, i))->role))
      return FALSE;
  return TRUE;
}

/* By uid; one that has none by title and roles. */
static const BlEquipmentRow *
find_equipment (GPtrArray *rows, const BlEquipment *equipment)
{
  for (guint i = 0; i < rows->len; i++)
    {
      const BlEquipmentRow *row = bl_at (rows, i);
      if (equipment->own.uid != NULL ? same_text (row->uid, equipment->own.uid)
                                     : same_text (row->title, equipment->title) && same_roles (row, equipment))
        return row;
    }
  return NULL;
}

/* The roles are those of the very boards that came. */
static gboolean
same_boards (const BlIntake *intake, const BlEquipmentRow *row)
{
  for (guint i = 0; i < row->boards->len; i++)
    {
      guint at = g_array_index (intake->delivery->members, guint, i);
      if (((BlIntakeBoard *) bl_at (intake->boards, at))->board != ((BlEquipmentBoard *) bl_at (row->boards, i))->board)
        return FALSE;
    }
  return TRUE;
}

/* *same: those that come are there. FALSE with error. */
static gboolean
compare_equipment_pictures (const BlIntake *intake, gint64 id, gboolean *same, GError **error)
{
  const GPtrArray *photos = intake->delivery->equipment->own.photos;

  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlPhoto *photo = bl_at (photos, i);
      GBytes *theirs = photo->file != NULL ? g_hash_table_lookup (intake->delivery->photos, photo->file) : NULL;
      g_autoptr (GError) reason = NULL;
      g_autoptr (GBytes) mine = bl_library_get_equipment_photo (intake->library, id, photo->id, NULL, &reason);
      if (reason != NULL && !g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      *same = *same && (theirs == NULL || (mine != NULL && g_bytes_equal (mine, theirs)));
    }
  return TRUE;
}

static void
add_word (char **words, gboolean add, const char *word)
{
  g_autofree char *before = *words;

  *words = add ? g_strconcat (before, *before != '\0' ? ", " : "", word, NULL) : g_strdup (before);
}

static gboolean
compare_equipment (BlIntake *intake, GError **error)
{
  const BlEquipment *theirs = intake->delivery->equipment;
  g_autoptr (GPtrArray) rows = bl_library_equipments (intake->library, error);
  const BlEquipmentRow *row = rows != NULL ? find_equipment (rows, theirs) : NULL;
  g_autoptr (BlEquipment) mine = NULL;
  gboolean same = TRUE;

  if (rows == NULL || row == NULL)
    return rows != NULL;
  mine = bl_library_get_equipment (intake->library, row->id, error);
  if (mine == NULL || !compare_equipment_pictures (intake, row->id, &same, error))
    return FALSE;
  intake->equipment = row->id;
  intake->otherwise = keys_otherwise (mine, theirs);
  add_word (&intake->otherwise, !same_roles (row, theirs) || !same_boards (intake, row), _ ("which boards"));
  add_word (&intake->otherwise, !same, _ ("pictures"));
  intake->finding = *intake->otherwise == '\0' ? BL_INTAKE_SAME : BL_INTAKE_DIFFERENT;
  intake->choice = BL_INTAKE_LEAVE;
  intake->title = g_strdup_printf (_ ("%s (2)"), theirs->title != NULL ? theirs->title : "");
  return TRUE;
}

/* --- all of it --- */

BlIntake *
bl_intake_new (BlLibrary *library, BlDelivery *delivery, GError **error)
{
  g_return_val_if_fail (library != NULL && delivery != NULL, NULL);
  g_autoptr (BlIntake) intake = g_new0 (BlIntake, 1);
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, error);

  intake->library = library;
  intake->delivery = delivery;
  intake->boards = g_ptr_array_new_with_free_func (board_free);
  for (guint i = 0; rows != NULL && i < delivery->boards->len; i++)
    {
      BlIntakeBoard *board = look_at (library, bl_at (delivery->boards, i), rows, error);
      if (board == NULL)
        return NULL;
      g_ptr_array_add (intake->boards, board);
    }
  if (rows == NULL || (delivery->equipment != NULL && !compare_equipment (intake, error)))
    return NULL;
  return g_steal_pointer (&intake);
}

BlIntakeFinding
bl_intake_finding (const BlIntake *intake)
{
  g_return_val_if_fail (intake != NULL, BL_INTAKE_NEW);
  gboolean same = intake->delivery->equipment == NULL || intake->finding == BL_INTAKE_SAME;
  gboolean different = intake->delivery->equipment != NULL && intake->finding == BL_INTAKE_DIFFERENT;

  for (guint i = 0; i < intake->boards->len; i++)
    {
      BlIntakeFinding finding = ((BlIntakeBoard *) bl_at (intake->boards, i))->finding;
      same = same && finding == BL_INTAKE_SAME;
      different = different || finding == BL_INTAKE_DIFFERENT;
    }
  return different ? BL_INTAKE_DIFFERENT : same ? BL_INTAKE_SAME : BL_INTAKE_NEW;
}
