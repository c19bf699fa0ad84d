/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdict weights against published risks of accepting and rejecting.
 *
 * The weight of "in band" is the probability that a reading of uncertainty u belongs into the band. Seen the other
 * way round, for a true value it is the probability that its reading falls into the band: so the risks of a whole
 * production, as published, are integrals of the program's own weights over what is produced. The integration and
 * the distribution of what is produced are this file's.
 *
 * Sources. JCGM 106:2012 9.5: resistors of 1500 ohm, inputs quoted by public scripts that cite equation 21, results
 * from memory (printed) and computed; ball bearings with a gamma prior, results quoted by the notebook of an open
 * uncertainty calculator. The same calculator's own tests: specific risks, and false accepts that it checks against
 * a text book (read). GUM (JCGM 100:2008) table G.2, last row: from memory. */
#undef G_DISABLE_ASSERT
#include "fixture-board.h"

#include <string.h>

/* Weights of low, in band and high of a value with standard uncertainty u. low and high may be NAN. */
static double
share (double value, double u, double low, double high, const char *name)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_DEGC, NAN, low, high);
  g_autoptr (BlBand) band = band_of (m);
  BlMeter meter = { 0, sqrt (3), u, NAN };
  BlReading reading = { BL_READING_VALUE, value, NAN, FALSE };
  g_autoptr (BlVerdict) verdict = bl_judge (band, &reading, &meter, NAN, 0);

  for (guint i = 0; i < verdict->n; i++)
    if (strcmp (verdict->classes[i], name) == 0)
      return verdict->weights[i];
  g_assert_not_reached ();
}

/* Density of what is produced. */
typedef struct
{
  gboolean gamma; /* else normal */
  double mean, sigma; /* of the normal; shape and rate of the gamma */
} Prior;

static double
density (const Prior *prior, double y)
{
  double z = (y - prior->mean) / prior->sigma;

  if (!prior->gamma)
    return exp (-z * z / 2) / (prior->sigma * sqrt (2 * G_PI));
  return y <= 0 ? 0
                : exp (prior->mean * log (prior->sigma) + (prior->mean - 1) * log (y) - prior->sigma * y
                       - lgamma (prior->mean));
}

/* Simpson's rule over [from, to] of the density times the probability to be accepted (or not). */
static double
integrate (const Prior *prior, double from, double to, double u, double low, double high, gboolean accepted)
{
  const int n = 600;
  double sum = 0, h = (to - from) / n;

  for (int i = 0; i <= n; i++)
    {
      double y = from + i * h, w = share (y, u, low, high, "in band");
      sum += (i == 0 || i == n ? 1 : i % 2 == 1 ? 4 : 2) * density (prior, y) * (accepted ? w : 1 - w);
    }
  return sum * h / 3;
}

static void
test_resistors (void)
{
  const Prior made = { FALSE, 1500, 0.12 };
  const double low = 1499.8, high = 1500.2, u = 0.04, far = 8 * 0.12;
  static const struct
  {
    double accept_low, accept_high, consumer, producer;
  } rows[] = { { 1499.82, 1500.18, 0.009878, 0.069027 },  /* J5, guarded; printed as about 1 % and 7 % */
               { 1499.80, 1500.20, 0.018942, 0.037208 } }; /* J6, simple acceptance; computed only */

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      double a = rows[i].accept_low, b = rows[i].accept_high;
      double consumer = integrate (&made, 1500 - far, low, u, a, b, TRUE)
                        + integrate (&made, high, 1500 + far, u, a, b, TRUE);
      double producer = integrate (&made, low, high, u, a, b, FALSE);
      g_assert_cmpfloat_with_epsilon (consumer, rows[i].consumer, 2e-6);
      g_assert_cmpfloat_with_epsilon (producer, rows[i].producer, 2e-6);
    }
}

/* J8 and J9: limit 2 um, what is made is gamma distributed (shape 4, rate 4 per um), u 0.25 um: 0.8 % of bad ones are
 * accepted; 0.1 % with an acceptance limit of 1.672 um. */
