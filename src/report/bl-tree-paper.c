/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fault tree on paper: for the bench, the file of a job, and for training.
 *
 * The same drawing as on the screen, in the light palette, with a head that says what it is of and what the
 * odds stand on, and the legend of the symbols. The smallest letters of the drawing are 11 px high, so a
 * scale of 7/11 is the least; where that is not enough the tree is split (bl-tree-pages.c). */
#include "config.h"

#include "bl-tree-paper.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <glib/gi18n-lib.h>
#include <langinfo.h>
#include <string.h>

#include "bl-report-page.h"
#include "bl-report-words.h"
#include "bl-tree-draw.h"
#include "bl-tree-pages.h"

#define FACE "Cantarell, Noto Sans, DejaVu Sans, Sans"
#define MARGIN 36.0
#define HEAD 50.0
#define FOOT 16.0
#define LEAST (7.0 / BL_CHART_LEAST) /* points per px: no text below 7 points */
#define MOST 0.75

typedef struct
{
  const BlTreeSheet *sheet;
  cairo_t *cr;
  PangoContext *context;
  BlTreeChart *chart;
  BlTreeLook look;
  double w, h, legend; /* points: the page, and the height of its legend */
  guint total;
} Sheet;

/* --- what it is drawn on --- */

static void
paper_size (BlPaper paper, double *w, double *h)
{
  gboolean letter = paper == BL_PAPER_LETTER;

#ifdef __GLIBC__
  /* The locale's paper in millimetres: 216 wide is Letter. */
  if (paper == BL_PAPER_OF_LOCALE)
    letter = GPOINTER_TO_INT (nl_langinfo (_NL_PAPER_WIDTH)) == 216;
#endif
  *w = letter ? 792 : BL_PAGE_HEIGHT;
  *h = letter ? 612 : BL_PAGE_WIDTH;
}

static void
begin (Sheet *self, cairo_surface_t *surface)
{
  PangoFontDescription *font = pango_font_description_from_string (FACE);

  self->cr = cairo_create (surface);
  self->context = pango_cairo_create_context (self->cr);
  pango_cairo_context_set_resolution (self->context, 72);
  pango_context_set_font_description (self->context, font);
  pango_font_description_free (font);
  self->look.context = self->context;
}

static cairo_status_t
end (Sheet *self, cairo_surface_t *surface)
{
  cairo_status_t status = cairo_status (self->cr);

  g_clear_object (&self->context);
  cairo_destroy (self->cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

static cairo_status_t
take_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

/* --- head and foot --- */

static double
line (Sheet *self, double x, double y, double width, double size, gboolean bold, PangoAlignment align,
      const char *text)
{
  g_autoptr (PangoLayout) layout = pango_layout_new (self->context);
  PangoFontDescription *font = pango_font_description_copy (pango_context_get_font_description (self->context));
  int height;

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_alignment (layout, align);
  pango_layout_set_text (layout, text, -1);
  pango_layout_get_size (layout, NULL, &height);
  bl_set_source (self->cr, &self->look.palette->ink);
  cairo_move_to (self->cr, x, y);
  pango_cairo_show_layout (self->cr, layout);
  return (double) height / PANGO_SCALE;
}

static char *
board_words (const BlBoard *board)
{
  const char *const parts[] = { board->maker, board->model, board->board_number };
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i] != NULL && *parts[i] != '\0')
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", parts[i]);
  if (board->edition != NULL && *board->edition != '\0')
    {
      g_autofree char *edition = g_strdup_printf (_ ("edition %s"), board->edition);
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", edition);
    }
  return g_string_free (text, FALSE);
}

