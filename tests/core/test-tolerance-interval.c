/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Factors of tolerance intervals against published tables, a worked example, and integrals taken another way. */
#include "config.h"

#include "bl-tolerance-interval.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>

/* Howe's approximation of the two-sided factor, and Guenther's correction of it. */
static double
howe (guint n, double p, double confidence, gboolean corrected)
{
  double v = n - 1, chi = gsl_cdf_chisq_Pinv (1 - confidence, v);
  double k = gsl_cdf_ugaussian_Pinv ((1 + p) / 2) * sqrt (v * (1 + 1.0 / n) / chi);

  return corrected ? k * sqrt (1 + (n - 3.0 - chi) / (2 * pow (n + 1, 2))) : k;
}

static double
natrella (guint n, double p, double confidence)
{
  double z = gsl_cdf_ugaussian_Pinv (p), g = gsl_cdf_ugaussian_Pinv (confidence);
  double a = 1 - g * g / (2 * (n - 1.0)), b = z * z - g * g / n;

  return (z + sqrt (z * z - a * b)) / a;
}

/* NIST/SEMATECH e-Handbook 7.2.6.3: N = 43, mean 97.07, s = 0.0268, coverage 90 %, confidence 99 %. The handbook
 * prints the approximations; the exact factors beside them were computed with another program. */
static void
test_nist_example (void)
{
  double k2 = bl_tolerance_two_sided (43, .90, .99), k1 = bl_tolerance_one_sided (43, .90, .99);

  g_assert_cmpfloat_with_epsilon (howe (43, .90, .99, FALSE), 2.2173159, 5e-8);
  g_assert_cmpfloat_with_epsilon (natrella (43, .90, .99), 1.8751896, 5e-8);
  g_assert_cmpfloat_with_epsilon (howe (43, .90, .99, TRUE), 2.221992, 5e-7);
  g_assert_cmpfloat_with_epsilon (k2, 2.222825, 5e-7);
  g_assert_cmpfloat_with_epsilon (k1, 1.873954, 5e-7);
  /* The limits as printed, of Howe's factor; the exact ones are wider by less than half a digit of the mean. */
  g_assert_cmpfloat_with_epsilon (97.07 - howe (43, .90, .99, FALSE) * .0268, 97.010576, 5e-7);
  g_assert_cmpfloat_with_epsilon (97.07 - k2 * .0268, 97.010576, 2e-4);
  g_assert_cmpfloat_with_epsilon (97.07 + k2 * .0268, 97.129424, 2e-4);
  g_assert_cmpfloat_with_epsilon (97.07 + k1 * .0268, 97.120255, 5e-5);
  g_assert_cmpfloat_with_epsilon (97.07 - k1 * .0268, 97.019745, 5e-5);
}

/* CMH-17-1G, one-sided tolerance factors at 95 % confidence, as coded in cmstatr
 * (tests/testthat/test-basis-factors.R) with the tolerance used there. */
