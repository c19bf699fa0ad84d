/* SPDX-License-Identifier: GPL-3.0-or-later
 * Bands taken from component limits and drawn along formulas, as steps of undo of an open document. */
#include "config.h"

#include "bl-edition-band.h"

#include "bl-bundle.h"
#include "bl-edition-parts.h"
#include "bl-verdict.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);
  BlMeasurement *mains = bl_measurement_new (), *bus = bl_measurement_new ();

  g_assert_no_error (error);
  mains->id = g_strdup ("LN");
  mains->measures = BL_MEASURES_V_AC;
  mains->state = g_strdup ("run");
  mains->has_expected = TRUE;
  mains->expected.nominal.value = 230;
  mains->expected.tolerance = g_strdup ("10 %");
  bl_append (&board->measurements, mains, (GDestroyNotify) bl_measurement_free);
  bus->id = g_strdup ("BUS");
  bus->measures = BL_MEASURES_V_DC;
  bus->state = g_strdup ("run");
  bus->reads = g_strdup ("bulk");
  bl_append (&board->measurements, bus, (GDestroyNotify) bl_measurement_free);
  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, id, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->edition);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static const BlExpected *
expected (Fixture *fixture, const char *measurement)
{
  return &bl_board_measurement (bl_edition_get_board (fixture->edition), measurement)->expected;
}

