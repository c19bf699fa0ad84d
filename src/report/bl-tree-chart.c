/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fault tree arranged for drawing: what is drawn of it, what is folded, what it is called. Where the
 * items go is in bl-tree-place.c.
 *
 * A board's tree is a graph of some hundred gates; drawn as a tree it would grow beyond measure, so a
 * gate is drawn in full on the first way that reaches it and referred to on the others. Gates with one
 * child, and the helpers among ORs below an OR, say nothing of their own and are passed over. The order is that of the
 * tree whatever the odds are, so that nothing jumps when a reading comes in. Trees are walked by recursion; some
 * thousand nodes. */
#include "config.h"

#include "bl-tree-chart.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-report.h"
#include "bl-shape-draw.h"

static const BlNode *
node_at (const BlTree *tree, guint index)
{
  return g_ptr_array_index (tree->nodes, index);
}

static gboolean
is_gate (const BlNode *node)
{
  return node->children != NULL && node->children->len > 0;
}

/* --- what is drawn --- */

/* The node that is drawn for this one: gates that only pass on what is below are left out. */
static guint
drawn_for (const BlTree *tree, guint index)
{
  const BlNode *node = node_at (tree, index);

  while (is_gate (node) && node->children->len == 1 && node->kind != BL_NODE_NOT && node->kind != BL_NODE_NAND
         && node->kind != BL_NODE_NOR)
    {
      index = g_array_index (node->children, guint, 0);
      node = node_at (tree, index);
    }
  return index;
}

/* An OR below an OR that a board's tree has only for its own sake: its id says what it is for behind a
 * tilde. Stages, components and whatever an author named stay. */
static gboolean
merges (const BlNode *parent, const BlNode *child)
{
  return parent->kind == BL_NODE_OR && child->kind == BL_NODE_OR && is_gate (child) && child->stage == NULL
         && child->component == NULL && strchr (child->id, '~') != NULL;
}

static void
gather (const BlTree *tree, const BlNode *gate, GHashTable *had, GArray *nodes)
{
  for (guint i = 0; is_gate (gate) && i < gate->children->len; i++)
    {
      guint index = drawn_for (tree, g_array_index (gate->children, guint, i));
      const BlNode *child = node_at (tree, index);
      if (merges (gate, child))
        gather (tree, child, had, nodes);
      else if (g_hash_table_add (had, GUINT_TO_POINTER (index + 1)))
        g_array_append_val (nodes, index);
    }
}

static void
item_clear (gpointer data)
{
  g_clear_pointer (&((BlChartItem *) data)->children, g_array_unref);
}

static guint
add_item (BlTreeChart *chart, guint node, int parent)
{
  BlChartItem item = { .node = node, .parent = parent, .target = -1 };

  item.children = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (chart->items, item);
  if (parent >= 0)
    {
      guint index = chart->items->len - 1;
      g_array_append_val (bl_chart_item (chart, parent)->children, index);
    }
  return chart->items->len - 1;
}

static void
build (BlTreeChart *chart, guint index, int parent)
{
  const BlNode *node = node_at (chart->tree, index);
  guint item = add_item (chart, index, parent);

  if (chart->item_of[index] >= 0)
    {
      if (is_gate (node))
        bl_chart_item (chart, item)->target = chart->item_of[index];
      return;
    }
  chart->item_of[index] = (int) item;
  if (!is_gate (node))
    return;
  g_autoptr (GHashTable) had = g_hash_table_new (NULL, NULL);
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  gather (chart->tree, node, had, nodes);
  for (guint i = 0; i < nodes->len; i++)
    build (chart, g_array_index (nodes, guint, i), (int) item);
}

static guint
count_events (const BlTree *tree, guint index, guint *stamps, guint stamp)
{
  const BlNode *node = node_at (tree, index);
  guint n = 0;

  if (stamps[index] == stamp)
    return 0;
  stamps[index] = stamp;
  if (!is_gate (node))
    return node->kind == BL_NODE_EVENT;
  for (guint i = 0; i < node->children->len; i++)
    n += count_events (tree, g_array_index (node->children, guint, i), stamps, stamp);
  return n;
}

