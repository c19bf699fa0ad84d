/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a diagnosis to a plan: the hypotheses become rows of a table, the unread measurements its tests,
 * with the efforts the document gives; bl-plan-search.c does the rest. Also what good readings cannot
 * clear: the modes that no measurement of the job shows.
 *
 * That a lead or a state is wrong is part of each test's chances, with the probability it has now; it
 * is not followed through the plan. */
#include "config.h"

#include "bl-plan-hypotheses.h"

#include "bl-response.h"

#include <math.h>
#include <string.h>

enum { MOST_CLASSES = 64 }; /* of a measurement in a plan */

#define TELLING 0.02 /* bits: below that a measurement is not worth planning with */

void
bl_plan_free (BlPlan *plan)
{
  if (plan == NULL)
    return;
  g_clear_pointer (&plan->table, bl_plan_table_free);
  g_clear_pointer (&plan->tree, bl_plan_tree_free);
  g_clear_pointer (&plan->classes, g_ptr_array_unref);
  g_strfreev (plan->measurements);
  g_strfreev (plan->groups);
  g_free (plan);
}

char **
bl_plan_classes (const BlPlan *plan, guint test, guint outcome)
{
  g_return_val_if_fail (plan != NULL && test < plan->classes->len, NULL);
  return bl_at ((GPtrArray *) bl_at (plan->classes, test), outcome);
}

gboolean
bl_plan_is_shorter (const BlPlan *plan)
{
  g_return_val_if_fail (plan != NULL, FALSE);
  return plan->tree->first->test >= 0 && plan->tree->first->effort < plan->tree->greedy_effort * (1 - 1e-6);
}

gboolean
bl_plan_is_least (const BlPlan *plan)
{
  g_return_val_if_fail (plan != NULL, FALSE);
  return plan->tree->least && plan->whole && plan->covered > .99;
}

/* --- the table --- */

static double
setup_odds (const BlEngine *engine, const BlDiagnosis *diagnosis, const char *black, const char *state)
{
  for (guint i = 0; i < diagnosis->setup->len; i++)
    {
      const BlSetupOdd *odd = bl_at (diagnosis->setup, i);
      if (black != NULL ? g_strcmp0 (odd->black, black) == 0 : g_strcmp0 (odd->state, state) == 0)
        return odd->probability;
    }
  return engine->causes->odds.setup;
}

/* Whether two classes say the same about every hypothesis: all their chances have one ratio. */
static gboolean
say_the_same (const double *chance, guint n_rows, guint n, guint a, guint b)
{
  for (guint h = 1; h < n_rows; h++)
    if (fabs (chance[h * n + a] * chance[b] - chance[h * n + b] * chance[a])
        > 1e-12 * (chance[h * n + a] * chance[b] + chance[h * n + b] * chance[a]))
      return FALSE;
  return TRUE;
}

/* Puts classes together that say the same: those that no hypothesis shows and that come by misreading
 * only, mostly. The plan is the same with fewer branches. */
static GPtrArray *
join_classes (BlPlanTest *test, guint n_rows, const char *const *names)
{
  GPtrArray *outcomes = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
  guint n = test->n_classes, n_joined = 0, first[MOST_CLASSES], to[MOST_CLASSES];
  for (guint c = 0; c < n; c++)
    {
      for (to[c] = 0; to[c] < n_joined && !say_the_same (test->chance, n_rows, n, first[to[c]], c);)
        to[c]++;
      if (to[c] == n_joined)
        first[n_joined++] = c;
    }
  double *joined = g_new0 (double, (gsize) n_rows * n_joined + 1);
  for (guint h = 0; h < n_rows; h++)
    for (guint c = 0; c < n; c++)
      joined[h * n_joined + to[c]] += test->chance[h * n + c];
  for (guint o = 0; o < n_joined; o++)
    {
      g_autoptr (GPtrArray) list = g_ptr_array_new ();
      for (guint c = 0; c < n; c++)
        if (to[c] == o)
          g_ptr_array_add (list, g_strdup (names[c]));
      g_ptr_array_add (list, NULL);
      g_ptr_array_add (outcomes, g_ptr_array_free (g_steal_pointer (&list), FALSE));
    }
  g_free (test->chance);
  test->chance = joined;
  test->n_classes = n_joined;
  return outcomes;
}

