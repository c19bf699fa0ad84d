/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A set of drills for somebody.
 *
 * A stock of drills is drawn from the board's own odds, several times as many as are wanted, and from it one after the other
 * is taken: first one for each section and fault family that is due today, then by weight, which is the geometric mean of
 * what the answers so far say about its section and its family, 1 (always right) to 4 (never). So weak spots come oftener,
 * but a fault that hardly ever happens does not become a usual one. No fault comes twice, nor one that was just met, while
 * there are others. Whoever has no results yet gets one section after the other. In the end what is due comes first, and
 * the rest from easy to hard: by kind, then by how much there is to find out (bl_drill_bits ()).
 *
 * A set of 20 with its stock of 120 takes a third of a second on the demo's boards. */
#include "config.h"

#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define STOCK 6     /* drawn for each drill of a set; own choice */
#define OF_FAMILY 4 /* times that, where only one family is wanted, */
#define FEWEST 60   /* but not less than that: a rare family has to come up; own choice */

/* From easy to hard, own choice: what misleads is harder than one fault, and what hides behind another harder still. */
static const BlDrillKind by_ease[BL_N_DRILL_KINDS] = { BL_DRILL_SINGLE, BL_DRILL_CONDUCTOR, BL_DRILL_MISREAD,
                                                       BL_DRILL_PROVOKED, BL_DRILL_TWO };

/* A drill in stock. */
typedef struct
{
  guint32 seed;
  char **faults;
  char *section, *family; /* of the first fault; NULL: of none */
  double weight;
  gboolean met;           /* one of its faults was met lately */
  gboolean taken;
} Candidate;

/* A drill of the set. */
typedef struct
{
  const Candidate *candidate;
  guint ease;  /* place of its kind in by_ease */
  guint due;   /* place among what is due; G_MAXUINT: not due */
  double bits;
} Choice;

typedef struct
{
  BlPractice *practice;
  gint64 person;
  const BlPracticeOrder *order;
  BlPracticeSubject copy;
  char *uid;
  BlBoard *board;
  GRand *random;
  char **met;           /* what the person met lately */
  GPtrArray *topics;    /* BlTopic of the person, what is due first */
  gboolean is_new;      /* without any result of a drill */
  GPtrArray *stock[BL_N_DRILL_KINDS]; /* Candidate, in the order of by_ease; NULL: the kind is not wanted */
  GArray *set;          /* Choice */
} Composing;

static void
candidate_free (gpointer data)
{
  Candidate *candidate = data;

  g_strfreev (candidate->faults);
  g_free (candidate->section);
  g_free (candidate->family);
  g_free (candidate);
}

static void
composing_clear (Composing *self)
{
  g_free (self->uid);
  g_clear_pointer (&self->board, bl_board_free);
  g_clear_pointer (&self->random, g_rand_free);
  g_clear_pointer (&self->met, g_strfreev);
  g_clear_pointer (&self->topics, g_ptr_array_unref);
  for (guint i = 0; i < BL_N_DRILL_KINDS; i++)
    g_clear_pointer (&self->stock[i], g_ptr_array_unref);
  g_clear_pointer (&self->set, g_array_unref);
}

/* --- the stock --- */

static double
topic_weight (const Composing *self, BlTopicKind kind, const char *name)
{
  for (guint i = 0; name != NULL && i < self->topics->len; i++)
    {
      const BlTopic *topic = g_ptr_array_index (self->topics, i);
      if (topic->kind == kind && g_str_equal (topic->topic, name))
        return bl_weak_share (topic->n_right, topic->n_wrong);
    }
  return bl_weak_share (0, 0);
}

static Candidate *
candidate_new (const Composing *self, const BlDrill *drill, guint32 seed)
{
  const char *const *faults = bl_drill_faults (drill);
  Candidate *candidate = g_new0 (Candidate, 1);

  candidate->seed = seed;
  candidate->faults = g_strdupv ((char **) faults);
  candidate->section = g_strdup (bl_practice_section_of (self->board, faults[0]));
  candidate->family = bl_practice_family_of (self->board, faults[0]);
  candidate->met = bl_practice_met_ago (self->met, faults) != G_MAXUINT;
  candidate->weight = sqrt (topic_weight (self, BL_TOPIC_SECTION, candidate->section)
                            * topic_weight (self, BL_TOPIC_FAMILY, candidate->family));
  return candidate;
}

static BlDrill *
draw (const Composing *self, guint ease, guint32 seed, GError **error)
{
  BlDrillOrder order = { by_ease[ease], self->order->sections, seed };

  return bl_drill_new (self->board, &order, error);
}

