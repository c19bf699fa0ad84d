/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos of the open job: which there are, and their pictures.
 *
 * One photo at a time is asked for by the page; decoded ones are kept as long as the job is open. Twins are photos of other editions of the
 * same board number first, then any. What stands on a photo is in bl-bench-photos-marks.c. */
#include "config.h"

#include "bl-bench-photos-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bench-equipment.h"

enum
{
  LOADED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlBenchPhotos, bl_bench_photos, G_TYPE_OBJECT)

static void
bench_photo_free (gpointer data)
{
  BlBenchPhoto *photo = data;

  g_free (photo->key);
  g_free (photo->title);
  g_free (photo);
}

static void
add_photo (GPtrArray *photos, char *key, char *title, gboolean own)
{
  BlBenchPhoto *photo = g_new0 (BlBenchPhoto, 1);

  photo->key = key;
  photo->title = title;
  photo->own = own;
  g_ptr_array_add (photos, photo);
}

static char *
photo_title (const BlPhoto *photo)
{
  if (photo->title != NULL && *photo->title != '\0')
    return g_strdup (photo->title);
  if (g_strcmp0 (photo->side, "back") == 0)
    return g_strdup (_ ("Back"));
  return g_strdup (g_strcmp0 (photo->side, "front") == 0 ? _ ("Front") : photo->id);
}

/* "wall: Front", where there are several boxes. */
static char *
title_in_box (BlBenchPhotos *self, const BlPhoto *photo)
{
  const char *role = bl_bench_role_of (self->bench, photo->id);
  char *title = photo_title (photo);

  if (role != NULL)
    {
      g_autofree char *own = title;
      /* Translators: box of the equipment, photo of its board: "wall: Front" */
      title = g_strdup_printf (_ ("%s: %s"), role, own);
    }
  return title;
}

GPtrArray *
bl_bench_photos_list (BlBenchPhotos *self)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (GPtrArray) own = bl_library_job_photos (self->library, bl_bench_get_job (self->bench)->id, NULL);

  g_ptr_array_set_size (self->photos, 0);
  if (bl_bench_get_equipment (self->bench) != NULL)
    add_photo (self->photos, g_strdup (BL_BENCH_DRAWING), g_strdup (_ ("Drawing")), FALSE);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      add_photo (self->photos, g_strdup (photo->id), title_in_box (self, photo), TRUE);
    }
  for (guint i = 0; i < bl_len (own); i++)
    {
      const BlJobPhoto *photo = bl_at (own, i);
      g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (photo->time / G_USEC_PER_SEC);
      g_autoptr (GDateTime) local = g_date_time_to_local (utc);
      char *title = photo->title != NULL && *photo->title != '\0' ? g_strdup (photo->title)
                                                                  : g_date_time_format (local, "%H:%M");
      add_photo (self->photos, g_strdup_printf ("job:%" G_GINT64_FORMAT, photo->id), title, TRUE);
    }
  return self->photos;
}

/* "2104-B, edition C", or the job a board from a photo alone belongs to: "job 12 fan stands still". */
static char *
twin_name (GPtrArray *jobs, const BlBoardRow *row)
{
  gboolean named = (row->board_number != NULL && *row->board_number != '\0')
                   || (row->edition != NULL && *row->edition != '\0');

  for (guint i = 0; !named && i < bl_len (jobs); i++)
    {
      const BlJob *job = bl_at (jobs, i);
      g_autofree char *words = NULL;
      if (job->board != row->id)
        continue;
      words = g_strdup_printf (_ ("job %d %s"), job->number, job->complaint != NULL ? job->complaint : "");
      return g_strdup (g_strstrip (words));
    }
  if (!named)
    return g_strdup (_ ("a board without a number"));
  return g_strdup_printf (_ ("%s, edition %s"), row->board_number != NULL ? row->board_number : "–",
                          row->edition != NULL ? row->edition : "–");
}

GPtrArray *
bl_bench_photos_twins (BlBenchPhotos *self)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  const BlBoard *own = bl_bench_get_board (self->bench);
  gint64 own_id = bl_bench_get_job (self->bench)->board;
  g_autoptr (GPtrArray) rows = bl_library_boards (self->library, TRUE, NULL);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (self->library, NULL);
  GPtrArray *twins = g_ptr_array_new_with_free_func (bench_photo_free);

  for (int same_number = 1; same_number >= 0; same_number--)
    for (guint i = 0; i < bl_len (rows) && twins->len < 9; i++)
      {
        const BlBoardRow *row = bl_at (rows, i);
        if (row->id == own_id || (g_strcmp0 (row->board_number, own->board_number) == 0) != same_number)
          continue;
        g_autoptr (BlBoard) board = bl_library_load_board (self->library, row->id, NULL);
        for (guint p = 0; board != NULL && p < bl_len (board->photos); p++)
          {
            const BlPhoto *photo = bl_at (board->photos, p);
            g_autofree char *side = photo_title (photo), *name = twin_name (jobs, row);
            add_photo (twins, g_strdup_printf ("board:%" G_GINT64_FORMAT ":%s", row->id, photo->id),
                       g_strdup_printf ("%s, %s", name, side), FALSE);
          }
      }
  return twins;
}

