/* SPDX-License-Identifier: GPL-3.0-or-later
 * Causes confirmed on the bench: only these count, only for other jobs of the edition, and they can be
 * taken back. */
#include "config.h"

#include "bl-bench.h"
#include "bl-bundle.h"
#include "bl-database.h"

#include "scratch.h"

#include <string.h>

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

static double
odds_of (BlBench *bench, const char *component)
{
  bl_bench_settle (bench);
  g_assert_null (bl_bench_get_trouble (bench));
  return bl_diagnosis_find (bl_bench_get_diagnosis (bench)->components, component)->probability;
}

/* So many more jobs in which the cause was typed. */
static void
earlier_jobs (Fixture *f, guint n, const char *text)
{
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlBench) bench = open_new (f);
      enter (bench, text);
    }
}

static void
test_said (Fixture *f, gconstpointer unused)
{
  const char *mode = "?";

  g_assert_cmpint (bl_bench_cause_said (f->bench, "U2", NULL), ==, BL_CAUSE_NOT_SAID);
  enter (f->bench, "U2 replaced");
  g_assert_null (bl_bench_get_job (f->bench)->cause);
  enter (f->bench, "U2 cause");
  g_assert_cmpint (bl_bench_cause_said (f->bench, "U2", &mode), ==, BL_CAUSE_CONFIRMED);
  g_assert_null (mode);
  enter (f->bench, "u2 cause sho");
  g_assert_cmpint (bl_bench_cause_said (f->bench, "U2", &mode), ==, BL_CAUSE_CONFIRMED);
  g_assert_cmpstr (mode, ==, "short");
  enter (f->bench, "F1 cause open");
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "U2: short; F1: open");
  enter (f->bench, "F1 not the cause");
  g_assert_cmpint (bl_bench_cause_said (f->bench, "F1", NULL), ==, BL_CAUSE_REFUSED);
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "U2: short");
  refused (f->bench, "U2 cause melted");
  refused (f->bench, "U99 cause");
}

static void
test_taken_back (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  enter (f->bench, "U2 cause open");
  g_autofree char *label = bl_bench_get_undo_label (f->bench);
  g_assert_nonnull (strstr (label, "U2"));
  g_assert_true (bl_bench_undo (f->bench, &error));
  g_assert_cmpint (bl_bench_cause_said (f->bench, "U2", NULL), ==, BL_CAUSE_NOT_SAID);
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "");
  g_assert_true (bl_bench_redo (f->bench, &error));
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "U2: open");
  const BlRecord *record = bl_at (bl_bench_get_records (f->bench), 0);
  g_assert_true (bl_bench_strike (f->bench, record->id, "mistaken", &error));
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "");
  g_autoptr (GPtrArray) causes = bl_library_causes (f->library, f->board, 0, &error);
  g_assert_cmpuint (causes->len, ==, 0);
}

