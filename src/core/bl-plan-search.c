/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of least expected cost: a choice at each belief, a chance at each test (an AND/OR tree).
 *
 * First everything is tried, depth first, each branch given up once a bound shows that it costs no
 * less than the best so far; equal beliefs are solved once. When that ends within the budget the plan
 * is known to be least. Where it does not, on tables of a hundred hypotheses it cannot, the first
 * steps are tried instead and the rest is taken to follow the greedy order (D. Bertsekas, J. Tsitsiklis
 * and C. Wu, Rollout algorithms for combinatorial optimization, 1997; from memory): never worse than
 * the greedy order, as far as the chances are followed, and not called least.
 *
 * The budget counts multiplications, not time, so that the same question has the same answer. */
#include "config.h"

#include "bl-plan-private.h"

#include "bl-board.h"

#include <glib/gi18n-lib.h>
#include <math.h>

enum
{
  MOST_CLASSES = 64,
  EXACT = 1000,   /* salt of what was solved for good; below it the steps looked ahead */
  MOST_AHEAD = 3,
  WIDTH = 6,      /* offers tried at each step looked ahead, and those of other states */
  LEVELS = 4      /* of steps handed out */
};

#define ROUGH_DROP 1e-4    /* of a belief, when not everything is tried */
#define ROUGH_REACHED 1e-2 /* a chance below it is not followed but estimated */
#define SHOWN_REACHED 0.01
#define EQUAL 1e-9

typedef struct
{
  BlBeliefKey key;
  double value;
  int test;       /* -1: value is only a bound from below */
} Memo;

typedef struct
{
  BlPlanContext context;
  GHashTable *memo;
  gsize limit;    /* of work */
  gboolean stopped;
  const int *cancel;
  double least_reached;
  double cost_a_bit; /* of the first greedy step: for estimates */
} Search;

typedef struct
{
  guint n;
  BlBelief *belief[MOST_CLASSES]; /* NULL: that class cannot show */
  double chance[MOST_CLASSES];
} Outcomes;

static guint
memo_hash (gconstpointer key)
{
  return (guint) ((const BlBeliefKey *) key)->word[0];
}

static gboolean
memo_equal (gconstpointer a, gconstpointer b)
{
  const BlBeliefKey *x = a, *y = b;
  return x->word[0] == y->word[0] && x->word[1] == y->word[1];
}

static void
keep (Search *search, BlBeliefKey key, double value, int test)
{
  Memo *memo = g_new (Memo, 1);
  *memo = (Memo){ key, value, test };
  g_hash_table_replace (search->memo, &memo->key, memo);
}

static gboolean
is_out (Search *search)
{
  if (search->context.work > search->limit
      || (search->cancel != NULL && g_atomic_int_get ((int *) search->cancel) != 0))
    search->stopped = TRUE;
  return search->stopped;
}

static void
foresee (Search *search, const BlBelief *belief, guint test, Outcomes *outcomes)
{
  outcomes->n = search->context.table->tests[test].n_classes;
  for (guint c = 0; c < outcomes->n; c++)
    {
      BlBelief *after = bl_belief_after (&search->context, belief, test, c);
      outcomes->belief[c] = after;
      outcomes->chance[c] = after != NULL ? after->reached / belief->reached : 0;
      if (after != NULL)
        bl_belief_look (&search->context, after);
    }
}

static void
forget (Outcomes *outcomes)
{
  for (guint c = 0; c < outcomes->n; c++)
    bl_belief_free (outcomes->belief[c]);
}

/* --- the greedy order --- */

static double
estimate (const Search *search, const BlBelief *belief)
{
  return MIN (belief->entropy * search->cost_a_bit, 5 * belief->offers[0].cost);
}

static double
follow_greedy (Search *search, const BlBelief *belief)
{
  if (belief->done)
    return 0;
  if (belief->reached < search->least_reached)
    return estimate (search, belief);
  BlBeliefKey key = bl_belief_key (belief, 0);
  const Memo *known = g_hash_table_lookup (search->memo, &key);
  if (known != NULL)
    return known->value;
  if (is_out (search))
    return 0;
  const struct BlPlanOffer *first = &belief->offers[0];
  double value = first->cost;
  Outcomes outcomes;
  foresee (search, belief, first->test, &outcomes);
  for (guint c = 0; c < outcomes.n; c++)
    if (outcomes.belief[c] != NULL)
      value += outcomes.chance[c] * follow_greedy (search, outcomes.belief[c]);
  forget (&outcomes);
  if (!search->stopped)
    keep (search, key, value, (int) first->test);
  return value;
}

