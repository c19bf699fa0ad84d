/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits as resolved from what a document expects, and the order in which classes show. */
#undef G_DISABLE_ASSERT
#include "fixture-board.h"

#include <string.h>

static void
assert_invalid (const BlMeasurement *self, const char *reason)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBand) band = bl_band_resolve (self, NAN, 0, &error);

  g_assert_null (band);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  if (strstr (error->message, reason) == NULL)
    g_error ("“%s” instead of “%s”", error->message, reason);
}

static void
test_classes (void)
{
  static const struct
  {
    BlMeasures measures;
    const char *names;
    const char *good;
  } rows[] = {
    { BL_MEASURES_V_DC, "absent,low,in band,high,unsteady,half", "in band" },
    { BL_MEASURES_S, "absent,low,in band,high,unsteady,half", "in band" },
    { BL_MEASURES_OHM, "shorted,low,in band,high,open,unsteady,half", "in band" },
    { BL_MEASURES_INSULATION, "shorted,low,in band,high,open,unsteady,half", "in band" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlMeasurement) m = measurement ("M", rows[i].measures, 5, 4.8, 5.2);
      g_autoptr (BlBand) band = NULL;
      g_autofree char *names = NULL;

      add_mark (m, "half", 2, 3);
      band = band_of (m);
      names = g_strjoinv (",", band->classes);
      g_assert_cmpstr (names, ==, rows[i].names);
      g_assert_cmpuint (band->n_classes, ==, g_strv_length (band->classes));
      g_assert_cmpstr (band->classes[band->good], ==, rows[i].good);
      g_assert_cmpint (bl_band_class (band, "half"), ==, (int) band->n_classes - 1);
      g_assert_cmpint (bl_band_class (band, "none"), ==, -1);
    }
}

static void
test_defaults (void)
{
  g_autoptr (BlMeasurement) volts = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlMeasurement) hertz = measurement ("M", BL_MEASURES_HZ, 50, 49, 51);
  g_autoptr (BlMeasurement) zero = measurement ("M", BL_MEASURES_V_DC, 0, -0.1, 0.1);
  g_autoptr (BlMeasurement) no_low = measurement ("M", BL_MEASURES_V_DC, NAN, NAN, 10);
  g_autoptr (BlMeasurement) ohms = measurement ("M", BL_MEASURES_OHM, 980e3, 900e3, 1.1e6);
  g_autoptr (BlMeasurement) wire = measurement ("M", BL_MEASURES_CONTINUITY, 0, NAN, 1);
  g_autoptr (BlBand) a = band_of (volts), b = band_of (hertz), c = band_of (zero);
  g_autoptr (BlBand) d = band_of (no_low), e = band_of (ohms), f = band_of (wire);
  double low, high;

  g_assert_cmpfloat (a->absent_below, ==, 0.5);
  g_assert_true (isnan (b->absent_below) && isnan (c->absent_below) && isnan (d->absent_below));
  g_assert_true (d->low == -INFINITY);
  g_assert_cmpfloat (e->shorted_below, ==, 98e3);
  g_assert_cmpfloat (e->open_above, ==, 9.8e6);
  g_assert_true (isnan (f->shorted_below) && isnan (f->open_above));
  no_low->expected.absent_below = quantity (2);
  g_clear_pointer (&d, bl_band_free);
  d = band_of (no_low);
  bl_band_edges (d, &low, &high);
  g_assert_cmpfloat (low, ==, 2);
  g_assert_cmpfloat (high, ==, 10);
}

static void
test_tolerance (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, NAN, NAN);
  g_autoptr (BlBand) even = NULL, uneven = NULL, partly = NULL;
  double below, above;

  m->expected.tolerance = g_strdup ("4 %");
  even = band_of (m);
  g_assert_cmpfloat_with_epsilon (even->low, 4.8, 1e-12);
  g_assert_cmpfloat_with_epsilon (even->high, 5.2, 1e-12);
  g_free (m->expected.tolerance);
  m->expected.tolerance = g_strdup ("+5 %/-10 %");
  uneven = band_of (m);
  g_assert_cmpfloat_with_epsilon (uneven->low, 4.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (uneven->high, 5.25, 1e-12);
  m->expected.high = quantity (5.5);
  partly = band_of (m);
  g_assert_cmpfloat (partly->high, ==, 5.5);
  g_assert_true (bl_tolerance_parse ("±2,5%", &below, &above, NULL));
  g_assert_cmpfloat (below, ==, 0.025);
  for (const char *const *bad = (const char *const[]){ "4", "", "%", "-4 %", "4 V", "+5 %/+6 %",
                                                       "4k%", "1%/2%/3%", NULL };
       *bad != NULL; bad++)
    g_assert_false (bl_tolerance_parse (*bad, &below, &above, NULL));
  m->expected.nominal = quantity (NAN);
  assert_invalid (m, "needs a nominal");
}

