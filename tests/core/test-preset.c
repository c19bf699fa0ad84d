/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The formulas a followed band begins with, against published numbers. Beside each its source; "computed" where
 * the number was worked out from a published formula and not read. */
#include "config.h"

#include "bl-preset.h"

#include "bl-verdict.h"

static double
at (BlPresetKind kind, double a, double b, double x)
{
  return bl_preset_at (&(BlPreset){ kind, a, b }, x);
}

/* Peak values of sine supplies: computed, sqrt 2 times the effective value, as printed to one decimal. */
static void
test_peak (void)
{
  static const double rows[][2] = { { 230, 325.3 }, { 253, 357.8 }, { 207, 292.7 }, { 120, 169.7 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpfloat_with_epsilon (at (BL_PRESET_FULL_WAVE, 0, 0, rows[i][0]), rows[i][1], 0.05);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_FULL_WAVE, 0, 0, 24), 33.94, 0.005);
  /* two diodes in the way of a full wave, one of a half wave */
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_FULL_WAVE, 0.9, 0, 230), 325.27 - 1.8, 0.005);
  /* exercise of a course: 7.5 V effective, drop 0.7 V (inputs published, 9.907 computed) */
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_HALF_WAVE, 0.7, 0, 7.5), 9.907, 0.0005);
  g_assert_cmpfloat (at (BL_PRESET_FULL_WAVE, 0.9, 0, 0.5), ==, 0);
  g_assert_true (isnan (at (BL_PRESET_FULL_WAVE, 0.9, 0, -230)));
}

/* Vpp = I/(2 f C): worked example of a ripple calculator's page, 2 A, 60 Hz, 1000 uF give 16.67 V. The others are
 * computed; one pulse a period for a half wave, the course's exercise gives 3.55 V. */
static void
test_ripple (void)
{
  g_assert_cmpfloat_with_epsilon (bl_ripple_pp (2, 60, 1000e-6, 2), 16.67, 0.005);
  g_assert_cmpfloat_with_epsilon (bl_ripple_pp (0.1, 50, 1000e-6, 2), 1.0, 1e-9);
  g_assert_cmpfloat_with_epsilon (bl_ripple_pp (10e-3, 60, 47e-6, 1), 3.55, 0.005);
  g_assert_cmpfloat_with_epsilon (bl_ripple_pp (2, 60, 0.01, 2), 1.67, 0.005);
}

/* IEC 60751, coefficients as quoted in code that cites it; end points 18.52 and 390.48 ohm quoted there too, the
 * values between computed from the coefficients. */
static void
test_platinum (void)
{
  static const double rows[][2] = { { -200, 18.52 }, { -100, 60.26 }, { -50, 80.31 },  { 0, 100.00 },  { 25, 109.73 },
                                    { 50, 119.40 },  { 100, 138.51 }, { 150, 157.33 }, { 200, 175.86 }, { 850, 390.48 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpfloat_with_epsilon (at (BL_PRESET_PLATINUM, 100, 0, rows[i][0]), rows[i][1], 0.005);
  g_assert_true (isnan (at (BL_PRESET_PLATINUM, 100, 0, 851)));
}

/* "Sensor resistance/temperature curves", rev. C (2014), material type 1: table, and the same curve as four
 * published coefficients of ln (R/R25) = A + B/T + C/T2 + D/T3. The table is in the program; the coefficients are
 * not, so they check what lies between its points. */
static void
test_type_1 (void)
{
  static const double table[][2] = { { -40, 33.36 }, { 0, 3.264 },     { 25, 1.0 },      { 50, 0.3601 },
                                     { 85, 0.1070 }, { 100, 0.06781 }, { 125, 0.03403 } };

  for (guint i = 0; i < G_N_ELEMENTS (table); i++)
    g_assert_cmpfloat_with_epsilon (at (BL_PRESET_TYPE_1, 1, 0, table[i][0]), table[i][1], 1e-9);
  for (double celsius = 0; celsius <= 50; celsius += 1)
    {
      double t = celsius + 273.15;
      double ratio = exp (-14.195756 + 4407.4785 / t - 5165.8730 / (t * t) - 14017368 / (t * t * t));
      g_assert_cmpfloat_with_epsilon (at (BL_PRESET_TYPE_1, 1, 0, celsius) / ratio, 1, 0.003);
    }
  g_assert_true (isnan (at (BL_PRESET_TYPE_1, 10e3, 0, 126)));
}

/* Computed from the definition of B: 10k, B 3950 and B 3435. And the same source as above: its B25/85 of 3977 in a
 * model of two constants must miss its own table by 3.9 % at 0 degC and 1.1 % at 50 degC, which is why the table
 * is there. */
static void
test_beta (void)
{
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3950, 0), 33621, 0.5);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3950, 25), 10000, 1e-6);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3950, 50), 3588.2, 0.05);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3950, 85), 1086.7, 0.05);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3950, 100), 697.5, 0.05);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3435, 0), 28704, 0.5);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 10e3, 3435, 50), 4101.2, 0.05);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 1, 3977, 85), 0.10703, 0.0001);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 1, 3977, 0) / at (BL_PRESET_TYPE_1, 1, 0, 0) - 1, 0.039, 0.0005);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_BETA, 1, 3977, 50) / at (BL_PRESET_TYPE_1, 1, 0, 50) - 1, -0.011,
                                  0.0005);
}

