/* SPDX-License-Identifier: GPL-3.0-or-later
 * An open job on the example board: what is typed is on disk, judged, and turned into odds; hazards
 * follow the declared state; nothing is deleted. Over 600 lines, because the cases are many and share one open job. */
#include "config.h"

#include "bl-bench.h"
#include "bl-bundle.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlBench *bench;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);
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
  g_test_message ("typed: %s", text);
  bl_bench_enter (fixture->bench, text, &error);
  g_assert_no_error (error);
}

static const char *
word_of (Fixture *fixture, const char *measurement)
{
  return bl_measurement_item_get_word (bl_bench_find (fixture->bench, measurement));
}

/* Records another program would find in the file now. */
static guint
records_on_disk (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) second = bl_library_open (fixture->path, FALSE, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) records = bl_library_records (second, bl_bench_get_job (fixture->bench)->id, &error);
  g_assert_no_error (error);
  return records->len;
}

static void
test_entry (Fixture *fixture, gconstpointer unused)
{
  guint before = records_on_disk (fixture);

  enter (fixture, "TP5 4,98");
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  g_assert_cmpuint (records_on_disk (fixture), ==, before + 2); /* the state it was read in, the reading */
  enter (fixture, "m5 0.1");
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "absent");
  enter (fixture, "V1 no");
  g_assert_cmpstr (word_of (fixture, "V1"), ==, "deviates");
  bl_bench_settle (fixture->bench);
  g_assert_null (bl_bench_get_trouble (fixture->bench));
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (fixture->bench);
  g_assert_nonnull (diagnosis);
  g_assert_nonnull (diagnosis->next);
  g_assert_cmpstr (((BlOdd *) bl_at (diagnosis->sections, 0))->id, ==, "supply");
}

static void
test_selection_goes_on (Fixture *fixture, gconstpointer unused)
{
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  enter (fixture, "5");
  /* V1 is the other one in the running state. */
  g_assert_cmpstr (bl_measurement_item_get_id (bl_bench_get_current (fixture->bench)), ==, "V1");
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  static const char *const texts[] = { "TP5 blue", "M5 4.98 A", "XX9 5", "U2", "U2 sideways", "" };
  guint before = records_on_disk (fixture);

  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      g_test_message ("typed: %s", texts[i]);
      g_assert_false (bl_bench_enter (fixture->bench, texts[i], &error));
      g_assert_nonnull (error);
    }
  g_assert_cmpuint (records_on_disk (fixture), ==, before);
}

/* A refusal names what is wrong, and what may have been meant. */
static void
test_refusal_says_why (Fixture *fixture, gconstpointer unused)
{
  static const struct
  {
    const char *text, *says;
  } cases[] = {
    { "nonsense 5", "There is no point or part “nonsense” on this board" },
    { "TPP5 5", "There is no point or part “TPP5” on this board. Near it: TP5" },
    { "coated", "For a point that was not reached, put a dash before the reason: “- coated”" },
  };

  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_false (bl_bench_enter (fixture->bench, cases[i].text, &error));
      g_assert_true (g_str_has_prefix (error->message, cases[i].says));
    }
}

/* What lies far beyond all that can be there is asked about, and kept all the same. */
static void
test_doubt (Fixture *fixture, gconstpointer unused)
{
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  g_autofree char *doubt = bl_bench_doubt (fixture->bench, "4700");
  g_assert_nonnull (doubt);
  g_test_message ("%s", doubt);
  g_assert_true (g_str_has_prefix (doubt, "4700 V"));
  g_assert_null (bl_bench_doubt (fixture->bench, "4.98"));
  g_assert_null (bl_bench_doubt (fixture->bench, "325"));
  g_assert_null (bl_bench_doubt (fixture->bench, "TP5"));
  g_assert_null (bl_bench_doubt (fixture->bench, "nonsense 4700"));
  enter (fixture, "4700");
  g_assert_nonnull (bl_measurement_item_get_record (bl_bench_find (fixture->bench, "M5")));
}

/* What an entry declares is told beforehand, and is what it then declares. */
static void
test_would_declare (Fixture *fixture, gconstpointer unused)
{
  BlMeasurementItem *item = bl_bench_find (fixture->bench, "M5");
  const BlState *state = bl_bench_would_declare (fixture->bench, item);

  g_assert_nonnull (state);
  g_assert_cmpstr (state->id, ==, "run");
  enter (fixture, "M5 4.98");
  g_assert_cmpstr (bl_bench_get_state (fixture->bench)->id, ==, "run");
  g_assert_null (bl_bench_would_declare (fixture->bench, item));
  /* Unpowered is for the technician to declare. */
  g_assert_null (bl_bench_would_declare (fixture->bench, bl_bench_find (fixture->bench, "M0")));
}

