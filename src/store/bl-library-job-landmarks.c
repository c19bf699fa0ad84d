/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Landmarks on the photos of a job: one row each, some four to eight a photo. Places are kept, never the map computed
 * from them: the edition's own landmarks may be set better later. */
#include "config.h"

#include "bl-library-job-landmarks.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

static gboolean
touch (BlLibrary *library, gint64 photo, const char *landmark, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s", photo, landmark);

  return bl_step_touch (library, "job-landmark", subject, error);
}

gboolean
bl_library_set_job_landmark (BlLibrary *library, gint64 photo, const char *landmark, double x, double y,
                             GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && landmark != NULL && *landmark != '\0', FALSE);
  g_return_val_if_fail (isfinite (x) && isfinite (y), FALSE);
  if (!bl_library_require (library, "job_photo", _ ("photo"), photo, error)
      || !touch (library, photo, landmark, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("keeping the landmark"),
                                   "INSERT INTO job_landmark (job_photo, landmark, x, y) VALUES (?1, ?2, ?3, ?4)"
                                   " ON CONFLICT (job_photo, landmark) DO UPDATE SET x = excluded.x, y = excluded.y",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, photo);
  bl_statement_bind_text (statement, 2, landmark);
  bl_statement_bind_double (statement, 3, x);
  bl_statement_bind_double (statement, 4, y);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_remove_job_landmark (BlLibrary *library, gint64 photo, const char *landmark, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && landmark != NULL, FALSE);
  if (!touch (library, photo, landmark, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("removing the landmark"),
                                   "DELETE FROM job_landmark WHERE job_photo = ?1 AND landmark = ?2", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, photo);
  bl_statement_bind_text (statement, 2, landmark);
  return bl_statement_run (statement, error);
}

GPtrArray *
bl_library_job_landmarks (BlLibrary *library, gint64 photo, GError **error)
{
  g_autoptr (GPtrArray) landmarks = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_landmark_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the landmarks"),
                                   "SELECT landmark, x, y FROM job_landmark WHERE job_photo = ?1"
                                   " ORDER BY length (landmark), landmark",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, photo);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = bl_statement_dup_text (statement, 0);
      landmark->x = bl_statement_double (statement, 1);
      landmark->y = bl_statement_double (statement, 2);
      g_ptr_array_add (landmarks, landmark);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&landmarks) : NULL;
}

gboolean
bl_library_set_job_photo_side (BlLibrary *library, gint64 photo, const char *side, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_library_require (library, "job_photo", _ ("photo"), photo, error)
      || !bl_step_touch_id (library, "job-photo-side", photo, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("keeping the photo's side"),
                                   "UPDATE job_photo SET side = ?2 WHERE id = ?1", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, photo);
  bl_statement_bind_text (statement, 2, side);
  return bl_statement_run (statement, error);
}

BlJobPhoto *
bl_library_load_job_photo (BlLibrary *library, gint64 photo, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlJobPhoto *found;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the photo"),
                                   "SELECT id, job, time, title, mime, side FROM job_photo WHERE id = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, photo);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("photo"), photo, error);
  if (step != BL_STEP_ROW)
    return NULL;
  found = g_new0 (BlJobPhoto, 1);
  found->id = bl_statement_int (statement, 0);
  found->job = bl_statement_int (statement, 1);
  found->time = bl_statement_int (statement, 2);
  found->title = bl_statement_dup_text (statement, 3);
  found->mime = bl_statement_dup_text (statement, 4);
  found->side = bl_statement_dup_text (statement, 5);
  return found;
}
