/* SPDX-License-Identifier: GPL-3.0-or-later
 * Which measurement a typed point means, where a resistance of the dead board and a voltage of the running
 * one share it: the example board with one more state and one more measurement. */
#include "config.h"

#include "bl-bench.h"
#include "bl-bundle.h"

#include "scratch.h"

#define MORE_STATE "{\"id\": \"full\", \"title\": \"Full load\", \"live\": true, \"volts\": 325},"
#define MORE_MEASUREMENT                                                                                        \
  "{\"id\": \"R5\", \"title\": \"5 V to 0 V\", \"at\": \"TP5\", \"black\": \"TP0\", \"measures\": \"ohm\","      \
  " \"state\": \"off\", \"expected\": {\"low\": 45, \"high\": 80}},"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
} Fixture;

static void
insert_after (GString *text, const char *mark, const char *more)
{
  const char *found = strstr (text->str, mark);

  g_assert_nonnull (found);
  g_string_insert (text, found - text->str + (gssize) strlen (mark), more);
}

static BlBoard *
load_board (const char *folder)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *path = scratch_file (folder, "board.json");
  g_autofree char *contents = NULL;

  g_file_get_contents (document, &contents, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GString) text = g_string_new (contents);
  insert_after (text, "\"states\":     [", MORE_STATE);
  insert_after (text, "\"measurements\": [", MORE_MEASUREMENT);
  g_file_set_contents (path, text->str, -1, &error);
  g_assert_no_error (error);
  BlBoard *board = bl_board_load_file (path, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = load_board (fixture->folder);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  gint64 job = bl_bench_start (fixture->library, id, NULL, NULL, &error);
  g_assert_no_error (error);
  fixture->bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static gboolean
was_read (Fixture *fixture, const char *measurement)
{
  return bl_measurement_item_get_record (bl_bench_find (fixture->bench, measurement)) != NULL;
}

static void
enter_in (Fixture *fixture, const char *state, const char *text)
{
  g_autoptr (GError) error = NULL;

  bl_bench_set_state (fixture->bench, state, &error);
  g_assert_no_error (error);
  bl_bench_enter (fixture->bench, text, &error);
  g_assert_no_error (error);
}

/* Neither measurement is for full load, but only the voltage can be read on a live board. */
static void
test_live (Fixture *fixture, gconstpointer unused)
{
  enter_in (fixture, "full", "TP5 4.98");
  g_assert_true (was_read (fixture, "M5"));
  g_assert_false (was_read (fixture, "R5"));
  g_assert_cmpstr (bl_bench_get_state (fixture->bench)->id, ==, "run");
}

/* Also when the voltage was read already: a second reading of it is likelier than that. */
static void
test_live_again (Fixture *fixture, gconstpointer unused)
{
  enter_in (fixture, "full", "TP5 4.98");
  enter_in (fixture, "full", "TP5 4.97");
  g_assert_false (was_read (fixture, "R5"));
}

static void
test_unpowered (Fixture *fixture, gconstpointer unused)
{
  enter_in (fixture, "off", "TP5 60");
  g_assert_true (was_read (fixture, "R5"));
  g_assert_false (was_read (fixture, "M5"));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/bench-entry/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("live", test_live);
  ADD ("live-again", test_live_again);
  ADD ("unpowered", test_unpowered);
  return g_test_run ();
}
