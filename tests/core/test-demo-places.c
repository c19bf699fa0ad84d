/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Simulated faults of the demo's equipments, in the conductors and on both boards, which must be isolated to the right
 * place: from the field checks alone, and by reading what is advised until a place has 95 %. A sample of them, and
 * every one with -m slow (minutes). */
#undef G_DISABLE_ASSERT
#include "bl-equipment.h"
#include "bl-simulate.h"
#include "fixture-demo.h"

#include <string.h>

typedef struct
{
  BlBoard *board;
  BlEngine *engine;
} Fixture;

static void
set_up (Fixture *f, gconstpointer name)
{
  g_autoptr (GError) error = NULL;

  f->board = demo_board (name);
  f->engine = bl_engine_new (f->board, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  bl_engine_free (f->engine);
  bl_board_free (f->board);
}

/* What can be read without opening a unit further than its terminals and lamps; and the loop at both ends. */
static gboolean
is_field_check (const BlEntry *entry)
{
  static const char *const more[] = { "wall/LAMP", "wall/V5", "wall/K1K", "wall/S-MK", "wall/S-SW", "wall/S-SR", "wall/LV",
                                      "wall/S-LI", "roof/LAMP", "roof/V5", "roof/S-MK", "roof/S-SW", "roof/S-SR",
                                      "roof/V-LINK", "roof/LN" };

  if (strchr (entry->subject, '/') == NULL)
    return TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (more); i++)
    if (g_str_equal (entry->subject, more[i]))
      return TRUE;
  return FALSE;
}

static GPtrArray *
field_checks (GPtrArray *all)
{
  GPtrArray *entries = g_ptr_array_new ();

  for (guint i = 0; i < all->len; i++)
    if (is_field_check (bl_at (all, i)))
      g_ptr_array_add (entries, bl_at (all, i));
  return entries;
}

typedef struct
{
  guint tried, right, wrong, open, unseen;
  guint open_by_one; /* of open: one reading alone deviates, which a misreading would explain as well */
  double effort_s;
} Score;

static void
score (Score *score, const BlDiagnosis *diagnosis, const char *fault, const char *place)
{
  BlPlacesVerdict verdict = diagnosis->places->verdict;
  const BlFaultPlace *first = diagnosis->places->first;
  gboolean sure = verdict == BL_PLACES_ISOLATED || verdict == BL_PLACES_SEVERAL;
  gboolean right = sure && g_str_equal (first->id, place);

  score->tried++;
  score->right += right;
  score->wrong += sure && !right;
  score->open += !sure;
  if (!right)
    g_test_message ("%s: %s %.3f, none %.3f", fault, first != NULL ? first->id : "none",
                    first != NULL ? first->probability : diagnosis->places->none, diagnosis->places->none);
}

static guint
count_deviating (const BlBoard *board, GPtrArray *entries)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, &error);
  guint n = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *one = bl_at (judged, i);
      n += one->verdict != NULL && one->verdict->evidence && one->verdict->best != one->band->good;
    }
  return n;
}

static BlEntry *
reading_of (GPtrArray *all, const char *measurement)
{
  for (guint i = 0; i < all->len; i++)
    if (g_str_equal (((BlEntry *) bl_at (all, i))->subject, measurement))
      return bl_at (all, i);
  g_assert_not_reached ();
}

#define MOST_STEPS 30

/* Reads what is advised, as long as no place has 95 %. */
static BlDiagnosis *
follow (Fixture *f, GPtrArray *all, Score *score)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;

  for (guint i = 0;; i++)
    {
      BlDiagnosis *diagnosis = bl_engine_diagnose (f->engine, entries, BL_DIAGNOSE_NEXT, NULL, &error);
      BlPlacesVerdict verdict;
      const BlNext *next;

      g_assert_no_error (error);
      verdict = diagnosis->places->verdict;
      next = diagnosis->next->len > 0 ? bl_at (diagnosis->next, 0) : NULL;
      if (verdict == BL_PLACES_ISOLATED || verdict == BL_PLACES_SEVERAL || next == NULL || i == MOST_STEPS)
        return diagnosis;
      score->effort_s += next->effort_s;
      g_ptr_array_add (entries, reading_of (all, next->measurement));
      bl_diagnosis_free (diagnosis);
    }
}

