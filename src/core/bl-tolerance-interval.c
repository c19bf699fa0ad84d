/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exact factors of normal tolerance intervals.
 *
 * Everything is in units of the standard deviation about the mean; v = n - 1, the sample's mean is Z / sqrt n,
 * its standard deviation S with v S^2 chi-square.
 *
 * One-sided: mean + k s reaches the z of the coverage when S k + Z / sqrt n >= z, so k sqrt n is a quantile of
 * the noncentral t with z sqrt n. Its distribution is summed over S: given S, what remains is a normal tail.
 * Two-sided: given the sample's mean x, the interval must be at least as wide as the r with
 * Phi (x + r) - Phi (x - r) = coverage, so the chance of failing is that of chi-square below v (r / k)^2, summed
 * over x. r does not depend on k, so it is found once for each place of the sum. (ISO 16269-6; the same
 * integrals in K. Krishnamoorthy, T. Mathew, Statistical Tolerance Regions, 2009, 2.2 and 2.3: from memory.)
 *
 * The chance of failing is what is solved for, since it is the small figure. The sums are Gauss-Legendre over
 * pieces cut where the integrand bends: a piece is smooth on its own scale, and the rules converge far below
 * what is asked. Some 50 to 300 us a factor. Howe's and Natrella's approximations are only in the tests. */
#include "config.h"

#include "bl-tolerance-interval.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define TAIL 9.0         /* standard deviations; a normal tail beyond it is 1e-19 */
#define PIECE_NODES 32   /* of one piece of the sum over S */
#define MEAN_NODES 64    /* of the sum over the sample's mean */
#define TOLERANCE 1e-10  /* relative, of k */
#define MOST_STEPS 200

typedef struct
{
  double v;       /* degrees of freedom */
  double delta;   /* one-sided: z sqrt n */
  double failing; /* 1 - confidence */
  const gsl_integration_glfixed_table *rule;
  double weights[MEAN_NODES], widths[MEAN_NODES]; /* two-sided: of each place, and its r */
} Factor;

/* GSL's own handler ends the process where a tail underflows; here a tail may. */
static gpointer
keep_going (gpointer data)
{
  gsl_set_error_handler_off ();
  return NULL;
}

static gboolean
can_say (guint n, double coverage, double confidence)
{
  static GOnce once = G_ONCE_INIT;

  g_once (&once, keep_going, NULL);
  return n >= 2 && n <= BL_SAMPLE_MOST && coverage >= BL_COVERAGE_LEAST && coverage <= BL_COVERAGE_MOST
         && confidence >= BL_COVERAGE_LEAST && confidence <= BL_COVERAGE_MOST;
}

/* Where f changes its sign; f (low) and f (high) differ in sign. */
static double
find_root (gsl_function *f, double low, double high)
{
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc (gsl_root_fsolver_brent);
  int status = gsl_root_fsolver_set (solver, f, low, high);

  for (int i = 0; status == GSL_SUCCESS && i < MOST_STEPS; i++)
    {
      status = gsl_root_fsolver_iterate (solver);
      low = gsl_root_fsolver_x_lower (solver);
      high = gsl_root_fsolver_x_upper (solver);
      if (status == GSL_SUCCESS && gsl_root_test_interval (low, high, 0, TOLERANCE) == GSL_SUCCESS)
        break;
    }
  double root = status == GSL_SUCCESS ? gsl_root_fsolver_root (solver) : NAN;
  gsl_root_fsolver_free (solver);
  return root;
}

/* The root of a falling f near a guess: the bracket grows until it holds it. */
static double
find_near (gsl_function *f, double guess)
{
  double low = guess / 1.05, high = guess * 1.05;

  for (int i = 0; i < MOST_STEPS && !(GSL_FN_EVAL (f, low) >= 0); i++)
    low /= 1.5;
  for (int i = 0; i < MOST_STEPS && !(GSL_FN_EVAL (f, high) <= 0); i++)
    high *= 1.5;
  return find_root (f, low, high);
}

/* --- one-sided --- */

/* Density of S: v S^2 is chi-square of v. */
static double
density_of_s (double s, double v)
{
  return s > 0 ? 2 * v * s * gsl_ran_chisq_pdf (v * s * s, v) : v > 1 ? 0 : M_SQRT2 / sqrt (M_PI);
}

static double
sum_piece (const Factor *factor, double t, double low, double high)
{
  double sum = 0, s, weight;

  for (gsize i = 0; i < PIECE_NODES; i++)
    {
      gsl_integration_glfixed_point (low, high, i, &s, &weight, factor->rule);
      sum += weight * density_of_s (s, factor->v) * gsl_cdf_ugaussian_Q (t * s - factor->delta);
    }
  return sum;
}

