/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans of several tests against tables with a known optimum. */
#include "config.h"

#include "bl-plan-table.h"

#include "bl-board.h"

#include <math.h>
#include <string.h>
#undef G_DISABLE_ASSERT

/* A table from rows of digits, one a hypothesis: the class each test shows; 'U': any of two. All cost
 * 1, every hypothesis is a group, certainty is wanted. */
static BlPlanTable *
make_table (const double *prior, const char *const *rows)
{
  BlPlanTable *table = g_new0 (BlPlanTable, 1);
  guint n = g_strv_length ((char **) rows);
  table->n_hypotheses = n;
  table->n_tests = (guint) strlen (rows[0]);
  table->prior = g_new (double, n);
  table->group = g_new (int, n);
  table->tests = g_new0 (BlPlanTest, table->n_tests);
  table->state = table->lead = -1;
  table->enough = 1;
  for (guint h = 0; h < n; h++)
    {
      table->prior[h] = prior != NULL ? prior[h] : 1;
      table->group[h] = (int) h;
    }
  for (guint t = 0; t < table->n_tests; t++)
    {
      double *chance = g_new0 (double, 2 * n);
      for (guint h = 0; h < n; h++)
        for (int c = 0; c < 2; c++)
          chance[2 * h + (guint) c] = rows[h][t] == 'U' ? .5 : rows[h][t] == '0' + c;
      table->tests[t] = (BlPlanTest){ .cost = 1, .state = -1, .lead = -1, .n_classes = 2, .chance = chance };
    }
  return table;
}

static BlPlanTree *
solved (const BlPlanTable *table)
{
  g_autoptr (GError) error = NULL;
  BlPlanTree *tree = bl_plan_solve (table, BL_PLAN_BUDGET, NULL, &error);
  g_assert_no_error (error);
  return tree;
}

static void
assert_least (const BlPlanTable *table, double effort)
{
  g_autoptr (BlPlanTree) tree = solved (table);
  g_assert_true (tree->least);
  g_assert_cmpfloat_with_epsilon (tree->first->effort, effort, 1e-9);
}

/* --- D-matrix --- */

/* K. Pattipati and M. Alexandridis, Application of heuristic search and information theory to
 * sequential fault diagnosis, IEEE Trans. SMC 20(4), 1990. Data and optimum from memory; dynamic
 * programming over them gives 2.18 exactly, and 2.86 for the greedy order. */
static BlPlanTable *
d_matrix (void)
{
  static const double prior[] = { .70, .01, .02, .10, .05, .12 };
  static const char *const rows[] = { "00000", "01001", "00110", "10011", "11000", "11110", NULL };
  return make_table (prior, rows);
}

static void
test_d_matrix (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  static const double bits[] = { .8415, .6801, .5842, .7950, .4999 };
  for (guint t = 0; t < 5; t++)
    g_assert_cmpfloat_with_epsilon (bl_plan_bits (table, t), bits[t], 5e-5);
  g_autoptr (BlPlanTree) tree = solved (table);
  g_assert_true (tree->least);
  g_assert_cmpfloat_with_epsilon (tree->first->effort, 2.18, 1e-12);
  g_assert_cmpint (tree->greedy_test, ==, 0);
  g_assert_cmpfloat_with_epsilon (tree->greedy_effort, 2.86, 1e-12);
  g_assert_true (tree->first->test == 1 || tree->first->test == 3); /* either first step can be had for 2.18 */
}

/* A budget that is too small must be admitted. */
static void
test_budget (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  g_autoptr (BlPlanTree) tree = bl_plan_solve (table, 30, NULL, NULL);
  g_assert_false (tree->least);
  g_assert_cmpfloat (tree->first->effort, >=, 2.18 - 1e-12);
  g_assert_cmpfloat (tree->first->effort, <=, tree->greedy_effort + 1e-12);
}

