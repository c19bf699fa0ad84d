/* SPDX-License-Identifier: GPL-3.0-or-later
 * A job on the demo's equipment: names with and without the box, places of the fault, the other supply direction, and the
 * suspect board as a job of its own. */
#include "config.h"

#include "bl-bench-equipment.h"
#include "bl-document.h"
#include "bl-report-gather.h"

#include "scratch.h"

#include <string.h>

typedef struct
{
  char *folder;
  BlLibrary *library;
  gint64 boards[2], pair, other;
  BlBench *bench;
} Fixture;

static char *
demo_file (const char *name)
{
  return g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
}

static gint64
add_board (BlLibrary *library, const char *name)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path = demo_file (name);
  g_autoptr (BlBoard) board = bl_board_load_file (path, NULL, &error);

  g_assert_no_error (error);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static gint64
add_equipment (Fixture *fixture, const char *name)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path = demo_file (name), *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlEquipment) equipment = bl_equipment_read (text, -1, NULL, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_put_equipment (fixture->library, 0, equipment, fixture->boards, &error);
  g_assert_no_error (error);
  return id;
}

static BlBench *
open_job (Fixture *fixture, gint64 job)
{
  g_autoptr (GError) error = NULL;
  gint64 start = g_get_monotonic_time ();
  BlBench *bench = bl_bench_new (fixture->library, job, &error);

  g_assert_no_error (error);
  g_test_message ("opened in %.1f ms", (double) (g_get_monotonic_time () - start) / 1000);
  return bench;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  fixture->folder = scratch_new ();
  g_autofree char *path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (path, TRUE, &error);
  g_assert_no_error (error);
  fixture->boards[0] = add_board (fixture->library, "wall-board.json");
  fixture->boards[1] = add_board (fixture->library, "roof-board.json");
  fixture->pair = add_equipment (fixture, "pair.json");
  fixture->other = add_equipment (fixture, "pair-roof-feeds.json");
  g_autoptr (BlJob) head = bl_job_new ();
  head->complaint = g_strdup ("roof unit dead");
  gint64 job = bl_bench_start_equipment (fixture->library, fixture->pair, head, &error);
  g_assert_no_error (error);
  fixture->bench = open_job (fixture, job);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  scratch_free (fixture->folder);
}

static void
enter (BlBench *bench, const char *text)
{
  g_autoptr (GError) error = NULL;

  g_test_message ("typed: %s", text);
  bl_bench_enter (bench, text, &error);
  g_assert_no_error (error);
}

static const char *
word_of (BlBench *bench, const char *measurement)
{
  return bl_measurement_item_get_word (bl_bench_find (bench, measurement));
}

static double
place_odds (BlBench *bench, const char *id)
{
  const BlPlaces *places = bl_bench_get_places (bench);

  g_assert_nonnull (places);
  g_assert_nonnull (bl_places_find (places, id));
  return bl_places_find (places, id)->probability;
}

/* --- opening --- */

/* Field checks first, then each box by its role; in each what belongs together stands together. */
static void
test_order (Fixture *fixture, gconstpointer unused)
{
  GListModel *model = bl_bench_get_measurements (fixture->bench);
  g_autoptr (GPtrArray) groups = g_ptr_array_new ();

  g_assert_cmpuint (g_list_model_get_n_items (model), ==, bl_len (bl_bench_get_board (fixture->bench)->measurements));
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const char *role = bl_bench_role_of (fixture->bench, bl_measurement_item_get_id (item));
      g_autofree char *title = bl_bench_section_title (fixture->bench, bl_measurement_item_get_section (item));
      if (groups->len == 0 || g_strcmp0 (g_ptr_array_index (groups, groups->len - 1), role) != 0)
        g_ptr_array_add (groups, (char *) role);
      if (role == NULL)
        g_assert_cmpstr (title, ==, "Field checks and conductors");
      else if (bl_measurement_item_get_section (item) != NULL)
        g_assert_true (g_str_has_prefix (title, role));
    }
  g_assert_cmpuint (groups->len, ==, 3);
  g_assert_null (g_ptr_array_index (groups, 0));
  g_assert_cmpstr (g_ptr_array_index (groups, 1), ==, "wall");
  g_assert_cmpstr (g_ptr_array_index (groups, 2), ==, "roof");
  g_assert_cmpstr (bl_measurement_item_get_name (bl_bench_find (fixture->bench, "wall/V12")), ==, "TP12");
  g_assert_cmpstr (bl_measurement_item_get_name (bl_bench_find (fixture->bench, "L-DROP")), ==, "L-DROP");
}

