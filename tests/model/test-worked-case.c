/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worked cases: nothing of whose board it was comes along from a job; every step has odds, reasons and choices; reasons are
 * shown first and asked for later. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-worked-case.h"

#include "example.h"
#include "scratch.h"

#include "bl-bench.h"
#include "bl-library-practice.h"
#include "bl-library-states.h"

#include <math.h>
#include <string.h>

#define SECRET "Quillonia"

typedef struct
{
  char *folder, *path;
  BlLibrary *shop;
  BlPractice *practice;
  gint64 board, job;
} Fixture;

static void
append (Fixture *fixture, BlRecordKind kind, const char *subject, const char *text, const char *state)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);

  record->job = fixture->job;
  record->state = g_strdup (state);
  if (kind == BL_RECORD_READING)
    record->told_by = g_strdup (SECRET " told");
  if (kind == BL_RECORD_REPLACED)
    {
      record->old = g_strdup (SECRET " old");
      record->why = g_strdup (SECRET " why");
    }
  bl_library_append (fixture->shop, record, &error);
  g_assert_no_error (error);
}

/* A job with a name wherever one can be written. */
static void
add_job (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = fixture->board;
  job->customer = g_strdup (SECRET " Ltd");
  job->unit = g_strdup ("unit of " SECRET);
  job->serial = g_strdup (SECRET "-4711");
  job->complaint = g_strdup (SECRET " says it is dead");
  job->came_with = g_strdup ("remote of " SECRET);
  fixture->job = bl_library_add_job (fixture->shop, job, &error);
  append (fixture, BL_RECORD_METER, NULL, "0.5%", NULL);
  append (fixture, BL_RECORD_NOTE, NULL, SECRET " called", NULL);
  append (fixture, BL_RECORD_SYMPTOM, "E1", "yes", NULL);
  append (fixture, BL_RECORD_READING, "M9", "- under a sticker of " SECRET, "off");
  append (fixture, BL_RECORD_READING, "M9", "980k", "off");
  append (fixture, BL_RECORD_READING, "M5", "0.02", "run");
  append (fixture, BL_RECORD_PART_TEST, "F1", "good", NULL);
  append (fixture, BL_RECORD_MARK, NULL, SECRET " mark", NULL);
  append (fixture, BL_RECORD_CAUSE, "F1", "open", NULL);
  append (fixture, BL_RECORD_NO_CAUSE, "F1", NULL, NULL);
  append (fixture, BL_RECORD_CAUSE, "U2", "open", NULL);
  append (fixture, BL_RECORD_CAUSE, "X3", "burnt, says " SECRET, NULL); /* no mode of the document */
  append (fixture, BL_RECORD_CAUSE, SECRET, NULL, NULL);                /* no part of it */
  append (fixture, BL_RECORD_REPLACED, "U2", SECRET " 7805", NULL);
  append (fixture, BL_RECORD_READING, "M5", "5.01", "run");
  job->cause = g_strdup ("U2: open");
  bl_job_set_state (job, BL_JOB_HANDED_BACK);
  g_assert_true (bl_library_save_job (fixture->shop, job, &error));
  g_assert_no_error (error);
}

static void
set_up (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "practice");
  fixture->shop = bl_library_open (":memory:", TRUE, &error);
  fixture->board = bl_library_add_board (fixture->shop, board, FALSE, &error);
  g_assert_no_error (error);
  add_job (fixture);
  fixture->practice = bl_practice_new (fixture->shop, fixture->path, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_assert_finalize_object (fixture->practice);
  bl_library_close (fixture->shop);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static BlWorkedCase *
from_job (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  BlWorkedCase *worked = bl_worked_case_from_job (fixture->practice, fixture->job, &error);

  g_assert_no_error (error);
  bl_worked_case_begin (worked);
  bl_worked_case_settle (worked);
  g_assert_null (bl_worked_case_get_trouble (worked));
  g_assert_true (bl_worked_case_is_whole (worked));
  return worked;
}

/* What a watcher saw when a step came: "1" while more is to come, "3." when the case was whole. */
static void
step_came (BlWorkedCase *worked, GString *seen)
{
  g_string_append_printf (seen, "%u%s ", bl_worked_case_get_steps (worked)->len,
                          bl_worked_case_is_whole (worked) ? "." : "");
}

static void
test_step_by_step (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) seen = g_string_new (NULL);
  BlWorkedCase *worked = bl_worked_case_from_job (fixture->practice, fixture->job, &error);

  g_assert_no_error (error);
  g_assert_false (bl_worked_case_is_whole (worked));
  g_signal_connect (worked, "step", G_CALLBACK (step_came), seen);
  g_signal_connect (worked, "ready", G_CALLBACK (step_came), seen);
  bl_worked_case_begin (worked);
  bl_worked_case_settle (worked);
  g_assert_cmpstr (seen->str, ==, "1 2 3 3. ");
  g_assert_finalize_object (worked);
}

