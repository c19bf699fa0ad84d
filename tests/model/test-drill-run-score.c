/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The score of a drill: kept with what is due next, once, also where the program was gone before it was there; told before the
 * best plan's way; what was struck is judged as struck, and unsafe acts by the limits the shop had when the drill ended. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "drill-fixture.h"

#include <string.h>

static void
assert_topic (Fixture *fixture, BlTopicKind kind, const char *name, guint n_right, guint n_wrong)
{
  g_autoptr (GPtrArray) topics = bl_practice_topics (fixture->practice, fixture->person, NULL);

  for (guint i = 0; i < topics->len; i++)
    {
      const BlTopic *topic = g_ptr_array_index (topics, i);
      if (topic->kind != kind || strcmp (topic->topic, name) != 0)
        continue;
      g_assert_cmpuint (topic->n_right, ==, n_right);
      g_assert_cmpuint (topic->n_wrong, ==, n_wrong);
      return;
    }
  g_assert_not_reached ();
}

static void
test_scored (Fixture *fixture, gconstpointer data)
{
  gint64 id = add_drill (fixture, BL_DRILL_SINGLE, 3);
  BlDrillRun *run = open_run (fixture, id);
  g_autoptr (GError) error = NULL;

  work_safely (run);
  measure (run, "M5");
  bl_drill_run_settle (run);
  g_assert_cmpuint (fixture->n_scored, ==, 0); /* computed, but not told before the end */
  g_assert_null (bl_drill_run_get_score (run));
  g_assert_null (bl_drill_run_get_best (run));
  g_assert_false (bl_drill_run_conclude (run, "rail99", NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_autoptr (BlDrillRow) sealed = bl_practice_load_drill (fixture->practice, id, NULL);
  g_auto (GStrv) fault = g_strsplit (sealed->faults[0], ":", 2);
  const char *stage = bl_board_component (bl_bench_get_board (bl_drill_run_get_bench (run)), fault[0])->stage;
  g_assert_true (bl_drill_run_conclude (run, stage, fault[0], &error));
  g_assert_no_error (error);
  g_assert_false (bl_bench_is_blind (bl_drill_run_get_bench (run)));
  g_assert_cmpstr (bl_drill_run_get_faults (run)[0], ==, sealed->faults[0]);
  bl_drill_run_settle (run);
  g_assert_null (bl_drill_run_get_trouble (run));
  /* What the screens show then has the odds of the score: a fault that was drawn is nowhere else. */
  bl_bench_settle (bl_drill_run_get_bench (run));
  const BlDiagnosis *shown = bl_bench_get_diagnosis (bl_drill_run_get_bench (run));
  g_assert_cmpfloat (shown->elsewhere, ==, 0);
  g_assert_cmpfloat (bl_diagnosis_find (shown->components, "rail5/other")->probability, ==, 0);
  g_assert_cmpuint (fixture->n_scored, ==, 1);
  const BlDrillScore *score = bl_drill_run_get_score (run);
  g_assert_true (score->stage_right && score->component_right && !score->failed);
  const BlDrillRow *row = bl_drill_run_get_row (run);
  g_assert_true (row->scored && row->stage_right && row->component_right);
  g_assert_cmpstr (row->section_kind, ==, "supply");
  g_assert_cmpuint (row->n_measured, ==, 1);
  g_assert_cmpfloat (row->effort_s, >, 0);
  assert_topic (fixture, BL_TOPIC_SECTION, "supply", 1, 0);
  assert_topic (fixture, BL_TOPIC_FAMILY, row->family, 1, 0);
  g_assert_false (bl_drill_run_measure (run, item (run, "M0"), &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  /* Each step has its line of the log, those named at the end have none. */
  GPtrArray *steps = run->steps;
  const BlRecord *line = g_ptr_array_index (bl_bench_get_records (bl_drill_run_get_bench (run)),
                                            bl_drill_run_record_of (run, 3));
  g_assert_cmpstr (line->subject, ==, "M5");
  g_assert_cmpuint (bl_drill_run_record_of (run, steps->len - 1), ==, G_MAXUINT);
  /* The best way can be looked at on the same bench, with the state that each measurement needs. */
  const char *declared = NULL;
  for (guint i = 0; i < bl_drill_run_get_best (run)->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (bl_drill_run_get_best (run), i);
      if (step->kind == BL_STEP_STATE)
        declared = step->subject;
      if (step->kind == BL_STEP_MEASURE)
        g_assert_cmpstr (bl_measurement_item_get_measurement (item (run, step->subject))->state, ==, declared);
    }
  GPtrArray *records = bl_drill_run_best_records (run);
  guint n_judged = 0;
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (records, i);
      n_judged += record->verdict != NULL;
      g_assert_true (record->verdict == NULL || record->expected != NULL); /* it is shown beside its verdict */
    }
  g_assert_cmpuint (n_judged, >, 0);
  guint n_steps = steps->len;
  g_assert_true (bl_bench_show_log (bl_drill_run_get_bench (run), records, &error));
  g_assert_cmpuint (run->steps->len, ==, n_steps);
  g_assert_finalize_object (run);

  /* Looked at again it is scored again for the screen, and counts once. */
  run = open_run (fixture, id);
  bl_drill_run_settle (run);
  g_assert_nonnull (bl_drill_run_get_score (run));
  assert_topic (fixture, BL_TOPIC_SECTION, "supply", 1, 0);
  g_assert_finalize_object (run);
}

/* Ended, and the program was gone before the score was there. */
static void
test_scored_later (Fixture *fixture, gconstpointer data)
{
  gint64 id = add_drill (fixture, BL_DRILL_SINGLE, 3);
  BlDrillRun *run = open_run (fixture, id);
  g_autoptr (GError) error = NULL;

  work_safely (run);
  measure (run, "M5");
  bl_drill_run_stop (run);
  g_assert_true (bl_drill_run_conclude (run, "rail12", NULL, &error));
  bl_drill_run_settle (run);
  g_assert_false (bl_drill_run_get_row (run)->scored);
  g_assert_finalize_object (run);
  run = open_run (fixture, id);
  bl_drill_run_settle (run);
  g_assert_true (bl_drill_run_get_row (run)->scored);
  g_assert_false (bl_drill_run_get_row (run)->stage_right);
  assert_topic (fixture, BL_TOPIC_SECTION, "supply", 0, 1);
  g_assert_finalize_object (run);
}

static void
awaited_cb (BlDrillRun *run, gboolean *awaited)
{
  *awaited = bl_drill_run_is_best_awaited (run);
}

static void
count_cb (guint *n)
{
  (*n)++;
}

/* Whoever has ended the drill waits for the score alone: the best plan's way comes after it, also where it was being
 * looked for and had to stand back. */
static void
test_score_first (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  for (int looked_for = 0; looked_for < 2; looked_for++)
    {
      BlDrillRun *run = open_run (fixture, add_drill (fixture, BL_DRILL_SINGLE, 3));
      gboolean awaited = FALSE;
      guint n_best = 0;
      g_signal_connect (run, "scored", G_CALLBACK (awaited_cb), &awaited);
      g_signal_connect_swapped (run, "best", G_CALLBACK (count_cb), &n_best);
      work_safely (run);
      while (looked_for && !run->seeking)
        g_main_context_iteration (NULL, TRUE);
      measure (run, "M5");
      g_assert_true (bl_drill_run_conclude (run, "rail12", NULL, &error));
      while (fixture->n_scored == 0)
        g_main_context_iteration (NULL, TRUE);
      if (!looked_for)
        g_assert_true (awaited);
      g_assert_true (bl_drill_run_get_row (run)->scored);
      bl_drill_run_settle (run);
      g_assert_cmpuint (fixture->n_scored, ==, 1);
      g_assert_cmpuint (n_best, ==, awaited ? 1 : 0);
      g_assert_nonnull (bl_drill_run_get_best (run));
      g_assert_false (bl_drill_run_is_best_awaited (run));
      g_assert_finalize_object (run);
    }
}

/* A slip of the pen, struck and typed again: measured twice, but judged as if only the second had been known. */
static void
test_struck (Fixture *fixture, gconstpointer data)
{
  static const char *const faults[] = { "U2:open", NULL };
  BlPracticeSubject subject = { fixture->board, 0 };
  g_autoptr (GError) error = NULL;
  BlDrillRun *run = open_run (fixture, bl_practice_plant (fixture->practice, fixture->person, &subject, faults, &error));
  BlBench *bench = bl_drill_run_get_bench (run);
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (BlDrill) drill = bl_drill_planted (board, faults, &error);

  work_safely (run);
  g_assert_true (bl_bench_enter (bench, "M5 5.0", &error));
  bl_drill_run_settle (run); /* scored while it still was evidence */
  const BlRecord *slip = bl_measurement_item_get_record (item (run, "M5"));
  g_assert_true (bl_bench_strike (bench, slip->id, "slip", &error));
  g_assert_true (bl_bench_enter (bench, "M5 0.02", &error));
  g_assert_true (bl_drill_run_conclude (run, NULL, "U2", &error));
  bl_drill_run_settle (run);
  const BlDrillScore *score = bl_drill_run_get_score (run);
  const BlDrillStep *measured[2] = { NULL, NULL };
  guint n = 0;
  for (guint i = 0; i < score->steps->len; i++)
    if (((const BlDrillStep *) bl_at (score->steps, i))->kind == BL_STEP_MEASURE && n < 2)
      measured[n++] = bl_at (score->steps, i);
  g_assert_cmpuint (n, ==, 2);
  g_assert_cmpuint (score->n_measured, ==, 2);
  g_assert_true (measured[0]->struck && !measured[1]->struck);
  g_assert_cmpstr (measured[1]->best, ==, measured[0]->best);
  g_assert_cmpfloat_with_epsilon (measured[1]->regret_s, measured[0]->regret_s, 1e-9);
  g_autoptr (GPtrArray) evidence = bl_drill_evidence (drill, score->steps, G_MAXUINT, &error);
  g_assert_no_error (error);
  const BlEntry *last = bl_at (evidence, evidence->len - 1);
  g_test_message ("%u entries", evidence->len);
  g_assert_cmpuint (evidence->len, ==, bl_drill_symptom (drill) != NULL ? 2 : 1);
  g_assert_cmpstr (last->text, ==, "0.02");
  g_assert_finalize_object (run);
}

/* A list of the measurements alone is worth the same as the log, which has the states they declared as well. */
static void
test_as_a_list (Fixture *fixture, gconstpointer data)
{
  BlDrillRun *run = open_run (fixture, add_drill (fixture, BL_DRILL_SINGLE, 3));
  static const char *const measured[] = { "M0", "M5", "V1" }; /* M9 after a live state: the bench asks for more */
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 3 };
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDrill) drill = bl_drill_new (board, &order, &error);

  for (guint i = 0; i < G_N_ELEMENTS (measured); i++)
    {
      g_autofree char *text = bl_drill_read (drill, measured[i], 0, &error);
      measure (run, measured[i]);
      g_ptr_array_add (list, bl_drill_step_new (BL_STEP_MEASURE, measured[i], text));
    }
  g_ptr_array_add (list, bl_drill_step_new (BL_STEP_COMPONENT, "U2", NULL));
  g_assert_true (bl_drill_run_conclude (run, NULL, "U2", &error));
  bl_drill_run_settle (run);
  const BlDrillScore *score = bl_drill_run_get_score (run);
  g_autoptr (BlDrillScore) other = bl_drill_score (drill, list, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (score->steps->len, >, other->steps->len); /* the states that were declared */
  g_assert_cmpfloat_with_epsilon (score->regret_s, other->regret_s, 1e-9);
  g_assert_cmpfloat_with_epsilon (score->effort_s, other->effort_s, 1e-9);
  g_assert_cmpuint (score->n_measured, ==, other->n_measured);
  g_assert_cmpuint (score->n_right, ==, other->n_right);
  g_assert_cmpuint (score->unsafe, ==, other->unsafe);
  g_assert_cmpint (score->stage_right, ==, other->stage_right);
  g_assert_finalize_object (run);
}

static gint64 now;

static gint64
test_clock (void)
{
  return now;
}

/* The line that keeps the limits has figures alone, which no translation changes; the words are made when it is shown. */
static void
check_kept (BlDrillRun *run, const char *text, const char *words)
{
  GPtrArray *records = bl_bench_get_records (bl_drill_run_get_bench (run));
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      g_autofree char *said = bl_drill_limits_words (record);
      g_assert_true ((said != NULL) == (record->kind == BL_RECORD_NOTE && g_strcmp0 (record->subject, "limits") == 0));
      if (said == NULL)
        continue;
      n++;
      g_assert_cmpstr (record->text, ==, text);
      g_assert_nonnull (strstr (said, words));
    }
  g_assert_cmpuint (n, ==, 1);
}

/* Proved dead, then ohms after so many seconds. Returns the unsafe acts, as they are told and as they are kept. */
static guint
work_ohms (Fixture *fixture, const BlSafeLimits *limits, guint seconds)
{
  gint64 id = add_drill (fixture, BL_DRILL_SINGLE, 1);
  BlDrillRun *run = open_run (fixture, id);
  g_autoptr (GError) error = NULL;

  now = G_GINT64_CONSTANT (1796040000) * G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
  bl_bench_set_limits (bl_drill_run_get_bench (run), limits); /* as the window does */
  bl_bench_set_state (bl_drill_run_get_bench (run), "off", &error);
  g_assert_true (bl_bench_take_proof (bl_drill_run_get_bench (run), "12.0 8.0 12.0", &error));
  now += seconds * (gint64) G_USEC_PER_SEC;
  measure (run, "M9");
  g_assert_true (bl_drill_run_conclude (run, NULL, "U2", &error));
  g_assert_no_error (error);
  bl_drill_run_settle (run);
  guint acts = fixture->acts;
  g_assert_cmpuint (bl_drill_run_get_score (run)->unsafe, ==, acts);
  g_assert_cmpint (bl_drill_run_get_row (run)->failed, ==, acts != 0);
  g_assert_finalize_object (run);

  g_autofree char *text = g_strdup_printf ("60 30 %.0f %s", limits->ohms_below, limits->again_s > 20.5 ? "60" : "20.5");
  g_autofree char *words = g_strdup_printf ("60 V DC or 30 V AC, ohms below %g V, proved again after %g s",
                                            limits->ohms_below, limits->again_s);
  /* Looked at again in a shop with other limits: judged by those it ended with. */
  const BlSafeLimits others[] = { BL_SAFE_LIMITS, { 50, 25, 2, 1 } };
  run = open_run (fixture, id);
  check_kept (run, text, words);
  for (guint i = 0; i < G_N_ELEMENTS (others); i++)
    {
      bl_bench_set_limits (bl_drill_run_get_bench (run), &others[i]);
      g_assert_cmpuint (bl_drill_run_get_unsafe (run), ==, acts);
    }
  bl_drill_run_settle (run);
  g_assert_cmpuint (bl_drill_run_get_score (run)->unsafe, ==, acts);
  g_assert_finalize_object (run);
  bl_library_set_clock (NULL);
  return acts;
}

/* The shop's own limits hold in a drill, not those that a shop begins with. */
static void
test_limits (Fixture *fixture, gconstpointer data)
{
  const BlSafeLimits usual = BL_SAFE_LIMITS, strict = { 60, 30, 5, 60 }, hasty = { 60, 30, 10, 20.5 };

  g_assert_cmpuint (work_ohms (fixture, &usual, 30), ==, 0);
  g_assert_cmpuint (work_ohms (fixture, &strict, 30), ==, BL_UNSAFE_UNPROVEN); /* 8 V are too much for its ohms */
  g_assert_cmpuint (work_ohms (fixture, &hasty, 30), ==, BL_UNSAFE_UNPROVEN);  /* it proves again after 20.5 s */
  g_assert_cmpuint (work_ohms (fixture, &hasty, 20), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/drill-run-score/scored", Fixture, NULL, set_up, test_scored, tear_down);
  g_test_add ("/model/drill-run-score/scored-later", Fixture, NULL, set_up, test_scored_later, tear_down);
  g_test_add ("/model/drill-run-score/score-first", Fixture, NULL, set_up, test_score_first, tear_down);
  g_test_add ("/model/drill-run-score/as-a-list", Fixture, NULL, set_up, test_as_a_list, tear_down);
  g_test_add ("/model/drill-run-score/struck", Fixture, NULL, set_up, test_struck, tear_down);
  g_test_add ("/model/drill-run-score/limits", Fixture, NULL, set_up, test_limits, tear_down);
  return g_test_run ();
}
