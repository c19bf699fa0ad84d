/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree prepared for computing.
 *
 * Everything here keeps the function and only makes it cheaper to compute: constants and duplicate
 * children are folded, a gate is merged into its only parent of the same kind, equal gates become
 * one, and children that have exactly the same parents (all AND or all OR) are joined into one new
 * gate, which then is a module and later a single variable. Rounds of this run until nothing
 * changes. Independent parts are found in bl-tree-modules.c. Sizes: up to some 100 000 nodes; no
 * recursion.
 */
#include "config.h"

#include "bl-tree-graph.h"

#include "bl-tree-private.h"

#include <string.h>

enum
{
  MAX_ROUNDS = 30
};

static void
graph_node_clear (gpointer data)
{
  g_clear_pointer (&((BlGraphNode *) data)->children, g_array_unref);
}

void
bl_graph_free (BlGraph *graph)
{
  if (graph == NULL)
    return;
  g_array_unref (graph->nodes);
  g_array_unref (graph->roots);
  g_free (graph);
}

/* A graph under construction and the gates it has, by content. */
typedef struct
{
  BlGraph *graph;
  GHashTable *gates; /* GBytes -> node index */
} Builder;

static guint32
add_node (BlGraph *graph, BlOp op, guint k, guint tree_node, GArray *children)
{
  BlGraphNode node = { op, k, tree_node, children };
  g_array_append_val (graph->nodes, node);
  return graph->nodes->len - 1;
}

static void
builder_init (Builder *builder)
{
  builder->graph = g_new0 (BlGraph, 1);
  builder->graph->nodes = g_array_new (FALSE, FALSE, sizeof (BlGraphNode));
  g_array_set_clear_func (builder->graph->nodes, graph_node_clear);
  builder->graph->roots = g_array_new (FALSE, FALSE, sizeof (BlLink));
  builder->gates =
      g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref, NULL);
  add_node (builder->graph, BL_OP_TRUE, 0, 0, NULL);
}

static BlGraph *
builder_finish (Builder *builder)
{
  g_hash_table_unref (builder->gates);
  return builder->graph;
}

static int
compare_links (gconstpointer a, gconstpointer b)
{
  BlLink left = *(const BlLink *) a, right = *(const BlLink *) b;
  return left < right ? -1 : left > right;
}

/* The gate with these children, which is an older one when there is a like one. Takes children. */
static BlLink
intern (Builder *builder, BlOp op, guint k, GArray *children)
{
  g_autoptr (GArray) key = g_array_sized_new (FALSE, FALSE, sizeof (guint32), children->len + 2);
  g_array_append_vals (key, children->data, children->len);
  g_array_sort (key, compare_links);
  guint32 head[] = { op, k };
  g_array_prepend_vals (key, head, 2);
  GBytes *bytes = g_bytes_new (key->data, (gsize) key->len * sizeof (guint32));
  guint32 node = GPOINTER_TO_UINT (g_hash_table_lookup (builder->gates, bytes));
  if (node != 0)
    {
      g_bytes_unref (bytes);
      g_array_unref (children);
      return node << 1;
    }
  node = add_node (builder->graph, op, k, 0, children);
  g_hash_table_insert (builder->gates, bytes, GUINT_TO_POINTER (node));
  return node << 1;
}

/* Turns the children round when all of them are negated. In a coherent tree this moves all
 * negations up until they meet and vanish, so that no gate of it is left with any. */
static gboolean
turn_if_negated (GArray *children)
{
  for (guint i = 0; i < children->len; i++)
    if ((g_array_index (children, BlLink, i) & 1) == 0)
      return FALSE;
  for (guint i = 0; i < children->len; i++)
    g_array_index (children, BlLink, i) ^= 1;
  return TRUE;
}

/* AND and OR by one rule: `neutral` changes nothing, its opposite decides the gate. */
static BlLink
make_and_or (Builder *builder, BlOp op, const GArray *children)
{
  BlLink neutral = op == BL_OP_AND ? BL_LINK_TRUE : BL_LINK_FALSE;
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < children->len; i++)
    {
      BlLink child = g_array_index (children, BlLink, i);
      if (child == (neutral ^ 1) || g_hash_table_contains (seen, GUINT_TO_POINTER (child ^ 1)))
        return neutral ^ 1;
      if (child != neutral && g_hash_table_add (seen, GUINT_TO_POINTER (child)))
        g_array_append_val (kept, child);
    }
  if (kept->len == 0)
    return neutral;
  if (kept->len == 1)
    return g_array_index (kept, BlLink, 0);
  if (turn_if_negated (kept)) /* De Morgan */
    return intern (builder, op == BL_OP_AND ? BL_OP_OR : BL_OP_AND, 0, g_steal_pointer (&kept)) ^ 1;
  return intern (builder, op, 0, g_steal_pointer (&kept));
}

