/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Minimal cut sets of a fault tree, coherent or not.
 *
 * Each part's decision diagram is turned into a diagram of its minimal solutions (Rauzy 1993, from
 * memory): the solutions of the low side, and those of the high side, without the ones that a
 * solution of the low side makes superfluous, each with the variable added. The family of sets is a
 * diagram of its own kind: a node (variable, with, without) stands for the sets of `with`, the
 * variable added, and the sets of `without`; node 0 is no set at all, node 1 the empty set alone.
 * A variable may be an inner part: a set then stands for one set for each of the inner part's.
 *
 * Where there are negations, a set is minimal when the top is true with just these events happened
 * and with no fewer of them: the positive part of a prime implicant that contains no other such part
 * (minimal p-cut, Rauzy 1993 and Dutuit and Rauzy 1997, from memory). Solutions of F1 that F0 has as
 * well are dropped as covered, so the operator on F1 and the one on F1 or F0 leave the same sets.
 * An inner part that is true when nothing happens is taken the other way round: as a variable, its
 * opposite has solutions that are sets of events.
 *
 * Counting takes numbers of fixed width, chosen from a bound on the logarithm, so it is exact at
 * any size. Diagrams of millions of nodes are usual; the sets themselves are only listed up to an
 * order.
 */
#include "config.h"

#include "bl-cut-sets.h"

#include "bl-bdd.h"
#include "bl-count.h"

#include <glib/gi18n-lib.h>

enum
{
  NONE = 0,  /* no set */
  EMPTY = 1, /* the empty set alone */
  MAX_DEPTH = 20000,
  BYTES_PER_SET = 96 /* of a listed set, roughly */
};

/* A part's family of minimal sets. */
typedef struct
{
  BlTableNode *nodes;
  guint32 n_nodes, root;
  gboolean flipped; /* they are those of the inner part's opposite */
  guint *least;    /* by node: order of its smallest set, G_MAXUINT for none */
  GPtrArray *sets; /* GArray of guint tree nodes, by order; of the inner parts when listing */
} Family;

typedef struct
{
  const BlCompiled *compiled;
  const gint8 *known;
  guint order;
  gsize limit, used;
  Family *families; /* by part */
  BlCount *counts;  /* by part */
} Search;

static void
search_clear (Search *search)
{
  for (guint i = 0; i < search->compiled->parts->len; i++)
    {
      g_free (search->families[i].nodes);
      g_free (search->families[i].least);
      g_clear_pointer (&search->families[i].sets, g_ptr_array_unref);
      bl_count_clear (&search->counts[i]);
    }
  g_free (search->families);
  g_free (search->counts);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Search, search_clear)

static guint32
make (BlNodeTable *table, guint32 level, guint32 with, guint32 without)
{
  if (with == BL_TABLE_FAILED || without == BL_TABLE_FAILED)
    return BL_TABLE_FAILED;
  return with == NONE ? without : bl_node_table_get (table, level, with, without);
}

/* The sets of f that contain no set of g. Both are minimal in themselves. */
static guint32
remove_covered (BlNodeTable *table, guint32 f, guint32 g, guint depth)
{
  if (f == BL_TABLE_FAILED || g == BL_TABLE_FAILED || depth > MAX_DEPTH)
    return BL_TABLE_FAILED;
  if (f == NONE || g == EMPTY || f == g)
    return NONE;
  if (f == EMPTY || g == NONE)
    return f;
  guint32 level = table->nodes[f].level;
  while (table->nodes[g].level < level)
    g = table->nodes[g].lo;
  if (g <= EMPTY || f == g)
    return remove_covered (table, f, g, depth);
  guint32 result = bl_node_table_recall (table, f, g);
  if (result != BL_TABLE_FAILED)
    return result;
  BlTableNode left = table->nodes[f], right = table->nodes[g];
  if (right.level == level)
    {
      guint32 with = remove_covered (table, left.hi, right.hi, depth + 1);
      with = remove_covered (table, with, right.lo, depth + 1);
      result = make (table, level, with, remove_covered (table, left.lo, right.lo, depth + 1));
    }
  else
    result = make (table, level, remove_covered (table, left.hi, g, depth + 1),
                   remove_covered (table, left.lo, g, depth + 1));
  if (result != BL_TABLE_FAILED)
    bl_node_table_remember (table, f, g, result);
  return result;
}

typedef enum
{
  FREE,
  FREE_FLIPPED, /* an inner part, and the variable is its opposite */
  HELD_FALSE,
  HELD_TRUE
} LevelState;

