/* SPDX-License-Identifier: GPL-3.0-or-later
 * A board read beside its twin: the same point, kind and state compare; what differs is told from what
 * two good boards and two meters may differ by. */
#include "config.h"

#include "bl-twin.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 twin;
  BlBench *bench, *twin_bench;
} Fixture;

static BlBench *
board_from_photo (Fixture *fixture, gint64 *board)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) image = g_bytes_new_static ("photo", 5);

  *board = bl_edition_create (fixture->library, TRUE, "image/png", image, NULL, &error);
  g_assert_no_error (error);
  gint64 job = bl_bench_start (fixture->library, *board, NULL, NULL, &error);
  g_assert_no_error (error);
  BlBench *bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
  return bench;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 own;

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->twin_bench = board_from_photo (fixture, &fixture->twin);
  fixture->bench = board_from_photo (fixture, &own);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_object (&fixture->twin_bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

/* Adds the next point (TP1, TP2 ...) with its measurement and reads it; returns the measurement. */
static char *
read_point (BlBench *bench, BlMeasures measures, const char *state, const char *text)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (bench);
  const char *photo = ((BlPhoto *) bl_at (bl_bench_get_board (bench)->photos, 0))->id;
  char *id = bl_edition_add_read_point (edition, photo, 5, 5, measures, state, &error);

  g_assert_no_error (error);
  if (text == NULL)
    return id;
  g_autofree char *typed = g_strdup_printf ("%s %s", id, text);
  bl_bench_enter (bench, typed, &error);
  g_assert_no_error (error);
  return id;
}

static gboolean
differs (Fixture *fixture, const char *measurement)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTwin) twin = bl_twin_new (fixture->library, fixture->twin, &error);

  g_assert_no_error (error);
  return bl_twin_differs (twin, bl_bench_find (fixture->bench, measurement));
}

typedef struct
{
  BlMeasures measures;
  const char *twin, *own, *meter;
  gboolean differs;
} Case;

static const Case cases[] = {
  { BL_MEASURES_V_DC, "12.0", "12.5", NULL, FALSE },  /* 4.2 %: two good boards */
  { BL_MEASURES_V_DC, "12.0", "12.7", NULL, TRUE },   /* 5.8 % */
  { BL_MEASURES_V_DC, "12.0", "12.7", "3%", FALSE },  /* the same, seen with a poor meter */
  { BL_MEASURES_V_DC, "12.0", "0.1", NULL, TRUE },
  { BL_MEASURES_V_DC, "-12.0", "12.0", NULL, TRUE },
  { BL_MEASURES_V_DC, "12.0", "11..13", NULL, TRUE }, /* it wanders, the twin stands */
  { BL_MEASURES_OHM, "1k", "1.09k", NULL, FALSE },    /* 9 %: resistive readings may lie 10 % apart */
  { BL_MEASURES_OHM, "1k", "1.12k", NULL, TRUE },
  { BL_MEASURES_OHM, "1k", "OL", NULL, TRUE },
  { BL_MEASURES_OHM, "OL", "OL", NULL, FALSE },
  { BL_MEASURES_CHECK, "yes", "no", NULL, TRUE },
  { BL_MEASURES_CHECK, "yes", "yes", NULL, FALSE },
  { BL_MEASURES_V_DC, "12.0", "- coated", NULL, FALSE }, /* no reading, no difference */
  { BL_MEASURES_V_DC, "- coated", "12.0", NULL, FALSE },
  { BL_MEASURES_V_DC, NULL, "12.0", NULL, FALSE },
};

static void
test_readings (Fixture *fixture, gconstpointer unused)
{
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const Case *c = &cases[i];
      g_autoptr (GError) error = NULL;
      g_test_message ("case %u: %s beside %s", i, c->own, c->twin != NULL ? c->twin : "nothing");
      g_free (read_point (fixture->twin_bench, c->measures, "run", c->twin));
      bl_bench_set_meter (fixture->bench, c->meter != NULL ? c->meter : "", &error);
      g_assert_no_error (error);
      g_autofree char *own = read_point (fixture->bench, c->measures, "run", c->own);
      g_assert_cmpint (differs (fixture, own), ==, c->differs);
    }
}

