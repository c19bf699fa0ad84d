/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo: decoded upright, halved truly, and what is marked on it is there in the picture. */
#include "config.h"

#include "fixture.h"

#include "bl-photo-view-private.h"

static guint
count_in (const guint32 *pixels, int stride, int x0, int y0, int x1, int y1, const BlColour *colour)
{
  guint n = 0;

  for (int y = y0; y < y1; y++)
    for (int x = x0; x < x1; x++)
      n += app_is_colour (pixels[y * stride + x], colour);
  return n;
}

static BlPhotoSurface *
grey_surface (int width, int height)
{
  g_autoptr (GBytes) png = app_grey_png (width, height);
  g_autoptr (GError) error = NULL;
  BlPhotoSurface *surface = bl_photo_surface_decode (png, NULL, &error);

  g_assert_no_error (error);
  return surface;
}

static GArray *
rectangle (double x0, double y0, double x1, double y1)
{
  const double corners[] = { x0, y0, x1, y0, x1, y1, x0, y1 };
  GArray *points = g_array_new (FALSE, FALSE, sizeof (double));

  g_array_append_vals (points, corners, G_N_ELEMENTS (corners));
  return points;
}

/* Fitted 1:1, so that photo pixels are picture pixels. */
static void
test_marks (void)
{
  g_autoptr (BlPhotoSurface) surface = grey_surface (640, 480);
  const BlPalette *dark = bl_palette_get (TRUE);
  GtkWidget *view = g_object_ref_sink (bl_photo_view_new ());
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  g_autoptr (GArray) box = rectangle (300, 200, 500, 400);
  BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_POINT, "TP5", "TP5", 120, 120);

  item->shape = BL_SHAPE_IN_BAND;
  g_ptr_array_add (items, item);
  g_ptr_array_add (outlines, bl_photo_outline_new (BL_PHOTO_LIKELY, "rail5", "likely failed: 5 V rail 95 %", box));
  bl_photo_view_set_surface (BL_PHOTO_VIEW (view), surface, NULL);
  bl_photo_view_set_items (BL_PHOTO_VIEW (view), items);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (view), outlines);
  bl_photo_view_describe (BL_PHOTO_VIEW (view), "Photo front, likely failed stage: 5 V rail, 95 %");
  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_ROLE_IMG);
  g_autofree guint32 *pixels = app_render (view, 640, 480, "photo-marks");

  /* The lower edge of the likely stage, the disc of the point, the tab above, bare copper inside. */
  g_assert_cmpuint (count_in (pixels, 640, 320, 395, 480, 405, &dark->likely), >, 160 * 3);
  g_assert_cmpuint (count_in (pixels, 640, 112, 112, 128, 128, &dark->in_band), >, 80);
  g_assert_cmpuint (count_in (pixels, 640, 300, 175, 460, 199, &dark->likely), >, 1000);
  g_assert_cmpuint (count_in (pixels, 640, 320, 220, 480, 380, &(BlColour){ 0.376, 0.376, 0.376 }), ==, 160 * 160);
  g_object_unref (view);
}

static void
test_zoom (void)
{
  g_autoptr (BlPhotoSurface) surface = grey_surface (2000, 1500);
  GtkWidget *view = g_object_ref_sink (bl_photo_view_new ());
  const BlViewport *viewport = bl_photo_view_get_viewport (BL_PHOTO_VIEW (view));

  bl_photo_view_set_surface (BL_PHOTO_VIEW (view), surface, NULL);
  g_autofree guint32 *pixels = app_render (view, 400, 300, "photo-zoom");
  g_assert_cmpfloat_with_epsilon (viewport->zoom, 0.2, 1e-9);
  bl_photo_view_frame (BL_PHOTO_VIEW (view), 1000, 800, 1400, 1100);
  g_assert_cmpfloat (viewport->zoom, >, 0.8);
  g_assert_true (bl_viewport_shows (viewport, 1000, 800, 5));
  g_assert_true (bl_viewport_shows (viewport, 1400, 1100, 5));
  bl_photo_view_reveal (BL_PHOTO_VIEW (view), 100, 100);
  g_assert_true (bl_viewport_shows (viewport, 100, 100, 5));
  g_object_unref (view);
}

/* A JPEG with an EXIF orientation; no two corners of the picture are alike. */
static GBytes *
turned_photo (guint8 orientation)
{
  const guint8 exif[] = { 0xff, 0xe1, 0, 0x22, 'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0, 0, 0, 8, 0, 1,
                          0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0 };
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, 301, 203);
  guchar *pixels = gdk_pixbuf_get_pixels (pixbuf);
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  char *data;
  gsize size;

  for (int y = 0; y < 203; y++)
    for (int x = 0; x < 301; x++)
      {
        guchar *p = pixels + y * gdk_pixbuf_get_rowstride (pixbuf) + 3 * x;
        p[0] = (guchar) (x * 200 / 301);
        p[1] = (guchar) (y * 200 / 203);
        p[2] = (guchar) (x > 150 && y > 100 ? 220 : 20);
      }
  g_assert_true (gdk_pixbuf_save_to_buffer (pixbuf, &data, &size, "jpeg", NULL, "quality", "95", NULL));
  g_byte_array_append (bytes, (guint8 *) data, 2);
  g_byte_array_append (bytes, exif, sizeof exif);
  g_byte_array_append (bytes, (guint8 *) data + 2, (guint) size - 2);
  g_free (data);
  return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

