/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the photos of the open job. Points take the shape of their weightiest verdict: what deviates before
 * what is in band. On a photo of the job's own board everything the edition knows stands where the photo's landmarks
 * say; marks stand on the photo they were made on alone. */
#include "config.h"

#include "bl-bench-photos-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench-equipment.h"
#include "bl-format.h"
#include "bl-suspects-view.h"

#define CROWD 20 /* points on a photo from which on not all names are shown */

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

static guint
points_in (const BlBoard *board, const BlBenchPlaces *places)
{
  guint n = 0;
  double at[2];

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      n += bl_bench_places_find (places, BL_FAR_TEST_POINT, point->id, point->photo, point->x, point->y, at, NULL);
    }
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
      item->name = g_strdup_printf ("%s  %s %s", bl_bench_local_id (self->bench, item->id), value, bl_measurement_item_get_unit (measurement));
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
add_points (BlBenchPhotos *self, const BlBenchPlaces *places, BlMeasurementItem *current, GPtrArray *items)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlMeasurement *in_hand = current != NULL ? bl_measurement_item_get_measurement (current) : NULL;
  const char *section = current != NULL ? bl_measurement_item_get_section (current) : NULL;
  gboolean crowded = points_in (board, places) > CROWD;
  BlPhotoItem *last = NULL;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlPhotoItem *item;
      BlPhotoFar far;
      double at[2];
      if (!bl_bench_places_find (places, BL_FAR_TEST_POINT, point->id, point->photo, point->x, point->y, at, &far))
        continue;
      const char *name = bl_bench_local_id (self->bench, point->id);
      item = bl_photo_item_new (BL_PHOTO_POINT, point->id, name, at[0], at[1]);
      item->far = far;
      item->shape = point_shape (self, point->id);
      if (in_hand != NULL && g_strcmp0 (in_hand->black, point->id) == 0)
        {
          g_free (item->name);
          item->kind = BL_PHOTO_BLACK;
          item->name = g_strdup_printf (_ ("black: %s"), name);
        }
      if (item->kind == BL_PHOTO_POINT && item->shape < 0)
        add_value (self, item);
      item->in_hand = in_hand != NULL && g_strcmp0 (in_hand->at, point->id) == 0;
      item->differs = point_differs (self, point->id);
      item->quiet = crowded && item->kind == BL_PHOTO_POINT && shape_weight (item->shape) < 3 && !item->differs
                    && (current != NULL || item->shape < 0)
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
add_suspects (BlBenchPhotos *self, const BlBenchPlaces *places, GPtrArray *items)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);

  for (guint i = 0; diagnosis != NULL && i < MIN (bl_len (diagnosis->components), 3); i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      const BlComponent *component = bl_board_component (board, odd->id);
      BlPhotoFar far;
      double at[2];
      if (odd->probability < 0.05 || component == NULL
          || !bl_bench_places_find (places, BL_FAR_COMPONENT, component->id, component->photo, component->x,
                                    component->y, at, &far))
        continue;
      BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_COMPONENT, component->id,
                                             bl_bench_local_id (self->bench, component->id), at[0], at[1]);
      item->far = far;
      g_ptr_array_add (items, item);
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

BlBenchPlaces *
bl_bench_photos_places (BlBenchPhotos *self, const char *key)
{
  g_return_val_if_fail (BL_IS_BENCH_PHOTOS (self), NULL);
  const BlPhotoSurface *surface = key != NULL ? bl_photo_loader_peek (self->loader, key) : NULL;

  return bl_bench_places_new (self->bench, key, surface != NULL ? bl_photo_surface_width (surface) : 0,
                              surface != NULL ? bl_photo_surface_height (surface) : 0);
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
  g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self, key);
  add_suspects (self, places, items);
  add_marks (self, key, items);
  add_points (self, places, in_hand, items);
  return items;
}

static void
add_likely_section (const BlBenchPlaces *places, GPtrArray *outlines, const BlSection *section, const char *stage,
                    const char *tab)
{
  guint before = outlines->len;

  bl_bench_places_add_outlines (places, outlines, BL_FAR_SECTION, section->id, section->outlines, BL_PHOTO_LIKELY, tab);
  for (guint i = before; i < outlines->len; i++)
    {
      BlPhotoOutline *outline = g_ptr_array_index (outlines, i);
      g_free (outline->id);
      outline->id = g_strdup (stage);
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

  if (key == NULL || g_str_has_prefix (key, "board:"))
    return outlines;
  g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self, key);
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      bl_bench_places_add_outlines (places, outlines, BL_FAR_SECTION, section->id, section->outlines, BL_PHOTO_SECTION,
                                    section->title != NULL ? section->title : section->id);
    }
  if (likely != NULL)
    {
      const BlOdd *odd = bl_diagnosis_find (diagnosis->stages, likely->id);
      g_autofree char *odds = bl_format_odds (odd != NULL ? odd->probability : NAN);
      g_autofree char *tab = g_strdup_printf (diagnosis->unproven ? _ ("if not cured: %s %s") : _ ("likely failed: %s %s"),
                                              likely->title != NULL ? likely->title : likely->id, odds);
      const BlSection *section = bl_board_section (board, likely->section);
      /* A stage without an outline of its own shows by its section's; its name is the stage's. */
      if (!bl_bench_places_add_outlines (places, outlines, BL_FAR_STAGE, likely->id, likely->outlines, BL_PHOTO_LIKELY,
                                         tab)
          && section != NULL)
        add_likely_section (places, outlines, section, likely->id, tab);
    }
  return outlines;
}