static void
test_cancel (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  g_autoptr (GError) error = NULL;
  int cancel = 1;
  g_assert_null (bl_plan_solve (table, BL_PLAN_BUDGET, &cancel, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED);
}

/* One hypothesis more than a row's number can tell apart is refused, by every way in. */
static void
test_most_hypotheses (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  double effort;
  table->n_hypotheses = BL_PLAN_MOST_HYPOTHESES + 1;
  for (guint i = 0; i < 3; i++)
    g_test_expect_message ("bl-core", G_LOG_LEVEL_CRITICAL, "*n_hypotheses <= BL_PLAN_MOST_HYPOTHESES*");
  g_assert_null (bl_plan_solve (table, BL_PLAN_BUDGET, NULL, NULL));
  g_assert_false (bl_plan_efforts_with (table, &(guint){ 0 }, 1, BL_PLAN_BUDGET, NULL, &effort));
  g_assert_cmpfloat (bl_plan_bits (table, 0), ==, 0);
  g_test_assert_expected_messages ();
}

/* What a step says of itself must add up to what the plan says. */
static double
effort_of (const BlPlanStep *step)
{
  double sum = step->test < 0 ? 0 : 1;
  for (guint c = 0; c < step->n_classes; c++)
    if (step->after[c] != NULL)
      sum += step->after[c]->reached / step->reached * effort_of (step->after[c]);
  return sum;
}

static void
test_steps (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  g_autoptr (BlPlanTree) tree = solved (table);
  g_assert_cmpfloat_with_epsilon (effort_of (tree->first), 2.18, 1e-9);
}

/* --- stages in a row --- */

/* A probe between two stages tells on which side the fault is. */
static BlPlanTable *
make_chain (guint n, const double *prior)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func (g_free);
  for (guint h = 0; h < n; h++)
    {
      char *row = g_strnfill (n - 1, '0');
      memset (row + h, '1', n - 1 - h);
      g_ptr_array_add (rows, row);
    }
  g_ptr_array_add (rows, NULL);
  return make_table (prior, (const char *const *) rows->pdata);
}

/* Equal stages: floor (log2 n) + 2 (n - 2^floor (log2 n)) / n probes, the external path length of the
 * flattest tree (D. Knuth, The Art of Computer Programming 3, 5.3.1; from memory). Figures computed. */
static void
test_chain (void)
{
  static const struct { guint n; double best; } rows[]
    = { { 2, 1 }, { 3, 1.66667 }, { 4, 2 }, { 5, 2.4 }, { 6, 2.66667 }, { 7, 2.85714 }, { 8, 3 }, { 10, 3.4 },
        { 12, 3.66667 }, { 16, 4 } };
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlPlanTable) table = make_chain (rows[i].n, NULL);
      g_autoptr (BlPlanTree) tree = solved (table);
      g_assert_true (tree->least);
      g_assert_cmpfloat_with_epsilon (tree->first->effort, rows[i].best, 5e-6);
    }
}

/* Unequal stages and probes; figures computed by interval dynamic programming,
 * V(i,j) = min over k of c_k + (P(i..k) V(i,k) + P(k..j) V(k,j)) / P(i..j). */
static void
test_chain_unequal (void)
{
  static const double last[] = { .1, .1, .1, .7 }, first[] = { .4, .3, .2, .1 };
  static const double eight[] = { .05, .05, .1, .1, .1, .1, .2, .3 };
  g_autoptr (BlPlanTable) a = make_chain (4, last), b = make_chain (4, first), c = make_chain (8, eight);
  g_autoptr (BlPlanTable) d = make_chain (4, NULL);
  assert_least (a, 1.5);
  assert_least (b, 1.9);
  assert_least (c, 2.8);
  g_autoptr (BlPlanTree) of_a = solved (a);
  g_assert_cmpint (of_a->first->test, ==, 2);
  d->tests[1].cost = 5;
  assert_least (d, 4.25);
  g_autoptr (BlPlanTree) of_d = solved (d);
  g_assert_cmpint (of_d->first->test, !=, 1);
}

/* --- board repair --- */

/* Signatures of A. Balakrishnan and T. Semmelbauer, Circuit diagnosis support system for electronics
 * assembly operations, Decision Support Systems 1999, table 1; expected numbers of tests computed. */
static const char *const signatures[] = { "0000", "0001", "0011", "0111", "1111", NULL };

static void
test_board_repair (void)
{
  static const double skewed[] = { .1, .1, .6, .1, .1 };
  g_autoptr (BlPlanTable) equal = make_table (NULL, signatures), one = make_table (skewed, signatures);
  assert_least (equal, 2.4);
  assert_least (one, 2.2);
}

static guint
left (const BlPlanTable *table)
{
  guint n = 0;
  for (guint h = 0; h < table->n_hypotheses; h++)
    n += table->prior[h] > 0;
  return n;
}

/* Table 2 of the same paper: with defect 3, tests 1, 2, 3 are needed in that order, but 2 and 3 are
 * enough, and test 1 says nothing then. */
