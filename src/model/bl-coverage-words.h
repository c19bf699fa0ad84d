/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-coverage.h"

G_BEGIN_DECLS

/* Coverage in words. All return (transfer full), translated. */

/* "readings lead to one component in 95 % of faults · 3 faults not visible"; "" where there is nothing to say
 * it of. */
char *bl_coverage_summary (const BlCoverage *coverage);
/* The same at length, for the editor. */
char *bl_coverage_isolated (const BlCoverage *coverage);
/* "K1 coil open, Q3 open". */
char *bl_coverage_group (const BlCoverageGroup *group);
/* "Output of 5 V rail in state “running”, at TP7: leads to one component in 97 %, now 95 %". */
char *bl_coverage_one_more (const BlBoard *board, const BlCoverage *coverage, const BlOneMore *more);

G_END_DECLS