static void
test_preview_keeps_nothing (Fixture *fixture, gconstpointer unused)
{
  guint before = records_on_disk (fixture);
  BlReading reading;
  g_autoptr (BlVerdict) verdict = NULL;

  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  g_assert_true (bl_bench_preview (fixture->bench, "0.2", &reading, &verdict));
  g_assert_cmpstr (bl_verdict_label (verdict), ==, "absent");
  g_assert_cmpuint (records_on_disk (fixture), ==, before);
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "");
}

static void
test_undo_strikes (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  enter (fixture, "M5 4.98");
  enter (fixture, "M5 0.1");
  guint lines = records_on_disk (fixture);
  g_assert_true (bl_bench_undo (fixture->bench, &error));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  g_assert_cmpuint (records_on_disk (fixture), ==, lines); /* struck, not gone */
  g_assert_true (bl_bench_redo (fixture->bench, &error));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "absent");
}

static void
test_rounds (Fixture *fixture, gconstpointer unused)
{
  enter (fixture, "M5 0.1");
  enter (fixture, "U2 replaced");
  g_assert_true (bl_measurement_item_is_old (bl_bench_find (fixture->bench, "M5")));
  /* What was read before the repair is kept apart from what is read after it. */
  BlMeasurementItem *item = bl_bench_find (fixture->bench, "M5");
  g_assert_true (bl_measurement_item_get_before (item) == bl_measurement_item_get_record (item));
  enter (fixture, "M5 5.01");
  g_assert_false (bl_measurement_item_is_old (bl_bench_find (fixture->bench, "M5")));
  BlReading before;
  g_assert_true (bl_measurement_item_get_before (item) != bl_measurement_item_get_record (item));
  g_assert_true (bl_measurement_item_get_before_reading (item, &before));
  g_assert_cmpfloat (before.value, ==, 0.1);
  bl_bench_settle (fixture->bench);
  const BlOdd *part = bl_diagnosis_find (bl_bench_get_diagnosis (fixture->bench)->components, "U2");
  g_assert_cmpfloat (part->probability, <, 0.1);
}

