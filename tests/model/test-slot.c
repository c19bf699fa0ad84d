/* SPDX-License-Identifier: GPL-3.0-or-later
 * Slots: every slot of every element of the example board is read and written. */
#include "config.h"

#include "bl-verdict.h"

#include "example.h"

static const char *
name_of (const BlBoard *board, const BlRef *ref, BlSlot slot)
{
  static char text[160];
  g_autofree char *words = bl_ref_words (board, ref);

  g_snprintf (text, sizeof text, "%s of %s", bl_slot_label (ref->element, slot), words);
  return text;
}

static gboolean
is_valid (const BlBoard *board)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  return bl_board_validate (board, problems);
}

typedef void (*Visit) (BlBoard *board, const BlRef *ref, BlSlot slot);

/* Each on a fresh board. */
static guint
visit_all (Visit visit)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GArray) refs = all_refs (board);
  guint n = 0;

  for (guint i = 0; i < refs->len; i++)
    for (guint slot = 0; slot < BL_N_SLOTS; slot++)
      {
        const BlRef *ref = &g_array_index (refs, BlRef, i);
        if (!bl_slot_exists (ref->element, slot))
          continue;
        g_autoptr (BlBoard) copy = bl_board_copy (board);
        visit (copy, ref, slot);
        n++;
      }
  return n;
}

/* What was read goes back and reads the same, and a valid document stays valid. */
static void
write_back (BlBoard *board, const BlRef *ref, BlSlot slot)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = bl_slot_get (board, ref, slot);

  g_test_message ("%s: “%s”", name_of (board, ref, slot), text);
  g_assert_nonnull (bl_ref_find (board, ref));
  g_assert_true (bl_slot_set (board, ref, slot, text, &error)
                 || (ref->element == BL_ELEMENT_SHOW && slot == BL_SLOT_CONDITION && *text == '\0'));
  g_autofree char *again = bl_slot_get (board, ref, slot);
  g_assert_cmpstr (again, ==, text);
  g_assert_true (is_valid (board));
}

static void
test_write_back (void)
{
  g_assert_cmpuint (visit_all (write_back), >, 200);
}

/* Every choice can be set and is then what is read. */
static void
take_choices (BlBoard *board, const BlRef *ref, BlSlot slot)
{
  g_autoptr (GPtrArray) choices = bl_slot_choices (board, ref, slot);

  for (guint i = 0; i < choices->len; i++)
    {
      const BlChoice *choice = bl_at (choices, i);
      g_autoptr (BlBoard) copy = bl_board_copy (board);
      g_autoptr (GError) error = NULL;
      BlRef after = *ref;
      gboolean done = bl_slot_set (copy, ref, slot, choice->value, &error);
      g_test_message ("%s: “%s”", name_of (board, ref, slot), choice->value);
      if (slot == BL_SLOT_MODE && !done)
        continue; /* the other mode of this component has that name */
      g_assert_no_error (error);
      if (slot == BL_SLOT_MODE)
        after.mode = g_intern_string (choice->value);
      g_autofree char *text = bl_slot_get (copy, &after, slot);
      g_assert_cmpstr (text, ==, choice->value);
      g_assert_cmpstr (choice->words, !=, "");
    }
}

static void
test_choices (void)
{
  g_assert_cmpuint (visit_all (take_choices), >, 200);
}

static void
assert_refused (BlRef ref, BlSlot slot, const char *text)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GError) error = NULL;

  g_assert_false (bl_slot_set (board, &ref, slot, text, &error));
  g_assert_nonnull (error);
}

static void
test_refused (void)
{
  assert_refused (bl_ref (BL_ELEMENT_STATE, "run"), BL_SLOT_ENTER_S, "soon");
  assert_refused (bl_ref (BL_ELEMENT_STATE, "run"), BL_SLOT_ENTER_S, "5 V");
  assert_refused (bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), BL_SLOT_EXPECTED, "5 A");
  assert_refused (bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), BL_SLOT_MISREAD, "150 %");
  assert_refused (bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), BL_SLOT_ABSENT_BELOW, "x");
  assert_refused (bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), BL_SLOT_ID, "TP0");
  assert_refused (bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), BL_SLOT_ID, "a b");
  assert_refused (bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), BL_SLOT_ID, "");
  assert_refused (bl_ref (BL_ELEMENT_TEST_POINT, "gone"), BL_SLOT_TITLE, "x");
  assert_refused (bl_ref_mode (BL_ELEMENT_MODE, "U2", "open", 0), BL_SLOT_MODE, "short");
}

