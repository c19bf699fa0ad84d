/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a fault tree says in numbers: probability of the top event, posterior and importance of
 * every basic event, all given what is known.
 *
 * A known event is its probability set to 0 or 1. A known gate, or a soft reading of a node, is a
 * condition G computed beside the top event T in the same diagram: everything follows from T AND G
 * and from G, each with one upward pass through the parts and one downward pass back. A soft
 * reading is the certain truth of an extra gate over extra independent events that has the two
 * likelihoods (virtual evidence, Pearl 1988, from memory). Importances of a known event are those
 * of an event that is certain: its own value may still be turned. Given gates, "with the event
 * false" means P(T | G, event false); NAN where that condition is impossible. Importances as defined
 * in NUREG/CR-3385 (Vesely and others 1983, from memory): Birnbaum Q1 - Q0, Fussell-Vesely
 * (Q - Q0) / Q, criticality P(event) (Q1 - Q0) / Q, risk achievement worth Q1 / Q, risk reduction
 * worth Q / Q0, all from the one downward pass. Cut sets are in bl-cut-sets.c.
 */
#include "config.h"

#include "bl-cut-sets.h"
#include "bl-tree-bound.h"
#include "bl-tree-compile.h"
#include "bl-tree-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static const gsize DEFAULT_LIMIT = (gsize) 1 << 30;

/* Work spent on bounds of a tree that is too hard, in results computed: some seconds, or less where
 * little memory is allowed. */
enum
{
  MAX_BOUND_STEPS = 1500000,
  BYTES_PER_BOUND_STEP = 512,
  FIRST_BOUND_CAP = 25
};

void
bl_tree_result_free (BlTreeResult *result)
{
  if (result == NULL)
    return;
  g_clear_pointer (&result->events, g_array_unref);
  g_clear_pointer (&result->cut_sets, g_ptr_array_unref);
  g_clear_pointer (&result->node_probability, g_array_unref);
  g_clear_pointer (&result->node_posterior, g_array_unref);
  g_free (result->cut_set_count);
  g_free (result);
}

/* One evaluation at work. */
typedef struct
{
  const BlTree *tree;   /* the one given, or extended by the gates of soft readings */
  BlTree *extended;     /* owned, or NULL */
  gint8 *known;         /* by node of the tree given: -1, or the given value of an event */
  guint n_known;        /* nodes of the tree given */
  gboolean conditioned; /* gates or soft readings are among the conditions */
  GArray *roots;        /* as bl_graph_new () takes them: the top, the conditions, what is looked at */
  guint n_joint;        /* the top and the conditions */
  BlCompiled *compiled;
  double *p, *q; /* by graph node: event or part, true and false */
} Evaluation;

static void
evaluation_clear (Evaluation *evaluation)
{
  g_clear_pointer (&evaluation->extended, bl_tree_free);
  g_clear_pointer (&evaluation->known, g_free);
  g_clear_pointer (&evaluation->roots, g_array_unref);
  g_clear_pointer (&evaluation->compiled, bl_compiled_free);
  g_clear_pointer (&evaluation->p, g_free);
  g_clear_pointer (&evaluation->q, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Evaluation, evaluation_clear)

static gboolean
refuse_impossible (GError **error)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
               _ ("what is given cannot all be true at once"));
  return FALSE;
}

/* Copies a tree without its titles and places: enough to compute with. */
static BlTree *
copy_bare (const BlTree *tree)
{
  BlTree *copy = bl_tree_new ();
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const BlNode *from = bl_tree_node (tree, i);
      BlNode *to = bl_tree_add (copy, from->kind, from->id, NULL);
      to->k = from->k;
      to->probability = from->probability;
      to->children = from->children != NULL ? g_array_ref (from->children) : NULL;
    }
  copy->top = tree->top;
  return copy;
}

static guint
add_event (BlTree *tree, double probability)
{
  bl_tree_add (tree, BL_NODE_EVENT, "", NULL)->probability = probability;
  return tree->nodes->len - 1;
}

