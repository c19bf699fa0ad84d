/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures on the sheets of a report: decoded once for both passes, upright, no larger than paper shows, and put into
 * the PDF compressed. */
#include "config.h"

#include "bl-report-page.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <string.h>

#define PICTURE_MAX 1600


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
