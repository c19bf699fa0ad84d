/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault-tree engine against published trees and against full enumeration.
 *
 * Published: NUREG-0492 (Fault Tree Handbook, 1981), pressure tank of ch. VIII (Fig. VIII-14, Table
 * VIII-1) and Fig. VII-10; a three-motor relay circuit and the two-train and standby-supply
 * examples of an open-source risk code's own test suite; Bobbio et al., RESS 71 (2001) 249-260,
 * multiprocessor. Where a row has more digits than the source prints, the digits are of an
 * enumeration done by another program; the printed value is asserted beside it. A list of short cases,
 * long because they are many. */
#undef G_DISABLE_ASSERT
#include "fixture-tree.h"

#include <math.h>

static void
assert_close (double value, double expected, double relative)
{
  if (!(fabs (value - expected) <= relative * fabs (expected) + 1e-15))
    g_error ("%.17g instead of %.17g", value, expected);
}

static const char pressure_tank[] = "top E1\n"
                                    "gate E1 or 0 T E2\n"
                                    "gate E2 or 0 K2 E3\n"
                                    "gate E3 and 0 S E4\n"
                                    "gate E4 or 0 S1 E5\n"
                                    "gate E5 or 0 K1 R\n"
                                    "event T 5e-6\nevent K2 3e-5\nevent S 1e-4\n"
                                    "event K1 3e-5\nevent R 1e-4\nevent S1 3e-5\n";

static void
test_pressure_tank (void)
{
  g_autoptr (BlTree) tree = tree_from (pressure_tank);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
  static const struct
  {
    const char *id;
    double birnbaum, criticality, achievement, reduction, posterior; /* enumerated */
  } rows[] = {
    { "K2", 0.999995, 0.856751, 28558.5, 6.98083, 0.856755 },
    { "T", 0.99997, 0.142788, 28558.5, 1.16657, 0.142792 },
    { "S", 1.59988e-4, 4.569e-4, 5.56855, 1.00046, 5.56855e-4 },
    { "R", 9.99905e-5, 2.85558e-4, 3.85529, 1.00029, 3.85529e-4 },
    { "K1", 9.99835e-5, 8.56614e-5, 3.85529, 1.00009, 1.15659e-4 },
    { "S1", 9.99835e-5, 8.56614e-5, 3.85529, 1.00009, 1.15659e-4 },
  };

  assert_close (result->probability, 3.501584875003554e-5, 1e-12);
  assert_close (result->probability, 3.4e-5, 0.03); /* printed, rounded by hand */
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const BlEventResult *event = event_of (tree, result, rows[i].id);
      assert_close (event->birnbaum, rows[i].birnbaum, 1e-5);
      assert_close (event->fussell_vesely, rows[i].criticality, 1e-5);
      assert_close (event->criticality, rows[i].criticality, 1e-5);
      assert_close (event->risk_achievement, rows[i].achievement, 1e-5);
      assert_close (event->risk_reduction, rows[i].reduction, 5e-6);
      assert_close (event->posterior, rows[i].posterior, 1e-5);
    }
  /* printed importances of the two events that matter */
  assert_close (event_of (tree, result, "T")->fussell_vesely, 0.14, 0.04);
  assert_close (event_of (tree, result, "K2")->fussell_vesely, 0.86, 0.01);
}

static void
test_repeated_events (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\n"
                                       "gate T and 0 E1 E2\n"
                                       "gate E1 or 0 A E3\ngate E3 or 0 B C\n"
                                       "gate E2 or 0 C E4\ngate E4 and 0 A B\n"
                                       "event A .1\nevent B .2\nevent C .3\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  assert_close (result->probability, 0.314, 1e-14);
  assert_close (event_of (tree, result, "A")->posterior, 0.140127, 1e-5);
  assert_close (event_of (tree, result, "B")->posterior, 0.235669, 1e-5);
  assert_close (event_of (tree, result, "C")->posterior, 0.955414, 1e-5);
}

/* A row of a published importance table: Birnbaum, criticality, diagnostic importance, risk
 * achievement worth, risk reduction worth. */
typedef struct
{
  const char *id;
  double birnbaum, criticality, diagnostic, achievement, reduction;
} ImportanceRow;

