/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Minimal cut sets against published trees and against full enumeration.
 *
 * Published: NUREG-0492 (Fault Tree Handbook, 1981), pressure tank of ch. VIII and p. VII-17; the
 * three-motor relay circuit of an open-source risk code's test suite with its counts by order and
 * its probability. The order exact <= min-cut upper bound <= rare-event sum holds for every
 * coherent tree (ch. XI of the handbook; Esary and Proschan 1963, both from memory). */
#undef G_DISABLE_ASSERT
#include "fixture-tree.h"

#include <math.h>

/* "A,B;C" of the sets. Returns: (transfer full). */
static char *
spell (const BlTree *tree, const BlTreeResult *result)
{
  GString *text = g_string_new (NULL);
  for (guint i = 0; i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);
      g_string_append (text, i > 0 ? ";" : "");
      for (guint j = 0; j < set->len; j++)
        g_string_append_printf (text, "%s%s", j > 0 ? "," : "",
                                node_at (tree, g_array_index (set, guint, j))->id);
    }
  return g_string_free (text, FALSE);
}

static void
assert_sets (const char *text, guint order, const char *sets, const char *count)
{
  g_autoptr (BlTree) tree = tree_from (text);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, order);
  g_autofree char *spelled = spell (tree, result);
  g_assert_cmpstr (spelled, ==, sets);
  g_assert_cmpstr (result->cut_set_count, ==, count);
}

static void
test_handbook (void)
{
  assert_sets ("top E1\ngate E1 or 0 T E2\ngate E2 or 0 K2 E3\ngate E3 and 0 S E4\n"
               "gate E4 or 0 S1 E5\ngate E5 or 0 K1 R\nevent T 5e-6\nevent K2 3e-5\n"
               "event S 1e-4\nevent K1 3e-5\nevent R 1e-4\nevent S1 3e-5\n",
               9, "T;K2;S,K1;S,R;S,S1", "5");
  assert_sets ("top T\ngate T and 0 E1 E2\ngate E1 or 0 A E3\ngate E3 or 0 B C\n"
               "gate E2 or 0 C E4\ngate E4 and 0 A B\nevent A .1\nevent B .2\nevent C .3\n",
               9, "C;A,B", "2");
}

static void
test_orders (void)
{
  static const char two_trains[] = "top T\ngate T and 0 one two\ngate one or 0 V1 P1\n"
                                   "gate two or 0 V2 P2\nevent P1 .6\nevent P2 .7\n"
                                   "event V1 .4\nevent V2 .5\n";
  assert_sets (two_trains, 1, "", "4");
  assert_sets (two_trains, 2, "P1,P2;P1,V2;P2,V1;V1,V2", "4");
  assert_sets ("top T\ngate T atleast 2 A B C\nevent A .5\nevent B .5\nevent C .5\n", 3,
               "A,B;A,C;B,C", "3");
  assert_sets ("top T\ngate T or 0 A c\nconst c 1\nevent A .5\n", 3, "", "1"); /* the empty set */
  assert_sets ("top T\ngate T and 0 A c\nconst c 0\nevent A .5\n", 3, "", "0");
  assert_sets ("top A\nevent A .5\n", 3, "A", "1");
  /* two negations are none */
  assert_sets ("top T\ngate T nand 0 n n2\ngate n not 0 A\ngate n2 not 0 B\n"
               "event A .5\nevent B .5\n",
               3, "A;B", "2");
  /* at least 2 of 3 good fails when 2 are bad */
  assert_sets ("top T\ngate T not 0 g\ngate g atleast 2 a b c\ngate a not 0 A\ngate b not 0 B\n"
               "gate c not 0 h\ngate h or 0 C D\nevent A .5\nevent B .5\nevent C .5\n"
               "event D .5\n",
               3, "A,B;A,C;A,D;B,C;B,D", "5");
}

static const char three_motors[] =
    "top E1\ngate E1 and 0 E2 E3\ngate E2 or 0 K5 E4\ngate E4 and 0 tE1 E6\ngate E6 or 0 T2 K5\n"
    "gate E3 or 0 K2 E5\ngate E5 or 0 T1 E8\ngate E8 or 0 K1 E9\ngate E9 or 0 E10 E11\n"
    "gate E10 and 0 KT1 KT3 E12\ngate E12 or 0 KT2 T4\ngate E11 or 0 S1 T3\n"
    "gate tE1 or 0 K1 tE2\ngate tE2 or 0 tE3 tE4\ngate tE4 or 0 S1 T1inc\n"
    "gate tE3 and 0 a b c\ngate a or 0 KT1inc T2inc\ngate b or 0 KT2inc T3inc\n"
    "gate c or 0 KT3inc T4inc\n"
    "event K1 .02\nevent K2 .02\nevent K5 .02\nevent S1 .02\nevent T1 .02\nevent T2 .02\n"
    "event T3 .02\nevent T4 .02\nevent KT1inc .02\nevent KT2inc .02\nevent KT3inc .02\n"
    "event T1inc .02\nevent T2inc .02\nevent T3inc .02\nevent T4inc .02\n"
    "event KT1 .02\nevent KT2 .02\nevent KT3 .02\n";

