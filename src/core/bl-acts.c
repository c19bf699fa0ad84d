/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acts on parts: in which order to test or replace them. For a part alone the choice is simple: a test
 * first is cheaper unless the part is nearly certain to be bad. The parts are then ordered by what
 * their acts cost. A part that others may have broken is never to be replaced at once while those are
 * untested, however likely it is: the new one would go the same way.
 *
 * A dozen parts at most; it knows nothing of the board beyond the diagnosis and the document. */
#include "config.h"

#include "bl-acts.h"

#include "bl-engine-private.h"

#include <math.h>
#include <string.h>

enum { MOST_ACTS = BL_ACTS_EXACT };

#define LEAST_PROBABILITY 0.01
#define CLEARED 1e-3 /* a cause less likely than this to be there needs no test */

/* --- order --- */

/* What is left of the faults after each set of acts. */
static double
left_after (guint n_faults, const double *prior, const BlActOption *acts, guint n_acts, guint set)
{
  double sum = 0;
  for (guint f = 0; f < n_faults; f++)
    {
      double p = prior[f];
      for (guint a = 0; a < n_acts; a++)
        if (set >> a & 1)
          p *= 1 - acts[a].fixes[f];
      sum += p;
    }
  return sum;
}

static double
order_exactly (guint n_faults, const double *prior, guint n_acts, const BlActOption *acts, guint *order)
{
  guint n_sets = 1u << n_acts;
  g_autofree double *left = g_new (double, n_sets), *cost = g_new0 (double, n_sets);
  g_autofree guint8 *choice = g_new0 (guint8, n_sets);
  for (guint set = 0; set < n_sets; set++)
    left[set] = left_after (n_faults, prior, acts, n_acts, set);
  for (guint set = n_sets - 1; set-- > 0;)
    {
      cost[set] = INFINITY;
      for (guint a = 0; a < n_acts; a++)
        {
          guint with = set | 1u << a;
          double sum = acts[a].cost * left[set] + acts[a].repair * (left[set] - left[with]) + cost[with];
          if (!(set >> a & 1) && sum < cost[set] - 1e-12)
            {
              cost[set] = sum;
              choice[set] = (guint8) a;
            }
        }
    }
  for (guint i = 0, set = 0; i < n_acts; i++)
    {
      order[i] = choice[set];
      set |= 1u << choice[set];
    }
  return cost[0];
}

static double
order_by_ratio (guint n_faults, const double *prior, guint n_acts, const BlActOption *acts, guint *order)
{
  g_autofree double *p = g_memdup2 (prior, n_faults * sizeof *p);
  g_autofree gboolean *taken = g_new0 (gboolean, n_acts);
  double sum = 0;
  for (guint i = 0; i < n_acts; i++)
    {
      double best = -1, left = 0, fixed = 0;
      for (guint a = 0; a < n_acts; a++)
        {
          double chance = 0;
          for (guint f = 0; f < n_faults; f++)
            chance += p[f] * acts[a].fixes[f];
          if (!taken[a] && chance / acts[a].cost > best)
            {
              best = chance / acts[a].cost;
              fixed = chance;
              order[i] = a;
            }
        }
      for (guint f = 0; f < n_faults; f++)
        {
          left += p[f];
          p[f] *= 1 - acts[order[i]].fixes[f];
        }
      taken[order[i]] = TRUE;
      sum += acts[order[i]].cost * left + acts[order[i]].repair * fixed;
    }
  return sum;
}

double
bl_acts_order (guint n_faults, const double *prior, guint n_acts, const BlActOption *acts, guint *order)
{
  g_return_val_if_fail (n_acts == 0 || (acts != NULL && order != NULL), 0);
  if (n_acts == 0)
    return 0;
  return (n_acts <= BL_ACTS_EXACT ? order_exactly : order_by_ratio) (n_faults, prior, n_acts, acts, order);
}

/* --- parts --- */

static void
act_free (BlAct *act)
{
  g_free (act->component);
  g_free (act->measurement);
  g_strfreev (act->causes);
  g_free (act);
}

void
bl_acts_free (BlActs *acts)
{
  if (acts == NULL)
    return;
  g_clear_pointer (&acts->list, g_ptr_array_unref);
  g_free (acts->stage);
  g_free (acts);
}

/* What was said last of the part itself: it was tested and found good, or replaced. */
static gboolean
is_cleared (GPtrArray *entries, const char *id)
{
  gboolean cleared = FALSE;
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      if (g_strcmp0 (entry->subject, id) != 0)
        continue;
      if (entry->kind == BL_ENTRY_REPLACED)
        cleared = TRUE;
      else if (entry->kind == BL_ENTRY_PART_TEST)
        cleared = g_strcmp0 (entry->text, "good") == 0;
    }
  return cleared;
}

/* Parts with a mode that may have made a mode of this one present, neither tested nor out of the
 * question. (transfer full); NULL: none. */