static void
fill_test (const BlEngine *engine, const BlDiagnosis *diagnosis, const BlHypotheses *hypotheses, guint index,
           guint m, BlPlanTest *test)
{
  const BlCauseMeasure *measure = bl_cause_measure (engine->causes, m);
  const BlMeasurement *source = bl_at (engine->board->measurements, m);
  const BlState *state = bl_board_state (engine->board, source->state);
  guint n = measure->n;
  double right = 1 - setup_odds (engine, diagnosis, NULL, source->state);
  if (source->black != NULL)
    right *= 1 - setup_odds (engine, diagnosis, source->black, NULL);
  *test = (BlPlanTest){ .cost = isnan (source->effort_s) ? 20 : MAX (source->effort_s, .1),
                        .state = measure->state, .lead = measure->black, .n_classes = n };
  if (state != NULL && state->live != 0) /* not said: taken for live */
    test->danger = 1 + (isnan (state->volts) ? 0 : state->volts);
  test->chance = g_new (double, (gsize) hypotheses->list->len * n + 1);
  for (guint h = 0; h < hypotheses->list->len; h++)
    {
      const BlHypothesis *one = bl_at (hypotheses->list, h);
      guint shows = measure->class_of[one->codes[index]];
      for (guint c = 0; c < n; c++)
        test->chance[(gsize) h * n + c]
          = right * bl_confusion (measure, measure->misread, shows, c) + (1 - right) / n;
    }
}

static int
group_of (const BlEngine *engine, int group, gboolean to_stage)
{
  const BlCauses *causes = engine->causes;
  if (!to_stage || group < 0)
    return group;
  if (group >= (int) causes->parts->len)
    return group - (int) causes->parts->len + (int) causes->stages->len;
  int stage = bl_cause_part (causes, group)->stage;
  return stage >= 0 ? stage : (int) causes->stages->len + 2;
}

static void
fill_hypotheses (const BlEngine *engine, const BlHypotheses *hypotheses, BlPlan *plan)
{
  BlPlanTable *table = plan->table;
  guint n = table->n_hypotheses = hypotheses->list->len;
  table->prior = g_new (double, n + 1);
  table->group = g_new (int, n + 1);
  table->also = g_new (int, n + 1);
  for (guint h = 0; h < n; h++)
    {
      const BlHypothesis *one = bl_at (hypotheses->list, h);
      table->prior[h] = one->share;
      table->group[h] = group_of (engine, one->group, plan->to_stage);
      table->also[h] = group_of (engine, one->also, plan->to_stage);
      if (table->also[h] == table->group[h])
        table->also[h] = -1;
    }
}

static void
fill_efforts (const BlEngine *engine, GPtrArray *judged, BlPlanTable *table)
{
  const BlBoard *board = engine->board;
  table->enter = g_new (double, bl_len (board->states) + 1);
  for (guint s = 0; s < bl_len (board->states); s++)
    {
      const BlState *state = bl_at (board->states, s);
      table->enter[s] = isnan (state->enter_s) ? 60 : state->enter_s;
    }
  table->change_lead = 10;
  table->state = table->lead = -1;
  for (guint i = judged->len; i-- > 0 && !table->begun;)
    {
      const BlJudged *last = bl_at (judged, i);
      if (last->verdict->not_reached || last->verdict->reversed)
        continue;
      const char *state = last->entry->state != NULL ? last->entry->state : last->measurement->state;
      const char *black = last->entry->black != NULL ? last->entry->black : last->measurement->black;
      table->begun = TRUE;
      table->state = bl_causes_find (engine->causes->state_index, state);
      table->lead = black != NULL ? bl_causes_find (engine->causes->point_index, black) : -1;
    }
}

static void
name_groups (const BlEngine *engine, BlPlan *plan)
{
  const BlCauses *causes = engine->causes;
  guint n = plan->to_stage ? causes->stages->len : causes->parts->len;
  plan->groups = g_new0 (char *, n + 4);
  for (guint i = 0; i < n; i++)
    plan->groups[i] = g_strdup (plan->to_stage ? ((BlStage *) bl_at (engine->board->stages, i))->id
                                               : bl_cause_part (causes, i)->id);
  plan->elsewhere = n;
  plan->nothing = n + 1;
  plan->groups[n] = g_strdup ("elsewhere");
  plan->groups[n + 1] = g_strdup ("nothing left");
  plan->groups[n + 2] = g_strdup ("cable");
}

static void
add_tests (const BlEngine *engine, const BlDiagnosis *diagnosis, const BlHypotheses *hypotheses,
           const GArray *unread, BlPlan *plan)
{
  plan->table->tests = g_new0 (BlPlanTest, unread->len + 1);
  plan->table->n_tests = unread->len;
  plan->measurements = g_new0 (char *, unread->len + 1);
  plan->classes = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  for (guint i = 0; i < unread->len; i++)
    {
      guint m = g_array_index (unread, guint, i);
      const BlCauseMeasure *measure = bl_cause_measure (engine->causes, m);
      plan->measurements[i] = g_strdup (((BlMeasurement *) bl_at (engine->board->measurements, m))->id);
      fill_test (engine, diagnosis, hypotheses, i, m, &plan->table->tests[i]);
      g_ptr_array_add (plan->classes, join_classes (&plan->table->tests[i], hypotheses->list->len, measure->classes));
    }
}

