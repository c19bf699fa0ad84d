/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a prepared fault tree to decision diagrams, one for each independent part.
 *
 * Each part is built under several orders of its variables, with a cap on nodes that rises by
 * stages: an order that gets stuck costs little, and after a stage only the orders that came
 * farthest go on. Of the orders that finish in a stage the one with the smallest diagram is kept,
 * since all later passes pay for its size. The caps end at the memory limit, where the tree is
 * refused; it is refused sooner when no order has come far with a good part of the nodes, since the
 * gates near the top are the dearest (of the published trees that finish, the hard ones had built
 * 0.47 to 0.99 of the gates of their largest part with about a twelfth of the nodes they needed).
 */
#include "config.h"

#include "bl-tree-compile.h"

#include "bl-bdd.h"
#include "bl-tree-order.h"

#include <glib/gi18n-lib.h>

enum
{
  FIRST_CAP = 1 << 12,
  CAP_GROWTH = 4,
  HALVE_FROM = 1 << 18, /* cap from which on only the farther half goes on */
  STEPS_PER_NODE = 12,  /* results computed per node made, before an order counts as stuck */
  BYTES_PER_NODE = 32,  /* of all tables, when they have just grown */
  JUDGE_FROM = 1 << 18  /* cap from which on a part can be found hopeless */
};

static const double HOPELESS = 0.4; /* of the gates, built with this part of the last cap: */
static const double JUDGED_WITH = 1.0 / 16;

static void
part_free (gpointer data)
{
  BlPart *part = data;
  g_free (part->leaves);
  bl_diagram_free (part->diagram);
  g_free (part);
}

void
bl_compiled_free (BlCompiled *compiled)
{
  if (compiled == NULL)
    return;
  g_clear_pointer (&compiled->graph, bl_graph_free);
  g_clear_pointer (&compiled->parts, g_ptr_array_unref);
  g_free (compiled->part_of);
  g_free (compiled);
}

/* One attempt to build a part. */
typedef struct
{
  const BlGraph *graph;
  const BlModule *module;
  BlBdd *bdd;
  BlEdge *edges; /* by graph node */
  guint n_built; /* gates done */
} Attempt;

static BlEdge
edge_of (const Attempt *attempt, BlLink link)
{
  BlEdge edge = attempt->edges[link >> 1];
  return link & 1 ? bl_bdd_not (edge) : edge;
}

typedef struct
{
  BlEdge edge;
  guint32 level;
} Operand;

static int
compare_operands (gconstpointer a, gconstpointer b)
{
  const Operand *left = a, *right = b;
  return left->level > right->level ? -1 : left->level < right->level;
}

/* Joins from the deepest level upward, so that most steps put a variable on top of what is done. */
static BlEdge
join (Attempt *attempt, BlOp op, GArray *operands)
{
  g_array_sort (operands, compare_operands);
  BlEdge result = op == BL_OP_AND ? BL_BDD_TRUE : BL_BDD_FALSE;
  for (guint i = 0; i < operands->len; i++)
    {
      BlEdge edge = g_array_index (operands, Operand, i).edge;
      result = op == BL_OP_AND  ? bl_bdd_and (attempt->bdd, result, edge)
               : op == BL_OP_OR ? bl_bdd_or (attempt->bdd, result, edge)
                                : bl_bdd_xor (attempt->bdd, result, edge);
    }
  return result;
}

static BlEdge
build_gate (Attempt *attempt, guint32 gate)
{
  const BlGraphNode *node = bl_graph_node (attempt->graph, gate);
  g_autoptr (GArray) operands = g_array_new (FALSE, FALSE, sizeof (Operand));
  g_autoptr (GArray) edges = g_array_new (FALSE, FALSE, sizeof (BlEdge));
  for (guint i = 0; i < node->children->len; i++)
    {
      BlEdge edge = edge_of (attempt, g_array_index (node->children, BlLink, i));
      Operand operand = { edge, bl_bdd_level (attempt->bdd, edge) };
      g_array_append_val (operands, operand);
      g_array_append_val (edges, edge);
    }
  if (node->op == BL_OP_ATLEAST)
    return bl_bdd_at_least (attempt->bdd, node->k, (const BlEdge *) (void *) edges->data,
                            edges->len);
  return join (attempt, node->op, operands);
}

static gboolean
build_gates (Attempt *attempt, const GArray *leaves)
{
  attempt->edges[0] = BL_BDD_TRUE;
  for (guint i = 0; i < leaves->len; i++)
    {
      BlEdge edge = bl_bdd_variable (attempt->bdd, i);
      if (edge == BL_BDD_FAILED)
        return FALSE;
      attempt->edges[g_array_index (leaves, guint32, i)] = edge;
    }
  for (guint i = 0; i < attempt->module->gates->len; i++)
    {
      guint32 gate = g_array_index (attempt->module->gates, guint32, i);
      attempt->edges[gate] = build_gate (attempt, gate);
      if (attempt->edges[gate] == BL_BDD_FAILED)
        return FALSE;
      attempt->n_built++;
    }
  return TRUE;
}

