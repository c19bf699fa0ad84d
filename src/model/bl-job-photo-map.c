/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The edition with one photo more: the lists are the edition's own, only that of the photos is another one. So what
 * joins the photos of an edition joins this one, too, by way of others where it has too few landmarks in common with
 * the one asked about; the edition's document is never touched. */
#include "config.h"

#include "bl-job-photo-map.h"

#include <math.h>

struct BlJobPhotoMap
{
  BlBoard board; /* its lists are the edition's, but for photos */
  const BlBoard *edition;
  BlPhoto *photo;
};

static BlLandmark *
copy_landmark (const BlLandmark *from)
{
  BlLandmark *landmark = bl_landmark_new ();

  landmark->id = g_strdup (from->id);
  landmark->x = from->x;
  landmark->y = from->y;
  return landmark;
}

BlJobPhotoMap *
bl_job_photo_map_new (const BlBoard *edition, const char *key, const char *side, const GPtrArray *landmarks)
{
  g_return_val_if_fail (edition != NULL && key != NULL && bl_board_photo (edition, key) == NULL, NULL);
  BlJobPhotoMap *self = g_new0 (BlJobPhotoMap, 1);

  self->edition = edition;
  self->photo = bl_photo_new ();
  self->photo->id = g_strdup (key);
  self->photo->side = g_strdup (side);
  for (guint i = 0; i < bl_len (landmarks); i++)
    bl_append (&self->photo->landmarks, copy_landmark (bl_at (landmarks, i)), (GDestroyNotify) bl_landmark_free);
  self->board = *edition;
  self->board.photos = g_ptr_array_new (); /* owns none */
  for (guint i = 0; i < bl_len (edition->photos); i++)
    g_ptr_array_add (self->board.photos, bl_at (edition->photos, i));
  g_ptr_array_add (self->board.photos, self->photo);
  return self;
}

void
bl_job_photo_map_free (BlJobPhotoMap *map)
{
  if (map == NULL)
    return;
  g_ptr_array_unref (map->board.photos);
  bl_photo_free (map->photo);
  g_free (map);
}

const BlPhoto *
bl_job_photo_map_photo (const BlJobPhotoMap *map)
{
  g_return_val_if_fail (map != NULL, NULL);
  return map->photo;
}

const BlPhoto *
bl_job_photo_map_of_edition (const BlJobPhotoMap *map, const char *side)
{
  g_return_val_if_fail (map != NULL, NULL);
  const BlPhoto *best = NULL;

  for (guint i = 0; i < bl_len (map->edition->photos); i++)
    {
      const BlPhoto *photo = bl_at (map->edition->photos, i);
      if ((side == NULL || g_strcmp0 (photo->side, side) == 0) && bl_len (photo->landmarks) > 0
          && (best == NULL || bl_len (photo->landmarks) > bl_len (best->landmarks)))
        best = photo;
    }
  return best;
}

BlPhotoJoin *
bl_job_photo_map_join (const BlJobPhotoMap *map, const BlPhoto *of_edition, GError **error)
{
  g_return_val_if_fail (map != NULL && of_edition != NULL, NULL);
  return bl_photo_join_new (of_edition, map->photo, &map->board, error);
}

gboolean
bl_job_photo_map_place (const BlJobPhotoMap *map, const char *photo, double x, double y, double *u, double *v)
{
  BlHomography through;

  g_return_val_if_fail (map != NULL && u != NULL && v != NULL, FALSE);
  if (photo == NULL || isnan (x) || isnan (y)
      || !bl_board_map_photo (&map->board, photo, map->photo->id, &through, NULL))
    return FALSE;
  bl_homography_apply (&through, x, y, u, v);
  return !isnan (*u) && !isnan (*v);
}

GArray *
bl_job_photo_map_far (const BlJobPhotoMap *map, guint kinds, double width, double height)
{
  g_return_val_if_fail (map != NULL, NULL);
  return bl_board_far (&map->board, map->photo->id, kinds, width, height);
}
