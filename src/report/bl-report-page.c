/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of the report: text by pango in points, page breaks, head and foot of each page,
 * pictures.
 *
 * The report is drawn twice on the same code path: once to count the pages, once for good; so "page
 * 2 of 3" cannot disagree with what is there. Layout is top down, one column. */
#include "config.h"

#include "bl-report-page.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#define FACE "Cantarell, Noto Sans, DejaVu Sans, Sans"
#define FOOT 30.0
#define PICTURE_MAX 1600

/* --- text --- */

PangoContext *
bl_page_context_new (cairo_t *cr)
{
  PangoContext *context = pango_cairo_create_context (cr);

  pango_cairo_context_set_resolution (context, 72);
  pango_context_set_round_glyph_positions (context, FALSE); /* small letters would run together */
  return context;
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
    }
  pango_layout_set_alignment (layout, style->align);
  pango_layout_set_text (layout, text != NULL ? text : "", -1);
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

void
bl_page_paragraph (BlPage *page, double indent, const BlPageText *style, const char *text)
{
  BlPageText wrapped = *style;
  double height;

  wrapped.width = page->w - indent;
  bl_page_measure (page, &wrapped, text, NULL, &height);
  bl_page_need (page, MIN (height, page->bottom - BL_PAGE_MARGIN));
  page->y += bl_page_text_at (page, page->x + indent, page->y, &wrapped, text);
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

static void
draw_foot (BlPage *page)
{
  const BlJobReport *report = page->report;
  BlPageText style = { .size = 8, .colour = &page->palette->muted, .width = page->w };
  double y = BL_PAGE_HEIGHT - BL_PAGE_MARGIN - 12;
  const BlBoard *board = report->board;
  const char *name = board != NULL && board->board_number != NULL ? board->board_number : "";
  g_autofree char *left = g_strdup_printf (_ ("Job %d   %s"), report->number, name);
  g_autofree char *right = page->total != 0
                               ? g_strdup_printf (_ ("page %u of %u"), page->number, page->total)
                               : g_strdup_printf (_ ("page %u"), page->number);

  bl_page_line (page, y - 4, &page->palette->hairline, 0.6);
  bl_page_text_at (page, page->x, y, &style, left);
  style.align = PANGO_ALIGN_CENTER;
  bl_page_text_at (page, page->x, y, &style,
                   _ ("verdicts are about the points measured, at the time measured"));
  style.align = PANGO_ALIGN_RIGHT;
  bl_page_text_at (page, page->x, y, &style, right);
}

void
bl_page_begin (BlPage *page)
{
  page->x = BL_PAGE_MARGIN;
  page->w = BL_PAGE_WIDTH - 2 * BL_PAGE_MARGIN;
  page->y = BL_PAGE_MARGIN;
  page->bottom = BL_PAGE_HEIGHT - BL_PAGE_MARGIN - FOOT;
  draw_foot (page);
}

void
bl_page_break (BlPage *page)
{
  cairo_show_page (page->cr);
  page->number++;
  bl_page_begin (page);
}

gboolean
bl_page_need (BlPage *page, double height)
{
  if (page->y + height <= page->bottom || page->y <= BL_PAGE_MARGIN)
    return FALSE;
  bl_page_break (page);
  return TRUE;
}

/* Space is swallowed by the top of a page. */
void
bl_page_space (BlPage *page, double height)
{
  if (page->y > BL_PAGE_MARGIN)
    page->y += height;
}

/* --- pictures --- */

static GdkPixbuf *
decode (GBytes *image)
{
  g_autoptr (GdkPixbufLoader) loader = gdk_pixbuf_loader_new ();
  GdkPixbuf *pixbuf;
  gboolean ok = gdk_pixbuf_loader_write_bytes (loader, image, NULL);

  if (!gdk_pixbuf_loader_close (loader, NULL) || !ok)
    return NULL;
  pixbuf = gdk_pixbuf_loader_get_pixbuf (loader);
  return pixbuf != NULL ? gdk_pixbuf_apply_embedded_orientation (pixbuf) : NULL;
}

/* Row by row from R, G, B (, A) bytes to cairo's premultiplied words; alpha falls on white paper.
 */
static cairo_surface_t *
to_surface (GdkPixbuf *pixbuf)
{
  int width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  int n = gdk_pixbuf_get_n_channels (pixbuf), from_stride = gdk_pixbuf_get_rowstride (pixbuf);
  const guint8 *from = gdk_pixbuf_read_pixels (pixbuf);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  guint8 *to = cairo_image_surface_get_data (surface);
  int to_stride = cairo_image_surface_get_stride (surface);

  for (int y = 0; y < height && to != NULL; y++)
    for (int x = 0; x < width; x++)
      {
        const guint8 *p = from + (gsize) y * (gsize) from_stride + (gsize) x * (gsize) n;
        guint a = n == 4 ? p[3] : 255, white = 255 - a;
        guint32 word = ((p[0] * a / 255 + white) << 16) | ((p[1] * a / 255 + white) << 8) |
                       (p[2] * a / 255 + white);
        memcpy (to + (gsize) y * (gsize) to_stride + 4 * (gsize) x, &word, 4);
      }
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* Lets cairo put a compressed picture into the PDF instead of its bare pixels. */
static void
attach_jpeg (cairo_surface_t *surface, GdkPixbuf *pixbuf)
{
  gchar *data = NULL;
  gsize size = 0;

  if (gdk_pixbuf_save_to_buffer (pixbuf, &data, &size, "jpeg", NULL, "quality", "85", NULL))
    cairo_surface_set_mime_data (surface, CAIRO_MIME_TYPE_JPEG, (guchar *) data, size, g_free,
                                 data);
}

static cairo_surface_t *
load_picture (GBytes *image, int *width, int *height)
{
  g_autoptr (GdkPixbuf) pixbuf = decode (image), small = NULL;
  cairo_surface_t *surface;

  if (pixbuf == NULL)
    return NULL;
  *width = gdk_pixbuf_get_width (pixbuf);
  *height = gdk_pixbuf_get_height (pixbuf);
  if (MAX (*width, *height) > PICTURE_MAX)
    {
      double scale = (double) PICTURE_MAX / MAX (*width, *height);
      small = gdk_pixbuf_scale_simple (pixbuf, MAX (1, (int) (*width * scale)),
                                       MAX (1, (int) (*height * scale)), GDK_INTERP_BILINEAR);
    }
  surface = to_surface (small != NULL ? small : pixbuf);
  attach_jpeg (surface, small != NULL ? small : pixbuf);
  return surface;
}

typedef struct
{
  cairo_surface_t *surface;
  int width, height; /* of the whole picture, upright */
} Picture;

static void
picture_free (gpointer data)
{
  Picture *picture = data;

  if (picture->surface != NULL)
    cairo_surface_destroy (picture->surface);
  g_free (picture);
}

cairo_surface_t *
bl_page_picture (BlPage *page, GBytes *image, int *width, int *height)
{
  Picture *picture;

  if (page->surfaces == NULL)
    page->surfaces = g_hash_table_new_full (NULL, NULL, NULL, picture_free);
  picture = g_hash_table_lookup (page->surfaces, image);
  if (picture == NULL)
    {
      picture = g_new0 (Picture, 1);
      picture->surface = load_picture (image, &picture->width, &picture->height);
      g_hash_table_insert (page->surfaces, image, picture);
    }
  *width = picture->width;
  *height = picture->height;
  return picture->surface;
}
