/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Factors of statistical tolerance intervals for a normal distribution of which neither mean nor variance is
 * known: mean +- k s of n values holds at least the share `coverage` of the distribution, with the chance
 * `confidence` of being right (ISO 16269-6). Both from BL_COVERAGE_LEAST to BL_COVERAGE_MOST, n from 2 to
 * BL_SAMPLE_MOST; NAN otherwise. Relative error below 1e-6; no tables, no approximation of the factor. */
#define BL_COVERAGE_LEAST 0.5
#define BL_COVERAGE_MOST 0.9999
#define BL_SAMPLE_MOST 10000

/* k of mean + k s as an upper limit, or mean - k s as a lower one. */
double bl_tolerance_one_sided (guint n, double coverage, double confidence);
/* k of mean - k s and mean + k s together. */
double bl_tolerance_two_sided (guint n, double coverage, double confidence);

G_END_DECLS