/* --- everything --- */

static double solve (Search *search, const BlBelief *belief, double limit, int *test);

/* Cost of an offer, or something not below limit once that is sure. */
static double
try_offer (Search *search, const BlBelief *belief, const struct BlPlanOffer *offer, double limit)
{
  Outcomes outcomes;
  double bound[MOST_CLASSES], sum = offer->cost;
  foresee (search, belief, offer->test, &outcomes);
  for (guint c = 0; c < outcomes.n; c++)
    {
      bound[c] = outcomes.belief[c] != NULL ? bl_belief_bound (&search->context, outcomes.belief[c]) : 0;
      sum += outcomes.chance[c] * bound[c];
    }
  for (guint c = 0; c < outcomes.n && sum < limit && !search->stopped; c++)
    {
      if (outcomes.belief[c] == NULL || outcomes.belief[c]->done)
        continue;
      double room = bound[c] + (limit - sum) / outcomes.chance[c];
      sum += outcomes.chance[c] * (solve (search, outcomes.belief[c], room, NULL) - bound[c]);
    }
  forget (&outcomes);
  return sum;
}

static gboolean
is_better (const Search *search, double value, const struct BlPlanOffer *offer, double best, int test)
{
  const BlPlanTest *tests = search->context.table->tests;
  double same = EQUAL * MAX (best, 1e-300);
  if (!isfinite (best) || value < best - same)
    return TRUE;
  return test >= 0 && value <= best + same && tests[offer->test].danger < tests[test].danger;
}

/* Least expected cost where it is below limit; otherwise something not below limit. */
static double
solve (Search *search, const BlBelief *belief, double limit, int *test)
{
  double best = limit;
  int choice = -1;
  if (belief->done)
    return 0;
  BlBeliefKey key = bl_belief_key (belief, EXACT);
  const Memo *known = g_hash_table_lookup (search->memo, &key);
  if (known != NULL && (known->test >= 0 || known->value >= limit))
    {
      if (test != NULL)
        *test = known->test;
      return known->value;
    }
  double bound = bl_belief_bound (&search->context, belief);
  if (bound >= limit || is_out (search))
    return MAX (bound, limit);
  for (guint i = 0; i < belief->n_offers && !search->stopped; i++)
    {
      double value = try_offer (search, belief, &belief->offers[i], best * (1 + 2 * EQUAL));
      if (is_better (search, value, &belief->offers[i], best, choice))
        {
          best = MIN (value, best);
          choice = (int) belief->offers[i].test;
        }
    }
  if (!search->stopped)
    keep (search, key, best, choice);
  if (test != NULL)
    *test = choice;
  return best;
}

/* --- some steps ahead --- */

/* The best offers, and the best of every state that is not among them: entering a state pays for
 * several tests. */
static guint
pick_offers (const Search *search, const BlBelief *belief, const struct BlPlanOffer **picked)
{
  const BlPlanTest *tests = search->context.table->tests;
  guint n = 0;
  for (guint i = 0; i < belief->n_offers && n < 2 * WIDTH; i++)
    {
      gboolean other = TRUE;
      for (guint j = 0; j < n && other; j++)
        other = tests[picked[j]->test].state != tests[belief->offers[i].test].state;
      if (n < WIDTH || other)
        picked[n++] = &belief->offers[i];
    }
  return n;
}

static double look_ahead (Search *search, const BlBelief *belief, guint steps, int *test);

static double
try_ahead (Search *search, const BlBelief *belief, const struct BlPlanOffer *offer, guint steps, double limit)
{
  Outcomes outcomes;
  double sum = offer->cost;
  foresee (search, belief, offer->test, &outcomes);
  for (guint c = 0; c < outcomes.n && sum <= limit && !search->stopped; c++)
    if (outcomes.belief[c] != NULL)
      sum += outcomes.chance[c] * look_ahead (search, outcomes.belief[c], steps, NULL);
  forget (&outcomes);
  return sum;
}

