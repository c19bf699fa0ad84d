/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of a job. Label printers have 203 or 300 dots an inch and print black or nothing: so no greys, no lines
 * thinner than a dot, and the squares of the code are a whole number of dots of 1/203.2 inch (8 a millimetre) wide, at a
 * whole number of dots, or they would differ among each other. The code takes the height of the label, with the four
 * squares of white around it that ISO/IEC 18004 asks for; error correction M, 15 % of it may be lost. What is written
 * shares the rest: the number as large as it can be, then line by line what there is, the complaint last and cut where
 * it ends. Everything follows from the height, so any size of label works. */
#include "config.h"

#include "bl-job-tag-draw.h"

#include <cairo-pdf.h>
#include <errno.h>
#include <gio/gio.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <qrencode.h>

#include "bl-report-page.h"

#define MM (72 / 25.4)
#define DOT (MM / 8)
#define QUIET 4
#define SHEET_FROM (130 * MM) /* paper as wide as this is a sheet */
#define ON_SHEET_WIDTH (89 * MM)
#define ON_SHEET_HEIGHT (36 * MM)
#define ON_SHEET_MARGIN (14 * MM)
#define EDGE (1.5 * MM) /* printers leave as much at each side */
#define NUMBER 0.24     /* of the height within the edges */
#define LINE 0.092
#define LEAST 4.6       /* points; smaller is not read at 203 dots an inch */

static const struct
{
  const char *name;
  double width, height; /* mm */
} sizes[BL_N_TAG_SIZES] = {
  [BL_TAG_62X29] = { "62x29", 62, 29 },
  [BL_TAG_89X36] = { "89x36", 89, 36 },
  [BL_TAG_A4] = { "A4", 210, 297 },
  [BL_TAG_LETTER] = { "Letter", 215.9, 279.4 },
};

const char *
bl_tag_size_name (BlTagSize size)
{
  return (guint) size < BL_N_TAG_SIZES ? sizes[size].name : NULL;
}

gboolean
bl_tag_size_parse (const char *name, BlTagSize *size)
{
  g_return_val_if_fail (name != NULL && size != NULL, FALSE);
  for (guint i = 0; i < BL_N_TAG_SIZES; i++)
    if (g_ascii_strcasecmp (sizes[i].name, name) == 0)
      {
        *size = (BlTagSize) i;
        return TRUE;
      }
  return FALSE;
}

void
bl_tag_size_mm (BlTagSize size, double *width, double *height)
{
  g_return_if_fail ((guint) size < BL_N_TAG_SIZES && width != NULL && height != NULL);
  *width = sizes[size].width;
  *height = sizes[size].height;
}

/* --- the code --- */

/* In the upper right corner of the area, at most as large as side. Returns the width it took, with the white around it
 * that does not lie in the edge; 0 with error. */
static double
draw_code (cairo_t *cr, const char *link, double right, double top, double side, GError **error)
{
  QRcode *code = QRcode_encodeString (link, 0, QR_ECLEVEL_M, QR_MODE_8, 1);

  if (code == NULL)
    {
      int number = errno;
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT, _ ("the code cannot be made: %s"), g_strerror (number));
      return 0;
    }
  double fits = side / (code->width + 2 * QUIET), module = MAX (floor (fits / DOT), 1) * DOT;
  double whole = module * (code->width + 2 * QUIET);
  double left = floor ((right - whole) / DOT) * DOT, x0 = left + QUIET * module;
  double y0 = ceil ((top + (side - whole) / 2) / DOT) * DOT + QUIET * module;

  cairo_save (cr);
  cairo_set_antialias (cr, CAIRO_ANTIALIAS_NONE);
  cairo_set_source_rgb (cr, 0, 0, 0);
  cairo_new_path (cr);
  for (int y = 0; y < code->width; y++)
    for (int x = 0; x < code->width; x++)
      if (code->data[y * code->width + x] & 1)
        cairo_rectangle (cr, x0 + x * module, y0 + y * module, module, module);
  cairo_fill (cr);
  cairo_restore (cr);
  QRcode_free (code);
  return right - left;
}

/* --- the words --- */

static const BlColour black = { 0, 0, 0 };

/* One line, ended by dots where it is too long; more lines where most says so. Returns the height. */
static double
draw_line (BlPage *page, double x, double y, double width, double size, PangoWeight weight, int most, const char *text)
{
  const BlPageText style = { .size = size, .weight = weight, .width = width };
  g_autoptr (PangoLayout) layout = bl_page_layout (page, &style, text);
  int height;

  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_height (layout, -most);
  bl_set_source (page->cr, &black);
  cairo_move_to (page->cr, x, y);
  pango_cairo_show_layout (page->cr, layout);
  pango_layout_get_size (layout, NULL, &height);
  return (double) height / PANGO_SCALE;
}

