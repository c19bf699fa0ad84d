/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Testability figures against a matrix of the literature, and the gain of one more measurement against
 * the board that has it. What the command line prints of it is tested with the simulation. */
#include "config.h"

#include "bl-coverage.h"

#include <math.h>
#include <string.h>

#include "fixture-demo.h"
#undef G_DISABLE_ASSERT

static void
assert_near (double value, double expected)
{
  if (!(fabs (value - expected) <= 1e-6))
    g_error ("%.15g is not %.15g", value, expected);
}

static BlBoard *
board_of (const char *text)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

/* The five-state system of Pattipati and Alexandridis (IEEE Trans. SMC 20(4), 1990; matrix and shares
 * from memory): rows are faults, columns tests. With the first n tests only. */
static BlBoard *
five_faults (guint n_tests)
{
  static const char *const rows[] = { "01001", "00110", "10011", "11000", "11110" };
  static const double shares[] = { .01, .02, .10, .05, .12 };
  g_autoptr (GString) text = g_string_new (
    "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"run\", \"live\": true}],"
    "\"sections\": [{\"id\": \"s\", \"kind\": \"supply\"}], \"stages\": [{\"id\": \"x\", \"section\": \"s\"}],"
    "\"components\": [");

  for (guint f = 0; f < G_N_ELEMENTS (rows); f++)
    {
      const char *separator = "";
      g_autofree char *number = g_strdup_printf ("%d", (int) round (shares[f] * 100));
      g_string_append_printf (text,
                              "%s{\"id\": \"s%u\", \"kind\": \"x\", \"stage\": \"x\", \"modes\": [{\"mode\": \"fault\","
                              " \"weight\": %s, \"effects\": [",
                              f > 0 ? ", " : "", f + 1, number);
      for (guint t = 0; t < n_tests; t++)
        if (rows[f][t] == '1')
          {
            g_string_append_printf (text, "%s{\"on\": \"t%u\", \"is\": \"deviates\"}", separator, t + 1);
            separator = ", ";
          }
      g_string_append (text, "]}]}");
    }
  g_string_append (text, "], \"measurements\": [");
  for (guint t = 0; t < n_tests; t++)
    g_string_append_printf (text, "%s{\"id\": \"t%u\", \"measures\": \"check\", \"state\": \"run\"}", t > 0 ? ", " : "",
                            t + 1);
  g_string_append (text, "]}");
  return board_of (text->str);
}

/* Fraction detected, isolated to at most L, mean size of an ambiguity group: as MIL-STD-2165 and IEEE
 * 1522 have them (from memory); the figures were worked out from the matrix. */
static void
test_published (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) two = five_faults (2), three = five_faults (3), all = five_faults (5);
  g_autoptr (BlCoverage) with_two = bl_coverage_new (two, FALSE, NULL, &error);
  g_autoptr (BlCoverage) with_three = bl_coverage_new (three, FALSE, NULL, &error);
  g_autoptr (BlCoverage) with_all = bl_coverage_new (all, FALSE, NULL, &error);

  g_assert_no_error (error);
  assert_near (with_two->now.detected, .933333333);
  assert_near (with_two->now.isolated[0], .392857143);
  assert_near (with_two->now.isolated[1], 1);
  assert_near (with_two->now.mean_size, 1.607142857);
  g_assert_cmpuint (with_two->groups->len, ==, 3);
  g_assert_cmpstr (g_ptr_array_index (with_two->invisible, 0), ==, "s2:fault");
  assert_near (with_three->now.isolated[0], 1);
  assert_near (with_three->now.detected, 1);
  assert_near (with_all->now.detected, 1);
  assert_near (with_all->now.isolated[0], 1);
  assert_near (with_all->now.left_bits, 0);
  g_assert_null (with_two->one_more);
}

/* With two tests s4 (5) and s5 (12) look alike, and s2 is unseen, of 30 in all: left is
 * 17/30 of the entropy of 5 : 12. To test s4 or s5 by itself takes all of it; nothing else helps. */
static void
test_component_by_itself (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = five_faults (2);
  g_autoptr (BlCoverage) coverage = bl_coverage_new (board, TRUE, NULL, &error);
  double p = 5 / 17.0, left = -17 / 30.0 * (p * log2 (p) + (1 - p) * log2 (1 - p));
  const BlOneMore *first = g_ptr_array_index (coverage->one_more, 0);

  g_assert_no_error (error);
  assert_near (coverage->now.left_bits, left);
  g_assert_cmpuint (coverage->one_more->len, ==, 2);
  g_assert_cmpstr (first->component, ==, "s4");
  assert_near (first->bits, left);
  assert_near (first->then.isolated[0], 1);
}

