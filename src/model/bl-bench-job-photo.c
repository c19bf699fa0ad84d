/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Landmarks on the photos of a job: read, set and undone. They belong to the job, not to the edition, and no verdict
 * hangs on them; so they are no lines of the log. */
#include "config.h"

#include "bl-bench-job-photo.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-private.h"
#include "bl-library-job-landmarks.h"
#include "bl-library-steps.h"

BlJobPhotoMap *
bl_bench_map_photo (BlBench *self, gint64 photo, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  g_autoptr (BlJobPhoto) own = bl_library_load_job_photo (self->library, photo, error);
  g_autoptr (GPtrArray) landmarks = own != NULL ? bl_library_job_landmarks (self->library, photo, error) : NULL;
  g_autofree char *key = g_strdup_printf ("job:%" G_GINT64_FORMAT, photo);

  return landmarks != NULL ? bl_job_photo_map_new (bl_bench_get_board (self), key, own->side, landmarks) : NULL;
}

gboolean
bl_bench_set_photo_landmark (BlBench *self, gint64 photo, const char *landmark, double x, double y, const char *side,
                             GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && landmark != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("landmark %s on the photo"), landmark);
  gboolean ok;

  if (!bl_bench_begin_step (self, label, error))
    return FALSE;
  ok = (side == NULL || bl_library_set_job_photo_side (self->library, photo, side, error))
       && bl_library_set_job_landmark (self->library, photo, landmark, x, y, error);
  if (!bl_library_end_step (self->library, ok, NULL, error))
    return FALSE;
  bl_bench_announce (self);
  return TRUE;
}

gboolean
bl_bench_set_photo_side (BlBench *self, gint64 photo, const char *side, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (!bl_bench_begin_step (self, _ ("side of the photo"), error)
      || !bl_library_end_step (self->library, bl_library_set_job_photo_side (self->library, photo, side, error), NULL,
                               error))
    return FALSE;
  bl_bench_announce (self);
  return TRUE;
}

gboolean
bl_bench_remove_photo_landmark (BlBench *self, gint64 photo, const char *landmark, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && landmark != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("landmark %s taken away"), landmark);

  if (!bl_bench_begin_step (self, label, error)
      || !bl_library_end_step (self->library,
                               bl_library_remove_job_landmark (self->library, photo, landmark, error), NULL, error))
    return FALSE;
  bl_bench_announce (self);
  return TRUE;
}