static void
assert_importances (const BlTree *tree, const BlTreeResult *result, const ImportanceRow *row, double relative)
{
  const BlEventResult *event = event_of (tree, result, row->id);

  assert_close (event->birnbaum, row->birnbaum, relative);
  assert_close (event->fussell_vesely, row->criticality, relative);
  assert_close (event->criticality, row->criticality, relative);
  assert_close (event->posterior, row->diagnostic, relative);
  assert_close (event->risk_achievement, row->achievement, relative);
  assert_close (event->risk_reduction, row->reduction, relative);
}

/* The published importance table of the two trains, as printed. */
static void
test_two_trains (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\n"
                                       "gate T and 0 one two\n"
                                       "gate one or 0 V1 P1\ngate two or 0 V2 P2\n"
                                       "event P1 .6\nevent P2 .7\nevent V1 .4\nevent V2 .5\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
  static const ImportanceRow rows[] = {
    { "P1", .51, .4737, .7895, 1.316, 1.9 },
    { "P2", .38, .4118, .8235, 1.176, 1.7 },
    { "V1", .34, .2105, .5263, 1.316, 1.267 },
    { "V2", .228, .1765, .5882, 1.176, 1.214 },
  };

  assert_close (result->probability, .646, 1e-14);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_importances (tree, result, &rows[i], 5e-4);
}

/* The same source's tree with a negation: the second train is V2 or P2 or not P1. */
static void
test_negated_train (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\n"
                                       "gate T and 0 one two\n"
                                       "gate one or 0 V1 P1\n"
                                       "gate two or 0 V2 P2 no\ngate no not 0 P1\n"
                                       "event P1 .06\nevent P2 .07\nevent V1 .04\nevent V2 .05\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 3);
  static const ImportanceRow rows[] = {
    { "P1", .0765, .1029, .1568, 2.613, 1.115 },
    { "V1", .94, .8432, .8495, 21.237, 6.379 },
    { "P2", .057, .08948, .1532, 2.189, 1.098 },
    { "V2", .0558, .06257, .1094, 2.189, 1.067 },
  };

  assert_close (result->probability, .04459, 1e-12);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_importances (tree, result, &rows[i], 1e-3);
  g_assert_false (result->coherent);
}

/* The same source's second set of chances. Its table is in rare-event arithmetic (Q = 0.012 is the
 * sum over the four sets), which the exact figures stay below; 0.0113704 is enumerated. */
static void
test_rare_trains (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\n"
                                       "gate T and 0 one two\n"
                                       "gate one or 0 V1 P1\ngate two or 0 V2 P2\n"
                                       "event P1 .06\nevent P2 .07\nevent V1 .04\nevent V2 .05\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 2);
  double sum = 0;

  for (guint i = 0; i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);
      sum += node_at (tree, g_array_index (set, guint, 0))->probability *
             node_at (tree, g_array_index (set, guint, 1))->probability;
    }
  assert_close (sum, .012, 1e-12);
  assert_close (result->probability, .0113704, 1e-5);
  g_assert_cmpfloat (event_of (tree, result, "P1")->birnbaum, <, .12);
  assert_close (event_of (tree, result, "P1")->birnbaum, .12, .1);
  assert_close (event_of (tree, result, "P1")->risk_achievement, 10.4, .05);
  assert_close (event_of (tree, result, "P1")->risk_reduction, 2.5, .05);
}

static void
test_standby_supply (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\n"
                                       "gate T and 0 mains reserve\n"
                                       "gate reserve or 0 generator relay\n"
                                       "event mains .03\nevent generator .02\nevent relay .05\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  assert_close (result->probability, .00207, 1e-13);
  assert_close (event_of (tree, result, "generator")->posterior, .289855, 1e-5);
  assert_close (event_of (tree, result, "relay")->posterior, .724638, 1e-5);
  assert_close (event_of (tree, result, "mains")->posterior, 1, 1e-14);
}