/* Whether a level's variable is decided already: a known event, or an inner part decided by some.
 */
static LevelState
level_state (const Search *search, guint32 graph_node)
{
  const BlGraphNode *node = bl_graph_node (search->compiled->graph, graph_node);
  if (node->op == BL_OP_EVENT)
    {
      gint8 known = search->known[node->tree_node];
      return known < 0 ? FREE : known ? HELD_TRUE : HELD_FALSE;
    }
  const Family *family = &search->families[search->compiled->part_of[graph_node] - 1];
  if (family->root > EMPTY)
    return family->flipped ? FREE_FLIPPED : FREE;
  return (family->root == EMPTY) != family->flipped ? HELD_TRUE : HELD_FALSE;
}

/* Whether the part is true when no event happens but the known ones. */
static gboolean
is_true_at_rest (const BlDiagram *diagram, const LevelState *states)
{
  BlEdge edge = diagram->roots[0];
  while (edge >> 1 != 0)
    {
      const BlTableNode *node = &diagram->nodes[edge >> 1];
      LevelState state = states[node->level];
      edge = (state == HELD_TRUE || state == FREE_FLIPPED ? node->hi : node->lo) ^ (edge & 1);
    }
  return edge == BL_BDD_TRUE;
}

/* Which (node, complemented) pairs of the diagram the edge leads to. (transfer full) */
static guint8 *
mark_edges (const BlDiagram *diagram, BlEdge root)
{
  guint8 *marks = g_new0 (guint8, (gsize) diagram->n_nodes * 2);
  marks[root] = 1;
  for (guint32 i = diagram->n_nodes; i-- > 1;)
    for (guint32 flip = 0; flip < 2; flip++)
      if (marks[i << 1 | flip])
        marks[diagram->nodes[i].hi ^ flip] = marks[diagram->nodes[i].lo ^ flip] = 1;
  return marks;
}

static guint32
minimal_of_node (BlNodeTable *table,
                 const BlTableNode *node,
                 guint32 flip,
                 const guint32 *minimal,
                 LevelState state)
{
  guint32 hi = minimal[node->hi ^ flip], lo = minimal[node->lo ^ flip];
  if (state == HELD_TRUE || state == HELD_FALSE)
    return state == HELD_TRUE ? hi : lo;
  if (state == FREE_FLIPPED)
    return make (table, node->level, remove_covered (table, lo, hi, 0), hi);
  return make (table, node->level, remove_covered (table, hi, lo, 0), lo);
}

/* Copies what root reaches, so that the tables of the work can go. */
static void
keep (Family *family, const BlNodeTable *table, guint32 root)
{
  g_autofree guint32 *place = g_new0 (guint32, table->n_nodes);
  place[root] = 1;
  for (guint32 i = table->n_nodes; i-- > 2;)
    if (place[i] != 0)
      place[table->nodes[i].hi] = place[table->nodes[i].lo] = 1;
  guint32 n = 2;
  place[NONE] = NONE;
  place[EMPTY] = EMPTY;
  for (guint32 i = 2; i < table->n_nodes; i++)
    if (place[i] != 0)
      place[i] = n++;
  family->nodes = g_new0 (BlTableNode, n);
  family->n_nodes = n;
  family->root = place[root];
  for (guint32 i = 2; i < table->n_nodes; i++)
    if (place[i] != 0)
      family->nodes[place[i]] = (BlTableNode){ table->nodes[i].level, place[table->nodes[i].hi],
                                               place[table->nodes[i].lo] };
}

