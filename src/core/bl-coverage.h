/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What the documented measurements can tell apart, and where one more would help most. Weights are in
 * failures per 10^6 h; fractions are shares of weight. */

/* Documented modes that look the same at every measurement. */
typedef struct
{
  GPtrArray *components; /* ids */
  GPtrArray *modes;      /* "U2:open" */
  double weight;
} BlCoverageGroup;

/* How well measurements tell faults apart (detected and isolated fractions as the testability literature
 * has them: MIL-STD-2165 and IEEE 1522, from memory). */
typedef struct
{
  double detected;    /* weight that some measurement sees, over all documented weight */
  double isolated[3]; /* weight in groups of at most 1, 2, 3 components over weight detected */
  double mean_size;   /* components in the group a detected fault falls in, on average; 0: none detected */
  double left_bits;   /* what is still unknown of the failed component when all is read, on average */
} BlTestability;

typedef struct
{
  char *stage;     /* its output measured, or NULL */
  char *state;     /* in which that tells most */
  char *point;     /* a test point without a measurement inside the stage's outline; NULL: none */
  char *component; /* tested by itself (stage NULL) */
  double bits;     /* left_bits less than now */
  BlTestability then;
} BlOneMore;

typedef struct
{
  GPtrArray *groups;            /* BlCoverageGroup, the heaviest first */
  GPtrArray *invisible;         /* "D7:open" that no measurement sees */
  GPtrArray *unmeasured_stages; /* ids */
  GPtrArray *unused_points;     /* ids of test points at which nothing is measured */
  BlTestability now;
  GPtrArray *one_more;          /* BlOneMore with a gain, the best first; NULL: not asked */
} BlCoverage;
/* Counted references, from any thread; a coverage does not change. */
BlCoverage *bl_coverage_ref (BlCoverage *coverage);
void bl_coverage_free (BlCoverage *coverage);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCoverage, bl_coverage_free)

/* one_more: try candidates too: the output of each stage in each live state in which no meter reads it,
 * and each component by itself. cancel: set to non-zero from another thread to stop (NULL: none).
 * (transfer full) */
BlCoverage *bl_coverage_new (const BlBoard *board, gboolean one_more, const int *cancel, GError **error);

/* The object of `coverage --json`. Returns: (transfer full). */
char *bl_coverage_json (const BlBoard *board, GError **error);

G_END_DECLS
