/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band ruler: where values stand, what is labelled, and what is drawn where. With --sheet FILE
 * it draws all its examples into a PNG to look at instead. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-ruler-draw.h"
#include "bl-shape-draw.h"

#include <string.h>

static char *steady_classes[] = { (char *) "absent", (char *) "low",      (char *) "in band",
                                  (char *) "high",   (char *) "unsteady", NULL };
static char *ohm_classes[] = { (char *) "shorted",
                               (char *) "low",
                               (char *) "in band",
                               (char *) "high",
                               (char *) "open",
                               (char *) "unsteady",
                               NULL };

static BlBand
steady (double nominal, double low, double high, double absent_below)
{
  return (BlBand){ .measures = BL_MEASURES_V_DC,
                   .nominal = nominal,
                   .low = low,
                   .high = high,
                   .absent_below = absent_below,
                   .shorted_below = NAN,
                   .open_above = NAN,
                   .answer = TRUE,
                   .n_classes = 5,
                   .classes = steady_classes,
                   .good = 2 };
}

static BlBand
ohms (double nominal, double low, double high)
{
  BlBand band = steady (nominal, low, high, NAN);

  band.measures = BL_MEASURES_OHM;
  band.shorted_below = nominal / 10;
  band.open_above = nominal * 10;
  band.n_classes = 6;
  band.classes = ohm_classes;
  return band;
}

#define assert_at(band, value, at)                                                                 \
  g_assert_cmpfloat_with_epsilon (bl_ruler_position (band, value), at, 1e-9)

static void
test_steady (void)
{
  BlBand band = steady (12, 11, 13, 1.2);

  assert_at (&band, 0, 0);
  assert_at (&band, -3, 0);
  assert_at (&band, 1.2, 0.12);
  assert_at (&band, 11, 0.36);
  assert_at (&band, 12, 0.5);
  assert_at (&band, 13, 0.64);
  assert_at (&band, 17, 0.86); /* two band widths above the band */
  assert_at (&band, 17.01, 0.95);
  assert_at (&band, INFINITY, 0.95);
}

static void
test_ohms (void)
{
  BlBand band = ohms (100, 90, 110);

  assert_at (&band, 5, 0.06);
  assert_at (&band, 10, 0.12);
  assert_at (&band, 90, 0.36);
  assert_at (&band, 110, 0.64);
  assert_at (&band, 1000, 0.86);
  assert_at (&band, 1001, 0.95);
}

static void
test_one_limit (void)
{
  BlBand upper = steady (NAN, -INFINITY, 10, NAN), lower = steady (NAN, 100e6, INFINITY, NAN);

  assert_at (&upper, 0, 0.36);
  assert_at (&upper, 10, 0.64);
  g_assert_cmpfloat (bl_ruler_position (&upper, -50), ==, 0.36);
  g_assert_cmpfloat (bl_ruler_position (&upper, 10.1), >, 0.64);
  g_assert_cmpfloat (bl_ruler_position (&lower, 99e6), <, 0.36);
  assert_at (&lower, 100e6, 0.36);
  assert_at (&lower, 1e12, 0.64);
}

/* A band without width must not divide by zero and keeps its sides apart. */
static void
test_no_width (void)
{
  BlBand band = steady (5, 5, 5, 0.5);

  assert_at (&band, 5, 0.5);
  g_assert_cmpfloat (bl_ruler_position (&band, 4.999), <, 0.36);
  g_assert_cmpfloat (bl_ruler_position (&band, 5.001), >, 0.64);
}

static void
test_negative (void)
{
  BlBand band = steady (-12, 11, 13, 1.2);
  g_autoptr (GArray) labels = NULL;

  band.negative = TRUE;
  assert_at (&band, -12, 0.5);
  assert_at (&band, -0.6, 0.06);
  labels = bl_ruler_labels (&band);
  g_assert_cmpfloat (g_array_index (labels, BlRulerLabel, 2).value, ==, -11);
}

