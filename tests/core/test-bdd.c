/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The decision diagrams alone: every operation against its truth table on random functions, that
 * equal functions share one edge, passes against sums over all states, and the caps. */
#undef G_DISABLE_ASSERT
#include "bl-bdd.h"

#include <math.h>

enum
{
  N = 5,
  STATES = 1 << N
};

/* A function and its truth table, one bit per state. */
typedef struct
{
  BlEdge edge;
  guint32 table;
} Function;

static guint32
table_of (const BlBdd *bdd, BlEdge edge)
{
  guint32 table = 0;
  for (guint state = 0; state < STATES; state++)
    {
      BlEdge at = edge;
      while (at >> 1 != 0)
        {
          const BlTableNode *node = &bdd->table.nodes[at >> 1];
          at = (state >> node->level & 1 ? node->hi : node->lo) ^ (at & 1);
        }
      table |= at == BL_BDD_TRUE ? 1u << state : 0;
    }
  return table;
}

static void
start (BlBdd *bdd, Function *pool)
{
  for (guint i = 0; i < N; i++)
    {
      pool[i] = (Function){ bl_bdd_variable (bdd, i), 0 };
      for (guint state = 0; state < STATES; state++)
        pool[i].table |= (state >> i & 1) << state;
    }
}

static Function
combine (BlBdd *bdd, GRand *rand, const Function *pool, guint n)
{
  Function f = pool[g_rand_int_range (rand, 0, (int) n)];
  Function g = pool[g_rand_int_range (rand, 0, (int) n)];
  Function h = pool[g_rand_int_range (rand, 0, (int) n)];
  BlEdge three[] = { f.edge, g.edge, h.edge };
  switch (g_rand_int_range (rand, 0, 5))
    {
    case 0:
      return (Function){ bl_bdd_and (bdd, f.edge, g.edge), f.table & g.table };
    case 1:
      return (Function){ bl_bdd_or (bdd, f.edge, g.edge), f.table | g.table };
    case 2:
      return (Function){ bl_bdd_xor (bdd, f.edge, g.edge), f.table ^ g.table };
    case 3:
      return (Function){ bl_bdd_at_least (bdd, 2, three, 3),
                         (f.table & g.table) | (f.table & h.table) | (g.table & h.table) };
    default:
      return (Function){ bl_bdd_not (f.edge), ~f.table };
    }
}

static void
test_operations (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  for (guint round = 0; round < 50; round++)
    {
      g_autoptr (BlBdd) bdd = bl_bdd_new (1 << 20, G_MAXINT32);
      g_autoptr (GHashTable) edges = g_hash_table_new (NULL, NULL);
      Function pool[60];
      start (bdd, pool);
      for (guint i = N; i < G_N_ELEMENTS (pool); i++)
        {
          pool[i] = combine (bdd, rand, pool, i);
          g_assert_cmphex (table_of (bdd, pool[i].edge), ==, pool[i].table);
          /* one function, one edge */
          gpointer key = GUINT_TO_POINTER (pool[i].table), before = NULL;
          if (g_hash_table_lookup_extended (edges, key, NULL, &before))
            g_assert_cmpuint (GPOINTER_TO_UINT (before), ==, pool[i].edge);
          g_hash_table_insert (edges, key, GUINT_TO_POINTER (pool[i].edge));
        }
      g_assert_false (bdd->table.failed);
    }
}

static double
weight (const double *p, guint state, guint but)
{
  double product = 1;
  for (guint i = 0; i < N; i++)
    if (i != but)
      product *= state >> i & 1 ? p[i] : 1 - p[i];
  return product;
}

