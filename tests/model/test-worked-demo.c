/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demo library has a job for each board that becomes a worked case: its readings lead to its cause, and nobody's name is
 * left in what the steps are made from. Usage: test-worked-demo LIBRARY */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-worked-private.h"

#include "scratch.h"

#include "bl-diagnosis.h"

#include "bl-library-states.h"

#include <string.h>

static const char *demo;

/* All texts of the case, as one. */
static char *
text_of (const BlWorkedCase *worked)
{
  GString *all = g_string_new (worked->symptom);

  for (guint i = 0; i < worked->entries->len; i++)
    {
      const BlEntry *entry = bl_at (worked->entries, i);
      const char *const texts[] = { entry->subject, entry->text, entry->state, entry->black, entry->meter };
      for (guint k = 0; k < G_N_ELEMENTS (texts); k++)
        g_string_append_printf (all, " | %s", texts[k] != NULL ? texts[k] : "");
    }
  for (guint i = 0; worked->causes[i] != NULL; i++)
    g_string_append_printf (all, " | %s", worked->causes[i]);
  return g_string_free (all, FALSE);
}

/* What the readings say in the end. */
static void
assert_found (const BlWorkedCase *worked)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (worked->board, &error);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, worked->entries, BL_DIAGNOSE_ODDS, NULL, &error);
  g_auto (GStrv) cause = g_strsplit (worked->causes[0], ":", 2);

  g_assert_no_error (error);
  const BlOdd *likeliest = bl_at (diagnosis->components, 0);
  g_assert_cmpstr (likeliest->id, ==, cause[0]);
  g_assert_cmpfloat (likeliest->probability, >, 0.8);
}

static void
assert_without (const char *text, const char *secret)
{
  g_assert_nonnull (secret);
  g_assert_cmpuint (strlen (secret), >, 3);
  g_assert_null (strstr (text, secret));
}

/* What is said of a measurement agrees with itself: of one that could tell nothing no one says that it was right. The
 * first step will do. */
static void
check_first_step (BlWorkedCase *worked)
{
  bl_worked_case_begin (worked);
  while (bl_worked_case_get_steps (worked)->len == 0 && bl_worked_case_get_trouble (worked) == NULL)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpstr (bl_worked_case_get_trouble (worked), ==, NULL);
  bl_worked_case_stop (worked);
  const BlWorkedStep *step = bl_at (bl_worked_case_get_steps (worked), 0);
  for (guint i = 0; i < bl_len (step->choices); i++)
    {
      const BlWorkedChoice *choice = bl_at (step->choices, i);
      g_assert_false (choice->right && choice->tells_nothing);
      if (g_str_equal (choice->measurement, step->subject))
        g_assert_true (!choice->tells_nothing == (strstr (step->why, "nothing new") == NULL));
    }
  bl_worked_case_settle (worked);
}

static void
check_case (BlLibrary *shop, BlPractice *practice, const BlWorkedSource *source)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_library_load_job (shop, source->job, &error);
  g_autoptr (BlWorkedCase) worked = bl_worked_case_from_job (practice, source->job, &error);

  g_assert_no_error (error);
  g_assert_cmpint (job->state, ==, BL_JOB_HANDED_BACK);
  g_assert_cmpuint (source->n_readings, >=, 5);
  assert_found (worked);
  g_autofree char *text = text_of (worked);
  assert_without (text, job->customer);
  assert_without (text, job->unit);
  assert_without (text, job->serial);
  assert_without (text, job->complaint);
  assert_without (text, "hostel"); /* of the notes of the log */
  assert_without (text, "studio");
  check_first_step (worked);
}

static void
test_each_board (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "shop"), *content = NULL;
  gsize length = 0;

  g_assert_true (g_file_get_contents (demo, &content, &length, NULL) && g_file_set_contents (path, content, (gssize) length, NULL));
  BlLibrary *shop = bl_library_open (path, FALSE, &error);
  g_assert_no_error (error);
  BlPractice *practice = bl_practice_new (shop, ":memory:", &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) boards = bl_library_boards (shop, FALSE, &error);
  g_assert_cmpuint (boards->len, ==, 2);
  for (guint i = 0; i < boards->len; i++)
    {
      BlPracticeSubject subject = { ((BlBoardRow *) bl_at (boards, i))->id, 0 };
      g_autoptr (GPtrArray) sources = bl_worked_sources (practice, &subject, NULL, 10, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (sources->len, >=, 1);
      for (guint k = 0; k < sources->len; k++)
        check_case (shop, practice, bl_at (sources, k));
    }
  g_assert_finalize_object (practice);
  bl_library_close (shop);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  demo = argv[1];
  g_assert_nonnull (demo);
  g_test_add_func ("/model/worked-demo/each-board", test_each_board);
  return g_test_run ();
}