static void
test_names (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;

  g_assert_cmpstr (bl_bench_role_of (bench, "wall/K1"), ==, "wall");
  g_assert_null (bl_bench_role_of (bench, "W3/other")); /* something else in the conductor, no box */
  g_assert_null (bl_bench_role_of (bench, "W3"));
  g_assert_cmpstr (bl_bench_local_id (bench, "roof/K2"), ==, "K2");
  g_assert_cmpstr (bl_bench_local_id (bench, "W3/other"), ==, "W3/other");
  g_assert_cmpint (bl_bench_box_board (bench, "roof"), ==, fixture->boards[1]);
  g_assert_cmpint (bl_bench_box_board (bench, "cellar"), ==, 0);
}

static void
test_typed (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;
  g_autoptr (GError) error = NULL;

  enter (bench, "wall/LAMP yes");
  g_assert_cmpstr (word_of (bench, "wall/LAMP"), ==, "as expected");
  /* Both boxes have a lamp; with one of the wall unit in hand that is meant. */
  bl_bench_select (bench, bl_bench_find (bench, "wall/K1K"));
  enter (bench, "LAMP no");
  g_assert_cmpstr (word_of (bench, "wall/LAMP"), ==, "deviates");
  g_assert_cmpstr (word_of (bench, "roof/LAMP"), ==, "");
  bl_bench_select (bench, bl_bench_find (bench, "DIR"));
  g_assert_false (bl_bench_enter (bench, "LAMP no", &error));
  g_assert_nonnull (strstr (error->message, "roof/LAMP"));
  g_clear_error (&error);
  /* A part is never guessed. */
  bl_bench_select (bench, bl_bench_find (bench, "wall/K1K"));
  g_assert_false (bl_bench_enter (bench, "K1 replaced", &error));
  g_assert_nonnull (strstr (error->message, "wall/K1"));
  g_clear_error (&error);
  enter (bench, "wall/K1 good");
  enter (bench, "W3 open"); /* a conductor is a part */
}

