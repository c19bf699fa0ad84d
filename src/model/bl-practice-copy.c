/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Copies of boards and equipments in the library of practice. A drill follows from the very document it was drawn on, so a
 * copy that drills are about never changes: when the edition does, the old copy is set aside under another uid, for those
 * drills, and a new one is made. Photos are not part of what a drill follows from; they are brought up to date in place.
 * A document has some hundred kilobytes, its photos a few megabytes; they are compared as a whole. */
#include "config.h"

#include "bl-practice-private.h"

#include "bl-document.h"
#include "bl-library-equipment.h"

#include <glib/gi18n-lib.h>

/* TRUE when the copy has the very picture. */
static gboolean
has_photo (BlLibrary *library, gint64 board, const char *photo, GBytes *image, gboolean *has, GError **error)
{
  g_autoptr (GBytes) there = NULL;

  if (!bl_library_find_board_photo (library, board, photo, &there, error))
    return FALSE;
  *has = there != NULL && g_bytes_equal (there, image);
  return TRUE;
}

static gboolean
copy_photo (BlPractice *self, gint64 from, gint64 to, const char *photo, GError **error)
{
  g_autoptr (GBytes) image = NULL;
  g_autofree char *mime = NULL;
  gboolean has = FALSE;

  if (!bl_library_find_board_photo (self->shop, from, photo, &image, error))
    return FALSE;
  if (image == NULL)
    return TRUE;
  if (!has_photo (self->library, to, photo, image, &has, error))
    return FALSE;
  if (has)
    return TRUE;
  g_autoptr (GBytes) again = bl_library_get_board_photo (self->shop, from, photo, &mime, error);
  return again != NULL && bl_library_put_board_photo (self->library, to, photo, mime, again, NULL, error);
}

static gboolean
copy_photos (BlPractice *self, const BlBoard *board, gint64 from, gint64 to, GError **error)
{
  for (guint i = 0; i < bl_len (board->photos); i++)
    if (!copy_photo (self, from, to, ((const BlPhoto *) bl_at (board->photos, i))->id, error))
      return FALSE;
  return TRUE;
}

/* --- boards --- */

static char *
aside_uid (const char *uid, gint64 id)
{
  return g_strdup_printf ("%s/%" G_GINT64_FORMAT, uid, id);
}

static gboolean
set_board_aside (BlPractice *self, BlBoard *old, gint64 id, GError **error)
{
  g_autofree char *uid = g_steal_pointer (&old->uid);

  old->uid = aside_uid (uid, id);
  return bl_library_save_board (self->library, id, old, error);
}

/* What the library of practice has under this uid: as it is, saved over, or set aside. Sets *id to the copy; 0: make one. */
static gboolean
renew_board (BlPractice *self, const BlBoard *board, gint64 *id, GError **error)
{
  g_autoptr (BlBoard) old = bl_library_load_board (self->library, *id, error);
  gboolean drilled = FALSE;

  if (old == NULL)
    return FALSE;
  g_autofree char *before = bl_document_write (old), *now = bl_document_write (board);
  if (g_str_equal (before, now))
    return TRUE;
  if (!bl_library_is_drilled (self->library, *id, 0, &drilled, error))
    return FALSE;
  if (!drilled)
    return bl_library_save_board (self->library, *id, board, error);
  gint64 aside = *id;
  *id = 0;
  return set_board_aside (self, old, aside, error);
}

/* Id of the copy, 0 on error. uid (may be NULL): set to the board's. */
static gint64
copy_board (BlPractice *self, gint64 from, char **uid, GError **error)
{
  g_autoptr (BlBoard) board = bl_library_load_board (self->shop, from, error);
  g_autoptr (GError) reason = NULL;

  if (board == NULL)
    return 0;
  gint64 id = bl_library_find_board (self->library, board->uid, &reason);
  if (reason != NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return 0;
    }
  if (id != 0 && !renew_board (self, board, &id, error))
    return 0;
  if (id == 0)
    id = bl_library_add_board (self->library, board, FALSE, error);
  if (id == 0 || !copy_photos (self, board, from, id, error))
    return 0;
  if (uid != NULL)
    *uid = g_strdup (board->uid);
  return id;
}

/* --- equipments --- */

