/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of least expected cost: a choice at each belief, a chance at each test (an AND/OR tree).
 *
 * First everything is tried, depth first, each branch given up once a bound shows that it costs no
 * less than the best so far; equal beliefs are solved once. When that ends within the budget the plan
 * is known to be least. Where it does not, on tables of a hundred hypotheses it cannot, the first
 * steps are tried instead and the rest is taken to follow the greedy order (D. Bertsekas, J. Tsitsiklis
 * and C. Wu, Rollout algorithms for combinatorial optimization, 1997; from memory): first many steps
 * with nothing looked ahead, then fewer with one step, then with two. At last the best few are looked at again,
 * each with such a search of its own after every class. What is unlikely is not followed to its end but
 * estimated; so figures are rough by some hundredths, and what gains less than that is left alone. On the
 * demo's boards that is what makes the plan better than the greedy order in drills, and not worse.
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
  WIDTH = 6,      /* offers tried first, and those of other states */
  INNER_WIDTH = 3, /* the same at each step looked ahead */
  LEVELS = 4,     /* of steps handed out */
  HOPELESS = 48,  /* of the budget: then not everything is tried */
  AGAIN = 4,      /* first steps looked at a second time */
  LARGE = 2000    /* hypotheses times tests: where more, unlikely classes of a first step are not followed, and small
                     gains are not believed */
};

#define ROUGH_DROP 1e-4    /* of a belief, when not everything is tried */
#define ROUGH_REACHED 1e-2 /* a chance below it is not followed but estimated */
#define SHOWN_REACHED 0.01
#define UNLIKELY 5e-3
#define SAME_PRICE 0.15
#define MARGIN 0.03 /* of the effort: by less than that nothing is called better where there are many hypotheses */
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
  double cost_a_bit; /* for estimates */
  double margin;
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
is_large (const BlPlanTable *table, guint n_hypotheses)
{
  return (gsize) n_hypotheses * table->n_tests > LARGE;
}

static gboolean
is_cancelled (const Search *search)
{
  return search->cancel != NULL && g_atomic_int_get ((int *) search->cancel) != 0;
}

