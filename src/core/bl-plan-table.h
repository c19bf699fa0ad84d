/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "bl-problem.h"

G_BEGIN_DECLS

enum { BL_PLAN_MOST_HYPOTHESES = G_MAXUINT16 };

/* Sequential diagnosis on a plain table: which of some hypotheses is true is to be found out by tests
 * that cost something. Knows nothing of boards, so that it can be tried on published tables. */

typedef struct
{
  double cost;     /* above 0, in any unit */
  int state, lead; /* what it needs set up: entering another state than the last test's costs
                      enter[state], another lead change_lead; -1: none, never costs */
  double danger;   /* of equally good tests that with less is taken */
  gboolean taken;  /* it was: once is all */
  guint n_classes; /* at most 64 */
  double *chance;  /* [hypothesis * n_classes + class]; each row sums to 1 */
} BlPlanTest;

typedef struct
{
  guint n_hypotheses, n_tests; /* at most BL_PLAN_MOST_HYPOTHESES */
  double *prior; /* not negative; need not sum to 1 */
  int *group;    /* of each hypothesis: what is to be found (a component), from 0 */
  int *also;     /* a second group it counts for as well, or -1; NULL: none has one */
  BlPlanTest *tests;
  double *enter; /* of each state; NULL: 0 */
  double change_lead;
  int state, lead; /* at present */
  gboolean begun;  /* FALSE: the first test pays for no change */
  double enough;   /* a group with this share is found; 1: only certainty will do */
  double telling;  /* a test that says no more bits about the groups than this tells nothing */
} BlPlanTable;

void bl_plan_table_free (BlPlanTable *table);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPlanTable, bl_plan_table_free)

/* A step of a plan and what follows each class. */
typedef struct BlPlanStep BlPlanStep;
struct BlPlanStep
{
  int test;           /* -1: nothing more to measure here */
  double reached;     /* chance of getting here */
  double effort;      /* expected, from here on */
  int group;          /* the leading one here */
  double share;       /* its share here */
  guint n_classes;
  BlPlanStep **after; /* [class]; NULL where it is too unlikely or too far ahead to be shown */
};

enum { BL_PLAN_RIVALS = 3 };

typedef struct
{
  BlPlanStep *first;    /* its effort is the plan's */
  double greedy_effort; /* of always taking the test with most bits about the groups over its cost */
  int greedy_test;      /* the first of that order; -1: none */
  gboolean least;       /* every other plan was shown to cost no less */
  guint n_rivals, rivals[BL_PLAN_RIVALS]; /* first tests that came next, the best first; none of a least plan */
  gsize work;           /* multiplications spent, about */
} BlPlanTree;

void bl_plan_tree_free (BlPlanTree *tree);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPlanTree, bl_plan_tree_free)

#define BL_PLAN_BUDGET (40u * 1000 * 1000) /* what a window can wait for, about 0.15 s */
#define BL_PLAN_REGRET_BUDGET (6u * 1000 * 1000) /* for each beginning compared: half as much again as the plan had */

/* The plan of least expected cost until a group is found or no test tells any more, as far as budget
 * (multiplications, about) allows. Work and result are the same on every machine.
 * NULL with BL_CORE_ERROR_CANCELLED when cancel becomes non-zero. (transfer full) */
BlPlanTree *bl_plan_solve (const BlPlanTable *table, gsize budget, const int *cancel, GError **error);

/* Expected costs of taking each of these tests first and of the best plan after it, budget for each test. FALSE:
 * cancelled. */
gboolean bl_plan_efforts_with (const BlPlanTable *table, const guint *tests, guint n, gsize budget, const int *cancel,
                               double *efforts);
/* Of one. NAN: cancelled, or no such test. */
double bl_plan_effort_with (const BlPlanTable *table, guint test, gsize budget, const int *cancel);

typedef struct
{
  int test;      /* -1: nothing is to be measured */
  double effort; /* expected, with it and after it */
} BlPlanBeginning;

/* The same less that of the best beginning that is found: the tree's first test, its rivals, this one, all reckoned with
 * this budget, since a plan's own figure leaves out what is unlikely. 0 for the best one; at least what it costs, about,
 * when it tells nothing. best (may be NULL): set to the best. NAN: cancelled, or no such test. */
double bl_plan_regret_against (const BlPlanTable *table, const BlPlanTree *tree, guint test, gsize budget,
                               const int *cancel, BlPlanBeginning *best);

/* What the test costs as things stand, changes of state and lead with it. */
double bl_plan_cost (const BlPlanTable *table, guint test);

/* Bits a test says about the groups. */
double bl_plan_bits (const BlPlanTable *table, guint test);

/* Takes test and sees this class: the priors become what they are then by Bayes' rule, summing to 1,
 * and the board is left in the test's state. FALSE, and nothing changed, when that cannot happen. */
gboolean bl_plan_observe (BlPlanTable *table, guint test, guint class_index);

G_END_DECLS
