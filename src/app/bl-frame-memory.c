/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Frames on X11 without a graphics processor: cairo draws each into memory shared with the X server, out of a pool that
 * it gives back to the system as soon as nothing is left in it. That is after every frame; making, mapping and filling
 * the pages of the next one costs both sides more than the drawing. One image kept in the pool, never drawn on and so
 * without pages of its own, is enough to keep it. */
#include "config.h"

#include "bl-frame-memory.h"

#ifdef GDK_WINDOWING_X11
#include <cairo-xlib.h>
#include <gdk/x11/gdkx.h>

/* A pool is eight times as large as the first image in it, up to a power of two: this one holds two frames of
 * 3840 x 2160 px beside the image. */
#define WIDTH 2048
#define HEIGHT 1024

static cairo_surface_t *
shared_image (GdkSurface *surface)
{
  Display *display = gdk_x11_display_get_xdisplay (gdk_surface_get_display (surface));
  int screen = DefaultScreen (display);
  cairo_surface_t *window = cairo_xlib_surface_create (display, gdk_x11_surface_get_xid (surface),
                                                       DefaultVisual (display, screen), 1, 1);
  cairo_surface_t *image = cairo_surface_create_similar_image (window, CAIRO_FORMAT_RGB24, WIDTH, HEIGHT);

  cairo_surface_destroy (window);
  return image;
}

static void
realized (GtkWidget *window, gpointer data)
{
  static cairo_surface_t *kept;
  GdkSurface *surface = gtk_native_get_surface (GTK_NATIVE (window));

  if (kept == NULL && GDK_IS_X11_SURFACE (surface))
    kept = shared_image (surface);
}
#endif

void
bl_frame_memory_keep (GtkWidget *window)
{
  g_return_if_fail (GTK_IS_NATIVE (window));

#ifdef GDK_WINDOWING_X11
  g_signal_connect (window, "realize", G_CALLBACK (realized), NULL);
#endif
}