static void
test_board_repair_trace (void)
{
  g_autoptr (BlPlanTable) in_order = make_table (NULL, signatures), shorter = make_table (NULL, signatures);
  static const guint shown[] = { 0, 0, 1 }, remain[] = { 4, 3, 1 };
  for (guint t = 0; t < 3; t++)
    {
      g_assert_true (bl_plan_observe (in_order, t, shown[t]));
      g_assert_cmpuint (left (in_order), ==, remain[t]);
    }
  g_assert_true (bl_plan_observe (shorter, 1, 0));
  g_assert_cmpfloat (bl_plan_bits (shorter, 0), ==, 0);
  g_assert_true (bl_plan_observe (shorter, 2, 1));
  g_assert_cmpuint (left (shorter), ==, 1);
  g_assert_false (bl_plan_observe (shorter, 3, 0)); /* that cannot show any more */
}

/* Table 3: what is unknown never rules a defect out; the same order needs all four tests. */
static void
test_board_repair_unknown (void)
{
  static const char *const unknown[] = { "UUU0", "UU01", "U011", "0111", "1111", NULL };
  g_autoptr (BlPlanTable) table = make_table (NULL, unknown);
  static const guint shown[] = { 0, 0, 1, 1 }, remain[] = { 4, 3, 2, 1 };
  for (guint t = 0; t < 4; t++)
    {
      g_assert_true (bl_plan_observe (table, t, shown[t]));
      g_assert_cmpuint (left (table), ==, remain[t]);
    }
}

/* --- regret --- */

static void
test_regret (void)
{
  g_autoptr (BlPlanTable) table = d_matrix ();
  g_autoptr (BlPlanTree) tree = bl_plan_solve (table, BL_PLAN_BUDGET, NULL, NULL);
  BlPlanBeginning best;
  /* t1 first, then the best: 1 + .73 x (least of s0, s1, s2) + .27 x (least of s3, s4, s5), both by hand:
   * t3 takes s2 out of the first three, 1 + .71/.73, and s5 out of the others, 1 + .15/.27. */
  double first = 1 + .73 * (1 + .71 / .73) + .27 * (1 + .15 / .27);
  g_assert_cmpfloat_with_epsilon (bl_plan_regret_against (table, tree, 0, BL_PLAN_BUDGET, NULL, &best), first - 2.18, 1e-9);
  g_assert_cmpfloat_with_epsilon (best.effort, 2.18, 1e-9);
  g_assert_cmpfloat_with_epsilon (bl_plan_regret_against (table, tree, 1, BL_PLAN_BUDGET, NULL, NULL), 0, 1e-9);
  g_assert_true (isnan (bl_plan_regret_against (table, tree, 9, BL_PLAN_BUDGET, NULL, NULL)));
}

/* Changing the state and the lead is paid for; of equal tests the safer one is taken. */
static void
test_changes (void)
{
  static const char *const rows[] = { "00", "11", NULL };
  double enter[] = { 60, 90 };
  g_autoptr (BlPlanTable) table = make_table (NULL, rows);
  table->enter = g_memdup2 (enter, sizeof enter);
  table->change_lead = 10;
  table->tests[0] = (BlPlanTest){ 20, 0, 0, 300, FALSE, 2, table->tests[0].chance };
  table->tests[1] = (BlPlanTest){ 20, 1, 1, 0, FALSE, 2, table->tests[1].chance };
  g_autoptr (BlPlanTree) fresh = solved (table);
  g_assert_cmpint (fresh->first->test, ==, 1);
  g_assert_cmpfloat (fresh->first->effort, ==, 20);
  table->begun = TRUE;
  table->state = 0;
  table->lead = 1;
  g_autoptr (BlPlanTree) begun = solved (table);
  g_assert_cmpint (begun->first->test, ==, 0);
  g_assert_cmpfloat (begun->first->effort, ==, 30);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plan/d-matrix", test_d_matrix);
  g_test_add_func ("/plan/budget", test_budget);
  g_test_add_func ("/plan/cancel", test_cancel);
  g_test_add_func ("/plan/most-hypotheses", test_most_hypotheses);
  g_test_add_func ("/plan/steps", test_steps);
  g_test_add_func ("/plan/chain", test_chain);
  g_test_add_func ("/plan/chain-unequal", test_chain_unequal);
  g_test_add_func ("/plan/board-repair", test_board_repair);
  g_test_add_func ("/plan/board-repair-trace", test_board_repair_trace);
  g_test_add_func ("/plan/board-repair-unknown", test_board_repair_unknown);
  g_test_add_func ("/plan/regret", test_regret);
  g_test_add_func ("/plan/changes", test_changes);
  return g_test_run ();
}