static void
test_bearings (void)
{
  const Prior made = { TRUE, 4, 4 };

  g_assert_cmpfloat_with_epsilon (integrate (&made, 2, 5, 0.25, NAN, 2, TRUE), 0.0080191, 1e-6);
  g_assert_cmpfloat_with_epsilon (integrate (&made, 2, 5, 0.25, NAN, 1.6718288, TRUE), 0.001, 1e-6);
}

/* False accepts and rejects of a production, limits +-SL, meter a quarter of the production's sigma or as wide as
 * it; read in the calculator's tests, which print two or three digits. */
static void
test_production (void)
{
  static const struct
  {
    double limit, u, accept, false_accept, false_reject;
  } rows[] = { { 2, 0.25 * 2 / 2, 2, 0.008, 0.015 },
               { 2.5, 2.5 / 2 / 4, 2.5, 0.0025, NAN },
               { 2.5, 2.5 / 2, 2.5, 0.005, NAN },
               { 2, 0.5, 0.91 * 2, 0.008, 0.066 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const Prior made = { FALSE, 0, 1 };
      double l = rows[i].limit, a = rows[i].accept;
      double fa = 2 * integrate (&made, l, 9, rows[i].u, -a, a, TRUE);
      double fr = integrate (&made, -l, l, rows[i].u, -a, a, FALSE);
      g_test_message ("limit %g u %g: false accept %.5f, false reject %.5f", l, rows[i].u, fa, fr);
      g_assert_cmpfloat_with_epsilon (fa, rows[i].false_accept, 0.0006);
      if (!isnan (rows[i].false_reject))
        g_assert_cmpfloat_with_epsilon (fr, rows[i].false_reject, 0.0006);
    }
}

/* Specific risks, read: N(10, 0.4), N(10.5, 0.4) and N(12, 0.4) between 9 and 11. */
static void
test_specific (void)
{
  g_assert_cmpfloat_with_epsilon (share (10, 0.4, 9, 11, "low"), 0.00621, 5e-6);
  g_assert_cmpfloat_with_epsilon (share (10, 0.4, 9, 11, "high"), 0.00621, 5e-6);
  g_assert_cmpfloat_with_epsilon (share (10.5, 0.4, 9, 11, "low"), 0.00009, 5e-6);
  g_assert_cmpfloat_with_epsilon (share (10.5, 0.4, 9, 11, "high"), 0.10565, 5e-6);
  g_assert_cmpfloat_with_epsilon (1 - share (12, 0.4, 9, 11, "in band"), 0.99379, 5e-6);
}

/* GUM table G.2, infinite degrees of freedom: the interval y +- k u holds p per cent. And one-sided: the factors of
 * required conformance, and what a guard band of so many u leaves (computed; 2.3 % at 2 u in JCGM 106 8.3.2, quoted). */
static void
test_factors (void)
{
  static const double two_sided[][2]
    = { { 1.00, 68.27 }, { 1.645, 90 }, { 1.960, 95 }, { 2.00, 95.45 }, { 2.576, 99 }, { 3.00, 99.73 } };
  static const double one_sided[][2]
    = { { 0.8416, 80 }, { 1.2816, 90 }, { 1.6449, 95 }, { 2.3263, 99 }, { 3.0902, 99.9 }, { 2, 97.72 }, { 3, 99.865 } };

  for (guint i = 0; i < G_N_ELEMENTS (two_sided); i++)
    g_assert_cmpfloat_with_epsilon (100 * share (20, 0.5, 20 - two_sided[i][0] / 2, 20 + two_sided[i][0] / 2, "in band"),
                                    two_sided[i][1], 0.01);
  for (guint i = 0; i < G_N_ELEMENTS (one_sided); i++)
    g_assert_cmpfloat_with_epsilon (100 * share (20, 0.5, NAN, 20 + one_sided[i][0] / 2, "in band"), one_sided[i][1],
                                    0.005);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/conformity/resistors", test_resistors);
  g_test_add_func ("/core/conformity/bearings", test_bearings);
  g_test_add_func ("/core/conformity/production", test_production);
  g_test_add_func ("/core/conformity/specific", test_specific);
  g_test_add_func ("/core/conformity/factors", test_factors);
  return g_test_run ();
}
