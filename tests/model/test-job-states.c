/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a job stands: what the bench does moves it on, each change is a line of the log, undo takes both back; a job that
 * comes back is another one and marks the first. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bundle.h"
#include "bl-job-states.h"
#include "bl-library-steps.h"

typedef struct
{
  BlLibrary *library;
  gint64 board;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);

  g_assert_no_error (error);
  f->library = bl_library_open (":memory:", TRUE, &error);
  f->board = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->library, bl_library_close);
}

static gint64
add_job (Fixture *f, BlJobState state)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;

  job->board = f->board;
  job->customer = g_strdup ("Ms Okafor");
  bl_job_set_state (job, state);
  gint64 id = bl_library_add_job (f->library, job, &error);
  g_assert_no_error (error);
  return id;
}

static BlBench *
open_job (Fixture *f, gint64 job)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = bl_bench_new (f->library, job, &error);
  g_assert_no_error (error);
  return bench;
}

/* "waiting > on the bench" of the lines that stand. */
static char *
log_of (Fixture *f, gint64 job)
{
  g_autoptr (GPtrArray) records = bl_library_records (f->library, job, NULL);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->kind == BL_RECORD_JOB && !record->struck)
        g_string_append_printf (text, "%s%s > %s", text->len > 0 ? "; " : "", record->subject, record->text);
    }
  return g_string_free (text, FALSE);
}

#define LOG(f, job, expected)                                                                                          \
  {                                                                                                                    \
    g_autofree char *lines = log_of (f, job);                                                                          \
    g_assert_cmpstr (lines, ==, expected);                                                                             \
  }

static BlJobState
state_of (Fixture *f, gint64 job)
{
  g_autoptr (BlJob) head = bl_library_load_job (f->library, job, NULL);
  g_assert_nonnull (head);
  g_assert_true (head->closed == bl_job_state_is_closed (head->state));
  g_assert_true ((head->handed_back != 0) == head->closed);
  return head->state;
}

/* Looking at a waiting job leaves it waiting; the first reading puts it on the bench, and undo takes both back. */
static void
test_work_begins (Fixture *f, gconstpointer data)
{
  gint64 job = add_job (f, BL_JOB_WAITING);
  g_autoptr (BlBench) bench = open_job (f, job);
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_note (bench, "# customer rang", &error));
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_WAITING);
  g_assert_true (bl_bench_enter (bench, "4.98", &error));
  g_assert_no_error (error);
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_ON_THE_BENCH);
  g_assert_cmpint (bl_bench_get_job (bench)->state, ==, BL_JOB_ON_THE_BENCH);
  LOG (f, job, "waiting > on the bench");
  g_assert_true (bl_bench_undo (bench, &error));
  g_assert_no_error (error);
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_WAITING);
  LOG (f, job, "");
  g_assert_true (bl_bench_redo (bench, &error));
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_ON_THE_BENCH);
  LOG (f, job, "waiting > on the bench");
}

static void
test_said (Fixture *f, gconstpointer data)
{
  gint64 job = add_job (f, BL_JOB_ON_THE_BENCH);
  g_autoptr (BlBench) bench = open_job (f, job);
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_set_job_state (bench, BL_JOB_WAITING_FOR_PARTS, &error));
  g_assert_true (bl_bench_set_job_state (bench, BL_JOB_NOT_ECONOMICAL, &error));
  g_assert_true (bl_bench_get_job (bench)->closed);
  LOG (f, job, "on the bench > waiting for parts; waiting for parts > not economical");
  g_autofree char *label = bl_bench_get_undo_label (bench);
  g_assert_cmpstr (label, ==, "end of the job");
  g_assert_true (bl_bench_undo (bench, &error));
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_WAITING_FOR_PARTS);
  /* Said again it is no second line. */
  g_assert_true (bl_bench_set_job_state (bench, BL_JOB_WAITING_FOR_PARTS, &error));
  LOG (f, job, "on the bench > waiting for parts");
  g_assert_true (bl_bench_end_job (bench, TRUE, &error));
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_HANDED_BACK);
  /* A line in an ended job ends nothing else and takes nothing up. */
  g_assert_true (bl_bench_enter (bench, "4.98", &error));
  g_assert_cmpint (state_of (f, job), ==, BL_JOB_HANDED_BACK);
}

