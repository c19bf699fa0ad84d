/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-summary.h"

G_BEGIN_DECLS

/* Grubbs' test for one outlier in a sample from a normal distribution: G = |x - mean| / s of the value
 * farthest out. F. E. Grubbs, Technometrics 11 (1969) 1; in this form NIST/SEMATECH e-Handbook 1.3.5.17.1. */
typedef enum
{
  BL_GRUBBS_BOTH, /* the value farthest from the mean on either side */
  BL_GRUBBS_LOW,  /* the smallest value */
  BL_GRUBBS_HIGH  /* the largest value */
} BlGrubbsSide;

typedef struct
{
  guint index;     /* into values: the value tested */
  double g;        /* its distance from the mean, in standard deviations of the sample it was tested in */
  double critical; /* of that sample at alpha: an outlier when g is above */
  double p;        /* chance of such a g or a larger one with no outlier: see bl_grubbs_p () */
} BlGrubbs;

/* What G exceeds with the chance alpha (between 0 and 1) in n >= 3 values without an outlier. */
double bl_grubbs_critical (guint n, double alpha, BlGrubbsSide side);

/* The chance of G or a larger one in n >= 3 values without an outlier, at most 1. It adds what each single
 * value has: exact where no two values can both be as far out, above that a little too large. */
double bl_grubbs_p (double g, guint n, BlGrubbsSide side);

/* Tests the value farthest out among those not left out. FALSE when fewer than three are left, or when they
 * are all alike: nothing can be said then. */
gboolean bl_grubbs_test (const double *values,
                         const gboolean *left_out,
                         guint n,
                         double alpha,
                         BlGrubbsSide side,
                         BlGrubbs *result);

/* Tests again and again, one value out each time, until none is above its critical value or most are out.
 * Two outliers close together can hide each other from it. (transfer full) GArray of BlGrubbs, in the order
 * they were found */
GArray *bl_grubbs_sweep (const double *values, guint n, double alpha, BlGrubbsSide side, guint most);

G_END_DECLS