static void
test_numbers (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlRef run = bl_ref (BL_ELEMENT_STATE, "run"), m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5");

  g_assert_true (bl_slot_set (board, &run, BL_SLOT_VOLTS, "0,4 kV", NULL));
  g_assert_cmpfloat_with_epsilon (bl_board_state (board, "run")->volts, 400, 1e-9);
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_MISREAD, "3 %", NULL));
  g_assert_cmpfloat_with_epsilon (bl_board_measurement (board, "M5")->misread, 0.03, 1e-12);
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_MISREAD, "0,04", NULL));
  g_assert_cmpfloat_with_epsilon (bl_board_measurement (board, "M5")->misread, 0.04, 1e-12);
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_MISREAD, "", NULL));
  g_assert_true (isnan (bl_board_measurement (board, "M5")->misread));
}

/* The share of a pulse goes with it, and the waveform with a measurement that has none. */
static void
test_waveform (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlRef m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5");
  const BlMeasurement *measurement = bl_board_measurement (board, "M5");
  g_autoptr (GPtrArray) choices = bl_slot_choices (board, &m5, BL_SLOT_WAVEFORM);

  g_assert_cmpuint (choices->len, ==, 6);
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_WAVEFORM, "pulse", NULL));
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_DUTY, "25 %", NULL));
  g_assert_cmpstr (measurement->waveform, ==, "pulse");
  g_assert_cmpfloat_with_epsilon (measurement->duty, 0.25, 1e-12);
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_WAVEFORM, "square", NULL));
  g_assert_true (isnan (measurement->duty));
  g_assert_true (bl_slot_set (board, &m5, BL_SLOT_MEASURES, "ohm", NULL));
  g_assert_null (measurement->waveform);
}

/* Names that are referred to: the references follow. */
static void
test_names (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlRef port = bl_ref (BL_ELEMENT_PORT, "S"), symptom = bl_ref (BL_ELEMENT_SYMPTOM, "E1"),
        mode = bl_ref_mode (BL_ELEMENT_MODE, "F1", "open", 0);

  g_assert_true (bl_slot_set (board, &port, BL_SLOT_ID, "link", NULL));
  g_assert_true (bl_slot_set (board, &symptom, BL_SLOT_ID, "E2", NULL));
  g_assert_true (bl_slot_set (board, &mode, BL_SLOT_MODE, "blown", NULL));
  g_assert_true (is_valid (board));
  const BlStage *rx = bl_board_stage (board, "rx");
  g_assert_cmpstr (((BlFeed *) bl_at (rx->feeds, 1))->from, ==, "port:link");
  g_assert_cmpstr (((BlIndication *) bl_at (board->indications, 0))->symptom, ==, "E2");
  const BlMode *cause = bl_component_mode (bl_board_component (board, "U2"), "short");
  g_assert_cmpstr (((BlProvokes *) bl_at (cause->provokes, 0))->mode, ==, "blown");
}

static void
test_paths (void)
{
  static const struct
  {
    const char *path;
    BlElement element;
    const char *id, *mode;
    guint index;
  } cases[] = {
    { "$.stages[2].section", BL_ELEMENT_STAGE, "rail5", NULL, 0 },
    { "$.components[1].modes[1].effects[1].is", BL_ELEMENT_EFFECT, "U2", "short", 1 },
    { "$.components[1].modes[1].provokes[0]", BL_ELEMENT_PROVOKES, "U2", "short", 0 },
    { "$.components[1].weight", BL_ELEMENT_COMPONENT, "U2", NULL, 0 },
    { "$.measurements[1].expected.low", BL_ELEMENT_MEASUREMENT, "M5", NULL, 0 },
    { "$.symptoms[0].when[0].on", BL_ELEMENT_WHEN, "E1", NULL, 0 },
    { "$.odds.faults", BL_ELEMENT_BOARD, NULL, NULL, 0 },
    { "$", BL_ELEMENT_BOARD, NULL, NULL, 0 },
  };
  g_autoptr (BlBoard) board = example_board ();

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      BlRef ref = bl_ref_from_path (board, cases[i].path);
      BlRef wanted = bl_ref_mode (cases[i].element, cases[i].id, cases[i].mode, cases[i].index);
      g_test_message ("%s", cases[i].path);
      g_assert_true (bl_ref_equal (&ref, &wanted));
    }
}

