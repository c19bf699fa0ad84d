/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bounds of a fault tree's probability when its diagram does not fit.
 *
 * Every gate gets two functions: one that is true at most when the gate is, one that is true at
 * least when it is. Both are diagrams of at most `cap` nodes: a larger one is cut by making nodes
 * false (in the lower function) or true (in the upper), those first through which the least
 * probability passes. Since an AND of lower functions is a lower function, and negation turns a
 * lower into an upper one, the pair of the top encloses it, negations or not. As long as nothing had
 * to be cut the two are one and the bounds meet. Besides, each gate's probability is held within what
 * its children's allow however they hang together (Boole and Frechet, from memory), which is closer
 * where many small ways are joined. Rounding is that of the sums, far below the gap.
 *
 * Nothing is split into modules: they are only additive here. Old nodes are collected by copying
 * what is still needed. The work is bounded by cap, not by a clock, so that the same tree gives the
 * same bounds on every machine. One file: cutting, collecting and joining work on the same store.
 */
#include "config.h"

#include "bl-tree-bound.h"

#include "bl-bdd.h"
#include "bl-tree-order.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

enum
{
  MOST_NODES = 3 << 20, /* nodes in all, where memory allows */
  BYTES_PER_NODE = 100, /* of all tables and arrays, when they have just grown */
  SHRINK = 4,          /* of the operands' caps when an operation got too large */
  MAX_TRIES = 6
};

typedef struct
{
  BlEdge low, high;
} Bounds;

typedef struct
{
  const BlGraph *graph;
  BlBdd *bdd;
  gsize limit;
  guint32 cap;
  guint32 max_nodes; /* in all; a third may be made by one operation */
  guint n_levels;
  double *p, *q;     /* by level */
  double *least, *most; /* by graph node: probability of a gate or event */
  Bounds *bounds;    /* by graph node; both BL_BDD_TRUE before and after it is needed */
  guint32 *last_use; /* by graph node: the last gate that needs it; 0: not needed at all */
  GArray *held;      /* BlEdge *, what is in the works and must survive a collection */
  guint64 steps;     /* results computed before the last collection */
  gboolean broken;   /* not even what is needed fits: only trivial bounds are left */
  /* By node of the diagram, or by edge: */
  double *yes, *no, *weight;
  guint32 *seen; /* stamp of the last walk that met the edge */
  guint32 n_weighed, n_allocated, stamp;
} Bounder;

/* A function with the probability that cutting it off would lose. */
typedef struct
{
  BlEdge edge;
  double loss;
} Reached;

static void
weigh (Bounder *bounder)
{
  const BlNodeTable *table = &bounder->bdd->table;
  if (table->n_nodes > bounder->n_allocated)
    {
      guint32 wanted = table->n_nodes + table->n_nodes / 2;
      bounder->yes = g_renew (double, bounder->yes, wanted);
      bounder->no = g_renew (double, bounder->no, wanted);
      bounder->weight = g_renew (double, bounder->weight, (gsize) wanted * 2);
      bounder->seen = g_renew (guint32, bounder->seen, (gsize) wanted * 2);
      memset (bounder->seen + (gsize) bounder->n_allocated * 2, 0,
              sizeof (guint32) * 2 * (wanted - bounder->n_allocated));
      bounder->n_allocated = wanted;
    }
  bounder->yes[0] = 1;
  bounder->no[0] = 0;
  for (guint32 i = MAX (bounder->n_weighed, 1); i < table->n_nodes; i++)
    {
      const BlTableNode *node = &table->nodes[i];
      double p = bounder->p[node->level], q = bounder->q[node->level];
      guint32 lo = node->lo >> 1;
      gboolean flip = node->lo & 1;
      bounder->yes[i] =
          p * bounder->yes[node->hi >> 1] + q * (flip ? bounder->no[lo] : bounder->yes[lo]);
      bounder->no[i] =
          p * bounder->no[node->hi >> 1] + q * (flip ? bounder->yes[lo] : bounder->no[lo]);
    }
  bounder->n_weighed = table->n_nodes;
}

