/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drills before they begin: ordered one by one, planted by the trainer, or given again; sets are composed in
 * bl-practice-compose.c. A drill is drawn when it is added, so that an order that cannot be met is refused at once; what was
 * drawn stays in the library. */
#include "config.h"

#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>

GPtrArray *
bl_practice_drills (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  return bl_library_drills (self->library, person, error);
}

BlDrillRow *
bl_practice_load_drill (BlPractice *self, gint64 drill, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  return bl_library_load_drill (self->library, drill, error);
}

gboolean
bl_practice_delete_drill (BlPractice *self, gint64 drill, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), FALSE);
  return bl_library_delete_drill (self->library, drill, error) && bl_practice_reload (self, error);
}

/* --- one drill --- */

BlDrillRow *
bl_practice_new_row (gint64 person, const BlPracticeSubject *copy, const char *uid)
{
  BlDrillRow *row = bl_drill_row_new ();

  row->person = person;
  row->board = copy->board;
  row->equipment = copy->equipment;
  row->subject = g_strdup (uid);
  return row;
}

static gint64
add_ordered (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order, GError **error)
{
  BlPracticeSubject copy;
  g_autofree char *uid = NULL;

  if (!bl_practice_copy (self, subject, &copy, &uid, error))
    return 0;
  g_autoptr (BlBoard) board = bl_practice_load_copy (self, copy.board, copy.equipment, error);
  g_autoptr (BlDrill) drill = board != NULL ? bl_drill_new (board, order, error) : NULL;
  if (drill == NULL)
    return 0;
  g_autoptr (BlDrillRow) row = bl_practice_new_row (person, &copy, uid);
  row->kind = order->kind;
  row->seed = order->seed;
  row->sections = g_strdupv ((char **) order->sections);
  row->faults = g_strdupv ((char **) bl_drill_faults (drill));
  return bl_library_add_drill (self->library, row, error);
}

static gint64
add_planted (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const char *const *faults, GError **error)
{
  BlPracticeSubject copy;
  g_autofree char *uid = NULL;

  if (!bl_practice_copy (self, subject, &copy, &uid, error))
    return 0;
  g_autoptr (BlBoard) board = bl_practice_load_copy (self, copy.board, copy.equipment, error);
  g_autoptr (BlDrill) drill = board != NULL ? bl_drill_planted (board, faults, error) : NULL;
  if (drill == NULL)
    return 0;
  g_autoptr (BlDrillRow) row = bl_practice_new_row (person, &copy, uid);
  row->planted = TRUE;
  row->faults = g_strdupv ((char **) faults);
  return bl_library_add_drill (self->library, row, error);
}

static gboolean
is_same (const BlDrillRow *a, const BlDrillRow *b)
{
  const char *const none[] = { NULL };
  const char *const *of_a = a->sections != NULL ? (const char *const *) a->sections : none;
  const char *const *of_b = b->sections != NULL ? (const char *const *) b->sections : none;
  const char *const *faults_a = a->faults != NULL ? (const char *const *) a->faults : none;
  const char *const *faults_b = b->faults != NULL ? (const char *const *) b->faults : none;

  return a->board == b->board && a->equipment == b->equipment && a->planted == b->planted && a->kind == b->kind
         && a->seed == b->seed && g_strv_equal (of_a, of_b) && (!a->planted || g_strv_equal (faults_a, faults_b));
}

/* Two rows that are alike would tell nobody why there are two. */
static gboolean
is_still_to_do (BlPractice *self, const BlDrillRow *row, GError **error)
{
  g_autoptr (GPtrArray) drills = bl_library_drills (self->library, row->person, error);

  for (guint i = 0; drills != NULL && i < drills->len; i++)
    {
      const BlDrillRow *other = g_ptr_array_index (drills, i);
      if (other->ended != 0 || !is_same (row, other))
        continue;
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s has this drill still to do"),
                   bl_practice_name_of (self, row->person));
      return TRUE;
    }
  return drills == NULL;
}

static gint64
add_again (BlPractice *self, gint64 drill, gint64 person, GError **error)
{
  g_autoptr (BlDrillRow) row = bl_library_load_drill (self->library, drill, error);

  if (row == NULL)
    return 0;
  gboolean own = row->person == person;
  row->person = person;
  return !own && is_still_to_do (self, row, error) ? 0 : bl_library_add_drill (self->library, row, error);
}

gint64
bl_practice_add_drill (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order,
                       GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && subject != NULL && order != NULL, 0);
  const char *doing = _ ("adding a drill");

  if (!bl_library_begin (self->library, doing, error))
    return 0;
  gint64 id = add_ordered (self, person, subject, order, error);
  return bl_library_end (self->library, id != 0, doing, error) && bl_practice_reload (self, error) ? id : 0;
}

gint64
bl_practice_plant (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const char *const *faults,
                   GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && subject != NULL && faults != NULL, 0);
  const char *doing = _ ("adding a drill");

  if (!bl_library_begin (self->library, doing, error))
    return 0;
  gint64 id = add_planted (self, person, subject, faults, error);
  return bl_library_end (self->library, id != 0, doing, error) && bl_practice_reload (self, error) ? id : 0;
}

gint64
bl_practice_give (BlPractice *self, gint64 drill, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), 0);
  gint64 id = add_again (self, drill, person, error);

  return id != 0 && bl_practice_reload (self, error) ? id : 0;
}
