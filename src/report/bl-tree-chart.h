/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* What is known of a node of the tree besides its place in it. */
typedef struct
{
  double odds;     /* now; NAN: nothing is said */
  double prior;    /* before anything was read; NAN: nothing is said */
  int shape;       /* BlShape of the readings that bear on it; -1: none do */
  guint n_readings;
} BlChartFact;

/* A node as it is drawn: a gate with its words, a basic event, or a reference to a gate that is drawn
 * elsewhere. */
typedef struct
{
  guint node;        /* of the tree */
  int parent;        /* item it leads to; -1: the top */
  GArray *children;  /* guint items, in order of the document; of a leaf and of a reference empty */
  int target;        /* a reference: the item that is drawn in full; -1: this is no reference */
  guint n_events;    /* of a gate: different basic events below it */
  gboolean likely;   /* on the way from the leading suspect to the top */
  gboolean open;     /* of a gate: its children are shown */
  gboolean shown;    /* has a place, below */
  double x, y, w, h; /* px */
} BlChartItem;

/* A fault tree arranged for drawing: causes left, effect right. A gate that is reached on several ways is
 * drawn on the first one and referred to on the others; a basic event is drawn on each. Gates that say
 * nothing of their own are left out. No display needed. */
typedef struct
{
  const BlTree *tree;    /* must outlive the chart */
  GArray *items;         /* BlChartItem, parents before children; the first is the top */
  BlChartFact *facts;    /* of each node of the tree */
  int *item_of;          /* of each node the item that is drawn in full, or that it was left out into; -1: none */
  double width, height;  /* px, of what is shown */
} BlTreeChart;

#define bl_chart_item(chart, i) (&g_array_index ((chart)->items, BlChartItem, (i)))

/* facts: of each node (NULL: nothing is known), copied. leading: node of the likeliest basic event, -1:
 * none. Everything is folded but the top and the way to the leading event. (transfer full) */
BlTreeChart *bl_tree_chart_new (const BlTree *tree, const BlChartFact *facts, int leading);
void bl_tree_chart_free (BlTreeChart *chart);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTreeChart, bl_tree_chart_free)

/* Facts of each node from a result with node_probability and node_posterior: odds given the top, and
 * without it. leading (may be NULL): the likeliest event that is a cause, -1: none. (transfer full) */
BlChartFact *bl_chart_facts (const BlTree *tree, const BlTreeResult *result, int *leading);

/* New facts of the same tree, and another leading event; what is folded stays so. */
void bl_tree_chart_update (BlTreeChart *chart, const BlChartFact *facts, int leading);
/* Folds all but the top and the way to the leading event; unfolds everything. */
void bl_tree_chart_fold (BlTreeChart *chart);
void bl_tree_chart_unfold (BlTreeChart *chart);
/* Unfolds what stands between the item and the top. */
void bl_tree_chart_uncover (BlTreeChart *chart, guint item);

/* Gives every item that is to be seen its place, from (0, 0). */
void bl_tree_chart_arrange (BlTreeChart *chart);
/* The same of what is below root only, and of its children only those from first on, count of them. */
void bl_tree_chart_arrange_part (BlTreeChart *chart, guint root, guint first, guint count);

/* The item shown at a place; -1: none. */
int bl_tree_chart_hit (const BlTreeChart *chart, double x, double y);

/* Where a step along the tree leads from an item: what is shown there, the item itself when nothing. */
typedef enum
{
  BL_CHART_TO_EFFECT, /* to the right */
  BL_CHART_TO_CAUSE,  /* to the left: the likely child, else the middle one */
  BL_CHART_UP,        /* the next one above in the same column, whoever its parent is */
  BL_CHART_DOWN,
  BL_CHART_FIRST,     /* the first and the last child of its parent */
  BL_CHART_LAST
} BlChartStep;
guint bl_tree_chart_step (const BlTreeChart *chart, guint item, BlChartStep step);

/* The sign in the box of a gate, as IEC 60617-12 has them (from memory): "≥1", "&", "=1", "1", "≥k".
 * (transfer full) */
char *bl_chart_sign (const BlNode *node);
/* What a node is called where it is drawn. (transfer none) */
const char *bl_chart_name (const BlNode *node);
/* All that is drawn of an item as one sentence, for who cannot see it. (transfer full) */
char *bl_tree_chart_words (const BlTreeChart *chart, guint item);

/* Items whose name or component begins with text, or whose name holds it, case aside: the best first.
 * (transfer full) guint items */
GArray *bl_tree_chart_find (const BlTreeChart *chart, const char *text);

G_END_DECLS