/* The part's roots out of the edges of its gates; the diagram, or NULL beyond the cap. */
static BlDiagram *
finish (Attempt *attempt, guint n_levels)
{
  const GArray *links = attempt->graph->roots;
  guint n_joint = attempt->graph->n_joint;
  if (attempt->module->node != 0)
    return bl_bdd_extract (attempt->bdd, &attempt->edges[attempt->module->node], 1, n_levels);
  g_autofree BlEdge *roots = g_new0 (BlEdge, links->len + 2);
  guint n_roots = links->len > 1 ? 2 : 1;
  roots[1] = BL_BDD_TRUE;
  for (guint i = 1; i < n_joint; i++)
    roots[1] =
        bl_bdd_and (attempt->bdd, roots[1], edge_of (attempt, g_array_index (links, BlLink, i)));
  roots[0] =
      bl_bdd_and (attempt->bdd, roots[1], edge_of (attempt, g_array_index (links, BlLink, 0)));
  if (roots[0] == BL_BDD_FAILED || roots[1] == BL_BDD_FAILED)
    return NULL;
  for (guint i = n_joint; i < links->len; i++)
    roots[n_roots++] = edge_of (attempt, g_array_index (links, BlLink, i));
  return bl_bdd_extract (attempt->bdd, roots, n_roots, n_levels);
}

typedef struct
{
  guint order; /* BlOrder */
  GArray *leaves;
  guint n_built;         /* gates done in the last attempt */
  guint32 tried, n_made; /* cap of the last attempt and the nodes it made */
  BlDiagram *diagram;
} Candidate;

/* What the attempts at one part share. */
typedef struct
{
  const BlGraph *graph;
  const BlModule *module;
  BlBdd *bdd;    /* emptied for each attempt */
  BlEdge *edges; /* by graph node, of the attempt at hand */
  gsize limit;   /* bytes left for the tables */
} Work;

static void
try_order (const Work *work, Candidate *candidate, guint32 cap)
{
  BlBdd *bdd = work->bdd;
  bl_bdd_reset (bdd, work->limit, cap);
  Attempt attempt = { work->graph, work->module, bdd, work->edges, 0 };
  bdd->table.max_steps = (guint64) cap * STEPS_PER_NODE;
  if (build_gates (&attempt, candidate->leaves))
    candidate->diagram = finish (&attempt, candidate->leaves->len);
  candidate->n_built = attempt.n_built;
  candidate->tried = cap;
  candidate->n_made = bdd->table.n_nodes;
}

static void
drop (Candidate *candidate)
{
  g_clear_pointer (&candidate->leaves, g_array_unref);
  g_clear_pointer (&candidate->diagram, bl_diagram_free);
}

/* The candidate with the smallest diagram; -1 when none is finished. */
static int
smallest (const Candidate *candidates, guint n)
{
  int best = -1;
  for (guint i = 0; i < n; i++)
    if (candidates[i].diagram != NULL &&
        (best < 0 || candidates[i].diagram->n_nodes < candidates[best].diagram->n_nodes))
      best = (int) i;
  return best;
}

static int
compare_progress (gconstpointer a, gconstpointer b)
{
  const Candidate *left = a, *right = b;
  if (left->n_built != right->n_built)
    return left->n_built > right->n_built ? -1 : 1;
  return left->order < right->order ? -1 : left->order > right->order;
}

/* Keeps the better half of the candidates, by how far they came. */
static guint
halve (Candidate *candidates, guint n)
{
  guint kept = (n + 1) / 2;
  qsort (candidates, n, sizeof *candidates, compare_progress);
  for (guint i = kept; i < n; i++)
    drop (&candidates[i]);
  return kept;
}

static guint
list_orders (const BlGraph *graph, const BlModule *module, Candidate *candidates)
{
  guint n = module->gates->len <= 1 ? 1 : BL_N_ORDERS;
  for (guint i = 0; i < n; i++)
    candidates[i] = (Candidate){ i, bl_order_leaves (graph, module, (BlOrder) i), 0, 0, 0, NULL };
  return n;
}

/* One stage: every candidate under the cap, and under half of what the best so far has needed, since
 * a gain that costs more to find seldom pays; one that got stuck nearly as far before is not tried
 * again for so little. */
