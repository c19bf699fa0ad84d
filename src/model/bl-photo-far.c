/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on other photos, at its place on this one. Every photo of the board that is joined with this one,
 * directly or by way of others, gives what it has; a section or stage outlined on several of them is shown once,
 * from the photo nearest in joins. A few photos, some hundred places: computed anew at every change. */
#include "config.h"

#include "bl-photo-far.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const BlPhoto *photo;
  BlHomography map; /* onto the one that is shown */
  guint steps;
  gboolean opposite;
} Source;

typedef struct
{
  GArray *found;
  const char *shown;
  const Source *source;
  double width, height; /* 0: not known */
} Work;

gboolean
bl_photos_are_opposite (const BlPhoto *a, const BlPhoto *b, const BlHomography *map)
{
  g_return_val_if_fail (a != NULL && b != NULL && map != NULL, FALSE);
  if (a->side != NULL && b->side != NULL)
    return strcmp (a->side, b->side) != 0;
  const double *h = map->h;
  return h[0] * (h[4] * h[8] - h[5] * h[7]) - h[1] * (h[3] * h[8] - h[5] * h[6]) + h[2] * (h[3] * h[7] - h[4] * h[6])
         < 0;
}

static void
clear_far (gpointer data)
{
  g_clear_pointer (&((BlFar *) data)->corners, g_array_unref);
}

static int
nearer (gconstpointer a, gconstpointer b)
{
  return (int) ((const Source *) a)->steps - (int) ((const Source *) b)->steps;
}

static GArray *
sources_of (const BlBoard *board, const BlPhoto *shown)
{
  GArray *sources = g_array_new (FALSE, FALSE, sizeof (Source));

  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      Source source = { .photo = bl_at (board->photos, i) };
      if (source.photo == shown || !bl_board_map_photo (board, source.photo->id, shown->id, &source.map, &source.steps))
        continue;
      source.opposite = bl_photos_are_opposite (source.photo, shown, &source.map);
      g_array_append_val (sources, source);
    }
  g_array_sort (sources, nearer);
  return sources;
}

static gboolean
is_inside (const Work *work, double x, double y)
{
  return !isnan (x) && !isnan (y)
         && (work->width <= 0 || (x >= 0 && y >= 0 && x <= work->width && y <= work->height));
}

static void
add_place (Work *work, BlFarKind kind, const char *id, double x, double y)
{
  BlFar far = { .kind = kind, .id = id, .photo = work->source->photo->id, .opposite = work->source->opposite };

  bl_homography_apply (&work->source->map, x, y, &far.x, &far.y);
  if (is_inside (work, far.x, far.y))
    g_array_append_val (work->found, far);
}

static void
add_points (Work *work, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (g_strcmp0 (point->photo, work->source->photo->id) == 0)
        add_place (work, BL_FAR_TEST_POINT, point->id, point->x, point->y);
    }
}

static void
add_components (Work *work, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (component->photo, work->source->photo->id) == 0)
        add_place (work, BL_FAR_COMPONENT, component->id, component->x, component->y);
    }
}

/* Every corner of an outline; NULL when one lies beyond the horizon, or all beyond the photo's edge. */
static GArray *
map_corners (const Work *work, const GArray *points)
{
  g_autoptr (GArray) corners = g_array_sized_new (FALSE, FALSE, sizeof (double), points->len);
  gboolean inside = FALSE;

  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double at[2];
      bl_homography_apply (&work->source->map, g_array_index (points, double, i),
                           g_array_index (points, double, i + 1), &at[0], &at[1]);
      if (isnan (at[0]) || isnan (at[1]))
        return NULL;
      inside |= is_inside (work, at[0], at[1]);
      g_array_append_vals (corners, at, 2);
    }
  return inside ? g_steal_pointer (&corners) : NULL;
}

/* Own outlines and those of a nearer photo say more than a mapped one. */
static gboolean
is_shown (const Work *work, BlFarKind kind, const char *id, const GPtrArray *outlines)
{
  for (guint i = 0; i < bl_len (outlines); i++)
    if (g_strcmp0 (((const BlOutline *) bl_at (outlines, i))->photo, work->shown) == 0)
      return TRUE;
  for (guint i = 0; i < work->found->len; i++)
    {
      const BlFar *far = &g_array_index (work->found, BlFar, i);
      if (far->kind == kind && strcmp (far->id, id) == 0 && strcmp (far->photo, work->source->photo->id) != 0)
        return TRUE;
    }
  return FALSE;
}

static void
add_outlines (Work *work, BlFarKind kind, const char *id, const GPtrArray *outlines)
{
  guint index = 0;

  if (is_shown (work, kind, id, outlines))
    return;
  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      BlFar far = { .kind = kind, .id = id, .photo = work->source->photo->id, .opposite = work->source->opposite };
      if (g_strcmp0 (outline->photo, work->source->photo->id) != 0)
        continue;
      far.index = index++;
      far.corners = outline->points != NULL ? map_corners (work, outline->points) : NULL;
      if (far.corners != NULL)
        g_array_append_val (work->found, far);
    }
}

GArray *
bl_board_far (const BlBoard *board, const char *photo, guint kinds, double width, double height)
{
  g_return_val_if_fail (board != NULL, NULL);
  const BlPhoto *shown = photo != NULL ? bl_board_photo (board, photo) : NULL;
  Work work = { .found = g_array_new (FALSE, FALSE, sizeof (BlFar)), .shown = photo, .width = width, .height = height };

  g_array_set_clear_func (work.found, clear_far);
  if (shown == NULL)
    return work.found;
  g_autoptr (GArray) sources = sources_of (board, shown);
  for (guint i = 0; i < sources->len; i++)
    {
      work.source = &g_array_index (sources, Source, i);
      if (kinds & 1u << BL_FAR_TEST_POINT)
        add_points (&work, board);
      if (kinds & 1u << BL_FAR_COMPONENT)
        add_components (&work, board);
      for (guint j = 0; (kinds & 1u << BL_FAR_SECTION) && j < bl_len (board->sections); j++)
        {
          const BlSection *section = bl_at (board->sections, j);
          add_outlines (&work, BL_FAR_SECTION, section->id, section->outlines);
        }
      for (guint j = 0; (kinds & 1u << BL_FAR_STAGE) && j < bl_len (board->stages); j++)
        {
          const BlStage *stage = bl_at (board->stages, j);
          add_outlines (&work, BL_FAR_STAGE, stage->id, stage->outlines);
        }
    }
  return work.found;
}
