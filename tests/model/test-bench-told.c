/* SPDX-License-Identifier: GPL-3.0-or-later
 * Readings told by somebody else: the odds take them as a measurement whose document says misread 0.15, and the board on
 * the bench is not what was told of. */
#include "config.h"

#include "bl-bench-told.h"

#include <string.h>

#include "example.h"
#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
} Fixture;

static void
open_job (Fixture *fixture, BlBoard *board)
{
  g_autoptr (GError) error = NULL;

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  gint64 job = bl_bench_start (fixture->library, id, NULL, NULL, &error);
  g_assert_no_error (error);
  fixture->bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (BlBoard) board = example_board ();

  open_job (fixture, board);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static const BlRecord *
last_reading (BlBench *bench)
{
  GPtrArray *records = bl_bench_get_records (bench);

  for (guint i = records->len; i-- > 0;)
    if (((BlRecord *) bl_at (records, i))->kind == BL_RECORD_READING)
      return bl_at (records, i);
  g_assert_not_reached ();
}

static void
enter (BlBench *bench, const char *text)
{
  g_autoptr (GError) error = NULL;

  bl_bench_enter (bench, text, &error);
  g_assert_no_error (error);
}

static double
odds_of (BlBench *bench, const char *component)
{
  bl_bench_settle (bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);

  g_assert_nonnull (diagnosis);
  const BlOdd *odd = bl_diagnosis_find (diagnosis->components, component);
  g_assert_nonnull (odd);
  return odd->probability;
}

/* The rule of the model: e is the misread of the measurement. So the same reading on a board whose document says 0.15
 * there must give the same odds, in every component. */
static void
test_odds (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (BlBoard) board = example_board ();
  Fixture other, plain;
  g_autoptr (GError) error = NULL;
  BlMeasurement *measurement = bl_board_measurement (board, "M5");

  set_up (&plain, NULL);
  measurement->misread = BL_TOLD_MISREAD;
  open_job (&other, board);
  enter (other.bench, "M5 0.1");
  enter (plain.bench, "M5 0.1");
  g_assert_true (bl_bench_enter_told (fixture->bench, "M5", "0.1", "Kim", &error));
  g_assert_no_error (error);
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const char *id = ((BlComponent *) bl_at (board->components, i))->id;
      g_assert_cmpfloat_with_epsilon (odds_of (fixture->bench, id), odds_of (other.bench, id), 1e-12);
    }
  /* And less sure than what was read at the bench. */
  g_assert_cmpfloat (odds_of (fixture->bench, "U2"), <, odds_of (plain.bench, "U2") - 0.001);
  g_assert_cmpfloat (bl_bench_get_diagnosis (fixture->bench)->elsewhere, >,
                     bl_bench_get_diagnosis (plain.bench)->elsewhere);
  tear_down (&other, NULL);
  tear_down (&plain, NULL);
}

static void
test_record (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlMeasurementItem) before = NULL;

  bl_bench_set_meter (fixture->bench, "1%", &error);
  g_assert_no_error (error);
  g_set_object (&before, bl_bench_get_current (fixture->bench));
  g_assert_true (bl_bench_enter_told (fixture->bench, "M5", " 4.98 ", "  Kim ", &error));
  const BlRecord *record = last_reading (fixture->bench);
  g_assert_cmpstr (record->told_by, ==, "Kim");
  g_assert_cmpstr (record->text, ==, "4.98");
  g_assert_cmpfloat (record->misread, ==, 0.15);
  g_assert_null (record->meter);
  g_assert_cmpstr (record->state, ==, "run");
  g_autofree char *words = bl_record_told_words (record);
  g_assert_cmpstr (words, ==, "told by Kim");
  g_autofree char *of_it = bl_bench_told_words (fixture->bench, "M5"), *of_other = bl_bench_told_words (fixture->bench, "M9");
  g_assert_cmpstr (of_it, ==, "told by Kim");
  g_assert_null (of_other);
  /* What is in hand stays, and who is entered from now on. */
  g_assert_true (bl_bench_get_current (fixture->bench) == before);
  g_assert_null (bl_bench_get_told_by (fixture->bench));
  g_assert_cmpstr (bl_bench_last_told_by (fixture->bench), ==, "Kim");
  /* Read at the bench it is not told, and has the meter. */
  enter (fixture->bench, "M5 4.97");
  g_assert_null (last_reading (fixture->bench)->told_by);
  g_assert_true (isnan (last_reading (fixture->bench)->misread));
  g_assert_cmpstr (last_reading (fixture->bench)->meter, ==, "1%");
  /* It is on disk. */
  g_autoptr (BlBench) again
      = bl_bench_new (fixture->library, bl_bench_get_job (fixture->bench)->id, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (bl_bench_last_told_by (again), ==, "Kim");
}

/* A live reading somewhere else neither declares a live state here nor voids the proof taken here. */
static void
test_state (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;

  bl_bench_set_state (bench, "off", &error);
  g_assert_no_error (error);
  bl_bench_take_proof (bench, "230 0.3 230", &error);
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  bl_bench_set_told_by (bench, "Kim");
  g_assert_null (bl_bench_would_declare (bench, bl_bench_find (bench, "M5")));
  enter (bench, "M5 4.98");
  g_assert_cmpstr (bl_bench_get_state (bench)->id, ==, "off");
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  /* The same at the bench does both. */
  bl_bench_set_told_by (bench, " ");
  g_assert_null (bl_bench_get_told_by (bench));
  enter (bench, "M5 4.98");
  g_assert_cmpstr (bl_bench_get_state (bench)->id, ==, "run");
  g_assert_cmpint (bl_bench_get_hazard (bench), !=, BL_HAZARD_PROVEN);
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  guint n = bl_bench_get_records (fixture->bench)->len;

  g_assert_false (bl_bench_enter_told (fixture->bench, "M5", "4.98", "  ", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_bench_enter_told (fixture->bench, "M77", "4.98", "Kim", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_assert_false (bl_bench_enter_told (fixture->bench, "M5", "quite high", "Kim", &error));
  g_assert_nonnull (error);
  g_assert_cmpuint (bl_bench_get_records (fixture->bench)->len, ==, n);
}

/* A document that knows of more stays above. */
static void
test_more (void)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GError) error = NULL;
  Fixture fixture;

  bl_board_measurement (board, "M5")->misread = 0.3;
  open_job (&fixture, board);
  g_assert_true (bl_bench_enter_told (fixture.bench, "M5", "-", "Kim", &error));
  g_assert_cmpfloat (last_reading (fixture.bench)->misread, ==, 0.3);
  tear_down (&fixture, NULL);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/bench-told/odds", Fixture, NULL, set_up, test_odds, tear_down);
  g_test_add ("/bench-told/record", Fixture, NULL, set_up, test_record, tear_down);
  g_test_add ("/bench-told/state", Fixture, NULL, set_up, test_state, tear_down);
  g_test_add ("/bench-told/refused", Fixture, NULL, set_up, test_refused, tear_down);
  g_test_add_func ("/bench-told/more", test_more);
  return g_test_run ();
}