static void
run_stage (const Work *work, Candidate *candidates, guint n, guint32 cap)
{
  guint32 enough = cap;
  for (guint i = 0; i < n; i++)
    {
      if (enough < candidates[i].tried * 2)
        continue;
      try_order (work, &candidates[i], enough);
      if (candidates[i].diagram != NULL)
        enough = MIN (enough, MAX (candidates[i].n_made / 2, 1));
    }
}

/* Whether the order that came farthest is so far from the end that the last cap won't do. */
static gboolean
is_hopeless (const Work *work, const Candidate *candidates, guint n, guint64 cap, guint64 last_cap)
{
  guint most = 0;
  for (guint i = 0; i < n; i++)
    most = MAX (most, candidates[i].n_built);
  return cap >= JUDGE_FROM && (double) cap >= JUDGED_WITH * (double) last_cap &&
         most < HOPELESS * work->module->gates->len;
}

/* Runs the orders with rising caps. The index of the best one, -1 beyond the last cap; n: how many
 * candidates are left. */
static int
find_diagram (const Work *work, Candidate *candidates, guint *n)
{
  guint64 last_cap = MIN (work->limit / BYTES_PER_NODE, G_MAXINT32 / 2);
  guint64 cap = MIN (MAX (FIRST_CAP, (guint64) work->module->leaves->len * 8), last_cap);
  for (;;)
    {
      run_stage (work, candidates, *n, (guint32) cap);
      int best = smallest (candidates, *n);
      if (best >= 0 || cap >= last_cap || is_hopeless (work, candidates, *n, cap, last_cap))
        return best;
      if (cap >= HALVE_FROM)
        *n = halve (candidates, *n);
      cap = *n == 1 ? last_cap : MIN (cap * CAP_GROWTH, last_cap);
    }
}

static void
refuse (const Work *work, const Candidate *candidates, guint n, gsize limit, GError **error)
{
  const Candidate *best = &candidates[0];
  for (guint i = 1; i < n; i++)
    if (candidates[i].n_built > best->n_built)
      best = &candidates[i];
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD,
               _ ("the tree is too hard for the memory allowed (%" G_GSIZE_FORMAT
                  " MiB): of the %u gates of a part with %u variables no order of those got "
                  "beyond %u with %u nodes"),
               limit >> 20, work->module->gates->len, work->module->leaves->len, best->n_built,
               best->n_made);
}

static BlPart *
compile (const Work *work, gsize limit, GError **error)
{
  Candidate candidates[BL_N_ORDERS];
  guint n = list_orders (work->graph, work->module, candidates);
  int best = find_diagram (work, candidates, &n);
  BlPart *part = NULL;
  if (best >= 0)
    {
      part = g_new0 (BlPart, 1);
      part->node = work->module->node;
      part->n_leaves = candidates[best].leaves->len;
      part->leaves =
          (guint32 *) (void *) g_array_free (g_steal_pointer (&candidates[best].leaves), FALSE);
      part->diagram = g_steal_pointer (&candidates[best].diagram);
    }
  else
    refuse (work, candidates, n, limit, error);
  for (guint i = 0; i < n; i++)
    drop (&candidates[i]);
  return part;
}

static gsize
bytes_of (const BlPart *part)
{
  return (gsize) part->diagram->n_nodes * (sizeof (BlTableNode) + 2 * sizeof (double));
}

gsize
bl_compiled_bytes (const BlCompiled *compiled)
{
  gsize bytes = 0;
  for (guint i = 0; i < compiled->parts->len; i++)
    bytes += bytes_of (bl_compiled_part (compiled, i));
  return bytes;
}

BlCompiled *
bl_compiled_new (BlGraph *graph, gsize limit, GError **error)
{
  g_autoptr (BlCompiled) compiled = g_new0 (BlCompiled, 1);
  g_autoptr (GPtrArray) modules = bl_graph_split (graph);
  g_autofree BlEdge *edges = g_new0 (BlEdge, graph->nodes->len);
  g_autoptr (BlBdd) bdd = bl_bdd_new (limit, 0);
  gsize used = 0;
  compiled->graph = graph;
  compiled->parts = g_ptr_array_new_with_free_func (part_free);
  compiled->part_of = g_new0 (guint32, graph->nodes->len);
  for (guint i = 0; i < modules->len; i++)
    {
      Work work = { graph, g_ptr_array_index (modules, i), bdd, edges,
                    limit > used ? limit - used : 1 };
      BlPart *part = compile (&work, limit, error);
      if (part == NULL)
        return NULL;
      g_ptr_array_add (compiled->parts, part);
      used += bytes_of (part);
      if (part->node != 0)
        compiled->part_of[part->node] = compiled->parts->len;
    }
  return g_steal_pointer (&compiled);
}