static void
try_mode (Fixture *f, const char *component, const char *mode, guint32 seed, gboolean by_advice, Score *to)
{
  g_autofree char *fault = g_strconcat (component, ":", mode, NULL);
  const char *const faults[] = { fault, NULL };
  gboolean is_part = strchr (component, '/') == NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) all = bl_simulate (f->board, faults, seed, "", &error), checks = field_checks (all);
  g_autoptr (BlDiagnosis) diagnosis = NULL;

  g_assert_no_error (error);
  if (!demo_leaves_trace (f->board, by_advice ? all : checks))
    {
      to->unseen++;
      return;
    }
  if (by_advice)
    diagnosis = follow (f, all, to);
  else
    diagnosis = bl_engine_diagnose (f->engine, checks, BL_DIAGNOSE_ODDS, NULL, &error);
  g_assert_no_error (error);
  guint before = to->open;
  score (to, diagnosis, fault, is_part ? BL_SHARE_OF_PARTS : demo_place_of (diagnosis->places, component));
  if (to->open > before && !by_advice && count_deviating (f->board, checks) == 1)
    to->open_by_one++;
}

/* Every mode of a place with several seeds, or each stride-th. */
static Score
try_place (Fixture *f, const char *role, guint stride, guint seeds, gboolean by_advice)
{
  Score score = { 0 };
  guint n = 0;

  for (guint i = 0; i < f->board->components->len; i++)
    {
      const BlComponent *component = bl_at (f->board->components, i);
      g_autofree char *own = bl_place_role (component->id);

      if (g_strcmp0 (own, role) != 0)
        continue;
      for (guint j = 0; j < bl_len (component->modes); j++)
        if (n++ % stride == 0)
          for (guint s = 0; s < seeds; s++)
            try_mode (f, component->id, ((BlMode *) bl_at (component->modes, j))->mode, 100 + s, by_advice, &score);
    }
  g_test_message ("%s, %s: %u faults, right place %u, wrong place %u, not isolated %u; %u do not show",
                  role != NULL ? role : "conductors", by_advice ? "by advice" : "field checks alone", score.tried,
                  score.right, score.wrong, score.open, score.unseen);
  if (by_advice && score.tried > 0)
    g_test_message ("  %.0f s of measuring each", score.effort_s / score.tried);
  return score;
}

/* The field checks alone, all of them: what they isolate is right, and a conductor is nearly always isolated where more than
 * one check shows its fault; one alone may have been misread, as of an open protective earth. Of a board
 * they see only what comes out at its terminals. */
static void
test_checks (Fixture *f, gconstpointer unused)
{
  gboolean slow = g_test_slow ();
  Score parts, wall, roof;

  f->board->odds.setup = 0; /* the simulation takes no wrong lead */
  bl_engine_free (f->engine);
  f->engine = bl_engine_new (f->board, NULL);
  parts = try_place (f, NULL, 1, slow ? 10 : 2, FALSE);
  wall = try_place (f, "wall", slow ? 1 : 12, 1, FALSE);
  roof = try_place (f, "roof", slow ? 1 : 12, 1, FALSE);
  g_assert_cmpuint (parts.tried, >, 15);
  g_assert_cmpfloat (parts.right, >=, 0.9 * (parts.tried - parts.open_by_one));
  g_assert_cmpuint (parts.wrong + wall.wrong + roof.wrong, <=, 0.03 * (parts.tried + wall.tried + roof.tried));
  g_assert_cmpuint (wall.right, >, 0);
  g_assert_cmpuint (roof.right, >, 0);
}

/* Following the advice from nothing to the place: one fault of each place here, some hundred with -m slow. What is
 * not isolated then had no symptom to start from, as an open protective earth, or shows in one drop alone. */
static void
test_advice (Fixture *f, gconstpointer unused)
{
  Score score = { 0 };

  if (g_test_slow ())
    {
      const char *const roles[] = { NULL, "wall", "roof" };
      for (guint i = 0; i < G_N_ELEMENTS (roles); i++)
        {
          Score of = try_place (f, roles[i], i == 0 ? 1 : 6, i == 0 ? 4 : 1, TRUE);
          g_assert_cmpfloat (of.right, >=, 0.85 * of.tried);
          g_assert_cmpfloat (of.wrong, <=, 0.03 * of.tried);
        }
      return;
    }
  try_mode (f, "W3", "film or broken strand, passes the beeper", 1, TRUE, &score);
  try_mode (f, "wall/K1", "contact does not close", 1, TRUE, &score);
  try_mode (f, "roof/PC3", "transistor open", 1, TRUE, &score);
  g_test_message ("%.0f s of measuring each", score.effort_s / score.tried);
  g_assert_cmpuint (score.right, ==, 3);
}

#define ADD(path, document, test) g_test_add ("/demo-places/" path, Fixture, document, set_up, test, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("checks", "pair.json", test_checks);
  ADD ("checks/roof-feeds", "pair-roof-feeds.json", test_checks);
  ADD ("advice", "pair.json", test_advice);
  return g_test_run ();
}