static double
probability (const Bounder *bounder, BlEdge edge)
{
  return edge & 1 ? bounder->no[edge >> 1] : bounder->yes[edge >> 1];
}

static BlEdge
high_of (const Bounder *bounder, BlEdge edge)
{
  return bounder->bdd->table.nodes[edge >> 1].hi ^ (edge & 1);
}

static BlEdge
low_of (const Bounder *bounder, BlEdge edge)
{
  return bounder->bdd->table.nodes[edge >> 1].lo ^ (edge & 1);
}

static int
parents_first (gconstpointer a, gconstpointer b)
{
  BlEdge left = ((const Reached *) a)->edge, right = ((const Reached *) b)->edge;
  return left > right ? -1 : left < right;
}

static int
largest_first (gconstpointer a, gconstpointer b)
{
  const Reached *left = a, *right = b;
  if (left->loss != right->loss)
    return left->loss > right->loss ? -1 : 1;
  return parents_first (a, b);
}

/* The functions below root that are no constants, root the first. (transfer full) */
static GArray *
reach (Bounder *bounder, BlEdge root)
{
  GArray *list = g_array_new (FALSE, FALSE, sizeof (Reached));
  bounder->stamp++;
  for (guint i = 0;; i++)
    {
      BlEdge next[2] = { root, root };
      if (i > 0)
        {
          if (i > list->len)
            break;
          BlEdge edge = g_array_index (list, Reached, i - 1).edge;
          next[0] = high_of (bounder, edge);
          next[1] = low_of (bounder, edge);
        }
      for (guint j = 0; j < 2; j++)
        {
          Reached reached = { next[j], 0 };
          if (next[j] <= BL_BDD_FALSE || bounder->seen[next[j]] == bounder->stamp)
            continue;
          bounder->seen[next[j]] = bounder->stamp;
          bounder->weight[next[j]] = 0;
          g_array_append_val (list, reached);
        }
    }
  return list;
}

/* How much probability passes through each function, and what is lost when it becomes constant. */
static void
find_losses (Bounder *bounder, BlEdge root, GArray *list, BlEdge constant)
{
  g_array_sort (list, parents_first);
  bounder->weight[root] = 1;
  for (guint i = 0; i < list->len; i++)
    {
      Reached *at = &g_array_index (list, Reached, i);
      guint32 level = bl_bdd_level (bounder->bdd, at->edge);
      double weight = bounder->weight[at->edge];
      BlEdge hi = high_of (bounder, at->edge), lo = low_of (bounder, at->edge);
      bounder->weight[hi] += hi > BL_BDD_FALSE ? weight * bounder->p[level] : 0;
      bounder->weight[lo] += lo > BL_BDD_FALSE ? weight * bounder->q[level] : 0;
      at->loss = weight * probability (bounder, constant == BL_BDD_FALSE ? at->edge : at->edge ^ 1);
    }
}

/* Makes node (level, hi, lo) of edges that may be complemented. */
static BlEdge
make (Bounder *bounder, guint32 level, BlEdge hi, BlEdge lo)
{
  if (hi == lo || hi == BL_BDD_FAILED || lo == BL_BDD_FAILED)
    return hi == lo ? hi : BL_BDD_FAILED;
  BlEdge flip = hi & 1;
  guint32 node = bl_node_table_get (&bounder->bdd->table, level, hi ^ flip, lo ^ flip);
  return node == BL_TABLE_FAILED ? BL_BDD_FAILED : node << 1 | flip;
}

static BlEdge
image_of (GHashTable *images, BlEdge edge, BlEdge constant)
{
  gpointer image;
  if (edge <= BL_BDD_FALSE)
    return edge;
  return g_hash_table_lookup_extended (images, GUINT_TO_POINTER (edge), NULL, &image)
             ? GPOINTER_TO_UINT (image)
             : constant;
}

