/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Independent parts of a prepared fault tree.
 *
 * A gate is a module when nothing below it is used outside of it: it can be computed by itself and
 * then stands for a single variable. Found in linear time by the dates of visits (Dutuit and Rauzy
 * 1996, from memory): walking depth first with a clock, a gate is a module exactly when every visit
 * to anything below it falls between its own first visit and the end of that visit.
 */
#include "config.h"

#include "bl-tree-graph.h"

typedef struct
{
  guint first, end, last; /* date of the first visit, of its end, of the last visit */
} Dates;

typedef struct
{
  guint32 node;
  guint next;
} Step;

static void
visit (const BlGraph *graph, guint32 root, Dates *dates, guint *clock, GArray *path)
{
  ++*clock;
  dates[root].last = *clock;
  if (dates[root].first != 0)
    return;
  Step first = { root, 0 };
  dates[root].first = *clock;
  g_array_append_val (path, first);
  while (path->len > 0)
    {
      Step *step = &g_array_index (path, Step, path->len - 1);
      if (step->next == bl_graph_n_children (graph, step->node))
        {
          dates[step->node].end = dates[step->node].last = ++*clock;
          g_array_set_size (path, path->len - 1);
          continue;
        }
      Step child = { bl_graph_child (graph, step->node, step->next++) >> 1, 0 };
      dates[child.node].last = ++*clock;
      if (dates[child.node].first != 0)
        continue;
      dates[child.node].first = *clock;
      g_array_append_val (path, child);
    }
}

guint8 *
bl_graph_find_modules (const BlGraph *graph)
{
  guint n = graph->nodes->len, clock = 0;
  g_autofree Dates *dates = g_new0 (Dates, n);
  g_autofree guint *earliest = g_new (guint, n), *latest = g_new (guint, n);
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (Step));
  guint8 *modules = g_new0 (guint8, n);

  for (guint i = 0; i < graph->roots->len; i++)
    visit (graph, g_array_index (graph->roots, BlLink, i) >> 1, dates, &clock, path);
  for (guint32 i = 0; i < n; i++)
    {
      guint n_children = bl_graph_n_children (graph, i);
      earliest[i] = G_MAXUINT;
      latest[i] = 0;
      for (guint j = 0; j < n_children; j++)
        {
          guint32 child = bl_graph_child (graph, i, j) >> 1;
          earliest[i] = MIN (earliest[i], MIN (dates[child].first, earliest[child]));
          latest[i] = MAX (latest[i], MAX (dates[child].last, latest[child]));
        }
      modules[i] = n_children > 0 && dates[i].first != 0 && earliest[i] > dates[i].first &&
                   latest[i] < dates[i].end;
    }
  return modules;
}

static void
module_free (gpointer data)
{
  BlModule *module = data;
  g_array_unref (module->gates);
  g_array_unref (module->leaves);
  g_free (module);
}

typedef struct
{
  const BlGraph *graph;
  const guint8 *modules;
  guint8 *seen;
} Splitter;

/* Enters a node of the module: as a leaf, or onto the path as a gate of it. */
static void
enter (Splitter *splitter, BlModule *module, GArray *path, guint32 node)
{
  if (splitter->seen[node] || node == 0)
    return;
  splitter->seen[node] = 1;
  Step step = { node, 0 };
  if (splitter->modules[node] || bl_graph_node (splitter->graph, node)->op == BL_OP_EVENT)
    g_array_append_val (module->leaves, node);
  else
    g_array_append_val (path, step);
}

static void
walk_gates (Splitter *splitter, BlModule *module, GArray *path)
{
  while (path->len > 0)
    {
      Step *step = &g_array_index (path, Step, path->len - 1);
      if (step->next == bl_graph_n_children (splitter->graph, step->node))
        {
          g_array_append_val (module->gates, step->node);
          g_array_set_size (path, path->len - 1);
          continue;
        }
      guint32 child = bl_graph_child (splitter->graph, step->node, step->next++) >> 1;
      enter (splitter, module, path, child);
    }
}

static BlModule *
cut_out (Splitter *splitter, guint32 node)
{
  BlModule *module = g_new0 (BlModule, 1);
  module->node = node;
  module->gates = g_array_new (FALSE, FALSE, sizeof (guint32));
  module->leaves = g_array_new (FALSE, FALSE, sizeof (guint32));
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (Step));
  Step first = { node, 0 };
  if (node != 0)
    {
      g_array_append_val (path, first);
      walk_gates (splitter, module, path);
      return module;
    }
  for (guint i = 0; i < splitter->graph->roots->len; i++)
    {
      enter (splitter, module, path, g_array_index (splitter->graph->roots, BlLink, i) >> 1);
      walk_gates (splitter, module, path);
    }
  return module;
}

GPtrArray *
bl_graph_split (const BlGraph *graph)
{
  GPtrArray *modules = g_ptr_array_new_with_free_func (module_free);
  g_autofree guint8 *is_module = bl_graph_find_modules (graph);
  g_autofree guint8 *seen = g_new0 (guint8, graph->nodes->len);
  Splitter splitter = { graph, is_module, seen };
  for (guint32 i = 1; i < graph->nodes->len; i++)
    if (is_module[i])
      g_ptr_array_add (modules, cut_out (&splitter, i));
  g_ptr_array_add (modules, cut_out (&splitter, 0));
  return modules;
}