static guint
add_gate (BlTree *tree, BlNodeKind kind, guint left, guint right)
{
  BlNode *gate = bl_tree_add (tree, kind, "", NULL);
  bl_node_add_child (gate, left);
  bl_node_add_child (gate, right);
  return tree->nodes->len - 1;
}

/* The gate that is true with chance a when node is true and with chance b when it is false, both
 * divided by the larger: OR (base, AND (node or its opposite, excess)). */
static guint
add_soft_reading (BlTree *tree, const BlSoftReading *reading)
{
  double more = MAX (reading->if_true, reading->if_false);
  double less = MIN (reading->if_true, reading->if_false);
  guint node = reading->node;
  if (reading->if_false > reading->if_true)
    {
      bl_node_add_child (bl_tree_add (tree, BL_NODE_NOT, "", NULL), node);
      node = tree->nodes->len - 1;
    }
  return less == 0 ? node : add_gate (tree, BL_NODE_OR, node, add_event (tree, less / more));
}

static void
add_root (Evaluation *evaluation, guint node, gboolean negated)
{
  guint root = node << 1 | (negated ? 1 : 0);
  g_array_append_val (evaluation->roots, root);
}

static gboolean
take_givens (Evaluation *evaluation, const GArray *givens, GError **error)
{
  for (guint i = 0; givens != NULL && i < givens->len; i++)
    {
      const BlGiven *given = &g_array_index (givens, BlGiven, i);
      const BlNode *node = bl_tree_node (evaluation->tree, given->node);
      gint8 *known = &evaluation->known[given->node];
      gint8 value = given->value ? 1 : 0;
      if (node->kind != BL_NODE_EVENT)
        {
          evaluation->conditioned = TRUE;
          add_root (evaluation, given->node, !given->value);
          continue;
        }
      if ((*known >= 0 && *known != value) || node->probability == (given->value ? 0 : 1))
        return refuse_impossible (error);
      *known = value;
    }
  return TRUE;
}

static void
take_readings (Evaluation *evaluation)
{
  const GArray *readings = evaluation->tree->readings;
  if (readings == NULL || readings->len == 0)
    return;
  evaluation->conditioned = TRUE;
  evaluation->extended = copy_bare (evaluation->tree);
  for (guint i = 0; i < readings->len; i++)
    add_root (evaluation,
              add_soft_reading (evaluation->extended, &g_array_index (readings, BlSoftReading, i)),
              FALSE);
  evaluation->tree = evaluation->extended;
}

static double
event_probability (const Evaluation *evaluation, guint node)
{
  if (node < evaluation->n_known && evaluation->known[node] >= 0)
    return evaluation->known[node];
  return bl_tree_node (evaluation->tree, node)->probability;
}

/* p and q of every event of graph; 0 elsewhere. */
static void
weigh_events (const Evaluation *evaluation, const BlGraph *graph, double *p, double *q)
{
  for (guint32 i = 0; i < graph->nodes->len; i++)
    {
      const BlGraphNode *node = bl_graph_node (graph, i);
      p[i] = q[i] = 0;
      if (node->op != BL_OP_EVENT)
        continue;
      p[i] = event_probability (evaluation, node->tree_node);
      q[i] = 1 - p[i];
    }
}

/* p and q of the part's leaves, by level. */
static void
take_leaves (const Evaluation *evaluation, const BlPart *part, double *p, double *q)
{
  for (guint i = 0; i < part->n_leaves; i++)
    {
      p[i] = evaluation->p[part->leaves[i]];
      q[i] = evaluation->q[part->leaves[i]];
    }
}

/* Upward through the parts: p and q of every event and part. */
static void
weigh (Evaluation *evaluation)
{
  const BlCompiled *compiled = evaluation->compiled;
  guint n = compiled->graph->nodes->len;
  evaluation->p = g_new0 (double, n);
  evaluation->q = g_new0 (double, n);
  weigh_events (evaluation, compiled->graph, evaluation->p, evaluation->q);
  for (guint i = 0; i < compiled->parts->len; i++)
    {
      BlPart *part = bl_compiled_part (compiled, i);
      g_autofree double *p = g_new (double, part->n_leaves + 1);
      g_autofree double *q = g_new (double, part->n_leaves + 1);
      take_leaves (evaluation, part, p, q);
      bl_diagram_weigh (part->diagram, p, q);
      if (part->node == 0)
        continue;
      evaluation->p[part->node] = bl_diagram_yes (part->diagram, part->diagram->roots[0]);
      evaluation->q[part->node] = bl_diagram_yes (part->diagram, part->diagram->roots[0] ^ 1);
    }
}