/* root with at most cap nodes, what was cut off made constant. */
static BlEdge
cut (Bounder *bounder, BlEdge root, BlEdge constant, guint32 cap)
{
  if (root <= BL_BDD_FALSE)
    return root;
  weigh (bounder);
  g_autoptr (GArray) list = reach (bounder, root);
  if (list->len <= cap)
    return root;
  find_losses (bounder, root, list, constant);
  g_array_sort (list, largest_first);
  g_array_set_size (list, cap);
  g_array_sort (list, parents_first);
  g_autoptr (GHashTable) images = g_hash_table_new (NULL, NULL);
  bounder->bdd->table.max_nodes = G_MAXINT32 / 2;
  for (guint i = list->len; i-- > 0;)
    {
      BlEdge edge = g_array_index (list, Reached, i).edge;
      BlEdge image = make (bounder, bl_bdd_level (bounder->bdd, edge),
                           image_of (images, high_of (bounder, edge), constant),
                           image_of (images, low_of (bounder, edge), constant));
      g_hash_table_insert (images, GUINT_TO_POINTER (edge), GUINT_TO_POINTER (image));
    }
  BlEdge image = image_of (images, root, constant);
  return image == BL_BDD_FAILED ? constant : image;
}

/* Copies what is still needed into an empty table. */
static void
collect (Bounder *bounder)
{
  g_autoptr (GArray) roots = g_array_new (FALSE, FALSE, sizeof (BlEdge));
  for (guint32 i = 0; i < bounder->graph->nodes->len; i++)
    {
      g_array_append_val (roots, bounder->bounds[i].low);
      g_array_append_val (roots, bounder->bounds[i].high);
    }
  for (guint i = 0; i < bounder->held->len; i++)
    g_array_append_val (roots, *g_array_index (bounder->held, BlEdge *, i));
  g_autoptr (BlDiagram) diagram = bl_bdd_extract (
      bounder->bdd, (const BlEdge *) (void *) roots->data, roots->len, bounder->n_levels);
  bounder->steps += bounder->bdd->table.steps;
  bl_bdd_reset (bounder->bdd, bounder->limit, G_MAXINT32 / 2);
  /* The copies are made in order, so each has the place it has in the diagram. */
  for (guint32 i = 1; i < diagram->n_nodes; i++)
    bl_node_table_get (&bounder->bdd->table, diagram->nodes[i].level, diagram->nodes[i].hi,
                       diagram->nodes[i].lo);
  guint root = 0;
  for (guint32 i = 0; i < bounder->graph->nodes->len; i++)
    {
      bounder->bounds[i].low = diagram->roots[root++];
      bounder->bounds[i].high = diagram->roots[root++];
    }
  for (guint i = 0; i < bounder->held->len; i++)
    *g_array_index (bounder->held, BlEdge *, i) = diagram->roots[root++];
  bounder->n_weighed = 0;
  bounder->broken = bounder->broken || bounder->bdd->table.failed;
}

static void
hold (Bounder *bounder, BlEdge *edge)
{
  g_array_append_val (bounder->held, edge);
}

static void
release (Bounder *bounder, guint n)
{
  g_array_set_size (bounder->held, bounder->held->len - n);
}

/* f AND g, or below it (constant FALSE), or above it (constant TRUE), of at most cap nodes. */
static BlEdge
both (Bounder *bounder, BlEdge f, BlEdge g, BlEdge constant)
{
  guint32 cap = bounder->cap;
  BlEdge result = BL_BDD_FAILED;
  hold (bounder, &f);
  hold (bounder, &g);
  for (guint tries = 0; tries < MAX_TRIES && result == BL_BDD_FAILED && !bounder->broken; tries++)
    {
      BlNodeTable *table = &bounder->bdd->table;
      if (tries > 0)
        {
          cap = MAX (cap / SHRINK, 1);
          f = cut (bounder, f, constant, cap);
          g = cut (bounder, g, constant, cap);
        }
      if (table->failed || table->n_nodes > bounder->max_nodes / 3 * 2)
        collect (bounder);
      table->max_nodes = table->n_nodes + bounder->max_nodes / 3;
      result = bl_bdd_and (bounder->bdd, f, g);
      if (result == BL_BDD_FAILED)
        collect (bounder);
    }
  release (bounder, 2);
  return result == BL_BDD_FAILED ? constant : cut (bounder, result, constant, bounder->cap);
}

