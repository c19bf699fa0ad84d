/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How smoothly the photo pane pans and zooms, and how much memory it takes: a photo of 60 megapixels
 * with 200 test points in a pane of 800 x 740 px under the software renderer. Wanted: 55 frames a second
 * (an interval of 18 ms) and less than 400 MiB at the peak.
 *
 * A frame's time is from the clock's before-paint to its after-paint signal: layout, snapshot and
 * rendering in this process; the X server works beside it. Frames a second are counted over a scene. The
 * photo is made by another process, so that its memory does not count. */
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <malloc.h>
#include <math.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "bl-frame-memory.h"
#include "bl-photo-view.h"
#include "bl-style.h"

#define WIDTH 8944
#define HEIGHT 6708
#define SCENE_S 3.0
#define SKIPPED 10 /* frames at the start of a scene */

typedef enum
{
  PAN_FULL,
  PAN_REDUCED,
  PAN_CROWDED,
  ZOOM,
  EMPTY, /* what a repaint of the pane costs at the least, here and now */
  N_SCENES
} Scene;

static const char *const names[N_SCENES] = { "pan 1:1", "pan 0.4", "pan, all names in view", "zoom 0.12 to 3",
                                              "empty pane" };

typedef struct
{
  GtkWidget *view;
  GMainLoop *loop;
  Scene scene;
  guint n;
  gint64 began, before;
  double cpu_before;
  GArray *frames, *cpu; /* double, ms */
} Run;

/* --- the photo --- */

/* Green with light lines and specks: neither flat nor noise, so that the file is some megabytes. */
static void
draw_photo (guchar *pixels, int stride)
{
  guint32 seed = 1;

  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      {
        guchar *p = pixels + (gsize) y * (gsize) stride + 3 * (gsize) x;
        gboolean line = (x / 7 + y / 11) % 23 == 0;
        seed = seed * 1664525 + 1013904223;
        p[0] = (guchar) (line ? 190 : 30 + (seed >> 28));
        p[1] = (guchar) (line ? 180 : 90 + (x + y) % 512 / 16 + (int) (seed >> 29));
        p[2] = (guchar) (line ? 120 : 50);
      }
}

static int
make_photo (const char *path)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, WIDTH, HEIGHT);
  g_autoptr (GError) error = NULL;

  draw_photo (gdk_pixbuf_get_pixels (pixbuf), gdk_pixbuf_get_rowstride (pixbuf));
  if (gdk_pixbuf_save (pixbuf, path, "jpeg", &error, "quality", "88", NULL))
    return 0;
  g_printerr ("%s\n", error->message);
  return 1;
}

static GBytes *
photo_bytes (const char *self)
{
  g_autofree char *folder = g_dir_make_tmp ("bench-photo-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "photo.jpg", NULL);
  const char *argv[] = { self, "--make", path, NULL };
  g_autoptr (GError) error = NULL;
  char *data;
  gsize size;
  int status;

  if (!g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL, &status, &error)
      || !g_file_get_contents (path, &data, &size, &error))
    g_error ("%s", error->message);
  g_unlink (path);
  g_rmdir (folder);
  return g_bytes_new_take (data, size);
}

/* --- scenes --- */

static GPtrArray *
points (void)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);

  for (int i = 0; i < 200; i++)
    {
      g_autofree char *name = g_strdup_printf ("TP%d", i + 1);
      BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_POINT, name, name, 2400 + i % 20 * 220, 1900 + i / 20 * 300);
      item->shape = i % 5;
      g_ptr_array_add (items, item);
    }
  return items;
}

/* Zooms and pans as a hand on the wheel and the mouse would. */
static void
move (Run *run)
{
  BlPhotoView *view = BL_PHOTO_VIEW (run->view);
  const BlViewport *now = bl_photo_view_get_viewport (view);
  static const double zooms[] = { 1, .4, .16 };
  double a = run->n * .05, zoom;

  if (run->scene == EMPTY)
    return;
  if (run->scene == ZOOM)
    zoom = exp (log (.12) + (log (3) - log (.12)) * (.5 - .5 * cos (a)));
  else
    zoom = zooms[run->scene];
  if (fabs (zoom / now->zoom - 1) > 1e-9)
    bl_photo_view_zoom (view, zoom / now->zoom);
  if (run->scene != ZOOM)
    bl_photo_view_pan (view, 12 * cos (a), 9 * sin (a));
}

static gboolean
tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  Run *run = data;

  if (++run->n == SKIPPED)
    run->began = g_get_monotonic_time ();
  move (run);
  gtk_widget_queue_draw (run->view);
  return G_SOURCE_CONTINUE;
}

