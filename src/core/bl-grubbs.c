/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grubbs' test. G of n values is at most (n - 1) / sqrt n; below that n (n - 2) G^2 / ((n - 1)^2 - n G^2)
 * is the square of a Student t of n - 2 degrees of freedom, and the chance of the largest G is taken as the
 * sum of the chances of all n. Samples have some tens of values. Taking a value out is the caller's:
 * here it is only found. */
#include "config.h"

#include "bl-grubbs.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* How many single chances the chance of the largest is made of. */
static double
ways (guint n, BlGrubbsSide side)
{
  return side == BL_GRUBBS_BOTH ? 2.0 * n : n;
}

double
bl_grubbs_critical (guint n, double alpha, BlGrubbsSide side)
{
  double t;

  g_return_val_if_fail (n >= 3 && alpha > 0 && alpha < 1, NAN);
  t = gsl_cdf_tdist_Qinv (alpha / ways (n, side), n - 2);
  return (n - 1) / sqrt (n) * sqrt (t * t / (n - 2 + t * t));
}

double
bl_grubbs_p (double g, guint n, BlGrubbsSide side)
{
  double room, t;

  g_return_val_if_fail (n >= 3 && g >= 0, NAN);
  room = (n - 1.0) * (n - 1.0) - n * g * g;
  if (room <= 0)
    return 0;
  t = g * sqrt (n * (n - 2.0) / room);
  return fmin (1, ways (n, side) * gsl_cdf_tdist_Q (t, n - 2));
}

static double
distance (double value, double mean, BlGrubbsSide side)
{
  return side == BL_GRUBBS_LOW    ? mean - value
         : side == BL_GRUBBS_HIGH ? value - mean
                                  : fabs (value - mean);
}

gboolean
bl_grubbs_test (const double *values, const gboolean *left_out, guint n, double alpha, BlGrubbsSide side,
                BlGrubbs *result)
{
  BlSummary summary = bl_summarize (values, left_out, n);
  double farthest = -INFINITY;

  g_return_val_if_fail (result != NULL, FALSE);
  if (summary.n < 3 || !(summary.s > 0))
    return FALSE;
  for (guint i = 0; i < n; i++)
    if ((left_out == NULL || !left_out[i]) && distance (values[i], summary.mean, side) > farthest)
      {
        farthest = distance (values[i], summary.mean, side);
        result->index = i;
      }
  result->g = farthest / summary.s;
  result->critical = bl_grubbs_critical (summary.n, alpha, side);
  result->p = bl_grubbs_p (result->g, summary.n, side);
  return TRUE;
}

GArray *
bl_grubbs_sweep (const double *values, guint n, double alpha, BlGrubbsSide side, guint most)
{
  g_autofree gboolean *left_out = g_new0 (gboolean, MAX (n, 1));
  GArray *found = g_array_new (FALSE, FALSE, sizeof (BlGrubbs));
  BlGrubbs test;

  g_return_val_if_fail (values != NULL || n == 0, found);
  while (found->len < most && bl_grubbs_test (values, left_out, n, alpha, side, &test) && test.g > test.critical)
    {
      left_out[test.index] = TRUE;
      g_array_append_val (found, test);
    }
  return found;
}
