/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bounds of a tree's probability: they enclose the exact value whatever the cap, given conditions or
 * not; they meet when nothing had to be cut; they come closer with a larger cap. */
#undef G_DISABLE_ASSERT
#include "bl-tree-bound.h"
#include "fixture-tree.h"

#include <math.h>

/* Bounds of the top, the node `given` (-1: none) true. */
static void
bound (const BlTree *tree, int given, guint32 cap, double *least, double *most)
{
  g_autoptr (GArray) roots = g_array_new (FALSE, FALSE, sizeof (guint));
  guint top = tree->top << 1, condition = (guint) given << 1;

  g_array_append_val (roots, top);
  if (given >= 0)
    g_array_append_val (roots, condition);
  g_autoptr (BlGraph) graph = bl_graph_new (tree, roots, roots->len, NULL);
  g_autofree double *p = g_new0 (double, graph->nodes->len), *q = g_new0 (double, graph->nodes->len);
  for (guint32 i = 0; i < graph->nodes->len; i++)
    if (bl_graph_node (graph, i)->op == BL_OP_EVENT)
      {
        p[i] = node_at (tree, bl_graph_node (graph, i)->tree_node)->probability;
        q[i] = 1 - p[i];
      }
  bl_graph_bound (graph, p, q, cap, 16 << 20, least, most);
}

static void
test_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (40);
  guint n_apart = 0, n_useful = 0;

  for (guint round = 0; round < 500; round++)
    {
      g_autofree char *text =
          random_tree (rand, (guint) g_rand_int_range (rand, 4, 12),
                       (guint) g_rand_int_range (rand, 4, 16), g_rand_boolean (rand));
      g_autoptr (BlTree) tree = tree_from (text);
      int given = g_rand_int_range (rand, 0, 3) == 0 ? g_rand_int_range (rand, 0, 4) : -1;
      g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
      BlGiven condition = { (guint) given, TRUE };
      if (given >= 0)
        g_array_append_val (givens, condition);
      g_autoptr (BlTreeResult) exact =
          bl_tree_evaluate (tree, givens, BL_TREE_NO_CUT_SETS, 0, NULL);
      if (exact == NULL)
        continue;
      guint32 cap = (guint32) g_rand_int_range (rand, 1, 8);
      double least, most;
      bound (tree, given, cap, &least, &most);
      if (!(least <= exact->probability + 1e-12 && exact->probability <= most + 1e-12))
        g_error ("%g is not from %g to %g, cap %u, given %d, of\n%s", exact->probability, least,
                 most, cap, given, text);
      n_apart += most > least + 1e-9 ? 1 : 0;
      n_useful += most > least + 1e-9 && (least > 0 || most < 1) ? 1 : 0;
      bound (tree, given, 1 << 16, &least, &most);
      g_assert_cmpfloat_with_epsilon (least, exact->probability, 1e-12);
      g_assert_cmpfloat_with_epsilon (most, exact->probability, 1e-12);
    }
  g_assert_cmpuint (n_apart, >, 40);
  g_assert_cmpuint (n_useful, >, 20);
}

/* Many products of three out of a hundred events: their exact diagram is very large. */
static void
test_hard (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  g_autoptr (GString) hard = g_string_new ("top T\ngate T or 0");
  for (guint i = 0; i < 150; i++)
    g_string_append_printf (hard, " g%u", i);
  for (guint i = 0; i < 150; i++)
    {
      int a = g_rand_int_range (rand, 0, 33), b = g_rand_int_range (rand, 33, 66);
      g_string_append_printf (hard, "\ngate g%u and 0 e%d e%d e%d", i, a, b,
                              g_rand_int_range (rand, 66, 100));
    }
  for (guint i = 0; i < 100; i++)
    g_string_append_printf (hard, "\nevent e%u 0.001", i);
  g_autoptr (BlTree) tree = tree_from (hard->str);
  double least, most, closer_least, closer_most;

  bound (tree, -1, 30, &least, &most);
  bound (tree, -1, 150, &closer_least, &closer_most);
  g_test_message ("%g to %g, then %g to %g", least, most, closer_least, closer_most);
  g_assert_cmpfloat (least, <=, closer_least);
  g_assert_cmpfloat (closer_most, <=, most);
  g_assert_cmpfloat (closer_least, >, 0);
  g_assert_cmpfloat (closer_least, <=, closer_most);
  /* the sum over the 150 sets of three is an upper bound, and a close one here */
  g_assert_cmpfloat (closer_least, <=, 150e-9);
  g_assert_cmpfloat (closer_most, <=, 150e-9 * (1 + 1e-12));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-bound/random", test_random);
  g_test_add_func ("/core/tree-bound/hard", test_hard);
  return g_test_run ();
}
