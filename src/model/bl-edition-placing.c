/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Placing components and test points on a photo, press after press.
 *
 * What the next press places follows from the document and the name one began with, not from a counter: after
 * undo the same name is next again, and a name that somebody gives in between is skipped. Some hundred
 * things, asked for after every press.
 */
#include "config.h"

#include "bl-edition-placing.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-designator.h"
#include "bl-document.h"
#include "bl-find.h"

static guint
count (const BlBoard *board, BlElement element)
{
  return bl_len (element == BL_ELEMENT_COMPONENT ? board->components : board->test_points);
}

/* The i-th one's name and whether it stands on a photo. */
static const char *
nth (const BlBoard *board, BlElement element, guint i, gboolean *placed)
{
  if (element == BL_ELEMENT_COMPONENT)
    {
      const BlComponent *component = bl_at (board->components, i);
      *placed = component->photo != NULL && !isnan (component->x);
      return component->id;
    }
  const BlTestPoint *point = bl_at (board->test_points, i);
  *placed = point->photo != NULL && !isnan (point->x);
  return point->id;
}

char *
bl_placing_next (const BlBoard *board, BlElement element, const char *from)
{
  g_return_val_if_fail (board != NULL && from != NULL && *from != '\0', NULL);
  g_autoptr (GHashTable) placed = bl_designator_set_new ();

  for (guint i = 0; i < count (board, element); i++)
    {
      gboolean is_placed;
      const char *id = nth (board, element, i, &is_placed);
      if (is_placed)
        bl_designator_set_add (placed, id);
    }
  return bl_designator_free (from, placed);
}

/* As the document writes it; NULL: it has none. Who types k1 means K1. */
static const char *
written (const BlBoard *board, BlElement element, const char *id, gboolean *placed)
{
  g_autoptr (GHashTable) set = bl_designator_set_new ();

  bl_designator_set_add (set, id);
  for (guint i = 0; i < count (board, element); i++)
    {
      const char *other = nth (board, element, i, placed);
      if (bl_designator_set_has (set, other))
        return other;
    }
  return NULL;
}

gboolean
bl_placing_waits (const BlBoard *board, BlElement element, const char *id)
{
  g_return_val_if_fail (board != NULL && id != NULL, FALSE);
  gboolean placed = FALSE;

  return written (board, element, id, &placed) != NULL && !placed;
}

GPtrArray *
bl_placing_waiting (const BlBoard *board, BlElement element)
{
  g_return_val_if_fail (board != NULL, NULL);
  GPtrArray *waiting = g_ptr_array_new ();

  for (guint i = 0; i < count (board, element); i++)
    {
      gboolean placed;
      const char *id = nth (board, element, i, &placed);
      if (!placed)
        g_ptr_array_add (waiting, (gpointer) id);
    }
  return waiting;
}

char *
bl_placing_begin (const BlBoard *board, BlElement element, const char *last)
{
  g_return_val_if_fail (board != NULL, NULL);
  guint n = count (board, element);
  gboolean placed = FALSE;

  if (last != NULL && written (board, element, last, &placed) == NULL)
    last = NULL;
  if (last == NULL && n > 0)
    last = nth (board, element, n - 1, &placed);
  if (last == NULL)
    return g_strdup (element == BL_ELEMENT_COMPONENT ? "R1" : "TP1");
  return bl_placing_next (board, element, last);
}

/* --- placing --- */

static gboolean
refuse (BlEdition *self, GError **error, const char *reason)
{
  bl_edition_cancel (self);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, reason);
  return FALSE;
}

/* NULL, or why there can be none. */
static const char *
place_component (BlBoard *draft, const char *id, const char *stage, const char *photo, double x, double y)
{
  gboolean placed;
  const char *known = written (draft, BL_ELEMENT_COMPONENT, id, &placed);
  BlComponent *component = known != NULL ? bl_board_component (draft, known) : NULL;

  if (component == NULL)
    {
      const BlStage *under = bl_find_stage_at (draft, photo, x, y);
      const char *of = under != NULL ? under->id : stage != NULL && bl_board_stage (draft, stage) != NULL ? stage : NULL;
      if (of == NULL)
        return _ ("A component belongs to a stage: press inside a stage's outline, or choose the stage first");
      component = bl_component_new ();
      component->id = g_strdup (id);
      component->kind = bl_designator_guess_kind (draft, id, "ic");
      component->stage = g_strdup (of);
      bl_append (&draft->components, component, (GDestroyNotify) bl_component_free);
    }
  g_free (component->photo);
  component->photo = g_strdup (photo);
  component->x = x;
  component->y = y;
  return NULL;
}

static void
place_point (BlBoard *draft, const char *id, const char *photo, double x, double y)
{
  gboolean placed;
  const char *known = written (draft, BL_ELEMENT_TEST_POINT, id, &placed);
  BlTestPoint *point = known != NULL ? bl_board_test_point (draft, known) : NULL;

  if (point == NULL)
    {
      point = bl_test_point_new ();
      point->id = g_strdup (id);
      bl_append (&draft->test_points, point, (GDestroyNotify) bl_test_point_free);
    }
  g_free (point->photo);
  point->photo = g_strdup (photo);
  point->x = x;
  point->y = y;
}

gboolean
bl_edition_place_named (BlEdition *self, BlElement element, const char *id, const char *stage, const char *photo,
                        double x, double y, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && id != NULL && photo != NULL, FALSE);
  g_return_val_if_fail (element == BL_ELEMENT_COMPONENT || element == BL_ELEMENT_TEST_POINT, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("Place %s"), id);
  BlBoard *draft = bl_edition_begin (self, label, NULL);
  const char *trouble = NULL;

  if (element == BL_ELEMENT_COMPONENT)
    trouble = place_component (draft, id, stage, photo, x, y);
  else
    place_point (draft, id, photo, x, y);
  return trouble != NULL ? refuse (self, error, trouble) : bl_edition_commit (self, error);
}
