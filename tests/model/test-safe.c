/* SPDX-License-Identifier: GPL-3.0-or-later
 * Dangers on the bench, with a clock of the test's own: states that run out, the charge after switch-off, the proof that
 * ohms ask for and ask for again, leads on different grounds, the shop's limits. */
#include "config.h"

#include "bl-bench-safe.h"
#include "bl-bench-supply.h"
#include "bl-board-edit.h"
#include "bl-bundle.h"
#include "bl-library-steps.h"

#include "scratch.h"

static gint64 test_time;

static gint64
test_clock (void)
{
  return test_time;
}

static void
pass (double seconds)
{
  test_time += (gint64) (seconds * G_USEC_PER_SEC);
}

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
} Fixture;

/* The board of the example with a bulk capacitor, its bleeder, and a state without either. */
static BlBoard *
load_board (const char *folder)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *path = scratch_file (folder, "board.json"), *contents = NULL;

  g_file_get_contents (document, &contents, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GString) text = g_string_new (contents);
  g_assert_cmpuint (g_string_replace (text, "\"dead_proof\": [\"M0\"]",
                                      "\"dead_proof\": [\"M0\"], \"capacitor\": \"C1\", \"bleeder\": \"R2\"", 0), ==, 1);
  g_assert_cmpuint (g_string_replace (text, "\"components\": [",
                                      "\"components\": ["
                                      "{\"id\": \"C1\", \"kind\": \"capacitor.electrolytic\", \"value\": \"330 uF\","
                                      " \"stage\": \"bulk\"},"
                                      "{\"id\": \"R2\", \"kind\": \"resistor\", \"value\": \"220k\", \"stage\": \"bulk\"},", 0),
                    ==, 1);
  g_assert_cmpuint (g_string_replace (text, "\"test_points\": [",
                                      "\"test_points\": ["
                                      "{\"id\": \"TPB\", \"ground\": \"hot\"}, {\"id\": \"TPH\", \"ground\": \"hot\"},", 0), ==, 1);
  g_assert_cmpuint (g_string_replace (text, "\"measurements\": [",
                                      "\"measurements\": ["
                                      "{\"id\": \"MB\", \"at\": \"TPB\", \"black\": \"TPH\", \"measures\": \"V DC\","
                                      " \"state\": \"run\", \"reads\": \"bulk\", \"expected\": {\"nominal\": 325}},"
                                      "{\"id\": \"MX\", \"at\": \"TP5\", \"black\": \"TPH\", \"measures\": \"V DC\","
                                      " \"state\": \"run\"},", 0), ==, 1);
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

  test_time = G_GINT64_CONSTANT (1800000000) * G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
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
  bl_library_set_clock (NULL);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static void
enter (Fixture *fixture, const char *text)
{
  g_autoptr (GError) error = NULL;

  g_test_message ("typed: %s", text);
  bl_bench_enter (fixture->bench, text, &error);
  g_assert_no_error (error);
}

static void
declare (Fixture *fixture, const char *state)
{
  g_autoptr (GError) error = NULL;

  bl_bench_set_state (fixture->bench, state, &error);
  g_assert_no_error (error);
}

static void
prove (Fixture *fixture, const char *text)
{
  g_autoptr (GError) error = NULL;

  g_test_message ("proof: %s", text);
  bl_bench_take_proof (fixture->bench, text, &error);
  g_assert_no_error (error);
}

static BlMeasurementItem *
item_of (Fixture *fixture, const char *measurement)
{
  BlMeasurementItem *item = bl_bench_find (fixture->bench, measurement);

  g_assert_nonnull (item);
  return item;
}

static gboolean
is_flagged (Fixture *fixture, const char *measurement)
{
  return bl_measurement_item_get_record (item_of (fixture, measurement))->unproven;
}

/* --- states that run out --- */

