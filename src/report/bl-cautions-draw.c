/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cautions on paper, to hang beside the bench: a column of headings and sentences, each with its source. About two
 * pages; every page is laid out anew, which takes milliseconds. */
#include "config.h"

#include "bl-cautions-draw.h"

#include "bl-palette.h"
#include "bl-report-page.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#define MARGIN 48.0
#define INDENT 14.0

typedef struct
{
  cairo_t *cr;
  PangoContext *context;
  double x, w, y, top, bottom;
  guint page, wanted;
} Sheet;

static void
set_source (cairo_t *cr, const BlColour *colour)
{
  cairo_set_source_rgb (cr, colour->red, colour->green, colour->blue);
}

static PangoLayout *
lay_out (Sheet *sheet, const char *text, double size, PangoWeight weight, double width)
{
  PangoLayout *layout = pango_layout_new (sheet->context);
  g_autoptr (PangoFontDescription) font = pango_font_description_from_string ("Sans");

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, weight);
  pango_layout_set_font_description (layout, font);
  pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_text (layout, text, -1);
  return layout;
}

static double
height_of (PangoLayout *layout)
{
  int height;

  pango_layout_get_size (layout, NULL, &height);
  return (double) height / PANGO_SCALE;
}

/* Goes to the next page unless so much is left. */
static void
need (Sheet *sheet, double height)
{
  if (sheet->y + height <= sheet->bottom || sheet->y <= sheet->top)
    return;
  sheet->page++;
  sheet->y = sheet->top;
}

static void
show (Sheet *sheet, PangoLayout *layout, double indent, const BlColour *colour)
{
  if (sheet->page == sheet->wanted)
    {
      set_source (sheet->cr, colour);
      cairo_move_to (sheet->cr, sheet->x + indent, sheet->y);
      pango_cairo_show_layout (sheet->cr, layout);
    }
  sheet->y += height_of (layout);
}

static void
draw_heading (Sheet *sheet, const char *title)
{
  const BlPalette *palette = bl_palette_get (FALSE);
  g_autoptr (PangoLayout) layout = lay_out (sheet, title, 12, PANGO_WEIGHT_BOLD, sheet->w);

  /* With at least one sentence below it. */
  need (sheet, 10 + height_of (layout) + 60);
  sheet->y += sheet->y > sheet->top ? 10 : 0;
  if (sheet->page == sheet->wanted)
    {
      set_source (sheet->cr, &palette->hairline);
      cairo_set_line_width (sheet->cr, 0.75);
      cairo_move_to (sheet->cr, sheet->x, sheet->y);
      cairo_line_to (sheet->cr, sheet->x + sheet->w, sheet->y);
      cairo_stroke (sheet->cr);
    }
  sheet->y += 4;
  show (sheet, layout, 0, &palette->ink);
  sheet->y += 3;
}

static void
draw_caution (Sheet *sheet, const BlCaution *caution, const BlSafeLimits *limits)
{
  const BlPalette *palette = bl_palette_get (FALSE);
  g_autofree char *words = bl_caution_text (caution, limits);
  g_autoptr (PangoLayout) text = lay_out (sheet, words, 10, PANGO_WEIGHT_NORMAL, sheet->w - INDENT);
  g_autoptr (PangoLayout) source
    = lay_out (sheet, bl_caution_source (caution), 8, PANGO_WEIGHT_NORMAL, sheet->w - INDENT);

  need (sheet, height_of (text) + height_of (source) + 5);
  if (sheet->page == sheet->wanted)
    {
      set_source (sheet->cr, &palette->high);
      cairo_rectangle (sheet->cr, sheet->x, sheet->y + 2, 3, height_of (text) - 3);
      cairo_fill (sheet->cr);
    }
  show (sheet, text, INDENT, &palette->ink);
  show (sheet, source, INDENT, &palette->muted);
  sheet->y += 5;
}

static void
draw_foot (Sheet *sheet, guint total, double height)
{
  const BlPalette *palette = bl_palette_get (FALSE);
  g_autofree char *text = g_strdup_printf (_ ("Cautions, page %u of %u"), sheet->wanted + 1, total);
  g_autoptr (PangoLayout) layout = lay_out (sheet, text, 8, PANGO_WEIGHT_NORMAL, sheet->w);

  set_source (sheet->cr, &palette->muted);
  cairo_move_to (sheet->cr, sheet->x, height - MARGIN + 10);
  pango_cairo_show_layout (sheet->cr, layout);
}

guint
bl_cautions_draw (cairo_t *cr, guint page, double width, double height, const BlSafeLimits *limits)
{
  g_return_val_if_fail (cr != NULL && limits != NULL, 0);
  const BlPalette *palette = bl_palette_get (FALSE);
  PangoContext *context = bl_page_context_new (cr);
  Sheet sheet = { cr, context, MARGIN, width - 2 * MARGIN, MARGIN, MARGIN, height - MARGIN, 0, page };
  g_autoptr (PangoLayout) title = lay_out (&sheet, _ ("Cautions"), 20, PANGO_WEIGHT_BOLD, sheet.w);
  g_autoptr (PangoLayout) first = lay_out (&sheet, bl_caution_first (), 11, PANGO_WEIGHT_BOLD, sheet.w);
  guint n;
  const BlCautionGroup *groups = bl_caution_groups (&n);

  show (&sheet, title, 0, &palette->ink);
  sheet.y += 4;
  show (&sheet, first, 0, &palette->high);
  for (guint i = 0; i < n; i++)
    {
      draw_heading (&sheet, _ (groups[i].title));
      for (guint k = 0; k < groups[i].n; k++)
        draw_caution (&sheet, &groups[i].cautions[k], limits);
    }
  if (page <= sheet.page)
    draw_foot (&sheet, sheet.page + 1, height);
  g_object_unref (context);
  return sheet.page + 1;
}

static cairo_status_t
write_part (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

gboolean
bl_cautions_write (const char *path, double width, double height, const BlSafeLimits *limits, GError **error)
{
  g_return_val_if_fail (path != NULL && limits != NULL, FALSE);
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (write_part, bytes, width, height);
  cairo_t *cr = cairo_create (surface);
  cairo_status_t status;

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, _ ("Cautions"));
  for (guint page = 0, n = 1; page < n; page++)
    {
      n = bl_cautions_draw (cr, page, width, height, limits);
      cairo_show_page (cr);
    }
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, G_FILE_ERROR, G_FILE_ERROR_FAILED, _ ("drawing the cautions: %s"),
                   cairo_status_to_string (status));
      return FALSE;
    }
  return g_file_set_contents (path, (const char *) bytes->data, (gssize) bytes->len, error);
}
