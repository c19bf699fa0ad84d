/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos by id: each is read once, until another picture stands in its place; what was on its way then is not shown. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include "bl-photo-loader.h"

typedef struct
{
  guint n_read, n_loaded;
  int width; /* of the picture that stands there, px */
} Shelf;

static GBytes *
read_image (const char *id, gpointer data, GError **error)
{
  Shelf *shelf = data;

  shelf->n_read++;
  if (g_str_equal (id, "none"))
    {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, "nothing there");
      return NULL;
    }
  return app_grey_png (shelf->width, 30);
}

static void
loaded (BlPhotoLoader *loader, const char *id, Shelf *shelf)
{
  shelf->n_loaded++;
}

static gboolean
is_loaded (gpointer data)
{
  return ((Shelf *) data)->n_loaded > 0;
}

static void
test_forget (void)
{
  Shelf shelf = { .width = 40 };
  BlPhotoLoader *loader = bl_photo_loader_new (read_image, &shelf);
  const char *message;

  g_signal_connect (loader, "loaded", G_CALLBACK (loaded), &shelf);
  g_assert_null (bl_photo_loader_get (loader, "front", NULL, &message));
  g_assert_nonnull (message);
  g_assert_null (bl_photo_loader_get (loader, "front", NULL, &message));
  g_assert_cmpuint (shelf.n_read, ==, 1);
  bl_photo_loader_forget (loader, "front"); /* while it is on its way */
  shelf.width = 50;
  g_assert_null (bl_photo_loader_get (loader, "front", NULL, &message));
  g_assert_cmpuint (shelf.n_read, ==, 2);
  g_assert_true (app_wait (is_loaded, &shelf));
  BlPhotoSurface *surface = bl_photo_loader_get (loader, "front", NULL, &message);
  g_assert_nonnull (surface);
  g_assert_null (message);
  g_assert_cmpint ((int) bl_photo_surface_width (surface), ==, 50);
  g_assert_cmpuint (shelf.n_loaded, ==, 1);
  g_assert_cmpuint (shelf.n_read, ==, 2);
  bl_photo_loader_forget (loader, "front");
  g_assert_null (bl_photo_loader_peek (loader, "front"));

  g_assert_null (bl_photo_loader_get (loader, "none", NULL, &message));
  g_assert_nonnull (message);
  g_assert_true (bl_photo_loader_is_broken (loader, "none"));
  bl_photo_loader_forget (loader, "none");
  g_assert_false (bl_photo_loader_is_broken (loader, "none"));
  bl_photo_loader_close (loader);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/photo-loader/forget", test_forget);
  return g_test_run ();
}
