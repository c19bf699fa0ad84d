/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos and landmarks in words. Numbers follow the locale. */
#include "config.h"

#include "bl-photo-join-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

char *
bl_photo_name (const BlBoard *board, const BlPhoto *photo)
{
  guint number = 0, of_side = 0;

  g_return_val_if_fail (photo != NULL, NULL);
  if (photo->title != NULL && *photo->title != '\0')
    return g_strdup (photo->title);
  if (photo->side == NULL)
    return g_strdup (photo->id);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *other = bl_at (board->photos, i);
      if (g_strcmp0 (other->side, photo->side) != 0)
        continue;
      of_side++;
      if (other == photo)
        number = of_side;
    }
  const char *side = g_str_equal (photo->side, "back") ? _ ("Back") : _ ("Front");
  return number > 1 ? g_strdup_printf ("%s %u", side, number) : g_strdup (side);
}

char *
bl_photo_off_words (double px, double mm)
{
  if (isnan (mm))
    return g_strdup_printf (_ ("%.1f px"), px);
  return g_strdup_printf (_ ("%.1f px, %.2f mm"), px, mm);
}

char *
bl_photo_join_words (const BlPhotoJoin *join)
{
  g_return_val_if_fail (join != NULL, NULL);
  g_autofree char *off = bl_photo_off_words (join->rms, join->rms_mm);
  const char *through = join->mirrored ? _ ("; seen through the board") : "";

  if (join->n == 4)
    return g_strdup_printf (_ ("4 landmarks, which always fit: a fifth shows whether they are right%s"), through);
  return g_strdup_printf (ngettext ("%u landmark agrees to %s%s", "%u landmarks agree to %s%s", join->n), join->n, off,
                          through);
}

char *
bl_photo_join_suspect_words (const BlPhotoJoin *join)
{
  g_return_val_if_fail (join != NULL, NULL);
  if (join->suspect < 0)
    return NULL;
  g_autofree char *off = bl_photo_off_words (join->residuals[join->suspect], join->residuals_mm[join->suspect]);
  g_autofree char *without = bl_photo_off_words (join->rms_without, join->rms_without_mm);

  return g_strdup_printf (_ ("%s does not agree with the rest: it lies %s off. Without it the others agree to %s."),
                          join->names[join->suspect], off, without);
}

char *
bl_photo_join_sides_words (const BlPhotoJoin *join)
{
  g_return_val_if_fail (join != NULL, NULL);
  switch (bl_photo_join_sides (join))
    {
    case BL_SIDES_MIRRORED:
      return g_strdup (_ ("Both are said to be of the same side, but the landmarks lie mirrored: one photo is of the "
                          "other side, or was mirrored by the camera, or landmarks are exchanged."));
    case BL_SIDES_NOT_MIRRORED:
      return g_strdup (_ ("They are said to be of opposite sides, but the landmarks do not lie mirrored: a side is said "
                          "wrongly, or landmarks are exchanged."));
    case BL_SIDES_AGREE:
    case BL_SIDES_NOT_SAID:
    default:
      return NULL;
    }
}

char *
bl_photo_scale_words (const BlBoard *board, const BlPhoto *photo)
{
  BlPhotoScale scale;
  double x = 0, y = 0;
  guint n = bl_len (photo->landmarks);

  if (!bl_photo_scale_find (board, photo->id, &scale))
    return g_strdup (_ ("no scale known: lengths are told in pixels"));
  if (!scale.mapped)
    return g_strdup_printf (_ ("%.4g mm a pixel"), scale.mm_per_px);
  for (guint i = 0; i < n; i++)
    {
      x += ((const BlLandmark *) bl_at (photo->landmarks, i))->x / n;
      y += ((const BlLandmark *) bl_at (photo->landmarks, i))->y / n;
    }
  g_autofree char *by = bl_photo_name (board, bl_board_photo (board, scale.photo));
  return g_strdup_printf (_ ("%.4g mm a pixel in the middle, by %s"), bl_photo_scale_at (&scale, x, y), by);
}