static void
test_rises (void)
{
  const BlBand bands[] = { steady (12, 11, 13, 1.2), ohms (100, 90, 110),
                           steady (NAN, -INFINITY, 10, NAN), steady (NAN, 3, INFINITY, 1),
                           steady (0, -0.1, 0.1, NAN) };

  for (guint b = 0; b < G_N_ELEMENTS (bands); b++)
    for (double v = -20, last = 0; v < 2000; v += 0.05)
      {
        double at = bl_ruler_position (&bands[b], v);
        g_assert_cmpfloat (at, >=, last);
        g_assert_cmpfloat (at, <=, 1);
        last = at;
      }
}

static void
test_labels (void)
{
  BlBand band = ohms (100, 90, 110), upper = steady (NAN, -INFINITY, 10, NAN);
  g_autoptr (GArray) labels = bl_ruler_labels (&band), fewer = bl_ruler_labels (&upper);
  g_autoptr (GArray) zones = bl_ruler_zones (&band);
  const double values[] = { 0, 10, 90, 110, 1000 };

  g_assert_cmpuint (labels->len, ==, 5);
  for (guint i = 0; i < labels->len; i++)
    {
      const BlRulerLabel *label = &g_array_index (labels, BlRulerLabel, i);
      g_assert_cmpfloat (label->value, ==, values[i]);
      assert_at (&band, label->value, label->at);
      g_assert_cmpint (label->limit, ==, i == 2 || i == 3);
    }
  g_assert_cmpuint (fewer->len, ==, 2);
  g_assert_cmpfloat (g_array_index (fewer, BlRulerLabel, 0).value, ==, 10);
  g_assert_cmpuint (zones->len, ==, 5);
  g_assert_cmpstr (g_array_index (zones, BlRulerZone, 0).name, ==, "shorted");
  g_assert_cmpstr (g_array_index (zones, BlRulerZone, 4).name, ==, "open");
}

/* --- pixels --- */

#define WIDTH 200
#define HEIGHT 20

static gboolean
has_colour (cairo_surface_t *surface, double from, double to, const BlColour *colour)
{
  const guchar *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  int rgb[] = { (int) (colour->blue * 255 + 0.5), (int) (colour->green * 255 + 0.5),
                (int) (colour->red * 255 + 0.5) };

  for (int y = 0; y < HEIGHT; y++)
    for (int x = (int) (from * WIDTH); x < to * WIDTH; x++)
      {
        guint32 pixel;
        memcpy (&pixel, data + y * stride + 4 * x, 4);
        if (abs ((int) (pixel & 0xff) - rgb[0]) <= 1 &&
            abs ((int) (pixel >> 8 & 0xff) - rgb[1]) <= 1 &&
            abs ((int) (pixel >> 16 & 0xff) - rgb[2]) <= 1)
          return TRUE;
      }
  return FALSE;
}

static cairo_surface_t *
drawn (const BlBand *band, const BlReading *reading, const BlVerdict *verdict, BlRulerFlags flags)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, WIDTH, HEIGHT);
  cairo_t *cr = cairo_create (surface);

  bl_set_source (cr, &bl_palette_get (FALSE)->raised);
  cairo_paint (cr);
  bl_ruler_draw (cr, band, reading, verdict, flags | BL_RULER_RAISED, 0, 0, WIDTH, HEIGHT,
                 bl_palette_get (FALSE));
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static void
test_needle (void)
{
  const BlPalette *palette = bl_palette_get (FALSE);
  BlBand band = steady (12, 11, 13, 1.2);
  double weights[] = { 0, 1, 0, 0, 0 };
  BlVerdict verdict = { .n = 5,
                        .weights = weights,
                        .classes = steady_classes,
                        .best = 1,
                        .evidence = TRUE,
                        .certain = TRUE,
                        .value = 6 };
  BlReading reading = { BL_READING_VALUE, 6, 6, FALSE },
            none = { BL_READING_NOT_REACHED, 0, 0, FALSE };
  double at = bl_ruler_position (&band, 6);
  cairo_surface_t *filled = drawn (&band, &reading, &verdict, 0);
  cairo_surface_t *empty = drawn (&band, &none, NULL, 0);
  cairo_surface_t *lane = drawn (&band, &reading, &verdict, BL_RULER_LANE_ONLY);
  cairo_surface_t *track = drawn (NULL, NULL, NULL, 0);

  g_assert_true (has_colour (filled, at - 0.02, at + 0.02, &palette->low));
  g_assert_false (has_colour (filled, 0, at - 0.02, &palette->low));
  g_assert_false (has_colour (filled, at + 0.02, 1, &palette->low));
  g_assert_false (has_colour (empty, 0, 1, &palette->low));
  g_assert_true (has_colour (empty, 0.37, 0.63, &palette->lane));
  g_assert_true (has_colour (empty, 0, 0.12, &palette->track));
  g_assert_false (has_colour (lane, 0, 0.35, &palette->track));
  g_assert_false (has_colour (lane, 0, 1, &palette->low));
  g_assert_true (has_colour (lane, 0.37, 0.63, &palette->lane));
  g_assert_false (has_colour (track, 0, 1, &palette->lane));
  cairo_surface_destroy (filled);
  cairo_surface_destroy (empty);
  cairo_surface_destroy (lane);
  cairo_surface_destroy (track);
}