/* Every EXIF orientation, pixel by pixel against the picture library's own turning. */
static void
test_orientation (void)
{
  for (guint8 orientation = 1; orientation <= 8; orientation++)
    {
      g_autoptr (GBytes) image = turned_photo (orientation);
      g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_bytes (image);
      g_autoptr (GdkPixbuf) plain = gdk_pixbuf_new_from_stream (stream, NULL, NULL);
      g_autoptr (GdkPixbuf) upright = gdk_pixbuf_apply_embedded_orientation (plain);
      g_autoptr (BlPhotoSurface) surface = bl_photo_surface_decode (image, NULL, NULL);
      int w = gdk_pixbuf_get_width (upright), h = gdk_pixbuf_get_height (upright);
      g_assert_cmpint (w, ==, orientation < 5 ? 301 : 203);
      g_assert_cmpint (bl_photo_surface_width (surface), ==, w);
      g_assert_cmpint (bl_photo_surface_height (surface), ==, h);
      cairo_surface_t *shown = cairo_image_surface_create (CAIRO_FORMAT_RGB24, w, h);
      cairo_t *cr = cairo_create (shown);
      bl_photo_surface_paint (surface, cr, 0, 0, 1, w, h);
      cairo_destroy (cr);
      cairo_surface_flush (shown);
      for (int y = 0; y < h; y++)
        for (int x = 0; x < w; x++)
          {
            const guchar *p = gdk_pixbuf_read_pixels (upright) + y * gdk_pixbuf_get_rowstride (upright) + 3 * x;
            const guint32 *q
              = (const guint32 *) (gconstpointer) (cairo_image_surface_get_data (shown)
                                                   + y * cairo_image_surface_get_stride (shown));
            g_assert_cmphex (q[x] & 0xffffff, ==, (guint32) (p[0] << 16 | p[1] << 8 | p[2]));
          }
      cairo_surface_destroy (shown);
    }
}

static void
test_broken (void)
{
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff\xe0 nothing", 12);
  g_autoptr (GError) error = NULL;

  g_assert_null (bl_photo_surface_decode (image, NULL, &error));
  g_assert_nonnull (error);
}

static void
outline_changed (BlPhotoView *view, BlPhotoOutlineKind kind, const char *id, GArray *points, BlOutlineChange change,
                 gboolean finished, GString *log)
{
  if (finished)
    g_string_append_printf (log, "%s %u %d;", id, points->len / 2, change == BL_OUTLINE_CORNER_ADDED);
}

static GPtrArray *
selected_outline (const char *id, double x0, double x1)
{
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);
  g_autoptr (GArray) box = rectangle (x0, 200, x1, 400);
  BlPhotoOutline *outline = bl_photo_outline_new (BL_PHOTO_SECTION, id, id, box);

  outline->selected = TRUE;
  g_ptr_array_add (outlines, outline);
  return outlines;
}

/* Outlines that come while an edge is dragged, as after an analysis that took its time, wait until it is let go. */
static void
test_refresh_during_drag (void)
{
  g_autoptr (BlPhotoSurface) surface = grey_surface (640, 480);
  g_autoptr (GString) log = g_string_new (NULL);
  BlPhotoView *view = g_object_ref_sink (BL_PHOTO_VIEW (bl_photo_view_new ()));

  bl_photo_view_set_surface (view, surface, NULL);
  g_autofree guint32 *pixels = app_render (GTK_WIDGET (view), 640, 480, "photo-drag");
  g_object_set (view, "editable", TRUE, NULL);
  g_signal_connect (view, "outline-changed", G_CALLBACK (outline_changed), log);
  bl_photo_view_set_outlines (view, selected_outline ("supply", 300, 500));
  view->start_x = 300;
  view->start_y = 300;
  g_assert_true (bl_photo_outlines_begin (view, 300, 300, 0, FALSE));
  g_assert_cmpint (view->act, ==, ACT_EDGE);
  bl_photo_outlines_drag (view, 280, 300, 0);
  bl_photo_view_set_outlines (view, selected_outline ("other", 10, 60));
  bl_photo_outlines_drag (view, 260, 300, 0);
  bl_photo_outlines_end (view, 250, 300, 0);
  g_assert_cmpstr (log->str, ==, "supply 5 1;");
  bl_photo_view_end_act (view);
  g_assert_cmpstr (((BlPhotoOutline *) g_ptr_array_index (view->outlines, 0))->id, ==, "other");
  g_object_unref (view);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/photo-view/marks", test_marks);
  g_test_add_func ("/app/photo-view/zoom", test_zoom);
  g_test_add_func ("/app/photo-view/orientation", test_orientation);
  g_test_add_func ("/app/photo-view/broken", test_broken);
  g_test_add_func ("/app/photo-view/refresh-during-drag", test_refresh_during_drag);
  return g_test_run ();
}
