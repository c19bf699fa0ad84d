/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bundle of jobs as a file: jobs.json, photos/, and parts/N.benchlore, each a bundle of the board or equipment as any
 * other, read by the same code with the same checks. A hundred jobs with their photos are some hundred megabytes; all of
 * it is held in memory. */
#include "config.h"

#include "bl-job-bundle-private.h"

#include "bl-image-check.h"
#include "bl-zip.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <string.h>

#define DOCUMENT "jobs.json"
#define PHOTO_FOLDER "photos/"
#define PART_FOLDER "parts/"
#define MOST_FILES 900 /* what bl-zip.c reads of one zip, and some room */

static const BlZipLimits limits = { MOST_FILES, G_GUINT64_CONSTANT (512) << 20, G_GUINT64_CONSTANT (2048) << 20, 200,
                                    G_GUINT64_CONSTANT (1) << 20 };

BlJobBundle *
bl_job_bundle_new (void)
{
  BlJobBundle *bundle = g_new0 (BlJobBundle, 1);

  bundle->jobs = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_bundle_job_free);
  bundle->parts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_delivery_free);
  return bundle;
}

void
bl_job_bundle_free (BlJobBundle *bundle)
{
  if (bundle == NULL)
    return;
  g_ptr_array_unref (bundle->jobs);
  g_hash_table_unref (bundle->parts);
  g_free (bundle);
}

/* --- parts, by way of a file of their own --- */

/* A folder of this run alone, removed by leave_folder (). */
static char *
make_folder (GError **error)
{
  return g_dir_make_tmp ("benchlore-XXXXXX", error);
}

static void
leave_folder (const char *folder, const char *file)
{
  if (file != NULL)
    g_unlink (file);
  g_rmdir (folder);
}

static GBytes *
pack_part (const BlDelivery *delivery, GError **error)
{
  g_autofree char *folder = make_folder (error), *file = NULL;
  char *data = NULL;
  gsize size = 0;

  if (folder == NULL)
    return NULL;
  file = g_build_filename (folder, "part.benchlore", NULL);
  gboolean ok = bl_delivery_write (delivery, file, error) && g_file_get_contents (file, &data, &size, error);
  leave_folder (folder, file);
  return ok ? g_bytes_new_take (data, size) : NULL;
}

static BlDelivery *
unpack_part (GBytes *bytes, const char *name, GPtrArray *problems, GError **error)
{
  g_autofree char *folder = make_folder (error), *file = NULL;
  BlDelivery *delivery = NULL;
  gsize size;
  const char *data = g_bytes_get_data (bytes, &size);

  if (folder == NULL)
    return NULL;
  file = g_build_filename (folder, "part.benchlore", NULL);
  if (g_file_set_contents (file, data != NULL ? data : "", (gssize) size, error))
    delivery = bl_delivery_read (file, problems, error);
  leave_folder (folder, file);
  if (delivery == NULL)
    g_prefix_error (error, "%s: ", name);
  return delivery;
}

/* --- writing --- */

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* Puts what the jobs need into entries. */
static gboolean
gather (const BlJobBundle *bundle, GHashTable *entries, GError **error)
{
  char *text = bl_jobs_to_json (bundle->jobs);
  GHashTableIter iter;
  gpointer name, delivery;

  g_hash_table_insert (entries, g_strdup (DOCUMENT), g_bytes_new_take (text, strlen (text)));
  for (guint i = 0; i < bundle->jobs->len; i++)
    {
      const BlBundleJob *job = bl_at (bundle->jobs, i);
      for (guint j = 0; j < job->photos->len; j++)
        {
          const BlBundlePhoto *photo = bl_at (job->photos, j);
          g_hash_table_insert (entries, g_strdup (photo->file), g_bytes_ref (photo->image));
        }
    }
  g_hash_table_iter_init (&iter, bundle->parts);
  while (g_hash_table_iter_next (&iter, &name, &delivery))
    {
      GBytes *bytes = pack_part (delivery, error);
      if (bytes == NULL)
        return FALSE;
      g_hash_table_insert (entries, g_strdup (name), bytes);
    }
  return TRUE;
}