static BlLink
make_xor (Builder *builder, const GArray *children)
{
  BlLink flip = 0;
  g_autoptr (GArray) sorted = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < children->len; i++)
    {
      BlLink child = g_array_index (children, BlLink, i);
      flip ^= child & 1;
      child &= ~1u;
      if (child == BL_LINK_TRUE)
        flip ^= 1;
      else
        g_array_append_val (sorted, child);
    }
  g_array_sort (sorted, compare_links);
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < sorted->len; i++)
    {
      BlLink child = g_array_index (sorted, BlLink, i);
      if (kept->len > 0 && g_array_index (kept, BlLink, kept->len - 1) == child)
        g_array_set_size (kept, kept->len - 1);
      else
        g_array_append_val (kept, child);
    }
  if (kept->len == 0)
    return BL_LINK_FALSE ^ flip;
  if (kept->len == 1)
    return g_array_index (kept, BlLink, 0) ^ flip;
  return intern (builder, BL_OP_XOR, 0, g_steal_pointer (&kept)) ^ flip;
}

static BlLink
make_at_least (Builder *builder, guint k, const GArray *children)
{
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < children->len; i++)
    {
      BlLink child = g_array_index (children, BlLink, i);
      if (child == BL_LINK_TRUE)
        k -= k > 0;
      else if (child != BL_LINK_FALSE)
        g_array_append_val (kept, child);
    }
  if (k == 0)
    return BL_LINK_TRUE;
  if (k > kept->len)
    return BL_LINK_FALSE;
  if (k == 1 || k == kept->len)
    return make_and_or (builder, k == 1 ? BL_OP_OR : BL_OP_AND, kept);
  /* At least k of n are false unless at least n - k + 1 are true. */
  if (turn_if_negated (kept))
    {
      k = kept->len - k + 1;
      return intern (builder, BL_OP_ATLEAST, k, g_steal_pointer (&kept)) ^ 1;
    }
  return intern (builder, BL_OP_ATLEAST, k, g_steal_pointer (&kept));
}

static BlLink
make_gate (Builder *builder, BlOp op, guint k, const GArray *children)
{
  if (op == BL_OP_XOR)
    return make_xor (builder, children);
  if (op == BL_OP_ATLEAST)
    return make_at_least (builder, k, children);
  return make_and_or (builder, op, children);
}

static BlLink
translate (Builder *builder, const BlNode *node, guint index, const BlLink *links)
{
  if (node->kind == BL_NODE_EVENT)
    return add_node (builder->graph, BL_OP_EVENT, 0, index, NULL) << 1;
  if (node->kind == BL_NODE_CONST)
    return node->probability > 0 ? BL_LINK_TRUE : BL_LINK_FALSE;
  g_autoptr (GArray) children = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < bl_node_n_children (node); i++)
    g_array_append_val (children, links[bl_node_child (node, i)]);
  switch (node->kind)
    {
    case BL_NODE_NAND:
      return make_gate (builder, BL_OP_AND, 0, children) ^ 1;
    case BL_NODE_NOT:
    case BL_NODE_NOR:
      return make_gate (builder, BL_OP_OR, 0, children) ^ 1;
    case BL_NODE_XOR:
      return make_gate (builder, BL_OP_XOR, 0, children);
    case BL_NODE_ATLEAST:
      return make_gate (builder, BL_OP_ATLEAST, node->k, children);
    case BL_NODE_AND:
      return make_gate (builder, BL_OP_AND, 0, children);
    case BL_NODE_OR:
    case BL_NODE_PASS:
    case BL_NODE_EVENT:
    case BL_NODE_CONST:
    default:
      return make_gate (builder, BL_OP_OR, 0, children);
    }
}

