/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts that are enough with a given chance: against sums by hand, printed tables, and the table of chi-square. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-poisson.h"

#include <math.h>

/* The definition, term by term. */
static double
by_terms (double mean, guint k)
{
  double term = exp (-mean), sum = term;

  for (guint i = 1; i <= k; i++)
    sum += term *= mean / i;
  return sum;
}

static void
test_terms (void)
{
  static const double means[] = { 0.01, 0.3, 1, 2.5, 7, 20, 60 };

  for (guint i = 0; i < G_N_ELEMENTS (means); i++)
    for (guint k = 0; k < 90; k++)
      g_assert_cmpfloat_with_epsilon (bl_poisson_below (means[i], k), by_terms (means[i], k), 1e-12);
  g_assert_cmpfloat (bl_poisson_below (0, 0), ==, 1);
  g_assert_true (isnan (bl_poisson_below (-1, 0)) && isnan (bl_poisson_below (INFINITY, 0)));
}

/* Cumulative Poisson probabilities as textbooks print them, four decimals (from memory). */
static void
test_printed (void)
{
  static const struct
  {
    double mean;
    guint k;
    double sum;
  } rows[] = {
    { 0.5, 0, 0.6065 }, { 0.5, 1, 0.9098 }, { 1, 1, 0.7358 },  { 1, 2, 0.9197 },  { 2, 3, 0.8571 },  { 2, 4, 0.9473 },
    { 3, 4, 0.8153 },   { 3, 5, 0.9161 },   { 5, 7, 0.8666 },  { 5, 8, 0.9319 },  { 10, 13, 0.8645 }, { 10, 14, 0.9165 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpfloat_with_epsilon (bl_poisson_below (rows[i].mean, rows[i].k), rows[i].sum, 5.1e-5);
  g_assert_cmpuint (bl_poisson_enough (0.5, 0.9), ==, 1);
  g_assert_cmpuint (bl_poisson_enough (1, 0.9), ==, 2);
  g_assert_cmpuint (bl_poisson_enough (2, 0.9), ==, 4);
  g_assert_cmpuint (bl_poisson_enough (3, 0.9), ==, 5);
  g_assert_cmpuint (bl_poisson_enough (5, 0.9), ==, 8);
  g_assert_cmpuint (bl_poisson_enough (10, 0.9), ==, 14);
}

/* P (X <= k; m) is the upper tail of chi-square with 2 k + 2 degrees of freedom at 2 m (Abramowitz and Stegun,
 * 26.4.21, from memory), so k parts are enough at 90 % up to half the lower 10 % point. Those points: NIST/SEMATECH
 * e-Handbook of Statistical Methods, 1.3.6.7.4, three decimals (from memory). */
static void
test_chi_square (void)
{
  static const double points[] = { 0.211, 1.064, 2.204, 3.490, 4.865, 6.304, 7.790, 9.312, 10.865, 12.443 };

  for (guint k = 0; k < G_N_ELEMENTS (points); k++)
    {
      g_assert_cmpuint (bl_poisson_enough (points[k] / 2 - 0.0006, 0.9), ==, k);
      g_assert_cmpuint (bl_poisson_enough (points[k] / 2 + 0.0006, 0.9), ==, k + 1);
    }
}

static void
test_bounds (void)
{
  g_assert_cmpuint (bl_poisson_enough (0, 0.9), ==, 0);
  g_assert_cmpuint (bl_poisson_enough (NAN, 0.9), ==, G_MAXUINT);
  g_assert_cmpuint (bl_poisson_enough (1, 1), ==, G_MAXUINT);
  /* Near the normal distribution: mean + 1.2816 sqrt (mean), a little skewed. */
  g_assert_cmpfloat (fabs (bl_poisson_enough (BL_POISSON_MOST, 0.9) - (1e6 + 1281.6)), <, 3);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/poisson/terms", test_terms);
  g_test_add_func ("/core/poisson/printed-tables", test_printed);
  g_test_add_func ("/core/poisson/chi-square", test_chi_square);
  g_test_add_func ("/core/poisson/bounds", test_bounds);
  return g_test_run ();
}