/* In a row the whisker shows only where it says something: where it reaches a limit. */
static void
test_whisker (void)
{
  const BlPalette *palette = bl_palette_get (FALSE);
  BlBand band = steady (12, 11, 13, 1.2);
  double weights[] = { 0, 0, 1, 0, 0 };
  BlVerdict verdict = { .n = 5,
                        .weights = weights,
                        .classes = steady_classes,
                        .best = 2,
                        .evidence = TRUE,
                        .certain = TRUE,
                        .value = 12,
                        .u = 0.1 };
  BlReading reading = { BL_READING_VALUE, 12, 12, FALSE };
  cairo_surface_t *quiet = drawn (&band, &reading, &verdict, 0), *shown;

  reading.value = verdict.value = 12.9;
  shown = drawn (&band, &reading, &verdict, 0);
  g_assert_false (has_colour (quiet, 0, 1, &palette->ink));
  g_assert_true (has_colour (shown, 0.5, 0.75, &palette->ink));
  cairo_surface_destroy (quiet);
  cairo_surface_destroy (shown);
}

/* --- the sheet --- */

static void
sheet_rows (cairo_t *cr, double x, double w, double h, double step, const BlPalette *palette)
{
  static char *marked[] = { (char *) "absent",
                            (char *) "low",
                            (char *) "in band",
                            (char *) "high",
                            (char *) "unsteady",
                            (char *) "contact open",
                            NULL };
  g_autoptr (GArray) marks = g_array_new (FALSE, FALSE, sizeof (BlBandMark));
  const BlBandMark contact = { 5, 200, 260 };
  BlBand rail = steady (12, 11, 13, 1.2), five = steady (5, 4.8, 5.2, 0.5),
         resistor = ohms (100, 90, 110);
  BlBand upper = steady (NAN, -INFINITY, 10, NAN), follow = steady (3, 2.8, 3.2, 0.3),
         mark = steady (NAN, 0.16, 0.24, NAN);
  BlBand swing = steady (NAN, -INFINITY, INFINITY, NAN), check = swing;
  const struct
  {
    BlBand *band;
    BlReading reading;
    int best; /* -1: too close */
    double u;
    BlRulerFlags flags;
  } rows[] = {
    { &rail, { BL_READING_VALUE, 12.04, 0, FALSE }, 2, 0.02, 0 },
    { &rail, { BL_READING_VALUE, 9.6, 0, FALSE }, 1, 0, 0 },
    { &rail, { BL_READING_VALUE, 14.3, 0, FALSE }, 3, 0, 0 },
    { &rail, { BL_READING_VALUE, 0.2, 0, FALSE }, 0, 0, 0 },
    { &rail, { BL_READING_RANGE, 8.9, 12.6, FALSE }, 4, 0, 0 },
    { &resistor, { BL_READING_VALUE, 0.4, 0, FALSE }, 0, 0, 0 },
    { &resistor, { BL_READING_OVER, INFINITY, 0, FALSE }, 4, 0, 0 },
    { &five, { BL_READING_VALUE, 4.81, 0, FALSE }, -1, 0.04, 0 },
    { &five, { BL_READING_NOT_REACHED, 0, 0, FALSE }, 2, 0, 0 },
    { &mark, { BL_READING_VALUE, 230, 0, FALSE }, 5, 0, 0 },
    { &follow, { BL_READING_VALUE, 2.91, 0, FALSE }, 2, 0, 0 },
    { &upper, { BL_READING_VALUE, 0.04, 0, FALSE }, 2, 0, 0 },
    { &rail, { BL_READING_VALUE, 9.9, 0, FALSE }, 1, 0, BL_RULER_TYPING },
    { &swing, { BL_READING_RANGE, 0.5, 22, FALSE }, 2, 0, 0 },
    { &check, { BL_READING_ANSWER, 0, 0, TRUE }, 2, 0, 0 },
    { &check, { BL_READING_ANSWER, 0, 0, FALSE }, 0, 0, 0 },
  };

  g_array_append_val (marks, contact);
  mark.marks = marks;
  mark.n_classes = 6;
  mark.classes = marked;
  follow.follows = TRUE;
  swing.measures = BL_MEASURES_SWING;
  swing.min[0] = 0, swing.min[1] = 2, swing.max[0] = 20, swing.max[1] = 25;
  check.measures = BL_MEASURES_CHECK;
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      double weights[6] = { 0 }, y = 10 + i * step;
      BlVerdict verdict = { .n = rows[i].band->n_classes,
                            .weights = weights,
                            .classes = rows[i].band->classes,
                            .best = rows[i].best < 0 ? 2 : rows[i].best,
                            .evidence = TRUE,
                            .certain = rows[i].best >= 0,
                            .value = NAN,
                            .u = rows[i].u,
                            .not_reached = rows[i].reading.kind == BL_READING_NOT_REACHED };
      bl_ruler_draw (cr, rows[i].band, NULL, NULL, BL_RULER_LANE_ONLY, x, y, w, step, palette);
      bl_ruler_draw (cr, rows[i].band, &rows[i].reading, &verdict, rows[i].flags | BL_RULER_RAISED,
                     x, y + (step - h) / 2, w, h, palette);
      bl_shape_draw (cr, bl_shape_for_verdict (&verdict, rows[i].band), x - 20, y + step / 2, 16,
                     palette, FALSE);
    }
}

