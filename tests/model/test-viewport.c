/* SPDX-License-Identifier: GPL-3.0-or-later
 * The rules of bl-viewport.c, with no display. */
#include "config.h"

#include "bl-viewport.h"

#include <math.h>

#define NEAR 1e-9

static BlViewport
open_photo (void)
{
  BlViewport viewport;
  bl_viewport_init (&viewport);
  bl_viewport_set_view (&viewport, 600, 400);
  bl_viewport_set_image (&viewport, 3000, 2000);
  return viewport;
}

static void
test_fit (void)
{
  BlViewport viewport = open_photo ();
  double x, y;

  g_assert_cmpfloat_with_epsilon (viewport.zoom, 0.2, NEAR);
  bl_viewport_to_view (&viewport, 3000, 2000, &x, &y);
  g_assert_cmpfloat_with_epsilon (x, 600, NEAR);
  g_assert_cmpfloat_with_epsilon (y, 400, NEAR);
  bl_viewport_set_view (&viewport, 300, 400);
  g_assert_cmpfloat_with_epsilon (viewport.zoom, 0.1, NEAR);
  bl_viewport_to_view (&viewport, 1500, 1000, &x, &y);
  g_assert_cmpfloat_with_epsilon (x, 150, NEAR);
  g_assert_cmpfloat_with_epsilon (y, 200, NEAR);
}

static void
test_pointer_stays (void)
{
  BlViewport viewport = open_photo ();
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);

  bl_viewport_zoom_at (&viewport, 6, 300, 200);
  for (int i = 0; i < 500; i++)
    {
      double vx = g_rand_double_range (rand, 200, 400), vy = g_rand_double_range (rand, 150, 250);
      double before_x, before_y, after_x, after_y;
      bl_viewport_to_image (&viewport, vx, vy, &before_x, &before_y);
      bl_viewport_zoom_at (&viewport, i % 2 != 0 ? 1.05 : 1 / 1.05, vx, vy);
      bl_viewport_to_image (&viewport, vx, vy, &after_x, &after_y);
      g_assert_cmpfloat_with_epsilon (before_x, after_x, 1e-6);
      g_assert_cmpfloat_with_epsilon (before_y, after_y, 1e-6);
    }
}

static void
test_never_lost (void)
{
  BlViewport viewport = open_photo ();

  bl_viewport_zoom_at (&viewport, 10, 0, 0);
  bl_viewport_pan (&viewport, 1e6, -1e6);
  g_assert_cmpfloat_with_epsilon (viewport.x, 0, NEAR);
  g_assert_cmpfloat_with_epsilon (viewport.y + 400 / viewport.zoom, 2000, NEAR);
  bl_viewport_zoom_at (&viewport, 1e-9, 10, 10);
  g_assert_true (viewport.fitted);
  g_assert_cmpfloat_with_epsilon (viewport.zoom, 0.2, NEAR);
  bl_viewport_zoom_at (&viewport, 1e9, 10, 10);
  g_assert_cmpfloat_with_epsilon (viewport.zoom, 8, NEAR);
}

static void
test_middle_kept_on_resize (void)
{
  BlViewport viewport = open_photo ();
  double x, y;

  bl_viewport_zoom_at (&viewport, 5, 300, 200);
  bl_viewport_set_view (&viewport, 800, 500);
  bl_viewport_to_view (&viewport, 1500, 1000, &x, &y);
  g_assert_cmpfloat_with_epsilon (x, 400, NEAR);
  g_assert_cmpfloat_with_epsilon (y, 250, NEAR);
}

static void
test_shows_and_centre (void)
{
  BlViewport viewport = open_photo ();
  double x, y;

  bl_viewport_zoom_at (&viewport, 10, 0, 0);
  g_assert_true (bl_viewport_shows (&viewport, 100, 100, 20));
  g_assert_false (bl_viewport_shows (&viewport, 5, 100, 20));
  g_assert_false (bl_viewport_shows (&viewport, 2000, 100, 20));
  bl_viewport_centre_on (&viewport, 2999, 1000, &x, &y);
  g_assert_cmpfloat_with_epsilon (x, 3000 - 600 / viewport.zoom, NEAR);
  viewport.x = x, viewport.y = y;
  g_assert_true (bl_viewport_shows (&viewport, 2980, 1000, 20));
}

static void
test_no_photo (void)
{
  BlViewport viewport;
  double x, y;

  bl_viewport_init (&viewport);
  bl_viewport_zoom_at (&viewport, 2, 10, 10);
  bl_viewport_pan (&viewport, 5, 5);
  bl_viewport_to_image (&viewport, 10, 10, &x, &y);
  g_assert_true (isfinite (x) && isfinite (y));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/viewport/fit", test_fit);
  g_test_add_func ("/model/viewport/pointer-stays", test_pointer_stays);
  g_test_add_func ("/model/viewport/never-lost", test_never_lost);
  g_test_add_func ("/model/viewport/middle-kept-on-resize", test_middle_kept_on_resize);
  g_test_add_func ("/model/viewport/shows-and-centre", test_shows_and_centre);
  g_test_add_func ("/model/viewport/no-photo", test_no_photo);
  return g_test_run ();
}
