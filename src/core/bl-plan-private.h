/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-plan-table.h"

G_BEGIN_DECLS

/* What is believed after some tests: shared by bl-plan-belief.c and bl-plan-search.c. */

enum { BL_PLAN_WORDS = 4, BL_PLAN_MAX_TESTS = 64 * BL_PLAN_WORDS };

typedef struct
{
  guint n;
  guint *which; /* hypotheses not ruled out, groups together */
  double *p;    /* of each, summing to 1 */
  double reached;
  guint64 open[BL_PLAN_WORDS]; /* tests not taken that told something before */
  guint64 left[BL_PLAN_WORDS]; /* after a look: those that still tell something */
  int state, lead;
  gboolean begun;

  /* filled by bl_belief_glance () */
  gboolean done;      /* found; after a look also: nothing tells any more */
  int group;          /* leading group and its share */
  double share;
  double entropy;     /* of the groups, bits */

  /* filled by bl_belief_look () */
  guint n_offers;
  struct BlPlanOffer
  {
    guint test;
    double cost, bits;
  } *offers;          /* best bits over cost first, the others in any order before bl_belief_rank () */
  gboolean ranked;
  double least_cost;  /* of an offer */
} BlBelief;

/* A test by what it can show: mostly a hypothesis shows one of a few rows of chances, the same for many. */
typedef struct
{
  guint16 *of;     /* row of each hypothesis */
  double *chance;  /* [row * n_classes + class] */
  double *entropy; /* of each row, bits */
  guint n;
} BlPlanRows;

typedef struct
{
  const BlPlanTable *table;
  BlPlanRows *rows;   /* of each test */
  guint *order;       /* hypotheses by group */
  int *block;         /* certain tests, certainty wanted: what must be told apart; NULL otherwise */
  double cost_a_bit;  /* with block: no test is cheaper for a bit */
  guint n_groups;
  double *by_group;   /* scratch */
  struct BlPlanSpan
  {
    guint end;        /* of the hypotheses of one group in a belief */
    double p, x_log_x;
  } *spans;           /* scratch: of the belief looked at */
  guint n_spans;
  double *by_row;     /* scratch */
  double drop;        /* hypotheses below this share are given up */
  gsize work;
} BlPlanContext;

void bl_plan_context_init (BlPlanContext *self, const BlPlanTable *table);
void bl_plan_context_clear (BlPlanContext *self);

BlBelief *bl_belief_first (BlPlanContext *context);
/* After a test showed a class; NULL: it cannot. */
BlBelief *bl_belief_after (BlPlanContext *context, const BlBelief *belief, guint test, guint class_index);
void bl_belief_glance (BlPlanContext *context, BlBelief *belief);
/* At what each test tells here, the dearest thing of all. */
void bl_belief_look (BlPlanContext *context, BlBelief *belief);
void bl_belief_rank (const BlPlanContext *context, BlBelief *belief);
/* The best offers (width at most), then the best of every state that is not among them: entering a state pays for several
 * tests. Returns how many were put in picked, 2 * width at most. */
guint bl_belief_pick (const BlPlanContext *context, const BlBelief *belief, guint width, struct BlPlanOffer *picked);
void bl_belief_free (BlBelief *belief);
double bl_belief_cost (const BlPlanContext *context, const BlBelief *belief, guint test);
/* Bits a test says about the groups here. */
double bl_belief_bits (BlPlanContext *context, const BlBelief *belief, guint test);
/* No plan from here costs less. */
double bl_belief_bound (BlPlanContext *context, const BlBelief *belief);

/* A name for what is believed: equal for equal beliefs, by whatever way they were reached. */
typedef struct
{
  guint64 word[2];
} BlBeliefKey;
BlBeliefKey bl_belief_key (const BlBelief *belief, guint salt, gboolean looked);

G_END_DECLS