/* Downward: for every graph node the probability of the whole's root with that node held.
 * (transfer full) */
static BlHeld *
hold (const Evaluation *evaluation, guint root)
{
  const BlCompiled *compiled = evaluation->compiled;
  BlHeld *held = g_new0 (BlHeld, compiled->graph->nodes->len);
  for (guint i = compiled->parts->len; i-- > 0;)
    {
      BlPart *part = bl_compiled_part (compiled, i);
      gboolean whole = part->node == 0;
      BlHeld seed = whole ? (BlHeld){ 1, 0, 1 } : held[part->node];
      g_autofree double *p = g_new (double, part->n_leaves + 1);
      g_autofree double *q = g_new (double, part->n_leaves + 1);
      g_autofree BlHeld *leaves = g_new0 (BlHeld, part->n_leaves + 1);
      take_leaves (evaluation, part, p, q);
      bl_diagram_hold (part->diagram, whole ? root : 0, seed, p, q, leaves);
      for (guint j = 0; j < part->n_leaves; j++)
        held[part->leaves[j]] = leaves[j];
    }
  return held;
}

/* Probabilities of T AND G and of G, as they are and with one event held. */
typedef struct
{
  double both, given;
  BlHeld *both_held, *given_held; /* by graph node; given_held NULL: G is certain */
} Figures;

/* Importances out of the top's probability as it is and with the event held. */
static void
fill_importances (BlEventResult *event, double top, double with, double without, double slope, double p)
{
  event->birnbaum = slope;
  event->fussell_vesely = top > 0 ? p * slope / top : 0;
  event->criticality = event->fussell_vesely;
  event->risk_achievement = top > 0 ? with / top : 0;
  event->risk_reduction = top > 0 ? top / without : 0;
}

static void
fill_event (BlEventResult *event, const Figures *figures, guint32 node, double p)
{
  double top = figures->both / figures->given;
  BlHeld both = node != 0 ? figures->both_held[node] : (BlHeld){ figures->both, figures->both, 0 };
  BlHeld given = { 1, 1, 0 };
  if (figures->given_held != NULL)
    given = node != 0 ? figures->given_held[node] : (BlHeld){ figures->given, figures->given, 0 };
  event->posterior = figures->both > 0 ? MIN (p * both.if_true / figures->both, 1) : 0;
  if (figures->given_held == NULL)
    {
      fill_importances (event, top, both.if_true, both.if_false, both.slope, p);
      return;
    }
  double with = given.if_true > 0 ? both.if_true / given.if_true : NAN;
  double without = given.if_false > 0 ? both.if_false / given.if_false : NAN;
  fill_importances (event, top, with, without, with - without,
                    p * given.if_true / figures->given);
  event->fussell_vesely = top > 0 ? (top - without) / top : 0;
}

/* By tree node: the graph node of an event. Simplifying may have left events that nothing depends on
 * any more: they stay at 0. (transfer full) */
static guint32 *
place_events (const Evaluation *evaluation)
{
  const BlCompiled *compiled = evaluation->compiled;
  guint32 *graph_node = g_new0 (guint32, evaluation->tree->nodes->len + 1);
  for (guint i = 0; i < compiled->parts->len; i++)
    for (guint j = 0; j < bl_compiled_part (compiled, i)->n_leaves; j++)
      {
        guint32 leaf = bl_compiled_part (compiled, i)->leaves[j];
        const BlGraphNode *node = bl_graph_node (compiled->graph, leaf);
        if (node->op == BL_OP_EVENT)
          graph_node[node->tree_node] = leaf;
      }
  return graph_node;
}

