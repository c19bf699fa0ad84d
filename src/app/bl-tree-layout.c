/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Layout of a fault tree.
 *
 * A board's tree is a graph: an event may be reached on many ways and there may be hundreds of them.
 * Drawn is a tree of what matters: each event once, on its first way; gates with one visible child are
 * passed over unless they say something (a stage); what lies deeper than the columns allow, or does
 * not fit the rows, is folded into one leaf that says how many. Which events are shown is decided by
 * their odds. Gates stand at the middle of their children. Trees of some thousand nodes. */
#include "config.h"

#include "bl-tree-layout.h"

#define GATE_W 28.0
#define GATE_H 34.0
#define COLUMN 62.0 /* px from gate to gate */

typedef struct Drawn Drawn;
struct Drawn
{
  guint node;
  guint folded;
  gboolean leaf;
  GArray *events;    /* of what is folded: guint nodes; NULL: nothing is */
  guint best;        /* node of the likeliest event below */
  double best_odds;
  GPtrArray *children; /* Drawn */
};

static void
drawn_free (gpointer data)
{
  Drawn *drawn = data;
  g_clear_pointer (&drawn->children, g_ptr_array_unref);
  g_clear_pointer (&drawn->events, g_array_unref);
  g_free (drawn);
}

static Drawn *
drawn_new (guint node, gboolean leaf)
{
  Drawn *drawn = g_new0 (Drawn, 1);
  drawn->node = node;
  drawn->leaf = leaf;
  drawn->children = g_ptr_array_new_with_free_func (drawn_free);
  return drawn;
}

static const BlNode *
node_at (const BlTree *tree, guint index)
{
  return g_ptr_array_index (tree->nodes, index);
}

static double
odds_at (const double *odds, guint node)
{
  return odds != NULL && !isnan (odds[node]) ? odds[node] : 0;
}

static int
by_odds (gconstpointer a, gconstpointer b)
{
  const Drawn *first = *(const Drawn *const *) a, *second = *(const Drawn *const *) b;
  return first->best_odds < second->best_odds ? 1 : first->best_odds > second->best_odds ? -1 : 0;
}

/* Takes what is known of the children up into drawn. */
static void
sum_up (Drawn *drawn)
{
  drawn->best_odds = -1;
  for (guint i = 0; i < drawn->children->len; i++)
    {
      const Drawn *child = g_ptr_array_index (drawn->children, i);
      if (child->best_odds > drawn->best_odds)
        {
          drawn->best_odds = child->best_odds;
          drawn->best = child->best;
        }
    }
}

/* An OR below an OR says nothing of its own unless it stands for another stage. */
static gboolean
merges (const BlTree *tree, const BlNode *parent, const Drawn *child)
{
  const BlNode *node = node_at (tree, child->node);

  return !child->leaf && parent->kind == BL_NODE_OR && node->kind == BL_NODE_OR
         && (node->stage == NULL || parent->stage == NULL || g_str_equal (node->stage, parent->stage));
}

static void
take_children (Drawn *drawn, Drawn *child)
{
  while (child->children->len > 0)
    g_ptr_array_add (drawn->children, g_ptr_array_steal_index (child->children, 0));
  drawn_free (child);
}

static Drawn *
build (const BlTree *tree, const double *odds, guint index, gboolean *seen, guint *n_events)
{
  const BlNode *node = node_at (tree, index);
  Drawn *drawn;

  if (seen[index])
    return NULL;
  seen[index] = TRUE;
  if (node->children == NULL || node->children->len == 0)
    {
      if (node->kind == BL_NODE_CONST)
        return NULL;
      drawn = drawn_new (index, TRUE);
      drawn->best_odds = odds_at (odds, index);
      drawn->best = index;
      (*n_events)++;
      return drawn;
    }
  drawn = drawn_new (index, FALSE);
  for (guint i = 0; i < node->children->len; i++)
    {
      Drawn *child = build (tree, odds, g_array_index (node->children, guint, i), seen, n_events);
      if (child != NULL && merges (tree, node, child))
        take_children (drawn, child);
      else if (child != NULL)
        g_ptr_array_add (drawn->children, child);
    }
  if (drawn->children->len == 0)
    {
      drawn_free (drawn);
      return NULL;
    }
  sum_up (drawn);
  g_ptr_array_sort (drawn->children, by_odds);
  if (drawn->children->len == 1 && index != tree->top)
    {
      Drawn *only = g_ptr_array_steal_index (drawn->children, 0);
      drawn_free (drawn);
      return only;
    }
  return drawn;
}

