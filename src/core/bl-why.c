/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much each reading speaks for the leading component: the odds with all readings over the odds
 * with all but this one. The probability of the evidence is linear in a reading's weights, so its
 * derivatives give every "all but this one" at once; two downward passes are made, one with an own
 * event of the component and one without. */
#include "config.h"

#include "bl-engine-private.h"

#include <math.h>
#include <string.h>

static int
compare_why (gconstpointer a, gconstpointer b)
{
  const BlWhy *x = *(BlWhy *const *) a, *y = *(BlWhy *const *) b;
  double p = isnan (x->decibans) ? -1 : fabs (x->decibans);
  double q = isnan (y->decibans) ? -1 : fabs (y->decibans);
  return p > q ? -1 : p < q;
}

static void
why_free (BlWhy *why)
{
  g_free (why->measurement);
  g_free (why);
}

static double
sum_of_derivatives (const BlJobCircuit *compiled, guint table)
{
  gsize n = (gsize) bl_circuit_table (compiled->circuit, table)->rows * compiled->pass->lanes;
  const double *der = bl_pass_der (compiled->pass, table);
  double sum = 0;
  for (gsize i = 0; i < n; i++)
    sum += der[i];
  return sum;
}

/* Probability of the evidence without each slot's reading, and with all of them in [n_slots]. */
static void
without_each (BlJobCircuit *compiled, double *to)
{
  bl_pass_down (compiled->pass, compiled->lane_weights, compiled->needed_slots);
  for (guint i = 0; i < compiled->slots->len; i++)
    to[i] = sum_of_derivatives (compiled, bl_slot (compiled, i)->leaf);
  to[compiled->slots->len] = bl_pass_total (compiled->pass, compiled->lane_weights);
}

/* With the values of the group's top replaced by those given (length: its rows). */
static void
with_top (BlJobCircuit *compiled, const BlGroup *group, const double *values, double *to)
{
  guint top = group->path->top;
  BlCircuitPath *path = bl_circuit_path_new (compiled->circuit, &top, 1, TRUE);
  bl_pass_path_begin (compiled->pass, path);
  memcpy (bl_pass_value (compiled->pass, top), values,
          bl_circuit_table (compiled->circuit, top)->rows * sizeof *values);
  bl_pass_path_up (compiled->pass, path);
  without_each (compiled, to);
  bl_pass_path_end (compiled->pass, path, NULL);
  bl_circuit_path_free (path);
}

static void
split_at_top (BlJobCircuit *compiled, const BlGroup *group, double *with, double *without)
{
  guint rows = bl_circuit_table (compiled->circuit, group->path->top)->rows;
  g_autofree double *values = bl_group_with (compiled->pass, group, NULL);
  const double *all = bl_pass_value (compiled->pass, group->path->top);
  with_top (compiled, group, values, with);
  for (guint i = 0; i < rows; i++)
    values[i] = values[i] >= all[i] ? 0 : all[i] - values[i];
  with_top (compiled, group, values, without);
}

/* Where readings lie below the top too, the leaves are struck out and the rest is a difference. */
static void
split_at_root (BlJobCircuit *compiled, const BlGroup *group, double *with, double *without)
{
  g_autoptr (GArray) given = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < group->path->tables->len; i++)
    if (g_array_index (group->path->given, guint8, i))
      g_array_append_val (given, g_array_index (group->path->tables, guint, i));
  BlCircuitPath *path = bl_circuit_path_new (compiled->circuit, (guint *) (void *) given->data,
                                             given->len, TRUE);
  without_each (compiled, with);
  bl_pass_path_begin (compiled->pass, path);
  for (guint i = 0; i < given->len; i++)
    bl_pass_value (compiled->pass, g_array_index (given, guint, i))[1] = 0;
  bl_pass_path_up (compiled->pass, path);
  without_each (compiled, without);
  bl_pass_path_end (compiled->pass, path, NULL);
  bl_circuit_path_free (path);
  for (guint i = 0; i <= compiled->slots->len; i++)
    with[i] = MAX (with[i] - without[i], 0);
}

static double
decibans (double with, double without, double with_before, double without_before)
{
  if (!(with > 0) || !(without > 0) || !(with_before > 0) || !(without_before > 0))
    return NAN;
  return 10 * (log10 (with / without) - log10 (with_before / without_before));
}

gboolean
bl_why (BlEngine *engine, BlDiagnosis *diagnosis, GError **error)
{
  BlJobCircuit *compiled = engine->compiled;
  guint n = compiled->slots->len;
  g_autofree double *with = g_new0 (double, n + 1), *without = g_new0 (double, n + 1);
  const BlOdd *leading = diagnosis->components->len > 0 ? bl_at (diagnosis->components, 0) : NULL;
  const BlGroup *group = leading != NULL ? bl_at (compiled->parts, leading->index) : NULL;

  diagnosis->why = g_ptr_array_new_with_free_func ((GDestroyNotify) why_free);
  if (bl_engine_cancelled (engine, error))
    return FALSE;
  if (group != NULL && group->path != NULL)
    (group->laned ? split_at_root : split_at_top) (compiled, group, with, without);
  for (guint i = 0; i < diagnosis->readings->len; i++)
    {
      const BlJudged *judged = bl_at (diagnosis->readings, i);
      int measure = bl_causes_find (engine->causes->measure_index, judged->measurement->id);
      BlSlot *slot = bl_job_circuit_find_slot (compiled, (guint) measure, judged->round - 1);
      if (!judged->verdict->evidence || slot == NULL)
        continue;
      guint s = (guint) (slot - bl_slot (compiled, 0));
      BlWhy *why = g_new0 (BlWhy, 1);
      why->measurement = g_strdup (judged->measurement->id);
      why->round = judged->round;
      why->decibans = decibans (with[n], without[n], with[s], without[s]);
      g_ptr_array_add (diagnosis->why, why);
    }
  g_ptr_array_sort (diagnosis->why, compare_why);
  return TRUE;
}