/* A -12 V rail, its limits written either way round or by a tolerance. */
static void
test_negative (void)
{
  g_autoptr (BlMeasurement) one = measurement ("M", BL_MEASURES_V_DC, -12, -12.6, -11.4);
  g_autoptr (BlMeasurement) two = measurement ("M", BL_MEASURES_V_DC, -12, -11.4, -12.6);
  g_autoptr (BlMeasurement) three = measurement ("M", BL_MEASURES_V_DC, -12, NAN, NAN);
  g_autoptr (BlMeasurement) alone = measurement ("M", BL_MEASURES_V_DC, -12, -11.4, NAN);
  BlMeasurement *all[] = { one, two, three };
  g_autoptr (BlBand) low_only = band_of (alone);

  three->expected.tolerance = g_strdup ("5 %");
  add_mark (one, "half", -7, -5);
  for (gsize i = 0; i < G_N_ELEMENTS (all); i++)
    {
      g_autoptr (BlBand) band = band_of (all[i]);

      g_assert_true (band->negative);
      g_assert_cmpfloat_with_epsilon (band->low, 11.4, 1e-12);
      g_assert_cmpfloat_with_epsilon (band->high, 12.6, 1e-12);
      g_assert_cmpfloat_with_epsilon (band->absent_below, 1.2, 1e-12);
      if (i == 0)
        g_assert_cmpfloat (g_array_index (band->marks, BlBandMark, 0).low, ==, 5);
    }
  g_assert_cmpfloat (low_only->low, ==, 11.4);
  g_assert_true (low_only->high == INFINITY);
}

static void
test_refused (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 5.2, 4.8);

  assert_invalid (m, "low (5.2) is above high (4.8)");
  m->expected.low = quantity (0.3);
  assert_invalid (m, "absent_below (0.5) (10 % of nominal when left out) is above low (0.3)");
  m->expected.low = quantity (4);
  m->expected.absent_below = quantity (4.5);
  assert_invalid (m, "absent_below (4.5) is above low (4)");
  m->expected.absent_below = quantity (NAN);
  add_mark (m, "half", 2, 4.5);
  assert_invalid (m, "overlaps the band");
  m->expected.low = quantity (4.6);
  add_mark (m, "less", 1, 2.5);
  assert_invalid (m, "overlaps “half”");
  ((BlMark *) bl_at (m->expected.marks, 1))->high = quantity (2);
  g_assert_nonnull (bl_at (m->expected.marks, 1));
  g_free (((BlMark *) bl_at (m->expected.marks, 1))->id);
  ((BlMark *) bl_at (m->expected.marks, 1))->id = g_strdup ("high");
  assert_invalid (m, "another class");
}

static void
test_refused_resistive (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_OHM, 100, 80, 2000);

  assert_invalid (m, "open_above (1000) (10 x nominal when left out) is below high (2000)");
  m->expected.open_above = quantity (5000);
  m->expected.shorted_below = quantity (90);
  assert_invalid (m, "shorted_below (90) is above low (80)");
}

static void
test_swing (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_SWING, NAN, NAN, NAN);
  g_autoptr (BlBand) band = NULL;

  assert_invalid (m, "min and max");
  m->expected.has_min = m->expected.has_max = TRUE;
  m->expected.min[0] = quantity (0);
  m->expected.min[1] = quantity (3);
  m->expected.max[0] = quantity (2);
  m->expected.max[1] = quantity (12);
  assert_invalid (m, "rising order");
  m->expected.max[0] = quantity (9);
  band = band_of (m);
  g_assert_cmpfloat (band->span_below, ==, 0);
  g_assert_cmpstr (band->classes[band->good], ==, "in band");
  g_assert_cmpuint (band->n_classes, ==, 7);
}

/* A line through three points: values between them, beyond the ends, and the slopes. */
static void
test_follows (void)
{
  static const double points[] = { 0, 1, 10, 2, 20, 6 };
  static const struct
  {
    double x, y, slope;
  } rows[] = { { 5, 1.5, 0.1 }, { 10, 2, 0.4 }, { 15, 4, 0.4 }, { 25, 8, 0.4 }, { -5, 0.5, 0.1 } };
  g_autoptr (BlMeasurement) m = measurement ("M2", BL_MEASURES_V_DC, NAN, NAN, NAN);
  g_autoptr (BlBand) unread = NULL;
  g_autoptr (GError) error = NULL;

  follow (m, "M1", points, G_N_ELEMENTS (points), 0.03);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlBand) band = bl_band_resolve (m, rows[i].x, 0, NULL);

      g_assert_true (band->follows);
      g_assert_cmpfloat_with_epsilon (band->nominal, rows[i].y, 1e-12);
      g_assert_cmpfloat_with_epsilon (band->low, rows[i].y * 0.97, 1e-12);
      g_assert_cmpfloat_with_epsilon (band->high, rows[i].y * 1.03, 1e-12);
      g_assert_cmpfloat_with_epsilon (band->slope, rows[i].slope, 1e-12);
    }
  unread = bl_band_resolve (m, NAN, 0, &error);
  g_assert_null (unread);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  m->expected.low = quantity (1);
  unread = band_of (m);
  g_assert_false (unread->follows);
  g_assert_cmpfloat (unread->low, ==, 1);
}