static const char chain[] =
    "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"off\", \"live\": false},"
    " {\"id\": \"run\", \"live\": true}], \"photos\": [{\"id\": \"front\", \"file\": \"photos/front.jpg\"}],"
    "\"sections\": [{\"id\": \"s\", \"kind\": \"supply\"}], \"stages\": [{\"id\": \"s1\", \"section\": \"s\"},"
    "{\"id\": \"s2\", \"section\": \"s\", \"feeds\": {\"from\": [\"s1\"]}, \"outlines\": [{\"photo\": \"front\","
    " \"points\": [[0, 0], [10, 0], [10, 10], [0, 10]]}]},"
    "{\"id\": \"s3\", \"section\": \"s\", \"feeds\": {\"from\": [\"s2\"]}}],"
    "\"components\": [{\"id\": \"a\", \"kind\": \"x\", \"stage\": \"s1\", \"modes\": [{\"mode\": \"open\", \"weight\": 1,"
    " \"effects\": [{\"is\": \"absent\"}]}]}, {\"id\": \"b\", \"kind\": \"x\", \"stage\": \"s2\", \"modes\": [{\"mode\":"
    " \"open\", \"weight\": 2, \"effects\": [{\"is\": \"absent\"}]}]}, {\"id\": \"c\", \"kind\": \"x\", \"stage\": \"s3\","
    " \"modes\": [{\"mode\": \"open\", \"weight\": 3, \"effects\": [{\"is\": \"absent\"}]}]}],"
    "\"test_points\": [{\"id\": \"TP2\", \"photo\": \"front\", \"x\": 5, \"y\": 5}, {\"id\": \"TP9\", \"photo\": \"front\","
    " \"x\": 50, \"y\": 5}],"
    "\"measurements\": [{\"id\": \"m3\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"s3\"}";

/* a, b and c behind one another, the end measured: one group of 1 + 2 + 3, entropy 1.459 bits. Half
 * split by weight: after s2 leaves c apart, {a, b} 3 against 3, one bit gained; after s1 only 0.650. */
static void
test_half_split (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strconcat (chain, "]}", NULL);
  g_autoptr (BlBoard) board = board_of (text);
  g_autoptr (BlCoverage) coverage = bl_coverage_new (board, TRUE, NULL, &error);
  const BlOneMore *best = g_ptr_array_index (coverage->one_more, 0);

  g_assert_no_error (error);
  assert_near (coverage->now.left_bits, -(1 / 6.0 * log2 (1 / 6.0) + 1 / 3.0 * log2 (1 / 3.0) + .5 * log2 (.5)));
  g_assert_cmpstr (best->stage, ==, "s2");
  g_assert_cmpstr (best->state, ==, "run");
  g_assert_cmpstr (best->point, ==, "TP2");
  assert_near (best->bits, 1);
  assert_near (best->then.isolated[0], .5);
  g_assert_cmpuint (coverage->unused_points->len, ==, 2);
  for (guint i = 0; i < coverage->one_more->len; i++)
    g_assert_cmpstr (((BlOneMore *) g_ptr_array_index (coverage->one_more, i))->stage, !=, "s3");
}

/* The gain that is promised is the gain one gets: a demo board of which every second measurement no
 * longer reads its stage, then its best stages measured. */
static void
test_promise_kept (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = demo_board ("wall-board.json");
  guint tried = 0;

  for (guint i = 0; i < board->measurements->len; i += 2)
    g_clear_pointer (&((BlMeasurement *) g_ptr_array_index (board->measurements, i))->reads, g_free);
  g_autoptr (BlCoverage) coverage = bl_coverage_new (board, TRUE, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < coverage->one_more->len && tried < 3; i++)
    {
      const BlOneMore *more = g_ptr_array_index (coverage->one_more, i);
      if (more->stage == NULL)
        continue;
      g_autoptr (BlBoard) with = bl_board_copy (board);
      BlMeasurement *measurement = bl_measurement_new ();
      measurement->id = g_strdup ("one-more");
      measurement->measures = BL_MEASURES_V_DC;
      measurement->state = g_strdup (more->state);
      measurement->reads = g_strdup (more->stage);
      bl_append (&with->measurements, measurement, (GDestroyNotify) bl_measurement_free);
      g_autoptr (BlCoverage) then = bl_coverage_new (with, FALSE, NULL, &error);
      g_assert_no_error (error);
      assert_near (then->now.left_bits, coverage->now.left_bits - more->bits);
      assert_near (then->now.isolated[0], more->then.isolated[0]);
      assert_near (then->now.detected, more->then.detected);
      tried++;
    }
  g_assert_cmpuint (tried, >=, 2);
}

static void
test_cancelled (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = five_faults (2);
  int stop = 1;

  g_assert_null (bl_coverage_new (board, TRUE, &stop, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/coverage/published", test_published);
  g_test_add_func ("/coverage/component-by-itself", test_component_by_itself);
  g_test_add_func ("/coverage/half-split", test_half_split);
  g_test_add_func ("/coverage/promise-kept", test_promise_kept);
  g_test_add_func ("/coverage/cancelled", test_cancelled);
  return g_test_run ();
}