static gboolean
is_out (Search *search)
{
  if (search->context.work > search->limit || is_cancelled (search))
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
        bl_belief_glance (&search->context, after);
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
follow_greedy (Search *search, BlBelief *belief)
{
  if (belief->done)
    return 0;
  if (belief->reached < search->least_reached)
    return belief->entropy * search->cost_a_bit;
  BlBeliefKey key = bl_belief_key (belief, 0, FALSE);
  const Memo *known = g_hash_table_lookup (search->memo, &key);
  if (known != NULL)
    return known->value;
  if (is_out (search))
    return 0;
  bl_belief_look (&search->context, belief);
  if (belief->done)
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

static double solve (Search *search, BlBelief *belief, double limit, int *test);

/* Cost of an offer, or something not below limit once that is sure. */
static double
try_offer (Search *search, const BlBelief *belief, const struct BlPlanOffer *offer, double limit)
{
  Outcomes outcomes;
  double bound[MOST_CLASSES], sum = offer->cost;
  foresee (search, belief, offer->test, &outcomes);
  for (guint c = 0; c < outcomes.n; c++)
    {
      if (outcomes.belief[c] != NULL)
        bl_belief_look (&search->context, outcomes.belief[c]);
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
solve (Search *search, BlBelief *belief, double limit, int *test)
{
  double best = limit;
  int choice = -1;
  if (belief->done)
    return 0;
  BlBeliefKey key = bl_belief_key (belief, EXACT, TRUE);
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
  bl_belief_rank (&search->context, belief);
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

static double look_ahead (Search *search, BlBelief *belief, guint steps, int *test);

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
look_ahead (Search *search, BlBelief *belief, guint steps, int *test)
{
  struct BlPlanOffer picked[2 * WIDTH];
  if (belief->done)
    return 0;
  if (test != NULL)
    {
      bl_belief_look (&search->context, belief);
      *test = belief->done ? -1 : (int) belief->offers[0].test;
    }
  if (steps == 0 || belief->reached < SHOWN_REACHED)
    return follow_greedy (search, belief);
  BlBeliefKey key = bl_belief_key (belief, steps, FALSE);
  const Memo *known = g_hash_table_lookup (search->memo, &key);
  double best = INFINITY;
  int choice = -1;
  if (known != NULL)
    {
      if (test != NULL)
        *test = known->test;
      return known->value;
    }
  bl_belief_look (&search->context, belief);
  if (belief->done)
    return 0;
  guint n = bl_belief_pick (&search->context, belief, INNER_WIDTH, picked);
  for (guint i = 0; i < n && !is_out (search); i++)
    {
      double value = try_ahead (search, belief, &picked[i], steps - 1, best * (1 + 2 * EQUAL));
      if (!search->stopped && is_better (search, value, &picked[i], best, choice))
        {
          best = value;
          choice = (int) picked[i].test;
        }
    }
  if (!search->stopped)
    keep (search, key, best, choice);
  if (test != NULL && choice >= 0)
    *test = choice;
  return best;
}

/* First steps of a plan against each other: the best first. */
typedef struct
{
  struct BlPlanOffer offer[2 * WIDTH];
  double value[2 * WIDTH];
  guint n, steps; /* looked ahead after it */
} Rivals;

/* Puts the i'th before those that are worse, as far as up to it all were tried; before the first only where it gains
 * more than the margin: of ten beginnings the one that looks best is mostly one whose figure is too low. */
static void
put_in_order (const Search *search, Rivals *rivals, guint i)
{
  struct BlPlanOffer offer = rivals->offer[i];
  double value = rivals->value[i];
  for (; i > 0 && is_better (search, value / (i == 1 ? 1 - search->margin : 1), &offer, rivals->value[i - 1],
                             (int) rivals->offer[i - 1].test); i--)
    {
      rivals->offer[i] = rivals->offer[i - 1];
      rivals->value[i] = rivals->value[i - 1];
    }
  rivals->offer[i] = offer;
  rivals->value[i] = value;
}

/* All of them with no step looked ahead, the best of those with one, and so on while there is work left. What was best
 * is tried first: another takes its place only when both were tried alike. */
static void
compete (Search *search, BlBelief *belief, Rivals *rivals)
{
  static const guint enter[MOST_AHEAD] = { 2 * WIDTH, 5, 4 };
  rivals->n = bl_belief_pick (&search->context, belief, WIDTH, rivals->offer);
  for (guint steps = 0; steps < MOST_AHEAD && !search->stopped; steps++)
    for (guint i = 0; i < MIN (rivals->n, enter[steps]); i++)
      {
        double limit = i == 0 ? INFINITY : rivals->value[0] * (1 + 2 * EQUAL);
        double value = try_ahead (search, belief, &rivals->offer[i], steps, limit);
        if (search->stopped)
          break;
        rivals->value[i] = value;
        rivals->steps = i == 0 ? steps : rivals->steps;
        put_in_order (search, rivals, i);
      }
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

static void hand_out_after (Search *search, const BlBelief *belief, BlPlanStep *step, guint how, guint levels);

/* how: EXACT, or how many steps were looked ahead at this belief. */
static BlPlanStep *
hand_out (Search *search, BlBelief *belief, guint how, guint levels)
{
  BlPlanStep *step = g_new0 (BlPlanStep, 1);
  *step = (BlPlanStep){ -1, belief->reached, 0, belief->group, belief->share, 0, NULL };
  if (belief->done)
    return step;
  step->effort = how == EXACT ? solve (search, belief, INFINITY, &step->test)
                              : look_ahead (search, belief, how, &step->test);
  if (levels > 0 && step->test >= 0)
    hand_out_after (search, belief, step, how == EXACT ? EXACT : MAX (how, 1) - 1, levels - 1);
  return step;
}

static void
hand_out_after (Search *search, const BlBelief *belief, BlPlanStep *step, guint how, guint levels)
{
  Outcomes outcomes;
  foresee (search, belief, (guint) step->test, &outcomes);
  step->n_classes = outcomes.n;
  step->after = g_new0 (BlPlanStep *, outcomes.n);
  for (guint c = 0; c < outcomes.n; c++)
    if (outcomes.belief[c] != NULL && outcomes.belief[c]->reached >= SHOWN_REACHED)
      {
        bl_belief_look (&search->context, outcomes.belief[c]); /* done also where nothing tells any more */
        step->after[c] = hand_out (search, outcomes.belief[c], how, levels);
      }
  forget (&outcomes);
}

static void
start (Search *search, gsize work, double drop, double least_reached)
{
  search->context.drop = drop;
  search->least_reached = least_reached;
  search->limit = work == G_MAXSIZE ? work : search->context.work + work;
  search->stopped = FALSE;
}

/* --- from one belief on --- */

/* Everything within a sixth of the budget; where the greedy order takes much of that, there is no hope. FALSE: it is not
 * enough. */
static gboolean
try_everything (Search *search, BlBelief *belief, gsize budget, double *greedy)
{
  start (search, budget / HOPELESS, 1e-12, 0);
  *greedy = follow_greedy (search, belief);
  search->limit += budget / 6;
  if (!search->stopped)
    solve (search, belief, *greedy * (1 + 2 * EQUAL), NULL);
  return !search->stopped;
}

/* What a bit costs where a chance is not followed: what it costs on the way, by the greedy order from the first belief.
 * Its effort is linear in that price, so two prices give the one that it then has itself. */
static void
find_price (Search *search, BlBelief *belief)
{
  start (search, G_MAXSIZE, ROUGH_DROP, ROUGH_REACHED);
  g_hash_table_remove_all (search->memo);
  double guess = belief->offers[0].cost / belief->offers[0].bits, with, without, left;
  search->cost_a_bit = guess;
  with = follow_greedy (search, belief);
  g_hash_table_remove_all (search->memo);
  search->cost_a_bit = 0;
  without = follow_greedy (search, belief);
  g_hash_table_remove_all (search->memo);
  left = (with - without) / guess; /* bits that are not followed */
  search->cost_a_bit = left < .8 * belief->entropy ? without / (belief->entropy - left) : guess;
}

/* Some steps only; this always has a result. Where a bit costs clearly more or less from here on than it was taken to,
 * that is mended first. */
static double
try_ahead_only (Search *search, BlBelief *belief, gsize budget, Rivals *rivals)
{
  g_hash_table_remove_all (search->memo);
  start (search, G_MAXSIZE, ROUGH_DROP, ROUGH_REACHED);
  double greedy = follow_greedy (search, belief), price = greedy / belief->entropy;
  if (fabs (price - search->cost_a_bit) > SAME_PRICE * search->cost_a_bit)
    {
      search->cost_a_bit = price;
      g_hash_table_remove_all (search->memo);
      greedy = follow_greedy (search, belief);
    }
  rivals->value[0] = greedy;
  start (search, budget, ROUGH_DROP, ROUGH_REACHED);
  compete (search, belief, rivals);
  return greedy;
}

/* Expected cost of the best plan from what a test leads to. */
static double
effort_from (Search *search, BlBelief *belief, gsize budget)
{
  Rivals rivals = { 0 };
  double greedy, price = search->cost_a_bit;
  belief->reached = 1;
  bl_belief_look (&search->context, belief);
  g_hash_table_remove_all (search->memo);
  if (belief->done)
    return 0;
  if (try_everything (search, belief, budget, &greedy))
    return solve (search, belief, INFINITY, NULL);
  if (is_cancelled (search))
    return NAN;
  try_ahead_only (search, belief, budget - budget / 6, &rivals);
  search->cost_a_bit = price;
  return rivals.value[0];
}

/* The same with a test before it, each of its classes with a part of the budget. Where there are many hypotheses what is
 * unlikely is not followed, and taken to cost what the rest does. */
static double
effort_with (Search *search, const BlBelief *belief, guint test, gsize budget)
{
  const BlPlanTable *table = search->context.table;
  double least = is_large (table, belief->n) ? UNLIKELY : 0, sum = 0, followed = 0;
  Outcomes outcomes;
  start (search, G_MAXSIZE, 1e-12, 0);
  foresee (search, belief, test, &outcomes);
  for (guint c = 0; c < outcomes.n; c++)
    if (outcomes.belief[c] != NULL && outcomes.chance[c] > least)
      {
        sum += outcomes.chance[c] * effort_from (search, outcomes.belief[c], budget / outcomes.n);
        followed += outcomes.chance[c];
      }
  forget (&outcomes);
  return bl_belief_cost (&search->context, belief, test) + (followed > 0 ? sum / followed : 0);
}

/* --- the whole --- */

/* The best few against each other once more, each with a search of its own after every class: returns what is gained by
 * putting another one first. */
static double
look_again (const Search *search, const BlBelief *belief, gsize budget, Rivals *rivals)
{
  Search own = *search;
  double effort[AGAIN];
  guint n = MIN (rivals->n, (guint) AGAIN), best = 0;
  own.memo = g_hash_table_new_full (memo_hash, memo_equal, NULL, g_free);
  for (guint i = 0; i < n && n > 1; i++)
    {
      effort[i] = effort_with (&own, belief, rivals->offer[i].test, budget);
      if (effort[i] < effort[best] * (1 - (best == 0 ? MAX (search->margin, EQUAL) : EQUAL)))
        best = i;
    }
  g_hash_table_unref (own.memo);
  struct BlPlanOffer offer = rivals->offer[best];
  for (guint i = best; i > 0; i--)
    rivals->offer[i] = rivals->offer[i - 1];
  rivals->offer[0] = offer;
  return best > 0 ? effort[0] - effort[best] : 0;
}

static void
begin_with_best (Search *search, BlBelief *belief, gsize budget, BlPlanTree *tree)
{
  Rivals rivals = { 0 };
  BlPlanStep *step = tree->first = g_new0 (BlPlanStep, 1);
  find_price (search, belief);
  tree->greedy_effort = try_ahead_only (search, belief, budget / 2, &rivals);
  double gained = is_cancelled (search) ? 0 : look_again (search, belief, budget / 10, &rivals);
  *step = (BlPlanStep){ (int) rivals.offer[0].test, belief->reached, MAX (rivals.value[0] - gained, rivals.offer[0].cost),
                        belief->group, belief->share, 0, NULL };
  start (search, G_MAXSIZE, ROUGH_DROP, ROUGH_REACHED);
  hand_out_after (search, belief, step, rivals.steps, LEVELS - 1);
  for (guint i = 1; i < rivals.n && tree->n_rivals < BL_PLAN_RIVALS; i++)
    tree->rivals[tree->n_rivals++] = rivals.offer[i].test;
}

static BlPlanTree *
plan_from (Search *search, BlBelief *belief, gsize budget)
{
  BlPlanTree *tree = g_new0 (BlPlanTree, 1);
  bl_belief_look (&search->context, belief);
  tree->greedy_test = belief->done ? -1 : (int) belief->offers[0].test;
  if (belief->done || try_everything (search, belief, budget, &tree->greedy_effort))
    {
      start (search, G_MAXSIZE, 1e-12, 0);
      tree->first = hand_out (search, belief, EXACT, LEVELS);
      tree->least = search->context.table->n_tests <= BL_PLAN_MAX_TESTS; /* the others were not tried */
    }
  else if (!is_cancelled (search))
    begin_with_best (search, belief, budget, tree);
  tree->work = search->context.work;
  return tree;
}

static void
search_begin (Search *search, const BlPlanTable *table, const int *cancel)
{
  *search = (Search){ .cancel = cancel };
  bl_plan_context_init (&search->context, table);
  search->margin = is_large (table, table->n_hypotheses) ? MARGIN : 0;
  search->memo = g_hash_table_new_full (memo_hash, memo_equal, NULL, g_free);
}

static void
search_end (Search *search)
{
  g_hash_table_unref (search->memo);
  bl_plan_context_clear (&search->context);
}

BlPlanTree *
bl_plan_solve (const BlPlanTable *table, gsize budget, const int *cancel, GError **error)
{
  g_return_val_if_fail (table != NULL && table->n_hypotheses <= BL_PLAN_MOST_HYPOTHESES, NULL);
  Search search;
  search_begin (&search, table, cancel);
  BlBelief *belief = bl_belief_first (&search.context);
  BlPlanTree *tree = plan_from (&search, belief, budget);
  bl_belief_free (belief);
  if (is_cancelled (&search))
    {
      g_clear_pointer (&tree, bl_plan_tree_free);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _("stopped"));
    }
  search_end (&search);
  return tree;
}

gboolean
bl_plan_efforts_with (const BlPlanTable *table, const guint *tests, guint n, gsize budget, const int *cancel,
                      double *efforts)
{
  g_return_val_if_fail (table != NULL && tests != NULL && efforts != NULL, FALSE);
  g_return_val_if_fail (table->n_hypotheses <= BL_PLAN_MOST_HYPOTHESES, FALSE);
  Search search;
  search_begin (&search, table, cancel);
  BlBelief *belief = bl_belief_first (&search.context);
  bl_belief_look (&search.context, belief);
  if (!belief->done)
    find_price (&search, belief);
  for (guint i = 0; i < n; i++)
    efforts[i] = belief->n > 0 ? effort_with (&search, belief, tests[i], budget) : bl_plan_cost (table, tests[i]);
  bl_belief_free (belief);
  search_end (&search);
  return !is_cancelled (&search);
}