/* A band that follows another reading: chosen, given a line and a width, left again. */
static void
test_follows (void)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GError) error = NULL;
  BlMeasurement *other = bl_measurement_copy (bl_board_measurement (board, "M5"));
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, "M5");

  g_free (other->id);
  other->id = g_strdup ("M77");
  bl_append (&board->measurements, other, (GDestroyNotify) bl_measurement_free);
  g_assert_false (bl_slot_set (board, &ref, BL_SLOT_LINE, "0:0 1:1", &error));
  g_clear_error (&error);
  g_assert_true (bl_slot_set (board, &ref, BL_SLOT_FOLLOWS, "M77", &error));
  g_assert_true (is_valid (board));
  g_assert_true (bl_slot_set (board, &ref, BL_SLOT_LINE, "0:0; 12 : 1", &error) == FALSE);
  g_clear_error (&error);
  g_assert_true (bl_slot_set (board, &ref, BL_SLOT_LINE, "0:0.5 12:5,5V 24:10", &error));
  g_assert_no_error (error);
  g_assert_true (bl_slot_set (board, &ref, BL_SLOT_LINE_WIDTH, "3 %", &error));
  g_autofree char *line = bl_slot_get (board, &ref, BL_SLOT_LINE),
                  *width = bl_slot_get (board, &ref, BL_SLOT_LINE_WIDTH);
  g_assert_cmpstr (line, ==, "0:0.5 12:5.5 24:10");
  g_assert_cmpstr (width, ==, "3 %");
  const BlMeasurement *measurement = bl_board_measurement (board, "M5");
  g_autoptr (BlBand) band = bl_band_resolve (measurement, 18, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (band->nominal, 7.75, 1e-9); /* half way between 5.5 and 10 */
  g_assert_true (bl_slot_set (board, &ref, BL_SLOT_FOLLOWS, "", &error));
  g_assert_null (bl_board_measurement (board, "M5")->expected.follows);
}

static void
test_landmark (void)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GError) error = NULL;
  BlPhoto *photo = bl_at (board->photos, 0);
  BlRef second = bl_ref_at (BL_ELEMENT_LANDMARK, photo->id, 1);

  g_clear_pointer (&photo->landmarks, g_ptr_array_unref);
  for (guint i = 0; i < 2; i++)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = g_strdup_printf ("L%u", i + 1);
      landmark->x = landmark->y = 10;
      bl_append (&photo->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
    }
  g_assert_false (bl_slot_set (board, &second, BL_SLOT_ID, "L1", &error));
  g_clear_error (&error);
  g_assert_true (bl_slot_set (board, &second, BL_SLOT_ID, "hole", &error));
  g_assert_true (is_valid (board));
  BlRef found = bl_ref_from_path (board, "$.photos[0].landmarks[1].x");
  g_assert_true (bl_ref_equal (&found, &second));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/slot/waveform", test_waveform);
  g_test_add_func ("/model/slot/write-back", test_write_back);
  g_test_add_func ("/model/slot/choices", test_choices);
  g_test_add_func ("/model/slot/refused", test_refused);
  g_test_add_func ("/model/slot/numbers", test_numbers);
  g_test_add_func ("/model/slot/names", test_names);
  g_test_add_func ("/model/slot/paths", test_paths);
  g_test_add_func ("/model/slot/follows", test_follows);
  g_test_add_func ("/model/slot/landmark", test_landmark);
  return g_test_run ();
}
