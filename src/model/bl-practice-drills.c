/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drills before they begin: ordered one by one, planted by the trainer, given again, or composed as a set. A drill is drawn
 * when it is added, so that an order that cannot be met is refused at once; what was drawn stays in the library.
 *
 * A set: for each drill some candidates are drawn from the board's own odds, and one of them is taken by weight, which is
 * the geometric mean of what the answers so far say about its section and its family, 1 (always right) to 4 (never). So
 * weak spots come oftener, but a fault that hardly ever happens does not become a usual one. A draw takes some
 * milliseconds. */
#include "config.h"

#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define CANDIDATES 6 /* for each drill of a set; own choice */
#define DRAWS 60     /* at most for these, where only one family is wanted; own choice */

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

static BlDrillRow *
new_row (gint64 person, const BlPracticeSubject *copy, const char *uid)
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
  g_autoptr (BlDrillRow) row = new_row (person, &copy, uid);
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
  g_autoptr (BlDrillRow) row = new_row (person, &copy, uid);
  row->planted = TRUE;
  row->faults = g_strdupv ((char **) faults);
  return bl_library_add_drill (self->library, row, error);
}

static gint64
add_again (BlPractice *self, gint64 drill, gint64 person, GError **error)
{
  g_autoptr (BlDrillRow) row = bl_library_load_drill (self->library, drill, error);

  if (row == NULL)
    return 0;
  row->person = person;
  return bl_library_add_drill (self->library, row, error);
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

/* --- a set --- */

typedef struct
{
  BlPractice *practice;
  gint64 person;
  const BlPracticeOrder *order;
  BlPracticeSubject copy;
  char *uid;
  BlBoard *board;
  GRand *random;
  guint kinds;         /* those still thought possible */
  GHashTable *given;   /* first faults of the drills of the set */
  char **met;          /* what the person met lately */
  GPtrArray *topics;   /* BlTopic of the person */
} Composing;

static void
composing_clear (Composing *composing)
{
  g_free (composing->uid);
  g_clear_pointer (&composing->board, bl_board_free);
  g_clear_pointer (&composing->random, g_rand_free);
  g_clear_pointer (&composing->given, g_hash_table_unref);
  g_clear_pointer (&composing->met, g_strfreev);
  g_clear_pointer (&composing->topics, g_ptr_array_unref);
}

static double
topic_weight (const Composing *composing, BlTopicKind kind, const char *name)
{
  for (guint i = 0; name != NULL && i < composing->topics->len; i++)
    {
      const BlTopic *topic = g_ptr_array_index (composing->topics, i);
      if (topic->kind == kind && g_str_equal (topic->topic, name))
        return bl_weak_share (topic->n_right, topic->n_wrong);
    }
  return bl_weak_share (0, 0);
}

static double
fault_weight (const Composing *composing, const BlDrill *drill)
{
  const char *fault = bl_drill_faults (drill)[0];
  g_autofree char *family = bl_practice_family_of (composing->board, fault);
  double section = topic_weight (composing, BL_TOPIC_SECTION, bl_practice_section_of (composing->board, fault));

  return sqrt (section * topic_weight (composing, BL_TOPIC_FAMILY, family));
}

static BlDrillKind
draw_kind (Composing *composing)
{
  BlDrillKind possible[BL_N_DRILL_KINDS];
  guint n = 0;

  for (guint kind = 0; kind < BL_N_DRILL_KINDS; kind++)
    if ((composing->kinds & (1u << kind)) != 0)
      possible[n++] = (BlDrillKind) kind;
  g_assert (n > 0);
  return possible[g_rand_int_range (composing->random, 0, (gint32) n)];
}

static guint32
draw_seed (Composing *composing)
{
  return (guint32) g_rand_int_range (composing->random, 1, BL_PRACTICE_MOST_SEED + 1);
}

static gboolean
is_wanted (const Composing *composing, const BlDrill *drill)
{
  g_autofree char *family = bl_practice_family_of (composing->board, bl_drill_faults (drill)[0]);

  return composing->order->family == NULL || g_strcmp0 (family, composing->order->family) == 0;
}

/* Draws candidates of a kind and takes one by weight. NULL without an error: the board can have none of this kind, or
 * none of the family came up. */
static BlDrillRow *
draw_row (Composing *composing, BlDrillKind kind, GError **error)
{
  g_autoptr (GPtrArray) drills = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_free);
  guint32 seeds[CANDIDATES];
  double weights[CANDIDATES], new_ones[CANDIDATES], sum = 0;

  for (guint n = 0; n < DRAWS && drills->len < CANDIDATES; n++)
    {
      guint i = drills->len;
      BlDrillOrder order = { kind, composing->order->sections, seeds[i] = draw_seed (composing) };
      g_autoptr (GError) reason = NULL;
      BlDrill *drill = bl_drill_new (composing->board, &order, &reason);
      if (drill == NULL && !g_error_matches (reason, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE))
        g_propagate_error (error, g_steal_pointer (&reason));
      if (drill == NULL)
        return NULL;
      if (!is_wanted (composing, drill))
        {
          bl_drill_free (drill);
          continue;
        }
      g_ptr_array_add (drills, drill);
      weights[i] = fault_weight (composing, drill);
      new_ones[i] = g_hash_table_contains (composing->given, bl_drill_faults (drill)[0]) ? 0 : weights[i];
      sum += new_ones[i];
    }
  if (drills->len == 0)
    return NULL;
  guint chosen = bl_weak_draw (sum > 0 ? new_ones : weights, drills->len, g_rand_double (composing->random));
  const BlDrill *drill = g_ptr_array_index (drills, chosen);
  BlDrillRow *row = new_row (composing->person, &composing->copy, composing->uid);
  row->kind = kind;
  row->seed = seeds[chosen];
  row->sections = g_strdupv ((char **) composing->order->sections);
  row->faults = g_strdupv ((char **) bl_drill_faults (drill));
  g_hash_table_add (composing->given, g_strdup (row->faults[0]));
  return row;
}

