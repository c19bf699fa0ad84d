/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words for the plan: short enough for a panel, plain enough for somebody new to the bench. Rare
 * outcomes are left out; the tooltip of the panel is the place for more. */
#include "config.h"

#include "bl-plan-words.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bench-equipment.h"

enum { OUTCOMES = 3 };

#define LEAST_OUTCOME 0.05

/* The point where a measurement has one, otherwise its title. */
static const char *
short_name (BlBench *bench, const char *id)
{
  BlMeasurementItem *item = bl_bench_find (bench, id);
  const char *point = item != NULL ? bl_measurement_item_get_point (item) : NULL;

  if (point != NULL && *point != '\0')
    return point;
  return item != NULL ? bl_measurement_item_get_title (item) : id;
}

static char *
group_words (const BlPlan *plan, guint group, BlBench *bench)
{
  const char *name = plan->groups[group];

  if (group == plan->elsewhere)
    return g_strdup (bl_bench_get_equipment (bench) != NULL ? _ ("elsewhere") : _ ("not on this board"));
  if (group == plan->nothing)
    return g_strdup (_ ("nothing left"));
  if (g_str_has_suffix (name, "/other"))
    return g_strdup_printf (_ ("another part of %.*s"), (int) (strlen (name) - strlen ("/other")), name);
  return g_strdup (name);
}

static char *
end_words (const BlPlan *plan, const BlPlanStep *step, BlBench *bench)
{
  g_autofree char *group = step->group >= 0 ? group_words (plan, (guint) step->group, bench) : NULL;

  if (group == NULL)
    return g_strdup (_ ("open"));
  return step->share >= plan->table->enough ? g_steal_pointer (&group) : g_strdup_printf (_ ("likely %s"), group);
}

static char *
outcome_words (const BlPlan *plan, const BlPlanStep *step, guint outcome, BlBench *bench)
{
  const BlPlanStep *then = step->after[outcome];
  char **classes = bl_plan_classes (plan, (guint) step->test, outcome);
  g_autofree char *end = NULL;

  if (then->test >= 0)
    return g_strdup_printf (_ ("%s: then %s"), bl_class_word (classes[0]),
                            short_name (bench, plan->measurements[then->test]));
  end = end_words (plan, then, bench);
  return g_strdup_printf (_ ("%s: %s"), bl_class_word (classes[0]), end);
}

char *
bl_plan_words_after (const BlPlan *plan, const BlPlanStep *step, BlBench *bench)
{
  g_autoptr (GString) words = g_string_new (NULL);
  guint64 said = 0;

  for (guint n = 0; n < OUTCOMES; n++)
    {
      int best = -1;

      for (guint c = 0; c < step->n_classes; c++)
        if (step->after[c] != NULL && !(said >> c & 1) && step->after[c]->reached >= LEAST_OUTCOME * step->reached
            && (best < 0 || step->after[c]->reached > step->after[best]->reached))
          best = (int) c;
      if (best < 0)
        break;
      said |= G_GUINT64_CONSTANT (1) << best;
      g_autofree char *outcome = outcome_words (plan, step, (guint) best, bench);
      g_auto (GStrv) pieces = g_strsplit (outcome, " ", -1);
      g_autofree char *whole = g_strjoinv ("\u00a0", pieces); /* lines break between outcomes */
      g_string_append_printf (words, "%s%s", n > 0 ? ", " : "", whole);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

char *
bl_plan_words_effort (const BlPlan *plan)
{
  g_autofree char *effort = bl_effort_words_about (plan->tree->first->effort);

  if (plan->to_stage)
    return g_strdup_printf (_ ("about %s to one stage"), effort);
  return g_strdup_printf (bl_plan_is_least (plan) ? _ ("about %s to one part, shortest there is")
                                                  : _ ("about %s to one part"),
                          effort);
}

/* Point and title, as in the list. */
static char *
full_name (BlBench *bench, const char *id)
{
  BlMeasurementItem *item = bl_bench_find (bench, id);
  const char *point = item != NULL ? bl_measurement_item_get_point (item) : NULL;

  if (item == NULL || point == NULL || *point == '\0')
    return g_strdup (short_name (bench, id));
  return g_strdup_printf ("%s %s", point, bl_measurement_item_get_title (item));
}

char *
bl_act_words (const BlAct *act, BlBench *bench)
{
  g_autofree char *effort = bl_effort_words (act->cost_s);
  g_autofree char *causes = act->causes != NULL ? g_strjoinv (", ", act->causes) : NULL;
  g_autofree char *measure = act->measurement != NULL ? full_name (bench, act->measurement) : NULL;
  g_autofree char *does
    = measure != NULL
        ? g_strdup_printf (_ ("measure %s, %s"), measure, effort)
        : g_strdup_printf (act->replace ? _ ("replace, %s") : _ ("test by itself, %s"), effort);

  if (causes == NULL)
    return g_steal_pointer (&does);
  return g_strdup_printf (_ ("%s; replace it only after testing %s"), does, causes);
}