static void
test_one_sided_table (void)
{
  static const struct
  {
    guint n;
    double p90, p99;
  } rows[] = { { 2, 20.581, 37.094 }, { 3, 6.157, 10.553 }, { 4, 4.163, 7.042 },  { 5, 3.408, 5.741 },
               { 6, 3.007, 5.062 },   { 7, 2.756, 4.642 },  { 8, 2.583, 4.354 },  { 9, 2.454, 4.143 },
               { 10, 2.355, 3.981 },  { 12, 2.211, 3.747 }, { 15, 2.069, 3.520 }, { 20, 1.927, 3.295 },
               { 25, 1.839, 3.158 },  { 30, 1.778, 3.064 }, { 40, 1.698, 2.941 }, { 50, 1.646, 2.862 },
               { 60, 1.609, 2.807 },  { 75, 1.570, 2.748 }, { 100, 1.527, 2.684 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_cmpfloat_with_epsilon (bl_tolerance_one_sided (rows[i].n, .90, .95), rows[i].p90, .002);
      g_assert_cmpfloat_with_epsilon (bl_tolerance_one_sided (rows[i].n, .99, .95), rows[i].p99, .002);
    }
}

/* P. M. Berthouex, L. C. Brown, Statistics for Environmental Engineers, table 21.1: two-sided at 95 % confidence. */
static void
test_two_sided_table (void)
{
  static const struct
  {
    guint n;
    double p90, p95, p99;
  } rows[] = { { 4, 5.37, 6.34, 8.22 },  { 5, 4.29, 5.08, 6.60 },  { 6, 3.73, 4.42, 5.76 },  { 7, 3.39, 4.02, 5.24 },
               { 8, 3.16, 3.75, 4.89 },  { 9, 2.99, 3.55, 4.63 },  { 10, 2.86, 3.39, 4.44 }, { 12, 2.67, 3.17, 4.16 },
               { 15, 2.49, 2.96, 3.89 }, { 20, 2.32, 2.76, 3.62 }, { 25, 2.22, 2.64, 3.46 }, { 30, 2.15, 2.55, 3.35 },
               { 40, 2.06, 2.45, 3.22 }, { 60, 1.96, 2.34, 3.07 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_cmpfloat_with_epsilon (bl_tolerance_two_sided (rows[i].n, .90, .95), rows[i].p90, .0065);
      g_assert_cmpfloat_with_epsilon (bl_tolerance_two_sided (rows[i].n, .95, .95), rows[i].p95, .0065);
      g_assert_cmpfloat_with_epsilon (bl_tolerance_two_sided (rows[i].n, .99, .95), rows[i].p99, .0065);
    }
}

/* Computed with another program, not published: exact two-sided by numerical integration, exact one-sided by the
 * noncentral t; coverage/confidence in the order of the columns. */
static void
test_grid (void)
{
  static const double p2[] = { .90, .95, .99, .95, .99 }, c2[] = { .95, .95, .95, .99, .99 };
  static const double p1[] = { .90, .95, .99, .95 }, c1[] = { .95, .95, .95, .99 };
  static const struct
  {
    guint n;
    double two[5], howe, one[4];
  } rows[] = {
    { 2, { 31.092, 36.519, 46.944, 182.72, 234.88 }, 38.281, { 20.581, 26.260, 37.094, 131.43 } },
    { 3, { 8.306, 9.789, 12.647, 22.131, 28.586 }, 9.993, { 6.155, 7.656, 10.553, 17.370 } },
    { 4, { 5.368, 6.341, 8.221, 11.118, 14.405 }, 6.399, { 4.162, 5.144, 7.042, 9.083 } },
    { 5, { 4.291, 5.077, 6.598, 7.870, 10.220 }, 5.094, { 3.407, 4.203, 5.741, 6.578 } },
    { 6, { 3.733, 4.422, 5.758, 6.373, 8.292 }, 4.423, { 3.006, 3.708, 5.062, 5.406 } },
    { 7, { 3.390, 4.020, 5.241, 5.520, 7.191 }, 4.013, { 2.755, 3.399, 4.642, 4.728 } },
    { 8, { 3.156, 3.746, 4.889, 4.968, 6.479 }, 3.736, { 2.582, 3.187, 4.354, 4.285 } },
    { 9, { 2.986, 3.546, 4.633, 4.581, 5.980 }, 3.535, { 2.454, 3.031, 4.143, 3.972 } },
    { 10, { 2.856, 3.393, 4.437, 4.294, 5.610 }, 3.382, { 2.355, 2.911, 3.981, 3.738 } },
    { 12, { 2.670, 3.175, 4.156, 3.896, 5.096 }, 3.163, { 2.210, 2.736, 3.747, 3.410 } },
    { 15, { 2.492, 2.965, 3.885, 3.529, 4.621 }, 2.955, { 2.068, 2.566, 3.520, 3.102 } },
    { 20, { 2.319, 2.760, 3.621, 3.184, 4.175 }, 2.752, { 1.926, 2.396, 3.295, 2.808 } },
    { 25, { 2.215, 2.638, 3.462, 2.984, 3.915 }, 2.631, { 1.838, 2.292, 3.158, 2.633 } },
    { 30, { 2.145, 2.555, 3.355, 2.851, 3.742 }, 2.550, { 1.777, 2.220, 3.064, 2.515 } },
    { 40, { 2.055, 2.448, 3.216, 2.684, 3.524 }, 2.445, { 1.697, 2.125, 2.941, 2.364 } },
    { 50, { 1.999, 2.382, 3.129, 2.580, 3.390 }, 2.379, { 1.646, 2.065, 2.862, 2.269 } },
    { 100, { 1.875, 2.234, 2.936, 2.357, 3.098 }, 2.233, { 1.527, 1.927, 2.684, 2.056 } },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      for (guint c = 0; c < 5; c++)
        g_assert_cmpfloat_with_epsilon (bl_tolerance_two_sided (rows[i].n, p2[c], c2[c]), rows[i].two[c],
                                        rows[i].two[c] > 100 ? .006 : .0006);
      for (guint c = 0; c < 4; c++)
        g_assert_cmpfloat_with_epsilon (bl_tolerance_one_sided (rows[i].n, p1[c], c1[c]), rows[i].one[c],
                                        rows[i].one[c] > 100 ? .006 : .0006);
      g_assert_cmpfloat_with_epsilon (howe (rows[i].n, .95, .95, FALSE), rows[i].howe, .0006);
    }
}

/* --- the same chances, summed over the other variable and adaptively --- */

typedef struct
{
  double n, k, coverage, half;
} Way;

/* One-sided over the sample's mean: W, chi-square, must be below v ((z + delta) / t)^2 to fail. */
static double
fail_given_mean (double z, void *data)
{
  const Way *w = data;
  double delta = gsl_cdf_ugaussian_Pinv (w->coverage) * sqrt (w->n), v = w->n - 1, t = w->k * sqrt (w->n);

  return z + delta <= 0 ? 0 : gsl_ran_ugaussian_pdf (z) * gsl_cdf_chisq_P (v * pow ((z + delta) / t, 2), v);
}

/* Two-sided over W: the mean is allowed c to either side, Phi (c + ks) - Phi (c - ks) = coverage. Over the
 * probability of W, so that a density without bound does no harm. */
static double
fail_given_s (double u, void *data)
{
  const Way *w = data;
  double reach = w->k * sqrt (gsl_cdf_chisq_Pinv (u, w->n - 1) / (w->n - 1)), low = 0, high = reach + 10;

  if (gsl_cdf_ugaussian_P (reach) - gsl_cdf_ugaussian_P (-reach) <= w->coverage)
    return 1;
  for (int i = 0; i < 80; i++)
    {
      double c = (low + high) / 2;
      if (gsl_cdf_ugaussian_Q (c - reach) - gsl_cdf_ugaussian_Q (c + reach) > w->coverage)
        low = c;
      else
        high = c;
    }
  return 2 * gsl_cdf_ugaussian_Q (low * sqrt (w->n));
}

static double
integrate (double (*f) (double, void *), Way *way, const double *cuts, gsize n_cuts)
{
  gsl_integration_workspace *room = gsl_integration_workspace_alloc (4000);
  gsl_function function = { f, way };
  double sum = 0, piece, error;

  for (gsize i = 0; i + 1 < n_cuts; i++)
    if (cuts[i + 1] > cuts[i])
      {
        gsl_integration_qag (&function, cuts[i], cuts[i + 1], 1e-15, 1e-9, 4000, GSL_INTEG_GAUSS31, room, &piece,
                             &error);
        sum += piece;
      }
  gsl_integration_workspace_free (room);
  return sum;
}

/* The relative change of k that would make the chance of failing right: by a difference quotient. */
static double
one_sided_error (guint n, double coverage, double confidence)
{
  double k = bl_tolerance_one_sided (n, coverage, confidence), step = 1e-5;
  double delta = gsl_cdf_ugaussian_Pinv (coverage) * sqrt (n), edge = k * sqrt (n) - delta;
  double width = fmax (.01, k * sqrt (n / (2.0 * n)));
  double cuts[] = { fmax (-delta, -10), CLAMP (edge - 6 * width, fmax (-delta, -10), 10),
                    CLAMP (edge + 6 * width, fmax (-delta, -10), 10), 10 };
  Way at = { n, k, coverage, 0 }, more = { n, k * (1 + step), coverage, 0 };
  double p = integrate (fail_given_mean, &at, cuts, 4), q = integrate (fail_given_mean, &more, cuts, 4);

  return (p - (1 - confidence)) / (p - q) * step;
}

static double
two_sided_error (guint n, double coverage, double confidence)
{
  double k = bl_tolerance_two_sided (n, coverage, confidence), step = 1e-4;
  double half = gsl_cdf_ugaussian_Pinv ((1 + coverage) / 2);
  double edge = gsl_cdf_chisq_P ((n - 1) * pow (half / k, 2), n - 1);
  double edge_more = gsl_cdf_chisq_P ((n - 1) * pow (half / (k * (1 + step)), 2), n - 1);
  double cuts[] = { edge, edge + (1 - edge) * .001, edge + (1 - edge) * .1, 1 - 1e-14 };
  double cuts_more[] = { edge_more, edge_more + (1 - edge_more) * .001, edge_more + (1 - edge_more) * .1, 1 - 1e-14 };
  Way at = { n, k, coverage, 0 }, more = { n, k * (1 + step), coverage, 0 };
  double p = edge + integrate (fail_given_s, &at, cuts, 4);
  double q = edge_more + integrate (fail_given_s, &more, cuts_more, 4);

  return (p - (1 - confidence)) / (p - q) * step;
}

static void
test_other_way (void)
{
  static const guint n[] = { 2, 3, 5, 10, 37, 200, 1500, 10000 };
  static const double shares[] = { .5, .505, .6, .9, .95, .99, .9999 };
  double worst = 0;

  for (guint i = 0; i < G_N_ELEMENTS (n); i++)
    for (guint p = 0; p < G_N_ELEMENTS (shares); p++)
      for (guint c = 0; c < G_N_ELEMENTS (shares); c++)
        {
          if (shares[p] == .5 && shares[c] == .5)
            continue;
          double error = fabs (one_sided_error (n[i], shares[p], shares[c]));
          if (!(error < 1e-6))
            g_error ("one-sided n %u p %g c %g: %g", n[i], shares[p], shares[c], error);
          worst = fmax (worst, error);
        }
  g_test_message ("one-sided, largest relative error %.2g", worst);
  g_assert_cmpfloat (bl_tolerance_one_sided (10, .5, .5), ==, 0);
}

static void
test_other_way_two_sided (void)
{
  static const guint n[] = { 2, 3, 10, 200, 10000 };
  static const double shares[] = { .5, .9, .95, .9999 };
  double worst = 0;

  for (guint i = 0; i < G_N_ELEMENTS (n); i++)
    for (guint p = 0; p < G_N_ELEMENTS (shares); p++)
      for (guint c = 0; c < G_N_ELEMENTS (shares); c++)
        {
          double error = fabs (two_sided_error (n[i], shares[p], shares[c]));
          if (!(error < 1e-6))
            g_error ("two-sided n %u p %g c %g: %g", n[i], shares[p], shares[c], error);
          worst = fmax (worst, error);
        }
  g_test_message ("two-sided, largest relative error %.2g", worst);
}

/* Where there are many boards the factor is the normal distribution's own, and it falls on the way there. */
static void
test_limits (void)
{
  double before = INFINITY;

  for (guint n = 2; n <= 10000; n = n * 3 / 2 + 1)
    {
      double k = bl_tolerance_two_sided (n, .95, .95);
      g_assert_cmpfloat (k, <, before);
      g_assert_cmpfloat (k, >, 1.959963);
      g_assert_cmpfloat (bl_tolerance_one_sided (n, .95, .95), <, k);
      before = k;
    }
  g_assert_cmpfloat (before, <, 2.0);
}

static void
test_speed (void)
{
  gint64 start = g_get_monotonic_time ();
  double sum = 0;

  for (guint n = 2; n < 102; n++)
    sum += bl_tolerance_one_sided (n, .95, .95) + bl_tolerance_two_sided (n, .95, .95);
  g_assert_cmpfloat (sum, >, 0);
  g_test_message ("%.3f ms a factor", (double) (g_get_monotonic_time () - start) / 200 / 1000);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tolerance-interval/nist-example", test_nist_example);
  g_test_add_func ("/core/tolerance-interval/one-sided-table", test_one_sided_table);
  g_test_add_func ("/core/tolerance-interval/two-sided-table", test_two_sided_table);
  g_test_add_func ("/core/tolerance-interval/grid", test_grid);
  g_test_add_func ("/core/tolerance-interval/other-way", test_other_way);
  g_test_add_func ("/core/tolerance-interval/other-way-two-sided", test_other_way_two_sided);
  g_test_add_func ("/core/tolerance-interval/limits", test_limits);
  g_test_add_func ("/core/tolerance-interval/speed", test_speed);
  return g_test_run ();
}
