/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reduced ordered decision diagrams with complement edges (Bryant 1986; Brace, Rudell and Bryant
 * 1990; both from memory).
 *
 * The edge to a node's high child is never complemented, which makes every function and its
 * negation share one node. Only conjunction and exclusive or recurse: the rest follows by negation,
 * which is free. The two share the table of results: a conjunction is kept with its operands
 * rising, an exclusive or with them falling. The recursion is as deep as the diagram has levels;
 * beyond MAX_DEPTH it fails like a cap, so that no input can exhaust the stack. It orders no
 * variables: see bl-tree-order.c.
 */
#include "config.h"

#include "bl-bdd.h"

enum
{
  MAX_DEPTH = 20000
};

BlBdd *
bl_bdd_new (gsize limit, guint32 max_nodes)
{
  BlBdd *bdd = g_new0 (BlBdd, 1);
  bl_node_table_init (&bdd->table, 1, limit, max_nodes);
  return bdd;
}

void
bl_bdd_reset (BlBdd *bdd, gsize limit, guint32 max_nodes)
{
  bl_node_table_reset (&bdd->table, 1, limit, max_nodes);
  bdd->depth = 0;
}

void
bl_bdd_free (BlBdd *bdd)
{
  if (bdd == NULL)
    return;
  bl_node_table_clear (&bdd->table);
  g_free (bdd);
}

static BlEdge
make (BlBdd *bdd, guint32 level, BlEdge hi, BlEdge lo)
{
  if (hi == BL_BDD_FAILED || lo == BL_BDD_FAILED)
    return BL_BDD_FAILED;
  if (hi == lo)
    return hi;
  BlEdge flip = hi & 1;
  guint32 node = bl_node_table_get (&bdd->table, level, hi ^ flip, lo ^ flip);
  return node == BL_TABLE_FAILED ? BL_BDD_FAILED : node << 1 | flip;
}

BlEdge
bl_bdd_variable (BlBdd *bdd, guint32 level)
{
  return make (bdd, level, BL_BDD_TRUE, BL_BDD_FALSE);
}

/* The cofactors of f at level. */
static inline void
split (const BlBdd *bdd, BlEdge f, guint32 level, BlEdge *hi, BlEdge *lo)
{
  const BlTableNode *node = &bdd->table.nodes[f >> 1];
  if (node->level != level)
    {
      *hi = *lo = f;
      return;
    }
  *hi = node->hi ^ (f & 1);
  *lo = node->lo ^ (f & 1);
}

typedef BlEdge (*Operation) (BlBdd *bdd, BlEdge f, BlEdge g);

static inline BlEdge
recurse (BlBdd *bdd, Operation operation, BlEdge f, BlEdge g)
{
  BlEdge result = bl_node_table_recall (&bdd->table, f, g);
  if (result != BL_TABLE_FAILED)
    return result;
  if (bdd->table.failed || bdd->depth >= MAX_DEPTH)
    {
      bdd->table.failed = TRUE;
      return BL_BDD_FAILED;
    }
  guint32 level = MIN (bl_bdd_level (bdd, f), bl_bdd_level (bdd, g));
  BlEdge f1, f0, g1, g0;
  split (bdd, f, level, &f1, &f0);
  split (bdd, g, level, &g1, &g0);
  bdd->depth++;
  BlEdge hi = operation (bdd, f1, g1);
  BlEdge lo = operation (bdd, f0, g0);
  bdd->depth--;
  result = make (bdd, level, hi, lo);
  if (result != BL_BDD_FAILED)
    bl_node_table_remember (&bdd->table, f, g, result);
  return result;
}

BlEdge
bl_bdd_and (BlBdd *bdd, BlEdge f, BlEdge g)
{
  if (f == BL_BDD_FAILED || g == BL_BDD_FAILED)
    return BL_BDD_FAILED;
  if (f == BL_BDD_FALSE || g == BL_BDD_FALSE || f == (g ^ 1))
    return BL_BDD_FALSE;
  if (f == BL_BDD_TRUE || f == g)
    return g;
  if (g == BL_BDD_TRUE)
    return f;
  return f < g ? recurse (bdd, bl_bdd_and, f, g) : recurse (bdd, bl_bdd_and, g, f);
}

BlEdge
bl_bdd_or (BlBdd *bdd, BlEdge f, BlEdge g)
{
  return bl_bdd_not (bl_bdd_and (bdd, bl_bdd_not (f), bl_bdd_not (g)));
}

BlEdge
bl_bdd_xor (BlBdd *bdd, BlEdge f, BlEdge g)
{
  if (f == BL_BDD_FAILED || g == BL_BDD_FAILED)
    return BL_BDD_FAILED;
  BlEdge flip = (f ^ g) & 1;
  f &= ~1u;
  g &= ~1u;
  BlEdge result;
  if (f == g)
    result = BL_BDD_FALSE;
  else if (f == BL_BDD_TRUE || g == BL_BDD_TRUE)
    result = (f == BL_BDD_TRUE ? g : f) ^ 1;
  else
    result = f > g ? recurse (bdd, bl_bdd_xor, f, g) : recurse (bdd, bl_bdd_xor, g, f);
  return result == BL_BDD_FAILED ? result : result ^ flip;
}

BlEdge
bl_bdd_at_least (BlBdd *bdd, guint k, const BlEdge *functions, guint n)
{
  if (k == 0)
    return BL_BDD_TRUE;
  if (k > n)
    return BL_BDD_FALSE;
  /* reach[j]: at least j of the functions from i on; i runs from the last to the first. */
  g_autofree BlEdge *reach = g_new (BlEdge, k + 1);
  reach[0] = BL_BDD_TRUE;
  for (guint j = 1; j <= k; j++)
    reach[j] = BL_BDD_FALSE;
  for (guint i = n; i-- > 0;)
    for (guint j = k; j >= 1; j--)
      reach[j] = bl_bdd_or (bdd, reach[j], bl_bdd_and (bdd, functions[i], reach[j - 1]));
  return reach[k];
}

BlDiagram *
bl_bdd_extract (const BlBdd *bdd, const BlEdge *roots, guint n_roots, guint n_levels)
{
  const BlTableNode *nodes = bdd->table.nodes;
  g_autofree guint32 *place = g_new0 (guint32, bdd->table.n_nodes);
  for (guint i = 0; i < n_roots; i++)
    place[roots[i] >> 1] = 1;
  for (guint32 i = bdd->table.n_nodes; i-- > 1;)
    if (place[i] != 0)
      place[nodes[i].hi >> 1] = place[nodes[i].lo >> 1] = 1;
  guint32 n = 1;
  place[0] = 0;
  for (guint32 i = 1; i < bdd->table.n_nodes; i++)
    if (place[i] != 0)
      place[i] = n++;
  BlDiagram *diagram = bl_diagram_new (n, n_levels, n_roots);
  for (guint32 i = 1; i < bdd->table.n_nodes; i++)
    if (place[i] != 0)
      diagram->nodes[place[i]] = (BlTableNode){
        nodes[i].level,
        place[nodes[i].hi >> 1] << 1,
        place[nodes[i].lo >> 1] << 1 | (nodes[i].lo & 1),
      };
  for (guint i = 0; i < n_roots; i++)
    diagram->roots[i] = place[roots[i] >> 1] << 1 | (roots[i] & 1);
  return diagram;
}
