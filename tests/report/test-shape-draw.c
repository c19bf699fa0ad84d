/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verdict shapes: which class has which, and that no two drawings are alike in outline. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-shape-draw.h"

#include <string.h>

#define SIZE 24

static void
test_classes (void)
{
  g_assert_cmpint (bl_shape_for_class ("in band", NULL), ==, BL_SHAPE_IN_BAND);
  g_assert_cmpint (bl_shape_for_class ("as expected", NULL), ==, BL_SHAPE_IN_BAND);
  g_assert_cmpint (bl_shape_for_class ("shorted", NULL), ==, BL_SHAPE_SHORTED);
  g_assert_cmpint (bl_shape_for_class ("still high", NULL), ==, BL_SHAPE_ABSENT);
  g_assert_cmpint (bl_shape_for_class ("reversed", NULL), ==, BL_SHAPE_TOO_CLOSE);
  g_assert_cmpint (bl_shape_for_class ("contact open", NULL), ==, BL_SHAPE_TOO_CLOSE);
}

static void
test_marks (void)
{
  char *classes[] = { (char *) "absent",       (char *) "low",      (char *) "in band",
                      (char *) "high",         (char *) "unsteady", (char *) "about half",
                      (char *) "contact open", (char *) "ghost",    NULL };
  const BlBandMark values[] = { { 5, 2, 3 }, { 6, 220, 240 }, { 7, 0.1, 0.3 } };
  g_autoptr (GArray) marks = g_array_new (FALSE, FALSE, sizeof (BlBandMark));
  BlBand band = { .measures = BL_MEASURES_V_DC,
                  .low = 4.8,
                  .high = 5.2,
                  .absent_below = 0.5,
                  .shorted_below = NAN,
                  .open_above = NAN,
                  .n_classes = 8,
                  .classes = classes,
                  .marks = marks,
                  .answer = TRUE };

  g_array_append_vals (marks, values, G_N_ELEMENTS (values));
  g_assert_cmpint (bl_shape_for_class ("about half", &band), ==, BL_SHAPE_LOW);
  g_assert_cmpint (bl_shape_for_class ("contact open", &band), ==, BL_SHAPE_HIGH);
  g_assert_cmpint (bl_shape_for_class ("ghost", &band), ==, BL_SHAPE_ABSENT);
  g_assert_cmpint (bl_shape_for_class ("deviates", &band), ==, BL_SHAPE_ABSENT);
  band.answer = FALSE;
  g_assert_cmpint (bl_shape_for_class ("deviates", &band), ==, BL_SHAPE_HIGH);
}

static void
test_verdicts (void)
{
  char *classes[] = { (char *) "low", (char *) "in band", NULL };
  double weights[] = { 0.4, 0.6 };
  BlVerdict verdict = { .n = 2,
                        .weights = weights,
                        .classes = classes,
                        .best = 1,
                        .evidence = TRUE };

  g_assert_cmpint (bl_shape_for_verdict (&verdict, NULL), ==, BL_SHAPE_TOO_CLOSE);
  verdict.certain = TRUE;
  g_assert_cmpint (bl_shape_for_verdict (&verdict, NULL), ==, BL_SHAPE_IN_BAND);
  verdict.reversed = TRUE;
  g_assert_cmpint (bl_shape_for_verdict (&verdict, NULL), ==, BL_SHAPE_TOO_CLOSE);
  verdict.not_reached = TRUE;
  g_assert_cmpint (bl_shape_for_verdict (&verdict, NULL), ==, BL_SHAPE_NOT_REACHED);
}

static cairo_surface_t *
drawn (BlShape shape, double size, gboolean casing)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, SIZE + 8, SIZE + 8);
  cairo_t *cr = cairo_create (surface);

  bl_shape_draw (cr, shape, (SIZE + 8) / 2.0, (SIZE + 8) / 2.0, size, bl_palette_get (FALSE),
                 casing);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static double
covered (cairo_surface_t *surface)
{
  const guchar *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  double sum = 0;

  for (int y = 0; y < SIZE + 8; y++)
    for (int x = 0; x < SIZE + 8; x++)
      sum += data[y * stride + x] / 255.0;
  return sum;
}

/* Share of the drawn area that is not common to both: by outline alone, no colour. */
static double
difference (cairo_surface_t *one, cairo_surface_t *other)
{
  const guchar *a = cairo_image_surface_get_data (one), *b = cairo_image_surface_get_data (other);
  int stride = cairo_image_surface_get_stride (one);
  double apart = 0, all = 0;

  for (int y = 0; y < SIZE + 8; y++)
    for (int x = 0; x < SIZE + 8; x++)
      {
        int i = y * stride + x;
        apart += ABS (a[i] - b[i]);
        all += MAX (a[i], b[i]);
      }
  return apart / all;
}

static void
test_outlines_differ (void)
{
  cairo_surface_t *surfaces[BL_N_SHAPES];

  for (int i = 0; i < BL_N_SHAPES; i++)
    {
      surfaces[i] = drawn (i, SIZE, FALSE);
      g_assert_cmpfloat (covered (surfaces[i]), >, 20);
    }
  g_assert_cmpfloat (difference (surfaces[0], surfaces[0]), ==, 0);
  for (int i = 0; i < BL_N_SHAPES; i++)
    for (int j = 0; j < i; j++)
      g_assert_cmpfloat (difference (surfaces[i], surfaces[j]), >, 0.2);
  for (int i = 0; i < BL_N_SHAPES; i++)
    cairo_surface_destroy (surfaces[i]);
}

static void
test_area (void)
{
  cairo_surface_t *disc = drawn (BL_SHAPE_IN_BAND, SIZE, FALSE),
                  *tiny = drawn (BL_SHAPE_IN_BAND, 10, FALSE);

  /* A disc of radius 6 on the grid of 16: pi r^2 at 24/16. */
  g_assert_cmpfloat_with_epsilon (covered (disc), G_PI * 9 * 9, 3);
  g_assert_cmpfloat (covered (tiny), ==, 0);
  cairo_surface_destroy (disc);
  cairo_surface_destroy (tiny);
}

static void
test_casing (void)
{
  for (int i = 0; i < BL_N_SHAPES; i++)
    {
      cairo_surface_t *plain = drawn (i, SIZE, FALSE), *cased = drawn (i, SIZE, TRUE);
      g_assert_cmpfloat (covered (cased), >, covered (plain) * 1.3);
      cairo_surface_destroy (plain);
      cairo_surface_destroy (cased);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/shape-draw/classes", test_classes);
  g_test_add_func ("/report/shape-draw/marks", test_marks);
  g_test_add_func ("/report/shape-draw/verdicts", test_verdicts);
  g_test_add_func ("/report/shape-draw/outlines-differ", test_outlines_differ);
  g_test_add_func ("/report/shape-draw/area", test_area);
  g_test_add_func ("/report/shape-draw/casing", test_casing);
  return g_test_run ();
}
