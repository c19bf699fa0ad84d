/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault that a panel shows: said lamp by lamp, tapped, compared with the tables of all editions. */
#include "config.h"

#include "bl-fault-shown.h"

#include "bl-bench.h"
#include "bl-document.h"
#include "bl-library-private.h"
#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 board;
  BlFaultShown *shown;
} Fixture;

static BlBoard *
wall_board (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "wall-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = wall_board (), next = bl_board_copy (board);

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->board = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  /* Edition D shows the damper where C shows a sensor. */
  g_free (next->uid);
  next->uid = NULL;
  g_free (next->edition);
  next->edition = g_strdup ("D");
  for (guint i = 0; i < next->indications->len; i++)
    {
      BlIndication *indication = bl_at (next->indications, i);
      g_clear_pointer (&indication->edition, g_free);
      if (g_str_equal (indication->symptom, "SENS-A"))
        {
          g_free (indication->symptom);
          indication->symptom = g_strdup ("DAMPER");
        }
    }
  g_assert_cmpint (bl_library_add_board (fixture->library, next, FALSE, &error), >, 0);
  g_assert_no_error (error);
  fixture->shown = bl_fault_shown_new (fixture->library, fixture->board, board, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  bl_fault_shown_free (fixture->shown);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static guint
lamp (Fixture *fixture, const char *role)
{
  guint n = bl_fault_shown_n_lamps (fixture->shown), found = bl_fault_shown_add_lamp (fixture->shown, role);
  g_assert_cmpuint (found, <, n);
  return found;
}

static void
assert_words (char *words, const char *expected)
{
  g_assert_cmpstr (words, ==, expected);
  g_free (words);
}

static void
test_said (Fixture *fixture, gconstpointer unused)
{
  BlFaultShown *shown = fixture->shown;
  guint operation = lamp (fixture, " Operation");

  assert_words (bl_fault_shown_words (shown, operation), "not looked at");
  g_assert_null (bl_fault_shown_summary (shown));
  bl_fault_shown_set_count (shown, operation, 1);
  assert_words (bl_fault_shown_words (shown, operation), "flashes 1 time");
  bl_fault_shown_set_rate (shown, operation, .4);
  assert_words (bl_fault_shown_words (shown, operation), "one flash every 2 s");
  bl_fault_shown_set_steady (shown, operation, FALSE);
  assert_words (bl_fault_shown_summary (shown), "operation: out");
}

static void
test_warning (Fixture *fixture, gconstpointer unused)
{
  BlFaultShown *shown = fixture->shown;

  bl_fault_shown_set_count (shown, lamp (fixture, "operation"), 2);
  bl_fault_shown_set_steady (shown, lamp (fixture, "timer"), TRUE);
  assert_words (bl_fault_shown_summary (shown), "operation: flashes 2 times, timer: lit");
  GPtrArray *matches = bl_fault_shown_matches (shown);
  const BlIndicationMatch *first = bl_at (matches, 0);
  g_assert_true (first->own);
  g_assert_cmpstr (first->indication->symptom, ==, "SENS-A");
  assert_words (bl_fault_shown_match_words (shown, first), "fits");
  assert_words (bl_fault_shown_match_words (shown, bl_at (matches, 1)), "fits · edition D");
  g_autofree char *warning = bl_fault_shown_warning (shown);
  g_assert_nonnull (strstr (warning, "On edition D"));
  bl_fault_shown_clear (shown, lamp (fixture, "operation"));
  g_assert_null (bl_fault_shown_matches (shown)->len > 0 ? bl_fault_shown_warning (shown) : NULL);
}

static void
test_tapped (Fixture *fixture, gconstpointer unused)
{
  BlFaultShown *shown = fixture->shown;
  guint operation = lamp (fixture, "operation");
  double time = 100;

  for (guint group = 0; group < 2; group++, time += 2)
    for (guint i = 0; i < 5; i++, time += 1)
      bl_fault_shown_tap (shown, operation, time);
  g_assert_true (bl_fault_shown_is_seen (shown, operation) || bl_fault_shown_wait (shown, operation, time + 3));
  assert_words (bl_fault_shown_taps_words (shown, operation), "5 flashes, then a pause");
  assert_words (bl_fault_shown_words (shown, operation), "flashes 5 times");
  const BlIndicationMatch *first = bl_at (bl_fault_shown_matches (shown), 0);
  g_assert_cmpstr (first->indication->symptom, ==, "LINK");
  assert_words (bl_fault_shown_match_words (shown, first), "fits so far; look at economy too");
  /* Long afterwards counting begins anew. */
  bl_fault_shown_tap (shown, operation, time + 60);
  g_assert_cmpuint (bl_fault_shown_n_taps (shown, operation), ==, 1);
  g_assert_false (bl_fault_shown_is_seen (shown, operation));
}

/* What cured jobs with this symptom, and those alone. */
static void
test_earlier (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  static const char *const jobs[][2] = { { "LINK", "K1" }, { "LINK", "K1" }, { "LINK", "D2" }, { "DEAD", "F1" } };

  for (guint i = 0; i < G_N_ELEMENTS (jobs); i++)
    {
      gint64 job = bl_bench_start (fixture->library, fixture->board, NULL, jobs[i][0], &error);
      g_assert_no_error (error);
      g_autoptr (BlRecord) cause = bl_record_new (BL_RECORD_CAUSE, jobs[i][1], NULL);
      cause->job = job;
      bl_library_append (fixture->library, cause, &error);
      g_assert_no_error (error);
    }
  bl_fault_shown_set_count (fixture->shown, lamp (fixture, "operation"), 5);
  const BlIndicationMatch *first = bl_at (bl_fault_shown_matches (fixture->shown), 0);
  assert_words (bl_fault_shown_earlier (fixture->shown, first, 0, &error), "K1 2, D2 1, of 3 repairs");
  g_assert_no_error (error);
  /* That they cannot be read is not that there were none. */
  g_assert_true (bl_database_run (fixture->library->database, "test", "ALTER TABLE record RENAME TO lost", &error));
  g_assert_null (bl_fault_shown_earlier (fixture->shown, first, 0, &error));
  g_assert_nonnull (error);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/fault-shown/said", Fixture, NULL, set_up, test_said, tear_down);
  g_test_add ("/fault-shown/warning", Fixture, NULL, set_up, test_warning, tear_down);
  g_test_add ("/fault-shown/tapped", Fixture, NULL, set_up, test_tapped, tear_down);
  g_test_add ("/fault-shown/earlier", Fixture, NULL, set_up, test_earlier, tear_down);
  return g_test_run ();
}
