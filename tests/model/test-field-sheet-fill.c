/* SPDX-License-Identifier: GPL-3.0-or-later
 * What is on the sheet of field checks: the order of the trade, where the probes go, the cautions of an exchange, and
 * what the job has already. The order is common practice, no source. */
#include "config.h"

#include "bl-field-sheet-fill.h"

#include "bl-bench-told.h"
#include "bl-library-equipment.h"

#include "../core/fixture-wiring.h"

typedef struct
{
  BlLibrary *library;
  gint64 equipment, job;
} Fixture;

static gint64
add_board (BlLibrary *library, const char *name)
{
  gsize length;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = wiring_board (name, &length, NULL, NULL);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);

  g_assert_no_error (error);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = wiring_quoted (wiring_pair);
  g_autoptr (BlEquipment) equipment = bl_equipment_read (text, -1, NULL, &error);
  g_autoptr (BlJob) job = bl_job_new ();

  g_assert_no_error (error);
  fixture->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  const gint64 boards[] = { add_board (fixture->library, "fed.json"), add_board (fixture->library, "feeder.json") };
  fixture->equipment = bl_library_put_equipment (fixture->library, 0, equipment, boards, &error);
  g_assert_no_error (error);
  job->equipment = fixture->equipment;
  job->number = 412;
  job->customer = g_strdup ("Farm on the hill");
  fixture->job = bl_library_add_job (fixture->library, job, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  bl_library_close (fixture->library);
}

static void
test_order (Fixture *fixture, gconstpointer unused)
{
  static const BlSiteStep steps[] = { BL_SITE_DIRECTION, BL_SITE_SUPPLY,    BL_SITE_RELAY,
                                      BL_SITE_SIGNAL,    BL_SITE_CONDUCTOR, BL_SITE_EXCHANGE };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlFieldSheet) sheet = bl_field_sheet_fill (fixture->library, fixture->equipment, 0, &error);
  guint number = 0;

  g_assert_no_error (error);
  g_assert_cmpstr (sheet->equipment, ==, "Pair");
  g_assert_cmpint (sheet->job, ==, 0);
  g_assert_cmpuint (sheet->groups->len, ==, G_N_ELEMENTS (steps));
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      const BlFieldGroup *group = bl_at (sheet->groups, i);
      g_assert_cmpint (group->step, ==, steps[i]);
      g_assert_cmpstr (group->heading, ==, bl_site_step_words (steps[i]));
      for (guint j = 0; j < group->rows->len; j++)
        g_assert_cmpuint (((BlFieldRow *) bl_at (group->rows, j))->number, ==, ++number);
    }
  g_assert_cmpuint (number, >, G_N_ELEMENTS (steps));
  /* Click and output are two answers, side by side. */
  const BlFieldGroup *relay = bl_at (sheet->groups, 2);
  g_assert_cmpstr (((BlFieldRow *) bl_at (relay->rows, 0))->id, ==, "wall/TICK");
  g_assert_true (((BlFieldRow *) bl_at (relay->rows, 0))->question);
  g_assert_nonnull (bl_field_sheet_row (sheet, "PASS"));
  /* An exchange has the cautions that it must have. */
  const char *caution = ((BlFieldGroup *) bl_at (sheet->groups, 5))->caution;
  static const char *const must[] = { "Temporary lead first", "exchange last", "leakage", "Never the protective earth",
                                      "prove dead", "Mark", "Local codes", "put it back" };
  for (guint i = 0; i < G_N_ELEMENTS (must); i++)
    g_assert_nonnull (strstr (caution, must[i]));
}

static void
test_words (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlFieldSheet) sheet = bl_field_sheet_fill (fixture->library, fixture->equipment, 0, &error);

  g_assert_no_error (error);
  const BlFieldRow *near = bl_field_sheet_row (sheet, "NEAR"), *across = bl_field_sheet_row (sheet, "R-S"),
                   *question = bl_field_sheet_row (sheet, "BEEP-L");
  g_assert_cmpstr (near->probes, ==, "red on X3, wall: L to the roof box; black on X2, wall: N to the roof box");
  g_assert_cmpstr (near->expected, ==, "207 – 253 V AC");
  g_assert_cmpstr (near->unit, ==, "V AC");
  g_assert_false (near->question);
  g_assert_cmpstr (across->probes, ==, "red on X4, wall: S; black on T3, roof: S");
  g_assert_cmpstr (question->probes, ==, "");
  g_assert_true (question->question);
  g_assert_cmpstr (question->expected, ==, "yes");
  /* Only states that are used; the highest voltage counts. */
  g_assert_cmpuint (sheet->states->len, ==, 2);
  g_assert_true (bl_field_sheet_state (sheet, "run")->live);
  g_assert_false (bl_field_sheet_state (sheet, "off")->live);
  g_assert_cmpfloat (sheet->volts, ==, 325);
}

static void
append (Fixture *fixture, BlRecordKind kind, const char *subject, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);

  record->job = fixture->job;
  bl_library_append (fixture->library, record, &error);
  g_assert_no_error (error);
}

static void
test_job (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  append (fixture, BL_RECORD_READING, "NEAR", "231");
  append (fixture, BL_RECORD_READING, "NEAR", "229");
  g_autoptr (BlFieldSheet) sheet = bl_field_sheet_fill (fixture->library, fixture->equipment, fixture->job, &error);
  g_assert_no_error (error);
  g_assert_cmpint (sheet->job, ==, 412);
  g_assert_cmpstr (sheet->customer, ==, "Farm on the hill");
  g_assert_null (sheet->serial);
  g_assert_cmpstr (bl_field_sheet_row (sheet, "NEAR")->reading, ==, "229");
  g_assert_null (bl_field_sheet_row (sheet, "FAR")->reading);
  /* After a repair all is to be read again. */
  append (fixture, BL_RECORD_REPLACED, "wall/K1", NULL);
  g_autoptr (BlFieldSheet) after = bl_field_sheet_fill (fixture->library, fixture->equipment, fixture->job, &error);
  g_assert_no_error (error);
  g_assert_null (bl_field_sheet_row (after, "NEAR")->reading);
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = 1;
  gint64 other = bl_library_add_job (fixture->library, job, &error);
  g_assert_no_error (error);
  g_assert_null (bl_field_sheet_fill (fixture->library, fixture->equipment, other, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_null (bl_field_sheet_fill (fixture->library, 77, 0, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  /* An equipment without checks of its own has no sheet. */
  g_auto (Joined) joined = wiring_join (wiring_pair);
  bl_board_free (g_steal_pointer (&joined.board));
  joined.board = bl_board_new ();
  g_assert_null (bl_field_sheet_of (joined.board, NULL));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/field-sheet-fill/order", Fixture, NULL, set_up, test_order, tear_down);
  g_test_add ("/field-sheet-fill/words", Fixture, NULL, set_up, test_words, tear_down);
  g_test_add ("/field-sheet-fill/job", Fixture, NULL, set_up, test_job, tear_down);
  g_test_add ("/field-sheet-fill/refused", Fixture, NULL, set_up, test_refused, tear_down);
  return g_test_run ();
}