static gboolean
find_family (Search *search, guint part_index)
{
  const BlPart *part = bl_compiled_part (search->compiled, part_index);
  const BlDiagram *diagram = part->diagram;
  gsize own = (gsize) diagram->n_nodes * (2 + 2 * sizeof (guint32));
  if (search->used + own >= search->limit)
    return FALSE;
  g_autofree guint32 *minimal = g_new0 (guint32, (gsize) diagram->n_nodes * 2);
  g_autofree LevelState *states = g_new (LevelState, part->n_leaves + 1);
  for (guint i = 0; i < part->n_leaves; i++)
    states[i] = level_state (search, part->leaves[i]);
  /* of the whole the sets are asked for, whatever is true at rest */
  gboolean flipped = part->node != 0 && is_true_at_rest (diagram, states);
  BlEdge root = diagram->roots[0] ^ (flipped ? 1 : 0);
  g_autofree guint8 *marks = mark_edges (diagram, root);

  BlNodeTable table;
  bl_node_table_init (&table, 2, search->limit - search->used - own, G_MAXINT32 - 1);
  minimal[0] = EMPTY;
  minimal[1] = NONE;
  for (guint32 i = 1; i < diagram->n_nodes && !table.failed; i++)
    for (guint32 flip = 0; flip < 2; flip++)
      if (marks[i << 1 | flip])
        {
          minimal[i << 1 | flip] = minimal_of_node (&table, &diagram->nodes[i], flip, minimal,
                                                    states[diagram->nodes[i].level]);
          table.failed = table.failed || minimal[i << 1 | flip] == BL_TABLE_FAILED;
        }
  gboolean good = !table.failed;
  if (good)
    {
      search->families[part_index].flipped = flipped;
      keep (&search->families[part_index], &table, minimal[root]);
      search->used += (gsize) search->families[part_index].n_nodes * sizeof (BlTableNode);
    }
  bl_node_table_clear (&table);
  return good;
}

static guint
inner_part (const Search *search, const BlPart *part, guint level)
{
  return search->compiled->part_of[part->leaves[level]];
}

/* How many sets the part's family stands for. FALSE: beyond the limit. */
static gboolean
count_family (Search *search, guint part_index)
{
  const BlPart *part = bl_compiled_part (search->compiled, part_index);
  const Family *family = &search->families[part_index];
  g_autofree double *bits = g_new (double, family->n_nodes);
  bits[NONE] = -INFINITY;
  bits[EMPTY] = 0;
  for (guint32 i = 2; i < family->n_nodes; i++)
    {
      guint inner = inner_part (search, part, family->nodes[i].level);
      double with = bits[family->nodes[i].hi];
      with += inner != 0 ? bl_count_bits (&search->counts[inner - 1]) : 0;
      double most = MAX (with, bits[family->nodes[i].lo]);
      double least = MIN (with, bits[family->nodes[i].lo]);
      bits[i] = most + (least > -INFINITY ? log2 (1 + exp2 (least - most)) : 0);
    }
  /* The bound is raised by its own rounding, a bit for safety and the bit of the number itself. */
  double most_bits = MAX (bits[family->root], 0) * (1 + 1e-9) + 3;
  guint width = (guint) (most_bits / 32) + 1;
  if (search->used + (gsize) family->n_nodes * width * sizeof (guint32) > search->limit)
    return FALSE;
  g_autofree guint32 *limbs = g_new0 (guint32, (gsize) family->n_nodes * width);
  limbs[(gsize) EMPTY * width] = 1;
  for (guint32 i = 2; i < family->n_nodes; i++)
    {
      guint32 *sum = limbs + (gsize) i * width;
      const guint32 *with = limbs + (gsize) family->nodes[i].hi * width;
      guint inner = inner_part (search, part, family->nodes[i].level);
      bl_limbs_add_product (sum, with, width, inner != 0 ? &search->counts[inner - 1] : NULL);
      bl_limbs_add (sum, limbs + (gsize) family->nodes[i].lo * width, width);
    }
  bl_count_set (&search->counts[part_index], limbs + (gsize) family->root * width, width);
  return TRUE;
}

static guint
add_orders (guint a, guint b)
{
  return a > G_MAXUINT - 1 - b || a == G_MAXUINT || b == G_MAXUINT ? G_MAXUINT : a + b;
}

static void
find_least (Search *search, guint part_index)
{
  const BlPart *part = bl_compiled_part (search->compiled, part_index);
  Family *family = &search->families[part_index];
  family->least = g_new (guint, family->n_nodes);
  family->least[NONE] = G_MAXUINT;
  family->least[EMPTY] = 0;
  for (guint32 i = 2; i < family->n_nodes; i++)
    {
      guint inner = inner_part (search, part, family->nodes[i].level);
      guint own = 1;
      if (inner != 0)
        own = search->families[inner - 1].least[search->families[inner - 1].root];
      family->least[i] = MIN (family->least[family->nodes[i].lo],
                              add_orders (own, family->least[family->nodes[i].hi]));
    }
}

/* Lists a part's sets up to the order asked for. */
typedef struct
{
  const Search *search;
  const BlPart *part;
  const Family *family;
  GArray *members; /* guint tree nodes of the set at hand */
  GPtrArray *sets;
  gsize most;
} Lister;