static void
assert_no_name (const char *text)
{
  if (text != NULL)
    g_assert_null (strstr (text, SECRET));
}

static void
test_names_removed (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  BlWorkedCase *worked = from_job (fixture);
  GPtrArray *steps = bl_worked_case_get_steps (worked);

  g_assert_cmpuint (steps->len, ==, 3); /* two readings and a part; what follows the repair is no step */
  for (guint i = 0; i < steps->len; i++)
    {
      const BlWorkedStep *step = g_ptr_array_index (steps, i);
      const char *const all[] = { step->subject, step->title, step->text, step->state, step->black, step->meter,
                                  step->could,   step->why,   step->says };
      for (guint k = 0; k < G_N_ELEMENTS (all); k++)
        assert_no_name (all[k]);
    }
  g_assert_cmpstr (bl_worked_case_get_symptom (worked), ==, "Link fault shown");
  g_assert_cmpuint (g_strv_length ((char **) bl_worked_case_get_causes (worked)), ==, 2); /* F1 was taken back */
  g_assert_cmpstr (bl_worked_case_get_causes (worked)[0], ==, "U2:open");
  g_assert_cmpstr (bl_worked_case_get_causes (worked)[1], ==, "X3");
  gint64 person = bl_practice_add_person (fixture->practice, "ab", &error);
  g_assert_true (bl_worked_case_end (worked, &error));
  g_autoptr (GPtrArray) answers = bl_library_answers (bl_practice_get_library (fixture->practice), person, &error);
  g_assert_cmpuint (answers->len, ==, 1);
  g_assert_cmpstr (((BlAnswer *) g_ptr_array_index (answers, 0))->topic, ==, "supply");
  g_assert_cmpstr (((BlAnswer *) g_ptr_array_index (answers, 0))->what, ==, "U2:open; X3");
  g_assert_finalize_object (worked);

  /* Nor does anything of it get into the file of practice. */
  g_autoptr (GPtrArray) jobs = bl_library_jobs (bl_practice_get_library (fixture->practice), &error);
  g_assert_cmpuint (jobs->len, ==, 0);
  static const char *const beside[] = { "", "-wal" };
  for (guint i = 0; i < G_N_ELEMENTS (beside); i++)
    {
      g_autofree char *name = g_strconcat (fixture->path, beside[i], NULL), *content = NULL;
      gsize length = 0;
      if (g_file_get_contents (name, &content, &length, NULL))
        g_assert_null (memmem (content, length, SECRET, strlen (SECRET)));
    }
}

static double
sum (GPtrArray *odds)
{
  double total = 0;

  for (guint i = 0; i < odds->len; i++)
    {
      const BlWorkedOdd *odd = g_ptr_array_index (odds, i);
      g_assert_true (odd->probability >= 0 && odd->probability <= 1);
      g_assert_true (i == 0 || odd->probability <= ((BlWorkedOdd *) g_ptr_array_index (odds, i - 1))->probability);
      total += odd->probability;
    }
  return total;
}

