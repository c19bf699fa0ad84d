/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Boards made in memory, as the editor makes them: defaults, weights, look-ups, copies, names and
 * the validation of what no file could hold. */
#include "config.h"

#include "bl-document.h"
#include "bl-kinds.h"

static BlMode *
add_mode (BlComponent *component, const char *name, double weight)
{
  BlMode *mode = bl_mode_new ();
  mode->mode = g_strdup (name);
  mode->weight = weight;
  bl_append (&component->modes, mode, (GDestroyNotify) bl_mode_free);
  return mode;
}

static BlComponent *
add_component (BlBoard *board, const char *id, const char *kind)
{
  BlComponent *component = bl_component_new ();
  component->id = g_strdup (id);
  component->kind = g_strdup (kind);
  component->stage = g_strdup ("S1");
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  return component;
}

/* A board with one section and one stage. */
static BlBoard *
small_board (void)
{
  BlBoard *board = bl_board_new ();
  BlSection *section = bl_section_new ();
  BlStage *stage = bl_stage_new ();
  section->id = g_strdup ("sec");
  stage->id = g_strdup ("S1");
  stage->section = g_strdup ("sec");
  bl_append (&board->sections, section, (GDestroyNotify) bl_section_free);
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
  return board;
}

static void
test_left_out (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autoptr (BlMeasurement) measurement = bl_measurement_new ();
  g_autoptr (BlFeed) feed = bl_feed_new ();
  BlOdds odds = bl_board_odds (board);
  g_assert_cmpfloat (odds.faults, ==, 0.2);
  g_assert_cmpfloat (odds.elsewhere, ==, 0.15);
  g_assert_cmpfloat (odds.other, ==, 0.1);
  g_assert_cmpfloat (odds.setup, ==, 0.01);
  g_assert_cmpfloat (odds.misreport, ==, 0.05);
  board->odds.other = 0;
  g_assert_cmpfloat (bl_board_odds (board).other, ==, 0);
  g_assert_cmpuint (bl_len (board->stages), ==, 0);
  g_assert_true (isnan (measurement->effort_s) && isnan (measurement->expected.low.value));
  g_assert_cmpint (measurement->series, ==, -1);
  g_assert_cmpint (measurement->expected.answer, ==, -1);
  g_assert_null (bl_measures_name (measurement->measures));
  g_assert_cmpint (feed->passes.to[BL_ABSENT], ==, BL_PASSES_UNCHANGED);
}

/* The rules for weights: own, by the priors, as shares of the component's. */
static void
test_weights (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  BlComponent *fuse = add_component (board, "F1", "fuse");
  BlMode *open = add_mode (fuse, "open", NAN), *odd = add_mode (fuse, "melted", NAN);
  /* MIL-HDBK-217F Notice 2, appendix A, G_F: 0.020; MIL-HDBK-338B: premature opening 0.08. */
  g_assert_cmpfloat (bl_board_mode_weight (board, fuse, open), ==, 0.020 * 0.08);
  g_assert_cmpfloat (bl_board_mode_weight (board, fuse, odd), ==, 0.020 * 0.5);
  odd->weight = 7;
  g_assert_cmpfloat (bl_board_mode_weight (board, fuse, odd), ==, 7);

  BlComponent *thing = add_component (board, "Z1", "thing");
  BlMode *one = add_mode (thing, "one", NAN), *two = add_mode (thing, "two", NAN);
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, one), ==, BL_KIND_RATE_UNKNOWN / 2);
  thing->weight = 4;
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, one), ==, 2);
  one->weight = 1;
  two->weight = 3;
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, one), ==, 1);
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, two), ==, 3);
  /* The technician's own factor, on whatever the weight comes from. */
  thing->factor = 2.5;
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, two), ==, 7.5);
  fuse->factor = 3;
  g_assert_cmpfloat (bl_board_mode_weight (board, fuse, open), ==, 3 * (0.020 * 0.08));
  g_assert_cmpfloat (bl_board_mode_weight (board, fuse, odd), ==, 21);
  one->weight = two->weight = 0;
  g_assert_cmpfloat (bl_board_mode_weight (board, thing, two), ==, 0);
}

static void
test_shows (void)
{
  g_autoptr (BlMode) mode = bl_mode_new ();
  g_assert_cmpfloat (bl_mode_shows (mode, "wet"), ==, 1);
  bl_mode_set_shows (mode, "wet", 0.9);
  g_assert_cmpfloat (bl_mode_shows (mode, "hot"), ==, 1);
  bl_mode_set_shows (mode, "", 0.3);
  bl_mode_set_shows (mode, "wet", 0.8);
  g_autoptr (BlMode) copy = bl_mode_copy (mode);
  g_assert_cmpuint (copy->shows->len, ==, 2);
  g_assert_cmpfloat (bl_mode_shows (copy, "wet"), ==, 0.8);
  g_assert_cmpfloat (bl_mode_shows (copy, "hot"), ==, 0.3);
}

