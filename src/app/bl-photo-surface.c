/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A photo as a pyramid of cairo surfaces.
 *
 * Photos of 12 to 60 megapixels must open without freezing the window and pan smoothly without a
 * graphics card. So: decoded in a worker thread, turned upright (coordinates of documents mean the
 * upright frame), kept as RGB24 surfaces halved by a box filter until 512 pixels wide. Painting takes
 * the smallest level that is not enlarged; cairo reads only the visible part of it. Memory is
 * 4 bytes a pixel times 4/3, 320 MB for 60 megapixels. It knows nothing of zoom limits or panes. */
#include "config.h"

#include "bl-photo-surface.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define LEAST_WIDTH 512
#define MAX_LEVELS 12
#define MAX_PIXELS (200.0 * 1000 * 1000)

struct BlPhotoSurface
{
  int n_levels;
  cairo_surface_t *levels[MAX_LEVELS]; /* each half the size of the one before */
};

G_DEFINE_BOXED_TYPE (BlPhotoSurface, bl_photo_surface, bl_photo_surface_ref, bl_photo_surface_unref)

static void
clear (gpointer data)
{
  BlPhotoSurface *self = data;
  for (int i = 0; i < self->n_levels; i++)
    cairo_surface_destroy (self->levels[i]);
}

BlPhotoSurface *
bl_photo_surface_ref (BlPhotoSurface *self)
{
  return g_atomic_rc_box_acquire (self);
}

void
bl_photo_surface_unref (BlPhotoSurface *self)
{
  g_atomic_rc_box_release_full (self, clear);
}

/* Turns a pixbuf into an RGB24 surface; transparency shows as white, as on paper. */
static cairo_surface_t *
surface_from_pixbuf (const GdkPixbuf *pixbuf)
{
  int width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  int channels = gdk_pixbuf_get_n_channels (pixbuf), from_stride = gdk_pixbuf_get_rowstride (pixbuf);
  const guchar *from = gdk_pixbuf_read_pixels (pixbuf);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);

  if (cairo_surface_status (surface) != CAIRO_STATUS_SUCCESS)
    return surface;
  guchar *to = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  for (int row = 0; row < height; row++)
    {
      const guchar *p = from + (gsize) row * from_stride;
      guint32 *q = (guint32 *) (gpointer) (to + (gsize) row * stride);
      for (int column = 0; column < width; column++, p += channels)
        {
          guint r = p[0], g = p[1], b = p[2];
          if (channels == 4)
            {
              guint a = p[3];
              r = (r * a + 255 * (255 - a)) / 255;
              g = (g * a + 255 * (255 - a)) / 255;
              b = (b * a + 255 * (255 - a)) / 255;
            }
          q[column] = r << 16 | g << 8 | b;
        }
    }
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* Mean of four pixels, the channels two at a time. */
static inline guint32
mean4 (guint32 a, guint32 b, guint32 c, guint32 d)
{
  guint32 rb = (a & 0xff00ff) + (b & 0xff00ff) + (c & 0xff00ff) + (d & 0xff00ff);
  guint32 g = (a >> 8 & 0xff) + (b >> 8 & 0xff) + (c >> 8 & 0xff) + (d >> 8 & 0xff);
  return ((rb >> 2) & 0xff00ff) | ((g >> 2) << 8);
}

static cairo_surface_t *
halve (cairo_surface_t *surface)
{
  int width = cairo_image_surface_get_width (surface), height = cairo_image_surface_get_height (surface);
  int w = MAX (width / 2, 1), h = MAX (height / 2, 1);
  cairo_surface_t *half = cairo_image_surface_create (CAIRO_FORMAT_RGB24, w, h);

  if (cairo_surface_status (half) != CAIRO_STATUS_SUCCESS)
    return half;
  const guchar *from = cairo_image_surface_get_data (surface);
  guchar *to = cairo_image_surface_get_data (half);
  int stride = cairo_image_surface_get_stride (surface);
  int half_stride = cairo_image_surface_get_stride (half);
  for (int row = 0; row < h; row++)
    {
      const guint32 *p = (const guint32 *) (gconstpointer) (from + (gsize) 2 * row * stride);
      const guint32 *q = height > 1
                           ? (const guint32 *) (gconstpointer) (from + (gsize) (2 * row + 1) * stride)
                           : p;
      guint32 *out = (guint32 *) (gpointer) (to + (gsize) row * half_stride);
      for (int column = 0; column < w; column++)
        out[column] = mean4 (p[2 * column], p[2 * column + 1], q[2 * column], q[2 * column + 1]);
    }
  cairo_surface_mark_dirty (half);
  return half;
}

static GdkPixbuf *
decode_upright (GBytes *image, GCancellable *cancellable, GError **error)
{
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_bytes (image);
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new_from_stream (stream, cancellable, error);

  if (pixbuf == NULL)
    return NULL;
  if ((double) gdk_pixbuf_get_width (pixbuf) * gdk_pixbuf_get_height (pixbuf) > MAX_PIXELS)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED,
                   _("the photo has more than %.0f megapixels"), MAX_PIXELS / 1e6);
      return NULL;
    }
  return gdk_pixbuf_apply_embedded_orientation (pixbuf);
}