static void
test_other_in_stage (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_confirm_cause (f->bench, "rail5/other", NULL, &error));
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "something else in 5 V rail");
  g_autofree char *label = bl_bench_get_undo_label (f->bench);
  g_assert_cmpstr (label, ==, "something else in 5 V rail the cause");
  g_assert_false (bl_bench_confirm_cause (f->bench, "nothing/other", NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

/* A job does not speak for itself; another one of the edition does, and the more so the less the
 * handbook counts. */
static void
test_odds (Fixture *f, gconstpointer unused)
{
  enter (f->bench, "M5 0.01");
  double before = odds_of (f->bench, "F1");
  enter (f->bench, "F1 cause open");
  g_assert_cmpfloat (odds_of (f->bench, "F1"), ==, before);
  g_assert_null (bl_bench_history_words (f->bench, "F1"));

  earlier_jobs (f, 3, "U2 cause short");
  earlier_jobs (f, 4, "F1 cause open");
  g_autoptr (BlBench) later = open_new (f);
  gboolean own = TRUE;
  enter (later, "M5 0.01");
  double learned = odds_of (later, "F1");
  g_assert_cmpfloat (learned, >, before);
  g_autofree char *words = bl_bench_history_words (later, "F1");
  g_test_message ("%s", words);
  g_assert_nonnull (strstr (words, "5 of 8 repairs"));
  g_assert_cmpfloat (bl_bench_get_strength (later, &own), ==, BL_LEARN_STRENGTH);
  g_assert_false (own);

  g_autoptr (GError) error = NULL;
  g_assert_true (bl_bench_set_strength (later, 1, &error));
  g_assert_cmpfloat (bl_bench_get_strength (later, &own), ==, 1);
  g_assert_true (own);
  g_assert_cmpfloat (odds_of (later, "F1"), >, learned);
  g_assert_true (bl_bench_set_strength (later, 1e6, &error));
  g_assert_cmpfloat (fabs (odds_of (later, "F1") - before), <, 1e-3);
  g_assert_true (bl_bench_set_strength (later, NAN, &error));
  g_assert_cmpfloat_with_epsilon (odds_of (later, "F1"), learned, 1e-12);
  bl_bench_set_usual_strength (later, 1);
  g_assert_cmpfloat (odds_of (later, "F1"), >, learned);
}

/* What the odds come from is the document with learned weights and nothing else. */
static void
test_same_as_core (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  earlier_jobs (f, 2, "X3 cause");
  g_autoptr (BlBench) later = open_new (f);
  enter (later, "M5 0.01");
  g_autoptr (BlBoard) board = bl_board_copy (bl_bench_get_board (later));
  g_autoptr (GPtrArray) causes = bl_library_causes (f->library, f->board, 0, &error);
  g_autoptr (BlLearned) learned = bl_learned_new (board, causes, BL_LEARN_STRENGTH);
  bl_learned_apply (learned, board);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_autoptr (GPtrArray) entries = bl_records_to_entries (bl_bench_get_records (later));
  g_autoptr (BlDiagnosis) expected = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < expected->components->len; i++)
    {
      const BlOdd *odd = bl_at (expected->components, i);
      g_assert_cmpfloat_with_epsilon (odds_of (later, odd->id), odd->probability, 1e-12);
    }
  g_autofree char *found = bl_found_words (bl_bench_get_found (later), 5);
  g_assert_cmpstr (found, ==, "X3 2, of 2 repairs");
}

/* A change of the document is learned from anew: odds must not stay those of the old one. */
static void
test_edited (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  earlier_jobs (f, 2, "U2 cause open");
  g_autoptr (BlBench) later = open_new (f);
  enter (later, "M5 0.01");
  double before = odds_of (later, "F1");
  BlBoard *board = bl_edition_begin (bl_bench_get_edition (later), "test", NULL);
  bl_board_component (board, "F1")->weight = 50;
  g_assert_true (bl_edition_commit (bl_bench_get_edition (later), &error));
  g_assert_cmpfloat (odds_of (later, "F1"), >, before);
}

static void
test_ended (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  enter (f->bench, "U2 cause open");
  g_assert_true (bl_bench_end_job (f->bench, TRUE, &error));
  g_assert_true (bl_bench_get_job (f->bench)->closed);
  g_autoptr (BlJob) job = bl_library_load_job (f->library, bl_bench_get_job (f->bench)->id, &error);
  g_assert_true (job->closed);
  g_assert_cmpstr (job->cause, ==, "U2: open");
  g_assert_true (bl_bench_end_job (f->bench, FALSE, &error));
  g_assert_false (bl_bench_get_job (f->bench)->closed);
}

/* The library takes lines of the log, but not the head: as when the disk fills up in between. */
static void
spoil_heads (Fixture *f, const char *sql)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDatabase) database = bl_database_open (f->path, 0, &error);
  g_assert_no_error (error);
  g_assert_true (bl_database_run (database, "spoiling", sql, &error));
}

/* What was said stands in the log and on the screen, what could not be saved is not shown as if it had
 * been, and the next line makes up for it. */
static void
test_head_not_saved (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlMeasurementItem *item;

  enter (f->bench, "M5 0.01");
  enter (f->bench, "F1 cause open");
  spoil_heads (f, "CREATE TRIGGER spoilt BEFORE UPDATE OF cause ON job"
                  " BEGIN SELECT RAISE (ABORT, 'no room'); END");
  g_assert_false (bl_bench_enter (f->bench, "U2 cause short", &error));
  g_assert_nonnull (strstr (error->message, "no room"));
  g_assert_cmpint (bl_bench_cause_said (f->bench, "U2", NULL), ==, BL_CAUSE_CONFIRMED);
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "F1: open");

  enter (f->bench, "#looked at it again");
  enter (f->bench, "M5 0.02");
  item = bl_bench_find (f->bench, "M5");
  g_assert_cmpstr (bl_measurement_item_get_record (item)->text, ==, "0.02");
  g_assert_cmpuint (bl_bench_get_records (f->bench)->len, ==, 6);

  spoil_heads (f, "DROP TRIGGER spoilt");
  enter (f->bench, "#room again");
  g_assert_cmpstr (bl_bench_get_job (f->bench)->cause, ==, "F1: open; U2: short");
  g_autoptr (BlJob) job = bl_library_load_job (f->library, bl_bench_get_job (f->bench)->id, NULL);
  g_assert_cmpstr (job->cause, ==, "F1: open; U2: short");
}

#define ADD(name, function) g_test_add ("/model/bench-causes/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("said", test_said);
  ADD ("taken-back", test_taken_back);
  ADD ("head-not-saved", test_head_not_saved);
  ADD ("other-in-stage", test_other_in_stage);
  ADD ("odds", test_odds);
  ADD ("same-as-core", test_same_as_core);
  ADD ("edited", test_edited);
  ADD ("ended", test_ended);
  return g_test_run ();
}