static void
test_look_up (void)
{
  g_autoptr (BlBoard) board = small_board ();
  BlComponent *component = add_component (board, "R1", "resistor");
  BlMode *mode = add_mode (component, "open", NAN);
  g_assert_true (bl_board_component (board, "R1") == component);
  g_assert_null (bl_board_component (board, "R2"));
  g_assert_null (bl_board_component (board, NULL));
  g_assert_null (bl_board_measurement (board, "R1"));
  g_assert_true (bl_component_mode (component, "open") == mode);
  g_autofree char *other = bl_stage_other_id ("S1");
  g_assert_cmpstr (other, ==, "S1/other");
}

static void
test_names (void)
{
  BlMeasures measures;
  BlDeviation deviation;
  for (int i = 0; i < BL_N_MEASURES; i++)
    {
      g_assert_true (bl_measures_parse (bl_measures_name (i), &measures));
      g_assert_cmpint (measures, ==, i);
      /* Good ones as the rows of the format have them. */
      guint good, n;
      const char *const *classes = bl_measures_classes (i, &good);
      n = g_strv_length ((char **) classes);
      g_assert_cmpuint (n, ==,
                        i == BL_MEASURES_CHECK         ? 2
                        : i == BL_MEASURES_SWING       ? 7
                        : bl_measures_is_resistive (i) ? 6
                                                       : 5);
      g_assert_cmpstr (classes[good], ==, i == BL_MEASURES_CHECK ? "as expected" : "in band");
    }
  g_assert_false (bl_measures_parse ("volts", &measures));
  g_assert_true (bl_deviation_parse ("in band", &deviation));
  g_assert_cmpint (deviation, ==, BL_IN_BAND);
  g_assert_false (bl_deviation_parse ("", &deviation));
}

static gboolean
has_problem (const BlBoard *board, const char *path)
{
  g_autoptr (GPtrArray) problems =
      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  gboolean found = FALSE;
  bl_board_validate (board, problems);
  for (guint i = 0; i < problems->len; i++)
    found = found || g_str_equal (((BlProblem *) bl_at (problems, i))->path, path);
  return found;
}

/* What only a board in memory can be: infinite, without an id, a text that is not the value. */
static void
test_validate (void)
{
  g_autoptr (BlBoard) board = small_board ();
  BlComponent *component = add_component (board, "R1", "resistor");
  BlTestPoint *point = bl_test_point_new ();
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
  g_assert_true (has_problem (board, "$.test_points[0].id"));
  g_assert_false (has_problem (board, "$.components[0].x"));
  component->x = INFINITY;
  g_assert_true (has_problem (board, "$.components[0].x"));
  BlMeasurement *measurement = bl_measurement_new ();
  bl_append (&board->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  measurement->id = g_strdup ("M1");
  g_assert_true (has_problem (board, "$.measurements[0].measures"));
  measurement->measures = BL_MEASURES_OHM;
  measurement->expected.nominal = (BlQuantity){ 4700, g_strdup ("4K7") };
  g_assert_false (has_problem (board, "$.measurements[0].expected.nominal"));
  measurement->expected.nominal.value = 4800;
  g_assert_true (has_problem (board, "$.measurements[0].expected.nominal"));
}

/* A long chain of feeds is no deep recursion, and its loop is found. */
static void
test_long_chain (void)
{
  const guint n = 20000;
  g_autoptr (BlBoard) board = small_board ();
  for (guint i = 2; i <= n; i++)
    {
      BlStage *stage = bl_stage_new ();
      BlFeed *feed = bl_feed_new ();
      stage->id = g_strdup_printf ("S%u", i);
      stage->section = g_strdup ("sec");
      feed->from = g_strdup_printf ("S%u", i - 1);
      bl_append (&stage->feeds, feed, (GDestroyNotify) bl_feed_free);
      bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
    }
  g_assert_false (has_problem (board, "$.stages[0].feeds"));
  BlFeed *back = bl_feed_new ();
  back->from = g_strdup_printf ("S%u", n);
  bl_append (&bl_board_stage (board, "S1")->feeds, back, (GDestroyNotify) bl_feed_free);
  g_assert_true (has_problem (board, "$.stages[0].feeds"));
}

/* The editor may fill a group and forget to say that the document has it. */
static void
test_written_without_flag (void)
{
  g_autoptr (BlBoard) board = small_board ();
  board->mains_voltage = 230;
  g_autofree char *text = bl_document_write (board);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) read = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (read->mains_voltage, ==, 230);
  g_assert_false (read->has_odds);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/left-out", test_left_out);
  g_test_add_func ("/board/weights", test_weights);
  g_test_add_func ("/board/shows", test_shows);
  g_test_add_func ("/board/look-up", test_look_up);
  g_test_add_func ("/board/names", test_names);
  g_test_add_func ("/board/validate", test_validate);
  g_test_add_func ("/board/long-chain", test_long_chain);
  g_test_add_func ("/board/written-without-flag", test_written_without_flag);
  return g_test_run ();
}