static void
test_runs_out (Fixture *fixture, gconstpointer unused)
{
  g_autofree char *before = NULL, *after = NULL, *again = NULL, *other = NULL;

  g_assert_true (isnan (bl_bench_left_s (fixture->bench)));
  declare (fixture, "run"); /* lasts 180 s */
  g_assert_cmpfloat_with_epsilon (bl_bench_left_s (fixture->bench), 180, 0.1);
  pass (100);
  g_assert_cmpfloat_with_epsilon (bl_bench_left_s (fixture->bench), 80, 0.1);
  bl_bench_select (fixture->bench, item_of (fixture, "M5"));
  before = bl_bench_doubt (fixture->bench, "0");
  g_assert_null (before);
  pass (152);
  g_assert_cmpfloat_with_epsilon (bl_bench_left_s (fixture->bench), -72, 0.1);
  after = bl_bench_doubt (fixture->bench, "0");
  g_assert_nonnull (after);
  g_assert_nonnull (strstr (after, "3:00"));
  g_assert_nonnull (strstr (after, "1:12"));
  /* What is read in another state does not hang on the time of this one. */
  other = bl_bench_doubt (fixture->bench, "M9 980k");
  g_assert_null (other);
  /* Never refused. */
  enter (fixture, "M5 0");
  g_assert_cmpstr (bl_measurement_item_get_word (item_of (fixture, "M5")), ==, "absent");
  g_assert_cmpstr (bl_measurement_item_get_record (item_of (fixture, "M5"))->why, ==, BL_STATE_OVER);
  declare (fixture, "run");
  again = bl_bench_doubt (fixture->bench, "M5 0");
  g_assert_null (again);
  enter (fixture, "M5 0");
  g_assert_null (bl_measurement_item_get_record (item_of (fixture, "M5"))->why);
}

/* --- ohms --- */

static void
test_ohms (Fixture *fixture, gconstpointer unused)
{
  BlMeasurementItem *ohms = item_of (fixture, "M9");
  g_autofree char *first = NULL, *proved = NULL, *old = NULL, *last = NULL;

  declare (fixture, "off");
  first = bl_bench_ohms_words (fixture->bench, ohms);
  g_assert_nonnull (strstr (first, "10 V"));
  enter (fixture, "M9 980k");
  g_assert_true (is_flagged (fixture, "M9"));
  prove (fixture, "230 0.3 230");
  proved = bl_bench_ohms_words (fixture->bench, ohms);
  g_assert_null (proved);
  pass (59);
  enter (fixture, "M9 981k");
  g_assert_false (is_flagged (fixture, "M9"));
  /* After a minute it is asked for again: the capacitor recovers. */
  pass (2);
  old = bl_bench_ohms_words (fixture->bench, ohms);
  g_assert_nonnull (strstr (old, "1:01"));
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_OLD);
  enter (fixture, "M9 982k");
  g_assert_true (is_flagged (fixture, "M9"));
  /* Volts hang on the proof alone, which still holds. */
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_PROVEN);
  /* Proved again after that minute it holds until the board is live. */
  prove (fixture, "230 2 230");
  pass (3600);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_PROVED);
  enter (fixture, "M9 983k");
  g_assert_false (is_flagged (fixture, "M9"));
  declare (fixture, "run");
  declare (fixture, "off");
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_NO_PROOF);
  last = bl_bench_ohms_words (fixture->bench, ohms);
  g_assert_nonnull (last);
}

/* Below the shock limit is not below the limit for ohms. */
static void
test_ohms_not_below (Fixture *fixture, gconstpointer unused)
{
  declare (fixture, "off");
  prove (fixture, "230 24 230");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_PROVEN);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_NOT_BELOW);
  enter (fixture, "M9 980k");
  g_assert_true (is_flagged (fixture, "M9"));
  prove (fixture, "230 -4 230");
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_PROVED);
  /* A voltage read there later takes it back; one that gives a shock takes the proof of dead too. */
  enter (fixture, "M0 14");
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_NOT_BELOW);
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_PROVEN);
  enter (fixture, "M0 -280");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_UNPROVEN);
}

/* Two proofs within the minute are one: the second says nothing about what comes back. */
static void
test_ohms_too_soon (Fixture *fixture, gconstpointer unused)
{
  declare (fixture, "off");
  prove (fixture, "230 0.3 230");
  pass (20);
  prove (fixture, "230 0.3 230");
  pass (50);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_OLD);
}

/* --- limits --- */

static void
test_limits (Fixture *fixture, gconstpointer unused)
{
  BlSafeLimits limits = { 50, 20, 5, 120 };
  g_autoptr (GError) error = NULL, ac = NULL;

  declare (fixture, "off");
  prove (fixture, "230 55 230");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_PROVEN);
  bl_bench_set_limits (fixture->bench, &limits);
  g_assert_false (bl_bench_take_proof (fixture->bench, "230 55 230", &error));
  g_assert_nonnull (strstr (error->message, "50 V"));
  /* Alternating voltages have a limit of their own, with or without a blank before the unit. */
  g_assert_false (bl_bench_take_proof (fixture->bench, "230 V AC, 30 V AC, 230 V AC", &ac));
  g_assert_nonnull (strstr (ac->message, "20 V"));
  prove (fixture, "230 V AC, 19 V AC, 230 V AC");
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_NOT_BELOW);
  prove (fixture, "230 4 230");
  pass (119);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_PROVED);
  pass (2);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_OLD);
}