static Bounds
negate (Bounds f)
{
  return (Bounds){ bl_bdd_not (f.high), bl_bdd_not (f.low) };
}

static Bounds
conjoin (Bounder *bounder, Bounds f, Bounds g)
{
  Bounds result;
  hold (bounder, &f.high);
  hold (bounder, &g.high);
  result.low = both (bounder, f.low, g.low, BL_BDD_FALSE);
  hold (bounder, &result.low);
  result.high = both (bounder, f.high, g.high, BL_BDD_TRUE);
  release (bounder, 3);
  return result;
}

static Bounds
disjoin (Bounder *bounder, Bounds f, Bounds g)
{
  return negate (conjoin (bounder, negate (f), negate (g)));
}

static void
hold_bounds (Bounder *bounder, Bounds *bounds)
{
  hold (bounder, &bounds->low);
  hold (bounder, &bounds->high);
}

static Bounds
differ (Bounder *bounder, Bounds f, Bounds g)
{
  hold_bounds (bounder, &f);
  hold_bounds (bounder, &g);
  Bounds one = conjoin (bounder, f, negate (g));
  hold_bounds (bounder, &one);
  Bounds other = conjoin (bounder, negate (f), g);
  release (bounder, 6);
  return disjoin (bounder, one, other);
}

static Bounds
bounds_of (const Bounder *bounder, BlLink link)
{
  Bounds bounds = bounder->bounds[link >> 1];
  return link & 1 ? negate (bounds) : bounds;
}

static Bounds
at_least (Bounder *bounder, const BlGraphNode *node)
{
  /* reached[j]: at least j of the children so far */
  g_autofree Bounds *reached = g_new (Bounds, node->k + 1);
  for (guint j = 0; j <= node->k; j++)
    {
      BlEdge edge = j == 0 ? BL_BDD_TRUE : BL_BDD_FALSE;
      reached[j] = (Bounds){ edge, edge };
      hold_bounds (bounder, &reached[j]);
    }
  for (guint i = 0; i < node->children->len; i++)
    for (guint j = node->k; j >= 1; j--)
      {
        Bounds child = bounds_of (bounder, g_array_index (node->children, BlLink, i));
        Bounds with = conjoin (bounder, child, reached[j - 1]);
        reached[j] = disjoin (bounder, reached[j], with);
      }
  release (bounder, 2 * (node->k + 1));
  return reached[node->k];
}

typedef struct
{
  BlLink link;
  guint32 level;
} Operand;

static int
deepest_first (gconstpointer a, gconstpointer b)
{
  const Operand *left = a, *right = b;
  return left->level > right->level ? -1 : left->level < right->level;
}

static Bounds
bound_gate (Bounder *bounder, guint32 gate)
{
  const BlGraphNode *node = bl_graph_node (bounder->graph, gate);
  g_autoptr (GArray) operands = g_array_new (FALSE, FALSE, sizeof (Operand));
  if (node->op == BL_OP_ATLEAST)
    return at_least (bounder, node);
  for (guint i = 0; i < node->children->len; i++)
    {
      BlLink link = g_array_index (node->children, BlLink, i);
      Operand operand = { link, bl_bdd_level (bounder->bdd, bounder->bounds[link >> 1].high) };
      g_array_append_val (operands, operand);
    }
  g_array_sort (operands, deepest_first);
  BlEdge start = node->op == BL_OP_AND ? BL_BDD_TRUE : BL_BDD_FALSE;
  Bounds result = { start, start };
  for (guint i = 0; i < operands->len; i++)
    {
      Bounds next = bounds_of (bounder, g_array_index (operands, Operand, i).link);
      result = node->op == BL_OP_AND  ? conjoin (bounder, result, next)
               : node->op == BL_OP_OR ? disjoin (bounder, result, next)
                                      : differ (bounder, result, next);
    }
  return result;
}