static BlGraph *
from_tree (const BlTree *tree, const GArray *roots, GError **error)
{
  g_autoptr (GArray) bare = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < roots->len; i++)
    {
      guint node = g_array_index (roots, guint, i) >> 1;
      g_array_append_val (bare, node);
    }
  g_autoptr (GArray) order = bl_tree_children_first (tree, bare, NULL, error);
  if (order == NULL)
    return NULL;
  Builder builder;
  builder_init (&builder);
  g_autofree BlLink *links = g_new0 (BlLink, tree->nodes->len + 1);
  for (guint i = 0; i < order->len; i++)
    {
      guint index = g_array_index (order, guint, i);
      links[index] = translate (&builder, bl_tree_node (tree, index), index, links);
    }
  for (guint i = 0; i < roots->len; i++)
    {
      guint root = g_array_index (roots, guint, i);
      BlLink link = links[root >> 1] ^ (root & 1);
      g_array_append_val (builder.graph->roots, link);
    }
  return builder_finish (&builder);
}

/* How often each node is used by nodes that the roots reach, and by the roots. */
static guint *
count_uses (const BlGraph *graph)
{
  guint *uses = g_new0 (guint, graph->nodes->len);
  for (guint i = 0; i < graph->roots->len; i++)
    uses[g_array_index (graph->roots, BlLink, i) >> 1] += 2; /* a root is never merged upward */
  for (guint32 i = graph->nodes->len; i-- > 1;)
    for (guint j = 0; uses[i] > 0 && j < bl_graph_n_children (graph, i); j++)
      uses[bl_graph_child (graph, i, j) >> 1]++;
  return uses;
}

/* Which gates are merged into their parent: those that only serve it and are of its kind, or are
 * the negation of the other kind. */
static guint8 *
find_merged (const BlGraph *graph, const guint *uses)
{
  guint8 *merged = g_new0 (guint8, graph->nodes->len);
  for (guint32 i = 1; i < graph->nodes->len; i++)
    {
      BlOp op = bl_graph_node (graph, i)->op;
      BlOp dual = op == BL_OP_AND ? BL_OP_OR : BL_OP_AND;
      if (uses[i] == 0 || (op != BL_OP_AND && op != BL_OP_OR))
        continue;
      for (guint j = 0; j < bl_graph_n_children (graph, i); j++)
        {
          BlLink child = bl_graph_child (graph, i, j);
          if (uses[child >> 1] == 1 &&
              bl_graph_node (graph, child >> 1)->op == (child & 1 ? dual : op))
            merged[child >> 1] = 1;
        }
    }
  return merged;
}

typedef struct
{
  guint32 node;
  BlLink flip;
  guint next;
} Opened;

/* The children of a gate, those of merged gates in their place. */
static GArray *
collect (const BlGraph *old, guint32 index, const guint8 *merged, const BlLink *links)
{
  GArray *children = g_array_new (FALSE, FALSE, sizeof (BlLink));
  g_autoptr (GArray) stack = g_array_new (FALSE, FALSE, sizeof (Opened));
  Opened start = { index, 0, 0 };
  g_array_append_val (stack, start);
  while (stack->len > 0)
    {
      Opened *opened = &g_array_index (stack, Opened, stack->len - 1);
      if (opened->next == bl_graph_n_children (old, opened->node))
        {
          g_array_set_size (stack, stack->len - 1);
          continue;
        }
      BlLink child = bl_graph_child (old, opened->node, opened->next++);
      BlLink flip = opened->flip ^ (child & 1);
      BlLink link = links[child >> 1] ^ flip;
      Opened inner = { child >> 1, flip, 0 };
      if (merged[child >> 1])
        g_array_append_val (stack, inner);
      else
        g_array_append_val (children, link);
    }
  return children;
}

/* The same graph built anew, children first, with everything folded that can be. */
static BlGraph *
rebuild (const BlGraph *old)
{
  g_autofree guint *uses = count_uses (old);
  g_autofree guint8 *merged = find_merged (old, uses);
  g_autofree BlLink *links = g_new0 (BlLink, old->nodes->len);
  Builder builder;
  builder_init (&builder);
  links[0] = BL_LINK_TRUE;
  for (guint32 i = 1; i < old->nodes->len; i++)
    {
      const BlGraphNode *node = bl_graph_node (old, i);
      if (uses[i] == 0)
        continue;
      if (node->op == BL_OP_EVENT)
        {
          links[i] = add_node (builder.graph, BL_OP_EVENT, 0, node->tree_node, NULL) << 1;
          continue;
        }
      if (merged[i])
        continue;
      g_autoptr (GArray) children = collect (old, i, merged, links);
      links[i] = make_gate (&builder, node->op, node->k, children);
    }
  for (guint i = 0; i < old->roots->len; i++)
    {
      BlLink root = g_array_index (old->roots, BlLink, i);
      BlLink link = links[root >> 1] ^ (root & 1);
      g_array_append_val (builder.graph->roots, link);
    }
  return builder_finish (&builder);
}

