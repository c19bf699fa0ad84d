/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One test of a table by itself: what it tells, what it costs, what is believed after it, and what it gives away to begin
 * with it.
 *
 * What is given away is reckoned against the best beginning that is found, not against the one that is advised: the
 * plan's first, those that came next to it and the test itself, each with more work than the plan had for them. So who
 * follows the advice may give something away, too. */
#include "config.h"

#include "bl-plan-private.h"

#include <math.h>

#define EQUAL 1e-9

double
bl_plan_bits (const BlPlanTable *table, guint test)
{
  g_return_val_if_fail (table != NULL && test < table->n_tests, 0);
  g_return_val_if_fail (table->n_hypotheses <= BL_PLAN_MOST_HYPOTHESES, 0);
  BlPlanContext context;
  bl_plan_context_init (&context, table);
  BlBelief *belief = bl_belief_first (&context);
  double bits = belief->n > 0 ? bl_belief_bits (&context, belief, test) : 0;
  bl_belief_free (belief);
  bl_plan_context_clear (&context);
  return bits;
}

static double
chance_of (const BlPlanTable *table, guint test, guint class_index)
{
  const BlPlanTest *self = &table->tests[test];
  double sum = 0, all = 0;
  for (guint h = 0; h < table->n_hypotheses; h++)
    {
      sum += table->prior[h] * self->chance[(gsize) h * self->n_classes + class_index];
      all += table->prior[h];
    }
  return all > 0 ? sum / all : 0;
}

gboolean
bl_plan_observe (BlPlanTable *table, guint test, guint class_index)
{
  g_return_val_if_fail (table != NULL && test < table->n_tests, FALSE);
  BlPlanTest *self = &table->tests[test];
  g_return_val_if_fail (class_index < self->n_classes, FALSE);
  double sum = 0;
  if (!(chance_of (table, test, class_index) > 0))
    return FALSE;
  for (guint h = 0; h < table->n_hypotheses; h++)
    sum += table->prior[h] *= self->chance[(gsize) h * self->n_classes + class_index];
  for (guint h = 0; h < table->n_hypotheses; h++)
    table->prior[h] /= sum;
  self->taken = TRUE;
  table->begun = TRUE;
  if (self->state >= 0)
    table->state = self->state;
  if (self->lead >= 0)
    table->lead = self->lead;
  return TRUE;
}

double
bl_plan_cost (const BlPlanTable *table, guint test)
{
  g_return_val_if_fail (table != NULL && test < table->n_tests, 0);
  const BlPlanTest *self = &table->tests[test];
  double cost = self->cost;
  if (table->begun && self->state >= 0 && self->state != table->state && table->enter != NULL)
    cost += table->enter[self->state];
  if (table->begun && self->lead >= 0 && self->lead != table->lead)
    cost += table->change_lead;
  return cost;
}

double
bl_plan_effort_with (const BlPlanTable *table, guint test, gsize budget, const int *cancel)
{
  double effort;

  g_return_val_if_fail (table != NULL, NAN);
  return test < table->n_tests && bl_plan_efforts_with (table, &test, 1, budget, cancel, &effort) ? effort : NAN;
}

double
bl_plan_regret_against (const BlPlanTable *table, const BlPlanTree *tree, guint test, gsize budget, const int *cancel,
                        BlPlanBeginning *best)
{
  g_return_val_if_fail (table != NULL && tree != NULL, NAN);
  guint tests[BL_PLAN_RIVALS + 2] = { test }, n = 1, least = 0;
  double efforts[BL_PLAN_RIVALS + 2];
  gboolean any = tree->first->test >= 0; /* anything is to be measured */

  for (guint i = 0; any && i <= tree->n_rivals; i++)
    {
      guint other = i == 0 ? (guint) tree->first->test : tree->rivals[i - 1];
      if (other != test)
        tests[n++] = other;
    }
  if (test >= table->n_tests || !bl_plan_efforts_with (table, tests, n, budget, cancel, efforts))
    return NAN;
  for (guint i = 1; i < n; i++)
    if (efforts[i] < efforts[least] * (1 + EQUAL) && (least == 0 || efforts[i] < efforts[least] * (1 - EQUAL)))
      least = i;
  if (best != NULL)
    *best = any ? (BlPlanBeginning){ (int) tests[least], efforts[least] } : (BlPlanBeginning){ -1, 0 };
  return any ? MAX (efforts[0] - efforts[least], 0) : efforts[0];
}