/* --- the charge --- */

static void
test_charge (Fixture *fixture, gconstpointer unused)
{
  BlSafeCharge charge;
  g_autofree char *words = NULL;

  declare (fixture, "off");
  g_assert_false (bl_bench_get_charge (fixture->bench, &charge)); /* never live here */
  declare (fixture, "run");
  g_assert_false (bl_bench_get_charge (fixture->bench, &charge));
  pass (30);
  declare (fixture, "off");
  pass (10);
  g_assert_true (bl_bench_get_charge (fixture->bench, &charge));
  g_assert_cmpfloat (charge.from, ==, 325);
  g_assert_cmpfloat_with_epsilon (charge.gone_s, 10, 0.1);
  /* 330 uF 220 kohm: 72.6 s; with 20 % and 5 % more 91.5 s; ln (325/60) = 1.690, ln (325/10) = 3.481. */
  g_assert_cmpfloat_with_epsilon (charge.to_shock_s, 154.6, 0.1);
  g_assert_cmpfloat_with_epsilon (charge.to_ohms_s, 318.4, 0.1);
  words = bl_charge_words (&charge, bl_bench_get_limits (fixture->bench));
  g_test_message ("%s", words);
  g_assert_nonnull (strstr (words, "C1"));
  g_assert_nonnull (strstr (words, "2:35"));
  g_assert_nonnull (strstr (words, "5:19"));
  g_assert_nonnull (strstr (bl_charge_caution (&charge), "bleeder"));
  /* To declare it unpowered once more does not start the clock anew. */
  declare (fixture, "off");
  pass (10);
  g_assert_true (bl_bench_get_charge (fixture->bench, &charge));
  g_assert_cmpfloat_with_epsilon (charge.gone_s, 20, 0.1);
  /* The time alone proves nothing. */
  pass (3600);
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_UNPROVEN);
  g_assert_cmpint (bl_bench_ohms_proof (fixture->bench), ==, BL_OHMS_NO_PROOF);
  prove (fixture, "230 24 230");
  g_assert_true (bl_bench_get_charge (fixture->bench, &charge));
  prove (fixture, "230 2 230");
  g_assert_false (bl_bench_get_charge (fixture->bench, &charge));
}

static void
test_charge_stays (Fixture *fixture, gconstpointer unused)
{
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  BlSafeCharge charge;
  g_autofree char *words = NULL;

  g_clear_pointer (&bl_board_state (bl_edition_begin (edition, "bleeder", NULL), "off")->bleeder, g_free);
  g_assert_true (bl_edition_commit (edition, NULL));
  enter (fixture, "MB 325"); /* a reading in a live state says that it was live */
  declare (fixture, "off");
  g_assert_true (bl_bench_get_charge (fixture->bench, &charge));
  g_assert_true (isinf (charge.to_shock_s));
  words = bl_charge_words (&charge, bl_bench_get_limits (fixture->bench));
  g_assert_nonnull (strstr (words, "no part"));
  g_assert_nonnull (strstr (bl_charge_caution (&charge), "leaks"));
}

/* A component that is renamed or removed takes its place in the state along. */
static void
test_charge_edited (Fixture *fixture, gconstpointer unused)
{
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  const BlState *state;

  bl_board_rename (bl_edition_begin (edition, "rename", NULL), BL_KIND_COMPONENT, "C1", "C7");
  g_assert_true (bl_edition_commit (edition, NULL));
  state = bl_board_state (bl_bench_get_board (fixture->bench), "off");
  g_assert_cmpstr (state->capacitor, ==, "C7");
  bl_board_remove (bl_edition_begin (edition, "remove", NULL), BL_KIND_COMPONENT, "R2");
  g_assert_true (bl_edition_commit (edition, NULL));
  state = bl_board_state (bl_bench_get_board (fixture->bench), "off");
  g_assert_null (state->bleeder);
}

/* --- grounds --- */

static void
test_grounds (Fixture *fixture, gconstpointer unused)
{
  g_autofree char *same = bl_bench_grounds_words (fixture->bench, item_of (fixture, "M5"));
  g_autofree char *hot = bl_bench_grounds_words (fixture->bench, item_of (fixture, "MB"));
  g_autofree char *mixed = bl_bench_grounds_words (fixture->bench, item_of (fixture, "MX"));

  g_assert_null (same);
  g_assert_null (hot);
  g_assert_true (g_str_has_prefix (mixed, "DIFFERENT GROUNDS"));
  g_assert_nonnull (strstr (mixed, "TP5"));
  g_assert_nonnull (strstr (mixed, "TPH"));
  g_assert_true (bl_safe_is_hot_part (bl_bench_get_board (fixture->bench), "C1"));
  g_assert_true (bl_safe_is_hot_part (bl_bench_get_board (fixture->bench), "F1"));
  g_assert_false (bl_safe_is_hot_part (bl_bench_get_board (fixture->bench), "X3"));
}

