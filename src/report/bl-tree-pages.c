/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Splitting a drawn fault tree over pages.
 *
 * A page begins with a gate and shows as much below it as fits; what stays folded becomes a piece of its
 * own later on, and the gate says on which page. Pieces that fit together share a page. A gate with more
 * children than a page holds is continued. Breadth first, the way to the leading suspect before the rest.
 * Every attempt arranges the chart anew: some thousand items, some hundred attempts. */
#include "config.h"

#include "bl-tree-pages.h"

#include <string.h>

#define BETWEEN 26.0 /* px between pieces on a page */

typedef struct
{
  BlTreeChart *chart;
  double width, height;
  guint *pages;
  GPtrArray *pieces;
  GQueue roots; /* items */
  guint page;
  double y;     /* used of the page */
} Splitting;

static void
piece_free (gpointer data)
{
  BlTreePiece *piece = data;
  g_free (piece->open);
  g_free (piece);
}

static void
open_only (BlTreeChart *chart, guint root)
{
  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->open = i == root;
}

static gboolean
fits (const Splitting *splitting, guint root, guint first, guint count, double height)
{
  bl_tree_chart_arrange_part (splitting->chart, root, first, count);
  return splitting->chart->width <= splitting->width && splitting->chart->height <= height;
}

/* Opens one gate more where there is room. */
static gboolean
open_one (const Splitting *splitting, guint root, guint first, guint count, double height, guint8 *tried)
{
  BlTreeChart *chart = splitting->chart;

  for (int likely = 1; likely >= 0; likely--)
    for (guint i = 0; i < chart->items->len; i++)
      {
        BlChartItem *item = bl_chart_item (chart, i);
        if (!item->shown || item->open || item->children->len == 0 || tried[i] || item->likely != likely)
          continue;
        tried[i] = TRUE;
        item->open = TRUE;
        if (fits (splitting, root, first, count, height))
          return TRUE;
        item->open = FALSE;
        fits (splitting, root, first, count, height);
      }
  return FALSE;
}

static void
keep (Splitting *splitting, guint root, guint first, guint count)
{
  BlTreeChart *chart = splitting->chart;
  BlTreePiece *piece = g_new0 (BlTreePiece, 1);

  bl_tree_chart_arrange_part (chart, root, first, count);
  *piece = (BlTreePiece){ root, first, count, splitting->page, splitting->y, chart->width, chart->height,
                          g_new0 (guint8, chart->items->len) };
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      piece->open[i] = (guint8) item->open;
      if (!item->shown)
        continue;
      if (item->children->len > 0 && !item->open)
        g_queue_push_tail (&splitting->roots, GUINT_TO_POINTER (i));
      else if (splitting->pages[i] == 0)
        splitting->pages[i] = splitting->page;
    }
  splitting->y += chart->height + BETWEEN;
  g_ptr_array_add (splitting->pieces, piece);
}

static void
next_page (Splitting *splitting)
{
  if (splitting->y > 0)
    splitting->page++;
  splitting->y = 0;
}

/* All below root, when the rest of the page holds it. */
static gboolean
put_whole (Splitting *splitting, guint root)
{
  bl_tree_chart_unfold (splitting->chart);
  if (!fits (splitting, root, 0, G_MAXUINT, splitting->height - splitting->y))
    return FALSE;
  keep (splitting, root, 0, G_MAXUINT);
  return TRUE;
}

/* As many children from first on as a page holds, at least one. */
static guint
count_that_fits (Splitting *splitting, guint root, guint first)
{
  guint n = bl_chart_item (splitting->chart, root)->children->len - first, count = n;

  while (count > 1 && !fits (splitting, root, first, count, splitting->height))
    count--;
  return count;
}

static void
put_root (Splitting *splitting, guint root)
{
  g_autofree guint8 *tried = g_new0 (guint8, splitting->chart->items->len);
  guint first = 0, n = bl_chart_item (splitting->chart, root)->children->len;

  if (put_whole (splitting, root))
    return;
  next_page (splitting);
  if (put_whole (splitting, root))
    return;
  while (first < n)
    {
      open_only (splitting->chart, root);
      guint count = count_that_fits (splitting, root, first);
      fits (splitting, root, first, count, splitting->height);
      while (open_one (splitting, root, first, count, splitting->height, tried))
        ;
      keep (splitting, root, first, count);
      next_page (splitting);
      first += count;
    }
}

GPtrArray *
bl_tree_pages (BlTreeChart *chart, double width, double height, guint *pages)
{
  g_return_val_if_fail (chart != NULL && pages != NULL, NULL);
  Splitting splitting = {
    chart, width, height, pages, g_ptr_array_new_with_free_func (piece_free), G_QUEUE_INIT, 1, 0
  };

  memset (pages, 0, chart->items->len * sizeof *pages);
  g_queue_push_tail (&splitting.roots, GUINT_TO_POINTER (0));
  while (!g_queue_is_empty (&splitting.roots))
    put_root (&splitting, GPOINTER_TO_UINT (g_queue_pop_head (&splitting.roots)));
  return splitting.pieces;
}

void
bl_tree_piece_show (const BlTreePiece *piece, BlTreeChart *chart)
{
  g_return_if_fail (piece != NULL && chart != NULL);
  for (guint i = 0; i < chart->items->len; i++)
    bl_chart_item (chart, i)->open = piece->open[i];
  bl_tree_chart_arrange_part (chart, piece->root, piece->first, piece->count);
}
