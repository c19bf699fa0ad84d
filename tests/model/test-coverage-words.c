/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coverage in words, and that it comes from a thread, is kept, and can be called off. */
#include "config.h"

#include "bl-coverage-ask.h"
#include "bl-coverage-words.h"

#include <string.h>

#include "example.h"

static void
assert_text (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

static void
test_words (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlCoverage coverage = { .groups = g_ptr_array_new (), .invisible = g_ptr_array_new (),
                          .now = { 1, { .95, 1, 1 }, 1.05, .04 } };
  BlCoverageGroup group = { .modes = g_ptr_array_new () };
  BlOneMore stage = { .stage = (char *) "rail12", .state = (char *) "run", .point = (char *) "TP5", .bits = .1,
                      .then = { 1, { .975, 1, 1 }, 1.02, .02 } };
  BlOneMore part = { .component = (char *) "F1", .bits = .1, .then = { .9, { 1, 1, 1 }, 1, .02 } };

  assert_text (bl_coverage_summary (&coverage), "");
  g_ptr_array_add (coverage.invisible, (gpointer) "F1:open");
  assert_text (bl_coverage_summary (&coverage), "no fault visible with these measurements");
  g_ptr_array_add (coverage.groups, &group);
  assert_text (bl_coverage_summary (&coverage),
               "readings lead to one component in 95 % of faults · 1 fault not visible");
  g_ptr_array_set_size (coverage.invisible, 0);
  assert_text (bl_coverage_summary (&coverage),
               "readings lead to one component in 95 % of faults · every documented fault visible");
  g_ptr_array_add (group.modes, (gpointer) "U2:open");
  g_ptr_array_add (group.modes, (gpointer) "X3:poor contact");
  assert_text (bl_coverage_group (&group), "U2 open, X3 poor contact");
  assert_text (
      bl_coverage_one_more (board, &coverage, &stage),
      "Output of 12 V rail in state “Running, partner board joined”, at TP5: leads to one component in 97.5 % of all "
      "faults, now 95.0 %");
  assert_text (bl_coverage_one_more (board, &coverage, &part),
               "F1 tested by itself: leads to one component in 90.0 % of all faults, now 95.0 %");
  g_ptr_array_unref (group.modes);
  g_ptr_array_unref (coverage.groups);
  g_ptr_array_unref (coverage.invisible);
}

typedef struct
{
  BlCoverage *coverage;
  guint answers;
} Got;

static void
got (BlCoverage *coverage, const char *trouble, gpointer data)
{
  Got *self = data;

  g_assert_null (trouble);
  self->coverage = coverage;
  self->answers++;
}

static BlCoverage *
ask (const BlBoard *board)
{
  Got answer = { NULL, 0 };
  BlCoverageAsk *waiting = bl_coverage_ask (board, got, &answer);

  while (answer.answers == 0)
    g_main_context_iteration (NULL, TRUE);
  bl_coverage_ask_free (waiting);
  return answer.coverage;
}

static void
test_asked (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board (), other = example_board ();
  Got dropped = { NULL, 0 };

  bl_coverage_ask_free (bl_coverage_ask (board, got, &dropped));
  g_autoptr (BlCoverage) first = ask (board), again = ask (other);
  g_autoptr (BlCoverage) direct = bl_coverage_new (board, TRUE, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (first == again); /* the document says the same */
  g_assert_cmpfloat (first->now.left_bits, ==, direct->now.left_bits);
  g_assert_cmpuint (first->one_more->len, ==, direct->one_more->len);
  g_clear_pointer (&bl_board_measurement (other, "M5")->reads, g_free);
  g_autoptr (BlCoverage) changed = ask (other);
  g_assert_true (changed != first);
  g_autoptr (BlCoverage) fresh = bl_coverage_new (other, TRUE, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (changed->now.left_bits, ==, fresh->now.left_bits);
  g_assert_cmpuint (dropped.answers, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/coverage-words/words", test_words);
  g_test_add_func ("/coverage-words/asked", test_asked);
  return g_test_run ();
}
