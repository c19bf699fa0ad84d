/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos of the open job and what stands on them.
 *
 * Decoding runs in the background, one photo at a time is asked for by the page; decoded ones are kept
 * as long as the job is open (some 80 MB for 12 megapixels). Points take the shape of their weightiest
 * verdict: what deviates before what is in band. Twins are photos of other editions of the same board
 * number first, then any. */
#include "config.h"

#include "bl-bench-photos.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-format.h"
#include "bl-suspects-view.h"
#include "bl-twin.h"

#define CROWD 20 /* points on a photo from which on not all names are shown */

struct _BlBenchPhotos
{
  GObject parent_instance;

  BlLibrary *library; /* of the application */
  BlBench *bench;
  GPtrArray *photos;     /* BlBenchPhoto */
  GHashTable *surfaces;  /* key -> BlPhotoSurface */
  GHashTable *messages;  /* key -> why there is none */
  GHashTable *loading;   /* set of keys */
  BlTwin *twin;          /* the board beside, NULL: none */
  gboolean compares;     /* it is not known to be of another kind */
  GCancellable *cancellable;
};

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

GPtrArray *
bl_bench_photos_list (BlBenchPhotos *self)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (GPtrArray) own = bl_library_job_photos (self->library, bl_bench_get_job (self->bench)->id, NULL);

  g_ptr_array_set_size (self->photos, 0);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      add_photo (self->photos, g_strdup (photo->id), photo_title (photo), TRUE);
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

typedef struct
{
  BlBenchPhotos *photos;
  char *key;
} Load;

static void
loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  Load *load = data;
  g_autoptr (GError) error = NULL;
  BlPhotoSurface *surface = bl_photo_surface_load_finish (result, &error);

  if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_hash_table_remove (load->photos->loading, load->key);
      if (surface != NULL)
        g_hash_table_insert (load->photos->surfaces, g_strdup (load->key), g_steal_pointer (&surface));
      else
        g_hash_table_insert (load->photos->messages, g_strdup (load->key),
                             g_strdup_printf (_ ("The photo “%s” cannot be shown: %s"),
                                              title_of (load->photos, load->key), error->message));
      g_signal_emit (load->photos, signals[LOADED], 0, load->key);
    }
  g_clear_pointer (&surface, bl_photo_surface_unref);
  g_object_unref (load->photos);
  g_free (load->key);
  g_free (load);
}

static GBytes *
read_image (BlBenchPhotos *self, const char *key, GError **error)
{
  if (g_str_has_prefix (key, "job:"))
    return bl_library_get_job_photo (self->library, g_ascii_strtoll (key + 4, NULL, 10), NULL, error);
  if (g_str_has_prefix (key, "board:"))
    {
      char *rest;
      gint64 id = g_ascii_strtoll (key + 6, &rest, 10);
      return bl_library_get_board_photo (self->library, id, *rest == ':' ? rest + 1 : rest, NULL, error);
    }
  return bl_library_get_board_photo (self->library, bl_bench_get_job (self->bench)->board, key, NULL, error);
}

BlPhotoSurface *
bl_bench_photos_surface (BlBenchPhotos *self, const char *key, const char **message)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self) && key != NULL, NULL);
  BlPhotoSurface *surface = g_hash_table_lookup (self->surfaces, key);
  g_autoptr (GError) error = NULL;

  *message = g_hash_table_lookup (self->messages, key);
  if (surface != NULL || *message != NULL)
    return surface;
  *message = _ ("opening the photo");
  if (g_hash_table_contains (self->loading, key))
    return NULL;
  g_autoptr (GBytes) image = read_image (self, key, &error);
  if (image == NULL)
    {
      g_hash_table_insert (self->messages, g_strdup (key),
                           g_strdup_printf (_ ("The photo “%s” cannot be read: %s"), title_of (self, key),
                                            error->message));
      *message = g_hash_table_lookup (self->messages, key);
      return NULL;
    }
  g_hash_table_add (self->loading, g_strdup (key));
  Load *load = g_new0 (Load, 1);
  load->photos = g_object_ref (self);
  load->key = g_strdup (key);
  bl_photo_surface_load_async (image, self->cancellable, loaded, load);
  return NULL;
}

gboolean
bl_bench_photos_is_broken (BlBenchPhotos *self, const char *key)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self) && key != NULL, FALSE);
  return g_hash_table_contains (self->messages, key);
}

/* --- what stands on a photo --- */

/* Weight of a shape where a point has several measurements: what deviates shows first. */
static int
shape_weight (int shape)
{
  switch (shape)
    {
    case -1:
      return 0;
    case BL_SHAPE_NOT_REACHED:
      return 1;
    case BL_SHAPE_IN_BAND:
      return 2;
    case BL_SHAPE_TOO_CLOSE:
      return 3;
    default:
      return 4;
    }
}