static void
test_hazard (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;

  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNKNOWN);
  g_assert_true (bl_bench_set_state (bench, "off", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
  enter (fixture, "M9 980k");
  g_assert_true (bl_measurement_item_get_record (bl_bench_find (bench, "M9"))->unproven);
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  enter (fixture, "M9 981k");
  g_assert_false (bl_measurement_item_get_record (bl_bench_find (bench, "M9"))->unproven);
  /* A reading in a live state says that the board is live, and voids the proof. */
  enter (fixture, "M5 5");
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_HIGH);
  /* Reading ohms does not make the board unpowered. */
  enter (fixture, "M9 982k");
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_HIGH);
  g_assert_true (bl_measurement_item_get_record (bl_bench_find (bench, "M9"))->unproven);
  g_assert_true (bl_bench_set_state (bench, "off", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
}

static gint64
last_of_kind (BlBench *bench, BlRecordKind kind)
{
  GPtrArray *records = bl_bench_get_records (bench);

  for (guint i = records->len; i > 0; i--)
    if (((BlRecord *) g_ptr_array_index (records, i - 1))->kind == kind)
      return ((BlRecord *) g_ptr_array_index (records, i - 1))->id;
  g_assert_not_reached ();
}

/* What must not pass for a proof of dead. */
static void
test_void_proofs (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;

  /* Before any state was declared, and in a live one. */
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", &error));
  g_assert_true (bl_bench_set_state (bench, "off", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
  g_assert_true (bl_bench_set_state (bench, "run", &error));
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", &error));
  g_assert_true (bl_bench_set_state (bench, "off", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
  /* Striking the live state afterwards does not bring the proof from before it back. */
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  g_assert_true (bl_bench_set_state (bench, "run", &error));
  g_assert_true (bl_bench_strike (bench, last_of_kind (bench, BL_RECORD_STATE), "mistaken", &error));
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNPROVEN);
}

/* An edit of the document can make a declared state live, or take away the one that was. */
static void
test_state_edited (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;
  BlEdition *edition = bl_bench_get_edition (bench);
  BlState *state;

  g_assert_true (bl_bench_set_state (bench, "off", &error));
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", &error));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  state = bl_board_state (bl_edition_begin (edition, "live", NULL), "off");
  state->live = 1;
  g_assert_true (bl_edition_commit (edition, &error));
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_HIGH);
  g_assert_cmpint (bl_bench_get_proof_time (bench), ==, 0);
}

/* A state of which the document does not say whether it is live is taken for live: no proof of dead
 * counts in it. */
static void
test_live_not_said (Fixture *fixture, gconstpointer unused)
{
  BlBench *bench = fixture->bench;
  BlEdition *edition = bl_bench_get_edition (bench);

  g_assert_true (bl_bench_set_state (bench, "off", NULL));
  g_assert_true (bl_bench_take_proof (bench, "source 230, point 0,3 V, source 230", NULL));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_PROVEN);
  bl_board_state (bl_edition_begin (edition, "live", NULL), "off")->live = -1;
  g_assert_true (bl_edition_commit (edition, NULL));
  g_assert_cmpint (bl_bench_get_hazard (bench), ==, BL_HAZARD_UNKNOWN);
  g_assert_cmpint (bl_bench_get_proof_time (bench), ==, 0);
}

/* What proves dead is judged by magnitude: a capacitor charged the other way round is no proof. */
static void
test_proof_by_magnitude (Fixture *fixture, gconstpointer unused)
{
  static const struct
  {
    const char *typed, *word;
  } rows[] = { { "M0 0.3", "in band" }, { "M0 -0.3", "in band" }, { "M0 325", "high" }, { "M0 -325", "high" } };
  BlBench *bench = fixture->bench;

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_true (bl_bench_enter (bench, rows[i].typed, NULL));
      g_assert_cmpstr (bl_measurement_item_get_word (bl_bench_find (bench, "M0")), ==, rows[i].word);
    }
}

static void
test_proof_is_three_readings (Fixture *fixture, gconstpointer unused)
{
  static const char *const texts[] = { "", "1", "dead", "0.3 V", "230 0.3", "230 325 230" };
  guint before;

  g_assert_true (bl_bench_set_state (fixture->bench, "off", NULL));
  before = records_on_disk (fixture);
  for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_false (bl_bench_take_proof (fixture->bench, texts[i], &error));
      g_assert_nonnull (error);
    }
  g_assert_cmpuint (records_on_disk (fixture), ==, before);
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_UNPROVEN);
}

static void
test_past_stays (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (fixture->bench);

  enter (fixture, "M5 4.85");
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  g_assert_true (bl_edition_set_expected (edition, "M5", "5 V 4.9..5.1", &error));
  g_assert_no_error (error);
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band"); /* judged by what held then */
  enter (fixture, "M5 4.85");
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "low");
}

static void
test_not_reached (Fixture *fixture, gconstpointer unused)
{
  enter (fixture, "M5 - coated");
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "not reached");
  bl_bench_settle (fixture->bench);
  GPtrArray *next = bl_bench_get_diagnosis (fixture->bench)->next;
  for (guint i = 0; i < next->len; i++)
    g_assert_cmpstr (((BlNext *) bl_at (next, i))->measurement, !=, "M5");
}

static void
test_document_changes_under_it (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  BlMeasurementItem *kept = bl_bench_find (fixture->bench, "V1");

  enter (fixture, "M5 4.85");
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  g_assert_true (bl_edition_remove (edition, "measurement", "M5", &error));
  g_assert_null (bl_bench_find (fixture->bench, "M5"));
  g_assert_null (bl_bench_get_current (fixture->bench));
  g_assert_true (bl_bench_find (fixture->bench, "V1") == kept);
  /* A line about what is gone keeps nothing from being entered and judged. */
  enter (fixture, "V1 yes");
  g_assert_cmpstr (word_of (fixture, "V1"), ==, "as expected");
  bl_bench_settle (fixture->bench);
  g_assert_null (bl_bench_get_trouble (fixture->bench));
  g_assert_nonnull (bl_bench_get_diagnosis (fixture->bench));
  g_assert_true (bl_edition_undo (edition, &error));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  bl_bench_settle (fixture->bench);
}

