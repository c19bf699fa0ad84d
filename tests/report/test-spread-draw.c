/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strip of dots: where dots stand, which one is under the pointer, and that lanes and dots are on the picture. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-spread-draw.h"

#include <math.h>

#define WIDTH 400

static const BlSpreadDot dots[] = { { 11.9, BL_SPREAD_COUNTS },  { 12.0, BL_SPREAD_COUNTS }, { 12.0, BL_SPREAD_COUNTS },
                                    { 12.1, BL_SPREAD_COUNTS },  { 12.7, BL_SPREAD_OUTLIER }, { 11.2, BL_SPREAD_OUT } };

static BlSpread
spread (void)
{
  return (BlSpread){ dots, G_N_ELEMENTS (dots), 11, 13, TRUE, 11.7, 12.3, NAN, NAN };
}

/* One scale for everything: equal steps are equal lengths, and all that is shown is inside. */
static void
test_scale (void)
{
  BlSpread s = spread ();
  double low = bl_spread_across (&s, WIDTH, 11), middle = bl_spread_across (&s, WIDTH, 12),
         high = bl_spread_across (&s, WIDTH, 13);

  g_assert_cmpfloat_with_epsilon (middle - low, high - middle, 1e-9);
  g_assert_true (low > 0 && high < WIDTH);
  s.documented_high = INFINITY; /* no limit: to the end of the strip */
  g_assert_cmpfloat (bl_spread_across (&s, WIDTH, INFINITY), ==, WIDTH);
  g_assert_cmpfloat (bl_spread_across (&s, WIDTH, -INFINITY), ==, 0);
  s = (BlSpread){ dots, 1, 0, 0, FALSE, NAN, NAN, NAN, NAN };
  g_assert_cmpfloat_with_epsilon (bl_spread_across (&s, WIDTH, 11.9), WIDTH / 2.0, 1e-6);
  s.n_dots = 0;
  g_assert_true (isfinite (bl_spread_across (&s, WIDTH, 1)));
}

/* Two boards that read the same are two dots. */
static void
test_dots_apart (void)
{
  BlSpread s = spread ();
  g_autoptr (GArray) places = bl_spread_places (&s, WIDTH);

  g_assert_cmpuint (places->len, ==, 2 * s.n_dots);
  for (guint i = 0; i < s.n_dots; i++)
    {
      double x = g_array_index (places, double, 2 * i), y = g_array_index (places, double, 2 * i + 1);
      g_assert_cmpfloat_with_epsilon (x, bl_spread_across (&s, WIDTH, dots[i].value), 1e-9);
      g_assert_true (y > 0 && y < BL_SPREAD_HEIGHT);
      g_assert_cmpint (bl_spread_dot_at (&s, WIDTH, x, y), ==, (int) i);
    }
  g_assert_cmpfloat (g_array_index (places, double, 3), !=, g_array_index (places, double, 5));
  g_assert_cmpint (bl_spread_dot_at (&s, WIDTH, bl_spread_across (&s, WIDTH, 12.5), BL_SPREAD_HEIGHT / 2), ==, -1);
}

static guint32
pixel (cairo_surface_t *surface, double x, double y)
{
  const guchar *data = cairo_image_surface_get_data (surface);
  const guint32 *row = (const guint32 *) (gconstpointer) (data + (int) y * cairo_image_surface_get_stride (surface));
  return row[(int) x] & 0xffffff;
}

static guint32
rgb (const BlColour *colour)
{
  return (guint32) lround (colour->red * 255) << 16 | (guint32) lround (colour->green * 255) << 8
         | (guint32) lround (colour->blue * 255);
}

static void
test_drawing (void)
{
  BlSpread s = spread ();
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, WIDTH, BL_SPREAD_HEIGHT);
  cairo_t *cr = cairo_create (surface);
  g_autoptr (GArray) places = bl_spread_places (&s, WIDTH);

  for (int dark = 0; dark < 2; dark++)
    {
      const BlPalette *palette = bl_palette_get (dark);
      bl_set_source (cr, &palette->page);
      cairo_paint (cr);
      bl_spread_draw (cr, &s, -1, FALSE, 0, 0, WIDTH, palette);
      cairo_surface_flush (surface);
      /* A board that counts is filled; one that does not is a ring. */
      g_assert_cmphex (pixel (surface, g_array_index (places, double, 0), g_array_index (places, double, 1)), ==,
                       rgb (&palette->ink));
      g_assert_cmphex (pixel (surface, g_array_index (places, double, 8), g_array_index (places, double, 9)), ==,
                       rgb (&palette->page));
      /* The documented lane, and nothing of it beyond its limit. */
      g_assert_cmphex (pixel (surface, bl_spread_across (&s, WIDTH, 12.9), 2), ==, rgb (&palette->lane));
      g_assert_cmphex (pixel (surface, bl_spread_across (&s, WIDTH, 13) + 4, 2), ==, rgb (&palette->page));
      /* The frame of the proposed one. */
      g_assert_cmphex (pixel (surface, bl_spread_across (&s, WIDTH, 11.8), 4), ==, rgb (&palette->ink));
      g_assert_cmphex (pixel (surface, bl_spread_across (&s, WIDTH, 12.5), 4), ==, rgb (&palette->lane));
    }
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/spread-draw/scale", test_scale);
  g_test_add_func ("/report/spread-draw/dots-apart", test_dots_apart);
  g_test_add_func ("/report/spread-draw/drawing", test_drawing);
  return g_test_run ();
}