static int
point_shape (BlBenchPhotos *self, const char *point)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  int shape = -1;

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
      int own;
      if (g_strcmp0 (measurement->at, point) != 0 || bl_measurement_item_get_verdict (item) == NULL
          || bl_measurement_item_is_old (item))
        continue;
      own = (int) bl_shape_for_verdict (bl_measurement_item_get_verdict (item), bl_measurement_item_get_band (item));
      if (shape_weight (own) > shape_weight (shape))
        shape = own;
    }
  return shape;
}

static guint
points_on (const BlBoard *board, const char *key)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    n += g_strcmp0 (((BlTestPoint *) bl_at (board->test_points, i))->photo, key) == 0;
  return n;
}

static gboolean
point_in_section (BlBenchPhotos *self, const char *point, const char *section)
{
  GListModel *model = bl_bench_get_measurements (self->bench);

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (g_strcmp0 (bl_measurement_item_get_measurement (item)->at, point) == 0
          && g_strcmp0 (bl_measurement_item_get_section (item), section) == 0)
        return TRUE;
    }
  return FALSE;
}

/* A reading without a verdict shows its value, to be read beside a twin's. */
static void
add_value (BlBenchPhotos *self, BlPhotoItem *item)
{
  GListModel *model = bl_bench_get_measurements (self->bench);

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) measurement = g_list_model_get_item (model, i);
      const BlMeasurement *what = bl_measurement_item_get_measurement (measurement);
      BlReading reading;
      if (g_strcmp0 (what->at, item->id) != 0 || bl_measurement_item_is_old (measurement)
          || !bl_measurement_item_get_reading (measurement, &reading))
        continue;
      g_autofree char *value = bl_format_reading (what->measures, &reading);
      g_free (item->name);
      item->name = g_strdup_printf ("%s  %s %s", item->id, value, bl_measurement_item_get_unit (measurement));
      return;
    }
}

/* TRUE when a measurement at the point reads otherwise than on the board beside. */
static gboolean
point_differs (BlBenchPhotos *self, const char *point)
{
  GListModel *model = bl_bench_get_measurements (self->bench);

  for (guint i = 0; self->twin != NULL && self->compares && i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (g_strcmp0 (bl_measurement_item_get_measurement (item)->at, point) == 0 && bl_twin_differs (self->twin, item))
        return TRUE;
    }
  return FALSE;
}

/* The point of this board that has the twin's point's name; NULL: none. */
static const char *
own_point (BlBenchPhotos *self, const char *point)
{
  const BlBoard *board = bl_bench_get_board (self->bench);

  for (guint i = 0; i < bl_len (board->test_points); i++)
    if (g_ascii_strcasecmp (((BlTestPoint *) bl_at (board->test_points, i))->id, point) == 0)
      return ((BlTestPoint *) bl_at (board->test_points, i))->id;
  return NULL;
}

/* On the twin each point says what was read there; the one in hand has its brackets on both boards. */
static void
add_twin_points (BlBenchPhotos *self, const char *photo, BlMeasurementItem *current, GPtrArray *items)
{
  const BlBoard *board = bl_twin_get_board (self->twin);
  const BlMeasurement *in_hand = current != NULL ? bl_measurement_item_get_measurement (current) : NULL;
  gboolean crowded = points_on (board, photo) > CROWD;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      const char *own = own_point (self, point->id);
      g_autofree char *words = NULL, *name = NULL;
      BlPhotoItem *item;
      if (g_strcmp0 (point->photo, photo) != 0 || isnan (point->x))
        continue;
      words = bl_twin_words (self->twin, point->id);
      name = g_strstrip (g_strdup_printf ("%s  %s", point->id, words));
      item = bl_photo_item_new (BL_PHOTO_POINT, point->id, name, point->x, point->y);
      item->differs = own != NULL && point_differs (self, own);
      item->in_hand = own != NULL && in_hand != NULL && g_strcmp0 (in_hand->at, own) == 0;
      item->quiet = crowded && !item->differs && !item->in_hand;
      g_ptr_array_add (items, item);
    }
}