/* The last gate that needs each node; the joint roots need theirs to the end. */
static void
find_last_uses (Bounder *bounder)
{
  const BlGraph *graph = bounder->graph;
  for (guint i = 0; i < graph->n_joint; i++)
    bounder->last_use[g_array_index (graph->roots, BlLink, i) >> 1] = G_MAXUINT32;
  for (guint32 i = graph->nodes->len; i-- > 1;)
    for (guint j = 0; bounder->last_use[i] > 0 && j < bl_graph_n_children (graph, i); j++)
      {
        guint32 child = bl_graph_child (graph, i, j) >> 1;
        bounder->last_use[child] = MAX (bounder->last_use[child], i);
      }
}

static void
forget_children (Bounder *bounder, guint32 gate)
{
  for (guint j = 0; j < bl_graph_n_children (bounder->graph, gate); j++)
    {
      guint32 child = bl_graph_child (bounder->graph, gate, j) >> 1;
      if (bounder->last_use[child] == gate)
        bounder->bounds[child] = (Bounds){ BL_BDD_TRUE, BL_BDD_TRUE };
    }
}

/* All events and gates as one part, its events in order. (transfer full) */
static GArray *
order_events (const BlGraph *graph)
{
  g_autoptr (GArray) gates = g_array_new (FALSE, FALSE, sizeof (guint32));
  g_autoptr (GArray) leaves = g_array_new (FALSE, FALSE, sizeof (guint32));
  for (guint32 i = 1; i < graph->nodes->len; i++)
    g_array_append_val (bl_graph_node (graph, i)->op == BL_OP_EVENT ? leaves : gates, i);
  BlModule whole = { 0, gates, leaves };
  return bl_order_leaves (graph, &whole, BL_ORDER_LARGE_FIRST);
}

/* Of a link; what one minus a number loses is given away. */
static double
link_least (const Bounder *bounder, BlLink link)
{
  return link & 1 ? MAX (1 - bounder->most[link >> 1] - DBL_EPSILON, 0) : bounder->least[link >> 1];
}

static double
link_most (const Bounder *bounder, BlLink link)
{
  return link & 1 ? MIN (1 - bounder->least[link >> 1] + DBL_EPSILON, 1) : bounder->most[link >> 1];
}

/* Of a gate with these bounds: by its functions, and by its children's probabilities, whatever they
 * have in common. At least k of n: at most the sum over k. */
static void
bound_probability (Bounder *bounder, guint32 gate)
{
  const BlGraphNode *node = bl_graph_node (bounder->graph, gate);
  double sum = 0, sum_least = 0, smallest = 1, largest_least = 0;
  guint n = node->children->len;
  for (guint i = 0; i < n; i++)
    {
      BlLink link = g_array_index (node->children, BlLink, i);
      sum += link_most (bounder, link);
      sum_least += link_least (bounder, link);
      smallest = MIN (smallest, link_most (bounder, link));
      largest_least = MAX (largest_least, link_least (bounder, link));
    }
  weigh (bounder);
  double least = probability (bounder, bounder->bounds[gate].low);
  double most = probability (bounder, bounder->bounds[gate].high);
  if (node->op == BL_OP_AND)
    {
      most = MIN (most, smallest);
      least = MAX (least, sum_least - (n - 1.0));
    }
  else
    most = MIN (most, node->op == BL_OP_ATLEAST ? sum / node->k : sum);
  if (node->op == BL_OP_OR)
    least = MAX (least, largest_least);
  bounder->least[gate] = least;
  bounder->most[gate] = most;
}

static void
bound_events (Bounder *bounder, const GArray *order, const double *p, const double *q)
{
  for (guint i = 0; i < order->len; i++)
    {
      guint32 node = g_array_index (order, guint32, i);
      BlEdge edge = bl_bdd_variable (bounder->bdd, i);
      bounder->p[i] = p[node];
      bounder->q[i] = q[node];
      bounder->least[node] = bounder->most[node] = p[node];
      bounder->broken = bounder->broken || edge == BL_BDD_FAILED;
      bounder->bounds[node] = (Bounds){ edge, edge };
    }
}