/* For each node its parents (guint32), and whether all are AND or all OR and use it alike. */
typedef struct
{
  GArray *parents;
  BlOp op; /* of the parents; TRUE: mixed, a root, or none */
  BlLink sign;
} Use;

static void
note_use (Use *use, guint32 parent, BlOp op, BlLink sign)
{
  if (use->parents == NULL)
    {
      use->parents = g_array_new (FALSE, FALSE, sizeof (guint32));
      use->op = op == BL_OP_AND || op == BL_OP_OR ? op : BL_OP_TRUE;
      use->sign = sign;
    }
  else if (use->op != op || use->sign != sign)
    use->op = BL_OP_TRUE;
  g_array_append_val (use->parents, parent);
}

static Use *
find_uses (const BlGraph *graph)
{
  Use *uses = g_new0 (Use, graph->nodes->len);
  for (guint32 i = 1; i < graph->nodes->len; i++)
    for (guint j = 0; j < bl_graph_n_children (graph, i); j++)
      {
        BlLink child = bl_graph_child (graph, i, j);
        note_use (&uses[child >> 1], i, bl_graph_node (graph, i)->op, child & 1);
      }
  for (guint i = 0; i < graph->roots->len; i++)
    note_use (&uses[g_array_index (graph->roots, BlLink, i) >> 1], 0, BL_OP_TRUE, 0);
  return uses;
}

static void
free_uses (Use *uses, guint n)
{
  for (guint i = 0; i < n; i++)
    g_clear_pointer (&uses[i].parents, g_array_unref);
  g_free (uses);
}

/* Sets of at least two nodes that can be joined: by their parents, GArray of guint32 each. */
static GHashTable *
find_groups (const BlGraph *graph, const Use *uses, const guint8 *modules)
{
  GHashTable *groups = g_hash_table_new_full (
      g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref, (GDestroyNotify) g_array_unref);
  for (guint32 i = 1; i < graph->nodes->len; i++)
    {
      if (uses[i].parents == NULL || uses[i].op == BL_OP_TRUE ||
          !(bl_graph_node (graph, i)->op == BL_OP_EVENT || modules[i]))
        continue;
      GBytes *key =
          g_bytes_new (uses[i].parents->data, (gsize) uses[i].parents->len * sizeof (guint32));
      GArray *members = g_hash_table_lookup (groups, key);
      if (members == NULL)
        g_hash_table_insert (groups, key, members = g_array_new (FALSE, FALSE, sizeof (guint32)));
      else
        g_bytes_unref (key);
      g_array_append_val (members, i);
    }
  return groups;
}

/* Puts one new gate in the place of the members in each of their parents. */
static void
join (BlGraph *graph, const Use *uses, const GArray *members)
{
  guint32 first = g_array_index (members, guint32, 0);
  g_autoptr (GHashTable) inside = g_hash_table_new (NULL, NULL);
  GArray *children = g_array_new (FALSE, FALSE, sizeof (BlLink));
  for (guint i = 0; i < members->len; i++)
    {
      guint32 member = g_array_index (members, guint32, i);
      BlLink link = member << 1 | uses[member].sign;
      g_hash_table_add (inside, GUINT_TO_POINTER (member));
      g_array_append_val (children, link);
    }
  BlLink joined = add_node (graph, uses[first].op, 0, 0, children) << 1;
  for (guint i = 0; i < uses[first].parents->len; i++)
    {
      guint32 parent = g_array_index (uses[first].parents, guint32, i);
      GArray *old = bl_graph_node (graph, parent)->children;
      g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (BlLink));
      gboolean placed = FALSE;
      for (guint j = 0; j < old->len; j++)
        {
          BlLink child = g_array_index (old, BlLink, j);
          if (!g_hash_table_contains (inside, GUINT_TO_POINTER (child >> 1)))
            g_array_append_val (kept, child);
          else if (!placed)
            {
              g_array_append_val (kept, joined);
              placed = TRUE;
            }
        }
      bl_graph_node (graph, parent)->children = g_steal_pointer (&kept);
      g_array_unref (old);
    }
}

