/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mean, standard deviation and Student's t against published figures. */
#include "config.h"

#include "bl-summary.h"

#include <math.h>

/* NIST Dataplot, 100OHM.DAT (its head cites e-Handbook 7.2.6.3), column Y. Mean and deviation: computed with
 * another program. */
static void
test_hundred_ohm (void)
{
  static const double y[] = { 97.070, 97.049, 97.048, 97.084, 97.106, 97.014, 97.047, 97.078, 97.065,
                              97.061, 97.060, 97.102, 97.096, 97.035, 97.114, 97.069, 97.095, 97.088,
                              97.079, 97.016, 97.051, 97.070, 97.065, 97.111, 97.073 };
  BlSummary s = bl_summarize (y, NULL, G_N_ELEMENTS (y));

  g_assert_cmpuint (s.n, ==, 25);
  g_assert_cmpfloat_with_epsilon (s.mean, 97.06984, 1e-9);
  g_assert_cmpfloat_with_epsilon (s.s, 0.0267981, 5e-8);
  g_assert_cmpfloat (s.low, ==, 97.014);
  g_assert_cmpfloat (s.high, ==, 97.114);
}

/* Values that share nine digits: the textbook sum of squares minus n times the square of the mean gives nonsense
 * (even a negative variance), the running one must not. By hand: 4, 7, 13, 16 have mean 10 and variance 30. */
static void
test_large_offset (void)
{
  static const double y[] = { 1e9 + 4, 1e9 + 7, 1e9 + 13, 1e9 + 16 };
  BlSummary s = bl_summarize (y, NULL, 4);

  g_assert_cmpfloat_with_epsilon (s.mean, 1e9 + 10, 1e-6);
  g_assert_cmpfloat_with_epsilon (s.s * s.s, 30, 1e-6);
}

static void
test_left_out (void)
{
  static const double y[] = { 1, 100, 3 };
  static const gboolean out[] = { FALSE, TRUE, FALSE };
  BlSummary s = bl_summarize (y, out, 3);

  g_assert_cmpuint (s.n, ==, 2);
  g_assert_cmpfloat (s.mean, ==, 2);
  g_assert_cmpfloat_with_epsilon (s.s, sqrt (2), 1e-12);
  g_assert_cmpfloat (s.high, ==, 3);
  s = bl_summarize (y, NULL, 1);
  g_assert_true (s.n == 1 && s.mean == 1 && isnan (s.s));
  s = bl_summarize (NULL, NULL, 0);
  g_assert_true (s.n == 0 && isnan (s.mean) && isnan (s.low));
}

/* Factors of the columns of JCGM 100:2008 table G.2; the 95.45 % column is as printed there (from memory), the
 * others computed with another program and rounded as the table is. */
static void
test_t_factors (void)
{
  static const double p[] = { .6827, .90, .95, .9545, .99, .9973 };
  static const struct
  {
    double v, t[6];
  } rows[] = { { 1, { 1.84, 6.31, 12.71, 13.97, 63.66, 235.78 } }, { 2, { 1.32, 2.92, 4.30, 4.53, 9.92, 19.21 } },
               { 3, { 1.20, 2.35, 3.18, 3.31, 5.84, 9.22 } },      { 4, { 1.14, 2.13, 2.78, 2.87, 4.60, 6.62 } },
               { 5, { 1.11, 2.02, 2.57, 2.65, 4.03, 5.51 } },      { 9, { 1.06, 1.83, 2.26, 2.32, 3.25, 4.09 } },
               { 10, { 1.05, 1.81, 2.23, 2.28, 3.17, 3.96 } },     { 20, { 1.03, 1.72, 2.09, 2.13, 2.85, 3.42 } },
               { 50, { 1.01, 1.68, 2.01, 2.05, 2.68, 3.16 } },     { 100, { 1.01, 1.66, 1.98, 2.03, 2.63, 3.08 } } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    for (guint c = 0; c < 6; c++)
      g_assert_cmpfloat_with_epsilon (bl_t_quantile ((1 + p[c]) / 2, rows[i].v), rows[i].t[c], .0051);
  /* Seen in a published uncertainty budget (Sandia suncal, GUM H.2): 50.24 and 13.35 degrees of freedom. */
  g_assert_cmpfloat_with_epsilon (bl_t_quantile (.975, 50.24), 2.008, .0006);
  g_assert_cmpfloat_with_epsilon (bl_t_quantile (.975, 13.35), 2.155, .0006);
  g_assert_cmpfloat_with_epsilon (bl_t_quantile (.025, 1), -12.706, .0005);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/summary/hundred-ohm", test_hundred_ohm);
  g_test_add_func ("/core/summary/large-offset", test_large_offset);
  g_test_add_func ("/core/summary/left-out", test_left_out);
  g_test_add_func ("/core/summary/t-factors", test_t_factors);
  return g_test_run ();
}