/* sum over j >= k of C(n,j) p^j (1-p)^(n-j): the formula of the gate in every handbook. */
static void
test_k_of_n (void)
{
  for (guint n = 2; n <= 12; n++)
    for (guint k = 1; k <= n; k++)
      {
        g_autoptr (GString) text = g_string_new ("top T\n");
        g_string_append_printf (text, "gate T atleast %u", k);
        for (guint i = 0; i < n; i++)
          g_string_append_printf (text, " e%u", i);
        for (guint i = 0; i < n; i++)
          g_string_append_printf (text, "\nevent e%u 0.15", i);
        g_autoptr (BlTree) tree = tree_from (text->str);
        g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
        double sum = 0;
        for (guint j = k; j <= n; j++)
          sum += exp (lgamma (n + 1) - lgamma (j + 1) - lgamma (n - j + 1)) * pow (.15, j) *
                 pow (.85, n - j);
        assert_close (result->probability, sum, 1e-12);
      }
}

/* Bobbio, Portinale, Minichino, Ciancamerla 2001: two modules, each of a processor, two mirrored
 * disks and a memory with a shared spare, one bus. Rates per hour from memory, 5000 h; 0.012313 is
 * what the paper is remembered to print, the other digits are enumerated. */
static void
test_multiprocessor (void)
{
  static const struct
  {
    const char *id;
    double rate;
  } rates[] = {
    { "N", 2e-9 },  { "P1", 5e-7 },  { "P2", 5e-7 },  { "M1", 3e-8 },  { "M2", 3e-8 },
    { "M3", 3e-8 }, { "D11", 8e-5 }, { "D12", 8e-5 }, { "D21", 8e-5 }, { "D22", 8e-5 }
  };
  g_autoptr (GString) text = g_string_new ("top T\ngate T or 0 N both\ngate both and 0 one two\n"
                                           "gate one or 0 d1 P1 m1\ngate two or 0 d2 P2 m2\n"
                                           "gate d1 and 0 D11 D12\ngate d2 and 0 D21 D22\n"
                                           "gate m1 and 0 M1 M3\ngate m2 and 0 M2 M3\n");
  for (gsize i = 0; i < G_N_ELEMENTS (rates); i++)
    g_string_append_printf (text, "event %s %.17g\n", rates[i].id, -expm1 (-rates[i].rate * 5000));
  g_autoptr (BlTree) tree = tree_from (text->str);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  assert_close (result->probability, .012313, 2e-4);
  assert_close (result->probability, .012311878, 1e-7);
  assert_close (event_of (tree, result, "D11")->posterior, .984378, 1e-5);
  assert_close (event_of (tree, result, "P2")->posterior, .0224955, 1e-5);
  assert_close (event_of (tree, result, "M1")->posterior, 1.50169e-4, 1e-5);
  assert_close (event_of (tree, result, "M3")->posterior, 1.50349e-4, 1e-5);
  assert_close (event_of (tree, result, "N")->posterior, 8.12220e-4, 1e-5);
  g_assert_cmpstr (result->cut_set_count, ==, "10");
}

/* Distance of the engine from the enumeration over everything it says; tests that it can be large.
 */
static double
distance (const BlTree *tree, const GArray *givens, const BlTreeResult *result)
{
  Sums sums;
  add_states (tree, givens, &sums);
  double top = sums.both / sums.given;
  double worst = fabs (result->probability - top);
  for (guint i = 0; i < result->events->len; i++)
    {
      const BlEventResult *event = &g_array_index (result->events, BlEventResult, i);
      double posterior = sums.both > 0 ? sums.both_with[event->node] / sums.both : 0;
      double with = sums.both_with[event->node] / sums.given_with[event->node];
      double without =
          (sums.both - sums.both_with[event->node]) / (sums.given - sums.given_with[event->node]);
      double share = top > 0 ? (top - without) / top : 0;
      worst = MAX (worst, fabs (event->posterior - posterior));
      /* an event that is certain under the condition has no other side to compare with */
      gboolean two_sided = sums.given_with[event->node] > 1e-12 * sums.given &&
                           sums.given - sums.given_with[event->node] > 1e-12 * sums.given;
      if (two_sided)
        {
          worst = MAX (worst, fabs (event->birnbaum - (with - without)));
          worst = MAX (worst, fabs (event->fussell_vesely - share) * MIN (top, 1));
        }
    }
  return worst;
}

