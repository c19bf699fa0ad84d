/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program is killed in the middle of a drill, at each kind of step, between the file and the screen: what was done is
 * there, the drill is taken up where it stood, and its score is that of one that was never broken off. A child of this
 * program does the dying. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-drill-run-private.h"

#include "example.h"
#include "scratch.h"

#include "bl-bench-practice.h"
#include "bl-bench-supply.h"

#include <signal.h>
#include <string.h>

/* --- the acts --- */

static gboolean
read_cautions (BlDrillRun *run, GError **error)
{
  return bl_drill_run_read_cautions (run, error);
}

static gboolean
switch_on (BlDrillRun *run, GError **error)
{
  return bl_bench_set_state (bl_drill_run_get_bench (run), "run", error);
}

static gboolean
say_supply (BlDrillRun *run, GError **error)
{
  return bl_bench_say_supply (bl_drill_run_get_bench (run), BL_SUPPLY_ISOLATED | BL_SUPPLY_LIMITED, error);
}

static gboolean
read_rail (BlDrillRun *run, GError **error)
{
  return bl_drill_run_measure (run, bl_bench_find (bl_drill_run_get_bench (run), "M5"), error);
}

static gboolean
switch_off (BlDrillRun *run, GError **error)
{
  return bl_bench_set_state (bl_drill_run_get_bench (run), "off", error);
}

static gboolean
prove_dead (BlDrillRun *run, GError **error)
{
  return bl_drill_run_prove (run, error);
}

static gboolean
read_ohms (BlDrillRun *run, GError **error)
{
  return bl_drill_run_measure (run, bl_bench_find (bl_drill_run_get_bench (run), "M9"), error);
}

static gboolean
test_part (BlDrillRun *run, GError **error)
{
  return bl_drill_run_test_part (run, "F1", error);
}

static gboolean
name_fault (BlDrillRun *run, GError **error)
{
  return bl_drill_run_conclude (run, "rail5", "U2", error);
}

static const struct
{
  gboolean (*act) (BlDrillRun *run, GError **error);
  const char *step; /* what stands then in the steps */
} acts[] = {
  { read_cautions, "4-" }, { switch_on, "1run" }, { say_supply, "3-" }, { read_rail, "0M5" }, { switch_off, "1off" },
  { prove_dead, "2-" },    { read_ohms, "0M9" },  { test_part, "5F1" }, { name_fault, "6rail5 7U2" },
};
#define N_ACTS G_N_ELEMENTS (acts)

static void
do_acts (BlDrillRun *run, guint from, guint to)
{
  for (guint i = from; i < to; i++)
    {
      g_autoptr (GError) error = NULL;
      acts[i].act (run, &error);
      g_assert_no_error (error);
    }
}

/* --- both programs --- */

typedef struct
{
  BlLibrary *shop;
  BlPractice *practice;
} Files;

static void
open_files (Files *files, const char *folder)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *shop = scratch_file (folder, "shop"), *practice = scratch_file (folder, "practice");

  files->shop = bl_library_open (shop, TRUE, &error);
  g_assert_no_error (error);
  files->practice = bl_practice_new (files->shop, practice, &error);
  g_assert_no_error (error);
}

static void
close_files (Files *files)
{
  g_assert_finalize_object (files->practice);
  bl_library_close (files->shop);
}

static BlDrillRun *
open_run (Files *files, gint64 drill)
{
  g_autoptr (GError) error = NULL;
  BlDrillRun *run = bl_drill_run_new (files->practice, drill, &error);

  g_assert_no_error (error);
  return run;
}

/* --- the one that dies --- */

static void
die (void)
{
  kill (getpid (), SIGKILL);
}

/* What is to be done, by the environment: folder, drill, how many acts are done, and whether the last one is named and the
 * death comes only after the drill has ended. */
static void
work_and_die (void)
{
  Files files;
  guint n = (guint) g_ascii_strtoull (g_getenv ("KILLED_ACTS"), NULL, 10);

  open_files (&files, g_getenv ("KILLED_FOLDER"));
  BlDrillRun *run = open_run (&files, g_ascii_strtoll (g_getenv ("KILLED_DRILL"), NULL, 10));
  do_acts (run, 0, n);
  /* "changed" of the bench comes after the file was written, and before anything is shown. */
  if (g_getenv ("KILLED_ENDED") != NULL)
    g_signal_connect (run, "changed", G_CALLBACK (die), NULL);
  else
    g_signal_connect (bl_drill_run_get_bench (run), "changed", G_CALLBACK (die), NULL);
  do_acts (run, n, n + 1);
  g_assert_not_reached ();
}

