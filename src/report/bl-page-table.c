/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of text on the sheets of a report: columns by shares of the width, so that they hold on either paper. One table
 * at a time. Rows are laid out before they are drawn, since their height decides where the page ends. */
#include "config.h"

#include "bl-page-table.h"

#include <string.h>

#define MOST_COLUMNS 8
#define PAD 2.5 /* above and below a row */
#define LEAST_PAINTED 23.0 /* height of a row in which something is painted */

void
bl_table_place (const BlPage *page, guint column, double *x, double *w)
{
  double at = page->x;

  g_return_if_fail (column < page->n_columns);
  for (guint i = 0; i < column; i++)
    at += page->columns[i].share * page->w;
  *x = at;
  *w = page->columns[column].share * page->w - (column + 1 < page->n_columns ? BL_TABLE_GAP : 0);
}

static void
draw_heads (BlPage *page)
{
  BlPageText style = { .size = 8, .colour = &page->palette->muted };
  double most = 0;

  for (guint i = 0; i < page->n_columns; i++)
    {
      double x, height;
      bl_table_place (page, i, &x, &style.width);
      style.align = page->columns[i].align;
      height = bl_page_text_at (page, x, page->y, &style, page->columns[i].head);
      most = MAX (most, height);
    }
  page->y += most + 2;
  bl_page_line (page, page->y, &page->palette->hairline, 0.6);
}

void
bl_table_begin (BlPage *page, const BlTableColumn *columns, guint n, double below)
{
  g_return_if_fail (n <= MOST_COLUMNS);
  page->columns = columns;
  page->n_columns = n;
  bl_page_need (page, 14 + below);
  draw_heads (page);
  page->table_head = draw_heads;
}

void
bl_table_end (BlPage *page)
{
  page->table_head = NULL;
}

#define SMALL 7.5

static guint16
channel (double value)
{
  return (guint16) CLAMP (value * 65535 + 0.5, 0, 65535);
}

static PangoLayout *
cell_layout (BlPage *page, const BlTableCell *cell, double width, PangoAlignment align)
{
  const BlPageText style = {
    .size = BL_TABLE_SIZE, .weight = cell->weight, .struck = cell->struck, .align = align, .width = width
  };
  const char *text = cell->text != NULL ? cell->text : "";
  gboolean more = cell->below != NULL && cell->below[0] != '\0';
  g_autofree char *both = more ? g_strconcat (text, "\n", cell->below, NULL) : NULL;
  PangoLayout *layout = bl_page_layout (page, &style, more ? both : text);
  const BlColour *muted = &page->palette->muted;
  PangoAttribute *size = pango_attr_size_new_absolute ((int) (SMALL * PANGO_SCALE)), *colour, *weight;
  PangoAttrList *list;

  size->start_index = (guint) strlen (text);
  if (!more)
    {
      pango_attribute_destroy (size);
      return layout;
    }
  list = pango_attr_list_copy (pango_layout_get_attributes (layout));
  colour = pango_attr_foreground_new (channel (muted->red), channel (muted->green), channel (muted->blue));
  weight = pango_attr_weight_new (PANGO_WEIGHT_NORMAL);
  colour->start_index = weight->start_index = size->start_index;
  pango_attr_list_insert (list, size);
  pango_attr_list_insert (list, colour);
  pango_attr_list_insert (list, weight);
  pango_layout_set_attributes (layout, list);
  pango_attr_list_unref (list);
  return layout;
}

/* Draws lines of a cell from where its iterator stands down to bottom. TRUE when all are drawn. */
static gboolean
draw_part (BlPage *page, PangoLayoutIter *iter, const BlColour *colour, double x, double bottom, double *end)
{
  double y = page->y + PAD;

  for (;;)
    {
      PangoRectangle logical;
      double height;
      pango_layout_iter_get_line_extents (iter, NULL, &logical);
      height = (double) logical.height / PANGO_SCALE;
      if (y + height > bottom && y > page->y + PAD)
        return FALSE;
      bl_set_source (page->cr, colour != NULL ? colour : &page->palette->ink);
      cairo_move_to (page->cr, x + (double) logical.x / PANGO_SCALE,
                     y + (double) (pango_layout_iter_get_baseline (iter) - logical.y) / PANGO_SCALE);
      pango_cairo_show_layout_line (page->cr, pango_layout_iter_get_line_readonly (iter));
      y += height;
      *end = MAX (*end, y);
      if (!pango_layout_iter_next_line (iter))
        return TRUE;
    }
}

void
bl_table_row (BlPage *page, const BlTableCell *cells, void (*paint) (BlPage *page, double y, double h, gpointer data),
              gpointer data)
{
  PangoLayout *layouts[MOST_COLUMNS];
  PangoLayoutIter *iters[MOST_COLUMNS];
  double x[MOST_COLUMNS], most = 0;
  guint n = page->n_columns, left = n;

  for (guint i = 0; i < n; i++)
    {
      double w;
      int height;
      bl_table_place (page, i, &x[i], &w);
      layouts[i] = cell_layout (page, &cells[i], w, page->columns[i].align);
      iters[i] = pango_layout_get_iter (layouts[i]);
      pango_layout_get_size (layouts[i], NULL, &height);
      most = MAX (most, (double) height / PANGO_SCALE);
    }
  most = MAX (most, paint != NULL ? LEAST_PAINTED - 2 * PAD : 0);
  bl_page_need (page, MIN (most + 2 * PAD, page->bottom - BL_PAGE_MARGIN - 20));
  if (paint != NULL)
    paint (page, page->y, MIN (most + 2 * PAD, page->bottom - page->y), data);
  while (left > 0)
    {
      double end = page->y + PAD + (paint != NULL && left == n ? LEAST_PAINTED - 2 * PAD : 0);
      for (guint i = 0; i < n; i++)
        if (iters[i] != NULL && draw_part (page, iters[i], cells[i].colour, x[i], page->bottom, &end))
          {
            g_clear_pointer (&iters[i], pango_layout_iter_free);
            left--;
          }
      page->y = end + PAD;
      if (left > 0)
        bl_page_break (page);
    }
  for (guint i = 0; i < n; i++)
    g_object_unref (layouts[i]);
  bl_page_line (page, page->y, &page->palette->hairline, 0.3);
}
