/* SPDX-License-Identifier: GPL-3.0-or-later
 * A job whose bands follow a reading: what is to be read first is said, verdicts and odds go with the reading that is
 * followed, the log keeps what was said at the time. */
#include "config.h"

#include "bl-bench.h"
#include "bl-bundle.h"

#include <string.h>

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
} Fixture;

/* limits: those that hold until the mains are read; else there are none. */
static BlBoard *
make_board (gboolean limits)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_board_load_file (path, NULL, &error);
  g_assert_no_error (error);
  BlMeasurement *mains = bl_measurement_new (), *bus = bl_measurement_new ();
  static const double points[] = { 0, 258.4, 184, 258.4, 276, 388.5 };

  mains->id = g_strdup ("LN");
  mains->measures = BL_MEASURES_V_AC;
  mains->state = g_strdup ("run");
  bl_append (&board->measurements, mains, (GDestroyNotify) bl_measurement_free);
  bus->id = g_strdup ("BUS");
  bus->measures = BL_MEASURES_V_DC;
  bus->state = g_strdup ("run");
  bus->reads = g_strdup ("bulk");
  bus->has_expected = TRUE;
  if (limits)
    {
      bus->expected.low.value = 282;
      bus->expected.high.value = 358;
    }
  bus->expected.follows = bl_follows_new ();
  bus->expected.follows->measurement = g_strdup ("LN");
  bus->expected.follows->tolerance = 0.04;
  bus->expected.follows->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (bus->expected.follows->points, points, G_N_ELEMENTS (points));
  bl_append (&board->measurements, bus, (GDestroyNotify) bl_measurement_free);
  return board;
}

static void
set_up (Fixture *fixture, gconstpointer limits)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = make_board (limits != NULL);

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
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

static void
enter (Fixture *fixture, const char *text)
{
  g_autoptr (GError) error = NULL;
  bl_bench_enter (fixture->bench, text, &error);
  g_assert_no_error (error);
}

static BlMeasurementItem *
bus (Fixture *fixture)
{
  return bl_bench_find (fixture->bench, "BUS");
}

static double
bulk (Fixture *fixture)
{
  bl_bench_settle (fixture->bench);
  return bl_diagnosis_find (bl_bench_get_diagnosis (fixture->bench)->stages, "bulk")->probability;
}

static void
test_first (Fixture *fixture, gconstpointer limits)
{
  g_assert_cmpstr (bl_measurement_item_get_read_first (bus (fixture)), ==, "LN");
  g_assert_cmpstr (bl_measurement_item_get_from (bus (fixture)), ==, "read LN first");
  if (limits != NULL)
    g_assert_cmpstr (bl_measurement_item_get_expected (bus (fixture)), ==, "282 – 358");
  else
    g_assert_cmpstr (bl_measurement_item_get_expected (bus (fixture)), ==, "read LN first");
  enter (fixture, "LN 218");
  g_assert_null (bl_measurement_item_get_read_first (bus (fixture)));
  g_assert_cmpstr (bl_measurement_item_get_from (bus (fixture)), ==, "follows LN (218)");
  g_assert_true (bl_measurement_item_get_band (bus (fixture))->follows);
  g_assert_cmpfloat_with_epsilon (bl_measurement_item_get_band (bus (fixture))->nominal, G_SQRT2 * 218 - 1.8, 0.05);
}

/* Without limits a reading is no evidence until the other is read. */
static void
test_no_evidence (Fixture *fixture, gconstpointer unused)
{
  double before = bulk (fixture);

  enter (fixture, "BUS 200");
  g_assert_cmpfloat_with_epsilon (bulk (fixture), before, 1e-12);
  enter (fixture, "LN 230");
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "low");
  g_assert_cmpfloat (bulk (fixture), >, 2 * before);
}

static void
test_changes (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *nothing = NULL, *said = NULL, *undone = NULL;

  enter (fixture, "LN 209");
  enter (fixture, "BUS 293");
  nothing = bl_bench_take_follow_words (fixture->bench);
  g_assert_null (nothing);
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "in band");
  double good = bulk (fixture);

  enter (fixture, "LN 241");
  said = bl_bench_take_follow_words (fixture->bench);
  g_assert_cmpstr (said, ==, "LN is 241 V AC now, so BUS is low, was in band");
  nothing = bl_bench_take_follow_words (fixture->bench);
  g_assert_null (nothing);
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "low");
  g_assert_cmpfloat (bulk (fixture), >, good);

  /* The log says what was said then. */
  const BlRecord *record = bl_measurement_item_get_record (bus (fixture));
  g_assert_cmpstr (bl_verdict_label (record->verdict), ==, "in band");
  bl_bench_undo (fixture->bench, &error);
  g_assert_no_error (error);
  undone = bl_bench_take_follow_words (fixture->bench);
  g_assert_cmpstr (undone, ==, "LN is 209 V AC now, so BUS is in band, was low");
  g_assert_cmpfloat_with_epsilon (bulk (fixture), good, 1e-9);
}

static void
set_width (Fixture *fixture, double width)
{
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  g_autoptr (GError) error = NULL;
  BlBoard *draft = bl_edition_begin (edition, "width", NULL);

  bl_board_measurement (draft, "BUS")->expected.follows->tolerance = width;
  bl_edition_commit (edition, &error);
  g_assert_no_error (error);
}

/* A change of the document is for readings to come, until the other measurement is read again. */
static void
test_document (Fixture *fixture, gconstpointer unused)
{
  enter (fixture, "LN 230");
  enter (fixture, "BUS 330");
  double good = bulk (fixture);

  set_width (fixture, 0.001);
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "in band");
  g_assert_cmpfloat_with_epsilon (bl_measurement_item_get_band (bus (fixture))->high, 1.04 * (G_SQRT2 * 230 - 1.8), 0.1);
  g_assert_cmpfloat_with_epsilon (bulk (fixture), good, 1e-9);
  enter (fixture, "LN 231");
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "high");
  g_assert_cmpfloat (bulk (fixture), >, good);
}

/* Nothing to follow is left when the only reading of the other one is struck. */
static void
test_struck (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  enter (fixture, "LN 209");
  gint64 mains = bl_measurement_item_get_record (bl_bench_find (fixture->bench, "LN"))->id;
  enter (fixture, "BUS 270");
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "low");
  bl_bench_strike (fixture->bench, mains, "wrong point", &error);
  g_assert_no_error (error);
  g_assert_cmpstr (bl_measurement_item_get_word (bus (fixture)), ==, "low"); /* of 282 to 358 */
  g_assert_cmpfloat (bl_measurement_item_get_band (bus (fixture))->high, ==, 358);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/bench-follow/first", Fixture, "limits", set_up, test_first, tear_down);
  g_test_add ("/model/bench-follow/first-without-limits", Fixture, NULL, set_up, test_first, tear_down);
  g_test_add ("/model/bench-follow/no-evidence", Fixture, NULL, set_up, test_no_evidence, tear_down);
  g_test_add ("/model/bench-follow/changes", Fixture, "limits", set_up, test_changes, tear_down);
  g_test_add ("/model/bench-follow/document", Fixture, "limits", set_up, test_document, tear_down);
  g_test_add ("/model/bench-follow/struck", Fixture, "limits", set_up, test_struck, tear_down);
  return g_test_run ();
}