static void
test_passes (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (2);
  for (guint round = 0; round < 200; round++)
    {
      g_autoptr (BlBdd) bdd = bl_bdd_new (1 << 20, G_MAXINT32);
      Function pool[25];
      double p[N], q[N];
      BlHeld held[N], seed = { g_rand_double (rand), g_rand_double (rand), 0 };
      seed.slope = seed.if_true - seed.if_false;
      start (bdd, pool);
      for (guint i = 0; i < N; i++)
        q[i] = 1 - (p[i] = g_rand_double (rand));
      for (guint i = N; i < G_N_ELEMENTS (pool); i++)
        pool[i] = combine (bdd, rand, pool, i);
      Function f = pool[G_N_ELEMENTS (pool) - 1];
      g_autoptr (BlDiagram) diagram = bl_bdd_extract (bdd, &f.edge, 1, N);
      bl_diagram_weigh (diagram, p, q);
      bl_diagram_hold (diagram, 0, seed, p, q, held);
      double yes = 0, values[2][N] = { { 0 } };
      for (guint state = 0; state < STATES; state++)
        {
          gboolean is_true = (f.table >> state & 1) != 0;
          yes += is_true ? weight (p, state, N) : 0;
          for (guint i = 0; i < N; i++)
            values[state >> i & 1][i] +=
                weight (p, state, i) * (is_true ? seed.if_true : seed.if_false);
        }
      g_assert_cmpfloat_with_epsilon (bl_diagram_yes (diagram, diagram->roots[0]), yes, 1e-14);
      g_assert_cmpfloat_with_epsilon (bl_diagram_yes (diagram, diagram->roots[0] ^ 1), 1 - yes,
                                      1e-14);
      for (guint i = 0; i < N; i++)
        {
          g_assert_cmpfloat_with_epsilon (held[i].if_true, values[1][i], 1e-14);
          g_assert_cmpfloat_with_epsilon (held[i].if_false, values[0][i], 1e-14);
          g_assert_cmpfloat_with_epsilon (held[i].slope, values[1][i] - values[0][i], 1e-14);
        }
    }
}

/* x0 x1 + x2 x3 + ...: 2 nodes a pair when the pairs stand together, exponential when they don't.
 */
static BlEdge
pairs (BlBdd *bdd, guint n, gboolean together)
{
  BlEdge sum = BL_BDD_FALSE;
  for (guint i = n; i-- > 0;)
    sum = bl_bdd_or (bdd, sum,
                     bl_bdd_and (bdd, bl_bdd_variable (bdd, together ? 2 * i : i),
                                 bl_bdd_variable (bdd, together ? 2 * i + 1 : n + i)));
  return sum;
}

static void
test_size (void)
{
  g_autoptr (BlBdd) bdd = bl_bdd_new (1 << 24, G_MAXINT32);
  BlEdge good = pairs (bdd, 8, TRUE), bad = pairs (bdd, 8, FALSE);
  g_autoptr (BlDiagram) small = bl_bdd_extract (bdd, &good, 1, 16);
  g_autoptr (BlDiagram) large = bl_bdd_extract (bdd, &bad, 1, 16);
  /* Bryant 1986: 2n + 2 against 2^(n+1) nodes; complement edges have one terminal instead of two */
  g_assert_cmpuint (small->n_nodes, ==, 2 * 8 + 1);
  g_assert_cmpuint (large->n_nodes, ==, (1 << 9) - 1);
}

static void
test_caps (void)
{
  g_autoptr (BlBdd) few = bl_bdd_new (1 << 24, 1000);
  g_autoptr (BlBdd) small = bl_bdd_new (1 << 16, G_MAXINT32);
  g_autoptr (BlBdd) deep = bl_bdd_new (1 << 28, G_MAXINT32);
  g_assert_cmpuint (pairs (few, 20, FALSE), ==, BL_BDD_FAILED);
  g_assert_cmpuint (few->table.n_nodes, <=, 1000);
  g_assert_cmpuint (pairs (small, 20, FALSE), ==, BL_BDD_FAILED);
  g_assert_cmpuint (bl_bdd_and (small, BL_BDD_FAILED, BL_BDD_FALSE), ==, BL_BDD_FAILED);
  g_assert_cmpuint (bl_bdd_not (BL_BDD_FAILED), ==, BL_BDD_FAILED);
  /* two chains of 100 000 levels: refused before the stack ends */
  BlEdge all = BL_BDD_TRUE, even = BL_BDD_TRUE;
  for (guint32 i = 100000; i-- > 0;)
    {
      all = bl_bdd_and (deep, bl_bdd_variable (deep, i), all);
      even = i % 2 == 0 ? bl_bdd_and (deep, bl_bdd_variable (deep, i), even) : even;
    }
  g_assert_cmpuint (all, !=, BL_BDD_FAILED);
  g_assert_cmpuint (bl_bdd_and (deep, all, even), ==, BL_BDD_FAILED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/bdd/operations", test_operations);
  g_test_add_func ("/core/bdd/passes", test_passes);
  g_test_add_func ("/core/bdd/size", test_size);
  g_test_add_func ("/core/bdd/caps", test_caps);
  return g_test_run ();
}
