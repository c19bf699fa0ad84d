/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Landmarks of photos, and what is carried from one photo to a better one by them.
 *
 * A test point and a component have one place in the document, so carrying over gives them a new one; on the old
 * photo they are still shown, back through the map. Outlines may be on any number of photos and are copied. Some
 * hundred places; places are kept to a hundredth of a pixel. */
#include "config.h"

#include "bl-edition-photos.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-board-edit.h"
#include "bl-photo-far.h"

static gboolean
gone (BlEdition *self, GError **error)
{
  bl_edition_cancel (self);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("It is not there any more"));
  return FALSE;
}

static double
hundredth (double px)
{
  return round (px * 100) / 100;
}

/* --- landmarks --- */

gboolean
bl_edition_set_landmark (BlEdition *self, const char *photo, const char *id, double x, double y, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && photo != NULL && id != NULL, FALSE);
  g_autofree char *key = g_strdup_printf ("landmark %s %s", photo, id);
  g_autofree char *label = g_strdup_printf (_ ("Set landmark %s"), id);
  BlPhoto *found = bl_board_photo (bl_edition_begin (self, label, key), photo);

  if (found == NULL)
    return gone (self, error);
  BlLandmark *landmark = bl_photo_landmark (found, id);
  if (landmark == NULL)
    {
      landmark = bl_landmark_new ();
      landmark->id = g_strdup (id);
      bl_append (&found->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
    }
  landmark->x = hundredth (x);
  landmark->y = hundredth (y);
  return bl_edition_commit (self, error);
}

gboolean
bl_edition_remove_landmark (BlEdition *self, const char *photo, const char *id, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && photo != NULL && id != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("Delete landmark %s"), id);
  BlPhoto *found = bl_board_photo (bl_edition_begin (self, label, NULL), photo);
  BlLandmark *landmark = found != NULL ? bl_photo_landmark (found, id) : NULL;

  if (landmark == NULL)
    return gone (self, error);
  g_ptr_array_remove (found->landmarks, landmark);
  return bl_edition_commit (self, error);
}

/* --- carrying over --- */

typedef struct
{
  BlBoard *board;
  const char *from, *to;
  BlHomography map;
  double width, height;
  BlCarried carried;
} Carry;

/* FALSE: beyond the edge of the photo. */
static gboolean
carry_place (const Carry *carry, double x, double y, double *u, double *v)
{
  bl_homography_apply (&carry->map, x, y, u, v);
  *u = hundredth (*u);
  *v = hundredth (*v);
  return !isnan (*u) && !isnan (*v)
         && (carry->width <= 0 || (*u >= 0 && *v >= 0 && *u <= carry->width && *v <= carry->height));
}

static void
carry_one (Carry *carry, char **photo, double *x, double *y, guint *count)
{
  double u, v;

  if (g_strcmp0 (*photo, carry->from) != 0)
    return;
  if (!carry_place (carry, *x, *y, &u, &v))
    {
      carry->carried.left++;
      return;
    }
  g_free (*photo);
  *photo = g_strdup (carry->to);
  *x = u;
  *y = v;
  ++*count;
}

static gboolean
is_on (const GPtrArray *outlines, const char *photo)
{
  for (guint i = 0; i < bl_len (outlines); i++)
    if (g_strcmp0 (((const BlOutline *) bl_at (outlines, i))->photo, photo) == 0)
      return TRUE;
  return FALSE;
}

/* NULL: all of it lies beyond the photo. A corner that does is drawn to the edge. */
static BlOutline *
carry_outline (const Carry *carry, const BlOutline *outline)
{
  g_autoptr (BlOutline) copy = bl_outline_copy (outline);
  gboolean inside = FALSE;

  g_free (copy->photo);
  copy->photo = g_strdup (carry->to);
  for (guint i = 0; copy->points != NULL && i + 1 < copy->points->len; i += 2)
    {
      double *at = &g_array_index (copy->points, double, i);
      inside |= carry_place (carry, at[0], at[1], &at[0], &at[1]);
      if (isnan (at[0]) || isnan (at[1]))
        return NULL;
      if (carry->width > 0)
        {
          at[0] = CLAMP (at[0], 0, carry->width);
          at[1] = CLAMP (at[1], 0, carry->height);
        }
    }
  return inside ? g_steal_pointer (&copy) : NULL;
}

static void
carry_outlines (Carry *carry, GPtrArray *outlines)
{
  guint n = bl_len (outlines);

  if (is_on (outlines, carry->to))
    return;
  for (guint i = 0; i < n; i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      BlOutline *copy;
      if (g_strcmp0 (outline->photo, carry->from) != 0)
        continue;
      copy = carry_outline (carry, outline);
      if (copy != NULL)
        g_ptr_array_add (outlines, copy);
      *(copy != NULL ? &carry->carried.outlines : &carry->carried.left) += 1;
    }
}