static void
test_steps (Fixture *fixture, gconstpointer data)
{
  BlWorkedCase *worked = from_job (fixture);
  GPtrArray *steps = bl_worked_case_get_steps (worked);
  const BlWorkedStep *bulk = bl_at (steps, 0), *rail = bl_at (steps, 1), *fuse = bl_at (steps, 2);

  g_assert_cmpstr (bulk->subject, ==, "M9");
  g_assert_cmpstr (rail->text, ==, "0.02");
  g_assert_true (fuse->is_part && fuse->choices == NULL && isnan (fuse->regret_s));
  g_assert_cmpfloat (sum (rail->stages_before), >, 0.5);
  /* What is known after a step is what is known before the next. */
  for (guint i = 0; i < bulk->stages_after->len; i++)
    g_assert_cmpfloat (((BlWorkedOdd *) bl_at (bulk->stages_after, i))->probability, ==,
                       ((BlWorkedOdd *) bl_at (rail->stages_before, i))->probability);
  g_assert_cmpstr (((BlWorkedOdd *) bl_at (fuse->parts_after, 0))->id, ==, "U2");
  g_assert_nonnull (rail->verdict);
  g_assert_nonnull (strstr (rail->could, "5 V rail 4"));
  g_assert_nonnull (strstr (rail->says, "U2"));
  g_assert_nonnull (rail->why);
  for (guint i = 0; i < steps->len; i++)
    {
      const BlWorkedStep *step = bl_at (steps, i);
      guint n_right = 0;
      for (guint k = 0; k < bl_len (step->choices); k++)
        n_right += ((BlWorkedChoice *) bl_at (step->choices, k))->right;
      g_assert_true (step->choices == NULL || n_right > 0); /* the best is among them */
      g_test_message ("%s %s | %s | %s | %s", step->title, step->text, step->could, step->why, step->says);
    }
  /* The better choice of the first step gives no time away, and what was done is among the choices. */
  double least = INFINITY;
  gboolean has_own = FALSE;
  for (guint i = 0; i < bl_len (bulk->choices); i++)
    {
      const BlWorkedChoice *choice = bl_at (bulk->choices, i);
      least = MIN (least, choice->regret_s);
      has_own |= strcmp (choice->measurement, "M9") == 0;
      g_assert_cmpint (choice->right, ==, choice->regret_s <= 0.2 * bulk->best_s);
    }
  g_assert_true (has_own);
  g_assert_cmpfloat (least, ==, 0);
  g_assert_finalize_object (worked);
}