/* As large as size, or smaller where it is too wide. */
static double
draw_number (BlPage *page, int number, double x, double y, double width, double size)
{
  g_autofree char *text = g_strdup_printf ("%d", number);
  BlPageText style = { .size = size, .weight = PANGO_WEIGHT_BOLD, .colour = &black };
  double wide;

  bl_page_measure (page, &style, text, &wide, NULL);
  if (wide > width)
    style.size *= width / wide;
  /* Figures have no descenders: what would hold them is given to the next line. */
  return bl_page_text_at (page, x, y - 0.2 * style.size, &style, text) - 0.38 * style.size;
}

static gboolean
said (const char *text)
{
  return text != NULL && *text != '\0';
}

static void
draw_words (BlPage *page, const BlJobTag *tag, double x, double y, double width, double height)
{
  double size = MAX (LINE * height, LEAST), bottom = y + height;
  const char *const lines[] = { tag->board, tag->serial, tag->customer, tag->unit };

  y += draw_number (page, tag->number, x, y, width, NUMBER * height);
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    if (said (lines[i]) && y + size < bottom)
      y += draw_line (page, x, y, width, size, i == 0 ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL, 1, lines[i]);
  g_autofree char *rest = said (tag->complaint) ? g_strdup_printf (_ ("%s: %s"), tag->date, tag->complaint)
                                                : g_strdup (tag->date);
  int most = (int) floor ((bottom - y) / (1.25 * size));
  if (most > 0 && said (rest))
    draw_line (page, x, y, width, size, PANGO_WEIGHT_NORMAL, most, rest);
}

static gboolean
draw_tag (const BlJobTag *tag, cairo_t *cr, double x, double y, double width, double height, GError **error)
{
  BlPage page = { .cr = cr, .context = bl_page_context_new (cr), .palette = bl_palette_get (FALSE) };
  double inner = height - 2 * EDGE;
  double code = draw_code (cr, tag->link, x + width - EDGE, y + EDGE, MIN (inner, 0.45 * width), error);

  if (code > 0)
    draw_words (&page, tag, x + EDGE, y + EDGE, width - 2 * EDGE - code, inner);
  g_object_unref (page.context);
  return code > 0;
}

static void
draw_cut (cairo_t *cr, double x, double y, double width, double height)
{
  const double dashes[] = { 4, 3 };

  cairo_save (cr);
  cairo_set_source_rgb (cr, 0, 0, 0);
  cairo_set_line_width (cr, 0.5);
  cairo_set_dash (cr, dashes, G_N_ELEMENTS (dashes), 0);
  cairo_rectangle (cr, x, y, width, height);
  cairo_stroke (cr);
  cairo_restore (cr);
}

gboolean
bl_job_tag_draw (const BlJobTag *tag, cairo_t *cr, double width, double height, GError **error)
{
  g_return_val_if_fail (tag != NULL && tag->link != NULL && cr != NULL && width > 0 && height > 0, FALSE);

  if (width <= SHEET_FROM || height <= ON_SHEET_HEIGHT)
    return draw_tag (tag, cr, 0, 0, width, height, error);
  draw_cut (cr, ON_SHEET_MARGIN, ON_SHEET_MARGIN, ON_SHEET_WIDTH, ON_SHEET_HEIGHT);
  return draw_tag (tag, cr, ON_SHEET_MARGIN, ON_SHEET_MARGIN, ON_SHEET_WIDTH, ON_SHEET_HEIGHT, error);
}

static cairo_status_t
collect (void *out, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (out, data, length);
  return CAIRO_STATUS_SUCCESS;
}

/* All of it is made before the file is touched, and that is replaced as a whole: one that is there stays until then. */
gboolean
bl_job_tag_write_pdf (const BlJobTag *tag, BlTagSize size, const char *path, GError **error)
{
  g_return_val_if_fail (tag != NULL && (guint) size < BL_N_TAG_SIZES && path != NULL, FALSE);
  g_autoptr (GByteArray) out = g_byte_array_new ();
  double width = sizes[size].width * MM, height = sizes[size].height * MM;
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (collect, out, width, height);
  cairo_t *cr = cairo_create (surface);
  gboolean ok = bl_job_tag_draw (tag, cr, width, height, error);
  cairo_status_t status;

  cairo_destroy (cr);
  cairo_surface_finish (surface);
  status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (ok && status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, _ ("%s: the label cannot be written: %s"), path,
                   cairo_status_to_string (status));
      return FALSE;
    }
  return ok && g_file_set_contents_full (path, (const char *) out->data, (gssize) out->len,
                                         G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644, error);
}
