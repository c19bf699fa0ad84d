/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos of one board laid over each other by the landmarks they have in common, and what follows: which one
 * is a mirror image, the map by way of a third photo, lengths in mm on a photo that has no scale of its own.
 *
 * A handful of photos with some dozen landmarks: everything is computed anew when it is asked for, some 0.1 ms
 * a pair. The map itself is bl-registration.c's; nothing here changes a document. */
#include "config.h"

#include "bl-photo-join.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

enum
{
  LEAST = 4 /* landmarks that fix a map */
};

/* How far off a press on a photo is, standard deviation: a share of how far the landmarks spread, for it is made
 * with that much in view, and what a drawn cross hides. Own choice. */
#define CLICK_SHARE (1.0 / 1000)
#define LEAST_CLICK 1.5 /* px */

/* --- landmarks --- */

BlLandmark *
bl_photo_landmark (const BlPhoto *photo, const char *id)
{
  g_return_val_if_fail (photo != NULL, NULL);
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    {
      BlLandmark *landmark = bl_at (photo->landmarks, i);
      if (g_strcmp0 (landmark->id, id) == 0)
        return landmark;
    }
  return NULL;
}

static gboolean
is_placed (const BlLandmark *landmark)
{
  return landmark != NULL && landmark->id != NULL && !isnan (landmark->x) && !isnan (landmark->y);
}