/* The first row that fits the part read: the 5 V regulator of the example. */
static void
test_limit (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  guint fitting;
  g_autoptr (GPtrArray) rows = bl_limits_for (board, bl_board_measurement (board, "M5"), &fitting);

  g_assert_cmpuint (fitting, >, 0);
  const BlLimit *row = bl_at (rows, 0);
  g_assert_true (g_str_has_prefix (row->what, "7805 class"));
  g_assert_true (bl_edition_take_limit (fixture->edition, "M5", row, &error));
  g_assert_no_error (error);
  g_assert_cmpfloat (expected (fixture, "M5")->low.value, ==, row->low);
  g_assert_cmpfloat (expected (fixture, "M5")->high.value, ==, row->high);
  g_assert_nonnull (g_strrstr (expected (fixture, "M5")->source, "source named"));
  /* The example's mark lies below the new band as it did below the old one. */
  g_assert_cmpuint (bl_len (expected (fixture, "M5")->marks), ==, 1);
  bl_edition_undo (fixture->edition, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (expected (fixture, "M5")->source, ==, "datasheet");
  g_assert_false (bl_edition_take_limit (fixture->edition, "nothing", row, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

static void
test_follow (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlPreset preset = bl_preset_usual (BL_PRESET_FULL_WAVE);
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  double from, to;

  bl_measurement_range (bl_board_measurement (board, "LN"), &from, &to);
  /* 207 to 253 V and 20 % of that beyond */
  g_assert_cmpfloat_with_epsilon (from, 207 - 0.2 * 46, 1e-9);
  g_assert_cmpfloat_with_epsilon (to, 253 + 0.2 * 46, 1e-9);
  g_assert_cmpfloat (bl_measurement_typical (bl_board_measurement (board, "LN")), ==, 230);
  g_assert_true (bl_edition_follow (fixture->edition, "BUS", "LN", &preset, from, to, &error));
  g_assert_no_error (error);
  g_assert_cmpstr (expected (fixture, "BUS")->source, ==,
                   "computed: √2 × LN − 2 × 0.9 V, capacitor behind a bridge, no load");
  board = bl_edition_get_board (fixture->edition);
  g_autoptr (BlBand) usual = bl_band_resolve (bl_board_measurement (board, "BUS"), 230, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (usual->nominal, G_SQRT2 * 230 - 1.8, 1e-6);
  g_assert_cmpfloat_with_epsilon (usual->low, 0.95 * usual->nominal, 1e-9);
  /* An output of a stage is absent where its supply is, not as expected. */
  g_autoptr (BlBand) dead = bl_band_resolve (bl_board_measurement (board, "BUS"), 0, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (dead->absent_below, >, 10);
  bl_edition_undo (fixture->edition, &error);
  g_assert_null (expected (fixture, "BUS")->follows);
  g_assert_false (bl_edition_follow (fixture->edition, "BUS", "LN", &preset, 5, 5, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_edition_follow (fixture->edition, "BUS", "BUS", &preset, from, to, &error));
  g_assert_nonnull (error); /* a loop */
}

static void
test_line (Fixture *fixture, gconstpointer unused)
{
  static const double values[] = { 240, 338, 0, 100, 120, 168 }, same[] = { 1, 1, 1, 2 };
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double)), bad = g_array_new (FALSE, FALSE, sizeof (double));
  BlPreset preset = bl_preset_usual (BL_PRESET_RATIO);

  g_array_append_vals (points, values, 6);
  g_array_append_vals (bad, same, 4);
  g_assert_false (bl_edition_set_line (fixture->edition, "BUS", points, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_true (bl_edition_follow (fixture->edition, "BUS", "LN", &preset, 0, 300, &error));
  g_assert_true (bl_edition_set_line (fixture->edition, "BUS", points, &error));
  g_assert_no_error (error);
  const GArray *now = expected (fixture, "BUS")->follows->points;
  g_assert_cmpuint (now->len, ==, 6);
  g_assert_cmpfloat (g_array_index (now, double, 0), ==, 0);
  g_assert_cmpfloat (g_array_index (now, double, 2), ==, 120);
  g_assert_cmpfloat (g_array_index (now, double, 5), ==, 338);
  /* What the formula said holds no longer, and is not claimed. */
  g_assert_cmpstr (expected (fixture, "BUS")->source, ==, "computed: 1 × LN, line changed by hand");
  g_assert_true (bl_edition_set_line (fixture->edition, "BUS", points, &error));
  g_assert_cmpstr (expected (fixture, "BUS")->source, ==, "computed: 1 × LN, line changed by hand");
  g_assert_false (bl_edition_set_line (fixture->edition, "BUS", bad, &error));
  g_assert_nonnull (error);
  /* Refused: the line is as it was. */
  g_assert_cmpuint (expected (fixture, "BUS")->follows->points->len, ==, 6);
}

/* The width in per cent, in volts, or both. */
static void
test_width (Fixture *fixture, gconstpointer unused)
{
  static const struct
  {
    const char *typed, *shown;
    double share, within;
  } rows[] = { { "4 %", "4 %", 0.04, NAN }, { "5 V", "5 V", NAN, 5 }, { "2,5 % + 300 mV", "2.5 % + 300 mV", 0.025, 0.3 } };
  g_autoptr (GError) error = NULL;
  BlPreset preset = bl_preset_usual (BL_PRESET_FULL_WAVE);
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, "BUS");

  g_assert_true (bl_edition_follow (fixture->edition, "BUS", "LN", &preset, 200, 260, &error));
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_true (bl_edition_set_slot (fixture->edition, &ref, BL_SLOT_LINE_WIDTH, rows[i].typed, &error));
      g_assert_no_error (error);
      const BlFollows *follows = expected (fixture, "BUS")->follows;
      g_autofree char *shown = bl_slot_get (bl_edition_get_board (fixture->edition), &ref, BL_SLOT_LINE_WIDTH);
      g_assert_cmpstr (shown, ==, rows[i].shown);
      g_assert_true (isnan (rows[i].share) ? isnan (follows->tolerance) : fabs (follows->tolerance - rows[i].share) < 1e-12);
      g_assert_true (isnan (rows[i].within) ? isnan (follows->within.value)
                                            : fabs (follows->within.value - rows[i].within) < 1e-12);
    }
  g_assert_false (bl_edition_set_slot (fixture->edition, &ref, BL_SLOT_LINE_WIDTH, "5 ohm", &error));
  g_clear_error (&error);
  g_assert_false (bl_edition_set_slot (fixture->edition, &ref, BL_SLOT_LINE_WIDTH, "-5 V", &error));
  g_assert_nonnull (error);
}

static void
test_fits (void)
{
  g_assert_true (bl_preset_fits (BL_PRESET_FULL_WAVE, BL_MEASURES_V_AC, BL_MEASURES_V_DC));
  g_assert_false (bl_preset_fits (BL_PRESET_FULL_WAVE, BL_MEASURES_V_DC, BL_MEASURES_V_DC));
  g_assert_true (bl_preset_fits (BL_PRESET_PLATINUM, BL_MEASURES_DEGC, BL_MEASURES_OHM));
  g_assert_true (bl_preset_fits (BL_PRESET_DIVIDER, BL_MEASURES_V_DC, BL_MEASURES_V_DC));
  g_assert_false (bl_preset_fits (BL_PRESET_RATIO, BL_MEASURES_CHECK, BL_MEASURES_V_DC));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/edition-band/limit", Fixture, NULL, set_up, test_limit, tear_down);
  g_test_add ("/model/edition-band/follow", Fixture, NULL, set_up, test_follow, tear_down);
  g_test_add ("/model/edition-band/line", Fixture, NULL, set_up, test_line, tear_down);
  g_test_add ("/model/edition-band/width", Fixture, NULL, set_up, test_width, tear_down);
  g_test_add_func ("/model/edition-band/fits", test_fits);
  return g_test_run ();
}
