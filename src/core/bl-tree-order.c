/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Orders of the variables of a module for its decision diagram.
 *
 * The size of the diagram hangs on the order and finding the best one is hopeless, so these are the
 * cheap orders known from practice; bl-tree-compile.c tries them with a cap each. Depth-first
 * orders differ in which child is entered first. The weight order hands a weight of one down from
 * the root, in equal shares at each gate, takes the heaviest leaf, removes it and starts again.
 */
#include "config.h"

#include "bl-tree-order.h"

#include <string.h>

/* Above this many bits the support of gates is counted with repetitions instead of exactly. */
static const double MAX_SUPPORT_BITS = 4e9;
/* Above this many steps the weight order falls back to the depth-first one. */
static const double MAX_WEIGHT_STEPS = 3e8;

typedef struct
{
  const BlGraph *graph;
  const BlModule *module;
  guint32 *place; /* by graph node: place among leaves, or n_leaves + place among gates, + 1 */
  guint n_leaves, n_gates;
  double *support; /* by place: how many leaves it depends on */
  double *parents; /* by place: how many gates of the module use it */
} Survey;

static void
survey_clear (Survey *survey)
{
  g_free (survey->place);
  g_free (survey->support);
  g_free (survey->parents);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Survey, survey_clear)

static guint32
gate_at (const Survey *survey, guint i)
{
  return g_array_index (survey->module->gates, guint32, i);
}

static void
count_support (Survey *survey)
{
  gsize words = ((gsize) survey->n_leaves + 63) / 64;
  gboolean exact = (double) survey->n_gates * (double) survey->n_leaves < MAX_SUPPORT_BITS;
  g_autofree guint64 *bits = exact ? g_new0 (guint64, words * survey->n_gates + 1) : NULL;
  for (guint i = 0; i < survey->n_leaves; i++)
    survey->support[i] = 1;
  for (guint i = 0; i < survey->n_gates; i++)
    {
      double *support = &survey->support[survey->n_leaves + i];
      for (guint j = 0; j < bl_graph_n_children (survey->graph, gate_at (survey, i)); j++)
        {
          guint child =
              survey->place[bl_graph_child (survey->graph, gate_at (survey, i), j) >> 1] - 1;
          *support += survey->support[child];
          if (exact && child < survey->n_leaves)
            bits[i * words + child / 64] |= G_GUINT64_CONSTANT (1) << child % 64;
          for (gsize w = 0; exact && child >= survey->n_leaves && w < words; w++)
            bits[i * words + w] |= bits[(child - survey->n_leaves) * words + w];
        }
      if (exact)
        *support = 0;
      for (gsize w = 0; exact && w < words; w++)
        *support += __builtin_popcountll (bits[i * words + w]);
    }
}

static void
survey_init (Survey *survey, const BlGraph *graph, const BlModule *module)
{
  survey->graph = graph;
  survey->module = module;
  survey->n_leaves = module->leaves->len;
  survey->n_gates = module->gates->len;
  survey->place = g_new0 (guint32, graph->nodes->len);
  survey->support = g_new0 (double, survey->n_leaves + survey->n_gates + 1);
  survey->parents = g_new0 (double, survey->n_leaves + survey->n_gates + 1);
  for (guint i = 0; i < survey->n_leaves; i++)
    survey->place[g_array_index (module->leaves, guint32, i)] = i + 1;
  for (guint i = 0; i < survey->n_gates; i++)
    survey->place[gate_at (survey, i)] = survey->n_leaves + i + 1;
  count_support (survey);
  for (guint i = 0; i < survey->n_gates; i++)
    for (guint j = 0; j < bl_graph_n_children (graph, gate_at (survey, i)); j++)
      survey->parents[survey->place[bl_graph_child (graph, gate_at (survey, i), j) >> 1] - 1]++;
}

typedef struct
{
  guint32 node;
  double key; /* the larger, the earlier */
  guint listed;
} Choice;

static int
compare_choices (gconstpointer a, gconstpointer b)
{
  const Choice *left = a, *right = b;
  if (left->key != right->key)
    return left->key > right->key ? -1 : 1;
  return left->listed < right->listed ? -1 : left->listed > right->listed;
}