static gboolean
compose_one (Composing *composing, GError **error)
{
  while (composing->kinds != 0)
    {
      g_autoptr (GError) reason = NULL;
      BlDrillKind kind = draw_kind (composing);
      g_autoptr (BlDrillRow) row = draw_row (composing, kind, &reason);
      if (row != NULL)
        return bl_library_add_drill (composing->practice->library, row, error) != 0;
      if (reason != NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      composing->kinds &= ~(1u << kind);
    }
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
                       composing->order->family != NULL
                         ? _ ("No drill of this kind of fault came up on this board: choose another one.")
                         : _ ("No drill of these kinds can be drawn on this board."));
  return FALSE;
}

static gboolean
compose (Composing *composing, GError **error)
{
  BlPractice *self = composing->practice;

  composing->topics = bl_practice_topics (self, composing->person, error);
  if (composing->topics == NULL
      || !bl_practice_copy (self, &composing->order->subject, &composing->copy, &composing->uid, error))
    return FALSE;
  composing->board = bl_practice_load_copy (self, composing->copy.board, composing->copy.equipment, error);
  if (composing->board == NULL)
    return FALSE;
  composing->random = g_rand_new_with_seed (composing->order->seed);
  composing->kinds = composing->order->kinds & ((1u << BL_N_DRILL_KINDS) - 1);
  composing->given = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (guint i = 0; i < composing->order->n; i++)
    if (!compose_one (composing, error))
      return FALSE;
  return TRUE;
}

guint
bl_practice_compose (BlPractice *self, gint64 person, const BlPracticeOrder *order, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && order != NULL && order->n > 0, 0);
  const char *doing = _ ("composing drills");
  Composing composing = { .practice = self, .person = person, .order = order };

  if (!bl_library_begin (self->library, doing, error))
    return 0;
  gboolean ok = compose (&composing, error);
  composing_clear (&composing);
  return bl_library_end (self->library, ok, doing, error) && bl_practice_reload (self, error) ? order->n : 0;
}