static void
fill_events (const Evaluation *evaluation, const BlTree *tree, BlTreeResult *result)
{
  const BlCompiled *compiled = evaluation->compiled;
  const BlDiagram *whole = bl_compiled_part (compiled, compiled->parts->len - 1)->diagram;
  gboolean conditioned = whole->n_roots > 1;
  g_autofree BlHeld *both = hold (evaluation, 0);
  g_autofree BlHeld *given = conditioned ? hold (evaluation, 1) : NULL;
  Figures figures = { bl_diagram_yes (whole, whole->roots[0]),
                      conditioned ? bl_diagram_yes (whole, whole->roots[1]) : 1, both, given };
  g_autofree guint32 *graph_node = place_events (evaluation);

  result->probability = MIN (figures.both / figures.given, 1);
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      if (bl_tree_node (tree, i)->kind != BL_NODE_EVENT)
        continue;
      BlEventResult event = { .node = i, .prior = bl_tree_node (tree, i)->probability };
      fill_event (&event, &figures, graph_node[i],
                  event_probability (evaluation, i));
      g_array_append_val (result->events, event);
    }
}

/* Adds to the message of a tree that is too hard between what its probability lies. A larger cap
 * mostly gives closer bounds, but not always: the best of all are told, rounded away from each other.
 */
static void
add_bounds (const Evaluation *evaluation, gsize limit, GError *error)
{
  g_autoptr (BlGraph) graph =
      bl_graph_new (evaluation->tree, evaluation->roots, evaluation->n_joint, NULL);
  g_autofree double *p = g_new (double, graph->nodes->len);
  g_autofree double *q = g_new (double, graph->nodes->len);
  double least = 0, most = 1;
  guint64 steps = 0, max_steps = MIN (MAX_BOUND_STEPS, limit / BYTES_PER_BOUND_STEP);
  weigh_events (evaluation, graph, p, q);
  for (guint32 cap = FIRST_BOUND_CAP; steps < max_steps && least < most; cap *= 2)
    {
      double low, high;
      steps += bl_graph_bound (graph, p, q, cap, limit, &low, &high);
      least = MAX (least, low);
      most = MIN (most, high);
    }
  g_autofree char *message =
      g_strdup_printf (_ ("%s; the probability is at least %.6g and at most %.6g"), error->message,
                       least * (1 - 1e-5), MIN (most * (1 + 1e-5), 1));
  g_free (error->message);
  error->message = g_steal_pointer (&message);
}

static gboolean
compile (Evaluation *evaluation, gsize limit, GError **error)
{
  g_autoptr (GError) local = NULL;
  BlGraph *graph =
      bl_graph_new (evaluation->tree, evaluation->roots, evaluation->n_joint, error);
  if (graph == NULL)
    return FALSE;
  evaluation->compiled = bl_compiled_new (graph, limit, &local);
  if (local != NULL && error != NULL)
    add_bounds (evaluation, limit, local);
  if (local != NULL)
    g_propagate_error (error, g_steal_pointer (&local));
  return evaluation->compiled != NULL;
}

static gboolean
is_possible (const Evaluation *evaluation, GError **error)
{
  const GPtrArray *parts = evaluation->compiled->parts;
  const BlDiagram *whole = bl_compiled_part (evaluation->compiled, parts->len - 1)->diagram;
  if (whole->n_roots > 1 && !(bl_diagram_yes (whole, whole->roots[1]) > 0))
    return refuse_impossible (error);
  return TRUE;
}

/* The tree with the top and all that is given as roots. */
static gboolean
evaluation_init (Evaluation *evaluation, const BlTree *tree, const GArray *givens, GError **error)
{
  evaluation->tree = tree;
  evaluation->n_known = tree->nodes->len;
  evaluation->known = g_malloc (tree->nodes->len + 1);
  memset (evaluation->known, -1, tree->nodes->len + 1);
  evaluation->roots = g_array_new (FALSE, FALSE, sizeof (guint));
  add_root (evaluation, tree->top, FALSE);
  if (!take_givens (evaluation, givens, error))
    return FALSE;
  take_readings (evaluation);
  evaluation->n_joint = evaluation->roots->len;
  return TRUE;
}