/* As for the ranking: neither read nor not reached in the last round; what was read with the leads
 * swapped is to be read again. */
static GArray *
unread_of (const BlEngine *engine, GPtrArray *judged, gboolean *whole)
{
  *whole = TRUE;
  GArray *list = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint m = 0; m < bl_len (engine->board->measurements); m++)
    {
      gboolean open = TRUE, fits = bl_cause_measure (engine->causes, m)->n <= MOST_CLASSES;
      for (guint i = 0; i < judged->len && open; i++)
        {
          const BlJudged *one = bl_at (judged, i);
          open = m + 1 == engine->again || one->measurement != bl_at (engine->board->measurements, m)
                 || one->round != engine->compiled->rounds.n || one->verdict->reversed;
        }
      if (open && fits)
        g_array_append_val (list, m);
      *whole = *whole && (fits || !open);
    }
  return list;
}

/* --- what no measurement shows --- */

static gboolean
is_reached (const BlEngine *engine, GPtrArray *judged, guint m)
{
  for (guint i = judged->len; i-- > 0;)
    {
      const BlJudged *one = bl_at (judged, i);
      if (one->measurement == bl_at (engine->board->measurements, m) && one->round == engine->compiled->rounds.n)
        return !one->verdict->not_reached;
    }
  return TRUE;
}

/* The mode alone, then with all that it may provoke. */
static gboolean
is_visible (const BlResponse *response, guint mode, const guint8 *reached, guint n, const guint8 *sound)
{
  guint n_modes = bl_response_n_modes (response);
  g_autofree guint8 *active = g_new0 (guint8, n_modes + 1), *classes = g_new0 (guint8, n + 1);
  g_autofree guint8 *fired = g_malloc (bl_response_links (response)->len + 1);
  memset (fired, 1, bl_response_links (response)->len + 1);
  active[mode] = 1;
  for (guint way = 0; way < 2; way++)
    {
      bl_response_evaluate (response, active, classes);
      for (guint m = 0; m < n; m++)
        if (reached[m] && classes[m] != sound[m])
          return TRUE;
      bl_response_spread (response, active, fired, active);
    }
  return FALSE;
}

/* Leaves the list out where the board has a measurement of more classes than a response holds: the
 * odds need no such limit and must not go with it. */
static gboolean
find_not_visible (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, GError **error)
{
  g_autoptr (GError) problem = NULL;
  g_autoptr (BlResponse) response = bl_response_new (engine->board, &problem);
  guint n = bl_len (engine->board->measurements);
  if (g_error_matches (problem, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD))
    return TRUE;
  if (response == NULL)
    return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
  guint n_modes = bl_response_n_modes (response);
  g_autofree guint8 *none = g_new0 (guint8, n_modes + 1), *sound = g_new0 (guint8, n + 1);
  g_autofree guint8 *reached = g_new0 (guint8, n + 1);
  bl_response_evaluate (response, none, sound);
  for (guint m = 0; m < n; m++)
    reached[m] = is_reached (engine, judged, m);
  diagnosis->not_visible = g_ptr_array_new_with_free_func (g_free);
  for (guint mode = 0; mode < n_modes; mode++)
    if (bl_response_document_mode (response, mode) != NULL && !is_visible (response, mode, reached, n, sound))
      g_ptr_array_add (diagnosis->not_visible, g_strdup_printf ("%s:%s", bl_response_component (response, mode),
                                                                bl_response_mode (response, mode)));
  return !bl_engine_cancelled (engine, error);
}

/* --- the whole --- */

gboolean
bl_plan (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, gboolean to_stage, GError **error)
{
  gboolean whole;
  g_autoptr (GArray) unread = unread_of (engine, judged, &whole);
  g_autoptr (BlHypotheses) hypotheses = bl_hypotheses_gather (engine, diagnosis, unread, error);
  g_autoptr (BlPlan) plan = g_new0 (BlPlan, 1);
  if (hypotheses == NULL)
    return FALSE;
  plan->table = g_new0 (BlPlanTable, 1);
  plan->to_stage = to_stage;
  plan->whole = whole;
  plan->covered = MIN (hypotheses->covered, 1);
  plan->table->enough = BL_STAGE_ISOLATED;
  plan->table->telling = TELLING;
  fill_hypotheses (engine, hypotheses, plan);
  add_tests (engine, diagnosis, hypotheses, unread, plan);
  fill_efforts (engine, judged, plan->table);
  name_groups (engine, plan);
  plan->tree = bl_plan_solve (plan->table, BL_PLAN_BUDGET, engine->cancel, error);
  if (plan->tree == NULL || !find_not_visible (engine, diagnosis, judged, error))
    return FALSE;
  diagnosis->plan = g_steal_pointer (&plan);
  bl_acts (engine, diagnosis, unread);
  return TRUE;
}
