/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* A sample in four figures. */
typedef struct
{
  guint n;
  double mean;      /* NAN when n is 0 */
  double s;         /* sample standard deviation, of n - 1; NAN when n is below 2 */
  double low, high; /* smallest and largest; NAN when n is 0 */
} BlSummary;

/* Of values[i] where left_out is NULL or left_out[i] is FALSE. Values are finite. */
BlSummary bl_summarize (const double *values, const gboolean *left_out, guint n);

/* Quantile of Student's t: the t with P (T <= t) = p, p between 0 and 1, for v > 0 degrees of freedom. The
 * factor for two-sided coverage c is bl_t_quantile ((1 + c) / 2, v) (JCGM 100:2008, G.3). */
double bl_t_quantile (double p, double v);

G_END_DECLS