static char **
untested_causes (const BlEngine *engine, const BlDiagnosis *diagnosis, guint part)
{
  const BlCauses *causes = engine->causes;
  const BlCausePart *self = bl_cause_part (causes, part);
  g_autoptr (GPtrArray) list = g_ptr_array_new ();
  for (guint m = self->first; m < self->first + self->n; m++)
    {
      const GArray *provokers = bl_at (causes->provokers, m);
      for (guint i = 0; i < provokers->len; i += 2)
        {
          guint from = bl_cause_mode (causes, g_array_index (provokers, guint, i))->part;
          const char *id = bl_cause_part (causes, from)->id;
          const BlOdd *odd = bl_diagnosis_find (diagnosis->components, id);
          if (from == part || odd == NULL || odd->present < CLEARED || is_cleared (engine->entries, id)
              || g_ptr_array_find_with_equal_func (list, id, g_str_equal, NULL))
            continue;
          g_ptr_array_add (list, (gpointer) id);
        }
    }
  g_ptr_array_add (list, NULL);
  return list->len > 1 ? g_strdupv ((char **) list->pdata) : NULL;
}

/* Parts whose modes act on a measurement directly; the last one found is set. */
static guint
count_on (const BlCauses *causes, guint measure, guint *part)
{
  guint n = 0;
  for (guint p = 0; p < causes->parts->len; p++)
    {
      const BlCausePart *self = bl_cause_part (causes, p);
      gboolean acts = FALSE;
      for (guint m = self->first; m < self->first + self->n; m++)
        for (guint e = 0; e < bl_cause_mode (causes, m)->effects->len; e++)
          acts |= g_array_index (bl_cause_mode (causes, m)->effects, BlCauseEffect, e).measurement == (int) measure;
      n += acts;
      if (acts)
        *part = p;
    }
  return n;
}

static double
seconds (double value, double otherwise)
{
  return isnan (value) ? otherwise : MAX (value, 1);
}

/* An unread measurement without power that shows this part alone, where it is quicker. A state of which
 * the document does not say whether it is live is taken for live. */
static void
use_measurement (const BlEngine *engine, guint part, const GArray *unread, BlAct *act)
{
  for (guint i = 0; i < unread->len; i++)
    {
      guint m = g_array_index (unread, guint, i), on = 0;
      const BlMeasurement *measurement = bl_at (engine->board->measurements, m);
      const BlState *state = bl_board_state (engine->board, measurement->state);
      double effort = seconds (measurement->effort_s, 20);
      if (measurement->reads != NULL || state == NULL || state->live != 0 || effort >= act->cost_s)
        continue;
      if (count_on (engine->causes, m, &on) != 1 || on != part)
        continue;
      act->cost_s = effort;
      g_free (act->measurement);
      act->measurement = g_strdup (measurement->id);
    }
}

static BlAct *
act_on (const BlEngine *engine, const BlDiagnosis *diagnosis, const BlOdd *odd, const GArray *unread)
{
  const BlComponent *component = bl_at (engine->board->components, odd->index);
  BlAct *act = g_new0 (BlAct, 1);
  act->component = g_strdup (odd->id);
  act->probability = odd->probability;
  act->cost_s = seconds (component->test_s, BL_ACT_TEST_S);
  act->replace_s = seconds (component->replace_s, BL_ACT_REPLACE_S);
  act->causes = untested_causes (engine, diagnosis, odd->index);
  use_measurement (engine, odd->index, unread, act);
  return act;
}

/* Replacing at once is worth it where the test would cost more than it can save. */
static void
choose_ways (BlActs *acts)
{
  for (guint i = 0; i < acts->list->len; i++)
    {
      BlAct *act = bl_at (acts->list, i);
      double share = act->probability / acts->probability;
      if (act->causes != NULL || act->cost_s <= act->replace_s * (1 - share))
        continue;
      act->replace = TRUE;
      act->cost_s = act->replace_s;
      g_clear_pointer (&act->measurement, g_free);
    }
}

static void
put_in_order (BlActs *acts)
{
  guint n = acts->list->len, order[MOST_ACTS];
  double prior[MOST_ACTS] = { 0 }, fixes[MOST_ACTS][MOST_ACTS] = { { 0 } };
  BlActOption options[MOST_ACTS] = { { 0 } };
  gpointer sorted[MOST_ACTS];
  for (guint i = 0; i < n; i++)
    {
      const BlAct *act = bl_at (acts->list, i);
      prior[i] = act->probability / acts->probability;
      fixes[i][i] = 1;
      options[i] = (BlActOption){ act->cost_s, act->replace ? 0 : act->replace_s, fixes[i] };
    }
  acts->expected_s = bl_acts_order (n, prior, n, options, order);
  for (guint i = 0; i < n; i++)
    sorted[i] = bl_at (acts->list, order[i]);
  for (guint i = 0; i < n; i++)
    bl_at (acts->list, i) = sorted[i];
}

void
bl_acts (BlEngine *engine, BlDiagnosis *diagnosis, const GArray *unread)
{
  BlActs *acts = g_new0 (BlActs, 1);
  const BlOdd *stage = diagnosis->stages->len > 0 ? bl_at (diagnosis->stages, 0) : NULL;
  acts->list = g_ptr_array_new_with_free_func ((GDestroyNotify) act_free);
  for (guint i = 0; i < diagnosis->components->len && acts->list->len < MOST_ACTS; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      if (odd->index >= bl_len (engine->board->components) || odd->probability < LEAST_PROBABILITY
          || is_cleared (engine->entries, odd->id))
        continue;
      g_ptr_array_add (acts->list, act_on (engine, diagnosis, odd, unread));
      acts->probability += odd->probability;
    }
  choose_ways (acts);
  put_in_order (acts);
  acts->probability = MIN (acts->probability, 1);
  if (stage != NULL && stage->probability >= BL_STAGE_ISOLATED)
    acts->stage = g_strdup (stage->id);
  diagnosis->acts = acts;
}