static void
choose_givens (GRand *rand, const BlTree *tree, GArray *givens)
{
  for (guint n = (guint) g_rand_int_range (rand, 0, 4); n > 0; n--)
    {
      BlGiven given = { (guint) g_rand_int_range (rand, 0, (int) tree->nodes->len),
                        g_rand_boolean (rand) };
      g_array_append_val (givens, given);
    }
}

static void
test_against_enumeration (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  guint n_impossible = 0, n_compared = 0;

  for (guint round = 0; round < 1500; round++)
    {
      g_autofree char *text =
          random_tree (rand, (guint) g_rand_int_range (rand, 2, 9),
                       (guint) g_rand_int_range (rand, 1, 14), g_rand_boolean (rand));
      g_autoptr (BlTree) tree = tree_from (text);
      g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
      g_autoptr (GError) error = NULL;
      choose_givens (rand, tree, givens);
      g_autoptr (BlTreeResult) result = bl_tree_evaluate (tree, givens, 0, 0, &error);
      if (result == NULL)
        {
          Sums sums;
          add_states (tree, givens, &sums);
          g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
          g_assert_cmpfloat (sums.given, <=, 1e-12);
          n_impossible++;
          continue;
        }
      n_compared++;
      double worst = distance (tree, givens, result);
      if (!(worst < 1e-11))
        {
          for (guint i = 0; i < givens->len; i++)
            g_printerr ("given %s %d\n",
                        node_at (tree, g_array_index (givens, BlGiven, i).node)->id,
                        g_array_index (givens, BlGiven, i).value);
          g_error ("off by %g on\n%s", worst, text);
        }
    }
  g_assert_cmpuint (n_impossible, >, 20);
  g_assert_cmpuint (n_compared, >, 700);
}

/* Sum over the states in which node holds, of the condition and of condition and top. */
static void
add_node_states (const BlTree *tree, const GArray *givens, guint node, double *given, double *both)
{
  guint nodes[64], n = 0;
  gboolean events[64] = { FALSE };

  *given = *both = 0;
  for (guint i = 0; i < tree->nodes->len; i++)
    if (node_at (tree, i)->kind == BL_NODE_EVENT)
      nodes[n++] = i;
  for (guint state = 0; state < 1u << n; state++)
    {
      for (guint i = 0; i < n; i++)
        events[nodes[i]] = (state >> i & 1) != 0;
      if (!holds (tree, node, events))
        continue;
      double weight = weight_of_state (tree, givens, events);
      *given += weight;
      *both += holds (tree, tree->top, events) ? weight : 0;
    }
}

static void
test_node_probabilities (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (22);
  guint n_compared = 0;

  for (guint round = 0; round < 150; round++)
    {
      g_autofree char *plain = random_tree (rand, 6, 9, g_rand_boolean (rand));
      g_autoptr (GString) text = g_string_new (plain);
      if (g_rand_boolean (rand))
        g_string_append_printf (text, "obs g%d 0.%02d 0.%02d\n", g_rand_int_range (rand, 0, 9),
                                g_rand_int_range (rand, 1, 99), g_rand_int_range (rand, 1, 99));
      g_autoptr (BlTree) tree = tree_from (text->str);
      g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
      choose_givens (rand, tree, givens);
      g_autoptr (BlTreeResult) result = bl_tree_evaluate (tree, givens, 0, 0, NULL);
      if (result == NULL)
        continue;
      Sums sums;
      add_states (tree, givens, &sums);
      g_assert_null (result->node_probability);
      g_assert_true (bl_tree_weigh_nodes (tree, givens, 0, result, NULL));
      for (guint i = 0; i < tree->nodes->len; i++)
        {
          double given, both;
          add_node_states (tree, givens, i, &given, &both);
          double probability = g_array_index (result->node_probability, double, i);
          double posterior = g_array_index (result->node_posterior, double, i);
          if (!(fabs (probability - given / sums.given) < 1e-11) ||
              (sums.both > 0 && !(fabs (posterior - both / sums.both) < 1e-11)))
            g_error ("%s: %g, %g instead of %g, %g in\n%s", node_at (tree, i)->id, probability,
                     posterior, given / sums.given, both / sums.both, text->str);
          n_compared++;
        }
    }
  g_assert_cmpuint (n_compared, >, 1000);
}