/* The NE 43 limits across 250 ohm, computed: 4-20 mA is 1 to 5 V. A divider is not what makes it, but a straight
 * ratio is; and the shunt reference of 2.495 V sees its part of 12.04 V through 38.3k over 10k (Ohm's law). */
static void
test_straight (void)
{
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_RATIO, 250, 0, 4e-3), 1.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_RATIO, 250, 0, 12e-3), 3.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_RATIO, 250, 0, 20e-3), 5.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_RATIO, 1, -0.11, 320), 319.89, 1e-9);
  g_assert_cmpfloat_with_epsilon (at (BL_PRESET_DIVIDER, 38.3e3, 10e3, 12.04), 2.493, 0.0005);
  g_assert_true (isnan (at (BL_PRESET_DIVIDER, 0, 0, 5)));
}

/* The line through the points stays near the curve everywhere, and is no longer than it must be. */
static void
test_points (void)
{
  static const struct
  {
    BlPresetKind kind;
    double from, to;
    guint most;
  } rows[] = { { BL_PRESET_FULL_WAVE, 100, 300, 2 }, { BL_PRESET_DIVIDER, 0, 12, 2 },  { BL_PRESET_PLATINUM, -50, 250, 6 },
               { BL_PRESET_BETA, -40, 125, 65 },     { BL_PRESET_TYPE_1, 0, 50, 30 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      BlPreset preset = bl_preset_usual (rows[i].kind);
      g_autoptr (GError) error = NULL;
      g_autoptr (GArray) points = bl_preset_points (&preset, rows[i].from, rows[i].to, &error);
      g_autoptr (BlMeasurement) m = bl_measurement_new ();

      g_assert_no_error (error);
      g_assert_cmpuint (points->len / 2, <=, rows[i].most);
      g_assert_cmpfloat (g_array_index (points, double, 0), ==, rows[i].from);
      g_assert_cmpfloat (g_array_index (points, double, points->len - 2), ==, rows[i].to);
      m->id = g_strdup ("M");
      m->measures = BL_MEASURES_F; /* any kind of value without classes of its own limits */
      m->has_expected = TRUE;
      m->expected.follows = bl_follows_new ();
      m->expected.follows->points = g_array_ref (points);
      for (int step = 0; step <= 100; step++)
        {
          double x = rows[i].from + (rows[i].to - rows[i].from) * step / 100;
          g_autoptr (BlBand) band = bl_band_resolve (m, x, 0, &error);
          g_assert_no_error (error);
          /* 0.5 % of 15 % of the largest at least, and a little for what lies between the places looked at */
          double largest = fmax (bl_preset_at (&preset, rows[i].from), bl_preset_at (&preset, rows[i].to));
          g_assert_cmpfloat_with_epsilon (band->nominal, bl_preset_at (&preset, x),
                                          0.006 * fmax (bl_preset_at (&preset, x), 0.15 * largest) + 1e-12);
        }
    }
}

static void
test_refused (void)
{
  BlPreset preset = bl_preset_usual (BL_PRESET_TYPE_1);
  g_autoptr (GError) error = NULL;

  g_assert_null (bl_preset_points (&preset, -50, 50, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_null (bl_preset_points (&preset, 50, 50, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

static void
test_words (void)
{
  g_autofree char *bus = bl_preset_words (&(BlPreset){ BL_PRESET_FULL_WAVE, 0.9, 0 }, "LN");
  g_autofree char *node = bl_preset_words (&(BlPreset){ BL_PRESET_DIVIDER, 38.3e3, 10e3 }, "V12");

  g_assert_cmpstr (bus, ==, "computed: √2 × LN − 2 × 0.9 V, capacitor behind a bridge, no load");
  g_assert_nonnull (strstr (node, "38.3 kohm over 10 kohm"));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/preset/peak", test_peak);
  g_test_add_func ("/preset/ripple", test_ripple);
  g_test_add_func ("/preset/platinum", test_platinum);
  g_test_add_func ("/preset/type-1", test_type_1);
  g_test_add_func ("/preset/beta", test_beta);
  g_test_add_func ("/preset/straight", test_straight);
  g_test_add_func ("/preset/points", test_points);
  g_test_add_func ("/preset/refused", test_refused);
  g_test_add_func ("/preset/words", test_words);
  return g_test_run ();
}