static gboolean list_sets (Lister *lister, guint32 node);

static gboolean
list_with (Lister *lister, guint32 node)
{
  const BlTableNode *at = &lister->family->nodes[node];
  guint inner = inner_part (lister->search, lister->part, at->level);
  guint before = lister->members->len;
  if (inner == 0)
    {
      const BlGraph *graph = lister->search->compiled->graph;
      guint member = bl_graph_node (graph, lister->part->leaves[at->level])->tree_node;
      g_array_append_val (lister->members, member);
      gboolean good = list_sets (lister, at->hi);
      g_array_set_size (lister->members, before);
      return good;
    }
  const GPtrArray *sets = lister->search->families[inner - 1].sets;
  for (guint i = 0; i < sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (sets, i);
      if (add_orders (before + set->len, lister->family->least[at->hi]) > lister->search->order)
        break;
      g_array_append_vals (lister->members, set->data, set->len);
      gboolean good = list_sets (lister, at->hi);
      g_array_set_size (lister->members, before);
      if (!good)
        return FALSE;
    }
  return TRUE;
}

static gboolean
list_sets (Lister *lister, guint32 node)
{
  guint order = lister->search->order, before = lister->members->len;
  for (; node > EMPTY; node = lister->family->nodes[node].lo)
    {
      if (add_orders (before, lister->family->least[node]) > order)
        return TRUE;
      if (!list_with (lister, node))
        return FALSE;
    }
  if (node == NONE || before > order)
    return TRUE;
  if (lister->sets->len >= lister->most)
    return FALSE;
  GArray *set = g_array_sized_new (FALSE, FALSE, sizeof (guint), before);
  g_array_append_vals (set, lister->members->data, before);
  g_ptr_array_add (lister->sets, set);
  return TRUE;
}

static int
compare_members (gconstpointer a, gconstpointer b)
{
  guint left = *(const guint *) a, right = *(const guint *) b;
  return left < right ? -1 : left > right;
}

static int
compare_sets (gconstpointer a, gconstpointer b)
{
  const GArray *left = *(GArray *const *) a, *right = *(GArray *const *) b;
  if (left->len != right->len)
    return left->len < right->len ? -1 : 1;
  for (guint i = 0; i < left->len; i++)
    {
      guint x = g_array_index (left, guint, i), y = g_array_index (right, guint, i);
      if (x != y)
        return x < y ? -1 : 1;
    }
  return 0;
}

static gboolean
list_family (Search *search, guint part_index)
{
  Family *family = &search->families[part_index];
  find_least (search, part_index);
  family->sets = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  g_autoptr (GArray) members = g_array_new (FALSE, FALSE, sizeof (guint));
  gsize left = search->limit > search->used ? search->limit - search->used : 0;
  Lister lister = { search,       bl_compiled_part (search->compiled, part_index),
                    family,       members,
                    family->sets, left / BYTES_PER_SET };
  if (!list_sets (&lister, family->root))
    return FALSE;
  search->used += (gsize) family->sets->len * BYTES_PER_SET;
  for (guint i = 0; i < family->sets->len; i++)
    g_array_sort (g_ptr_array_index (family->sets, i), compare_members);
  g_ptr_array_sort (family->sets, compare_sets);
  return TRUE;
}

static gboolean
refuse (guint order, const char *what, GError **error)
{
  if (order == 0)
    return TRUE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD, "%s", what);
  return FALSE;
}

gboolean
bl_cut_sets_find (const BlCompiled *compiled,
                  const gint8 *known,
                  guint order,
                  gsize limit,
                  BlTreeResult *result,
                  GError **error)
{
  guint n = compiled->parts->len;
  g_auto (Search) search = { .compiled = compiled, .known = known, .order = order, .limit = limit };
  search.used = bl_compiled_bytes (compiled);
  search.families = g_new0 (Family, n);
  search.counts = g_new0 (BlCount, n);
  for (guint i = 0; i < n; i++)
    if (!find_family (&search, i) || !count_family (&search, i))
      return refuse (order, _ ("the minimal cut sets need more than the memory allowed"), error);
  for (guint i = 0; order > 0 && i < n; i++)
    if (!list_family (&search, i))
      return refuse (order, _ ("there are too many minimal cut sets up to this order to list them"),
                     error);
  result->cut_set_count = bl_count_to_string (&search.counts[n - 1]);
  if (order > 0)
    result->cut_sets = g_steal_pointer (&search.families[n - 1].sets);
  return TRUE;
}
