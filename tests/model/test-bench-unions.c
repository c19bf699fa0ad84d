/* SPDX-License-Identifier: GPL-3.0-or-later
 * Odds of sets of own events in an open job: they are those of the diagnosis, follow it when a reading comes
 * in, and are there although the worker is busy with something else. */
#include "config.h"

#include <math.h>

#include "bl-bench.h"
#include "bl-bundle.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
  guint announced;
} Fixture;

static void
count (Fixture *fixture)
{
  fixture->announced++;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  gint64 job = bl_bench_start (fixture->library, id, NULL, NULL, &error);
  g_assert_no_error (error);
  fixture->bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
  g_signal_connect_swapped (fixture->bench, "unions", G_CALLBACK (count), fixture);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static void
enter (Fixture *fixture, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_assert_true (bl_bench_enter (fixture->bench, text, &error));
  g_assert_no_error (error);
}

static double
settled (Fixture *fixture, const char *const *set)
{
  bl_bench_union (fixture->bench, set);
  bl_bench_settle (fixture->bench);
  return bl_bench_union (fixture->bench, set);
}

/* All modes of a component or, implied component and all, of a stage. (transfer full) */
static char **
modes_of (Fixture *fixture, const char *component, const char *stage)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (fixture->bench);
  g_autoptr (GStrvBuilder) set = g_strv_builder_new ();

  for (guint i = 0; i < diagnosis->components->len; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      const BlComponent *found = bl_board_component (bl_bench_get_board (fixture->bench), odd->id);
      g_autofree char *other = stage != NULL ? bl_stage_other_id (stage) : NULL;
      if (component != NULL ? !g_str_equal (odd->id, component)
                            : g_strcmp0 (found != NULL ? found->stage : NULL, stage) != 0
                                && !g_str_equal (odd->id, other))
        continue;
      for (guint m = 0; m < odd->modes->len; m++)
        {
          g_autofree char *name = g_strdup_printf ("%s:%s", odd->id, ((BlOdd *) bl_at (odd->modes, m))->id);
          g_strv_builder_add (set, name);
        }
    }
  return g_strv_builder_end (set);
}

static void
test_as_diagnosed (Fixture *fixture, gconstpointer unused)
{
  static const char *const one[] = { "U2:open", NULL }, *const unknown[] = { "U2:open", "Q99:open", NULL };

  g_assert_true (isnan (bl_bench_union (fixture->bench, one)));
  enter (fixture, "M5 0.1");
  bl_bench_settle (fixture->bench);
  for (guint round = 0; round < 2; round++)
    {
      g_auto (GStrv) part = modes_of (fixture, "U2", NULL), stage = modes_of (fixture, NULL, "rail5");
      double alone = settled (fixture, one), whole = settled (fixture, (const char *const *) part);
      double all = settled (fixture, (const char *const *) stage);
      const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (fixture->bench);
      const BlOdd *odd = bl_diagnosis_find (diagnosis->components, "U2");
      g_assert_cmpuint (g_strv_length (part), >, 1);
      g_assert_cmpuint (g_strv_length (stage), >, g_strv_length (part));
      g_assert_cmpfloat_with_epsilon (alone, bl_diagnosis_find (odd->modes, "open")->probability, 1e-12);
      g_assert_cmpfloat_with_epsilon (whole, odd->probability, 1e-12);
      g_assert_cmpfloat_with_epsilon (all, bl_diagnosis_find (diagnosis->stages, "rail5")->probability, 1e-12);
      g_assert_cmpfloat (all, >, whole);
      g_assert_true (isnan (settled (fixture, unknown)));
      enter (fixture, "M5 5.0"); /* other odds */
      bl_bench_settle (fixture->bench);
      g_assert_cmpfloat (bl_bench_union (fixture->bench, one), !=, alone);
    }
  g_assert_cmpuint (fixture->announced, >, 0);
}

/* What was looked at comes with new odds without being asked for; what nobody looks at any more does not. */
static void
test_follows (Fixture *fixture, gconstpointer unused)
{
  static const char *const seen[] = { "U2:open", "U2:short", NULL };

  enter (fixture, "M5 0.1");
  bl_bench_settle (fixture->bench);
  g_assert_false (isnan (settled (fixture, seen)));
  enter (fixture, "M5 5.0");
  bl_bench_settle (fixture->bench);
  guint announced = fixture->announced;
  g_assert_false (isnan (bl_bench_union (fixture->bench, seen)));
  enter (fixture, "M5 4.9");
  bl_bench_settle (fixture->bench);
  g_assert_cmpuint (fixture->announced, ==, announced + 1);
  enter (fixture, "M5 5.1");
  bl_bench_settle (fixture->bench);
  g_assert_cmpuint (fixture->announced, ==, announced + 1); /* not looked at since */
  g_assert_true (isnan (bl_bench_union (fixture->bench, seen)));
}

static gboolean
give_up (gpointer late)
{
  *(gboolean *) late = TRUE;
  return G_SOURCE_REMOVE;
}

/* Asked for while plan and ranking are still under way: the whole answer comes all the same. */
static void
test_in_between (Fixture *fixture, gconstpointer unused)
{
  gboolean late = FALSE;
  guint timer = g_timeout_add_seconds (60, give_up, &late);

  for (guint i = 0; i < 20; i++)
    {
      g_autofree char *reading = g_strdup_printf ("M5 4.%02u", 80 + i);
      const char *const set[] = { "U2:open", "F1:open", NULL };
      enter (fixture, reading);
      while (isnan (bl_bench_union (fixture->bench, set)) && !late)
        g_main_context_iteration (NULL, TRUE);
      bl_bench_settle (fixture->bench);
      g_assert_nonnull (bl_bench_get_diagnosis (fixture->bench)->next);
      g_assert_null (bl_bench_get_trouble (fixture->bench));
    }
  g_assert_false (late);
  g_source_remove (timer);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/bench-unions/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("as-diagnosed", test_as_diagnosed);
  ADD ("follows", test_follows);
  ADD ("in-between", test_in_between);
  return g_test_run ();
}