static guint
count_events (const Drawn *drawn)
{
  guint n = drawn->leaf ? MAX (drawn->folded, 1) : 0;

  for (guint i = 0; i < drawn->children->len; i++)
    n += count_events (g_ptr_array_index (drawn->children, i));
  return n;
}

static guint
count_leaves (const Drawn *drawn)
{
  guint n = drawn->leaf ? 1 : 0;

  for (guint i = 0; i < drawn->children->len; i++)
    n += count_leaves (g_ptr_array_index (drawn->children, i));
  return n;
}

/* The basic events of a leaf, or of all leaves below. */
static void
gather_events (const Drawn *drawn, GArray *events)
{
  if (drawn->events != NULL)
    g_array_append_vals (events, drawn->events->data, drawn->events->len);
  else if (drawn->leaf)
    g_array_append_val (events, drawn->node);
  for (guint i = 0; i < drawn->children->len; i++)
    gather_events (g_ptr_array_index (drawn->children, i), events);
}

/* Two leaves become one. */
static void
merge_leaves (Drawn *into, const Drawn *from)
{
  GArray *events = g_array_new (FALSE, FALSE, sizeof (guint));

  gather_events (into, events);
  gather_events (from, events);
  g_clear_pointer (&into->events, g_array_unref);
  into->events = events;
  into->folded = MAX (into->folded, 1) + MAX (from->folded, 1);
}

static void
fold (Drawn *drawn)
{
  GArray *events = g_array_new (FALSE, FALSE, sizeof (guint));

  gather_events (drawn, events);
  drawn->folded = count_events (drawn);
  drawn->events = events;
  drawn->leaf = TRUE;
  g_ptr_array_set_size (drawn->children, 0);
}

static void
fold_deep (Drawn *drawn, guint depth, guint most)
{
  if (drawn->leaf)
    return;
  if (depth >= most)
    {
      fold (drawn);
      return;
    }
  for (guint i = 0; i < drawn->children->len; i++)
    fold_deep (g_ptr_array_index (drawn->children, i), depth + 1, most);
}

/* Folds the least likely pair of leaves under one gate, or a gate's only leaf, until rows suffice. */
static gboolean
fold_one (Drawn *drawn, guint rows)
{
  Drawn *gate = NULL;
  double least = INFINITY;
  g_autoptr (GPtrArray) stack = g_ptr_array_new ();

  if (count_leaves (drawn) <= rows)
    return FALSE;
  g_ptr_array_add (stack, drawn);
  while (stack->len > 0)
    {
      Drawn *top = g_ptr_array_steal_index (stack, stack->len - 1);
      guint leaves = 0;
      for (guint i = 0; i < top->children->len; i++)
        {
          Drawn *child = g_ptr_array_index (top->children, i);
          leaves += child->leaf;
          if (!child->leaf)
            g_ptr_array_add (stack, child);
        }
      if (top->leaf || top->children->len == 0)
        continue;
      const Drawn *last = g_ptr_array_index (top->children, top->children->len - 1);
      gboolean pair = top->children->len >= 2 && last->leaf
                      && ((Drawn *) g_ptr_array_index (top->children, top->children->len - 2))->leaf;
      if ((pair || leaves == top->children->len) && last->best_odds < least && (pair || top != drawn))
        {
          least = last->best_odds;
          gate = top;
        }
    }
  if (gate == NULL)
    return FALSE;
  guint n = gate->children->len;
  if (n < 3 && gate != drawn)
    {
      fold (gate);
      return TRUE;
    }
  if (n < 2)
    return FALSE;
  Drawn *last = g_ptr_array_steal_index (gate->children, n - 1);
  Drawn *before = g_ptr_array_index (gate->children, n - 2);
  merge_leaves (before, last);
  drawn_free (last);
  return TRUE;
}

static guint
depth_of (const Drawn *drawn)
{
  guint deepest = 0;

  for (guint i = 0; i < drawn->children->len; i++)
    deepest = MAX (deepest, depth_of (g_ptr_array_index (drawn->children, i)));
  return drawn->leaf ? 0 : 1 + deepest;
}

typedef struct
{
  const BlTree *tree;
  const double *odds;
  GArray *boxes;
  double row, leaf_w, gates_right, column, next_y;
} Placing;

static int
by_node (gconstpointer a, gconstpointer b)
{
  const guint *first = a, *second = b;
  return *first < *second ? -1 : *first > *second;
}

/* The own events among those folded, in the order of the tree. (transfer full) */
static char **
name_events (const BlTree *tree, GArray *events)
{
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();

  g_array_sort (events, by_node);
  for (guint i = 0; i < events->len; i++)
    {
      const BlNode *node = node_at (tree, g_array_index (events, guint, i));
      g_autofree char *name = NULL;
      if (node->component == NULL || node->mode == NULL)
        continue;
      name = g_strdup_printf ("%s:%s", node->component, node->mode);
      g_strv_builder_add (names, name);
    }
  return g_strv_builder_end (names);
}