static gboolean
copy_equipment_photos (BlPractice *self, const BlEquipment *equipment, gint64 from, gint64 to, GError **error)
{
  for (guint i = 0; i < bl_len (equipment->own.photos); i++)
    {
      const char *photo = ((const BlPhoto *) bl_at (equipment->own.photos, i))->id;
      g_autoptr (GError) reason = NULL;
      g_autofree char *mime = NULL;
      g_autoptr (GBytes) image = bl_library_get_equipment_photo (self->shop, from, photo, &mime, &reason);
      if (image == NULL && g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
        continue;
      if (image == NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      if (!bl_library_put_equipment_photo (self->library, to, photo, mime, image, error))
        return FALSE;
    }
  return TRUE;
}

/* TRUE when the copy joins the same boards to the same board. */
static gboolean
is_same_equipment (BlPractice *self, gint64 from, gint64 copy, const gint64 *boards)
{
  g_autoptr (GPtrArray) has = bl_library_equipment_boards (self->library, copy, NULL);
  g_autoptr (BlBoard) here = bl_library_join_equipment (self->library, copy, NULL, NULL);
  g_autoptr (BlBoard) there = bl_library_join_equipment (self->shop, from, NULL, NULL);

  if (has == NULL || here == NULL || there == NULL)
    return FALSE;
  for (guint i = 0; i < has->len; i++)
    if (((const BlEquipmentBoard *) bl_at (has, i))->board != boards[i])
      return FALSE;
  g_autofree char *one = bl_document_write (here), *other = bl_document_write (there);
  return g_str_equal (one, other);
}

static gboolean
set_equipment_aside (BlPractice *self, gint64 id, GError **error)
{
  g_autoptr (BlEquipment) old = bl_library_get_equipment (self->library, id, error);
  g_autoptr (GPtrArray) has = old != NULL ? bl_library_equipment_boards (self->library, id, error) : NULL;

  if (has == NULL)
    return FALSE;
  g_autofree gint64 *boards = g_new0 (gint64, has->len + 1);
  for (guint i = 0; i < has->len; i++)
    boards[i] = ((const BlEquipmentBoard *) bl_at (has, i))->board;
  g_autofree char *uid = g_steal_pointer (&old->own.uid);
  old->own.uid = aside_uid (uid, id);
  return bl_library_put_equipment (self->library, id, old, boards, error) != 0;
}

/* Id of the copy, 0 on error. boards: the copies of its boards, in order. */
static gint64
put_equipment (BlPractice *self, gint64 from, BlEquipment *equipment, const gint64 *boards, GError **error)
{
  g_autoptr (GError) reason = NULL;
  gboolean drilled = FALSE;
  gint64 id = bl_library_find_equipment (self->library, equipment->own.uid, &reason);

  if (reason != NULL)
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return 0;
    }
  if (id != 0 && is_same_equipment (self, from, id, boards))
    return id;
  if (id != 0 && !bl_library_is_drilled (self->library, 0, id, &drilled, error))
    return 0;
  if (drilled)
    {
      if (!set_equipment_aside (self, id, error))
        return 0;
      id = 0;
    }
  return bl_library_put_equipment (self->library, id, equipment, boards, error);
}

static gint64
copy_equipment (BlPractice *self, gint64 from, char **uid, GError **error)
{
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (self->shop, from, error);
  g_autoptr (GPtrArray) has = equipment != NULL ? bl_library_equipment_boards (self->shop, from, error) : NULL;

  if (has == NULL)
    return 0;
  g_autofree gint64 *boards = g_new0 (gint64, has->len + 1);
  for (guint i = 0; i < has->len; i++)
    if ((boards[i] = copy_board (self, ((const BlEquipmentBoard *) bl_at (has, i))->board, NULL, error)) == 0)
      return 0;
  gint64 id = put_equipment (self, from, equipment, boards, error);
  if (id == 0 || !copy_equipment_photos (self, equipment, from, id, error))
    return 0;
  *uid = g_strdup (equipment->own.uid);
  return id;
}

gboolean
bl_practice_copy (BlPractice *self, const BlPracticeSubject *subject, BlPracticeSubject *copy, char **uid, GError **error)
{
  const char *doing = _ ("copying the board to practise on");

  *copy = (BlPracticeSubject){ 0, 0 };
  if (!bl_library_begin (self->library, doing, error))
    return FALSE;
  if (subject->equipment != 0)
    copy->equipment = copy_equipment (self, subject->equipment, uid, error);
  else
    copy->board = copy_board (self, subject->board, uid, error);
  return bl_library_end (self->library, copy->board != 0 || copy->equipment != 0, doing, error);
}

BlBoard *
bl_practice_load_copy (BlPractice *self, gint64 board, gint64 equipment, GError **error)
{
  return equipment != 0 ? bl_library_join_equipment (self->library, equipment, NULL, error)
                        : bl_library_load_board (self->library, board, error);
}
