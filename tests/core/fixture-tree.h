/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

#include <string.h>

/* Trees for tests, and the oracle: every state of the events is looked at, one after the other. */

static inline BlTree *
tree_from (const char *text)
{
  g_autoptr (GError) error = NULL;
  BlTree *tree = bl_tree_parse (text, -1, &error);

  g_assert_no_error (error);
  return tree;
}

static inline BlTreeResult *
evaluate (const BlTree *tree, const GArray *givens, guint order)
{
  g_autoptr (GError) error = NULL;
  BlTreeResult *result = bl_tree_evaluate (tree, givens, order, 0, &error);

  g_assert_no_error (error);
  return result;
}

static inline void
give (GArray *givens, const BlTree *tree, const char *id, gboolean value)
{
  BlGiven given = { (guint) bl_tree_find (tree, id), value };

  g_assert_cmpint (bl_tree_find (tree, id), >=, 0);
  g_array_append_val (givens, given);
}

static inline const BlNode *
node_at (const BlTree *tree, guint i)
{
  return g_ptr_array_index (tree->nodes, i);
}

static inline const BlEventResult *
event_of (const BlTree *tree, const BlTreeResult *result, const char *id)
{
  for (guint i = 0; i < result->events->len; i++)
    {
      const BlEventResult *event = &g_array_index (result->events, BlEventResult, i);
      if (strcmp (node_at (tree, event->node)->id, id) == 0)
        return event;
    }
  g_error ("no event %s", id);
}

/* The value of a node in a state of the events (by node). */
static inline gboolean
holds (const BlTree *tree, guint node, const gboolean *events)
{
  const BlNode *at = node_at (tree, node);
  guint n = at->children != NULL ? at->children->len : 0, n_true = 0;

  if (at->kind == BL_NODE_EVENT)
    return events[node];
  if (at->kind == BL_NODE_CONST)
    return at->probability > 0;
  for (guint i = 0; i < n; i++)
    n_true += holds (tree, g_array_index (at->children, guint, i), events) ? 1 : 0;
  switch (at->kind)
    {
    case BL_NODE_AND:
      return n_true == n;
    case BL_NODE_NAND:
      return n_true < n;
    case BL_NODE_NOT:
    case BL_NODE_NOR:
      return n_true == 0;
    case BL_NODE_XOR:
      return n_true % 2 == 1;
    case BL_NODE_ATLEAST:
      return n_true >= at->k;
    case BL_NODE_OR:
    case BL_NODE_PASS:
    case BL_NODE_EVENT:
    case BL_NODE_CONST:
    default:
      return n_true > 0;
    }
}

/* Sums over all states: of the condition, and of condition and top, whole and with each event true.
 */
typedef struct
{
  double given, both;
  double given_with[64], both_with[64]; /* by node */
} Sums;

static inline double
weight_of_state (const BlTree *tree, const GArray *givens, const gboolean *events)
{
  double weight = 1;

  for (guint i = 0; i < tree->nodes->len; i++)
    if (node_at (tree, i)->kind == BL_NODE_EVENT)
      weight *= events[i] ? node_at (tree, i)->probability : 1 - node_at (tree, i)->probability;
  for (guint i = 0; givens != NULL && i < givens->len; i++)
    {
      const BlGiven *given = &g_array_index (givens, BlGiven, i);
      if (holds (tree, given->node, events) != given->value)
        return 0;
    }
  for (guint i = 0; tree->readings != NULL && i < tree->readings->len; i++)
    {
      const BlSoftReading *reading = &g_array_index (tree->readings, BlSoftReading, i);
      weight *= holds (tree, reading->node, events) ? reading->if_true : reading->if_false;
    }
  return weight;
}

static inline void
add_states (const BlTree *tree, const GArray *givens, Sums *sums)
{
  guint nodes[64], n = 0;
  gboolean events[64] = { FALSE };

  g_assert_cmpuint (tree->nodes->len, <=, 64);
  for (guint i = 0; i < tree->nodes->len; i++)
    if (node_at (tree, i)->kind == BL_NODE_EVENT)
      nodes[n++] = i;
  *sums = (Sums){ 0 };
  for (guint state = 0; state < 1u << n; state++)
    {
      for (guint i = 0; i < n; i++)
        events[nodes[i]] = (state >> i & 1) != 0;
      double weight = weight_of_state (tree, givens, events);
      double both = holds (tree, tree->top, events) ? weight : 0;
      sums->given += weight;
      sums->both += both;
      for (guint i = 0; i < n; i++)
        {
          sums->given_with[nodes[i]] += events[nodes[i]] ? weight : 0;
          sums->both_with[nodes[i]] += events[nodes[i]] ? both : 0;
        }
    }
}

/* A tree in the text form with every kind of gate (coherent: only AND, OR, at least), shared gates,
 * constants; n_events of them with chances from 0.02 to 0.98. Returns: (transfer full). */
static inline char *
random_tree (GRand *rand, guint n_events, guint n_gates, gboolean coherent)
{
  static const char *const kinds[] = { "and", "or",  "atleast", "and", "or",
                                       "not", "xor", "nand",    "nor", "pass" };
  GString *text = g_string_new ("top g0 # the first gate\n");

  for (guint i = 0; i < n_gates; i++)
    {
      const char *kind = kinds[g_rand_int_range (rand, 0, coherent ? 5 : 10)];
      gboolean single = strcmp (kind, "not") == 0 || strcmp (kind, "pass") == 0;
      guint n = single ? 1 : (guint) g_rand_int_range (rand, 2, 5);
      guint k = strcmp (kind, "atleast") == 0 ? (guint) g_rand_int_range (rand, 1, (int) n + 1) : 0;
      g_string_append_printf (text, "gate g%u %s %u", i, kind, k);
      for (guint j = 0; j < n; j++)
        {
          guint pick = (guint) g_rand_int_range (rand, (int) i + 1, (int) (n_gates + n_events + 1));
          if (pick < n_gates)
            g_string_append_printf (text, " g%u", pick);
          else if (pick < n_gates + n_events)
            g_string_append_printf (text, " e%u", pick - n_gates);
          else
            g_string_append (text, " c");
        }
      g_string_append_c (text, '\n');
    }
  for (guint i = 0; i < n_events; i++)
    g_string_append_printf (text, "event e%u 0.%02d\n", i, g_rand_int_range (rand, 2, 99));
  g_string_append_printf (text, "const c %d\n", g_rand_int_range (rand, 0, 2));
  return g_string_free (text, FALSE);
}