/* Places drawn and all below it; returns the index of its box. */
static int
place (Placing *placing, const Drawn *drawn, int parent, guint depth, gboolean likely)
{
  BlTreeBox box = { drawn->node, parent, drawn->leaf, drawn->folded, likely, drawn->best_odds < 0.01,
                    drawn->leaf && drawn->events == NULL && placing->odds != NULL ? placing->odds[drawn->node] : NAN,
                    drawn->events != NULL ? name_events (placing->tree, drawn->events) : NULL, 0, 0, 0, 0 };
  int index = (int) placing->boxes->len;
  double first = NAN, last = NAN;

  g_array_append_val (placing->boxes, box);
  for (guint i = 0; i < drawn->children->len; i++)
    {
      const Drawn *child = g_ptr_array_index (drawn->children, i);
      int at = place (placing, child, index, depth + 1, likely && child->best == drawn->best
                                                           && child->best_odds == drawn->best_odds);
      const BlTreeBox *placed = &g_array_index (placing->boxes, BlTreeBox, at);
      last = placed->y + placed->h / 2;
      if (i == 0)
        first = last;
    }
  BlTreeBox *own = &g_array_index (placing->boxes, BlTreeBox, index);
  if (drawn->leaf)
    {
      own->x = 0;
      own->y = placing->next_y;
      own->w = placing->leaf_w;
      own->h = placing->row;
      placing->next_y += placing->row;
      return index;
    }
  own->w = GATE_W;
  own->h = GATE_H;
  own->x = placing->gates_right - GATE_W - depth * placing->column;
  own->y = (first + last) / 2 - GATE_H / 2;
  return index;
}

/* Gates of one column must not overlap: they are pushed down, their leaves stay. */
static void
part_gates (GArray *boxes)
{
  for (guint i = 0; i < boxes->len; i++)
    for (guint k = 0; k < i; k++)
      {
        BlTreeBox *a = &g_array_index (boxes, BlTreeBox, k), *b = &g_array_index (boxes, BlTreeBox, i);
        if (a->leaf || b->leaf || ABS (a->x - b->x) > 1 || ABS (a->y - b->y) >= GATE_H + 4)
          continue;
        if (b->y >= a->y)
          b->y = a->y + GATE_H + 4;
        else
          a->y = b->y + GATE_H + 4;
      }
}

static void
box_clear (gpointer data)
{
  g_clear_pointer (&((BlTreeBox *) data)->events, g_strfreev);
}

BlTreeLayout *
bl_tree_layout_new (const BlTree *tree, const double *odds, double width, double height, double row, double leaf_w,
                    double effect_w)
{
  g_return_val_if_fail (tree != NULL && row > 0, NULL);
  BlTreeLayout *layout = g_new0 (BlTreeLayout, 1);
  g_autofree gboolean *seen = g_new0 (gboolean, tree->nodes->len + 1);
  Drawn *top = build (tree, odds, tree->top, seen, &layout->n_events);
  double room = width - leaf_w - effect_w - 24;
  guint columns = (guint) CLAMP (room / COLUMN, 1, 8), rows = (guint) MAX (1, height / row);

  layout->boxes = g_array_new (FALSE, FALSE, sizeof (BlTreeBox));
  g_array_set_clear_func (layout->boxes, box_clear);
  layout->effect_w = effect_w;
  layout->effect_h = MIN (height, 78);
  layout->effect_x = width - effect_w;
  if (top == NULL)
    return layout;
  fold_deep (top, 0, columns);
  while (fold_one (top, rows))
    ;
  guint depth = MAX (1, depth_of (top));
  Placing placing
    = { tree, odds, layout->boxes, row, leaf_w, layout->effect_x - 22, MIN (room / depth, 1.4 * COLUMN), 0 };
  double used = count_leaves (top) * row;
  placing.next_y = MAX (0, (height - used) / 2);
  place (&placing, top, -1, 0, top->best_odds > 0);
  part_gates (layout->boxes);
  const BlTreeBox *first = &g_array_index (layout->boxes, BlTreeBox, 0);
  layout->effect_y = CLAMP (first->y + first->h / 2 - layout->effect_h / 2, 0, MAX (0, height - layout->effect_h));
  drawn_free (top);
  return layout;
}

void
bl_tree_layout_free (BlTreeLayout *layout)
{
  if (layout == NULL)
    return;
  g_array_unref (layout->boxes);
  g_free (layout);
}
