/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* A new tree without nodes, and a new node at its end; id and title (NULL: none) are copied.
 * Returns the node: (transfer none), valid until the tree is freed. */
BlTree *bl_tree_new (void);
BlNode *bl_tree_add (BlTree *tree, BlNodeKind kind, const char *id, const char *title);

static inline BlNode *
bl_tree_node (const BlTree *tree, guint index)
{
  return g_ptr_array_index (tree->nodes, index);
}

static inline guint
bl_node_n_children (const BlNode *node)
{
  return node->children != NULL ? node->children->len : 0;
}

static inline guint
bl_node_child (const BlNode *node, guint i)
{
  return g_array_index (node->children, guint, i);
}

void bl_node_add_child (BlNode *node, guint child);

/* What is reachable from the roots (guint node indices), children before parents, each once.
 * NULL with BL_CORE_ERROR_INVALID and the names of a loop when there is one, loop (NULL: not asked)
 * then being the first of them. (transfer full) */
GArray *bl_tree_children_first (const BlTree *tree, const GArray *roots, guint *loop,
                                GError **error);

G_END_DECLS