static void
test_only_what_compares (Fixture *fixture, gconstpointer unused)
{
  g_free (read_point (fixture->twin_bench, BL_MEASURES_V_DC, "off", "0.1"));
  g_autofree char *own = read_point (fixture->bench, BL_MEASURES_V_DC, "run", "12");

  g_assert_false (differs (fixture, own)); /* another state */
  g_free (read_point (fixture->twin_bench, BL_MEASURES_OHM, "run", "12"));
  g_autofree char *second = read_point (fixture->bench, BL_MEASURES_V_DC, "run", "99");
  g_assert_false (differs (fixture, second)); /* another kind */
}

/* Where both were judged by a band, the verdict decides and not the distance. */
static void
test_verdicts (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *benches[] = { fixture->twin_bench, fixture->bench };
  static const char *const readings[][3] = { { "11", "11", "11.9" }, { "13", "15", "12.1" } };
  g_autofree char *same = NULL, *other = NULL;

  for (guint b = 0; b < 2; b++)
    {
      g_autofree char *wide = read_point (benches[b], BL_MEASURES_V_DC, "run", NULL);
      g_autofree char *typed = g_strdup_printf ("%s %s", wide, readings[b][0]);
      g_assert_true (bl_edition_set_expected (bl_bench_get_edition (benches[b]), wide, "10..14 V", &error));
      g_assert_true (bl_bench_enter (benches[b], typed, &error));
      g_autofree char *second = read_point (benches[b], BL_MEASURES_V_DC, "run", NULL);
      g_autofree char *again = g_strdup_printf ("%s %s", second, readings[b][1]);
      g_assert_true (bl_edition_set_expected (bl_bench_get_edition (benches[b]), second, "10..14 V", &error));
      g_assert_true (bl_bench_enter (benches[b], again, &error));
      if (b == 1)
        {
          same = g_steal_pointer (&wide);
          other = g_steal_pointer (&second);
        }
    }
  g_assert_false (differs (fixture, same)); /* 17 % apart, but both in band */
  g_assert_true (differs (fixture, other)); /* in band, and high */
}

/* A documented twin which nobody read. */
static void
test_expected (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *of_twin = read_point (fixture->twin_bench, BL_MEASURES_V_DC, "run", NULL);
  g_autofree char *own = read_point (fixture->bench, BL_MEASURES_V_DC, "run", "12");

  g_assert_false (differs (fixture, own));
  g_assert_true (bl_edition_set_expected (bl_bench_get_edition (fixture->twin_bench), of_twin, "5 V 4.8..5.2", &error));
  g_assert_true (differs (fixture, own));
  g_autoptr (BlTwin) twin = bl_twin_new (fixture->library, fixture->twin, &error);
  g_assert_no_error (error);
  g_autofree char *words = bl_twin_words (twin, "TP1");
  g_assert_nonnull (strstr (words, "5"));
  g_assert_nonnull (strstr (words, "V"));
  g_autofree char *nothing = bl_twin_words (twin, "TP9");
  g_assert_cmpstr (nothing, ==, "");
}

/* A struck reading says nothing; the newest of the others counts. */
static void
test_struck (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *of_twin = read_point (fixture->twin_bench, BL_MEASURES_V_DC, "run", "12");
  g_autofree char *own = read_point (fixture->bench, BL_MEASURES_V_DC, "run", "12");
  g_autofree char *slip = g_strdup_printf ("%s 3", of_twin);

  g_assert_true (bl_bench_enter (fixture->twin_bench, slip, &error));
  g_assert_true (differs (fixture, own));
  g_assert_true (bl_bench_undo (fixture->twin_bench, &error));
  g_assert_false (differs (fixture, own));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/twin/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("readings", test_readings);
  ADD ("only-what-compares", test_only_what_compares);
  ADD ("verdicts", test_verdicts);
  ADD ("expected", test_expected);
  ADD ("struck", test_struck);
  return g_test_run ();
}