/* What is joined is no document of its own. */
static void
test_document (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (fixture->bench);

  g_assert_false (bl_edition_set_expected (edition, "wall/V12", "12 V ±1 %", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_bench_set_strength (fixture->bench, 5, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  /* A board that is changed elsewhere is read anew, and what was typed stays. */
  enter (fixture->bench, "wall/LAMP yes");
  g_autoptr (BlEdition) wall = bl_edition_new (fixture->library, fixture->boards[0], &error);
  g_assert_true (bl_edition_set_expected (wall, "V12", "12 V ±1 %", &error));
  g_assert_true (bl_edition_catch_up (edition, &error));
  g_assert_cmpfloat_with_epsilon (bl_measurement_item_get_band (bl_bench_find (fixture->bench, "wall/V12"))->low, 11.88,
                                  1e-9);
  g_assert_cmpstr (word_of (fixture->bench, "wall/LAMP"), ==, "as expected");
}

/* --- states --- */

static void
test_states (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_set_state (bench, "joined", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
  const char *const *proof = bl_bench_get_dead_proof (bench);
  g_assert_true (g_strv_contains (proof, "roof/P-BUS")); /* the box that has a bus, whichever is worked on */
  g_assert_true (bl_bench_take_proof (bench, "24 V, 0.1, 24 V", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  /* A live state of the equipment is live for both boxes. */
  g_assert_true (bl_bench_set_state (bench, "run", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_HIGH);
  g_assert_true (bl_bench_set_state (bench, "joined", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
}

/* --- odds --- */

/* Common practice, no source: mains at one end of L and none at the other, the drop is along the conductor. */
static void
test_places (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;
  double before;

  bl_bench_settle (bench);
  g_assert_null (bl_bench_get_trouble (bench));
  before = place_odds (bench, "conductors");
  g_assert_null (bl_bench_isolated_role (bench));
  g_test_timer_start ();
  enter (bench, "LN-WALL 230");
  g_test_message ("entry with its verdict: %.1f ms", 1000 * g_test_timer_elapsed ());
  bl_bench_settle (bench);
  g_test_message ("... and the odds: %.1f ms", 1000 * g_test_timer_elapsed ());
  enter (bench, "LN-ROOF 0.1");
  enter (bench, "L-DROP 229");
  g_assert_cmpstr (word_of (bench, "LN-ROOF"), ==, "absent");
  bl_bench_settle (bench);
  g_assert_null (bl_bench_get_trouble (bench));
  g_assert_cmpfloat (place_odds (bench, "conductors"), >, 0.9);
  g_assert_cmpfloat (place_odds (bench, "conductors"), >, before);
  g_assert_cmpfloat (place_odds (bench, "W1"), >, 0.9);
  g_assert_null (bl_bench_isolated_role (bench)); /* between the boards: none of them is to be opened */
  g_autoptr (GError) error = NULL;
  g_assert_true (bl_bench_undo (bench, &error));
  g_assert_cmpstr (word_of (bench, "L-DROP"), ==, "");
}

/* --- which box feeds which --- */

static void
test_direction (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) others = bl_bench_other_directions (fixture->bench, &error);
  gint64 job = bl_bench_get_job (fixture->bench)->id;

  g_assert_no_error (error);
  g_assert_cmpuint (others->len, ==, 1);
  g_assert_cmpint (g_array_index (others, gint64, 0), ==, fixture->other);
  g_assert_true (bl_bench_note (fixture->bench, "came in wet", &error));
  g_assert_true (bl_bench_can_change_equipment (fixture->bench));
  g_assert_true (bl_bench_change_equipment (fixture->bench, fixture->other, &error));
  g_set_object (&fixture->bench, NULL);
  fixture->bench = open_job (fixture, job);
  g_assert_cmpint (bl_bench_get_job (fixture->bench)->equipment, ==, fixture->other);
  /* ... and back from there. */
  g_autoptr (GArray) back = bl_bench_other_directions (fixture->bench, &error);
  g_assert_cmpuint (back->len, ==, 1);
  g_assert_cmpint (g_array_index (back, gint64, 0), ==, fixture->pair);
  enter (fixture->bench, "DIR yes");
  g_assert_false (bl_bench_can_change_equipment (fixture->bench));
  g_assert_false (bl_bench_change_equipment (fixture->bench, fixture->pair, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

/* The answer that denies the direction is no obstacle: going over strikes it, for there it would mean the opposite. */
static void
test_direction_denied (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 job = bl_bench_get_job (fixture->bench)->id;

  g_assert_null (bl_bench_direction_denied (fixture->bench));
  enter (fixture->bench, "wall/LAMP no"); /* deviates, and is about no direction */
  g_assert_null (bl_bench_direction_denied (fixture->bench));
  g_assert_true (bl_bench_undo (fixture->bench, &error));
  enter (fixture->bench, "DIR no");
  g_assert_cmpstr (bl_bench_direction_denied (fixture->bench), ==, "DIR");
  g_assert_false (bl_bench_can_change_equipment (fixture->bench)); /* the lamp, which undo struck, may come back */
  enter (fixture->bench, "DIR yes");
  g_assert_null (bl_bench_direction_denied (fixture->bench)); /* the last answer counts */
  g_autoptr (BlJob) head = bl_job_new ();
  head->complaint = g_strdup ("roof unit dead");
  job = bl_bench_start_equipment (fixture->library, fixture->pair, head, &error);
  g_object_unref (fixture->bench);
  fixture->bench = open_job (fixture, job);
  enter (fixture->bench, "DIR no");
  g_assert_true (bl_bench_can_change_equipment (fixture->bench));
  g_assert_true (bl_bench_change_equipment (fixture->bench, fixture->other, &error));
  g_assert_no_error (error);
  g_object_unref (fixture->bench);
  fixture->bench = open_job (fixture, job);
  g_assert_cmpint (bl_bench_get_job (fixture->bench)->equipment, ==, fixture->other);
  g_assert_cmpstr (word_of (fixture->bench, "DIR"), ==, "");
  g_assert_null (bl_bench_direction_denied (fixture->bench));
  g_assert_false (bl_bench_has_evidence (fixture->bench));
}

/* With more read, a job of its own is begun for the other direction, and each log names the other one. */
static void
test_direction_late (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 first = bl_bench_get_job (fixture->bench)->id;
  int number = bl_bench_get_job (fixture->bench)->number;

  enter (fixture->bench, "LN-WALL 230");
  enter (fixture->bench, "DIR no");
  g_assert_false (bl_bench_can_change_equipment (fixture->bench));
  gint64 job = bl_bench_begin_other_direction (fixture->bench, fixture->other, &error);
  g_assert_no_error (error);
  g_assert_cmpint (job, !=, first);
  g_assert_cmpstr (word_of (fixture->bench, "LN-WALL"), ==, "in band"); /* this job keeps what it read */
  g_autoptr (BlBench) other = open_job (fixture, job);
  g_assert_cmpint (bl_bench_get_job (other)->equipment, ==, fixture->other);
  g_assert_cmpint (bl_bench_get_job (other)->number, !=, number);
  g_assert_cmpstr (bl_bench_get_job (other)->complaint, ==, "roof unit dead");
  g_assert_true (bl_bench_has_said_direction (other));
  g_assert_false (bl_bench_has_evidence (other));
  g_autofree char *said = g_strdup_printf ("job %d", bl_bench_get_job (other)->number);
  const BlRecord *last = bl_at (bl_bench_get_records (fixture->bench), bl_bench_get_records (fixture->bench)->len - 1);
  g_assert_nonnull (strstr (last->text, said));
}

/* --- the suspect board --- */

/* The wall unit feeds, and its relay clicks and passes nothing under load: common practice, no source. */
static void
suspect_wall (BlBench *bench)
{
  enter (bench, "wall/LAMP yes");
  enter (bench, "wall/K1K yes");
  enter (bench, "PASS no");
  enter (bench, "LN-WALL 0.1");
  enter (bench, "LN-ROOF 0.1");
  enter (bench, "wall/K1O 0.1");
  bl_bench_settle (bench);
}

static void
test_part (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;
  g_autoptr (GError) error = NULL;

  suspect_wall (bench);
  g_test_message ("wall %f", place_odds (bench, "wall"));
  g_assert_cmpstr (bl_bench_isolated_role (bench), ==, "wall");
  g_assert_cmpint (bl_bench_part_job (bench, "wall", &error), ==, 0);
  gint64 job = bl_bench_begin_part_job (bench, "wall", &error);
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_part_job (bench, "wall", &error), ==, job);
  g_assert_cmpint (bl_bench_part_job (bench, "roof", &error), ==, 0);
  g_assert_cmpint (bl_bench_begin_part_job (bench, "cellar", &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_autoptr (BlBench) part = open_job (fixture, job);
  g_assert_cmpint (bl_bench_get_job (part)->board, ==, fixture->boards[0]);
  g_assert_cmpint (bl_bench_get_job (part)->part_of, ==, bl_bench_get_job (bench)->id);
  g_assert_cmpstr (bl_bench_get_job (part)->complaint, ==, "roof unit dead");
  g_assert_cmpint (bl_bench_get_whole_job (part)->id, ==, bl_bench_get_job (bench)->id);
  g_assert_null (bl_bench_get_whole_job (bench));
  g_assert_null (bl_bench_get_equipment (part));
  g_assert_cmpstr (word_of (part, "K1K"), ==, "as expected");
  g_assert_cmpstr (word_of (part, "K1O"), ==, "absent");
  g_assert_cmpstr (word_of (part, "V12"), ==, "");
  /* Its own time, band and verdict. */
  const BlRecord *here = bl_measurement_item_get_record (bl_bench_find (part, "K1O"));
  const BlRecord *there = bl_measurement_item_get_record (bl_bench_find (bench, "wall/K1O"));
  g_assert_cmpint (here->time, ==, there->time);
  g_assert_cmpfloat (here->band->low, ==, there->band->low);
  g_assert_cmpstr (bl_bench_get_state (part)->id, ==, bl_bench_get_state (bench)->id);
  bl_bench_settle (part);
  g_assert_null (bl_bench_get_trouble (part));
  g_assert_cmpstr (((BlOdd *) bl_at (bl_bench_get_diagnosis (part)->components, 0))->id, ==, "K1");
}

/* A cause found in a job on an equipment counts for the board it is on, once. */
static void
test_causes (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;

  g_assert_true (bl_bench_confirm_cause (bench, "wall/K1", "contact film", &error));
  g_assert_true (bl_bench_confirm_cause (bench, "W3", "open", &error));
  g_autoptr (GPtrArray) of_wall = bl_library_causes (fixture->library, fixture->boards[0], 0, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (of_wall->len, ==, 1);
  g_assert_cmpstr (((BlFoundCause *) bl_at (of_wall, 0))->component, ==, "K1");
  g_autoptr (GPtrArray) of_roof = bl_library_causes (fixture->library, fixture->boards[1], 0, &error);
  g_assert_cmpuint (of_roof->len, ==, 0);
  g_autoptr (GPtrArray) of_pair = bl_library_equipment_causes (fixture->library, fixture->pair, 0, &error);
  g_assert_cmpuint (of_pair->len, ==, 2);
  /* Gone on with on the board: that job speaks for it. */
  gint64 job = bl_bench_begin_part_job (bench, "wall", &error);
  g_autoptr (BlBench) part = open_job (fixture, job);
  g_assert_true (bl_bench_confirm_cause (part, "K1", "contact film", &error));
  g_autoptr (GPtrArray) once = bl_library_causes (fixture->library, fixture->boards[0], 0, &error);
  g_assert_cmpuint (once->len, ==, 1);
  g_assert_cmpint (((BlFoundCause *) bl_at (once, 0))->job, ==, job);
}

/* What the board's own job did is not denied by the report of the whole: it names that job. */
static void
test_report_part (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 whole = bl_bench_get_job (fixture->bench)->id;
  g_autoptr (BlJobReport) before = bl_report_gather (fixture->library, whole, &error);

  g_assert_null (before->gone_on);
  gint64 part = bl_bench_begin_part_job (fixture->bench, "wall", &error);
  g_autoptr (BlJob) head = bl_library_load_job (fixture->library, part, &error);
  g_autoptr (BlJobReport) after = bl_report_gather (fixture->library, whole, &error);
  g_assert_no_error (error);
  g_autofree char *number = g_strdup_printf ("%d", head->number);
  g_assert_cmpstr (after->gone_on, ==, number);
}

/* The report of a job on an equipment goes by the same history as its bench. */
static void
test_report_history (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) head = bl_job_new ();

  g_assert_true (bl_bench_confirm_cause (fixture->bench, "W3", "open", &error));
  gint64 job = bl_bench_start_equipment (fixture->library, fixture->pair, head, &error);
  g_assert_no_error (error);
  g_autoptr (BlJobReport) report = bl_report_gather (fixture->library, job, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (report->repairs, ==, 1);
  g_assert_nonnull (report->weighed);
}

int
main (int argc, char **argv)
{
#define ADD(path, function) g_test_add ("/bench-equipment/" path, Fixture, NULL, set_up, function, tear_down)
  g_test_init (&argc, &argv, NULL);
  ADD ("order", test_order);
  ADD ("names", test_names);
  ADD ("typed", test_typed);
  ADD ("document", test_document);
  ADD ("states", test_states);
  ADD ("places", test_places);
  ADD ("direction", test_direction);
  ADD ("direction-denied", test_direction_denied);
  ADD ("direction-late", test_direction_late);
  ADD ("part", test_part);
  ADD ("causes", test_causes);
  ADD ("report-history", test_report_history);
  ADD ("report-part", test_report_part);
  return g_test_run ();
}