static char *
undo_one (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  char *label = bl_bench_get_undo_label (fixture->bench);

  g_assert_true (bl_bench_can_undo (fixture->bench) == (label != NULL));
  g_assert_true (bl_bench_undo (fixture->bench, &error));
  g_assert_no_error (error);
  return label;
}

static char *
redo_one (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  char *label = bl_bench_get_redo_label (fixture->bench);

  g_assert_true (bl_bench_can_redo (fixture->bench) == (label != NULL));
  g_assert_true (bl_bench_redo (fixture->bench, &error));
  g_assert_no_error (error);
  return label;
}

/* A page asks at once, when it hears of a change, what can be done now. */
static void
ask_what_is_possible (BlBench *bench)
{
  bl_bench_can_undo (bench);
  bl_bench_can_redo (bench);
}

/* Points added to the document and readings of them are one history, in the order they were made. */
static void
test_one_history (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (fixture->bench);
  guint n = g_list_model_get_n_items (bl_bench_get_measurements (fixture->bench));

  g_signal_connect (fixture->bench, "changed", G_CALLBACK (ask_what_is_possible), NULL);
  g_autofree char *first = bl_edition_add_read_point (edition, "front", 10, 20, BL_MEASURES_V_DC, "run", &error);
  g_assert_no_error (error);
  g_autofree char *point = g_strdup (bl_board_measurement (bl_bench_get_board (fixture->bench), first)->at);
  g_autofree char *first_reading = g_strdup_printf ("%s 12.1", first);
  enter (fixture, first_reading);
  g_autofree char *second = bl_edition_add_read_point (edition, "front", 30, 40, BL_MEASURES_V_DC, "run", &error);
  g_assert_no_error (error);
  g_autofree char *second_reading = g_strdup_printf ("%s 3.3", second);
  enter (fixture, second_reading);

  static const char *const kinds[] = { "reading", "Place", "reading", "Place" };
  g_autoptr (GPtrArray) labels = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_ptr_array_add (labels, undo_one (fixture));
      g_assert_nonnull (strstr (g_ptr_array_index (labels, i), kinds[i]));
    }
  g_assert_nonnull (strstr (g_ptr_array_index (labels, 2), point));
  g_assert_nonnull (strstr (g_ptr_array_index (labels, 2), "12.1"));
  g_assert_cmpuint (g_list_model_get_n_items (bl_bench_get_measurements (fixture->bench)), ==, n);
  g_assert_false (bl_bench_can_undo (fixture->bench));
  for (guint i = G_N_ELEMENTS (kinds); i > 0; i--)
    {
      g_autofree char *label = redo_one (fixture);
      g_assert_cmpstr (label, ==, g_ptr_array_index (labels, i - 1));
      if (i == 4)
        g_assert_cmpstr (bl_measurement_item_get_id (bl_bench_get_current (fixture->bench)), ==, first);
    }
  g_assert_false (bl_bench_can_redo (fixture->bench));
  BlReading reading;
  g_assert_true (bl_measurement_item_get_reading (bl_bench_find (fixture->bench, first), &reading));
  g_assert_cmpfloat (reading.value, ==, 12.1);
  g_assert_true (bl_measurement_item_get_reading (bl_bench_find (fixture->bench, second), &reading));
  g_assert_cmpfloat (reading.value, ==, 3.3);
}

/* Something new ends what can be redone, whichever history it is in; a change of the document after a
 * reading is no part of one before it. */
static void
test_new_ends_redo (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_bench_get_edition (fixture->bench);

  enter (fixture, "M5 4.98");
  g_free (undo_one (fixture));
  g_assert_true (bl_bench_can_redo (fixture->bench));
  g_assert_true (bl_edition_set_expected (edition, "M5", "5 V 4.9..5.1", &error));
  g_assert_false (bl_bench_can_redo (fixture->bench));
  enter (fixture, "M5 5");
  g_assert_true (bl_edition_set_expected (edition, "M5", "5 V 4.7..5.3", &error));
  g_autofree char *edit = undo_one (fixture), *entry = undo_one (fixture), *before = undo_one (fixture);
  g_assert_nonnull (strstr (edit, "Expected"));
  g_assert_nonnull (strstr (entry, "reading"));
  g_assert_nonnull (strstr (before, "Expected"));
  g_assert_false (bl_bench_can_undo (fixture->bench));
  /* What was struck by hand is restored by undo, and was no reading before. */
  enter (fixture, "M5 4.9");
  g_assert_true (bl_bench_strike (fixture->bench, last_of_kind (fixture->bench, BL_RECORD_READING), "slipped", &error));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "");
  g_autofree char *strike = undo_one (fixture);
  g_assert_nonnull (strstr (strike, "strike reading"));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  g_free (undo_one (fixture));
  g_assert_false (bl_bench_can_undo (fixture->bench));
}

