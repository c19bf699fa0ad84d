/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a person has met lately, and a seed whose drill is none of that. A board's own odds let the same fault come again
 * and again: of the demo's roof board 40 seeds draw 25 faults, five of them three times. Whoever has just seen one learns
 * little by it.
 *
 * A drill counts from the moment it is ordered, for it will be met; a worked case from the moment it is begun. One that is
 * broken off is in no file, so the practice that is open keeps it. A drill is drawn in some milliseconds. */
#include "config.h"

#include "bl-practice-private.h"

#include "bl-library-equipment.h"
#include "bl-library-steps.h"

#include <string.h>

#define RECENT 6 /* faults met last that do not come again; own choice */
#define TRIES 60 /* seeds looked at before what was met longest ago is taken; own choice */

/* --- what was met --- */

typedef struct
{
  gint64 person, time;
  char *subject, *fault;
} Met;

static void
met_free (gpointer data)
{
  Met *met = data;

  g_free (met->subject);
  g_free (met->fault);
  g_free (met);
}

static void
add_met (GPtrArray *list, gint64 person, gint64 time, const char *subject, const char *const *faults)
{
  for (guint i = 0; faults != NULL && faults[i] != NULL; i++)
    {
      Met *met = g_new0 (Met, 1);
      *met = (Met){ person, time, g_strdup (subject), g_strdup (faults[i]) };
      g_ptr_array_add (list, met);
    }
}

void
bl_practice_note_met (BlPractice *self, const char *subject, const char *const *faults)
{
  const BlPerson *person = bl_practice_get_person (self);

  if (self->met == NULL)
    self->met = g_ptr_array_new_with_free_func (met_free);
  if (person != NULL)
    add_met (self->met, person->id, bl_library_now (), subject, faults);
}

static void
add_drills (GPtrArray *list, GPtrArray *drills, const char *subject)
{
  for (guint i = 0; i < drills->len; i++)
    {
      const BlDrillRow *row = g_ptr_array_index (drills, i);
      gint64 time = MAX (row->made, MAX (row->started, row->ended));
      if (strcmp (row->subject, subject) == 0)
        add_met (list, row->person, time, subject, (const char *const *) row->faults);
    }
}

static void
add_cases (GPtrArray *list, GPtrArray *answers, const char *subject)
{
  for (guint i = 0; i < answers->len; i++)
    {
      const BlAnswer *answer = g_ptr_array_index (answers, i);
      if (answer->kind != BL_ANSWER_WORKED || answer->asked || strcmp (answer->subject, subject) != 0)
        continue;
      g_auto (GStrv) faults = g_strsplit (answer->what, BL_PRACTICE_AND, -1);
      add_met (list, answer->person, answer->time, subject, (const char *const *) faults);
    }
}

static void
add_open (GPtrArray *list, GPtrArray *met, gint64 person, const char *subject)
{
  for (guint i = 0; met != NULL && i < met->len; i++)
    {
      const Met *one = g_ptr_array_index (met, i);
      const char *const faults[] = { one->fault, NULL };
      if (one->person == person && strcmp (one->subject, subject) == 0)
        add_met (list, person, one->time, subject, faults);
    }
}

static int
latest_first (gconstpointer a, gconstpointer b)
{
  const Met *one = *(Met *const *) a, *other = *(Met *const *) b;

  return one->time != other->time ? (one->time > other->time ? -1 : 1) : strcmp (one->fault, other->fault);
}

char **
bl_practice_met (BlPractice *self, gint64 person, const char *subject, GError **error)
{
  g_autoptr (GPtrArray) drills = bl_library_drills (self->library, person, error);
  g_autoptr (GPtrArray) answers = drills != NULL ? bl_library_answers (self->library, person, error) : NULL;
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func (met_free), names = g_ptr_array_new ();

  if (answers == NULL)
    return NULL;
  add_drills (list, drills, subject);
  add_cases (list, answers, subject);
  add_open (list, self->met, person, subject);
  g_ptr_array_sort (list, latest_first);
  for (guint i = 0; i < list->len && names->len < RECENT; i++)
    {
      char *fault = ((Met *) g_ptr_array_index (list, i))->fault;
      if (!g_ptr_array_find_with_equal_func (names, fault, g_str_equal, NULL))
        g_ptr_array_add (names, fault);
    }
  g_ptr_array_add (names, NULL);
  return g_strdupv ((char **) names->pdata);
}

guint
bl_practice_met_ago (char **met, const char *const *faults)
{
  for (guint i = 0; met != NULL && met[i] != NULL; i++)
    for (guint k = 0; faults[k] != NULL; k++)
      {
        gsize length = strlen (met[i]);
        /* A confirmed cause may be a part alone: then any mode of it was met. */
        if (strcmp (met[i], faults[k]) == 0 || (strncmp (met[i], faults[k], length) == 0 && faults[k][length] == ':'))
          return i;
      }
  return G_MAXUINT;
}

/* --- a seed for something else --- */

char *
bl_practice_subject_uid (BlPractice *self, const BlPracticeSubject *subject, GError **error)
{
  g_autoptr (BlBoard) board = subject->equipment == 0 ? bl_library_load_board (self->shop, subject->board, error) : NULL;
  g_autoptr (BlEquipment) equipment
    = subject->equipment != 0 ? bl_library_get_equipment (self->shop, subject->equipment, error) : NULL;

  return board != NULL ? g_strdup (board->uid) : equipment != NULL ? g_strdup (equipment->own.uid) : NULL;
}

/* The first seed, order's own and then others by chance, whose drill was not met; else the one met longest ago. */
static guint32
look_for_seed (const BlBoard *board, const BlDrillOrder *order, char **met, GError **error)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (order->seed);
  BlDrillOrder tried = *order;
  guint32 oldest = 0;
  guint longest = 0;

  for (guint i = 0; i < TRIES; i++)
    {
      g_autoptr (BlDrill) drill = bl_drill_new (board, &tried, error);
      if (drill == NULL)
        return 0;
      guint ago = bl_practice_met_ago (met, bl_drill_faults (drill));
      if (ago == G_MAXUINT)
        return tried.seed;
      if (oldest == 0 || ago > longest)
        {
          oldest = tried.seed;
          longest = ago;
        }
      tried.seed = (guint32) g_rand_int_range (random, 1, BL_PRACTICE_MOST_SEED + 1);
    }
  return oldest;
}

guint32
bl_practice_fresh_seed (BlPractice *self, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order,
                        GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && subject != NULL && order != NULL && order->seed != 0, 0);
  g_autoptr (BlBoard) board = subject->equipment != 0
                                ? bl_library_join_equipment (self->shop, subject->equipment, NULL, error)
                                : bl_library_load_board (self->shop, subject->board, error);
  g_autofree char *uid = board != NULL ? bl_practice_subject_uid (self, subject, error) : NULL;
  g_auto (GStrv) met = uid != NULL ? bl_practice_met (self, person, uid, error) : NULL;

  return met != NULL ? look_for_seed (board, order, met, error) : 0;
}
