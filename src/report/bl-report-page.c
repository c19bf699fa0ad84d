/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of the report: text by pango in points, page breaks, head and foot of each page.
 *
 * The report is drawn twice on the same code path: once to count the pages, once for good; so "page
 * 2 of 3" cannot disagree with what is there. Layout is top down, one column.
 *
 * Text may be in any script. Which way a paragraph runs follows from its first strong letter (UAX #9, rule P2), line by
 * line of the text, so a note in Hebrew stands at the right edge of its column. Where no font here has a letter it is
 * noted: whoever asked for the report is told which. */
#include "config.h"

#include "bl-report-page.h"

#include <glib/gi18n-lib.h>

#define FACE "Cantarell, Noto Sans, DejaVu Sans, Sans"
#define FOOT 30.0

/* --- text --- */

PangoContext *
bl_page_context_new (cairo_t *cr)
{
  PangoContext *context = pango_cairo_create_context (cr);

  pango_cairo_context_set_resolution (context, 72);
  pango_context_set_round_glyph_positions (context, FALSE); /* small letters would run together */
  return context;
}

static void
note_missing (BlPage *page, PangoLayout *layout)
{
  PangoLayoutIter *iter = pango_layout_get_iter (layout);

  do
    {
      const PangoGlyphItem *run = pango_layout_iter_get_run_readonly (iter);
      for (int i = 0; run != NULL && i < run->glyphs->num_glyphs; i++)
        {
          PangoGlyph glyph = run->glyphs->glyphs[i].glyph;
          if (glyph != PANGO_GLYPH_EMPTY && (glyph & PANGO_GLYPH_UNKNOWN_FLAG) != 0)
            g_hash_table_add (page->missing, GUINT_TO_POINTER (glyph & ~PANGO_GLYPH_UNKNOWN_FLAG));
        }
    }
  while (pango_layout_iter_next_run (iter));
  pango_layout_iter_free (iter);
}

PangoLayout *
bl_page_layout (BlPage *page, const BlPageText *style, const char *text)
{
  PangoLayout *layout = pango_layout_new (page->context);
  PangoFontDescription *font = pango_font_description_from_string (FACE);
  PangoAttrList *attributes = pango_attr_list_new ();

  pango_font_description_set_absolute_size (font, style->size * PANGO_SCALE);
  pango_font_description_set_weight (font,
                                     style->weight != 0 ? style->weight : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  if (style->struck)
    pango_attr_list_insert (attributes, pango_attr_strikethrough_new (TRUE));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  if (style->width > 0)
    {
      pango_layout_set_width (layout, (int) (style->width * PANGO_SCALE));
      pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
      if (style->one_line)
        pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
    }
  pango_layout_set_alignment (layout, style->align);
  pango_layout_set_text (layout, text != NULL ? text : "", -1);
  if (page->missing != NULL && pango_layout_get_unknown_glyphs_count (layout) > 0)
    note_missing (page, layout);
  return layout;
}

double
bl_page_text_at (BlPage *page, double x, double y, const BlPageText *style, const char *text)
{
  g_autoptr (PangoLayout) layout = bl_page_layout (page, style, text);
  int height;

  bl_set_source (page->cr, style->colour != NULL ? style->colour : &page->palette->ink);
  cairo_move_to (page->cr, x, y);
  pango_cairo_show_layout (page->cr, layout);
  pango_layout_get_size (layout, NULL, &height);
  return (double) height / PANGO_SCALE;
}

void
bl_page_measure (BlPage *page,
                 const BlPageText *style,
                 const char *text,
                 double *width,
                 double *height)
{
  g_autoptr (PangoLayout) layout = bl_page_layout (page, style, text);
  int w, h;

  pango_layout_get_size (layout, &w, &h);
  if (width != NULL)
    *width = (double) w / PANGO_SCALE;
  if (height != NULL)
    *height = (double) h / PANGO_SCALE;
}

/* The layout of a paragraph with the heights of its lines. (transfer full) */
static GArray *
line_heights (PangoLayout *layout)
{
  GArray *heights = g_array_new (FALSE, FALSE, sizeof (double));
  PangoLayoutIter *iter = pango_layout_get_iter (layout);

  do
    {
      PangoRectangle logical;
      double height;
      pango_layout_iter_get_line_extents (iter, NULL, &logical);
      height = (double) logical.height / PANGO_SCALE;
      g_array_append_val (heights, height);
    }
  while (pango_layout_iter_next_line (iter));
  pango_layout_iter_free (iter);
  return heights;
}

static void
draw_lines (BlPage *page, double x, PangoLayout *layout, const BlColour *colour, const GArray *heights)
{
  PangoLayoutIter *iter = pango_layout_get_iter (layout);
  guint i = 0;

  do
    {
      double height = g_array_index (heights, double, i);
      gboolean pair = i + 1 < heights->len && (i == 0 || (i + 2 == heights->len && heights->len > 3));
      PangoRectangle logical;
      bl_page_need (page, height + (pair ? g_array_index (heights, double, i + 1) : 0));
      pango_layout_iter_get_line_extents (iter, NULL, &logical);
      bl_set_source (page->cr, colour);
      cairo_move_to (page->cr, x + (double) logical.x / PANGO_SCALE,
                     page->y + (double) (pango_layout_iter_get_baseline (iter) - logical.y) / PANGO_SCALE);
      pango_cairo_show_layout_line (page->cr, pango_layout_iter_get_line_readonly (iter));
      page->y += height;
      i++;
    }
  while (pango_layout_iter_next_line (iter));
  pango_layout_iter_free (iter);
}

void
bl_page_paragraph (BlPage *page, double indent, const BlPageText *style, const char *text)
{
  BlPageText wrapped = *style;
  g_autoptr (PangoLayout) layout = NULL;
  g_autoptr (GArray) heights = NULL;

  wrapped.width = page->w - indent;
  layout = bl_page_layout (page, &wrapped, text);
  heights = line_heights (layout);
  draw_lines (page, page->x + indent, layout, style->colour != NULL ? style->colour : &page->palette->ink, heights);
}

double
bl_page_first_lines (BlPage *page, double indent, const BlPageText *style, const char *text)
{
  BlPageText wrapped = *style;
  g_autoptr (PangoLayout) layout = NULL;
  g_autoptr (GArray) heights = NULL;
  double sum = 0;

  wrapped.width = page->w - indent;
  layout = bl_page_layout (page, &wrapped, text);
  heights = line_heights (layout);
  for (guint i = 0; i < MIN (heights->len, 2); i++)
    sum += g_array_index (heights, double, i);
  return sum;
}

void
bl_page_heading (BlPage *page, const char *text, double below)
{
  const BlPageText style = { .size = 12, .weight = PANGO_WEIGHT_BOLD };

  bl_page_space (page, 12);
  bl_page_need (page, 22 + below);
  bl_page_line (page, page->y, &page->palette->edge, 0.8);
  page->y += 5;
  page->y += bl_page_text_at (page, page->x, page->y, &style, text) + 4;
}

void
bl_page_line (BlPage *page, double y, const BlColour *colour, double thickness)
{
  bl_set_source (page->cr, colour);
  cairo_set_line_width (page->cr, thickness);
  cairo_move_to (page->cr, page->x, y);
  cairo_line_to (page->cr, page->x + page->w, y);
  cairo_stroke (page->cr);
}

/* --- pages --- */

/* What the shop wants at the foot of each page, else what a verdict is about. */
static void
draw_foot (BlPage *page)
{
  const BlJobReport *report = page->report;
  BlPageText style = { .size = 8, .colour = &page->palette->muted };
  double y = page->paper_h - BL_PAGE_MARGIN - 12, right_w;
  const BlBoard *board = report->board;
  const char *name = report->equipment != NULL                       ? report->equipment
                     : board != NULL && board->board_number != NULL ? board->board_number
                                                                     : "";
  g_autofree char *left = g_strdup_printf (_ ("Job %d   %s"), report->number, name);
  g_autofree char *right = page->total != 0
                               ? g_strdup_printf (_ ("page %u of %u"), page->number, page->total)
                               : g_strdup_printf (_ ("page %u"), page->number);
  const char *words = report->audience == BL_REPORT_FOR_CUSTOMER && report->shop_foot != NULL
                          ? report->shop_foot
                          : _ ("verdicts are about the points measured, at the time measured");

  bl_page_line (page, y - 4, &page->palette->hairline, 0.6);
  bl_page_measure (page, &style, right, &right_w, NULL);
  bl_page_text_at (page, page->x + page->w - right_w, y, &style, right);
  /* The name of an equipment takes two lines here. */
  style.width = page->w * 0.3;
  bl_page_text_at (page, page->x, y, &style, left);
  style.align = PANGO_ALIGN_CENTER;
  style.width = page->w * 0.52;
  style.size = 7.5;
  bl_page_text_at (page, page->x + page->w * 0.32, y, &style, words);
}

void
bl_page_begin (BlPage *page)
{
  if (page->paper_w <= 0)
    {
      page->paper_w = BL_PAGE_WIDTH;
      page->paper_h = BL_PAGE_HEIGHT;
    }
  page->x = BL_PAGE_MARGIN;
  page->w = page->paper_w - 2 * BL_PAGE_MARGIN;
  page->y = page->top = BL_PAGE_MARGIN;
  page->bottom = page->paper_h - BL_PAGE_MARGIN - FOOT;
  draw_foot (page);
}

void
bl_page_break (BlPage *page)
{
  if (page->next_sheet != NULL)
    page->next_sheet (page);
  else
    cairo_show_page (page->cr);
  page->number++;
  bl_page_begin (page);
  if (page->table_head != NULL)
    page->table_head (page);
  page->top = page->y; /* nothing but the heads is no reason for another page */
}

gboolean
bl_page_need (BlPage *page, double height)
{
  if (page->y + height <= page->bottom || page->y <= page->top)
    return FALSE;
  bl_page_break (page);
  return TRUE;
}

/* Space is swallowed by the top of a page. */
void
bl_page_space (BlPage *page, double height)
{
  if (page->y > page->top)
    page->y += height;
}