/* Gates that were left out are found at the item their child, or their parent, has. */
static void
place_left_out (BlTreeChart *chart)
{
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      const BlNode *node = node_at (chart->tree, item->node);
      for (guint k = 0; item->target < 0 && is_gate (node) && k < node->children->len; k++)
        {
          guint child = g_array_index (node->children, guint, k), drawn = drawn_for (chart->tree, child);
          int at = chart->item_of[drawn] >= 0 ? chart->item_of[drawn] : (int) i;
          if (chart->item_of[child] < 0)
            chart->item_of[child] = at;
        }
    }
}

BlTreeChart *
bl_tree_chart_new (const BlTree *tree, const BlChartFact *facts, int leading)
{
  g_return_val_if_fail (tree != NULL && tree->top < tree->nodes->len, NULL);
  BlTreeChart *chart = g_new0 (BlTreeChart, 1);
  guint n = tree->nodes->len;
  g_autofree guint *stamps = g_new0 (guint, n);

  chart->tree = tree;
  chart->items = g_array_new (FALSE, FALSE, sizeof (BlChartItem));
  g_array_set_clear_func (chart->items, item_clear);
  chart->facts = g_new0 (BlChartFact, n);
  chart->item_of = g_new (int, n);
  memset (chart->item_of, -1, n * sizeof *chart->item_of);
  build (chart, tree->top, -1);
  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->n_events = count_events (tree, bl_chart_item (chart, i)->node, stamps, i + 1);
  place_left_out (chart);
  bl_tree_chart_update (chart, facts, leading);
  bl_tree_chart_fold (chart);
  return chart;
}

void
bl_tree_chart_free (BlTreeChart *chart)
{
  if (chart == NULL)
    return;
  g_array_unref (chart->items);
  g_free (chart->facts);
  g_free (chart->item_of);
  g_free (chart);
}

void
bl_tree_chart_update (BlTreeChart *chart, const BlChartFact *facts, int leading)
{
  g_return_if_fail (chart != NULL);
  const BlChartFact nothing = { NAN, NAN, -1, 0 };

  for (guint i = 0; i < chart->tree->nodes->len; i++)
    chart->facts[i] = facts != NULL ? facts[i] : nothing;
  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->likely = FALSE;
  if (leading < 0 || (guint) leading >= chart->tree->nodes->len)
    return;
  for (int i = chart->item_of[leading]; i >= 0; i = bl_chart_item (chart, i)->parent)
    bl_chart_item (chart, i)->likely = TRUE;
}

BlChartFact *
bl_chart_facts (const BlTree *tree, const BlTreeResult *result, int *leading)
{
  g_return_val_if_fail (tree != NULL && result != NULL && result->node_posterior != NULL, NULL);
  BlChartFact *facts = g_new (BlChartFact, tree->nodes->len);
  gboolean of_board = FALSE;
  double best = 0;

  for (guint i = 0; i < tree->nodes->len; i++)
    of_board = of_board || node_at (tree, i)->component != NULL;
  if (leading != NULL)
    *leading = -1;
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const BlNode *node = node_at (tree, i);
      facts[i] = (BlChartFact){ g_array_index (result->node_posterior, double, i),
                                g_array_index (result->node_probability, double, i), -1, 0 };
      if (leading == NULL || node->kind != BL_NODE_EVENT || (of_board && node->component == NULL)
          || facts[i].odds <= best)
        continue;
      best = facts[i].odds;
      *leading = (int) i;
    }
  return facts;
}

/* --- folding --- */

void
bl_tree_chart_fold (BlTreeChart *chart)
{
  g_return_if_fail (chart != NULL);
  for (guint i = 0; i < chart->items->len; i++)
    {
      BlChartItem *item = bl_chart_item (chart, i);
      item->open = item->children->len > 0 && (i == 0 || item->likely);
    }
}

void
bl_tree_chart_unfold (BlTreeChart *chart)
{
  g_return_if_fail (chart != NULL);
  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->open = bl_chart_item (chart, i)->children->len > 0;
}

void
bl_tree_chart_uncover (BlTreeChart *chart, guint item)
{
  g_return_if_fail (chart != NULL && item < chart->items->len);
  for (int i = bl_chart_item (chart, item)->parent; i >= 0; i = bl_chart_item (chart, i)->parent)
    bl_chart_item (chart, i)->open = TRUE;
}

/* --- words --- */

