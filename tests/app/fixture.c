/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of the window share. */
#include "config.h"

#include "fixture.h"

#include <glib/gstdio.h>
#include <math.h>
#include <stdlib.h>

#include "bl-bundle.h"
#include "bl-style.h"

void
app_test_init (int *argc, char ***argv)
{
  if (g_getenv ("DISPLAY") == NULL)
    {
      g_print ("1..0 # SKIP no display\n");
      exit (77);
    }
  gtk_test_init (argc, argv, NULL);
  adw_init ();
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, "gtk-cursor-blink", FALSE, NULL);
  bl_style_install ();
}

GBytes *
app_grey_png (int width, int height)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, width, height);
  char *data;
  gsize size;

  gdk_pixbuf_fill (pixbuf, 0x606060ff);
  g_assert_true (gdk_pixbuf_save_to_buffer (pixbuf, &data, &size, "png", NULL, NULL));
  return g_bytes_new_take (data, size);
}

static void
set_outline (BlStage *stage)
{
  const double corners[] = { 300, 200, 500, 200, 500, 400, 300, 400 };
  BlOutline *outline = bl_outline_new ();

  outline->photo = g_strdup ("front");
  outline->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (outline->points, corners, G_N_ELEMENTS (corners));
  bl_append (&stage->outlines, outline, (GDestroyNotify) bl_outline_free);
}

void
app_fixture_set_up (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (GBytes) image = app_grey_png (640, 480);
  int handle = g_file_open_tmp ("bench-XXXXXX.benchlore-library", &fixture->path, &error);

  g_assert_no_error (error);
  g_close (handle, NULL);
  g_unlink (fixture->path);
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);
  g_assert_no_error (error);
  bl_board_test_point (board, "TP5")->x = 400;
  bl_board_test_point (board, "TP5")->y = 300;
  set_outline (bl_board_stage (board, "rail5"));
  fixture->board = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  bl_library_put_board_photo (fixture->library, fixture->board, "front", "image/png", image, NULL, &error);
  g_assert_no_error (error);
  fixture->job = bl_bench_start (fixture->library, fixture->board, NULL, NULL, &error);
  g_assert_no_error (error);
  fixture->bench = bl_bench_new (fixture->library, fixture->job, &error);
  g_assert_no_error (error);
}

void
app_fixture_tear_down (AppFixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->bench);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_unlink (fixture->path);
  g_clear_pointer (&fixture->path, g_free);
}

static GdkTexture *
texture_of (GtkWidget *widget, int width, int height)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (widget);
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  g_autoptr (GskRenderer) renderer = gsk_cairo_renderer_new ();
  g_autoptr (GError) error = NULL;

  gdk_paintable_snapshot (paintable, snapshot, width, height);
  g_autoptr (GskRenderNode) node = gtk_snapshot_to_node (snapshot);
  g_assert_nonnull (node);
  gsk_renderer_realize (renderer, NULL, &error);
  g_assert_no_error (error);
  GdkTexture *texture = gsk_renderer_render_texture (renderer, node, &GRAPHENE_RECT_INIT (0, 0, width, height));
  gsk_renderer_unrealize (renderer);
  return texture;
}

guint32 *
app_render (GtkWidget *widget, int width, int height, const char *name)
{
  GtkWidget *window = gtk_window_new ();
  g_autofree char *file = g_strdup_printf ("%s.png", name);
  g_autofree char *path = g_test_build_filename (G_TEST_BUILT, file, NULL);
  guint32 *pixels = g_new0 (guint32, (gsize) width * height);

  gtk_window_set_decorated (GTK_WINDOW (window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (window), width, height);
  gtk_widget_set_size_request (widget, width, height);
  gtk_window_set_child (GTK_WINDOW (window), widget);
  bl_style_dress (window);
  gtk_window_present (GTK_WINDOW (window));
  for (int i = 0; i < 3; i++)
    {
      gtk_widget_queue_draw (widget);
      gtk_test_widget_wait_for_draw (widget);
    }
  g_autoptr (GdkTexture) texture = texture_of (widget, width, height);
  gdk_texture_save_to_png (texture, path);
  gdk_texture_download (texture, (guchar *) pixels, (gsize) width * 4);
  gtk_window_destroy (GTK_WINDOW (window));
  return pixels;
}

gboolean
app_wait (gboolean (*done) (gpointer data), gpointer data)
{
  gint64 end = g_get_monotonic_time () + 30 * G_USEC_PER_SEC;

  while (!done (data) && g_get_monotonic_time () < end)
    {
      g_main_context_iteration (NULL, FALSE);
      g_usleep (2000);
    }
  return done (data);
}

gboolean
app_is_colour (guint32 pixel, const BlColour *colour)
{
  double r = (pixel >> 16) & 0xff, g = (pixel >> 8) & 0xff, b = pixel & 0xff;

  return fabs (r - colour->red * 255) <= 3 && fabs (g - colour->green * 255) <= 3 && fabs (b - colour->blue * 255) <= 3;
}