/* Children of a gate in the order they are to be entered: Choice. (transfer full) */
static GArray *
sort_children (const Survey *survey, guint32 gate, BlOrder order)
{
  GArray *choices = g_array_new (FALSE, FALSE, sizeof (Choice));
  for (guint j = 0; j < bl_graph_n_children (survey->graph, gate); j++)
    {
      guint32 child = bl_graph_child (survey->graph, gate, j) >> 1;
      guint place = survey->place[child] - 1;
      double key = order == BL_ORDER_LARGE_FIRST    ? survey->support[place]
                   : order == BL_ORDER_SMALL_FIRST  ? -survey->support[place]
                   : order == BL_ORDER_SHARED_FIRST ? survey->parents[place]
                                                    : 0;
      Choice choice = { child, key, j };
      g_array_append_val (choices, choice);
    }
  g_array_sort (choices, compare_choices);
  return choices;
}

/* The gates the walk starts from: the module's own, or the roots of the whole. (transfer full) */
static GArray *
starts (const Survey *survey)
{
  GArray *nodes = g_array_new (FALSE, FALSE, sizeof (guint32));
  if (survey->module->node != 0)
    g_array_append_val (nodes, survey->module->node);
  else
    for (guint i = 0; i < survey->graph->roots->len; i++)
      {
        guint32 root = g_array_index (survey->graph->roots, BlLink, i) >> 1;
        if (root != 0)
          g_array_append_val (nodes, root);
      }
  return nodes;
}

/* A depth-first walk over a list of nodes to visit, the next one at its end. */
static GArray *
walk (const Survey *survey, BlOrder order)
{
  GArray *leaves = g_array_new (FALSE, FALSE, sizeof (guint32));
  g_autofree guint8 *seen = g_new0 (guint8, survey->graph->nodes->len);
  g_autoptr (GArray) list = starts (survey);
  for (guint i = 0; i < list->len / 2; i++)
    {
      guint32 *left = &g_array_index (list, guint32, i);
      guint32 *right = &g_array_index (list, guint32, list->len - 1 - i);
      guint32 swap = *left;
      *left = *right;
      *right = swap;
    }
  while (list->len > 0)
    {
      guint32 node = g_array_index (list, guint32, list->len - 1);
      g_array_set_size (list, list->len - 1);
      if (seen[node])
        continue;
      seen[node] = 1;
      if (survey->place[node] <= survey->n_leaves)
        {
          g_array_append_val (leaves, node);
          continue;
        }
      g_autoptr (GArray) choices = sort_children (survey, node, order);
      for (guint j = choices->len; j-- > 0;)
        g_array_append_val (list, g_array_index (choices, Choice, j).node);
    }
  return leaves;
}

/* Hands the weights down once, leaves already taken left out; the place of the heaviest leaf. */
static guint
heaviest (const Survey *survey, const guint8 *taken, guint *live, double *weight)
{
  guint n_leaves = survey->n_leaves, best = 0;
  memset (weight, 0, sizeof *weight * (n_leaves + survey->n_gates));
  for (guint i = 0; i < survey->n_gates; i++)
    {
      live[n_leaves + i] = 0;
      for (guint j = 0; j < bl_graph_n_children (survey->graph, gate_at (survey, i)); j++)
        {
          guint child =
              survey->place[bl_graph_child (survey->graph, gate_at (survey, i), j) >> 1] - 1;
          live[n_leaves + i] += child < n_leaves ? !taken[child] : live[child] > 0;
        }
    }
  g_autoptr (GArray) roots = starts (survey);
  for (guint i = 0; i < roots->len; i++)
    weight[survey->place[g_array_index (roots, guint32, i)] - 1] += 1;
  for (guint i = survey->n_gates; i-- > 0;)
    for (guint j = 0; j < bl_graph_n_children (survey->graph, gate_at (survey, i)); j++)
      {
        guint child =
            survey->place[bl_graph_child (survey->graph, gate_at (survey, i), j) >> 1] - 1;
        if (child < n_leaves ? !taken[child] : live[child] > 0)
          weight[child] += weight[n_leaves + i] / live[n_leaves + i];
      }
  for (guint i = 1; i < n_leaves; i++)
    if (taken[best] || (!taken[i] && weight[i] > weight[best]))
      best = i;
  return best;
}