/* Half width as a share and in units together; and where the other's reading puts the band over limits and marks of
 * other classes, these give way: behind a supply that is not there nothing is expected, and 0 V is as it should be. */
static void
test_follows_far (void)
{
  static const double same[] = { 0, 0, 250, 250 };
  g_autoptr (BlMeasurement) m = measurement ("M2", BL_MEASURES_V_AC, 230, 207, 253);
  g_autoptr (BlBand) band = NULL, dead = NULL, high = NULL, given = NULL;
  g_autoptr (GError) error = NULL;

  m->expected.absent_below = quantity (100);
  add_mark (m, "half", 100, 130);
  add_mark (m, "twice", 440, 480);
  follow (m, "M1", same, G_N_ELEMENTS (same), 0.02);
  m->expected.follows->within = quantity (3);
  band = bl_band_resolve (m, 218, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (band->low, 218 * 0.98 - 3, 1e-9);
  g_assert_cmpfloat_with_epsilon (band->high, 218 * 1.02 + 3, 1e-9);
  g_assert_cmpfloat (band->absent_below, ==, 100);
  dead = bl_band_resolve (m, 2, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (dead->low, <, 0);
  g_assert_cmpfloat (dead->absent_below, <=, dead->low);
  high = bl_band_resolve (m, 128, 0, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (g_array_index (high->marks, BlBandMark, 0).high, 128 * 0.98 - 3, 1e-9);
  g_assert_cmpfloat (g_array_index (high->marks, BlBandMark, 0).low, ==, 100);
  /* Without the other's reading the limits given hold, and marks must not overlap them. */
  m->expected.low = quantity (120);
  given = bl_band_resolve (m, NAN, 0, &error);
  g_assert_null (given);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

static void
assert_order (const BlBand *band, const char *order, gboolean series)
{
  g_auto (GStrv) names = g_strsplit (order, ",", -1);

  g_assert_cmpuint (g_strv_length (names), ==, band->n_classes);
  for (guint i = 0; i + 1 < band->n_classes; i++)
    g_assert_cmpint (bl_band_rank (band, (guint) bl_band_class (band, names[i]), series), <,
                     bl_band_rank (band, (guint) bl_band_class (band, names[i + 1]), series));
}

static void
test_ranks (void)
{
  g_autoptr (BlMeasurement) volts = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlMeasurement) ohms = measurement ("M", BL_MEASURES_OHM, 5, 4.8, 5.2);
  g_autoptr (BlMeasurement) swing = measurement ("M", BL_MEASURES_SWING, NAN, NAN, NAN);
  g_autoptr (BlBand) a = NULL, b = NULL, c = NULL;

  add_mark (volts, "z", 2, 3);
  add_mark (volts, "a", 3, 4);
  swing->expected.has_min = swing->expected.has_max = TRUE;
  swing->expected.min[0] = swing->expected.min[1] = quantity (0);
  swing->expected.max[0] = swing->expected.max[1] = quantity (5);
  a = band_of (volts);
  b = band_of (ohms);
  c = band_of (swing);
  assert_order (a, "absent,unsteady,z,a,low,high,in band", FALSE);
  assert_order (b, "shorted,open,unsteady,low,high,in band", FALSE);
  assert_order (b, "open,shorted,unsteady,low,high,in band", TRUE);
  assert_order (c, "still low,still high,still middle,low,high,beyond,in band", FALSE);
}

static void
test_copy (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlBand) band = NULL, copy = NULL;

  add_mark (m, "half", 2, 3);
  band = band_of (m);
  copy = bl_band_copy (band);
  g_clear_pointer (&band, bl_band_free);
  g_assert_cmpstr (copy->classes[5], ==, "half");
  g_assert_cmpuint (copy->marks->len, ==, 1);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/band/classes", test_classes);
  g_test_add_func ("/core/band/defaults", test_defaults);
  g_test_add_func ("/core/band/tolerance", test_tolerance);
  g_test_add_func ("/core/band/negative", test_negative);
  g_test_add_func ("/core/band/refused", test_refused);
  g_test_add_func ("/core/band/refused-resistive", test_refused_resistive);
  g_test_add_func ("/core/band/swing", test_swing);
  g_test_add_func ("/core/band/follows", test_follows);
  g_test_add_func ("/core/band/follows-far", test_follows_far);
  g_test_add_func ("/core/band/ranks", test_ranks);
  g_test_add_func ("/core/band/copy", test_copy);
  return g_test_run ();
}
