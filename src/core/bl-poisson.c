/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many parts to keep when so many are used on average.
 *
 * Parts fail in jobs that have nothing to do with each other, so the number used in some months is taken to follow
 * Poisson's distribution (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.19: from memory). The mean is itself
 * a guess from few jobs; nothing here widens the answer for that. Means are below 100 in a shop, any up to a million
 * is answered. */
#include "config.h"

#include "bl-poisson.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>

/* GSL's own handler ends the process where a tail underflows; here a tail may. */
static gpointer
keep_going (gpointer data)
{
  gsl_set_error_handler_off ();
  return NULL;
}

double
bl_poisson_below (double mean, guint k)
{
  static GOnce once = G_ONCE_INIT;

  if (!(mean >= 0 && mean <= BL_POISSON_MOST))
    return NAN;
  g_once (&once, keep_going, NULL);
  return mean == 0 ? 1 : gsl_cdf_poisson_P (k, mean);
}

guint
bl_poisson_enough (double mean, double share)
{
  guint low = 0, high = 1;

  if (!(mean >= 0 && mean <= BL_POISSON_MOST) || !(share > 0 && share < 1))
    return G_MAXUINT;
  /* P grows with k: twice as many until it is enough, then the middle of what is left. */
  while (bl_poisson_below (mean, high) < share)
    high *= 2;
  while (low < high)
    {
      guint middle = low + (high - low) / 2;
      if (bl_poisson_below (mean, middle) >= share)
        high = middle;
      else
        low = middle + 1;
    }
  return low;
}
