/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A photo as a pyramid of cairo surfaces.
 *
 * Photos of 12 to 60 megapixels must open without freezing the window and pan smoothly without a
 * graphics card. So: decoded in a worker thread, turned upright (coordinates of documents mean the
 * upright frame), kept as RGB24 surfaces halved by a box filter until 512 pixels wide. Painting takes
 * the smallest level that is not enlarged; cairo reads only the visible part of it. Memory is
 * 4 bytes a pixel times 4/3, 320 MB for 60 megapixels, and never much more: what was decoded goes back
 * to the system row by row as it is converted. It knows nothing of zoom limits or panes. */
#include "config.h"

#include "bl-photo-surface.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <sys/mman.h>
#include <unistd.h>

#include "bl-image-check.h"

#define LEAST_WIDTH 512
#define MAX_LEVELS 12
#define USED_UP 64 /* rows of the decoded file after which their memory goes back */

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

/* --- from the decoder to a surface --- */

/* How a row of the file lies in the upright photo (EXIF orientation, 1 to 8). */
typedef struct
{
  int width, height;        /* of the upright photo */
  gssize first, column, row; /* pixels: of the file's first, to the next column's and the next row's */
} Turn;

/* Exif 2.3, table 6 (values from memory): 2 mirrored, 3 upside down, 4 both, 5 to 8 with rows and
 * columns exchanged. */
static Turn
turn_of (const GdkPixbuf *pixbuf)
{
  const char *option = gdk_pixbuf_get_option ((GdkPixbuf *) pixbuf, "orientation");
  int w = gdk_pixbuf_get_width (pixbuf), h = gdk_pixbuf_get_height (pixbuf);
  gint64 value = option != NULL ? g_ascii_strtoll (option, NULL, 10) : 1;
  gboolean exchanged = value >= 5 && value <= 8;
  gboolean right = value == 2 || value == 3 || value == 6 || value == 7; /* from the right edge */
  gboolean below = value == 3 || value == 4 || value == 7 || value == 8; /* from the lower edge */
  Turn turn = { .width = exchanged ? h : w, .height = exchanged ? w : h };
  gssize across = right ? -1 : 1, down = below ? -(gssize) turn.width : turn.width;

  turn.first = (right ? turn.width - 1 : 0) + (below ? (gssize) (turn.height - 1) * turn.width : 0);
  turn.column = exchanged ? down : across;
  turn.row = exchanged ? across : down;
  return turn;
}

static void
convert_row (const guchar *p, int n, int channels, guint32 *q, gssize step)
{
  for (int column = 0; column < n; column++, p += channels, q += step)
    {
      guint r = p[0], g = p[1], b = p[2];
      if (channels == 4)
        {
          guint a = p[3];
          r = (r * a + 255 * (255 - a)) / 255;
          g = (g * a + 255 * (255 - a)) / 255;
          b = (b * a + 255 * (255 - a)) / 255;
        }
      *q = r << 16 | g << 8 | b;
    }
}

/* Hands the pages that lie wholly between begin and end back to the system; what was in them is lost.
 * They are mapped again, empty, if somebody looks. */
static void
give_back (guchar *begin, guchar *end)
{
  gsize page = (gsize) sysconf (_SC_PAGESIZE);
  gsize from = ((gsize) begin + page - 1) / page * page, to = (gsize) end / page * page;

  if (to > from)
    madvise (GSIZE_TO_POINTER (from), to - from, MADV_DONTNEED);
}

/* Turns a pixbuf into an upright RGB24 surface; transparency shows as white, as on paper. The pixbuf is
 * used up on the way: both at once would be half a gigabyte. */
static cairo_surface_t *
surface_from_pixbuf (GdkPixbuf *pixbuf)
{
  int width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  int channels = gdk_pixbuf_get_n_channels (pixbuf);
  gsize from_stride = (gsize) gdk_pixbuf_get_rowstride (pixbuf);
  guchar *from = gdk_pixbuf_get_pixels (pixbuf), *used = from;
  Turn turn = turn_of (pixbuf);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, turn.width, turn.height);

  if (cairo_surface_status (surface) != CAIRO_STATUS_SUCCESS)
    return surface;
  guint32 *to = (guint32 *) (gpointer) cairo_image_surface_get_data (surface);
  g_assert (cairo_image_surface_get_stride (surface) == turn.width * 4); /* rows of whole words */
  for (int row = 0; row < height; row++)
    {
      convert_row (from + (gsize) row * from_stride, width, channels, to + turn.first + row * turn.row, turn.column);
      if (row % USED_UP != USED_UP - 1)
        continue;
      give_back (used, from + (gsize) (row + 1) * from_stride);
      used = from + (gsize) (row + 1) * from_stride;
    }
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* --- halved copies --- */

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

/* As it lies in the file, with its orientation as an option. */
static GdkPixbuf *
decode (GBytes *image, GCancellable *cancellable, GError **error)
{
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_bytes (image);
  guint width = 0, height = 0;

  /* Before it is decoded: a file of some kilobytes can unpack to more than the memory holds. */
  if (bl_image_size (image, &width, &height) && (double) width * height > BL_IMAGE_MAX_PIXELS)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED,
                   _("the photo has more than %.0f megapixels"), BL_IMAGE_MAX_PIXELS / 1e6);
      return NULL;
    }
  return gdk_pixbuf_new_from_stream (stream, cancellable, error);
}

BlPhotoSurface *
bl_photo_surface_decode (GBytes *image, GCancellable *cancellable, GError **error)
{
  g_return_val_if_fail (image != NULL, NULL);
  g_autoptr (GdkPixbuf) pixbuf = decode (image, cancellable, error);
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
  gboolean whole;

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
  /* Where a pixel is a pixel, whole ones are copied: half a pixel of offset would blur all of them. */
  whole = fabs (zoom * sx - 1) < 1e-9 && fabs (zoom * sy - 1) < 1e-9;
  cairo_translate (cr, whole ? round (-x * zoom) : -x * zoom, whole ? round (-y * zoom) : -y * zoom);
  if (!whole)
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
  g_autoptr (GdkPixbuf) pixbuf = decode (image, NULL, error);
  if (pixbuf == NULL)
    return NULL;

  double width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  double scale = MIN (1.0, 256.0 / MAX (width, height));
  g_autoptr (GdkPixbuf) small = gdk_pixbuf_scale_simple (pixbuf, MAX (1, (int) (width * scale)),
                                                         MAX (1, (int) (height * scale)),
                                                         GDK_INTERP_BILINEAR);
  char *buffer;
  gsize size;

  if (small == NULL)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, _("no memory for the photo: %s"), g_strerror (ENOMEM));
      return NULL;
    }
  gdk_pixbuf_copy_options (pixbuf, small);
  g_clear_object (&pixbuf);
  g_autoptr (GdkPixbuf) upright = gdk_pixbuf_apply_embedded_orientation (small);
  if (!gdk_pixbuf_save_to_buffer (upright, &buffer, &size, "png", error, NULL))
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