static void
draw_sheet (const char *path)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 1000, 860);
  cairo_t *cr = cairo_create (surface);

  bl_set_source (cr, &bl_palette_get (FALSE)->raised);
  cairo_paint (cr);
  bl_set_source (cr, &bl_palette_get (TRUE)->raised);
  cairo_rectangle (cr, 230, 0, 230, 860);
  cairo_fill (cr);
  sheet_rows (cr, 50, 152, 17, 23, bl_palette_get (FALSE));
  sheet_rows (cr, 280, 152, 17, 23, bl_palette_get (TRUE));
  sheet_rows (cr, 540, 264, 40, 52, bl_palette_get (FALSE));
  for (int i = 0; i < BL_N_SHAPES; i++)
    {
      bl_shape_draw (cr, i, 40 + 50 * i, 480, 40, bl_palette_get (FALSE), FALSE);
      bl_shape_draw (cr, i, 40 + 50 * i, 540, 40, bl_palette_get (TRUE), TRUE);
      bl_shape_draw (cr, i, 40 + 50 * i, 590, 16, bl_palette_get (TRUE), TRUE);
    }
  g_assert_cmpint (cairo_surface_write_to_png (surface, path), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  if (argc == 3 && strcmp (argv[1], "--sheet") == 0)
    {
      draw_sheet (argv[2]);
      return 0;
    }
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/ruler-draw/steady", test_steady);
  g_test_add_func ("/report/ruler-draw/ohms", test_ohms);
  g_test_add_func ("/report/ruler-draw/one-limit", test_one_limit);
  g_test_add_func ("/report/ruler-draw/no-width", test_no_width);
  g_test_add_func ("/report/ruler-draw/negative", test_negative);
  g_test_add_func ("/report/ruler-draw/rises", test_rises);
  g_test_add_func ("/report/ruler-draw/labels", test_labels);
  g_test_add_func ("/report/ruler-draw/needle", test_needle);
  g_test_add_func ("/report/ruler-draw/whisker", test_whisker);
  return g_test_run ();
}