static void
test_sources (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) other = bl_job_new ();
  g_autoptr (GPtrArray) sources = NULL;

  other->board = fixture->board;
  other->cause = g_strdup ("U2");
  bl_job_set_state (other, BL_JOB_HANDED_BACK);
  gint64 bare = bl_library_add_job (fixture->shop, other, &error);
  sources = bl_worked_sources (fixture->practice, NULL, NULL, 10, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (sources->len, ==, 1);
  const BlWorkedSource *source = bl_at (sources, 0);
  g_assert_cmpint (source->job, ==, fixture->job);
  g_assert_cmpuint (source->n_readings, ==, 2);
  g_assert_cmpstr (source->section, ==, "supply");
  assert_no_name (source->title);
  g_assert_null (bl_worked_case_from_job (fixture->practice, bare, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
}

/* A case is of the edition that was chosen, and of the sections; a job first, then one made up, and nothing just met. */
static void
test_next (Fixture *fixture, gconstpointer data)
{
  static const char *const supply[] = { "supply", NULL }, *const link[] = { "link", NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) edition = example_board ();
  BlPracticeSubject subject = { fixture->board, 0 }, other = { 0, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 5 };

  g_free (edition->uid);
  edition->uid = g_strdup ("5c2b1f0a-7d57-4cf1-9a55-0d8f6f0e2d11");
  g_free (edition->edition);
  edition->edition = g_strdup ("D");
  other.board = bl_library_add_board (fixture->shop, edition, FALSE, &error);
  g_assert_no_error (error);
  gint64 person = bl_practice_add_person (fixture->practice, "ab", &error);
  g_autoptr (GPtrArray) none = bl_worked_sources (fixture->practice, &other, NULL, 10, &error);
  g_autoptr (GPtrArray) one = bl_worked_sources (fixture->practice, &subject, supply, 10, &error);
  g_autoptr (GPtrArray) elsewhere = bl_worked_sources (fixture->practice, &subject, link, 10, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (one->len, ==, 1);
  g_assert_cmpuint (elsewhere->len, ==, 0);

  for (guint i = 0; i < 4; i++)
    {
      g_autoptr (BlWorkedCase) worked = bl_worked_case_next (fixture->practice, person, &other, &order, &error);
      g_assert_no_error (error);
      g_assert_cmpstr (bl_worked_case_get_board (worked)->edition, ==, "D");
      g_assert_cmpuint (g_strv_length ((char **) bl_worked_case_get_causes (worked)), ==, 1);
      g_assert_true (bl_worked_case_end (worked, &error));
    }
  g_autoptr (BlWorkedCase) job = bl_worked_case_next (fixture->practice, person, &subject, &order, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_strv_length ((char **) bl_worked_case_get_causes (job)), ==, 2); /* the job's two */
  g_assert_true (bl_worked_case_end (job, &error));
  g_autoptr (BlWorkedCase) made_up = bl_worked_case_next (fixture->practice, person, &subject, &order, &error);
  g_assert_cmpuint (g_strv_length ((char **) bl_worked_case_get_causes (made_up)), ==, 1);
  g_assert_cmpstr (bl_worked_case_get_causes (made_up)[0], !=, "U2:open");
  g_assert_true (bl_worked_case_end (made_up, &error));
  /* The job's turn again, but its fault was just met. */
  g_autoptr (BlWorkedCase) last = bl_worked_case_next (fixture->practice, person, &subject, &order, &error);
  g_assert_cmpuint (g_strv_length ((char **) bl_worked_case_get_causes (last)), ==, 1);
}

static void
test_simulated (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  BlPracticeSubject subject = { fixture->board, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 3 };
  BlWorkedCase *worked = NULL;

  /* A usual fault: one that hardly ever happens is not what the odds say in the end. */
  for (order.seed = 1; worked == NULL; order.seed++)
    {
      worked = bl_worked_case_simulated (fixture->practice, &subject, &order, &error);
      g_assert_no_error (error);
      if (strcmp (bl_worked_case_get_causes (worked)[0], "U2:open") != 0)
        g_clear_object (&worked);
    }
  bl_worked_case_begin (worked);
  bl_worked_case_settle (worked);
  GPtrArray *steps = bl_worked_case_get_steps (worked);
  g_assert_cmpuint (steps->len, >, 0);
  for (guint i = 0; i < steps->len; i++) /* who follows the plan gives no time away */
    {
      const BlWorkedStep *step = bl_at (steps, i);
      g_assert_true (isnan (step->regret_s) || step->regret_s <= 0.2 * step->best_s);
      for (guint j = 0; j < step->stages_before->len; j++) /* nor is what was made up anywhere else */
        g_assert_nonnull (((BlWorkedOdd *) bl_at (step->stages_before, j))->id);
    }
  g_auto (GStrv) cause = g_strsplit (bl_worked_case_get_causes (worked)[0], ":", 2);
  const BlWorkedStep *last = bl_at (steps, steps->len - 1);
  g_assert_cmpstr (((BlWorkedOdd *) bl_at (last->parts_after, 0))->id, ==, cause[0]);
  bl_worked_case_stop (worked);
  g_assert_finalize_object (worked);
}

static void
test_faded (Fixture *fixture, gconstpointer data)
{
  static const BlWorkedHelp expected[] = { BL_WORKED_SHOWN,      BL_WORKED_SHOWN, BL_WORKED_ASKED_NEXT,
                                           BL_WORKED_ASKED_NEXT, BL_WORKED_ASKED, BL_WORKED_ASKED };
  g_autoptr (GError) error = NULL;
  BlWorkedCase *worked = from_job (fixture);
  const BlWorkedStep *step = bl_at (bl_worked_case_get_steps (worked), 0);
  const BlWorkedChoice *first = bl_at (step->choices, 0);

  g_assert_cmpint (bl_worked_case_help (worked), ==, BL_WORKED_SHOWN);
  g_assert_false (bl_worked_case_end (worked, &error)); /* nobody practises */
  g_clear_error (&error);
  gint64 person = bl_practice_add_person (fixture->practice, "ab", &error);
  for (guint i = 0; i < G_N_ELEMENTS (expected); i++)
    {
      g_assert_cmpint (bl_worked_case_help (worked), ==, expected[i]);
      g_assert_true (bl_worked_case_end (worked, &error));
    }
  g_assert_true (bl_worked_case_choose (worked, 0, first->measurement, &error) == first);
  g_assert_null (bl_worked_case_choose (worked, 0, "nothing", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_autoptr (BlPracticeResults) results = bl_practice_results (fixture->practice, person, &error);
  g_assert_cmpuint (results->all.worked_tried, ==, 1); /* what was only shown is not counted */
  g_assert_cmpuint (results->all.worked_right, ==, first->right ? 1 : 0);
  g_assert_finalize_object (worked);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/worked-case/names-removed", Fixture, NULL, set_up, test_names_removed, tear_down);
  g_test_add ("/model/worked-case/step-by-step", Fixture, NULL, set_up, test_step_by_step, tear_down);
  g_test_add ("/model/worked-case/steps", Fixture, NULL, set_up, test_steps, tear_down);
  g_test_add ("/model/worked-case/sources", Fixture, NULL, set_up, test_sources, tear_down);
  g_test_add ("/model/worked-case/next", Fixture, NULL, set_up, test_next, tear_down);
  g_test_add ("/model/worked-case/simulated", Fixture, NULL, set_up, test_simulated, tear_down);
  g_test_add ("/model/worked-case/faded", Fixture, NULL, set_up, test_faded, tear_down);
  return g_test_run ();
}