char *
bl_chart_sign (const BlNode *node)
{
  g_return_val_if_fail (node != NULL, NULL);
  switch (node->kind)
    {
    case BL_NODE_AND:
    case BL_NODE_NAND:
      return g_strdup ("&");
    case BL_NODE_ATLEAST:
      return g_strdup_printf ("≥%u", node->k);
    case BL_NODE_XOR:
      return g_strdup ("=1");
    case BL_NODE_NOT:
    case BL_NODE_PASS:
      return g_strdup ("1");
    case BL_NODE_OR:
    case BL_NODE_NOR:
    case BL_NODE_EVENT:
    case BL_NODE_CONST:
    default:
      return g_strdup ("≥1");
    }
}

const char *
bl_chart_name (const BlNode *node)
{
  g_return_val_if_fail (node != NULL, NULL);
  return node->title != NULL && *node->title != '\0' ? node->title : node->id;
}

static const char *
gate_word (const BlNode *node)
{
  switch (node->kind)
    {
    case BL_NODE_AND:
      return _ ("all of its causes");
    case BL_NODE_ATLEAST:
      return _ ("enough of its causes");
    case BL_NODE_XOR:
      return _ ("an odd number of its causes");
    case BL_NODE_NOT:
      return _ ("not its cause");
    case BL_NODE_NAND:
      return _ ("not all of its causes");
    case BL_NODE_NOR:
      return _ ("none of its causes");
    case BL_NODE_OR:
    case BL_NODE_PASS:
    case BL_NODE_EVENT:
    case BL_NODE_CONST:
    default:
      return _ ("any of its causes");
    }
}

char *
bl_tree_chart_words (const BlTreeChart *chart, guint index)
{
  g_return_val_if_fail (chart != NULL && index < chart->items->len, NULL);
  const BlChartItem *item = bl_chart_item (chart, index);
  const BlNode *node = node_at (chart->tree, item->node);
  const BlChartFact *fact = &chart->facts[item->node];
  g_autoptr (GString) text = g_string_new (bl_chart_name (node));

  if (!isnan (fact->odds))
    {
      g_autofree char *odds = bl_report_odds (fact->odds);
      g_string_append_printf (text, ", %s", odds);
    }
  if (item->target >= 0)
    g_string_append_printf (text, ", %s", _ ("drawn elsewhere"));
  else if (item->children->len > 0)
    {
      g_string_append_printf (text, ", %s", gate_word (node));
      g_string_append (text, ", ");
      g_string_append_printf (text, ngettext ("%u cause", "%u causes", item->n_events), item->n_events);
      g_string_append_printf (text, ", %s", item->open ? _ ("unfolded") : _ ("folded"));
    }
  if (fact->shape >= 0)
    {
      g_string_append (text, ", ");
      g_string_append_printf (text, ngettext ("%u reading", "%u readings", fact->n_readings), fact->n_readings);
      g_string_append_printf (text, ": %s", bl_shape_word ((BlShape) fact->shape));
    }
  if (item->likely)
    g_string_append_printf (text, ", %s", _ ("on the way to the leading suspect"));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* --- finding --- */

/* 0: no; the larger the better. */
static guint
fits (const BlNode *node, const char *folded)
{
  g_autofree char *name = g_utf8_casefold (bl_chart_name (node), -1);
  g_autofree char *component = node->component != NULL ? g_utf8_casefold (node->component, -1) : NULL;
  g_autofree char *stage = node->stage != NULL ? g_utf8_casefold (node->stage, -1) : NULL;

  if (component != NULL && strcmp (component, folded) == 0)
    return 5;
  if (stage != NULL && strcmp (stage, folded) == 0)
    return 4;
  if (component != NULL && g_str_has_prefix (component, folded))
    return 3;
  if (g_str_has_prefix (name, folded))
    return 2;
  return strstr (name, folded) != NULL;
}

GArray *
bl_tree_chart_find (const BlTreeChart *chart, const char *text)
{
  g_return_val_if_fail (chart != NULL && text != NULL, NULL);
  g_autofree char *bare = g_strstrip (g_strdup (text)), *folded = g_utf8_casefold (bare, -1);
  GArray *found = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint grade = 5; *folded != '\0' && grade > 0; grade--)
    for (guint i = 0; i < chart->items->len; i++)
      {
        const BlChartItem *item = bl_chart_item (chart, i);
        /* Events drawn twice are found once. */
        if (chart->item_of[item->node] == (int) i && fits (node_at (chart->tree, item->node), folded) == grade)
          g_array_append_val (found, i);
      }
  return found;
}
