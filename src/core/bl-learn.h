/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What confirmed repairs say about how often the modes of an edition fail, beside what the table of
 * published priors says. A share is a part of all documented failures of the board, 0 to 1. */

/* How many confirmed causes the table counts as when nobody said otherwise. Own choice, common
 * practice, no source: small, because the table is of other equipment at other stresses, and not so
 * small that the first repair of an edition alone decides the next. */
#define BL_LEARN_STRENGTH 10.0
/* What is taken on entry: below one a single repair would decide nearly all. */
#define BL_STRENGTH_LEAST 1.0
#define BL_STRENGTH_MOST 1000.0

/* Beta distribution of a chance, for x in n: a + x, b + n - x. */
typedef struct
{
  double a, b;
} BlBeta;
BlBeta bl_beta_update (BlBeta prior, double x, double n);
double bl_beta_mean (BlBeta beta);
/* Standard deviation: square root of m (1 - m) / (a + b + 1), m the mean. */
double bl_beta_sd (BlBeta beta);

/* Mean of a Dirichlet distribution of n shares after counts: (alpha + count) over the sum of all.
 * counts NULL: none. mean takes n values, all 0 when there is nothing to share out. */
void bl_dirichlet_mean (const double *alpha, const double *counts, guint n, double *mean);

/* A cause confirmed in a repair. */
typedef struct
{
  gint64 job;      /* of the library: what tells repairs apart */
  char *component; /* id */
  char *mode;      /* NULL: not known */
} BlFoundCause;
BlFoundCause *bl_found_cause_new (gint64 job, const char *component, const char *mode);
void bl_found_cause_free (BlFoundCause *cause);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlFoundCause, bl_found_cause_free)

typedef struct
{
  char *component;
  guint n; /* repairs it was a cause of */
} BlCauseCount;

/* Causes (BlFoundCause) as counts of repairs per component, most first, equal ones by name.
 * n_repairs (may be NULL) is set to the number of repairs. (transfer full) GPtrArray of BlCauseCount */
GPtrArray *bl_found_causes_count (GPtrArray *causes, guint *n_repairs);

typedef struct
{
  const char *component, *mode; /* owned by the whole */
  double handbook; /* share by the document: table, weights and factors */
  double count;    /* confirmed causes; a cause of unknown mode is parted by the handbook's shares */
  double learned;  /* share after them */
} BlLearnedMode;

typedef struct
{
  double strength; /* confirmed causes that the document's shares count as */
  guint repairs;   /* with a confirmed cause */
  guint unplaced;  /* causes no documented mode can take: they are told, and change no share */
  GPtrArray *modes; /* BlLearnedMode in document order */
} BlLearned;

/* alpha = strength times the document's share, plus counts; strength below 0 is taken as 0.
 * causes: BlFoundCause. (transfer full) */
BlLearned *bl_learned_new (const BlBoard *board, GPtrArray *causes, double strength);
void bl_learned_free (BlLearned *learned);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlLearned, bl_learned_free)

/* TRUE when some count changes a share. */
gboolean bl_learned_differs (const BlLearned *learned);
/* Sums over the modes of a component. */
void bl_learned_component (const BlLearned *learned, const char *component, double *handbook,
                           double *count, double *share);

/* Writes the learned shares into board, the one it was made for, as weights of its modes. The sum of
 * all weights stays, and with it what is not documented. Where nothing differs board stays as it was,
 * to the bit. */
void bl_learned_apply (const BlLearned *learned, BlBoard *board);

G_END_DECLS