static void
add_points (BlBenchPhotos *self, const char *key, BlMeasurementItem *current, GPtrArray *items)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlMeasurement *in_hand = current != NULL ? bl_measurement_item_get_measurement (current) : NULL;
  const char *section = current != NULL ? bl_measurement_item_get_section (current) : NULL;
  gboolean crowded = points_on (board, key) > CROWD;
  BlPhotoItem *last = NULL;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlPhotoItem *item;
      if (g_strcmp0 (point->photo, key) != 0 || isnan (point->x))
        continue;
      item = bl_photo_item_new (BL_PHOTO_POINT, point->id, point->id, point->x, point->y);
      item->shape = point_shape (self, point->id);
      if (in_hand != NULL && g_strcmp0 (in_hand->black, point->id) == 0)
        {
          g_free (item->name);
          item->kind = BL_PHOTO_BLACK;
          item->name = g_strdup_printf (_ ("black: %s"), point->id);
        }
      if (item->kind == BL_PHOTO_POINT && item->shape < 0)
        add_value (self, item);
      item->in_hand = in_hand != NULL && g_strcmp0 (in_hand->at, point->id) == 0;
      item->differs = point_differs (self, point->id);
      item->quiet = crowded && item->kind == BL_PHOTO_POINT && shape_weight (item->shape) < 3 && !item->differs
                    && !point_in_section (self, point->id, section);
      if (item->in_hand)
        last = item;
      else
        g_ptr_array_add (items, item);
    }
  /* The point in hand lies on top and is hit first. */
  if (last != NULL)
    g_ptr_array_add (items, last);
}

static void
add_suspects (BlBenchPhotos *self, const char *key, GPtrArray *items)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);

  for (guint i = 0; diagnosis != NULL && i < MIN (bl_len (diagnosis->components), 3); i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      const BlComponent *component = bl_board_component (board, odd->id);
      if (odd->probability >= 0.05 && component != NULL && g_strcmp0 (component->photo, key) == 0
          && !isnan (component->x))
        g_ptr_array_add (items, bl_photo_item_new (BL_PHOTO_COMPONENT, component->id, component->id, component->x,
                                                   component->y));
    }
}

static void
add_marks (BlBenchPhotos *self, const char *key, GPtrArray *items)
{
  GPtrArray *records = bl_bench_get_records (self->bench);

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->kind == BL_RECORD_MARK && !record->struck && g_strcmp0 (record->photo, key) == 0)
        g_ptr_array_add (items, bl_photo_item_new (BL_PHOTO_MARK, NULL, record->text, record->x, record->y));
    }
}

GPtrArray *
bl_bench_photos_items (BlBenchPhotos *self, const char *key, BlMeasurementItem *in_hand)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);

  if (key == NULL)
    return items;
  if (g_str_has_prefix (key, "board:"))
    {
      const char *photo = strchr (key + strlen ("board:"), ':');
      if (self->twin != NULL && photo != NULL)
        add_twin_points (self, photo + 1, in_hand, items);
      return items;
    }
  add_suspects (self, key, items);
  add_marks (self, key, items);
  if (!g_str_has_prefix (key, "job:"))
    add_points (self, key, in_hand, items);
  return items;
}

static void
add_outlines (GPtrArray *outlines, GPtrArray *from, const char *key, BlPhotoOutlineKind kind, const char *id,
              const char *name)
{
  for (guint i = 0; i < bl_len (from); i++)
    {
      const BlOutline *outline = bl_at (from, i);
      if (g_strcmp0 (outline->photo, key) == 0 && outline->points != NULL && outline->points->len >= 6)
        g_ptr_array_add (outlines, bl_photo_outline_new (kind, id, name, outline->points));
    }
}

GPtrArray *
bl_bench_photos_outlines (BlBenchPhotos *self, const char *key)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlStage *likely = diagnosis != NULL && diagnosis->likely_stage != NULL
                            ? bl_board_stage (board, diagnosis->likely_stage)
                            : NULL;
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);

  if (key == NULL || strchr (key, ':') != NULL)
    return outlines;
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      add_outlines (outlines, section->outlines, key, BL_PHOTO_SECTION, section->id,
                    section->title != NULL ? section->title : section->id);
    }
  if (likely != NULL)
    {
      const BlOdd *odd = bl_diagnosis_find (diagnosis->stages, likely->id);
      g_autofree char *odds = bl_format_odds (odd != NULL ? odd->probability : NAN);
      g_autofree char *tab = g_strdup_printf (diagnosis->unproven ? _ ("if not cured: %s %s") : _ ("likely failed: %s %s"),
                                              likely->title != NULL ? likely->title : likely->id, odds);
      guint before = outlines->len;
      add_outlines (outlines, likely->outlines, key, BL_PHOTO_LIKELY, likely->id, tab);
      const BlSection *section = bl_board_section (board, likely->section);
      /* A stage without an outline of its own shows by its section's. */
      if (outlines->len == before && section != NULL)
        add_outlines (outlines, section->outlines, key, BL_PHOTO_LIKELY, likely->id, tab);
    }
  return outlines;
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
  g_hash_table_unref (self->surfaces);
  g_hash_table_unref (self->messages);
  g_hash_table_unref (self->loading);
  g_object_unref (self->cancellable);
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
  self->surfaces = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_photo_surface_unref);
  self->messages = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->loading = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->cancellable = g_cancellable_new ();
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
