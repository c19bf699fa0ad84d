/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes what was chosen of a file from another shop: everything or nothing. A merge goes through the edition, so
 * that it is a step of undo like any other change; the pictures that it brings stay in the library when it is
 * undone, where nothing shows them. */
#include "config.h"

#include "bl-board-edit.h"
#include "bl-library-steps.h"
#include "bl-document.h"
#include "bl-edition.h"
#include "bl-intake.h"

#include <glib/gi18n-lib.h>

/* --- merging --- */

static gboolean
put_picture (BlLibrary *library, gint64 board, const char *photo, GBytes *image, GError **error)
{
  const char *mime = image != NULL ? bl_image_mime (image) : NULL;

  return mime == NULL || bl_library_put_board_photo (library, board, photo, mime, image, NULL, error);
}

/* The picture that theirs has for a photo of the same id. */
static GBytes *
their_picture (const BlIntakeBoard *board, const char *id)
{
  const BlPhoto *photo = bl_board_photo (board->bundle->board, id);

  return photo != NULL && photo->file != NULL ? g_hash_table_lookup (board->bundle->photos, photo->file) : NULL;
}

/* What mine calls a photo that is renamed by the merge; NULL: it is not. */
static const char *
old_name (const BlIntakeBoard *board, const char *id)
{
  for (guint i = 0; i < board->differences->len; i++)
    {
      const BlDifference *difference = bl_at (board->differences, i);
      if (difference->kind == BL_DIFFERENCE_RENAMED && g_str_equal (difference->list, "photos")
          && g_strcmp0 (difference->id, id) == 0)
        return difference->old_id;
    }
  return NULL;
}

/* Pictures for the photos that mine had not under this id. */
static gboolean
bring_pictures (BlLibrary *library, const BlIntakeBoard *board, const BlBoard *merged, GError **error)
{
  for (guint i = 0; i < bl_len (merged->photos); i++)
    {
      const BlPhoto *photo = bl_at (merged->photos, i);
      const char *old = old_name (board, photo->id);
      g_autoptr (GBytes) mine = NULL;
      if (old != NULL && !bl_library_find_board_photo (library, board->board, old, &mine, error))
        return FALSE;
      if (bl_board_photo (board->mine, photo->id) == NULL
          && !put_picture (library, board->board, photo->id, mine != NULL ? mine : their_picture (board, photo->id), error))
        return FALSE;
    }
  return TRUE;
}

/* Another picture of the same photo comes in beside it: points lie on the one that is there. */
static gboolean
add_picture (BlLibrary *library, const BlIntakeBoard *board, BlBoard *merged, const BlIntakePhoto *item, GError **error)
{
  g_autofree char *prefix = g_strconcat (item->id, "-", NULL);
  BlPhoto *photo;

  if (item->mine == NULL)
    return put_picture (library, board->board, item->id, item->theirs, error);
  if (!item->take)
    {
      bl_intake_move_places (board, merged, item->id, NULL);
      return TRUE;
    }
  photo = bl_photo_copy (bl_board_photo (board->theirs, item->id));
  g_free (photo->id);
  photo->id = bl_board_free_id (merged, BL_KIND_PHOTO, prefix);
  g_clear_pointer (&photo->file, g_free);
  bl_intake_move_places (board, merged, item->id, photo->id);
  bl_append (&merged->photos, photo, (GDestroyNotify) bl_photo_free);
  return put_picture (library, board->board, photo->id, item->theirs, error);
}

static gboolean
add_pictures (BlLibrary *library, const BlIntakeBoard *board, BlBoard *merged, GError **error)
{
  for (guint i = 0; i < board->photos->len; i++)
    {
      const BlIntakePhoto *item = bl_at (board->photos, i);
      if ((item->take || item->mine != NULL) && bl_board_photo (merged, item->id) != NULL
          && !add_picture (library, board, merged, item, error))
        return FALSE;
    }
  return bring_pictures (library, board, merged, error);
}

/* The differences are those of the document as it was when the file was looked at. */
static gboolean
is_unchanged (BlEdition *edition, const BlIntakeBoard *board, GError **error)
{
  g_autofree char *now = bl_document_write (bl_edition_get_board (edition)), *then = bl_document_write (board->mine);

  if (g_str_equal (now, then))
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY,
               _ ("the board was changed since the file was compared with it; import the file again"));
  return FALSE;
}

static gboolean
merge (BlLibrary *library, BlIntakeBoard *board, GError **error)
{
  g_autoptr (BlEdition) edition = bl_edition_new (library, board->board, error);
  g_autoptr (BlBoard) merged = NULL;
  BlBoard *draft, old;
  guint all = 0;

  board->result = board->board;
  board->taken = bl_intake_count (board, &all);
  board->left = all - board->taken;
  if (edition == NULL || !is_unchanged (edition, board, error))
    return FALSE;
  if (board->taken == 0)
    return TRUE;
  bl_differences_take_along (board->differences);
  merged = bl_board_merge (board->mine, board->theirs, board->differences, error);
  if (merged == NULL || !add_pictures (library, board, merged, error))
    return FALSE;
  draft = bl_edition_begin (edition, _ ("Merge what was imported"), NULL);
  old = *draft;
  *draft = *merged;
  *merged = old;
  return bl_edition_commit (edition, error);
}