guint
bl_photo_join_common (const BlPhoto *a, const BlPhoto *b)
{
  guint n = 0;

  g_return_val_if_fail (a != NULL && b != NULL, 0);
  for (guint i = 0; i < bl_len (a->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (a->landmarks, i);
      n += is_placed (landmark) && is_placed (bl_photo_landmark (b, landmark->id));
    }
  return n;
}

const BlLandmark *
bl_photo_next_landmark (const BlPhoto *photo, const BlPhoto *other, const char *const *skipped)
{
  g_return_val_if_fail (photo != NULL && other != NULL, NULL);
  for (guint i = 0; i < bl_len (other->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (other->landmarks, i);
      if (is_placed (landmark) && bl_photo_landmark (photo, landmark->id) == NULL
          && (skipped == NULL || !g_strv_contains (skipped, landmark->id)))
        return landmark;
    }
  return NULL;
}

char *
bl_board_free_landmark (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  for (guint number = 1;; number++)
    {
      g_autofree char *id = g_strdup_printf ("L%u", number);
      gboolean taken = FALSE;
      for (guint i = 0; i < bl_len (board->photos); i++)
        taken |= bl_photo_landmark (bl_at (board->photos, i), id) != NULL;
      if (!taken)
        return g_steal_pointer (&id);
    }
}

/* --- the join of two --- */

static GArray *
pairs_of (const BlPhoto *from, const BlPhoto *to)
{
  GArray *pairs = g_array_new (FALSE, FALSE, sizeof (BlLandmarkPair));

  for (guint i = 0; i < bl_len (to->landmarks); i++)
    {
      const BlLandmark *there = bl_at (to->landmarks, i), *here = bl_photo_landmark (from, there->id);
      if (!is_placed (there) || !is_placed (here))
        continue;
      const BlLandmarkPair pair = { there->id, here->x, here->y, there->x, there->y };
      g_array_append_val (pairs, pair);
    }
  return pairs;
}

static double
click_of (const GArray *pairs)
{
  double x0 = INFINITY, y0 = INFINITY, x1 = -INFINITY, y1 = -INFINITY;

  for (guint i = 0; i < pairs->len; i++)
    {
      const BlLandmarkPair *pair = &g_array_index (pairs, BlLandmarkPair, i);
      x0 = MIN (x0, pair->u);
      y0 = MIN (y0, pair->v);
      x1 = MAX (x1, pair->u);
      y1 = MAX (y1, pair->v);
    }
  return pairs->len > 1 ? MAX (LEAST_CLICK, CLICK_SHARE * hypot (x1 - x0, y1 - y0)) : LEAST_CLICK;
}

static BlRegistration *
register_pairs (const GArray *pairs, GError **error)
{
  return bl_registration_new ((const BlLandmarkPair *) (gpointer) pairs->data, pairs->len, click_of (pairs), error);
}

/* How far in mm each landmark is from where the map puts it, into residuals (may be NULL); returns the root of their
 * mean square. */
static double
measure_mm (const BlHomography *map, const GArray *pairs, const BlPhotoScale *scale, double *residuals)
{
  double sum = 0;

  for (guint i = 0; i < pairs->len; i++)
    {
      const BlLandmarkPair *pair = &g_array_index (pairs, BlLandmarkPair, i);
      double u, v, mm;
      bl_homography_apply (map, pair->x, pair->y, &u, &v);
      mm = scale != NULL ? bl_photo_scale_length (scale, u, v, pair->u, pair->v) : NAN;
      if (residuals != NULL)
        residuals[i] = mm;
      sum += mm * mm;
    }
  return sqrt (sum / pairs->len);
}

/* What would be left in mm without the landmark that does not agree. */
static double
measure_without (const GArray *pairs, int suspect, const BlPhotoScale *scale)
{
  g_autoptr (GArray) rest = g_array_copy ((GArray *) pairs);

  if (suspect < 0)
    return NAN;
  g_array_remove_index (rest, (guint) suspect);
  g_autoptr (BlRegistration) found = register_pairs (rest, NULL);
  return found != NULL ? measure_mm (&found->map, rest, scale, NULL) : NAN;
}

BlPhotoJoin *
bl_photo_join_new (const BlPhoto *from, const BlPhoto *to, const BlBoard *scale_of, GError **error)
{
  g_return_val_if_fail (from != NULL && to != NULL, NULL);
  g_autoptr (GArray) pairs = pairs_of (from, to);
  g_autoptr (BlRegistration) found = register_pairs (pairs, error);
  BlPhotoScale scale;

  if (found == NULL)
    return NULL;
  BlPhotoJoin *self = g_new0 (BlPhotoJoin, 1);
  self->from = from;
  self->to = to;
  self->map = found->map;
  self->n = found->n;
  self->names = g_new0 (char *, found->n + 1);
  for (guint i = 0; i < found->n; i++)
    self->names[i] = g_strdup (g_array_index (pairs, BlLandmarkPair, i).name);
  self->residuals = g_memdup2 (found->residuals, found->n * sizeof (double));
  self->residuals_mm = g_new (double, found->n);
  self->rms = found->rms;
  self->mirrored = found->mirrored;
  self->suspect = found->suspect;
  self->rms_without = found->rms_without;
  gboolean scaled = scale_of != NULL && bl_photo_scale_find (scale_of, to->id, &scale);
  self->rms_mm = measure_mm (&self->map, pairs, scaled ? &scale : NULL, self->residuals_mm);
  self->rms_without_mm = measure_without (pairs, self->suspect, scaled ? &scale : NULL);
  return self;
}

void
bl_photo_join_free (BlPhotoJoin *join)
{
  if (join == NULL)
    return;
  g_strfreev (join->names);
  g_free (join->residuals);
  g_free (join->residuals_mm);
  g_free (join);
}

BlSides
bl_photo_join_sides (const BlPhotoJoin *join)
{
  g_return_val_if_fail (join != NULL, BL_SIDES_NOT_SAID);
  if (join->from->side == NULL || join->to->side == NULL)
    return BL_SIDES_NOT_SAID;
  gboolean same = strcmp (join->from->side, join->to->side) == 0;
  if (same == !join->mirrored)
    return BL_SIDES_AGREE;
  return same ? BL_SIDES_MIRRORED : BL_SIDES_NOT_MIRRORED;
}

/* --- maps through the board's photos --- */

static BlHomography
after (const BlHomography *second, const BlHomography *first)
{
  BlHomography product;

  for (guint i = 0; i < 3; i++)
    for (guint j = 0; j < 3; j++)
      product.h[3 * i + j] = second->h[3 * i] * first->h[j] + second->h[3 * i + 1] * first->h[3 + j]
                             + second->h[3 * i + 2] * first->h[6 + j];
  return product;
}

static gboolean
map_directly (const BlPhoto *from, const BlPhoto *to, BlHomography *map)
{
  g_autoptr (GArray) pairs = pairs_of (from, to);
  g_autoptr (BlRegistration) found = pairs->len >= LEAST ? register_pairs (pairs, NULL) : NULL;

  if (found != NULL)
    *map = found->map;
  return found != NULL;
}

typedef struct
{
  const BlPhoto *photo;
  BlHomography map; /* from where the search began */
  guint steps;
} Reached;

static gboolean
is_reached (const GArray *reached, const BlPhoto *photo)
{
  for (guint i = 0; i < reached->len; i++)
    if (g_array_index (reached, Reached, i).photo == photo)
      return TRUE;
  return FALSE;
}

/* Breadth first, so that few joins are passed: every one adds its own error. Stops at the photo for which
 * `found` says so. */
static gboolean
search (const BlBoard *board, const char *from, gboolean (*found) (const BlPhoto *photo, gconstpointer data),
        gconstpointer data, Reached *result)
{
  g_autoptr (GArray) reached = g_array_new (FALSE, FALSE, sizeof (Reached));
  Reached now = { bl_board_photo (board, from), { { 1, 0, 0, 0, 1, 0, 0, 0, 1 } }, 0 };

  if (now.photo == NULL)
    return FALSE;
  g_array_append_val (reached, now);
  for (guint i = 0; i < reached->len; i++)
    {
      now = g_array_index (reached, Reached, i);
      if (found (now.photo, data))
        {
          *result = now;
          return TRUE;
        }
      for (guint j = 0; j < bl_len (board->photos); j++)
        {
          Reached next = { bl_at (board->photos, j), { { 0 } }, now.steps + 1 };
          BlHomography map;
          if (is_reached (reached, next.photo) || !map_directly (now.photo, next.photo, &map))
            continue;
          next.map = after (&map, &now.map);
          g_array_append_val (reached, next);
        }
    }
  return FALSE;
}

static gboolean
has_id (const BlPhoto *photo, gconstpointer id)
{
  return g_strcmp0 (photo->id, id) == 0;
}

gboolean
bl_board_map_photo (const BlBoard *board, const char *from, const char *to, BlHomography *map, guint *steps)
{
  Reached reached;

  g_return_val_if_fail (board != NULL && map != NULL, FALSE);
  if (!search (board, from, has_id, to, &reached))
    return FALSE;
  *map = reached.map;
  if (steps != NULL)
    *steps = reached.steps;
  return TRUE;
}

/* --- lengths --- */

static gboolean
has_scale (const BlPhoto *photo, gconstpointer unused)
{
  return photo->mm_per_px > 0;
}

gboolean
bl_photo_scale_find (const BlBoard *board, const char *photo, BlPhotoScale *scale)
{
  Reached reached;

  g_return_val_if_fail (board != NULL && scale != NULL, FALSE);
  if (!search (board, photo, has_scale, NULL, &reached))
    return FALSE;
  *scale = (BlPhotoScale){
    .mm_per_px = reached.photo->mm_per_px, .photo = reached.photo->id, .mapped = reached.steps > 0, .map = reached.map
  };
  return TRUE;
}

double
bl_photo_scale_length (const BlPhotoScale *scale, double x0, double y0, double x1, double y1)
{
  g_return_val_if_fail (scale != NULL, NAN);
  if (scale->mapped)
    {
      bl_homography_apply (&scale->map, x0, y0, &x0, &y0);
      bl_homography_apply (&scale->map, x1, y1, &x1, &y1);
    }
  return hypot (x1 - x0, y1 - y0) * scale->mm_per_px;
}

double
bl_photo_scale_at (const BlPhotoScale *scale, double x, double y)
{
  g_return_val_if_fail (scale != NULL, NAN);
  if (!scale->mapped)
    return scale->mm_per_px;
  /* The area's factor of a homography is det H / w^3. */
  const double *h = scale->map.h;
  double w = h[6] * x + h[7] * y + h[8];
  double det = h[0] * (h[4] * h[8] - h[5] * h[7]) - h[1] * (h[3] * h[8] - h[5] * h[6])
               + h[2] * (h[3] * h[7] - h[4] * h[6]);
  return w > 0 ? scale->mm_per_px * sqrt (fabs (det) / (w * w * w)) : NAN;
}

char *
bl_photo_length_words (const BlPhotoScale *scale, double x0, double y0, double x1, double y1)
{
  double mm = scale != NULL ? bl_photo_scale_length (scale, x0, y0, x1, y1) : NAN;

  if (isnan (mm))
    return g_strdup_printf (_ ("%.0f px"), hypot (x1 - x0, y1 - y0));
  return g_strdup_printf (mm < 10 ? _ ("%.2f mm") : _ ("%.1f mm"), mm);
}