static void
test_leads (void)
{
  g_assert_cmpint (bl_job_state_after (BL_JOB_WAITING, BL_RECORD_NOTE), ==, BL_JOB_WAITING);
  g_assert_cmpint (bl_job_state_after (BL_JOB_WAITING_FOR_PARTS, BL_RECORD_REPLACED), ==, BL_JOB_ON_THE_BENCH);
  g_assert_cmpint (bl_job_state_after (BL_JOB_ON_THE_BENCH, BL_RECORD_TEST), ==, BL_JOB_PROVING);
  g_assert_cmpint (bl_job_state_after (BL_JOB_PROVING, BL_RECORD_READING), ==, BL_JOB_PROVING);
  g_assert_cmpint (bl_job_state_after (BL_JOB_PROVING, BL_RECORD_REPLACED), ==, BL_JOB_ON_THE_BENCH);
  for (int kind = 0; kind <= BL_RECORD_JOB; kind++)
    for (int state = BL_JOB_HANDED_BACK; state < BL_N_JOB_STATES; state++)
      g_assert_cmpint (bl_job_state_after ((BlJobState) state, (BlRecordKind) kind), ==, state);
}

static void
test_return (Fixture *f, gconstpointer data)
{
  gint64 first = add_job (f, BL_JOB_ON_THE_BENCH);
  g_autoptr (GError) error = NULL;
  g_auto (BlStepTaken) taken = { 0 };

  g_assert_cmpint (bl_jobs_take_back (f->library, first, NULL, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_true (bl_jobs_set_state (f->library, first, BL_JOB_HANDED_BACK, &error));
  gint64 second = bl_jobs_take_back (f->library, first, "dark again", &error);
  g_assert_no_error (error);
  g_autoptr (BlJob) back = bl_library_load_job (f->library, second, NULL);
  g_assert_cmpint (back->return_of, ==, first);
  g_assert_cmpint (back->state, ==, BL_JOB_WAITING);
  g_assert_cmpstr (back->customer, ==, "Ms Okafor");
  g_assert_cmpint (state_of (f, first), ==, BL_JOB_RETURNED);
  LOG (f, first, "on the bench > handed back; handed back > returned");
  g_assert_true (bl_library_take_step (f->library, BL_STEPS_JOBS, 0, TRUE, &taken, &error));
  g_assert_no_error (error);
  g_assert_cmpint (state_of (f, first), ==, BL_JOB_HANDED_BACK);
  g_autoptr (GPtrArray) left = bl_library_jobs (f->library, NULL);
  g_assert_cmpuint (left->len, ==, 1);
  g_assert_cmpint (((BlJob *) g_ptr_array_index (left, 0))->id, ==, first);
  LOG (f, first, "on the bench > handed back");
}

/* Whoever links a job by hand marks the first one too. */
static void
test_linked (Fixture *f, gconstpointer data)
{
  gint64 first = add_job (f, BL_JOB_HANDED_BACK);
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = f->board;
  gint64 id = bl_library_add_job (f->library, job, NULL);
  g_autoptr (BlJob) head = bl_library_load_job (f->library, id, NULL);
  head->return_of = first;
  g_assert_true (bl_library_save_job (f->library, head, NULL));
  g_assert_cmpint (state_of (f, first), ==, BL_JOB_RETURNED);
}

static gint64
later (void)
{
  return g_get_real_time () + (gint64) 12 * 24 * 3600 * G_USEC_PER_SEC;
}

static void
test_since (Fixture *f, gconstpointer data)
{
  gint64 job = add_job (f, BL_JOB_WAITING), other = add_job (f, BL_JOB_WAITING);
  gint64 now = g_get_real_time ();

  g_assert_true (bl_jobs_set_state (f->library, job, BL_JOB_WAITING_FOR_PARTS, NULL));
  g_autoptr (GHashTable) since = bl_library_states_since (f->library, NULL);
  const gint64 *time = g_hash_table_lookup (since, &job);
  g_assert_cmpint (ABS (*time - now), <, 60 * G_USEC_PER_SEC);
  g_assert_null (g_hash_table_lookup (since, &other));
  g_autoptr (BlJob) head = bl_library_load_job (f->library, job, NULL);
  g_autofree char *today = bl_job_since_words (head, *time, now), *days = bl_job_since_words (head, *time, later ());
  g_assert_cmpstr (today, ==, "waiting for parts since today");
  g_assert_cmpstr (days, ==, "waiting for parts for 12 days");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(path, func) g_test_add (path, Fixture, NULL, set_up, func, tear_down)
  ADD ("/model/job-states/work-begins", test_work_begins);
  ADD ("/model/job-states/said", test_said);
  g_test_add_func ("/model/job-states/leads", test_leads);
  ADD ("/model/job-states/return", test_return);
  ADD ("/model/job-states/linked", test_linked);
  ADD ("/model/job-states/since", test_since);
  return g_test_run ();
}
