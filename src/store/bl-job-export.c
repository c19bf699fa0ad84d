/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs out of a library into a bundle. Numbers that mean something in this library alone become something that means the
 * same elsewhere: a job of which another is the return its uid, a photo its file, one of the shop's meters no meter at all
 * (its name stays in the line, and each reading has its accuracy). */
#include "config.h"

#include "bl-job-bundle-private.h"

#include "bl-bundle-private.h"
#include "bl-library-equipment.h"
#include "bl-library-job-landmarks.h"
#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* The one text of a statement about an id; NULL without error: there is none. */
static gboolean
get_text (BlLibrary *library, const char *sql, gint64 id, char **text, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("exporting the jobs"), sql, error);
  BlStep step;

  *text = NULL;
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    *text = bl_statement_dup_text (statement, 0);
  return step != BL_STEP_ERROR;
}

static gboolean
take_photos (BlLibrary *library, BlBundleJob *job, GHashTable *names, GError **error)
{
  g_autoptr (GPtrArray) photos = bl_library_job_photos (library, job->head->id, error);

  if (photos == NULL)
    return FALSE;
  for (guint i = 0; i < photos->len; i++)
    {
      const BlJobPhoto *of = bl_at (photos, i);
      BlBundlePhoto *photo = g_new0 (BlBundlePhoto, 1);
      photo->title = g_strdup (of->title);
      photo->side = g_strdup (of->side);
      photo->mime = g_strdup (of->mime);
      photo->time = of->time;
      photo->file = g_strdup_printf ("photos/%d-%u%s", job->head->number, i + 1, bl_image_suffix (of->mime));
      g_ptr_array_add (job->photos, photo);
      photo->image = bl_library_get_job_photo (library, of->id, NULL, error);
      photo->landmarks = photo->image != NULL ? bl_library_job_landmarks (library, of->id, error) : NULL;
      if (photo->landmarks == NULL)
        return FALSE;
      g_hash_table_insert (names, g_strdup_printf ("job:%" G_GINT64_FORMAT, of->id),
                           g_strdup_printf ("job:%s", photo->file));
    }
  return TRUE;
}

/* Puts what it is called in the bundle in the place of what it is called here. */
static void
rename_photo (char **name, GHashTable *names)
{
  const char *file = *name != NULL ? g_hash_table_lookup (names, *name) : NULL;

  if (file == NULL)
    return;
  g_free (*name);
  *name = g_strdup (file);
}

static void
forget_meter (BlRecord *record)
{
  const char *rest = record->subject != NULL ? record->subject + strspn (record->subject, "0123456789") : NULL;

  if (record->kind != BL_RECORD_METER || rest == NULL || rest == record->subject)
    return;
  char *none = g_strconcat ("0", rest, NULL);
  g_free (record->subject);
  record->subject = none;
}

static gboolean
take_strikes (BlLibrary *library, BlBundleLine *line, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("exporting the jobs"),
                           "SELECT time, struck, reason FROM strike WHERE record = ?1 ORDER BY time, id", error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, line->record->id);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlBundleStrike *strike = g_new0 (BlBundleStrike, 1);
      strike->time = bl_statement_int (statement, 0);
      strike->struck = bl_statement_int (statement, 1) != 0;
      strike->reason = bl_statement_dup_text (statement, 2);
      g_ptr_array_add (line->strikes, strike);
    }
  return step == BL_STEP_DONE;
}

static void
strike_free (gpointer data)
{
  g_free (((BlBundleStrike *) data)->reason);
  g_free (data);
}

static gboolean
take_lines (BlLibrary *library, BlBundleJob *job, GHashTable *names, GError **error)
{
  g_autoptr (GPtrArray) records = bl_library_records (library, job->head->id, error);

  if (records == NULL)
    return FALSE;
  for (guint i = 0; i < records->len; i++)
    {
      BlBundleLine *line = g_new0 (BlBundleLine, 1);
      line->record = g_steal_pointer (&records->pdata[i]);
      line->strikes = g_ptr_array_new_with_free_func (strike_free);
      g_ptr_array_add (job->lines, line);
      rename_photo (&line->record->subject, names);
      rename_photo (&line->record->photo, names);
      forget_meter (line->record);
      if ((line->record->struck || line->record->restored_time != 0) && !take_strikes (library, line, error))
        return FALSE;
    }
  return TRUE;
}

static BlDelivery *
deliver (BlLibrary *library, const BlJob *head, GError **error)
{
  if (head->equipment != 0)
    return bl_library_export_equipment (library, head->equipment, error);
  BlBundle *bundle = bl_library_export (library, head->board, error);
  if (bundle == NULL)
    return NULL;
  BlDelivery *delivery = bl_delivery_new ();
  g_ptr_array_add (delivery->boards, bundle);
  return delivery;
}

/* What the job is about: in the bundle already, or put there. */
static gboolean
take_part (BlLibrary *library, BlJobBundle *bundle, BlBundleJob *job, GError **error)
{
  const BlJob *head = job->head;
  g_autofree char *provisional = NULL;

  job->equipment = head->equipment != 0;
  if (!get_text (library, job->equipment ? "SELECT uid FROM equipment WHERE id = ?1" : "SELECT uid FROM board WHERE id = ?1",
                 job->equipment ? head->equipment : head->board, &job->about, error)
      || !get_text (library, "SELECT 'yes' FROM board WHERE id = ?1 AND provisional", head->board, &provisional, error))
    return FALSE;
  job->provisional = !job->equipment && provisional != NULL;
  for (guint i = 0; i < bundle->jobs->len; i++)
    {
      const BlBundleJob *other = bl_at (bundle->jobs, i);
      if (other->equipment == job->equipment && g_strcmp0 (other->about, job->about) == 0)
        {
          job->part = g_strdup (other->part);
          return TRUE;
        }
    }
  BlDelivery *delivery = deliver (library, head, error);
  if (delivery == NULL)
    return FALSE;
  job->part = g_strdup_printf ("parts/%u.benchlore", g_hash_table_size (bundle->parts) + 1);
  g_hash_table_insert (bundle->parts, g_strdup (job->part), delivery);
  return TRUE;
}

static gboolean
take_job (BlLibrary *library, BlJobBundle *bundle, gint64 id, GError **error)
{
  static const char uid_sql[] = "SELECT uid FROM job WHERE id = ?1";
  g_autoptr (BlBundleJob) job = bl_bundle_job_new ();
  g_autoptr (GHashTable) names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  bl_job_free (job->head);
  job->head = bl_library_load_job (library, id, error);
  if (job->head == NULL || !take_part (library, bundle, job, error) || !take_photos (library, job, names, error)
      || !take_lines (library, job, names, error)
      || !get_text (library, uid_sql, job->head->return_of, &job->return_of, error)
      || !get_text (library, uid_sql, job->head->part_of, &job->part_of, error))
    return FALSE;
  g_ptr_array_add (bundle->jobs, g_steal_pointer (&job));
  return TRUE;
}

BlJobBundle *
bl_library_export_jobs (BlLibrary *library, const gint64 *jobs, guint n, GError **error)
{
  g_return_val_if_fail (library != NULL && (jobs != NULL || n == 0), NULL);
  g_autoptr (BlJobBundle) bundle = bl_job_bundle_new ();

  for (guint i = 0; i < n; i++)
    if (!take_job (library, bundle, jobs[i], error))
      return NULL;
  return g_steal_pointer (&bundle);
}