/* --- power --- */

static guint
lines_of (Fixture *fixture, BlRecordKind kind)
{
  GPtrArray *records = bl_bench_get_records (fixture->bench);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    n += ((BlRecord *) bl_at (records, i))->kind == kind;
  return n;
}

static const BlRecord *
last_record (Fixture *fixture)
{
  GPtrArray *records = bl_bench_get_records (fixture->bench);
  return bl_at (records, records->len - 1);
}

/* What feeds it is asked the first time it is live in a job, and not again. */
static void
test_supply (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;

  g_assert_false (bl_bench_wants_supply (fixture->bench));
  declare (fixture, "off");
  g_assert_false (bl_bench_wants_supply (fixture->bench));
  enter (fixture, "M5 5"); /* a reading declares its live state, too */
  g_assert_true (bl_bench_wants_supply (fixture->bench));
  g_assert_true (bl_bench_say_supply (fixture->bench, BL_SUPPLY_ISOLATED | BL_SUPPLY_LIMITED, &error));
  g_assert_no_error (error);
  g_assert_cmpint (last_record (fixture)->kind, ==, BL_RECORD_SUPPLY);
  g_assert_cmpstr (last_record (fixture)->subject, ==, "run");
  g_assert_cmpstr (last_record (fixture)->text, ==, "supply: isolated, limited");
  words = bl_supply_record_words (last_record (fixture));
  g_assert_cmpstr (words, ==, "fed by: isolating transformer, current-limited");
  g_assert_false (bl_bench_wants_supply (fixture->bench));
  declare (fixture, "off");
  declare (fixture, "run");
  g_assert_false (bl_bench_wants_supply (fixture->bench));
  /* No step of undo takes it back: the reading goes instead. */
  g_assert_true (bl_bench_undo (fixture->bench, &error));
  g_assert_false (bl_bench_wants_supply (fixture->bench));
  g_assert_cmpuint (lines_of (fixture, BL_RECORD_SUPPLY), ==, 1);
}

/* After a repair on the hot side it is asked before power comes back: each time. */
static void
test_before_power (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;

  declare (fixture, "run");
  g_assert_null (bl_bench_wants_before_power (fixture->bench));
  declare (fixture, "off");
  enter (fixture, "X3 replaced"); /* of the isolated side */
  declare (fixture, "run");
  g_assert_null (bl_bench_wants_before_power (fixture->bench));
  for (guint i = 0; i < 2; i++)
    {
      declare (fixture, "off");
      enter (fixture, "C1 replaced");
      g_assert_cmpstr (bl_bench_repaired_hot (fixture->bench), ==, "C1");
      g_assert_null (bl_bench_wants_before_power (fixture->bench)); /* still unpowered */
      declare (fixture, "run");
      g_assert_cmpstr (bl_bench_wants_before_power (fixture->bench), ==, "C1");
      g_assert_true (bl_bench_say_before_power (fixture->bench, BL_BEFORE_BUS | BL_BEFORE_PASSED, &error));
      g_assert_no_error (error);
      g_assert_null (bl_bench_wants_before_power (fixture->bench));
    }
  g_assert_cmpstr (last_record (fixture)->text, ==, "before power: bus, passed by");
  words = bl_supply_record_words (last_record (fixture));
  g_assert_nonnull (strstr (words, "no short"));
  g_assert_nonnull (strstr (words, "passed by"));
  /* Declared live all the time: the next reading under power asks. */
  enter (fixture, "C1 replaced");
  g_assert_null (bl_bench_wants_before_power (fixture->bench));
  enter (fixture, "M5 5");
  g_assert_cmpstr (bl_bench_wants_before_power (fixture->bench), ==, "C1");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, test) g_test_add ("/model/safe/" name, Fixture, NULL, set_up, test, tear_down)
  ADD ("runs-out", test_runs_out);
  ADD ("ohms", test_ohms);
  ADD ("ohms-not-below", test_ohms_not_below);
  ADD ("ohms-too-soon", test_ohms_too_soon);
  ADD ("limits", test_limits);
  ADD ("charge", test_charge);
  ADD ("charge-stays", test_charge_stays);
  ADD ("charge-edited", test_charge_edited);
  ADD ("grounds", test_grounds);
  ADD ("supply", test_supply);
  ADD ("before-power", test_before_power);
  return g_test_run ();
}