static double
look_ahead (Search *search, const BlBelief *belief, guint steps, int *test)
{
  const struct BlPlanOffer *picked[2 * WIDTH];
  if (belief->done)
    return 0;
  if (test != NULL)
    *test = (int) belief->offers[0].test;
  if (steps == 0 || belief->reached < SHOWN_REACHED)
    return follow_greedy (search, belief);
  BlBeliefKey key = bl_belief_key (belief, steps);
  const Memo *known = g_hash_table_lookup (search->memo, &key);
  double best = INFINITY;
  int choice = -1;
  if (known != NULL)
    {
      if (test != NULL)
        *test = known->test;
      return known->value;
    }
  guint n = pick_offers (search, belief, picked);
  for (guint i = 0; i < n && !is_out (search); i++)
    {
      double value = try_ahead (search, belief, picked[i], steps - 1, best * (1 + 2 * EQUAL));
      if (!search->stopped && is_better (search, value, picked[i], best, choice))
        {
          best = value;
          choice = (int) picked[i]->test;
        }
    }
  if (!search->stopped)
    keep (search, key, best, choice);
  if (test != NULL && choice >= 0)
    *test = choice;
  return best;
}

/* --- handing out --- */

static void
step_free (BlPlanStep *step)
{
  if (step == NULL)
    return;
  for (guint c = 0; c < step->n_classes; c++)
    step_free (step->after[c]);
  g_free (step->after);
  g_free (step);
}

void
bl_plan_tree_free (BlPlanTree *tree)
{
  if (tree == NULL)
    return;
  step_free (tree->first);
  g_free (tree);
}

/* how: EXACT, or how many steps were looked ahead at this belief. */
static BlPlanStep *
hand_out (Search *search, const BlBelief *belief, guint how, guint levels)
{
  BlPlanStep *step = g_new0 (BlPlanStep, 1);
  Outcomes outcomes;
  *step = (BlPlanStep){ -1, belief->reached, 0, belief->group, belief->share, 0, NULL };
  if (belief->done)
    return step;
  step->effort = how == EXACT ? solve (search, belief, INFINITY, &step->test)
                              : look_ahead (search, belief, how, &step->test);
  if (levels == 0 || step->test < 0)
    return step;
  foresee (search, belief, (guint) step->test, &outcomes);
  step->n_classes = outcomes.n;
  step->after = g_new0 (BlPlanStep *, outcomes.n);
  for (guint c = 0; c < outcomes.n; c++)
    if (outcomes.belief[c] != NULL && outcomes.belief[c]->reached >= SHOWN_REACHED)
      step->after[c] = hand_out (search, outcomes.belief[c], how == EXACT ? EXACT : MAX (how, 1) - 1, levels - 1);
  forget (&outcomes);
  return step;
}

static void
start (Search *search, gsize limit, double drop, double least_reached)
{
  search->context.drop = drop;
  search->least_reached = least_reached;
  search->limit = limit;
  search->stopped = FALSE;
}

static BlBelief *
first_belief (Search *search)
{
  BlBelief *belief = bl_belief_first (&search->context);
  bl_belief_look (&search->context, belief);
  search->cost_a_bit = belief->done ? 0 : belief->offers[0].cost / belief->offers[0].bits;
  return belief;
}

/* Everything within a third of the budget. NULL: it is not enough. */
static BlPlanTree *
try_everything (Search *search, gsize budget)
{
  start (search, budget / 6, 1e-12, 0);
  BlBelief *belief = first_belief (search);
  BlPlanTree *tree = NULL;
  double greedy = follow_greedy (search, belief);
  if (!search->stopped)
    solve (search, belief, greedy * (1 + 2 * EQUAL), NULL);
  if (!search->stopped)
    {
      search->limit = budget;
      tree = g_new0 (BlPlanTree, 1);
      tree->first = hand_out (search, belief, EXACT, LEVELS);
      tree->greedy_effort = greedy;
      tree->greedy_test = belief->done ? -1 : (int) belief->offers[0].test;
      tree->least = search->context.table->n_tests <= BL_PLAN_MAX_TESTS; /* the others were not tried */
    }
  bl_belief_free (belief);
  if (search->stopped)
    g_clear_pointer (&tree, bl_plan_tree_free);
  return tree;
}

