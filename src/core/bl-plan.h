/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-acts.h"
#include "bl-diagnosis.h"
#include "bl-plan-table.h"

G_BEGIN_DECLS

/* What to measure next, several measurements ahead. Comes with a diagnosis that was asked for it.
 *
 * The hypotheses are the most probable complete ones: which own events happened, what they provoked
 * and what of it shows. Their shares are exact; what is left out is told. A hypothesis is found when
 * its component (or stage) is; of two faults either will do. */
struct BlPlan
{
  BlPlanTable *table;
  BlPlanTree *tree;
  char **measurements; /* id of each test of the table; NULL-terminated */
  char **groups;       /* id of each group: a component (stage), or one of the two below;
                          in a plan to the stage the last one stands for parts of no stage */
  GPtrArray *classes;  /* per test: GStrv of each of its outcomes: the classes that say the same, mostly one */
  guint elsewhere;     /* group: not on this board */
  guint nothing;       /* group: nothing is left, what was wrong has been replaced */
  double covered;      /* share of the probability that the hypotheses have */
  gboolean to_stage;   /* groups are stages */
  gboolean whole;      /* every unread measurement is among the tests: none has more classes than a plan holds */
};
void bl_plan_free (BlPlan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPlan, bl_plan_free)

/* The classes that make one outcome of a test: mostly one; several where they say the same. (transfer
 * none) */
char **bl_plan_classes (const BlPlan *plan, guint test, guint outcome);

/* TRUE: the first step of the plan is expected to lead to the end sooner than the measurement with most
 * bits a second. Then the advice follows the plan. */
gboolean bl_plan_is_shorter (const BlPlan *plan);

/* TRUE: no plan is shorter, shown by trying every other, and next to nothing was left out. */
gboolean bl_plan_is_least (const BlPlan *plan);

G_END_DECLS
