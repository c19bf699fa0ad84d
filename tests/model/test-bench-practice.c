/* SPDX-License-Identifier: GPL-3.0-or-later
 * A job that is practised on: blind nothing is made of its readings; another log is shown and never written. */
#include "config.h"

#include "bl-bench-practice.h"
#include "bl-bundle.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 board;
  BlBench *bench;
} Fixture;

static BlBench *
open_new (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  gint64 job = bl_bench_start (f->library, f->board, NULL, NULL, &error);
  g_assert_no_error (error);
  BlBench *bench = bl_bench_new (f->library, job, &error);
  g_assert_no_error (error);
  return bench;
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);

  g_assert_no_error (error);
  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "test.benchlore-library");
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
  f->board = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
  f->bench = open_new (f);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  g_clear_object (&f->bench);
  g_clear_pointer (&f->library, bl_library_close);
  g_free (f->path);
  scratch_free (f->folder);
}

static void
enter (BlBench *bench, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_test_message ("typed: %s", text);
  bl_bench_enter (bench, text, &error);
  g_assert_no_error (error);
}

static void
refused (BlBench *bench, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_assert_false (bl_bench_enter (bench, text, &error));
  g_assert_nonnull (error);
}

static guint
n_lines (Fixture *f)
{
  g_autoptr (GPtrArray) records = bl_library_records (f->library, bl_bench_get_job (f->bench)->id, NULL);

  return records->len;
}

static double
odds_of (BlBench *bench, const char *component)
{
  bl_bench_settle (bench);
  g_assert_nonnull (bl_bench_get_diagnosis (bench));
  return bl_diagnosis_find (bl_bench_get_diagnosis (bench)->components, component)->probability;
}

static void
test_blind (Fixture *f, gconstpointer unused)
{
  double seen;

  enter (f->bench, "M5 0.1");
  bl_bench_set_blind (f->bench, TRUE); /* the question is under way */
  bl_bench_settle (f->bench);
  g_assert_null (bl_bench_get_diagnosis (f->bench));
  enter (f->bench, "V1 yes");
  bl_bench_settle (f->bench);
  g_assert_null (bl_bench_get_diagnosis (f->bench));
  g_assert_null (bl_bench_get_trouble (f->bench));
  bl_bench_set_blind (f->bench, FALSE);
  seen = odds_of (f->bench, "U2");
  bl_bench_set_blind (f->bench, TRUE); /* what was shown goes */
  g_assert_null (bl_bench_get_diagnosis (f->bench));

  g_autoptr (BlBench) other = open_new (f);
  enter (other, "M5 0.1");
  enter (other, "V1 yes");
  g_assert_cmpfloat_with_epsilon (odds_of (other, "U2"), seen, 1e-12);
}

/* As it stood after a line: the odds are those of a job that has no more. */
static void
test_first (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlBench) other = open_new (f);
  g_autoptr (GError) error = NULL;
  guint before, all;

  enter (f->bench, "V1 yes");
  enter (other, "V1 yes");
  before = n_lines (f);
  enter (f->bench, "M5 0.1");
  enter (f->bench, "U2 cause");
  all = n_lines (f);
  bl_bench_settle (f->bench);
  g_assert_nonnull (bl_bench_get_diagnosis (f->bench));
  g_assert_true (bl_bench_show_first (f->bench, before, &error));
  g_assert_null (bl_bench_get_diagnosis (f->bench)); /* not the odds of another step, until its own are there */
  g_assert_true (bl_bench_is_busy (f->bench));
  g_assert_cmpuint (bl_bench_get_records (f->bench)->len, ==, before);
  g_assert_null (bl_measurement_item_get_record (bl_bench_find (f->bench, "M5")));
  g_assert_nonnull (bl_measurement_item_get_record (bl_bench_find (f->bench, "V1")));
  g_assert_cmpfloat_with_epsilon (odds_of (f->bench, "U2"), odds_of (other, "U2"), 1e-12);
  g_assert_false (bl_bench_can_undo (f->bench));
  g_assert_false (bl_bench_undo (f->bench, NULL));
  refused (f->bench, "M5 4.9");
  refused (f->bench, "# looks burnt");
  g_assert_false (bl_bench_set_state (f->bench, "run", NULL));
  g_assert_false (bl_bench_end_job (f->bench, TRUE, NULL));
  g_assert_cmpuint (n_lines (f), ==, all);
  g_autoptr (BlJob) job = bl_library_load_job (f->library, bl_bench_get_job (f->bench)->id, &error);
  g_assert_cmpstr (job->cause, ==, "U2");

  g_assert_true (bl_bench_show_log (f->bench, NULL, &error));
  g_assert_cmpuint (bl_bench_get_records (f->bench)->len, ==, all);
  enter (f->bench, "M5 4.9");
}

/* Lines of nobody's log are judged as the bench would have judged them. */
static void
test_other (Fixture *f, gconstpointer unused)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free);
  g_autoptr (BlBench) other = open_new (f);
  g_autoptr (GError) error = NULL;

  g_ptr_array_add (lines, bl_record_new (BL_RECORD_NOTE, NULL, "begun"));
  g_ptr_array_add (lines, bl_record_new (BL_RECORD_READING, "V1", "yes"));
  g_ptr_array_add (lines, bl_record_new (BL_RECORD_READING, "M5", "0.1"));
  g_assert_true (bl_bench_judge_log (f->bench, lines, &error));
  g_assert_true (bl_bench_show_log (f->bench, lines, &error));
  enter (other, "V1 yes");
  enter (other, "M5 0.1");
  for (guint i = 0; i < 2; i++)
    {
      const char *id = i == 0 ? "V1" : "M5";
      const BlVerdict *one = bl_measurement_item_get_verdict (bl_bench_find (f->bench, id));
      const BlVerdict *two = bl_measurement_item_get_verdict (bl_bench_find (other, id));
      g_assert_nonnull (one);
      g_assert_cmpstr (bl_verdict_label (one), ==, bl_verdict_label (two));
    }
  g_assert_cmpfloat_with_epsilon (odds_of (f->bench, "U2"), odds_of (other, "U2"), 1e-12);
  g_assert_cmpuint (n_lines (f), ==, 0);
}

static void
test_typed (Fixture *f, gconstpointer unused)
{
  BlMeasurementItem *m9 = bl_bench_find (f->bench, "M9");

  bl_bench_select (f->bench, m9);
  g_assert_true (bl_bench_typed_reading (f->bench, "12.1") == m9);
  g_assert_true (bl_bench_typed_reading (f->bench, "M5 5.0") == bl_bench_find (f->bench, "M5"));
  g_assert_null (bl_bench_typed_reading (f->bench, "TP5"));
  g_assert_null (bl_bench_typed_reading (f->bench, "# 12"));
  g_assert_cmpstr (bl_bench_typed_part (f->bench, "x3"), ==, "X3");
  g_assert_cmpstr (bl_bench_typed_part (f->bench, "U2 good"), ==, "U2");
  g_assert_null (bl_bench_typed_part (f->bench, "M5 5.0"));
  g_assert_null (bl_bench_typed_part (f->bench, "nothing"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/bench-practice/blind", Fixture, NULL, set_up, test_blind, tear_down);
  g_test_add ("/model/bench-practice/first", Fixture, NULL, set_up, test_first, tear_down);
  g_test_add ("/model/bench-practice/other", Fixture, NULL, set_up, test_other, tear_down);
  g_test_add ("/model/bench-practice/typed", Fixture, NULL, set_up, test_typed, tear_down);
  return g_test_run ();
}