static double
rare_event_sum (const BlTree *tree, const BlTreeResult *result, double *upper_bound)
{
  double sum = 0, none = 1;
  for (guint i = 0; i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);
      double product = 1;
      for (guint j = 0; j < set->len; j++)
        product *= node_at (tree, g_array_index (set, guint, j))->probability;
      sum += product;
      none *= 1 - product;
    }
  *upper_bound = 1 - none;
  return sum;
}

static void
test_three_motors (void)
{
  g_autoptr (BlTree) tree = tree_from (three_motors);
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  g_autoptr (BlTreeResult) all = evaluate (tree, NULL, 18);
  static const guint by_order[] = { 0, 0, 7, 3, 2, 26, 0, 16, 0 };
  guint counted[G_N_ELEMENTS (by_order)] = { 0 };

  g_assert_cmpstr (all->cut_set_count, ==, "54");
  for (guint i = 0; i < all->cut_sets->len; i++)
    counted[((GArray *) g_ptr_array_index (all->cut_sets, i))->len]++;
  g_assert_cmpmem (counted, sizeof counted, by_order, sizeof by_order);
  g_autoptr (BlTreeResult) pairs = evaluate (tree, NULL, 2);
  g_autofree char *spelled = spell (tree, pairs);
  g_assert_cmpstr (spelled, ==, "K1,K5;K1,T2;K2,K5;K5,S1;K5,T1;K5,T3;S1,T2");

  /* the three house events true: 12 sets, 0.0211538 and the two bounds */
  give (givens, tree, "KT1", TRUE);
  give (givens, tree, "KT2", TRUE);
  give (givens, tree, "KT3", TRUE);
  g_autoptr (BlTreeResult) house = evaluate (tree, givens, 18);
  double upper_bound, sum = rare_event_sum (tree, house, &upper_bound);
  g_assert_cmpstr (house->cut_set_count, ==, "12");
  g_assert_cmpuint (house->cut_sets->len, ==, 12);
  g_assert_cmpfloat_with_epsilon (house->probability, 0.0211538, 5e-8);
  g_assert_cmpfloat_with_epsilon (sum, 0.0212013, 5e-8);
  g_assert_cmpfloat_with_epsilon (house->probability, 0.021153782365316474, 1e-15);
  g_assert_cmpfloat_with_epsilon (upper_bound, 0.021176782557340457, 1e-15);
  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "K5")->posterior, .945457, 1e-6);
  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "T2")->posterior, .0734518, 1e-7);

  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "K1")->posterior, .0374401, 1e-7);
  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "KT2inc")->posterior, .0200263, 1e-7);
  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "K5")->risk_achievement, 47.2729, 5e-5);
  g_assert_cmpfloat_with_epsilon (event_of (tree, house, "K5")->risk_reduction, 17.9676, 5e-5);

  /* the published probabilities of the eight settings: .02115 all true, .00309 once, .00272 else */
  for (guint setting = 0; setting < 8; setting++)
    {
      for (guint i = 0; i < 3; i++)
        g_array_index (givens, BlGiven, i).value = (setting >> i & 1) != 0;
      g_autoptr (BlTreeResult) at = evaluate (tree, givens, 0);
      double published = setting == 7 ? .02115 : setting == 5 ? .00309 : .00272;
      g_assert_cmpfloat_with_epsilon (at->probability, published, 5e-6);
      if (setting != 7 && setting != 5)
        g_assert_cmpstr (at->cut_set_count, ==, "34"); /* enumerated */
    }

  /* KT2 alone false: 44 sets enumerated */
  for (guint i = 0; i < 3; i++)
    g_array_index (givens, BlGiven, i).value = i != 1;
  g_autoptr (BlTreeResult) other = evaluate (tree, givens, 0);
  g_assert_cmpfloat_with_epsilon (other->probability, .0030886279017641, 1e-15);
  g_assert_cmpstr (other->cut_set_count, ==, "44");
}

/* Minimal cut sets by looking at every set of events: those that make the top true, and of whose
 * subsets none does. Sets as bit masks over nodes. */