/* --- adding --- */

static gboolean
add (BlLibrary *library, BlIntakeBoard *board, GError **error)
{
  board->result = bl_library_import (library, board->bundle, error);
  return board->result != 0;
}

/* As a board of its own: another uid, and an edition by which it is told apart. */
static gboolean
add_beside (BlLibrary *library, BlIntakeBoard *board, GError **error)
{
  g_autoptr (BlBoard) copy = bl_board_copy (board->bundle->board);
  BlBundle bundle = { copy, NULL, board->bundle->photos };

  g_free (copy->uid);
  copy->uid = g_uuid_string_random ();
  g_free (copy->edition);
  copy->edition = g_strdup (board->edition);
  board->result = bl_library_import (library, &bundle, error);
  return board->result != 0;
}

static gboolean
run_board (BlLibrary *library, BlIntakeBoard *board, GError **error)
{
  gboolean ok;

  switch (board->choice)
    {
    case BL_INTAKE_ADD:
      ok = add (library, board, error);
      break;
    case BL_INTAKE_MERGE:
      ok = merge (library, board, error);
      break;
    case BL_INTAKE_KEEP_BOTH:
      ok = add_beside (library, board, error);
      break;
    case BL_INTAKE_LEAVE:
    default:
      board->result = board->board;
      return TRUE;
    }
  if (!ok)
    {
      g_autofree char *name = bl_intake_board_name (board);
      g_prefix_error (error, "%s: ", name);
    }
  return ok;
}

/* --- the equipment --- */

static gboolean
put_equipment_photos (BlIntake *intake, const BlEquipment *equipment, GError **error)
{
  for (guint i = 0; i < bl_len (equipment->own.photos); i++)
    {
      const BlPhoto *photo = bl_at (equipment->own.photos, i);
      GBytes *image = photo->file != NULL ? g_hash_table_lookup (intake->delivery->photos, photo->file) : NULL;
      if (image != NULL
          && !bl_library_put_equipment_photo (intake->library, intake->result, photo->id, bl_image_mime (image), image,
                                              error))
        return FALSE;
    }
  return TRUE;
}

/* One that was found by its title alone, for the file has no uid, keeps the uid it has here: other shops know it by
 * that. */
static gboolean
keep_uid (BlIntake *intake, BlEquipment *equipment, GError **error)
{
  g_autoptr (BlEquipment) mine = NULL;

  if (intake->equipment == 0 || (equipment->own.uid != NULL && *equipment->own.uid != '\0'))
    return TRUE;
  mine = bl_library_get_equipment (intake->library, intake->equipment, error);
  if (mine == NULL)
    return FALSE;
  g_free (equipment->own.uid);
  equipment->own.uid = g_strdup (mine->own.uid);
  return TRUE;
}

static gboolean
run_equipment (BlIntake *intake, GError **error)
{
  g_autoptr (BlEquipment) equipment = NULL;
  g_autofree gint64 *boards = NULL;
  gboolean beside = intake->choice == BL_INTAKE_KEEP_BOTH;

  intake->result = intake->equipment;
  if (intake->delivery->equipment == NULL || intake->choice == BL_INTAKE_LEAVE)
    return TRUE;
  equipment = bl_equipment_copy (intake->delivery->equipment);
  boards = g_new0 (gint64, intake->delivery->members->len + 1);
  for (guint i = 0; i < intake->delivery->members->len; i++)
    {
      guint at = g_array_index (intake->delivery->members, guint, i);
      boards[i] = ((BlIntakeBoard *) bl_at (intake->boards, at))->result;
    }
  if (beside)
    {
      g_clear_pointer (&equipment->own.uid, g_free);
      g_free (equipment->title);
      equipment->title = g_strdup (intake->title);
    }
  else if (!keep_uid (intake, equipment, error))
    return FALSE;
  intake->result = bl_library_put_equipment (intake->library, beside ? 0 : intake->equipment, equipment, boards, error);
  return intake->result != 0 && put_equipment_photos (intake, equipment, error);
}

/* --- all of it --- */

gboolean
bl_intake_run (BlIntake *intake, GError **error)
{
  const char *doing = _ ("importing");
  gboolean ok = TRUE;

  g_return_val_if_fail (intake != NULL, FALSE);
  /* Boards alone can be undone; an equipment keeps its boards in the library. */
  gboolean step = intake->delivery->equipment == NULL;
  if (!(step ? bl_library_begin_step (intake->library, BL_STEPS_BOARDS, 0, _ ("import"), error)
             : bl_library_begin (intake->library, doing, error)))
    return FALSE;
  for (guint i = 0; ok && i < intake->boards->len; i++)
    ok = run_board (intake->library, bl_at (intake->boards, i), error);
  ok = ok && run_equipment (intake, error);
  return step ? bl_library_end_step (intake->library, ok, NULL, error)
              : bl_library_end (intake->library, ok, doing, error);
}