/* The comparison must see a wrong gate, a wrong chance and a forgotten condition. */
static void
test_comparison_can_fail (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A B\ngate g and 0 A B\n"
                                       "event A .3\nevent B .2\n");
  g_autoptr (BlTree) other = tree_from ("top T\ngate T and 0 A B\ngate g and 0 A B\n"
                                        "event A .3\nevent B .2\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));

  g_assert_cmpfloat (distance (tree, NULL, result), <, 1e-14);
  g_assert_cmpfloat (distance (other, NULL, result), >, 1e-3);
  give (givens, tree, "g", FALSE);
  g_assert_cmpfloat (distance (tree, givens, result), >, 1e-3);
  g_array_index (result->events, BlEventResult, 0).posterior += 1e-6;
  g_assert_cmpfloat (distance (tree, NULL, result), >, 1e-7);
}

static void
test_soft_readings (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (21);

  for (guint round = 0; round < 200; round++)
    {
      g_autofree char *plain = random_tree (rand, 7, 9, g_rand_boolean (rand));
      g_autoptr (GString) text = g_string_new (plain);
      for (guint i = 0; i < 3; i++)
        g_string_append_printf (text, "obs %c%d 0.%02d 0.%02d\n", i > 0 ? 'g' : 'e',
                                g_rand_int_range (rand, 0, 7), g_rand_int_range (rand, 1, 99),
                                g_rand_int_range (rand, 1, 99));
      g_autoptr (BlTree) tree = tree_from (text->str);
      g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
      double worst = distance (tree, NULL, result);
      if (!(worst < 1e-11))
        g_error ("off by %g on\n%s", worst, text->str);
    }
}

