/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree as plain data: nodes, look-up, walk.
 *
 * Nodes are kept in the order they were made or read, and are addressed by index. Walks keep their
 * own stack, since a chain of gates may be far longer than the C stack allows.
 */
#include "config.h"

#include "bl-tree-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static void
node_free (gpointer data)
{
  BlNode *node = data;
  g_free (node->id);
  g_free (node->title);
  g_clear_pointer (&node->children, g_array_unref);
  g_free (node->stage);
  g_free (node->component);
  g_free (node->mode);
  g_free (node);
}

BlTree *
bl_tree_new (void)
{
  BlTree *tree = g_new0 (BlTree, 1);
  tree->nodes = g_ptr_array_new_with_free_func (node_free);
  return tree;
}

void
bl_tree_free (BlTree *tree)
{
  if (tree == NULL)
    return;
  g_ptr_array_unref (tree->nodes);
  g_clear_pointer (&tree->readings, g_array_unref);
  g_free (tree);
}

BlNode *
bl_tree_add (BlTree *tree, BlNodeKind kind, const char *id, const char *title)
{
  BlNode *node = g_new0 (BlNode, 1);
  node->id = g_strdup (id);
  node->title = g_strdup (title);
  node->kind = kind;
  node->deviation = -1;
  g_ptr_array_add (tree->nodes, node);
  return node;
}

void
bl_node_add_child (BlNode *node, guint child)
{
  if (node->children == NULL)
    node->children = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (node->children, child);
}

int
bl_tree_find (const BlTree *tree, const char *id)
{
  g_return_val_if_fail (tree != NULL && id != NULL, -1);
  for (guint i = 0; i < tree->nodes->len; i++)
    if (strcmp (bl_tree_node (tree, i)->id, id) == 0)
      return (int) i;
  return -1;
}

typedef struct
{
  guint node, next; /* next: the child to enter */
} Step;

enum
{
  NEW,
  OPEN,
  DONE
};

static void
set_loop_error (const BlTree *tree, const GArray *path, guint back_to, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  gboolean inside = FALSE;
  for (guint i = 0; i < path->len; i++)
    {
      guint node = g_array_index (path, Step, i).node;
      inside = inside || node == back_to;
      if (inside)
        g_string_append_printf (names, "%s -> ", bl_tree_node (tree, node)->id);
    }
  g_string_append (names, bl_tree_node (tree, back_to)->id);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("loop of gates: %s"), names->str);
}

static gboolean
walk (const BlTree *tree,
      guint root,
      guint8 *state,
      GArray *path,
      GArray *order,
      guint *loop,
      GError **error)
{
  Step first = { root, 0 };
  state[root] = OPEN;
  g_array_append_val (path, first);
  while (path->len > 0)
    {
      Step *step = &g_array_index (path, Step, path->len - 1);
      const BlNode *node = bl_tree_node (tree, step->node);
      if (step->next == bl_node_n_children (node))
        {
          state[step->node] = DONE;
          g_array_append_val (order, step->node);
          g_array_set_size (path, path->len - 1);
          continue;
        }
      Step child = { bl_node_child (node, step->next++), 0 };
      if (state[child.node] == OPEN)
        {
          if (loop != NULL)
            *loop = child.node;
          set_loop_error (tree, path, child.node, error);
          return FALSE;
        }
      if (state[child.node] == NEW)
        {
          state[child.node] = OPEN;
          g_array_append_val (path, child);
        }
    }
  return TRUE;
}

GArray *
bl_tree_children_first (const BlTree *tree, const GArray *roots, guint *loop, GError **error)
{
  g_autofree guint8 *state = g_new0 (guint8, tree->nodes->len + 1);
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (Step));
  g_autoptr (GArray) order = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < roots->len; i++)
    {
      guint root = g_array_index (roots, guint, i);
      if (state[root] == NEW && !walk (tree, root, state, path, order, loop, error))
        return NULL;
    }
  return g_steal_pointer (&order);
}

char **
bl_tree_own_events (const BlTree *tree, guint node)
{
  g_return_val_if_fail (tree != NULL && node < tree->nodes->len, NULL);
  g_autofree guint8 *state = g_new0 (guint8, tree->nodes->len + 1);
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (Step));
  g_autoptr (GArray) order = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GStrvBuilder) events = g_strv_builder_new ();
  gboolean any = FALSE;
  if (!walk (tree, node, state, path, order, NULL, NULL))
    return NULL;
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const BlNode *event = bl_tree_node (tree, i);
      if (state[i] != DONE || event->kind != BL_NODE_EVENT || event->component == NULL || event->mode == NULL)
        continue;
      g_autofree char *name = g_strdup_printf ("%s:%s", event->component, event->mode);
      g_strv_builder_add (events, name);
      any = TRUE;
    }
  return any ? g_strv_builder_end (events) : NULL;
}