static void
draw_head (Sheet *self, guint page)
{
  const BlTreeSheet *sheet = self->sheet;
  double x = MARGIN, y = MARGIN, w = self->w - 2 * MARGIN;
  g_autofree char *title = g_strdup_printf (_ ("Fault tree: %s"), sheet->title != NULL ? sheet->title : "");
  g_autofree char *board = sheet->board != NULL ? board_words (sheet->board) : g_strdup ("");
  g_autofree char *time = bl_report_time (sheet->time != 0 ? sheet->time : g_get_real_time ());
  g_autofree char *number = self->total > 1 ? g_strdup_printf (_ ("page %u of %u"), page, self->total) : NULL;

  line (self, x + w * 0.8, y, w * 0.2, 9, FALSE, PANGO_ALIGN_RIGHT, time);
  if (number != NULL)
    line (self, x + w * 0.8, y + 13, w * 0.2, 9, FALSE, PANGO_ALIGN_RIGHT, number);
  y += line (self, x, y, w * 0.78, 14, TRUE, PANGO_ALIGN_LEFT, title);
  y += line (self, x, y, w * 0.78, 9, FALSE, PANGO_ALIGN_LEFT, board);
  if (sheet->given != NULL)
    line (self, x, y, w, 9, FALSE, PANGO_ALIGN_LEFT, sheet->given);
}

static void
draw_foot (Sheet *self)
{
  const BlColour *hairline = &self->look.palette->hairline;
  double y = self->h - MARGIN - FOOT - self->legend;

  bl_set_source (self->cr, hairline);
  cairo_set_line_width (self->cr, 0.6);
  cairo_move_to (self->cr, MARGIN, y - 3);
  cairo_line_to (self->cr, self->w - MARGIN, y - 3);
  cairo_stroke (self->cr);
  cairo_save (self->cr);
  cairo_translate (self->cr, MARGIN, y);
  cairo_scale (self->cr, LEAST, LEAST);
  bl_tree_legend_draw (self->cr, &self->look, 0, 0, (self->w - 2 * MARGIN) / LEAST);
  cairo_restore (self->cr);
  line (self, MARGIN, self->h - MARGIN - FOOT + 4, self->w - 2 * MARGIN, 7.5, FALSE, PANGO_ALIGN_LEFT,
        _ ("Mains and charged capacitors can kill, also after switching off: isolate, discharge, prove dead. Local "
           "codes and licensed practice come first."));
}

/* --- the tree --- */

/* The pieces from first on that stand on the same page. Returns the next one. */
static guint
draw_page (Sheet *self, GPtrArray *pieces, guint first, double area_w, double area_h)
{
  const BlTreePiece *top = g_ptr_array_index (pieces, first);
  double width = 1, height = 1, scale;
  guint last = first;

  for (; last < pieces->len && ((BlTreePiece *) g_ptr_array_index (pieces, last))->page == top->page; last++)
    {
      const BlTreePiece *piece = g_ptr_array_index (pieces, last);
      width = MAX (width, piece->w);
      height = MAX (height, piece->y + piece->h);
    }
  scale = CLAMP (MIN (area_w / width, area_h / height), LEAST, MOST);
  for (guint i = first; i < last; i++)
    {
      const BlTreePiece *piece = g_ptr_array_index (pieces, i);
      bl_tree_piece_show (piece, self->chart);
      cairo_save (self->cr);
      cairo_translate (self->cr, MARGIN + area_w - piece->w * scale, MARGIN + HEAD);
      cairo_scale (self->cr, scale, scale);
      cairo_translate (self->cr, 0, piece->y);
      bl_tree_chart_draw (self->cr, self->chart, &self->look);
      cairo_restore (self->cr);
    }
  draw_head (self, top->page);
  draw_foot (self);
  cairo_show_page (self->cr);
  return last;
}

static gboolean
failed (cairo_status_t status, GError **error)
{
  if (status == CAIRO_STATUS_SUCCESS)
    return FALSE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the fault tree cannot be drawn: %s"),
               cairo_status_to_string (status));
  return TRUE;
}

static void
sheet_init (Sheet *self, const BlTreeSheet *sheet)
{
  *self = (Sheet){ .sheet = sheet, .chart = bl_tree_chart_new (sheet->tree, sheet->facts, sheet->leading) };
  self->look = (BlTreeLook){ .palette = bl_palette_get (FALSE), .x0 = -G_MAXDOUBLE, .y0 = -G_MAXDOUBLE,
                             .x1 = G_MAXDOUBLE, .y1 = G_MAXDOUBLE, .selected = -1, .priors = sheet->priors };
}