static void
enumerate (const BlTree *tree, GArray *sets)
{
  guint nodes[64], n = 0;
  gboolean events[64] = { FALSE };
  g_autoptr (GArray) solutions = g_array_new (FALSE, FALSE, sizeof (guint64));
  for (guint i = 0; i < tree->nodes->len; i++)
    if (node_at (tree, i)->kind == BL_NODE_EVENT)
      nodes[n++] = i;
  for (guint state = 0; state < 1u << n; state++)
    {
      guint64 mask = 0;
      for (guint i = 0; i < n; i++)
        {
          events[nodes[i]] = (state >> i & 1) != 0;
          mask |= events[nodes[i]] ? G_GUINT64_CONSTANT (1) << nodes[i] : 0;
        }
      if (holds (tree, tree->top, events))
        g_array_append_val (solutions, mask);
    }
  for (guint i = 0; i < solutions->len; i++)
    {
      guint64 mask = g_array_index (solutions, guint64, i);
      gboolean minimal = TRUE;
      for (guint j = 0; minimal && j < solutions->len; j++)
        minimal = i == j || (g_array_index (solutions, guint64, j) & ~mask) != 0;
      if (minimal)
        g_array_append_val (sets, mask);
    }
}

static gboolean
same_sets (const BlTreeResult *result, const GArray *expected, guint order)
{
  g_autoptr (GHashTable) masks = g_hash_table_new (g_int64_hash, g_int64_equal);
  guint n_expected = 0;
  for (guint i = 0; i < expected->len; i++)
    {
      guint64 *mask = &g_array_index (expected, guint64, i);
      if (__builtin_popcountll (*mask) <= (int) order)
        n_expected += g_hash_table_add (masks, mask) ? 1 : 0;
    }
  for (guint i = 0; i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);
      guint64 mask = 0;
      for (guint j = 0; j < set->len; j++)
        mask |= G_GUINT64_CONSTANT (1) << g_array_index (set, guint, j);
      if (!g_hash_table_remove (masks, &mask))
        return FALSE;
    }
  return n_expected == result->cut_sets->len;
}

static void
test_against_enumeration (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (30);
  for (guint round = 0; round < 400; round++)
    {
      g_autofree char *text = random_tree (rand, (guint) g_rand_int_range (rand, 2, 10),
                                           (guint) g_rand_int_range (rand, 1, 14), TRUE);
      g_autoptr (BlTree) tree = tree_from (text);
      g_autoptr (GArray) expected = g_array_new (FALSE, FALSE, sizeof (guint64));
      guint order = (guint) g_rand_int_range (rand, 1, 10);
      g_autoptr (BlTreeResult) result = evaluate (tree, NULL, order);
      enumerate (tree, expected);
      g_autofree char *count = g_strdup_printf ("%u", expected->len);
      g_assert_true (result->coherent);
      if (strcmp (count, result->cut_set_count) != 0 || !same_sets (result, expected, order))
        g_error ("%s sets instead of %s on\n%s", result->cut_set_count, count, text);
      double upper_bound, sum = rare_event_sum (tree, result, &upper_bound);
      if (order < 9)
        continue;
      g_assert_cmpfloat (result->probability, <=, upper_bound + 1e-12);
      g_assert_cmpfloat (upper_bound, <=, sum + 1e-12);
    }
}

/* Negations: a set is what makes the top true when nothing else happens. f = a b + not a c has the
 * prime implicants {a, b}, {not a, c} and {b, c} (the usual example of Dutuit and Rauzy, from memory):
 * {c} is enough, and {a, b}. */
static void
test_negations (void)
{
  assert_sets ("top f\ngate f or 0 l r\ngate l and 0 a b\ngate r and 0 n c\ngate n not 0 a\n"
               "event a .5\nevent b .5\nevent c .5\n",
               3, "c;a,b", "2");
  /* the two trains of a public risk code's tests, the second one V2 or P2 or not P1: V1 alone */
  assert_sets ("top T\ngate T and 0 one two\ngate one or 0 V1 P1\ngate two or 0 V2 P2 no\n"
               "gate no not 0 P1\nevent P1 .06\nevent P2 .07\nevent V1 .04\nevent V2 .05\n",
               3, "V1;P1,P2;P1,V2", "3");
  assert_sets ("top T\ngate T xor 0 a b c\nevent a .5\nevent b .5\nevent c .5\n", 3, "a;b;c", "3");
  assert_sets ("top T\ngate T nand 0 a b\nevent a .5\nevent b .5\n", 3, "", "1"); /* nothing at all */
  /* an inner part that is true when nothing happens, wanted as it is and the other way round */
  assert_sets ("top T\ngate T and 0 a m\ngate m nand 0 b c\nevent a .5\nevent b .5\nevent c .5\n", 3,
               "a", "1");
  assert_sets ("top T\ngate T xor 0 p m a\ngate p not 0 z\ngate m nand 0 b c\nevent a .5\nevent b .5\n"
               "event c .5\nevent z .5\n", 3, "a;z;b,c", "3");
}

