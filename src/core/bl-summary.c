/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mean, standard deviation and range of a sample, and the quantile of Student's t. Samples are what boards
 * of one edition read, some tens of values that may agree to six digits: the sum of squares is updated
 * about the running mean (B. P. Welford, Technometrics 4 (1962) 419), so nothing large is subtracted from
 * something large. It knows nothing of bands or outliers. */
#include "config.h"

#include "bl-summary.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

BlSummary
bl_summarize (const double *values, const gboolean *left_out, guint n)
{
  BlSummary summary = { 0, NAN, NAN, NAN, NAN };
  double mean = 0, squares = 0;

  g_return_val_if_fail (values != NULL || n == 0, summary);
  for (guint i = 0; i < n; i++)
    if (left_out == NULL || !left_out[i])
      {
        double step = values[i] - mean;
        summary.n++;
        mean += step / summary.n;
        squares += step * (values[i] - mean);
        summary.low = fmin (summary.low, values[i]);
        summary.high = fmax (summary.high, values[i]);
      }
  if (summary.n > 0)
    summary.mean = mean;
  if (summary.n > 1)
    summary.s = sqrt (fmax (squares, 0) / (summary.n - 1));
  return summary;
}

double
bl_t_quantile (double p, double v)
{
  g_return_val_if_fail (p > 0 && p < 1 && v > 0, NAN);
  return p < 0.5 ? gsl_cdf_tdist_Pinv (p, v) : gsl_cdf_tdist_Qinv (1 - p, v);
}