GBytes *
bl_tree_sheet_to_pdf (const BlTreeSheet *sheet, guint *n_pages, GError **error)
{
  g_return_val_if_fail (sheet != NULL && sheet->tree != NULL, NULL);
  g_autoptr (GByteArray) out = g_byte_array_new ();
  Sheet self;
  double w, h;

  sheet_init (&self, sheet);
  paper_size (sheet->paper, &self.w, &self.h);
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (take_bytes, out, self.w, self.h);
  begin (&self, surface);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, sheet->title != NULL ? sheet->title : "");
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Benchlore " BL_VERSION);
  w = self.w - 2 * MARGIN;
  self.legend = bl_tree_legend_draw (NULL, &self.look, 0, 0, w / LEAST) * LEAST;
  h = self.h - 2 * MARGIN - HEAD - FOOT - self.legend - 8;
  g_autofree guint *pages = g_new0 (guint, self.chart->items->len);
  g_autoptr (GPtrArray) pieces = bl_tree_pages (self.chart, w / LEAST, h / LEAST, pages);
  self.look.pages = pages;
  self.total = ((BlTreePiece *) g_ptr_array_index (pieces, pieces->len - 1))->page;
  for (guint i = 0; i < pieces->len;)
    i = draw_page (&self, pieces, i, w, h);
  bl_tree_chart_free (self.chart);
  if (failed (end (&self, surface), error))
    return NULL;
  if (n_pages != NULL)
    *n_pages = self.total;
  return g_byte_array_free_to_bytes (g_steal_pointer (&out));
}

GBytes *
bl_tree_sheet_to_svg (const BlTreeSheet *sheet, GError **error)
{
  g_return_val_if_fail (sheet != NULL && sheet->tree != NULL, NULL);
  g_autoptr (GByteArray) out = g_byte_array_new ();
  Sheet self;

  sheet_init (&self, sheet);
  bl_tree_chart_unfold (self.chart);
  bl_tree_chart_arrange (self.chart);
  self.w = MAX (self.chart->width * MOST, 520) + 2 * MARGIN;
  /* The legend is measured with the fonts of a surface, whose size depends on the legend. */
  cairo_surface_t *rehearsal = cairo_svg_surface_create_for_stream (NULL, NULL, 100, 100);
  begin (&self, rehearsal);
  self.legend = bl_tree_legend_draw (NULL, &self.look, 0, 0, (self.w - 2 * MARGIN) / LEAST) * LEAST;
  end (&self, rehearsal);
  self.h = self.chart->height * MOST + 2 * MARGIN + HEAD + FOOT + self.legend + 8;
  cairo_surface_t *surface = cairo_svg_surface_create_for_stream (take_bytes, out, self.w, self.h);
  begin (&self, surface);
  bl_set_source (self.cr, &self.look.palette->raised);
  cairo_paint (self.cr);
  cairo_save (self.cr);
  cairo_translate (self.cr, self.w - MARGIN - self.chart->width * MOST, MARGIN + HEAD);
  cairo_scale (self.cr, MOST, MOST);
  bl_tree_chart_draw (self.cr, self.chart, &self.look);
  cairo_restore (self.cr);
  draw_head (&self, 1);
  draw_foot (&self);
  bl_tree_chart_free (self.chart);
  if (failed (end (&self, surface), error))
    return NULL;
  return g_byte_array_free_to_bytes (g_steal_pointer (&out));
}

gboolean
bl_tree_sheet_write (const BlTreeSheet *sheet, const char *path, GError **error)
{
  g_return_val_if_fail (sheet != NULL && path != NULL, FALSE);
  g_autofree char *lower = g_ascii_strdown (path, -1);
  g_autoptr (GBytes) bytes = g_str_has_suffix (lower, ".svg") ? bl_tree_sheet_to_svg (sheet, error)
                                                              : bl_tree_sheet_to_pdf (sheet, NULL, error);
  gsize size = 0;

  if (bytes == NULL)
    return FALSE;
  const char *data = g_bytes_get_data (bytes, &size);
  return g_file_set_contents_full (path, data, (gssize) size,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644, error);
}
