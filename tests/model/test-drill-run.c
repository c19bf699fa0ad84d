/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A drill that is worked on: every act is on disk before it is shown, one broken off goes on where it stood, unsafe acts
 * are told at once. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "drill-fixture.h"

/* Kinds and subjects of the steps: "6- 1off ..." */
static char *
steps_text (BlDrillRun *run)
{
  GPtrArray *steps = run->steps;
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < steps->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (steps, i);
      g_string_append_printf (text, "%s%d%s", i > 0 ? " " : "", (int) step->kind, step->subject != NULL ? step->subject : "-");
    }
  return g_string_free (text, FALSE);
}

/* What the file says, looked at by another connection. */
static guint
records_on_disk (Fixture *fixture, gint64 job)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) other = bl_library_open (fixture->path, FALSE, &error);
  g_autoptr (GPtrArray) records = bl_library_records (other, job, &error);

  g_assert_no_error (error);
  return records->len;
}

typedef struct
{
  Fixture *fixture;
  BlDrillRun *run;
  guint n;
} Watch;

static void
on_disk_cb (Watch *watch)
{
  guint shown = bl_bench_get_records (bl_drill_run_get_bench (watch->run))->len;

  g_assert_cmpuint (records_on_disk (watch->fixture, bl_drill_run_get_row (watch->run)->job), ==, shown);
  watch->n++;
}

static void
test_on_disk_first (Fixture *fixture, gconstpointer data)
{
  BlDrillRun *run = open_run (fixture, add_drill (fixture, BL_DRILL_SINGLE, 1));
  Watch watch = { fixture, run, 0 };
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_is_blind (bl_drill_run_get_bench (run)));
  g_assert_cmpstr (bl_drill_run_get_symptom (run), ==, "E1");
  g_assert_null (bl_drill_run_get_faults (run));
  g_signal_connect_swapped (bl_drill_run_get_bench (run), "changed", G_CALLBACK (on_disk_cb), &watch);
  work_safely (run);
  measure (run, "M5");
  g_assert_true (bl_drill_run_test_part (run, "F1", &error));
  g_assert_cmpuint (watch.n, ==, 5);
  g_assert_cmpuint (fixture->n_changed, ==, 5);
  g_assert_cmpuint (fixture->acts, ==, 0);
  g_autofree char *text = steps_text (run);
  g_assert_cmpstr (text, ==, "4- 1run 3- 0M5 5F1");
  bl_drill_run_stop (run);
  bl_drill_run_settle (run);
  g_assert_finalize_object (run);
}

/* Broken off, by whatever: it goes on with the same fault and the same readings. */
static void
test_taken_up (Fixture *fixture, gconstpointer data)
{
  gint64 id = add_drill (fixture, BL_DRILL_SINGLE, 3), same = bl_practice_give (fixture->practice, id, fixture->person, NULL);
  BlDrillRun *run = open_run (fixture, id);
  g_autofree char *before = NULL, *text = NULL, *fault = NULL;

  work_safely (run);
  measure (run, "M5");
  before = g_strdup (bl_measurement_item_get_record (item (run, "M5"))->text);
  bl_drill_run_stop (run);
  bl_drill_run_settle (run);
  g_assert_finalize_object (run);
  close_both (fixture);
  open_both (fixture);

  run = open_run (fixture, id);
  text = steps_text (run);
  g_assert_cmpstr (text, ==, "4- 1run 3- 0M5");
  g_assert_cmpstr (bl_measurement_item_get_record (item (run, "M5"))->text, ==, before);
  g_assert_true (bl_drill_run_cautions_read (run));
  g_autoptr (BlDrillRow) row = bl_practice_load_drill (fixture->practice, id, NULL);
  fault = g_strdup (row->faults[0]);
  bl_drill_run_stop (run);
  bl_drill_run_settle (run);
  g_assert_finalize_object (run);

  /* Given again, it is the same drill. */
  run = open_run (fixture, same);
  measure (run, "M5");
  g_assert_cmpstr (bl_measurement_item_get_record (item (run, "M5"))->text, ==, before);
  g_autoptr (BlDrillRow) other = bl_practice_load_drill (fixture->practice, same, NULL);
  g_assert_cmpstr (other->faults[0], ==, fault);
  bl_drill_run_stop (run);
  bl_drill_run_settle (run);
  g_assert_finalize_object (run);
}

