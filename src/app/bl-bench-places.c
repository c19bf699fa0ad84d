/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places of the edition's things on one photo of the bench. For a photo of the job everything is carried over once,
 * when this is made: some hundred places, well below a millisecond; made anew whenever the photo is drawn anew. */
#include "config.h"

#include "bl-bench-places.h"

#include <math.h>
#include <string.h>

#include "bl-bench-job-photo.h"

struct BlBenchPlaces
{
  char *key;
  GArray *far; /* BlFar; NULL: a photo of the edition, or one of another board */
};

BlBenchPlaces *
bl_bench_places_new (BlBench *bench, const char *key, double width, double height)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  BlBenchPlaces *self = g_new0 (BlBenchPlaces, 1);
  const guint all = 1u << BL_FAR_TEST_POINT | 1u << BL_FAR_COMPONENT | 1u << BL_FAR_SECTION | 1u << BL_FAR_STAGE;

  self->key = g_strdup (key);
  if (key != NULL && g_str_has_prefix (key, "job:"))
    {
      gint64 photo = g_ascii_strtoll (key + strlen ("job:"), NULL, 10);
      g_autoptr (BlJobPhotoMap) map = bl_bench_map_photo (bench, photo, NULL);
      self->far = map != NULL ? bl_job_photo_map_far (map, all, width, height) : NULL;
    }
  return self;
}

void
bl_bench_places_free (BlBenchPlaces *places)
{
  if (places == NULL)
    return;
  g_clear_pointer (&places->far, g_array_unref);
  g_free (places->key);
  g_free (places);
}

static BlPhotoFar
far_of (const BlFar *far)
{
  return far->opposite ? BL_PHOTO_BEHIND : BL_PHOTO_HERE;
}

gboolean
bl_bench_places_find (const BlBenchPlaces *places, BlFarKind kind, const char *id, const char *photo, double x,
                      double y, double at[2], BlPhotoFar *far)
{
  g_return_val_if_fail (places != NULL && id != NULL, FALSE);

  if (far != NULL)
    *far = BL_PHOTO_HERE;
  at[0] = x;
  at[1] = y;
  if (photo != NULL && g_strcmp0 (photo, places->key) == 0)
    return !isnan (x) && !isnan (y);
  for (guint i = 0; places->far != NULL && i < places->far->len; i++)
    {
      const BlFar *one = &g_array_index (places->far, BlFar, i);
      if (one->kind != kind || !g_str_equal (one->id, id) || g_strcmp0 (one->photo, photo) != 0)
        continue;
      at[0] = one->x;
      at[1] = one->y;
      if (far != NULL)
        *far = far_of (one);
      return TRUE;
    }
  return FALSE;
}

gboolean
bl_bench_places_add_outlines (const BlBenchPlaces *places, GPtrArray *outlines, BlFarKind kind, const char *id,
                              const GPtrArray *from, BlPhotoOutlineKind as, const char *name)
{
  g_return_val_if_fail (places != NULL && outlines != NULL && id != NULL, FALSE);
  guint before = outlines->len;

  for (guint i = 0; i < bl_len (from); i++)
    {
      const BlOutline *outline = bl_at (from, i);
      if (g_strcmp0 (outline->photo, places->key) == 0 && outline->points != NULL && outline->points->len >= 6)
        g_ptr_array_add (outlines, bl_photo_outline_new (as, id, name, outline->points));
    }
  for (guint i = 0; places->far != NULL && i < places->far->len; i++)
    {
      const BlFar *one = &g_array_index (places->far, BlFar, i);
      BlPhotoOutline *outline;
      if (one->kind != kind || one->corners == NULL || one->corners->len < 6 || !g_str_equal (one->id, id))
        continue;
      outline = bl_photo_outline_new (as, id, name, one->corners);
      outline->far = far_of (one);
      g_ptr_array_add (outlines, outline);
    }
  return outlines->len > before;
}