/* The chance of failing at k = t / sqrt n, less what is wished: falls with t. */
static double
one_sided_excess (double t, void *data)
{
  const Factor *factor = data;
  double spread = 1 / sqrt (2 * factor->v), bend = 1 / t, cut[7], sum = 0;
  double low = fmax (0, 1 - 1.3 * TAIL * spread), high = 1 + 1.3 * TAIL * spread, edge = factor->delta / t;

  high = fmin (high, edge + TAIL * bend);
  if (high <= low)
    return -factor->failing;
  cut[0] = low;
  cut[1] = edge - TAIL * bend;
  cut[2] = edge - 3 * bend;
  cut[3] = edge + 3 * bend;
  cut[4] = 1 - 3 * spread;
  cut[5] = 1 + 3 * spread;
  cut[6] = high;
  for (guint i = 0; i < 7; i++)
    cut[i] = CLAMP (cut[i], low, high);
  for (guint i = 1; i < 7; i++) /* few: by insertion */
    for (guint j = i; j > 0 && cut[j] < cut[j - 1]; j--)
      {
        double swapped = cut[j];
        cut[j] = cut[j - 1];
        cut[j - 1] = swapped;
      }
  for (guint i = 0; i < 6; i++)
    if (cut[i + 1] > cut[i])
      sum += sum_piece (factor, t, cut[i], cut[i + 1]);
  return sum - factor->failing;
}

/* Natrella's approximation where it holds, to begin with; else something of the right size. */
static double
one_sided_guess (guint n, double coverage, double confidence)
{
  double z = gsl_cdf_ugaussian_Pinv (coverage), g = gsl_cdf_ugaussian_Pinv (confidence);
  double a = 1 - g * g / (2 * (n - 1.0)), b = z * z - g * g / n, inside = z * z - a * b;

  if (a > 0.2 && inside > 0)
    return (z + sqrt (inside)) / a;
  return (z + g + 0.1) * sqrt ((n - 1) / gsl_cdf_chisq_Pinv (1 - confidence, n - 1));
}

double
bl_tolerance_one_sided (guint n, double coverage, double confidence)
{
  Factor factor = { 0 };
  g_return_val_if_fail (can_say (n, coverage, confidence), NAN);
  gsl_integration_glfixed_table *rule = gsl_integration_glfixed_table_alloc (PIECE_NODES);
  gsl_function excess = { one_sided_excess, &factor };
  double t;

  factor.v = n - 1;
  factor.delta = gsl_cdf_ugaussian_Pinv (coverage) * sqrt (n);
  factor.failing = 1 - confidence;
  factor.rule = rule;
  if (coverage == 0.5 && confidence == 0.5)
    t = 0; /* the mean itself, by symmetry */
  else
    t = find_near (&excess, fmax (1e-6, one_sided_guess (n, coverage, confidence) * sqrt (n)));
  gsl_integration_glfixed_table_free (rule);
  return t / sqrt (n);
}

/* --- two-sided --- */

typedef struct
{
  double x, outside; /* the sample's mean; 1 - coverage */
} Width;

static double
width_excess (double r, void *data)
{
  const Width *width = data;

  return gsl_cdf_ugaussian_Q (r + width->x) + gsl_cdf_ugaussian_Q (r - width->x) - width->outside;
}

/* r of Phi (x + r) - Phi (x - r) = coverage, x >= 0: between x + z of the coverage and x + z of (1 + coverage) / 2. */
static double
width_at (double x, double coverage)
{
  Width width = { x, 1 - coverage };
  gsl_function f = { width_excess, &width };
  double half = gsl_cdf_ugaussian_Qinv ((1 - coverage) / 2);
  double low = fmax (half, x + gsl_cdf_ugaussian_Qinv (1 - coverage)), high = x + half;

  if (high - low <= TOLERANCE * high || width_excess (low, &width) <= 0)
    return low;
  return width_excess (high, &width) >= 0 ? high : find_root (&f, low, high);
}

static double
two_sided_excess (double k, void *data)
{
  const Factor *factor = data;
  double sum = 0;

  for (guint i = 0; i < MEAN_NODES; i++)
    sum += factor->weights[i] * gsl_cdf_chisq_P (factor->v * pow (factor->widths[i] / k, 2), factor->v);
  return sum - factor->failing;
}

/* Howe's approximation, to begin with. */
static double
two_sided_guess (guint n, double coverage, double confidence)
{
  return gsl_cdf_ugaussian_Qinv ((1 - coverage) / 2)
         * sqrt ((n - 1) * (1 + 1.0 / n) / gsl_cdf_chisq_Pinv (1 - confidence, n - 1));
}

double
bl_tolerance_two_sided (guint n, double coverage, double confidence)
{
  Factor factor = { 0 };
  g_return_val_if_fail (can_say (n, coverage, confidence), NAN);
  gsl_integration_glfixed_table *rule = gsl_integration_glfixed_table_alloc (MEAN_NODES);
  gsl_function excess = { two_sided_excess, &factor };

  factor.v = n - 1;
  factor.failing = 1 - confidence;
  for (guint i = 0; i < MEAN_NODES; i++)
    {
      double z, weight;
      gsl_integration_glfixed_point (0, TAIL, i, &z, &weight, rule);
      factor.weights[i] = 2 * weight * gsl_ran_ugaussian_pdf (z);
      factor.widths[i] = width_at (z / sqrt (n), coverage);
    }
  gsl_integration_glfixed_table_free (rule);
  return find_near (&excess, two_sided_guess (n, coverage, confidence));
}