static void
bound_gates (Bounder *bounder)
{
  for (guint32 i = 1; i < bounder->graph->nodes->len && !bounder->broken; i++)
    {
      if (bl_graph_n_children (bounder->graph, i) == 0 || bounder->last_use[i] == 0)
        continue;
      Bounds bounds = bound_gate (bounder, i);
      bounder->bounds[i] = bounds;
      bound_probability (bounder, i);
      forget_children (bounder, i);
    }
}

/* The top's own bounds, nothing being given. */
static void
conclude_top (const Bounder *bounder, double *least, double *most)
{
  BlLink top = g_array_index (bounder->graph->roots, BlLink, 0);
  *least = link_least (bounder, top);
  *most = link_most (bounder, top);
}

/* P(T | G) = P(T G) / (P(T G) + P(not T, G)): least with the smaller first and the larger second. */
static void
conclude (Bounder *bounder, double *least, double *most)
{
  const GArray *roots = bounder->graph->roots;
  Bounds given = { BL_BDD_TRUE, BL_BDD_TRUE };
  for (guint i = 1; i < bounder->graph->n_joint; i++)
    given = conjoin (bounder, given, bounds_of (bounder, g_array_index (roots, BlLink, i)));
  hold_bounds (bounder, &given);
  Bounds with = conjoin (bounder, given, bounds_of (bounder, g_array_index (roots, BlLink, 0)));
  hold_bounds (bounder, &with);
  Bounds without =
      conjoin (bounder, given, negate (bounds_of (bounder, g_array_index (roots, BlLink, 0))));
  release (bounder, 4);
  weigh (bounder);
  double with_least = probability (bounder, with.low), with_most = probability (bounder, with.high);
  double without_least = probability (bounder, without.low);
  double without_most = probability (bounder, without.high);
  if (with_least > 0)
    *least = with_least / (with_least + without_most);
  if (with_most + without_least > 0)
    *most = with_most / (with_most + without_least);
}

guint64
bl_graph_bound (const BlGraph *graph,
                const double *p,
                const double *q,
                guint32 cap,
                gsize limit,
                double *least,
                double *most)
{
  g_autoptr (GArray) order = order_events (graph);
  g_autoptr (BlBdd) bdd = bl_bdd_new (limit, G_MAXINT32 / 2);
  g_autofree Bounds *bounds = g_new0 (Bounds, graph->nodes->len);
  g_autofree guint32 *last_use = g_new0 (guint32, graph->nodes->len);
  g_autofree double *levels = g_new0 (double, (gsize) order->len * 2 + 1);
  g_autofree double *probabilities = g_new0 (double, (gsize) graph->nodes->len * 2);
  g_autoptr (GArray) held = g_array_new (FALSE, FALSE, sizeof (BlEdge *));
  Bounder bounder = { .graph = graph, .bdd = bdd, .limit = limit, .cap = MAX (cap, 1) };
  *least = 0;
  *most = 1;
  bounder.n_levels = order->len;
  bounder.max_nodes = (guint32) MIN (MOST_NODES, limit / BYTES_PER_NODE);
  bounder.bounds = bounds;
  bounder.last_use = last_use;
  bounder.held = held;
  bounder.least = probabilities;
  bounder.most = probabilities + graph->nodes->len;
  bounder.least[0] = bounder.most[0] = 1;
  bounder.p = levels;
  bounder.q = levels + order->len;
  find_last_uses (&bounder);
  bound_events (&bounder, order, p, q);
  bound_gates (&bounder);
  if (!bounder.broken && graph->n_joint == 1)
    conclude_top (&bounder, least, most);
  else if (!bounder.broken)
    conclude (&bounder, least, most);
  if (bounder.broken)
    *least = 0, *most = 1;
  g_free (bounder.yes);
  g_free (bounder.no);
  g_free (bounder.weight);
  g_free (bounder.seen);
  return bounder.steps + bdd->table.steps;
}