/* Nodes made by joining stand behind their parents; this puts children first again. */
static void
sort_children_first (BlGraph *graph, guint n_before)
{
  guint n = graph->nodes->len;
  g_autofree guint32 *place = g_new0 (guint32, n);
  g_autoptr (GArray) sorted = g_array_sized_new (FALSE, FALSE, sizeof (BlGraphNode), n);
  g_autoptr (GArray) at = g_array_new (FALSE, FALSE, sizeof (guint32));
  /* A new gate may stand as soon as its last member does; members are all old nodes. */
  g_autofree GArray **ready = g_new0 (GArray *, n);
  for (guint32 i = n_before; i < n; i++)
    {
      guint32 last = 0;
      for (guint j = 0; j < bl_graph_n_children (graph, i); j++)
        last = MAX (last, bl_graph_child (graph, i, j) >> 1);
      if (ready[last] == NULL)
        ready[last] = g_array_new (FALSE, FALSE, sizeof (guint32));
      g_array_append_val (ready[last], i);
    }
  for (guint32 i = 0; i < n_before; i++)
    {
      g_array_append_val (at, i);
      if (ready[i] != NULL)
        g_array_append_vals (at, ready[i]->data, ready[i]->len);
      g_clear_pointer (&ready[i], g_array_unref);
    }
  for (guint32 i = 0; i < n; i++)
    place[g_array_index (at, guint32, i)] = i;
  for (guint32 i = 0; i < n; i++)
    {
      BlGraphNode node = *bl_graph_node (graph, g_array_index (at, guint32, i));
      for (guint j = 0; node.children != NULL && j < node.children->len; j++)
        {
          BlLink *link = &g_array_index (node.children, BlLink, j);
          *link = place[*link >> 1] << 1 | (*link & 1);
        }
      g_array_append_val (sorted, node);
    }
  memcpy (graph->nodes->data, sorted->data, (gsize) n * sizeof (BlGraphNode));
  for (guint i = 0; i < graph->roots->len; i++)
    {
      BlLink *root = &g_array_index (graph->roots, BlLink, i);
      *root = place[*root >> 1] << 1 | (*root & 1);
    }
}

static gboolean
join_groups (BlGraph *graph)
{
  guint n = graph->nodes->len;
  g_autofree guint8 *modules = bl_graph_find_modules (graph);
  Use *uses = find_uses (graph);
  g_autoptr (GHashTable) groups = find_groups (graph, uses, modules);
  for (guint32 i = 1; i < n; i++)
    {
      if (uses[i].parents == NULL || uses[i].parents->len == 0)
        continue;
      g_autoptr (GBytes) key =
          g_bytes_new (uses[i].parents->data, (gsize) uses[i].parents->len * sizeof (guint32));
      const GArray *members = g_hash_table_lookup (groups, key);
      if (members == NULL || members->len < 2 || g_array_index (members, guint32, 0) != i)
        continue;
      guint32 parent = g_array_index (uses[i].parents, guint32, 0);
      if (uses[i].parents->len > 1 || bl_graph_n_children (graph, parent) > members->len)
        join (graph, uses, members);
    }
  free_uses (uses, n);
  if (graph->nodes->len == n)
    return FALSE;
  sort_children_first (graph, n);
  return TRUE;
}

BlGraph *
bl_graph_new (const BlTree *tree, const GArray *roots, guint n_joint, GError **error)
{
  g_autoptr (BlGraph) first = from_tree (tree, roots, error);
  if (first == NULL)
    return NULL;
  BlGraph *graph = rebuild (first);
  for (guint round = 0; round < MAX_ROUNDS && join_groups (graph); round++)
    {
      g_autoptr (BlGraph) old = graph;
      graph = rebuild (old);
    }
  graph->n_joint = n_joint;
  return graph;
}

gboolean
bl_graph_is_coherent (const BlGraph *graph)
{
  g_autofree guint8 *signs = g_new0 (guint8, graph->nodes->len); /* 1 straight, 2 negated */
  for (guint i = 0; i < graph->roots->len; i++)
    {
      BlLink root = g_array_index (graph->roots, BlLink, i);
      signs[root >> 1] |= root & 1 ? 2 : 1;
    }
  for (guint32 i = graph->nodes->len; i-- > 1;)
    {
      const BlGraphNode *node = bl_graph_node (graph, i);
      if (node->op == BL_OP_EVENT && (signs[i] & 2) != 0)
        return FALSE;
      for (guint j = 0; signs[i] != 0 && j < bl_graph_n_children (graph, i); j++)
        {
          BlLink child = bl_graph_child (graph, i, j);
          guint8 flipped = (guint8) ((signs[i] & 1) << 1 | signs[i] >> 1);
          signs[child >> 1] |= node->op == BL_OP_XOR ? 3 : child & 1 ? flipped : signs[i];
        }
    }
  return TRUE;
}
