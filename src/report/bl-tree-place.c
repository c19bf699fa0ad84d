/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the items of a drawn fault tree go.
 *
 * Every item owns a band as high as itself or as its children together, whichever is more, and stands in
 * the middle of it: so nothing overlaps whatever is unfolded, the order never changes, and folding
 * brings back exactly what was there before. Columns go by depth, the effect in the last one. One pass
 * over the items; nothing is measured, so no fonts are needed. */
#include "config.h"

#include <math.h>

#include "bl-tree-chart.h"
#include "bl-tree-draw.h"

#define COLUMN (BL_CHART_GATE_W + 34.0)
#define GAP 4.0

typedef struct
{
  BlTreeChart *chart;
  double *band; /* of each item: height */
  guint deepest, part, first, last;
} Placing;

static gboolean
has_place_for (const Placing *placing, guint item, guint child)
{
  return item != placing->part || (child >= placing->first && child < placing->last);
}

/* Without fonts: long names are told by their letters. */
static void
size_of (const BlTreeChart *chart, BlChartItem *item)
{
  const BlNode *node = g_ptr_array_index (chart->tree->nodes, item->node);

  item->w = BL_CHART_LEAF_W;
  item->h = BL_CHART_LEAF_H;
  if (item->children->len > 0 || item->target >= 0)
    {
      item->w = BL_CHART_GATE_W;
      item->h = BL_CHART_GATE_H;
    }
  else if (g_utf8_strlen (bl_chart_name (node), -1) > BL_CHART_LONG)
    item->h = BL_CHART_TALL_H;
}

static double
measure (Placing *placing, guint index, guint depth)
{
  BlChartItem *item = bl_chart_item (placing->chart, index);
  double below = 0;

  item->shown = TRUE;
  size_of (placing->chart, item);
  placing->deepest = MAX (placing->deepest, depth);
  for (guint i = 0; item->open && i < item->children->len; i++)
    if (has_place_for (placing, index, i))
      below += measure (placing, g_array_index (item->children, guint, i), depth + 1);
  placing->band[index] = MAX (item->h + GAP, below);
  return placing->band[index];
}

static void
settle (Placing *placing, guint index, guint depth, double top)
{
  BlChartItem *item = bl_chart_item (placing->chart, index);
  double right = (placing->deepest - depth) * COLUMN + BL_CHART_GATE_W, y = top, below = 0;

  item->x = right - item->w;
  item->y = round (top + (placing->band[index] - item->h) / 2);
  for (guint i = 0; item->open && i < item->children->len; i++)
    if (has_place_for (placing, index, i))
      below += placing->band[g_array_index (item->children, guint, i)];
  y += (placing->band[index] - below) / 2;
  for (guint i = 0; item->open && i < item->children->len; i++)
    {
      guint child = g_array_index (item->children, guint, i);
      if (!has_place_for (placing, index, i))
        continue;
      settle (placing, child, depth + 1, y);
      y += placing->band[child];
    }
}

void
bl_tree_chart_arrange_part (BlTreeChart *chart, guint root, guint first, guint count)
{
  g_return_if_fail (chart != NULL && root < chart->items->len);
  guint last = count > G_MAXUINT - first ? G_MAXUINT : first + count;
  g_autofree double *band = g_new0 (double, chart->items->len);
  Placing placing = { chart, band, 0, root, first, last };

  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->shown = FALSE;
  chart->height = measure (&placing, root, 0);
  chart->width = placing.deepest * COLUMN + BL_CHART_GATE_W;
  settle (&placing, root, 0, 0);
}

void
bl_tree_chart_arrange (BlTreeChart *chart)
{
  bl_tree_chart_arrange_part (chart, 0, 0, G_MAXUINT);
}

int
bl_tree_chart_hit (const BlTreeChart *chart, double x, double y)
{
  g_return_val_if_fail (chart != NULL, -1);
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      if (item->shown && x >= item->x && x <= item->x + item->w && y >= item->y && y <= item->y + item->h)
        return (int) i;
    }
  return -1;
}

/* --- stepping along --- */

static guint
into_causes (const BlTreeChart *chart, guint index)
{
  const GArray *children = bl_chart_item (chart, index)->children;
  guint best = index;

  if (!bl_chart_item (chart, index)->open || children->len == 0)
    return index;
  best = g_array_index (children, guint, (children->len - 1) / 2);
  for (guint i = 0; i < children->len; i++)
    if (bl_chart_item (chart, g_array_index (children, guint, i))->likely)
      best = g_array_index (children, guint, i);
  return bl_chart_item (chart, best)->shown ? best : index;
}

/* The nearest one above or below in the same column. */
static guint
beside (const BlTreeChart *chart, guint index, int way)
{
  const BlChartItem *from = bl_chart_item (chart, index);
  double right = from->x + from->w, nearest = INFINITY;
  guint best = index;

  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      double step = (item->y + item->h / 2 - from->y - from->h / 2) * way;
      if (item->shown && ABS (item->x + item->w - right) < 1 && step > 0.5 && step < nearest)
        {
          nearest = step;
          best = i;
        }
    }
  return best;
}

static guint
sibling (const BlTreeChart *chart, guint index, gboolean last)
{
  int parent = bl_chart_item (chart, index)->parent;
  const GArray *siblings = parent >= 0 ? bl_chart_item (chart, parent)->children : NULL;

  return siblings != NULL ? g_array_index (siblings, guint, last ? siblings->len - 1 : 0) : index;
}

guint
bl_tree_chart_step (const BlTreeChart *chart, guint item, BlChartStep step)
{
  g_return_val_if_fail (chart != NULL && item < chart->items->len, 0);
  switch (step)
    {
    case BL_CHART_TO_EFFECT:
      return bl_chart_item (chart, item)->parent >= 0 ? (guint) bl_chart_item (chart, item)->parent : item;
    case BL_CHART_TO_CAUSE:
      return into_causes (chart, item);
    case BL_CHART_UP:
      return beside (chart, item, -1);
    case BL_CHART_DOWN:
      return beside (chart, item, 1);
    case BL_CHART_FIRST:
      return sibling (chart, item, FALSE);
    case BL_CHART_LAST:
    default:
      return sibling (chart, item, TRUE);
    }
}
