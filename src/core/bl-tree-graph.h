/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* The fault tree prepared for computing: constants gone, negation on the links, like gates merged,
 * events that only ever act together joined into gates of their own. See bl-tree-graph.c.
 * A link is node << 1 | negated; node 0 is the constant true. */
typedef guint32 BlLink;
#define BL_LINK_TRUE 0u
#define BL_LINK_FALSE 1u

typedef enum
{
  BL_OP_TRUE,
  BL_OP_EVENT,
  BL_OP_AND,
  BL_OP_OR,
  BL_OP_XOR,
  BL_OP_ATLEAST
} BlOp;

typedef struct
{
  BlOp op;
  guint k;          /* minimum of ATLEAST */
  guint tree_node;  /* EVENT: index in the tree */
  GArray *children; /* BlLink; NULL for TRUE and EVENT */
} BlGraphNode;

typedef struct
{
  GArray *nodes; /* BlGraphNode, children before parents */
  GArray *roots; /* BlLink, one for each root asked for */
  guint n_joint; /* the first roots: the top and the conditions; the others are only looked at */
} BlGraph;

/* roots: BlLink-like guint, tree node << 1 | negated; n_joint as above. NULL with
 * BL_CORE_ERROR_INVALID on a loop. (transfer full) */
BlGraph *bl_graph_new (const BlTree *tree, const GArray *roots, guint n_joint, GError **error);
void bl_graph_free (BlGraph *graph);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlGraph, bl_graph_free)

static inline BlGraphNode *
bl_graph_node (const BlGraph *graph, guint32 index)
{
  return &g_array_index (graph->nodes, BlGraphNode, index);
}

static inline guint
bl_graph_n_children (const BlGraph *graph, guint32 index)
{
  const GArray *children = bl_graph_node (graph, index)->children;
  return children != NULL ? children->len : 0;
}

static inline BlLink
bl_graph_child (const BlGraph *graph, guint32 index, guint i)
{
  return g_array_index (bl_graph_node (graph, index)->children, BlLink, i);
}

/* TRUE when no event is reached through an odd number of negations or through an exclusive or:
 * more events never make the root less true. */
gboolean bl_graph_is_coherent (const BlGraph *graph);

/* Which gates are modules: nothing below them is used outside. One byte per node. (transfer full) */
guint8 *bl_graph_find_modules (const BlGraph *graph);

/* A part of the tree that is computed by itself. */
typedef struct
{
  guint32 node;   /* the gate it stands for; 0: the whole, with the graph's roots */
  GArray *gates;  /* guint32, children first */
  GArray *leaves; /* guint32: events and nodes of other modules, in depth-first order */
} BlModule;

/* The modules, inner before outer, the whole as the last. (transfer full) */
GPtrArray *bl_graph_split (const BlGraph *graph);

G_END_DECLS