/* Some drills of a kind, none where the board can have none. */
static gboolean
fill_stock (Composing *self, guint ease, guint n, GError **error)
{
  const char *family = self->order->family;
  guint most = family != NULL ? MAX (n * OF_FAMILY, FEWEST) : n;

  self->stock[ease] = g_ptr_array_new_with_free_func (candidate_free);
  for (guint i = 0; i < most && self->stock[ease]->len < n; i++)
    {
      guint32 seed = (guint32) g_rand_int_range (self->random, 1, BL_PRACTICE_MOST_SEED + 1);
      g_autoptr (GError) reason = NULL;
      g_autoptr (BlDrill) drill = draw (self, ease, seed, &reason);
      if (drill == NULL && g_error_matches (reason, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE))
        return TRUE;
      if (drill == NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      Candidate *candidate = candidate_new (self, drill, seed);
      if (family == NULL || g_strcmp0 (candidate->family, family) == 0)
        g_ptr_array_add (self->stock[ease], candidate);
      else
        candidate_free (candidate);
    }
  return TRUE;
}

/* --- taking one --- */

static guint
times_taken (const Composing *self, const Candidate *candidate, gboolean section)
{
  guint n = 0;

  for (guint i = 0; i < self->set->len; i++)
    {
      const Candidate *other = g_array_index (self->set, Choice, i).candidate;
      n += section ? g_strcmp0 (other->section, candidate->section) == 0
                   : g_strcmp0 (other->faults[0], candidate->faults[0]) == 0;
    }
  return n;
}

static gboolean
is_about (const Candidate *candidate, const BlTopic *topic)
{
  return topic == NULL
         || (topic->kind == BL_TOPIC_SECTION && g_strcmp0 (candidate->section, topic->topic) == 0)
         || (topic->kind == BL_TOPIC_FAMILY && g_strcmp0 (candidate->family, topic->topic) == 0);
}

/* Which are looked at, the strictest first. */
typedef enum
{
  NEW_TO_PERSON, /* neither in the set nor met lately */
  NEW_TO_SET,
  ANY_SEED,      /* the fault comes again, with other readings */
  N_STRICT
} Strict;

static double
weight_now (const Composing *self, const Candidate *candidate, const BlTopic *topic, Strict strict)
{
  if (candidate->taken || !is_about (candidate, topic) || (strict == NEW_TO_PERSON && candidate->met)
      || (strict < ANY_SEED && times_taken (self, candidate, FALSE) > 0))
    return 0;
  return self->is_new ? candidate->weight / (1 + times_taken (self, candidate, TRUE)) : candidate->weight;
}

/* One of a kind, about a topic (NULL: about anything). NULL: there is none. */
static Candidate *
take (Composing *self, guint ease, const BlTopic *topic)
{
  GPtrArray *stock = self->stock[ease];
  g_autofree double *weights = g_new0 (double, stock->len + 1);

  for (Strict strict = NEW_TO_PERSON; strict < (topic != NULL ? ANY_SEED : N_STRICT); strict++)
    {
      for (guint i = 0; i < stock->len; i++)
        weights[i] = weight_now (self, g_ptr_array_index (stock, i), topic, strict);
      guint chosen = bl_weak_draw (weights, stock->len, g_rand_double (self->random));
      if (chosen != G_MAXUINT)
        return g_ptr_array_index (stock, chosen);
    }
  return NULL;
}

static gboolean
add_choice (Composing *self, Candidate *candidate, guint ease, guint due, GError **error)
{
  g_autoptr (BlDrill) drill = draw (self, ease, candidate->seed, error);
  Choice choice = { candidate, ease, due, drill != NULL ? bl_drill_bits (drill) : 0 };

  candidate->taken = TRUE;
  g_array_append_val (self->set, choice);
  return drill != NULL;
}

/* --- the set --- */

/* Kinds that are wanted and possible share the drills evenly, the easy ones first: place in by_ease of the drill number n. */
static guint
ease_of (const Composing *self, guint n)
{
  guint kinds[BL_N_DRILL_KINDS], n_kinds = 0;

  for (guint i = 0; i < BL_N_DRILL_KINDS; i++)
    if (self->stock[i] != NULL && self->stock[i]->len > 0)
      kinds[n_kinds++] = i;
  g_assert (n_kinds > 0);
  return kinds[n * n_kinds / self->order->n];
}

static gboolean
is_covered (const Composing *self, const BlTopic *topic)
{
  for (guint i = 0; i < self->set->len; i++)
    if (is_about (g_array_index (self->set, Choice, i).candidate, topic))
      return TRUE;
  return FALSE;
}

/* One about a topic: of the kind of *ease, whose turn it is, or of another wanted one, easy ones first, where that kind's
 * stock has none. NULL: there is none. */
static Candidate *
take_due (Composing *self, const BlTopic *topic, guint *ease)
{
  Candidate *candidate = take (self, *ease, topic);

  for (guint i = 0; candidate == NULL && i < BL_N_DRILL_KINDS; i++)
    if (i != *ease && self->stock[i] != NULL && (candidate = take (self, i, topic)) != NULL)
      *ease = i;
  return candidate;
}

/* One drill for each topic of drills that is due, as long as there is room: one may do for two topics. */
static gboolean
choose_due (Composing *self, GError **error)
{
  for (guint i = 0; i < self->topics->len && self->set->len < self->order->n; i++)
    {
      const BlTopic *topic = g_ptr_array_index (self->topics, i);
      guint ease = ease_of (self, self->set->len);
      if (topic->days > 0 || (topic->kind != BL_TOPIC_SECTION && topic->kind != BL_TOPIC_FAMILY)
          || is_covered (self, topic))
        continue;
      Candidate *candidate = take_due (self, topic, &ease);
      if (candidate != NULL && !add_choice (self, candidate, ease, i, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
choose_others (Composing *self, GError **error)
{
  while (self->set->len < self->order->n)
    {
      guint ease = ease_of (self, self->set->len);
      Candidate *candidate = take (self, ease, NULL);
      if (candidate == NULL) /* a family of which few came up: all of it once more */
        for (guint i = 0; i < self->stock[ease]->len; i++)
          ((Candidate *) g_ptr_array_index (self->stock[ease], i))->taken = FALSE;
      else if (!add_choice (self, candidate, ease, G_MAXUINT, error))
        return FALSE;
    }
  return TRUE;
}

static int
in_order (gconstpointer a, gconstpointer b)
{
  const Choice *one = a, *other = b;

  if (one->due != other->due)
    return one->due < other->due ? -1 : 1;
  if (one->ease != other->ease)
    return one->ease < other->ease ? -1 : 1;
  if (one->bits != other->bits)
    return one->bits < other->bits ? -1 : 1;
  return one->candidate->seed < other->candidate->seed ? -1 : one->candidate->seed > other->candidate->seed;
}

/* The last one first: lists have the newest at the top. */
static gboolean
add_all (Composing *self, GError **error)
{
  g_array_sort (self->set, in_order);
  for (guint i = self->set->len; i > 0; i--)
    {
      const Choice *choice = &g_array_index (self->set, Choice, i - 1);
      g_autoptr (BlDrillRow) row = bl_practice_new_row (self->person, &self->copy, self->uid);
      row->kind = by_ease[choice->ease];
      row->seed = choice->candidate->seed;
      row->sections = g_strdupv ((char **) self->order->sections);
      row->faults = g_strdupv (choice->candidate->faults);
      if (bl_library_add_drill (self->practice->library, row, error) == 0)
        return FALSE;
    }
  return TRUE;
}

/* --- from order to set --- */

static gboolean
read_person (Composing *self, GError **error)
{
  self->topics = bl_practice_topics (self->practice, self->person, error);
  self->met = self->topics != NULL ? bl_practice_met (self->practice, self->person, self->uid, error) : NULL;
  if (self->met == NULL)
    return FALSE;
  self->is_new = TRUE;
  for (guint i = 0; i < self->topics->len; i++)
    {
      const BlTopic *topic = g_ptr_array_index (self->topics, i);
      self->is_new &= topic->kind != BL_TOPIC_SECTION && topic->kind != BL_TOPIC_FAMILY;
    }
  return TRUE;
}

/* Enough of each kind that is wanted. */
static gboolean
fill_all (Composing *self, GError **error)
{
  guint n_kinds = 0, n = 0;

  for (guint i = 0; i < BL_N_DRILL_KINDS; i++)
    n_kinds += (self->order->kinds >> by_ease[i]) & 1;
  for (guint i = 0; i < BL_N_DRILL_KINDS; i++)
    if ((self->order->kinds >> by_ease[i]) & 1)
      {
        if (!fill_stock (self, i, STOCK * ((self->order->n + n_kinds - 1) / n_kinds), error))
          return FALSE;
        n += self->stock[i]->len;
      }
  if (n > 0)
    return TRUE;
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
                       self->order->family != NULL
                         ? _ ("No drill of this kind of fault came up on this board: choose another one.")
                         : _ ("No drill of these kinds can be drawn on this board."));
  return FALSE;
}

static gboolean
compose (Composing *self, GError **error)
{
  if (!bl_practice_copy (self->practice, &self->order->subject, &self->copy, &self->uid, error))
    return FALSE;
  self->board = bl_practice_load_copy (self->practice, self->copy.board, self->copy.equipment, error);
  self->random = g_rand_new_with_seed (self->order->seed);
  self->set = g_array_new (FALSE, FALSE, sizeof (Choice));
  return self->board != NULL && read_person (self, error) && fill_all (self, error) && choose_due (self, error)
         && choose_others (self, error) && add_all (self, error);
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