BlPhotoSurface *
bl_photo_surface_decode (GBytes *image, GCancellable *cancellable, GError **error)
{
  g_return_val_if_fail (image != NULL, NULL);
  g_autoptr (GdkPixbuf) pixbuf = decode_upright (image, cancellable, error);
  if (pixbuf == NULL)
    return NULL;

  g_autoptr (BlPhotoSurface) self = g_atomic_rc_box_new0 (BlPhotoSurface);
  self->levels[self->n_levels++] = surface_from_pixbuf (pixbuf);
  g_clear_object (&pixbuf);
  for (;;)
    {
      cairo_surface_t *last = self->levels[self->n_levels - 1];
      if (cairo_surface_status (last) != CAIRO_STATUS_SUCCESS)
        {
          g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, _("no memory for the photo: %s"),
                       cairo_status_to_string (cairo_surface_status (last)));
          return NULL;
        }
      if (cairo_image_surface_get_width (last) < 2 * LEAST_WIDTH || self->n_levels == MAX_LEVELS)
        return g_steal_pointer (&self);
      if (g_cancellable_set_error_if_cancelled (cancellable, error))
        return NULL;
      self->levels[self->n_levels++] = halve (last);
    }
}

static void
load_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  BlPhotoSurface *self = bl_photo_surface_decode (data, cancellable, &error);

  if (self == NULL)
    g_task_return_error (task, error);
  else
    g_task_return_pointer (task, self, (GDestroyNotify) bl_photo_surface_unref);
}

void
bl_photo_surface_load_async (GBytes *image, GCancellable *cancellable, GAsyncReadyCallback callback,
                             gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, data);

  g_task_set_source_tag (task, bl_photo_surface_load_async);
  g_task_set_task_data (task, g_bytes_ref (image), (GDestroyNotify) g_bytes_unref);
  g_task_run_in_thread (task, load_thread);
}

BlPhotoSurface *
bl_photo_surface_load_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

int
bl_photo_surface_width (const BlPhotoSurface *self)
{
  return cairo_image_surface_get_width (self->levels[0]);
}

int
bl_photo_surface_height (const BlPhotoSurface *self)
{
  return cairo_image_surface_get_height (self->levels[0]);
}

void
bl_photo_surface_paint (BlPhotoSurface *self, cairo_t *cr, double x, double y, double zoom, double width,
                        double height)
{
  int level = 0;
  double sx, sy;

  g_return_if_fail (zoom > 0);
  while (level + 1 < self->n_levels && zoom * (2 << level) <= 1.0)
    level++;
  /* Halving drops an odd row or column, so the true ratio of the sizes is what counts. */
  sx = (double) bl_photo_surface_width (self) / cairo_image_surface_get_width (self->levels[level]);
  sy = (double) bl_photo_surface_height (self) / cairo_image_surface_get_height (self->levels[level]);
  cairo_save (cr);
  cairo_rectangle (cr, MAX (0, -x * zoom), MAX (0, -y * zoom),
                   MIN (width, (bl_photo_surface_width (self) - x) * zoom) - MAX (0, -x * zoom),
                   MIN (height, (bl_photo_surface_height (self) - y) * zoom) - MAX (0, -y * zoom));
  cairo_clip (cr);
  cairo_translate (cr, -x * zoom, -y * zoom);
  cairo_scale (cr, zoom * sx, zoom * sy);
  cairo_set_source_surface (cr, self->levels[level], 0, 0);
  cairo_pattern_set_filter (cairo_get_source (cr),
                            zoom * sx > 3 ? CAIRO_FILTER_NEAREST : CAIRO_FILTER_BILINEAR);
  cairo_set_operator (cr, CAIRO_OPERATOR_SOURCE);
  cairo_paint (cr);
  cairo_restore (cr);
}

GBytes *
bl_photo_thumbnail (GBytes *image, GError **error)
{
  g_autoptr (GdkPixbuf) pixbuf = decode_upright (image, NULL, error);
  if (pixbuf == NULL)
    return NULL;

  double width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  double scale = MIN (1.0, 256.0 / MAX (width, height));
  g_autoptr (GdkPixbuf) small = gdk_pixbuf_scale_simple (pixbuf, MAX (1, (int) (width * scale)),
                                                         MAX (1, (int) (height * scale)),
                                                         GDK_INTERP_BILINEAR);
  char *buffer;
  gsize size;

  if (small == NULL || !gdk_pixbuf_save_to_buffer (small, &buffer, &size, "png", error, NULL))
    return NULL;
  return g_bytes_new_take (buffer, size);
}

char *
bl_photo_mime (GBytes *image)
{
  gsize size;
  const guchar *data = g_bytes_get_data (image, &size);
  g_autofree char *type = g_content_type_guess (NULL, data, size, NULL);
  g_autofree char *mime = type != NULL ? g_content_type_get_mime_type (type) : NULL;

  if (mime == NULL || !g_str_has_prefix (mime, "image/"))
    return NULL;
  return g_steal_pointer (&mime);
}