/* Entries can be undone, and redone, when the job is opened again on the same day, and not on the next. */
static void
test_undo_after_reopening (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 job = bl_bench_get_job (fixture->bench)->id;

  enter (fixture, "M5 4.98");
  enter (fixture, "# cleaned");
  g_clear_object (&fixture->bench);
  fixture->bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
  g_free (undo_one (fixture));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
  g_free (undo_one (fixture));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "");
  g_clear_object (&fixture->bench);
  fixture->bench = bl_bench_new (fixture->library, job, &error);
  g_assert_no_error (error);
  g_free (redo_one (fixture));
  g_assert_cmpstr (word_of (fixture, "M5"), ==, "in band");
}

/* A declared state can be undone, which never makes the board look safer than it was proven. */
static void
test_undo_of_state (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_set_state (fixture->bench, "run", &error));
  g_assert_true (bl_bench_set_state (fixture->bench, "off", &error));
  g_assert_true (bl_bench_take_proof (fixture->bench, "230 0.3 230", &error));
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_PROVEN);
  g_autofree char *label = undo_one (fixture);
  g_assert_cmpstr (label, ==, "board state off");
  g_assert_cmpstr (bl_bench_get_state (fixture->bench)->id, ==, "run");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_HIGH);
  /* Redone, it is unpowered, and what the board was meanwhile nobody knows. */
  g_free (redo_one (fixture));
  g_assert_cmpstr (bl_bench_get_state (fixture->bench)->id, ==, "off");
  g_assert_cmpint (bl_bench_get_hazard (fixture->bench), ==, BL_HAZARD_UNPROVEN);
}

/* What stands on the job's head. */
static void
test_undo_of_head (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_end_job (fixture->bench, TRUE, &error));
  g_assert_true (bl_bench_get_job (fixture->bench)->closed);
  g_autofree char *label = undo_one (fixture);
  g_assert_cmpstr (label, ==, "end of the job");
  g_assert_false (bl_bench_get_job (fixture->bench)->closed);
  g_free (redo_one (fixture));
  g_assert_true (bl_bench_get_job (fixture->bench)->closed);
}

static gboolean
is_provisional (Fixture *fixture)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (fixture->library, TRUE, NULL);
  return ((BlBoardRow *) g_ptr_array_index (rows, 0))->provisional;
}

static void
test_keeping_undone (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_set_provisional (fixture->library, bl_bench_get_job (fixture->bench)->board, TRUE, &error));
  g_assert_true (bl_bench_keep_as_edition (fixture->bench, &error));
  g_assert_false (is_provisional (fixture));
  g_free (undo_one (fixture));
  g_assert_true (is_provisional (fixture));
  g_free (redo_one (fixture));
  g_assert_false (is_provisional (fixture));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/bench/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("entry", test_entry);
  ADD ("selection-goes-on", test_selection_goes_on);
  ADD ("refused", test_refused);
  ADD ("preview-keeps-nothing", test_preview_keeps_nothing);
  ADD ("undo-strikes", test_undo_strikes);
  ADD ("refusal-says-why", test_refusal_says_why);
  ADD ("doubt", test_doubt);
  ADD ("would-declare", test_would_declare);
  ADD ("rounds", test_rounds);
  ADD ("hazard", test_hazard);
  ADD ("void-proofs", test_void_proofs);
  ADD ("state-edited", test_state_edited);
  ADD ("live-not-said", test_live_not_said);
  ADD ("proof-by-magnitude", test_proof_by_magnitude);
  ADD ("proof-is-three-readings", test_proof_is_three_readings);
  ADD ("past-stays", test_past_stays);
  ADD ("not-reached", test_not_reached);
  ADD ("one-history", test_one_history);
  ADD ("new-ends-redo", test_new_ends_redo);
  ADD ("undo-after-reopening", test_undo_after_reopening);
  ADD ("undo-of-state", test_undo_of_state);
  ADD ("undo-of-head", test_undo_of_head);
  ADD ("keeping-undone", test_keeping_undone);
  ADD ("document-changes-under-it", test_document_changes_under_it);
  return g_test_run ();
}
