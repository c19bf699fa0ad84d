/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places of a file's points, components and outlines where the picture of their photo is not the one here. They are
 * pixels of the file's picture: they go to that picture when it comes in beside, else they are dropped, and the
 * points wait for a place. What is said of the same place here is left alone. */
#include "config.h"

#include "bl-intake.h"

#include <string.h>

/* Whether the place of this element is the file's now. */
static gboolean
is_theirs (const BlIntakeBoard *board, const char *list, const char *id)
{
  for (guint i = 0; i < bl_len (board->differences); i++)
    {
      const BlDifference *difference = bl_at (board->differences, i);
      if (!g_str_equal (difference->list, list) || g_strcmp0 (difference->id, id) != 0)
        continue;
      if (difference->take)
        return difference->kind != BL_DIFFERENCE_REMOVED;
      for (guint f = 0; f < bl_len (difference->fields); f++)
        {
          const BlDifferenceField *field = bl_at (difference->fields, f);
          if (field->take
              && (g_str_has_prefix (field->path, "place") || g_str_has_prefix (field->path, "photo")
                  || g_str_has_prefix (field->path, "outlines")))
            return TRUE;
        }
    }
  return FALSE;
}

static void
move_place (char **photo, double *x, double *y, const char *from, const char *to)
{
  if (g_strcmp0 (*photo, from) != 0)
    return;
  g_free (*photo);
  *photo = g_strdup (to);
  if (to == NULL)
    *x = *y = NAN;
}

static void
move_outlines (GPtrArray *outlines, const char *from, const char *to)
{
  for (guint i = bl_len (outlines); i-- > 0;)
    {
      BlOutline *outline = bl_at (outlines, i);
      if (g_strcmp0 (outline->photo, from) != 0)
        continue;
      if (to == NULL)
        {
          g_ptr_array_remove_index (outlines, i);
          continue;
        }
      g_free (outline->photo);
      outline->photo = g_strdup (to);
    }
}

/* Landmarks and scale are of the picture that is here. */
static void
keep_photo (const BlPhoto *mine, BlPhoto *merged)
{
  if (mine == NULL || merged == NULL)
    return;
  merged->mm_per_px = mine->mm_per_px;
  g_clear_pointer (&merged->landmarks, g_ptr_array_unref);
  for (guint i = 0; i < bl_len (mine->landmarks); i++)
    bl_append (&merged->landmarks, bl_landmark_copy (bl_at (mine->landmarks, i)), (GDestroyNotify) bl_landmark_free);
}

void
bl_intake_move_places (const BlIntakeBoard *board, BlBoard *merged, const char *photo, const char *new_id)
{
  g_return_if_fail (board != NULL && merged != NULL && photo != NULL);
  keep_photo (bl_board_photo (board->mine, photo), bl_board_photo (merged, photo));
  for (guint i = 0; i < bl_len (merged->test_points); i++)
    {
      BlTestPoint *point = bl_at (merged->test_points, i);
      if (is_theirs (board, "test_points", point->id))
        move_place (&point->photo, &point->x, &point->y, photo, new_id);
    }
  for (guint i = 0; i < bl_len (merged->components); i++)
    {
      BlComponent *component = bl_at (merged->components, i);
      if (is_theirs (board, "components", component->id))
        move_place (&component->photo, &component->x, &component->y, photo, new_id);
    }
  for (guint i = 0; i < bl_len (merged->sections); i++)
    {
      BlSection *section = bl_at (merged->sections, i);
      if (is_theirs (board, "sections", section->id))
        move_outlines (section->outlines, photo, new_id);
    }
  for (guint i = 0; i < bl_len (merged->stages); i++)
    {
      BlStage *stage = bl_at (merged->stages, i);
      if (is_theirs (board, "stages", stage->id))
        move_outlines (stage->outlines, photo, new_id);
    }
}