static void
test_known_events (void)
{
  g_autoptr (BlTree) tree = tree_from (pressure_tank);
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  g_autoptr (GError) error = NULL;
  give (givens, tree, "T", FALSE);
  give (givens, tree, "S", TRUE);
  g_autoptr (BlTreeResult) result = evaluate (tree, givens, 2);

  assert_close (result->probability, 1 - (1 - 3e-5) * (1 - 3e-5) * (1 - 3e-5) * (1 - 1e-4), 1e-12);
  g_assert_cmpfloat (event_of (tree, result, "S")->posterior, ==, 1);
  g_assert_cmpfloat (event_of (tree, result, "T")->posterior, ==, 0);
  g_assert_cmpfloat (event_of (tree, result, "S")->prior, ==, 1e-4);
  /* what is left to happen: K2, or one of S1, K1, R */
  g_assert_cmpstr (result->cut_set_count, ==, "4");
  g_assert_cmpuint (result->cut_sets->len, ==, 4);

  give (givens, tree, "S", FALSE);
  g_assert_null (bl_tree_evaluate (tree, givens, 0, 0, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
}

/* A probability of 1e-200 keeps its digits: nothing is subtracted from one. */
static void
test_small_numbers (void)
{
  g_autoptr (BlTree) tree =
      tree_from ("top T\ngate T or 0 x y\ngate x and 0 A B\ngate y and 0 A C D\n"
                 "event A 1e-100\nevent B 1e-100\nevent C 1e-50\nevent D 1e-60\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  assert_close (result->probability / 1e-200, 1 + 1e-10, 1e-14);
  assert_close (event_of (tree, result, "C")->posterior, 1e-10, 1e-9);
  assert_close (event_of (tree, result, "C")->fussell_vesely, 1e-10, 1e-9);
}

static void
test_errors (void)
{
  static const struct
  {
    const char *text, *message;
    int code;
  } rows[] = {
    { "top T\nevent T 1.5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\nevent T -0.1\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\nevent T nan\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\nevent T 0,5\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\nevent T 0.5 0.5\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\n\nevent T .5\nevent T .5\n", "line 4: “T” is already defined in line 3",
      BL_CORE_ERROR_INVALID },
    { "top T\ngate T or 0 A\n", "line 2: “A” is not defined", BL_CORE_ERROR_UNKNOWN },
    { "top U\nevent T .5\n", "line 1: “U” is not defined", BL_CORE_ERROR_UNKNOWN },
    { "event T .5\n", "top", BL_CORE_ERROR_INVALID },
    { "", "top", BL_CORE_ERROR_INVALID },
    { "top T\ntop T\nevent T .5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T atleast 3 A B\nevent A .5\nevent B .5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T atleast 0 A B\nevent A .5\nevent B .5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T atleast -1 A B\nevent A .5\nevent B .5\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\ngate T or 1 A\nevent A .5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T or 0\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T not 0 A A\nevent A .5\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\ngate T inhibit 0 A\nevent A .5\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\ngate T\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\nhouse T 1\n", "line 2", BL_CORE_ERROR_PARSE },
    { "top T\nconst T 2\n", "line 2", BL_CORE_ERROR_INVALID },
    { "top T\nevent T .5\nobs T 0 0\n", "line 3", BL_CORE_ERROR_INVALID },
    { "top T\nevent T .5\nobs U 1 0\n", "line 3", BL_CORE_ERROR_UNKNOWN },
    { "top T\nevent T .5 # fine\ngate a or 0 b\ngate b or 0 c\ngate c or 0 a T\n",
      "line 3: loop of gates: a -> b -> c -> a", BL_CORE_ERROR_INVALID },
    { "top T\ngate T or 0 T\n", "loop of gates: T -> T", BL_CORE_ERROR_INVALID },
    { "top T\xff\n", "UTF-8", BL_CORE_ERROR_PARSE },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_null (bl_tree_parse (rows[i].text, -1, &error));
      if (error->code != rows[i].code || strstr (error->message, rows[i].message) == NULL)
        g_error ("“%s”: %s (%d)", rows[i].text, error->message, error->code);
    }
}

static void
test_text_form (void)
{
  g_autoptr (BlTree) tree = tree_from ("\xEF\xBB\xBF# a comment\r\n\r\n  top\tT \r\n"
                                       "event A 5e-1 # half\r\ngate T pass 0 A");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  g_assert_cmpint (bl_tree_find (tree, "T"), ==, 1);
  g_assert_cmpint (bl_tree_find (tree, "B"), ==, -1);
  g_assert_cmpfloat (result->probability, ==, 0.5);
  /* {1, 1, 1} of a single event of one half: the same source as the two trains */
  const BlEventResult *event = event_of (tree, result, "A");
  g_assert_cmpfloat (event->posterior, ==, 1);
  g_assert_cmpfloat (event->birnbaum, ==, 1);
  g_assert_cmpfloat (event->fussell_vesely, ==, 1);
  g_assert_cmpfloat (event->criticality, ==, 1);
  g_assert_cmpfloat (event->risk_achievement, ==, 2);
  g_assert_true (isinf (event->risk_reduction));
  g_assert_true (bl_tree_weigh_nodes (tree, NULL, 0, result, NULL));
  g_assert_cmpfloat (g_array_index (result->node_probability, double, 0), ==, 0.5);
  g_assert_cmpfloat (g_array_index (result->node_posterior, double, 1), ==, 1);
  g_autoptr (BlTree) alone = tree_from ("top A\nevent A .25\nevent B .5\n");
  g_assert_true (bl_tree_weigh_nodes (alone, NULL, 0, result, NULL));
  g_assert_cmpfloat (g_array_index (result->node_probability, double, 0), ==, 0.25);
  g_assert_cmpfloat (g_array_index (result->node_posterior, double, 0), ==, 1);
  g_assert_cmpfloat (g_array_index (result->node_posterior, double, 1), ==, 0.5);
}

/* Long chains, wide gates and hard trees end in a result or a clear message, never in a crash. */
static void
test_limits (void)
{
  g_autoptr (GString) chain = g_string_new ("top g0\n");
  guint n = 20000;
  for (guint i = 0; i < n; i++)
    g_string_append_printf (chain, "gate g%u %s 0 e%u %s%u\nevent e%u 1e-3\n", i,
                            i % 2 ? "and" : "or", i, i + 1 < n ? "g" : "e", i + 1, i);
  g_string_append_printf (chain, "event e%u .5\n", n);
  g_autoptr (BlTree) deep = tree_from (chain->str);
  g_autoptr (BlTreeResult) result = evaluate (deep, NULL, 0);
  /* q of the tail is about 1e-3; three more levels give the top to full precision */
  double tail = 1e-3;
  for (guint i = 0; i < 40; i++)
    tail = i % 2 ? 1 - (1 - 1e-3) * (1 - tail) : 1e-3 * tail;
  assert_close (result->probability, tail, 1e-9);

  /* every pair of two rings of products: exponential in any order */
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  g_autoptr (GString) hard = g_string_new ("top T\ngate T and 0");
  for (guint i = 0; i < 400; i++)
    g_string_append_printf (hard, " g%u", i);
  for (guint i = 0; i < 400; i++)
    g_string_append_printf (hard, "\ngate g%u or 0 e%d e%d e%d", i, g_rand_int_range (rand, 0, 150),
                            g_rand_int_range (rand, 0, 150), g_rand_int_range (rand, 0, 150));
  for (guint i = 0; i < 150; i++)
    g_string_append_printf (hard, "\nevent e%u 0.5", i);
  g_autoptr (BlTree) tree = tree_from (hard->str);
  g_autoptr (GError) error = NULL;
  g_assert_null (bl_tree_evaluate (tree, NULL, 0, 8 << 20, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD);
  g_assert_nonnull (strstr (error->message, "8 MiB"));
  g_assert_nonnull (strstr (error->message, "the probability is at least "));
}

static void
test_json (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A \"both\"\ngate \"both\" and 0 B C\n"
                                       "event A .5\nevent B .25\nevent C .5\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 2);
  g_autofree char *json = bl_tree_result_to_json (tree, result);

  g_assert_nonnull (strstr (json, "{\"top\": \"T\", \"probability\": 0.5625, \"events\": ["));
  g_assert_nonnull (strstr (json, "{\"id\": \"A\", \"prior\": 0.5, \"posterior\": "));
  /* A: Q1 = 1, Q0 = 1/8, Q = 9/16 */
  g_assert_nonnull (strstr (json, "\"risk_reduction_worth\": 4.5}"));
  g_autoptr (BlTree) needed = tree_from ("top A\nevent A .5\n");
  g_autoptr (BlTreeResult) certain = evaluate (needed, NULL, 0);
  g_autofree char *infinite = bl_tree_result_to_json (needed, certain);
  g_assert_nonnull (strstr (infinite, "\"risk_achievement_worth\": 2, \"risk_reduction_worth\": null}"));
  g_assert_nonnull (
      strstr (json, "\"cut_sets\": [[\"A\"], [\"B\", \"C\"]], \"cut_set_count\": 2}"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree/pressure-tank", test_pressure_tank);
  g_test_add_func ("/core/tree/repeated-events", test_repeated_events);
  g_test_add_func ("/core/tree/two-trains", test_two_trains);
  g_test_add_func ("/core/tree/negated-train", test_negated_train);
  g_test_add_func ("/core/tree/rare-trains", test_rare_trains);
  g_test_add_func ("/core/tree/standby-supply", test_standby_supply);
  g_test_add_func ("/core/tree/k-of-n", test_k_of_n);
  g_test_add_func ("/core/tree/multiprocessor", test_multiprocessor);
  g_test_add_func ("/core/tree/against-enumeration", test_against_enumeration);
  g_test_add_func ("/core/tree/node-probabilities", test_node_probabilities);
  g_test_add_func ("/core/tree/comparison-can-fail", test_comparison_can_fail);
  g_test_add_func ("/core/tree/soft-readings", test_soft_readings);
  g_test_add_func ("/core/tree/known-events", test_known_events);
  g_test_add_func ("/core/tree/small-numbers", test_small_numbers);
  g_test_add_func ("/core/tree/errors", test_errors);
  g_test_add_func ("/core/tree/text-form", test_text_form);
  g_test_add_func ("/core/tree/limits", test_limits);
  g_test_add_func ("/core/tree/json", test_json);
  return g_test_run ();
}