gboolean
bl_job_bundle_write (const BlJobBundle *bundle, const char *path, GError **error)
{
  g_return_val_if_fail (bundle != NULL && path != NULL, FALSE);
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  GHashTableIter iter;
  gpointer name;

  if (!gather (bundle, entries, error))
    return FALSE;
  if (g_hash_table_size (entries) > MOST_FILES)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: more than %d photos and boards in one file: choose fewer jobs"), path, MOST_FILES);
      return FALSE;
    }
  g_hash_table_iter_init (&iter, entries);
  while (g_hash_table_iter_next (&iter, &name, NULL))
    if (!g_str_equal (name, DOCUMENT))
      g_ptr_array_add (names, name);
  g_ptr_array_sort (names, compare_names);
  g_ptr_array_insert (names, 0, (gpointer) DOCUMENT);
  g_ptr_array_add (names, NULL);
  return bl_zip_write (path, (const char *const *) names->pdata, entries, error);
}

/* --- reading --- */

gboolean
bl_job_bundle_is (const char *path)
{
  g_return_val_if_fail (path != NULL, FALSE);
  g_autoptr (GHashTable) entries = bl_zip_read (path, &limits, NULL);

  return entries != NULL && g_hash_table_contains (entries, DOCUMENT);
}

static gboolean
refuse (GError **error, const char *path, const char *name, const char *reason)
{
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, "%s: %s: %s", path, name, reason);
  return FALSE;
}

static gboolean
take_photos (const BlBundleJob *job, GHashTable *entries, const char *path, GError **error)
{
  for (guint i = 0; i < job->photos->len; i++)
    {
      BlBundlePhoto *photo = bl_at (job->photos, i);
      GBytes *image = g_str_has_prefix (photo->file, PHOTO_FOLDER) ? g_hash_table_lookup (entries, photo->file) : NULL;
      if (image == NULL)
        return refuse (error, path, photo->file, _ ("there is no such photo in it"));
      if (!bl_image_check (image, photo->file, error))
        return FALSE;
      photo->image = g_bytes_ref (image);
      photo->mime = g_strdup (bl_image_mime (image));
    }
  return TRUE;
}

/* Whether a part holds what the job is about. */
static gboolean
is_about (const BlDelivery *delivery, const BlBundleJob *job)
{
  const BlBoard *board = ((BlBundle *) bl_at (delivery->boards, 0))->board;

  if (job->equipment)
    return delivery->equipment != NULL && g_strcmp0 (delivery->equipment->own.uid, job->about) == 0;
  return delivery->equipment == NULL && g_strcmp0 (board->uid, job->about) == 0;
}

static gboolean
take_part (BlJobBundle *bundle, const BlBundleJob *job, GHashTable *entries, const char *path, GPtrArray *problems,
           GError **error)
{
  BlDelivery *delivery = g_hash_table_lookup (bundle->parts, job->part);
  GBytes *bytes = g_str_has_prefix (job->part, PART_FOLDER) ? g_hash_table_lookup (entries, job->part) : NULL;

  if (delivery == NULL)
    {
      if (bytes == NULL)
        return refuse (error, path, job->part, _ ("there is no such board in it"));
      delivery = unpack_part (bytes, job->part, problems, error);
      if (delivery == NULL)
        return FALSE;
      g_hash_table_insert (bundle->parts, g_strdup (job->part), delivery);
    }
  return is_about (delivery, job) || refuse (error, path, job->part, _ ("it is not what the job is about"));
}

BlJobBundle *
bl_job_bundle_read (const char *path, GPtrArray *problems, GError **error)
{
  g_return_val_if_fail (path != NULL, NULL);
  g_autoptr (GHashTable) entries = bl_zip_read (path, &limits, error);
  GBytes *document = entries != NULL ? g_hash_table_lookup (entries, DOCUMENT) : NULL;
  g_autoptr (BlJobBundle) bundle = bl_job_bundle_new ();
  gsize length = 0;

  if (entries == NULL)
    return NULL;
  if (document == NULL)
    {
      refuse (error, path, DOCUMENT, _ ("there are no jobs in it"));
      return NULL;
    }
  const char *text = g_bytes_get_data (document, &length);
  GPtrArray *jobs = bl_jobs_from_json (text != NULL ? text : "", length, error);
  if (jobs == NULL)
    {
      g_prefix_error (error, "%s: ", path);
      return NULL;
    }
  g_ptr_array_unref (bundle->jobs);
  bundle->jobs = jobs;
  for (guint i = 0; i < jobs->len; i++)
    if (!take_photos (bl_at (jobs, i), entries, path, error)
        || !take_part (bundle, bl_at (jobs, i), entries, path, problems, error))
      return NULL;
  return g_steal_pointer (&bundle);
}