static GArray *
order_by_weight (const Survey *survey)
{
  gsize links = 0;
  for (guint i = 0; i < survey->n_gates; i++)
    links += bl_graph_n_children (survey->graph, gate_at (survey, i));
  if ((double) links * survey->n_leaves > MAX_WEIGHT_STEPS)
    return walk (survey, BL_ORDER_DEPTH_FIRST);
  GArray *leaves = g_array_new (FALSE, FALSE, sizeof (guint32));
  gsize n = (gsize) survey->n_leaves + survey->n_gates + 1;
  g_autofree guint8 *taken = g_new0 (guint8, n);
  g_autofree guint *live = g_new0 (guint, n);
  g_autofree double *weight = g_new0 (double, n);
  for (guint i = 0; i < survey->n_leaves; i++)
    {
      guint best = heaviest (survey, taken, live, weight);
      taken[best] = 1;
      guint32 leaf = g_array_index (survey->module->leaves, guint32, best);
      g_array_append_val (leaves, leaf);
    }
  return leaves;
}

/* The place in the order of the last leaf below gate, leaf itself left out; 0 when there is none.
 */
static guint
last_below (const Survey *survey, guint32 gate, guint32 leaf, const guint *position)
{
  g_autofree guint8 *seen = g_new0 (guint8, survey->graph->nodes->len);
  g_autoptr (GArray) list = g_array_new (FALSE, FALSE, sizeof (guint32));
  guint last = 0;
  g_array_append_val (list, gate);
  while (list->len > 0)
    {
      guint32 node = g_array_index (list, guint32, list->len - 1);
      g_array_set_size (list, list->len - 1);
      if (seen[node] || node == leaf)
        continue;
      seen[node] = 1;
      if (survey->place[node] <= survey->n_leaves)
        last = MAX (last, position[node] + 1);
      for (guint j = 0;
           survey->place[node] > survey->n_leaves && j < bl_graph_n_children (survey->graph, node);
           j++)
        {
          guint32 child = bl_graph_child (survey->graph, node, j) >> 1;
          g_array_append_val (list, child);
        }
    }
  return last;
}

typedef struct
{
  guint32 node;
  guint key, order;
} Place;

static int
compare_places (gconstpointer a, gconstpointer b)
{
  const Place *left = a, *right = b;
  if (left->key != right->key)
    return left->key < right->key ? -1 : 1;
  return left->order < right->order ? -1 : left->order > right->order;
}

/* A leaf that only one condition uses belongs right behind the last other leaf of that condition:
 * decided there, it needs not be remembered. At the end of the order, where a walk leaves it, the
 * diagram of many conditions grows out of all bounds. */
static void
settle_conditions (const Survey *survey, GArray *leaves)
{
  const GArray *roots = survey->graph->roots;
  g_autofree guint *position = g_new0 (guint, survey->graph->nodes->len);
  g_autofree guint *key = g_new0 (guint, survey->graph->nodes->len);
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (Place));
  for (guint i = 0; i < leaves->len; i++)
    {
      position[g_array_index (leaves, guint32, i)] = i;
      key[g_array_index (leaves, guint32, i)] = 2 * i + 2;
    }
  for (guint i = 1; i < survey->graph->n_joint; i++)
    {
      guint32 gate = g_array_index (roots, BlLink, i) >> 1;
      if (survey->place[gate] <= survey->n_leaves)
        continue;
      for (guint j = 0; j < bl_graph_n_children (survey->graph, gate); j++)
        {
          guint32 child = bl_graph_child (survey->graph, gate, j) >> 1;
          guint place = survey->place[child] - 1;
          if (place < survey->n_leaves && survey->parents[place] == 1)
            key[child] = 2 * last_below (survey, gate, child, position) + 1;
        }
    }
  for (guint i = 0; i < leaves->len; i++)
    {
      guint32 leaf = g_array_index (leaves, guint32, i);
      Place place = { leaf, key[leaf], i };
      g_array_append_val (places, place);
    }
  g_array_sort (places, compare_places);
  for (guint i = 0; i < leaves->len; i++)
    g_array_index (leaves, guint32, i) = g_array_index (places, Place, i).node;
}

GArray *
bl_order_leaves (const BlGraph *graph, const BlModule *module, BlOrder order)
{
  if (module->gates->len <= 1)
    return g_array_copy (module->leaves);
  g_auto (Survey) survey = { 0 };
  survey_init (&survey, graph, module);
  GArray *leaves = order == BL_ORDER_WEIGHT ? order_by_weight (&survey) : walk (&survey, order);
  if (module->node == 0 && graph->n_joint > 1)
    settle_conditions (&survey, leaves);
  return leaves;
}