/* Of every node together with root (0: the top and all that is given, 1: what is given), over the
 * probability of root: events by the pass downward, gates one after the other; those are the roots
 * from the fourth on. (transfer full) */
static GArray *
weigh_with (const Evaluation *evaluation, guint root)
{
  const BlCompiled *compiled = evaluation->compiled;
  const BlPart *whole = bl_compiled_part (compiled, compiled->parts->len - 1);
  const BlDiagram *diagram = whole->diagram;
  GArray *nodes = g_array_new (FALSE, FALSE, sizeof (double));
  double all = bl_diagram_yes (diagram, diagram->roots[root]);
  g_autofree BlHeld *held = hold (evaluation, root);
  g_autofree guint32 *graph_node = place_events (evaluation);
  g_autofree double *p = g_new (double, whole->n_leaves + 1);
  g_autofree double *q = g_new (double, whole->n_leaves + 1);
  guint next = 3;
  take_leaves (evaluation, whole, p, q);
  for (guint i = 0; i < evaluation->n_known; i++)
    {
      gboolean event = bl_tree_node (evaluation->tree, i)->kind == BL_NODE_EVENT;
      double with;
      if (!event)
        with = bl_diagram_both (diagram, diagram->roots[next++], diagram->roots[root], p, q);
      else if (graph_node[i] != 0)
        with = event_probability (evaluation, i) * held[graph_node[i]].if_true;
      else
        with = event_probability (evaluation, i) * all;
      with = all > 0 ? MIN (with / all, 1) : 0;
      g_array_append_val (nodes, with);
    }
  return nodes;
}

gboolean
bl_tree_weigh_nodes (const BlTree *tree,
                     const GArray *givens,
                     gsize memory_limit,
                     BlTreeResult *result,
                     GError **error)
{
  g_return_val_if_fail (tree != NULL && tree->top < tree->nodes->len && result != NULL, FALSE);
  g_auto (Evaluation) evaluation = { 0 };
  if (!evaluation_init (&evaluation, tree, givens, error))
    return FALSE;
  add_root (&evaluation, tree->top, FALSE); /* so that there is one to look at in any case */
  for (guint i = 0; i < tree->nodes->len; i++)
    if (bl_tree_node (tree, i)->kind != BL_NODE_EVENT)
      add_root (&evaluation, i, FALSE);
  if (!compile (&evaluation, memory_limit != 0 ? memory_limit : DEFAULT_LIMIT, error))
    return FALSE;
  weigh (&evaluation);
  if (!is_possible (&evaluation, error))
    return FALSE;
  g_clear_pointer (&result->node_probability, g_array_unref);
  g_clear_pointer (&result->node_posterior, g_array_unref);
  result->node_probability = weigh_with (&evaluation, 1);
  result->node_posterior = weigh_with (&evaluation, 0);
  return TRUE;
}

BlTreeResult *
bl_tree_evaluate (const BlTree *tree,
                  const GArray *givens,
                  guint cut_set_order,
                  gsize memory_limit,
                  GError **error)
{
  g_return_val_if_fail (tree != NULL && tree->top < tree->nodes->len, NULL);
  gsize limit = memory_limit != 0 ? memory_limit : DEFAULT_LIMIT;
  g_auto (Evaluation) evaluation = { 0 };
  if (!evaluation_init (&evaluation, tree, givens, error) || !compile (&evaluation, limit, error))
    return NULL;
  weigh (&evaluation);
  if (!is_possible (&evaluation, error))
    return NULL;

  g_autoptr (BlTreeResult) result = g_new0 (BlTreeResult, 1);
  result->events = g_array_new (FALSE, FALSE, sizeof (BlEventResult));
  fill_events (&evaluation, tree, result);
  result->conditioned = evaluation.conditioned;
  result->coherent = !evaluation.conditioned && bl_graph_is_coherent (evaluation.compiled->graph);
  if (!result->conditioned && cut_set_order != BL_TREE_NO_CUT_SETS &&
      !bl_cut_sets_find (evaluation.compiled, evaluation.known, cut_set_order, limit, result, error))
    return NULL;
  return g_steal_pointer (&result);
}