void
bl_bench_photos_set_twin (BlBenchPhotos *self, const char *key)
{
  g_return_if_fail (BL_IS_BENCH_PHOTOS (self));
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->twin, bl_twin_free);
  if (key == NULL || !g_str_has_prefix (key, "board:"))
    return;
  self->twin = bl_twin_new (self->library, g_ascii_strtoll (key + strlen ("board:"), NULL, 10), &error);
  if (self->twin == NULL)
    {
      g_message ("the twin's readings cannot be shown: %s", error->message);
      return;
    }
  const char *own = bl_bench_get_board (self->bench)->board_number;
  const char *other = bl_twin_get_board (self->twin)->board_number;
  self->compares = own == NULL || other == NULL || *own == '\0' || *other == '\0' || g_str_equal (own, other);
}

/* Title of a photo of the list, or its key. (transfer none) */
static const char *
title_of (BlBenchPhotos *self, const char *key)
{
  for (guint i = 0; i < self->photos->len; i++)
    {
      const BlBenchPhoto *photo = bl_at (self->photos, i);
      if (g_strcmp0 (photo->key, key) == 0)
        return photo->title;
    }
  return key;
}

/* --- decoding --- */

static void
loaded (BlBenchPhotos *self, const char *key)
{
  g_signal_emit (self, signals[LOADED], 0, key);
}

static GBytes *
read_image (const char *key, gpointer data, GError **error)
{
  BlBenchPhotos *self = data;

  if (g_str_has_prefix (key, "job:"))
    return bl_library_get_job_photo (self->library, g_ascii_strtoll (key + 4, NULL, 10), NULL, error);
  if (g_str_has_prefix (key, "board:"))
    {
      char *rest;
      gint64 id = g_ascii_strtoll (key + 6, &rest, 10);
      return bl_library_get_board_photo (self->library, id, *rest == ':' ? rest + 1 : rest, NULL, error);
    }
  if (bl_bench_role_of (self->bench, key) != NULL)
    return bl_library_get_board_photo (self->library, bl_bench_box_board (self->bench, bl_bench_role_of (self->bench, key)),
                                       bl_bench_local_id (self->bench, key), NULL, error);
  if (bl_bench_get_equipment (self->bench) != NULL)
    return bl_library_get_equipment_photo (self->library, bl_bench_get_job (self->bench)->equipment, key, NULL, error);
  return bl_library_get_board_photo (self->library, bl_bench_get_job (self->bench)->board, key, NULL, error);
}

BlPhotoSurface *
bl_bench_photos_surface (BlBenchPhotos *self, const char *key, const char **message)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self) && key != NULL, NULL);

  if (g_str_equal (key, BL_BENCH_DRAWING))
    {
      *message = _ ("This is checked between the boxes, at no point of a photo.");
      return NULL;
    }
  return bl_photo_loader_get (self->loader, key, title_of (self, key), message);
}

gboolean
bl_bench_photos_is_broken (BlBenchPhotos *self, const char *key)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self) && key != NULL, FALSE);
  return bl_photo_loader_is_broken (self->loader, key);
}

/* --- object --- */

static void
bl_bench_photos_dispose (GObject *object)
{
  BlBenchPhotos *self = BL_BENCH_PHOTOS (object);

  g_clear_object (&self->bench);
  G_OBJECT_CLASS (bl_bench_photos_parent_class)->dispose (object);
}

static void
bl_bench_photos_finalize (GObject *object)
{
  BlBenchPhotos *self = BL_BENCH_PHOTOS (object);

  g_clear_pointer (&self->twin, bl_twin_free);
  g_ptr_array_unref (self->photos);
  g_clear_pointer (&self->loader, bl_photo_loader_close);
  G_OBJECT_CLASS (bl_bench_photos_parent_class)->finalize (object);
}

static void
bl_bench_photos_class_init (BlBenchPhotosClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_bench_photos_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_bench_photos_finalize;
  signals[LOADED] = g_signal_new ("loaded", BL_TYPE_BENCH_PHOTOS, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                  G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
bl_bench_photos_init (BlBenchPhotos *self)
{
  self->photos = g_ptr_array_new_with_free_func (bench_photo_free);
  self->loader = bl_photo_loader_new (read_image, self);
  g_signal_connect_object (self->loader, "loaded", G_CALLBACK (loaded), self, G_CONNECT_SWAPPED);
}

BlBenchPhotos *
bl_bench_photos_new (BlLibrary *library, BlBench *bench)
{
  g_return_val_if_fail (library != NULL && BL_IS_BENCH (bench), NULL);
  BlBenchPhotos *self = g_object_new (BL_TYPE_BENCH_PHOTOS, NULL);

  self->library = library;
  self->bench = g_object_ref (bench);
  return self;
}