static void
test_unsafe (Fixture *fixture, gconstpointer data)
{
  BlDrillRun *run = open_run (fixture, add_drill (fixture, BL_DRILL_SINGLE, 1));
  g_autoptr (GError) error = NULL;

  measure (run, "M5"); /* live, and nobody read the cautions */
  g_assert_cmpuint (fixture->acts & BL_UNSAFE_NO_CAUTIONS, !=, 0);
  fixture->acts = 0;
  measure (run, "M9"); /* ohms while it is still declared live */
  g_assert_cmpuint (fixture->acts & (BL_UNSAFE_OHMS_LIVE | BL_UNSAFE_UNPROVEN), !=, 0);
  fixture->acts = 0;
  bl_bench_set_state (bl_drill_run_get_bench (run), "off", &error);
  g_assert_true (bl_drill_run_prove (run, &error));
  g_assert_no_error (error);
  measure (run, "M9");
  g_assert_cmpuint (fixture->acts, ==, 0);
  g_assert_cmpuint (bl_drill_run_get_unsafe (run) & BL_UNSAFE_NO_CAUTIONS, !=, 0);
  /* Striking a reading does not undo that it was taken. */
  guint n = run->steps->len;
  bl_bench_strike (bl_drill_run_get_bench (run), bl_measurement_item_get_record (item (run, "M5"))->id, "slip", &error);
  g_assert_cmpuint (run->steps->len, ==, n);
  g_assert_true (bl_drill_run_conclude (run, "rail5", "U2", &error));
  bl_drill_run_settle (run);
  g_assert_null (bl_drill_run_get_trouble (run));
  g_assert_true (bl_drill_run_get_row (run)->failed);
  g_assert_finalize_object (run);
}

static void
test_planted (Fixture *fixture, gconstpointer data)
{
  static const char *const faults[] = { "U2:open", NULL };
  BlPracticeSubject subject = { fixture->board, 0 };
  g_autoptr (GError) error = NULL;
  gint64 id = bl_practice_plant (fixture->practice, fixture->person, &subject, faults, &error);
  BlDrillRun *run = open_run (fixture, id);

  g_assert_null (bl_drill_run_get_symptom (run));
  g_assert_null (bl_drill_run_get_faults (run));
  g_assert_false (bl_drill_run_measure (run, item (run, "M5"), &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  work_safely (run);
  g_assert_true (bl_bench_enter (bl_drill_run_get_bench (run), "M5 0.02", &error));
  g_assert_true (bl_drill_run_conclude (run, NULL, "U2", &error));
  bl_drill_run_settle (run);
  g_assert_null (bl_drill_run_get_trouble (run));
  g_assert_true (bl_drill_run_get_score (run)->component_right);
  g_assert_true (bl_drill_run_get_row (run)->stage_right); /* the stage of a part that was named */
  g_assert_cmpstr (bl_drill_run_get_faults (run)[0], ==, "U2:open");
  g_assert_finalize_object (run);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/drill-run/on-disk-first", Fixture, NULL, set_up, test_on_disk_first, tear_down);
  g_test_add ("/model/drill-run/taken-up", Fixture, NULL, set_up, test_taken_up, tear_down);
  g_test_add ("/model/drill-run/unsafe", Fixture, NULL, set_up, test_unsafe, tear_down);
  g_test_add ("/model/drill-run/planted", Fixture, NULL, set_up, test_planted, tear_down);
  return g_test_run ();
}
