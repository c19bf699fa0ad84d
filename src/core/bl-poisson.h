/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* P (X <= k) of a Poisson count with this mean: the sum of e^-mean mean^i / i! for i from 0 to k. mean >= 0, finite;
 * NAN otherwise. */
double bl_poisson_below (double mean, guint k);

/* The least k with P (X <= k) >= share: so many parts are enough with that chance when so many are needed on average.
 * 0 < share < 1, 0 <= mean <= BL_POISSON_MOST; G_MAXUINT otherwise. */
guint bl_poisson_enough (double mean, double share);
#define BL_POISSON_MOST 1e6

G_END_DECLS