static BlPlanTree *
try_ahead_only (Search *search, gsize budget)
{
  gsize before = search->context.work;
  g_hash_table_remove_all (search->memo);
  start (search, G_MAXSIZE, ROUGH_DROP, ROUGH_REACHED);
  BlBelief *belief = first_belief (search);
  BlPlanTree *tree = g_new0 (BlPlanTree, 1);
  guint steps = 0;
  tree->greedy_effort = follow_greedy (search, belief);
  tree->greedy_test = belief->done ? -1 : (int) belief->offers[0].test;
  search->limit = before + budget - budget / 6;
  while (steps < MOST_AHEAD && !search->stopped)
    {
      look_ahead (search, belief, steps + 1, NULL);
      steps += !search->stopped;
    }
  start (search, G_MAXSIZE, ROUGH_DROP, ROUGH_REACHED);
  tree->first = hand_out (search, belief, steps, LEVELS);
  bl_belief_free (belief);
  return tree;
}

BlPlanTree *
bl_plan_solve (const BlPlanTable *table, gsize budget, const int *cancel, GError **error)
{
  g_return_val_if_fail (table != NULL, NULL);
  Search search = { .cancel = cancel };
  bl_plan_context_init (&search.context, table);
  search.memo = g_hash_table_new_full (memo_hash, memo_equal, NULL, g_free);
  BlPlanTree *tree = try_everything (&search, budget);
  if (tree == NULL && (cancel == NULL || g_atomic_int_get ((int *) cancel) == 0))
    tree = try_ahead_only (&search, budget);
  if (tree != NULL)
    tree->work = search.context.work;
  g_hash_table_unref (search.memo);
  bl_plan_context_clear (&search.context);
  if (cancel != NULL && g_atomic_int_get ((int *) cancel) != 0)
    {
      g_clear_pointer (&tree, bl_plan_tree_free);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _("stopped"));
    }
  return tree;
}

/* --- one test --- */

double
bl_plan_bits (const BlPlanTable *table, guint test)
{
  g_return_val_if_fail (table != NULL && test < table->n_tests, 0);
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

static double
effort_of (const BlPlanTable *table, gsize budget, const int *cancel)
{
  g_autoptr (BlPlanTree) tree = bl_plan_solve (table, budget, cancel, NULL);
  return tree != NULL ? tree->first->effort : NAN;
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
  g_return_val_if_fail (table != NULL, NAN);
  if (test >= table->n_tests)
    return NAN;
  guint n = table->tests[test].n_classes;
  double sum = bl_plan_cost (table, test);
  for (guint c = 0; c < n; c++)
    {
      double chance = chance_of (table, test, c);
      g_autofree double *prior = g_memdup2 (table->prior, table->n_hypotheses * sizeof *prior);
      g_autofree BlPlanTest *tests = g_memdup2 (table->tests, table->n_tests * sizeof *tests);
      BlPlanTable after = *table;
      after.prior = prior;
      after.tests = tests;
      if (chance > 0 && bl_plan_observe (&after, test, c))
        sum += chance * effort_of (&after, budget / n, cancel);
    }
  return sum;
}

double
bl_plan_regret_against (const BlPlanTable *table, int first, guint test, gsize budget, const int *cancel, double *best)
{
  g_return_val_if_fail (table != NULL, NAN);
  double least = first >= 0 ? bl_plan_effort_with (table, (guint) first, budget, cancel) : 0;
  double own = (int) test == first ? least : bl_plan_effort_with (table, test, budget, cancel);
  if (best != NULL)
    *best = least;
  return isnan (own) || isnan (least) ? NAN : MAX (own - least, 0);
}

double
bl_plan_regret (const BlPlanTable *table, guint test, gsize budget, const int *cancel)
{
  g_return_val_if_fail (table != NULL, NAN);
  g_autoptr (BlPlanTree) tree = bl_plan_solve (table, budget, cancel, NULL);
  return tree != NULL ? bl_plan_regret_against (table, tree->first->test, test, budget, cancel, NULL) : NAN;
}