static void
carry_all (Carry *carry)
{
  BlBoard *board = carry->board;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      BlTestPoint *point = bl_at (board->test_points, i);
      carry_one (carry, &point->photo, &point->x, &point->y, &carry->carried.points);
    }
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      BlComponent *component = bl_at (board->components, i);
      carry_one (carry, &component->photo, &component->x, &component->y, &carry->carried.components);
    }
  for (guint i = 0; i < bl_len (board->sections); i++)
    carry_outlines (carry, ((BlSection *) bl_at (board->sections, i))->outlines);
  for (guint i = 0; i < bl_len (board->stages); i++)
    carry_outlines (carry, ((BlStage *) bl_at (board->stages, i))->outlines);
}

static gboolean
begin (BlEdition *self, const char *label, Carry *carry, GError **error)
{
  const BlBoard *board = bl_edition_get_board (self);
  const BlPhoto *from = bl_board_photo (board, carry->from), *to = bl_board_photo (board, carry->to);

  if (from == NULL || to == NULL || from == to)
    return gone (self, error);
  if (!bl_board_map_photo (board, carry->from, carry->to, &carry->map, NULL))
    {
      g_autoptr (BlPhotoJoin) join = bl_photo_join_new (from, to, NULL, error);
      g_return_val_if_fail (join == NULL, FALSE);
      return FALSE;
    }
  if (bl_photos_are_opposite (from, to, &carry->map))
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                           _ ("The photos are of opposite sides: what is on one side stays there"));
      return FALSE;
    }
  carry->board = bl_edition_begin (self, label, NULL);
  return TRUE;
}

gboolean
bl_edition_carry_over (BlEdition *self, const char *from, const char *to, double width, double height,
                       BlCarried *carried, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && from != NULL && to != NULL, FALSE);
  Carry carry = { .from = from, .to = to, .width = width, .height = height };

  if (!begin (self, _ ("Carry over to photo"), &carry, error))
    return FALSE;
  carry_all (&carry);
  if (!bl_edition_commit (self, error))
    return FALSE;
  if (carried != NULL)
    *carried = carry.carried;
  return TRUE;
}

/* Scale, title and landmarks of the photo that goes. */
static void
inherit (Carry *carry, BlPhoto *old, BlPhoto *new_photo, double mm_per_px)
{
  for (guint i = 0; i < bl_len (old->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (old->landmarks, i);
      BlLandmark *copy;
      double x, y;
      if (bl_photo_landmark (new_photo, landmark->id) != NULL
          || !carry_place (carry, landmark->x, landmark->y, &x, &y))
        continue;
      copy = bl_landmark_copy (landmark);
      copy->x = x;
      copy->y = y;
      bl_append (&new_photo->landmarks, copy, (GDestroyNotify) bl_landmark_free);
    }
  if (isnan (new_photo->mm_per_px))
    new_photo->mm_per_px = mm_per_px;
  if (new_photo->title == NULL)
    new_photo->title = g_strdup (old->title);
  if (new_photo->side == NULL)
    new_photo->side = g_strdup (old->side);
}

/* mm of a pixel of the photo in the middle of its landmarks, to five figures; NAN: not known. */
static double
scale_in_the_middle (const BlBoard *board, const BlPhoto *photo)
{
  BlPhotoScale scale;
  double x = 0, y = 0;
  guint n = bl_len (photo->landmarks);
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  if (n == 0 || !bl_photo_scale_find (board, photo->id, &scale))
    return NAN;
  for (guint i = 0; i < n; i++)
    {
      x += ((const BlLandmark *) bl_at (photo->landmarks, i))->x / n;
      y += ((const BlLandmark *) bl_at (photo->landmarks, i))->y / n;
    }
  g_ascii_formatd (text, sizeof text, "%.5g", bl_photo_scale_at (&scale, x, y));
  return g_ascii_strtod (text, NULL);
}

/* The new photo stands where the old one stood. */
static void
move_to (GPtrArray *photos, BlPhoto *photo, guint index)
{
  guint now;

  g_return_if_fail (g_ptr_array_find (photos, photo, &now));
  g_ptr_array_steal_index (photos, now);
  g_ptr_array_insert (photos, (int) (now < index ? index - 1 : index), photo);
}

gboolean
bl_edition_replace_photo (BlEdition *self, const char *from, const char *to, double width, double height,
                          BlCarried *carried, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && from != NULL && to != NULL, FALSE);
  g_autofree char *old_id = g_strdup (from);
  Carry carry = { .from = old_id, .to = to, .width = width, .height = height };
  guint index;

  if (!begin (self, _ ("Replace photo"), &carry, error))
    return FALSE;
  BlPhoto *old = bl_board_photo (carry.board, old_id), *new_photo = bl_board_photo (carry.board, to);
  double mm_per_px = scale_in_the_middle (carry.board, new_photo);
  carry_all (&carry);
  inherit (&carry, old, new_photo, mm_per_px);
  g_return_val_if_fail (g_ptr_array_find (carry.board->photos, old, &index), FALSE);
  move_to (carry.board->photos, new_photo, index);
  bl_board_remove (carry.board, BL_KIND_PHOTO, old_id);
  if (!bl_edition_commit (self, error))
    return FALSE;
  if (carried != NULL)
    *carried = carry.carried;
  return TRUE;
}