/* Of this thread, ms: what a frame costs when others keep the machine busy. */
static double
cpu_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec / 1e6;
}

static void
before_paint (GdkFrameClock *clock, Run *run)
{
  run->before = g_get_monotonic_time ();
  run->cpu_before = cpu_ms ();
}

static void
after_paint (GdkFrameClock *clock, Run *run)
{
  double ms = (double) (g_get_monotonic_time () - run->before) / 1e3, cpu = cpu_ms () - run->cpu_before;

  if (run->n <= SKIPPED)
    return;
  g_array_append_val (run->frames, ms);
  g_array_append_val (run->cpu, cpu);
  if ((double) (g_get_monotonic_time () - run->began) > SCENE_S * 1e6)
    g_main_loop_quit (run->loop);
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;
  return x < y ? -1 : x > y;
}

static void
play (Run *run, Scene scene)
{
  run->scene = scene;
  if (scene == EMPTY)
    bl_photo_view_set_surface (BL_PHOTO_VIEW (run->view), NULL, NULL);
  run->n = 0;
  g_array_set_size (run->frames, 0);
  g_array_set_size (run->cpu, 0);
  guint callback = gtk_widget_add_tick_callback (run->view, tick, run, NULL);
  g_main_loop_run (run->loop);
  gtk_widget_remove_tick_callback (run->view, callback);
  double seconds = (double) (g_get_monotonic_time () - run->began) / 1e6;
  guint n = run->frames->len;
  g_array_sort (run->frames, compare);
  g_array_sort (run->cpu, compare);
  g_print ("%-24s median %5.1f ms (processor %4.1f), 95th percentile %5.1f ms (%4.1f), %4.1f frames a second\n",
           names[scene], g_array_index (run->frames, double, n / 2), g_array_index (run->cpu, double, n / 2),
           g_array_index (run->frames, double, n * 95 / 100), g_array_index (run->cpu, double, n * 95 / 100),
           n / seconds);
}

static double
peak_mib (void)
{
  struct rusage usage;

  getrusage (RUSAGE_SELF, &usage);
  return (double) usage.ru_maxrss / 1024;
}

static void
show (Run *run, BlPhotoSurface *surface)
{
  GtkWidget *window = gtk_window_new ();

  run->view = bl_photo_view_new ();
  bl_photo_view_set_surface (BL_PHOTO_VIEW (run->view), surface, NULL);
  bl_photo_view_set_items (BL_PHOTO_VIEW (run->view), points ());
  gtk_window_set_decorated (GTK_WINDOW (window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (window), 800, 740);
  gtk_window_set_child (GTK_WINDOW (window), run->view);
  bl_frame_memory_keep (window);
  bl_style_dress (window);
  gtk_window_present (GTK_WINDOW (window));
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint), run);
  g_signal_connect_after (clock, "after-paint", G_CALLBACK (after_paint), run);
}

int
main (int argc, char **argv)
{
  Run run = { 0 };
  g_autoptr (GError) error = NULL;

  if (argc == 3 && strcmp (argv[1], "--make") == 0)
    return make_photo (argv[2]);
  if (g_getenv ("DISPLAY") == NULL)
    return 77;
  /* As the program does. */
  mallopt (M_MMAP_THRESHOLD, 32 * 1024 * 1024);
  mallopt (M_TRIM_THRESHOLD, 512 * 1024 * 1024);
  mallopt (M_TOP_PAD, 64 * 1024 * 1024);
  g_autoptr (GBytes) image = photo_bytes (argv[0]);
  adw_init ();
  bl_style_install ();
  double idle = peak_mib ();
  gint64 began = g_get_monotonic_time ();
  g_autoptr (BlPhotoSurface) surface = bl_photo_surface_decode (image, NULL, &error);
  if (surface == NULL)
    g_error ("%s", error->message);
  g_print ("photo of %.1f megapixels, %.1f MiB: decoded in %.0f ms, peak %.0f MiB (%.0f MiB before)\n",
           WIDTH * (double) HEIGHT / 1e6, (double) g_bytes_get_size (image) / 1024 / 1024,
           (double) (g_get_monotonic_time () - began) / 1e3, peak_mib (), idle);
  run.loop = g_main_loop_new (NULL, FALSE);
  run.frames = g_array_new (FALSE, FALSE, sizeof (double));
  run.cpu = g_array_new (FALSE, FALSE, sizeof (double));
  show (&run, surface);
  for (guint i = 0; i < N_SCENES; i++)
    play (&run, (Scene) i);
  g_print ("peak memory %.0f MiB\n", peak_mib ());
  g_array_unref (run.frames);
  g_array_unref (run.cpu);
  g_main_loop_unref (run.loop);
  return 0;
}
