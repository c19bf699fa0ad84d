/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-coverage.h"
#include "bl-response.h"

G_BEGIN_DECLS

/* The documented modes, in document order, sorted by what every measurement shows of them. */
typedef struct
{
  const BlBoard *board;
  const BlResponse *response;
  guint n;         /* documented modes: the first of the response's */
  guint n_groups;  /* group 0: nothing is seen of it, perhaps empty */
  guint *group;    /* of each mode */
  double *weight;  /* of each mode */
} BlPartition;

/* Parts each group by one more test, which shows code[mode], 0: nothing. NULL: as it is. */
void bl_partition_judge (const BlPartition *partition, const guint8 *code, BlTestability *testability);

/* bl-coverage-more.c. NULL: cancelled. (transfer full) GPtrArray of BlOneMore */
GPtrArray *bl_coverage_find_more (const BlPartition *partition, const BlTestability *now, const int *cancel);
GPtrArray *bl_coverage_unused_points (const BlBoard *board);

G_END_DECLS