static void
test_negations_against_enumeration (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (31);
  guint n_other = 0;
  for (guint round = 0; round < 600; round++)
    {
      g_autofree char *text = random_tree (rand, (guint) g_rand_int_range (rand, 2, 10),
                                           (guint) g_rand_int_range (rand, 1, 14), FALSE);
      g_autoptr (BlTree) tree = tree_from (text);
      g_autoptr (GArray) expected = g_array_new (FALSE, FALSE, sizeof (guint64));
      guint order = (guint) g_rand_int_range (rand, 1, 10);
      g_autoptr (BlTreeResult) result = evaluate (tree, NULL, order);
      enumerate (tree, expected);
      g_autofree char *count = g_strdup_printf ("%u", expected->len);
      n_other += result->coherent ? 0 : 1;
      if (g_strcmp0 (count, result->cut_set_count) != 0 || !same_sets (result, expected, order))
        g_error ("%s sets instead of %s on\n%s", result->cut_set_count, count, text);
    }
  g_assert_cmpuint (n_other, >=, 200);
}

static void
test_comparison_can_fail (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A g\ngate g and 0 B C\n"
                                       "event A .5\nevent B .5\nevent C .5\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 2);
  g_autoptr (GArray) expected = g_array_new (FALSE, FALSE, sizeof (guint64));
  enumerate (tree, expected);
  g_assert_true (same_sets (result, expected, 2));
  g_assert_false (same_sets (result, expected, 1));
  g_array_index (expected, guint64, 0) ^= 2;
  g_assert_false (same_sets (result, expected, 2));
}

/* AND of n ORs of m events each: m^n sets, far beyond any machine integer. */
static void
test_long_counts (void)
{
  static const struct
  {
    guint n, m;
    const char *count; /* m^n */
  } rows[] = {
    { 20, 10, "100000000000000000000" },
    { 64, 2, "18446744073709551616" },
    { 100, 3, "515377520732011331036461129765621272702107522001" },
  };
  for (gsize r = 0; r < G_N_ELEMENTS (rows); r++)
    {
      g_autoptr (GString) text = g_string_new ("top T\ngate T and 0");
      for (guint i = 0; i < rows[r].n; i++)
        g_string_append_printf (text, " g%u", i);
      for (guint i = 0; i < rows[r].n; i++)
        {
          g_string_append_printf (text, "\ngate g%u or 0", i);
          for (guint j = 0; j < rows[r].m; j++)
            g_string_append_printf (text, " e%u_%u", i, j);
          for (guint j = 0; j < rows[r].m; j++)
            g_string_append_printf (text, "\nevent e%u_%u 0.1", i, j);
        }
      g_autoptr (BlTree) tree = tree_from (text->str);
      g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 2);
      g_assert_cmpstr (result->cut_set_count, ==, rows[r].count);
      g_assert_cmpuint (result->cut_sets->len, ==, 0);
    }
}

/* Asking for more sets than the memory holds is refused; the count alone is not. */
static void
test_too_many (void)
{
  g_autoptr (GString) text = g_string_new ("top T\ngate T atleast 6");
  for (guint i = 0; i < 40; i++)
    g_string_append_printf (text, " e%u", i);
  for (guint i = 0; i < 40; i++)
    g_string_append_printf (text, "\nevent e%u 0.1", i);
  g_autoptr (BlTree) tree = tree_from (text->str);
  g_autoptr (GError) error = NULL;
  g_assert_null (bl_tree_evaluate (tree, NULL, 6, 16 << 20, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD);
  g_autoptr (BlTreeResult) result = bl_tree_evaluate (tree, NULL, 0, 16 << 20, NULL);
  g_assert_cmpstr (result->cut_set_count, ==, "3838380"); /* C(40, 6) */
  g_assert_null (result->cut_sets);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/cut-sets/handbook", test_handbook);
  g_test_add_func ("/core/cut-sets/orders", test_orders);
  g_test_add_func ("/core/cut-sets/three-motors", test_three_motors);
  g_test_add_func ("/core/cut-sets/against-enumeration", test_against_enumeration);
  g_test_add_func ("/core/cut-sets/negations", test_negations);
  g_test_add_func ("/core/cut-sets/negations-against-enumeration", test_negations_against_enumeration);
  g_test_add_func ("/core/cut-sets/comparison-can-fail", test_comparison_can_fail);
  g_test_add_func ("/core/cut-sets/long-counts", test_long_counts);
  g_test_add_func ("/core/cut-sets/too-many", test_too_many);
  return g_test_run ();
}