/* Another program that is killed at the act number n. */
static void
run_until_killed (const char *folder, gint64 drill, guint n, gboolean ended)
{
  g_autofree char *id = g_strdup_printf ("%" G_GINT64_FORMAT, drill), *done = g_strdup_printf ("%u", n);

  g_setenv ("KILLED_FOLDER", folder, TRUE);
  g_setenv ("KILLED_DRILL", id, TRUE);
  g_setenv ("KILLED_ACTS", done, TRUE);
  if (ended)
    g_setenv ("KILLED_ENDED", "1", TRUE);
  else
    g_unsetenv ("KILLED_ENDED");
  g_test_trap_subprocess ("/model/drill-killed/subprocess/work", 0, 0);
  g_assert_false (g_test_trap_has_passed ());
  g_test_trap_assert_stderr_unmatched ("*ERROR*");
}

/* --- the one that takes it up --- */

static char *
steps_text (BlDrillRun *run)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < run->steps->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (run->steps, i);
      g_string_append_printf (text, "%s%d%s", i > 0 ? " " : "", (int) step->kind, step->subject != NULL ? step->subject : "-");
    }
  return g_string_free (text, FALSE);
}

static char *
wanted_text (guint n)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? " " : "", acts[i].step);
  return g_string_free (text, FALSE);
}

/* The score as the file keeps it. */
static char *
score_text (Files *files, gint64 drill)
{
  g_autoptr (BlDrillRow) row = bl_practice_load_drill (files->practice, drill, NULL);

  g_assert_true (row->scored);
  return g_strdup_printf ("%s %s: %d %d %d; %.6f of %.6f s; %u %u %u %u", row->section_kind, row->family, row->stage_right,
                          row->component_right, row->failed, row->regret_s, row->effort_s, row->n_measured, row->n_right,
                          row->n_told_nothing, row->n_unsafe);
}

/* Readings and part tests as they stand in the log. */
static char *
readings_text (BlDrillRun *run)
{
  GPtrArray *records = bl_bench_get_records (bl_drill_run_get_bench (run));
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (records, i);
      if (record->kind == BL_RECORD_READING || record->kind == BL_RECORD_PART_TEST)
        g_string_append_printf (text, "%s=%s ", record->subject, record->text);
    }
  return g_string_free (text, FALSE);
}

/* Takes a drill up that should have so many acts, and brings it to its end. */
static void
take_up (Files *files, gint64 drill, guint n, const char *score, const char *readings)
{
  g_autofree char *wanted = wanted_text (n), *steps = NULL, *got = NULL, *read = NULL;
  BlDrillRun *run = open_run (files, drill);

  steps = steps_text (run);
  g_assert_cmpstr (steps, ==, wanted);
  g_assert_cmpint (bl_drill_run_is_ended (run), ==, n == N_ACTS);
  do_acts (run, n, N_ACTS);
  bl_drill_run_settle (run);
  g_assert_null (bl_drill_run_get_trouble (run));
  got = score_text (files, drill);
  g_assert_cmpstr (got, ==, score);
  read = readings_text (run);
  g_assert_cmpstr (read, ==, readings);
  g_assert_finalize_object (run);
}

static gint64
add_drill (Files *files)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();
  BlPracticeSubject subject = { bl_library_add_board (files->shop, board, FALSE, &error), 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 3 };
  gint64 person = bl_practice_add_person (files->practice, "ab", &error);
  gint64 drill = bl_practice_add_drill (files->practice, person, &subject, &order, &error);

  g_assert_no_error (error);
  return drill;
}

static void
test_at_each_step (void)
{
  char *folder = scratch_new ();
  g_autofree char *score = NULL, *readings = NULL;
  Files files;

  open_files (&files, folder);
  gint64 whole = add_drill (&files);
  BlDrillRun *run = open_run (&files, whole);
  do_acts (run, 0, N_ACTS);
  bl_drill_run_settle (run);
  score = score_text (&files, whole);
  readings = readings_text (run);
  g_test_message ("not broken off: %s; %s", score, readings);
  g_assert_finalize_object (run);

  const gint64 person = bl_practice_get_person (files.practice)->id;
  for (guint n = 0; n <= N_ACTS; n++)
    {
      gboolean ended = n == N_ACTS; /* killed in the last act, before and after the drill has ended */
      gint64 drill = bl_practice_give (files.practice, whole, person, NULL);
      close_files (&files);
      run_until_killed (folder, drill, MIN (n, (guint) N_ACTS - 1), ended);
      open_files (&files, folder);
      /* The act in which it died is in the file, but for what was named: that is there when the drill has ended. */
      take_up (&files, drill, ended ? N_ACTS : MIN (n + 1, (guint) N_ACTS - 1), score, readings);
    }
  close_files (&files);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/drill-killed/at-each-step", test_at_each_step);
  g_test_add_func ("/model/drill-killed/subprocess/work", work_and_die);
  return g_test_run ();
}
