/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weights of evidence and what would turn the verdict: worked out by hand where two parts of a board
 * are weighed, and against the engine's own reasons on a demo board. */
#include "config.h"

#include "bl-reasons.h"

#include <math.h>

#include "bl-simulate.h"
#include "fixture-demo.h"
#undef G_DISABLE_ASSERT

static GPtrArray *
entries_of (const BlBoard *board, const char *lines)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strconcat ("measurement,reading,meter\n", lines, NULL);
  GPtrArray *entries = bl_evidence_parse_csv (board, text, -1, &error);

  g_assert_no_error (error);
  return entries;
}

static BlReasons *
reasons_of (const BlBoard *board, const char *lines, const char *suspect)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_autoptr (GPtrArray) entries = entries_of (board, lines);
  BlReasons *reasons;

  g_assert_no_error (error);
  reasons = bl_reasons_new (engine, entries, suspect, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (bl_reasons_find_turns (reasons, engine, entries, 0, NULL, &error));
  g_assert_no_error (error);
  return reasons;
}

/* Two parts, so seldom broken that both at once do not matter, and nothing else that could be. A
 * weighs 1 and B 3; a lamp goes dark with A, a click stays away with B. */
static BlBoard *
two_parts (void)
{
  static const char text[] =
      "{\"format\": \"benchlore-board\", \"version\": 1,"
      "\"odds\": {\"faults\": 1e-7, \"elsewhere\": 0, \"other\": 0, \"setup\": 0, \"misreport\": 0.05},"
      "\"states\": [{\"id\": \"run\"}], \"sections\": [{\"id\": \"s\", \"kind\": \"supply\"}],"
      "\"stages\": [{\"id\": \"a\", \"section\": \"s\"}, {\"id\": \"b\", \"section\": \"s\"}],"
      "\"components\": [{\"id\": \"A\", \"kind\": \"x\", \"stage\": \"a\", \"modes\": [{\"mode\": \"open\", \"weight\": 1,"
      " \"effects\": [{\"is\": \"absent\"}]}]}, {\"id\": \"B\", \"kind\": \"x\", \"stage\": \"b\", \"modes\": [{\"mode\":"
      " \"open\", \"weight\": 3, \"effects\": [{\"is\": \"absent\"}]}]}],"
      "\"symptoms\": [{\"id\": \"E1\", \"when\": [{\"on\": \"a\", \"is\": [\"absent\"]}]}],"
      "\"measurements\": [{\"id\": \"lamp\", \"measures\": \"check\", \"state\": \"run\", \"reads\": \"a\"},"
      "{\"id\": \"click\", \"measures\": \"check\", \"state\": \"run\", \"reads\": \"b\"}]}";
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static void
assert_near (double value, double expected, double tolerance)
{
  if (!(fabs (value - expected) <= tolerance))
    g_error ("%.15g is not %.15g within %g", value, expected, tolerance);
}

/* A dark lamp is read with 0.98 when A is open and with 0.02/4 when it is not: 196 times, 22.92
 * decibans; the prior is 1 : 3. Without it B would be first again, with 3/4. */
static void
test_by_hand (void)
{
  g_autoptr (BlBoard) board = two_parts ();
  g_autoptr (BlReasons) reasons = reasons_of (board, "lamp,no,\n", "A");
  const BlReason *reason = g_ptr_array_index (reasons->reasons, 0);

  g_assert_cmpuint (reasons->reasons->len, ==, 1);
  assert_near (reasons->prior, .25, 1e-6);
  assert_near (reasons->probability, 196.0 / 199, 1e-6);
  g_assert_cmpstr (reason->said, ==, "deviates");
  g_assert_cmpuint (reason->round, ==, 1);
  assert_near (reason->decibans, 10 * log10 (196), 1e-4);
  assert_near (reason->stage_decibans, reason->decibans, 1e-9);
  g_assert_cmpstr (reason->first_without, ==, "B");
  g_assert_cmpstr (reason->stage_without, ==, "b");
  assert_near (reason->first_odds, .75, 1e-6);
  g_assert_cmpstr (reasons->mode, ==, "open");
  g_assert_cmpstr (reasons->stage, ==, "a");
}

/* Nothing read: B is first. The lamp deviates with .25 x .98 + .75 x .005; then A has .245 of that.
 * That the click is missing would only confirm B, that it is there turns to A: .25 x .995 of
 * .25 x .995 + .75 x .02, since a silence is heard as a click with 0.02. */
static void
test_turns (void)
{
  g_autoptr (BlBoard) board = two_parts ();
  g_autoptr (BlReasons) reasons = reasons_of (board, "", "B");
  double click = .25 * .995 + .75 * .02, dark = .25 * .98 + .75 * .005;
  const BlTurn *first, *second;

  g_assert_cmpuint (reasons->reasons->len, ==, 0);
  g_assert_cmpuint (reasons->turns->len, ==, 2);
  g_assert_cmpuint (reasons->tried, ==, 2);
  first = g_ptr_array_index (reasons->turns, 0);
  second = g_ptr_array_index (reasons->turns, 1);
  g_assert_cmpstr (first->measurement, ==, "click");
  g_assert_cmpstr (first->class_name, ==, "as expected");
  assert_near (first->chance, click, 1e-6);
  assert_near (first->first_odds, .25 * .995 / click, 1e-6);
  g_assert_cmpstr (second->measurement, ==, "lamp");
  g_assert_cmpstr (second->first, ==, "A");
  assert_near (second->chance, dark, 1e-6);
  assert_near (second->first_odds, .245 / dark, 1e-6);
}

/* A symptom weighs (1 - m)/m = 19 for A, a part test 0.98 : 0.02 against B; a row that is no reading
 * is no reason. */
static void
test_other_evidence (void)
{
  g_autoptr (BlBoard) board = two_parts ();
  g_autoptr (BlReasons) reasons = reasons_of (board, "symptom:E1,yes,\npart:B,good,\nclick,-,\n", "A");
  const BlReason *first = g_ptr_array_index (reasons->reasons, 0);
  const BlReason *second = g_ptr_array_index (reasons->reasons, 1);

  g_assert_cmpuint (reasons->reasons->len, ==, 2);
  g_assert_cmpint (first->kind, ==, BL_REASON_PART);
  assert_near (first->decibans, 10 * log10 (49), 1e-4);
  g_assert_cmpint (second->kind, ==, BL_REASON_SYMPTOM);
  assert_near (second->decibans, 10 * log10 (19), 1e-4);
  assert_near (reasons->prior, .25, 1e-6);
}

/* For the leading component of a demo job the weights are those the engine gives, to the digits that
 * odds carry; elsewhere and a stage are weighed too, and what does not exist is refused. */
static void
test_as_the_engine (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");
  const char *faults[] = { NULL, NULL };
  g_autoptr (GError) error = NULL;
  g_autofree char *fault = NULL;
  const BlComponent *part = g_ptr_array_index (board->components, 0);
  const BlMode *mode = g_ptr_array_index (part->modes, 0);

  fault = g_strdup_printf ("%s:%s", part->id, mode->mode);
  faults[0] = fault;
  g_autoptr (GPtrArray) entries = bl_simulate (board, faults, 3, "", &error);
  g_assert_no_error (error);
  g_ptr_array_set_size (entries, MIN (entries->len, 6));
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_assert_no_error (error);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_WHY, NULL, &error);
  g_assert_no_error (error);
  const BlOdd *leader = g_ptr_array_index (diagnosis->components, 0);
  g_autoptr (BlReasons) reasons = bl_reasons_new (engine, entries, leader->id, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (reasons->reasons->len, ==, diagnosis->why->len);
  assert_near (reasons->probability, leader->probability, 1e-12);
  for (guint i = 0; i < diagnosis->why->len; i++)
    {
      const BlWhy *why = g_ptr_array_index (diagnosis->why, i);
      const BlReason *reason = NULL;
      for (guint r = 0; r < reasons->reasons->len; r++)
        if (g_str_equal (((BlReason *) g_ptr_array_index (reasons->reasons, r))->subject, why->measurement))
          reason = g_ptr_array_index (reasons->reasons, r);
      g_assert_nonnull (reason);
      if (isfinite (reason->decibans))
        assert_near (reason->decibans, why->decibans, 1e-5);
    }
  g_autoptr (BlReasons) elsewhere = bl_reasons_new (engine, entries, NULL, NULL, &error);
  g_assert_no_error (error);
  assert_near (elsewhere->probability, diagnosis->elsewhere, 1e-12);
  g_autoptr (BlReasons) stage = bl_reasons_new (engine, entries, part->stage, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (stage->is_stage);
  g_assert_null (bl_reasons_new (engine, entries, "no such part", NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

static void
test_cancelled (void)
{
  g_autoptr (BlBoard) board = two_parts ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_autoptr (GPtrArray) entries = entries_of (board, "lamp,no,\n");
  int stop = 1;

  g_assert_null (bl_reasons_new (engine, entries, "A", &stop, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/reasons/by-hand", test_by_hand);
  g_test_add_func ("/reasons/turns", test_turns);
  g_test_add_func ("/reasons/other-evidence", test_other_evidence);
  g_test_add_func ("/reasons/as-the-engine", test_as_the_engine);
  g_test_add_func ("/reasons/cancelled", test_cancelled);
  return g_test_run ();
}
