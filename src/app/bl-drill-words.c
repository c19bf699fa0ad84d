/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The score of a drill in words a junior takes with him. "Time given away" is the regret: how much longer it is expected
 * to take after what was measured than after the best measurement at that moment. It is never about how fast somebody
 * was, and nobody is compared with anybody. */
#include "config.h"

#include "bl-drill-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-drill-naming.h"
#include "bl-format.h"
#include "bl-plan-words.h"

char *
bl_drill_about_words (const BlDrillRow *row)
{
  static const char *const words[BL_N_DRILL_KINDS] = {
    [BL_DRILL_SINGLE] = N_ ("One part failed. Enter on an empty field takes the reading."),
    [BL_DRILL_PROVOKED] = N_ ("One part failed and took another with it: the first one is wanted. Enter on an empty "
                              "field takes the reading."),
    [BL_DRILL_TWO] = N_ ("Two parts failed, neither because of the other: either is right. Enter on an empty field "
                         "takes the reading."),
    [BL_DRILL_MISREAD] = N_ ("One part failed, and one reading is wrong the first time: take again what does not fit. "
                            "Enter on an empty field takes the reading."),
    [BL_DRILL_CONDUCTOR] = N_ ("A conductor or a cable between the boxes failed. Enter on an empty field takes the "
                               "reading."),
  };

  g_return_val_if_fail (row != NULL, NULL);
  if (row->planted)
    return g_strdup (_ ("Something was done to the board on the bench. What it was is sealed until the end; type what "
                        "your meter reads."));
  return g_strdup (_ (words[row->kind]));
}

char *
bl_drill_faults_words (const char *const *faults)
{
  GString *words = g_string_new ("");

  for (guint i = 0; faults != NULL && faults[i] != NULL; i++)
    {
      const char *colon = strchr (faults[i], ':');
      if (colon != NULL)
        g_string_append_printf (words, "%s%.*s %s", i > 0 ? ", " : "", (int) (colon - faults[i]), faults[i], colon + 1);
      else
        g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", faults[i]);
    }
  return g_string_free (words, FALSE);
}

char *
bl_drill_outcome_words (BlBench *bench, const BlDrillRow *row, const BlDrillScore *score, const char *const *faults)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && row != NULL && score != NULL, NULL);
  g_autofree char *was = bl_drill_faults_words (faults);
  g_autofree char *named = bl_named_words (bl_bench_get_board (bench), row->stage, row->component);

  if (score->component_right)
    return g_strdup_printf (_ ("Right: %s."), was);
  if (score->victim_named)
    return g_strdup_printf (_ ("%s is broken, but something else broke it: %s."), row->component, was);
  if (score->stage_right && row->component == NULL)
    return g_strdup_printf (_ ("The stage is right. The part was %s."), was);
  if (score->stage_right)
    return g_strdup_printf (_ ("The stage is right, the part is not: it was %s. Named: %s."), was, named);
  return named != NULL ? g_strdup_printf (_ ("Not this time: it was %s. Named: %s."), was, named)
                       : g_strdup_printf (_ ("Nothing was named. It was %s."), was);
}

char *
bl_drill_figures_words (const BlDrillScore *score)
{
  g_return_val_if_fail (score != NULL, NULL);
  g_autofree char *given = bl_effort_words (score->regret_s), *all = bl_effort_words (score->effort_s);
  GString *words = g_string_new ("");

  if (score->n_measured == 0)
    return g_string_free (g_string_append (words, _ ("Nothing was measured.")), FALSE);
  g_string_append_printf (words, ngettext ("%u of %u measurement right.", "%u of %u measurements right.",
                                           score->n_measured),
                          score->n_right, score->n_measured);
  if (score->regret_s < 0.5)
    g_string_append_printf (words, " %s", _ ("No time given away."));
  else
    {
      g_string_append_c (words, ' ');
      /* Translators: how much longer it is expected to take because of what was measured, and what it took */
      g_string_append_printf (words, _ ("Time given away: %s; the work took %s."), given, all);
    }
  if (score->n_told_nothing > 0)
    {
      g_string_append_c (words, ' ');
      g_string_append_printf (words, ngettext ("%u could tell nothing new.", "%u could tell nothing new.",
                                               score->n_told_nothing),
                              score->n_told_nothing);
    }
  return g_string_free (words, FALSE);
}

/* "TP5 5 V rail", or the id of what is not there any more. */
static char *
measurement_words (BlBench *bench, const char *measurement)
{
  BlMeasurementItem *item = measurement != NULL ? bl_bench_find (bench, measurement) : NULL;

  return item != NULL ? g_strdup_printf ("%s %s", bl_measurement_item_get_point (item), bl_measurement_item_get_title (item))
                      : g_strdup (measurement != NULL ? measurement : "");
}

static char *
state_words (BlBench *bench, const char *id)
{
  const BlState *state = id != NULL ? bl_board_state (bl_bench_get_board (bench), id) : NULL;
  const char *title = state != NULL && state->title != NULL && *state->title != '\0' ? state->title : id;

  return g_strdup_printf (_ ("state: %s"), title);
}

static char *
reading_words (BlBench *bench, const BlDrillStep *step)
{
  BlMeasurementItem *item = bl_bench_find (bench, step->subject);
  BlMeasures measures = item != NULL ? bl_measurement_item_get_measurement (item)->measures : BL_N_MEASURES;
  g_autofree char *value = NULL;
  BlReading reading;

  if (item != NULL && step->text != NULL && bl_reading_parse (step->text, measures, &reading, NULL))
    value = bl_format_reading (measures, &reading);
  return g_strdup_printf ("%s  %s", item != NULL ? bl_measurement_item_get_point (item) : step->subject,
                          value != NULL ? value : step->text != NULL ? step->text : "");
}

static const char *
supply_words (const char *text)
{
  gboolean isolated = text != NULL && strstr (text, "isolated") != NULL;
  gboolean limited = text != NULL && strstr (text, "limited") != NULL;

  return isolated && limited                                ? _ ("isolated and limited")
         : isolated                                         ? _ ("isolating transformer")
         : limited                                          ? _ ("current-limited")
         : text != NULL && strstr (text, "mains") != NULL   ? _ ("mains as they are")
                                                            : _ ("not said");
}

char *
bl_drill_step_words (BlBench *bench, const BlDrillStep *step)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && step != NULL, NULL);

  switch (step->kind)
    {
    case BL_STEP_MEASURE:
      return reading_words (bench, step);
    case BL_STEP_STATE:
      return state_words (bench, step->subject);
    case BL_STEP_PROOF:
      return g_strdup (_ ("proof of dead"));
    case BL_STEP_SUPPLY:
      return g_strdup_printf (_ ("supply: %s"), supply_words (step->text));
    case BL_STEP_CAUTIONS:
      return g_strdup (_ ("cautions read"));
    case BL_STEP_PART:
      return g_strdup_printf (_ ("%s tested: %s"), step->subject, step->text != NULL ? step->text : "");
    case BL_STEP_STAGE:
    case BL_STEP_COMPONENT:
    default:
      {
        gboolean part = step->kind == BL_STEP_COMPONENT;
        g_autofree char *named = bl_named_words (bl_bench_get_board (bench), part ? NULL : step->subject, part ? step->subject : NULL);
        return g_strdup_printf (_ ("named: %s"), named);
      }
    }
}

char *
bl_drill_worth_words (const BlDrillStep *step)
{
  g_return_val_if_fail (step != NULL, NULL);

  if (step->unsafe != 0)
    return g_strdup (_ ("unsafe"));
  if (step->kind == BL_STEP_STAGE || step->kind == BL_STEP_COMPONENT)
    return g_strdup (step->right ? _ ("right") : _ ("not it"));
  if (step->kind != BL_STEP_MEASURE || !step->scored || step->for_safety)
    return g_strdup ("");
  if (step->told_nothing)
    return g_strdup (_ ("nothing new"));
  if (step->right)
    return g_strdup (_ ("right"));
  g_autofree char *given = bl_effort_words (step->regret_s);
  return g_strdup_printf (_ ("%s given away"), given);
}

static char *
measure_long (BlBench *bench, const BlDrillStep *step)
{
  g_autofree char *best = step->best != NULL ? measurement_words (bench, step->best) : NULL;
  g_autofree char *given = bl_effort_words (step->regret_s);

  if (step->for_safety)
    return g_strdup (_ ("Taken for safety: not judged."));
  if (best == NULL && step->told_nothing)
    return g_strdup (_ ("It could tell nothing new: all that can be told was known already."));
  if (g_strcmp0 (step->best, step->subject) == 0)
    return g_strdup (_ ("Right: from here nothing else was expected to lead on sooner."));
  if (best == NULL)
    return g_strdup ("");
  if (step->told_nothing)
    return g_strdup_printf (_ ("It could tell nothing new, whatever it read. From here the best was %s."), best);
  if (step->right)
    return g_strdup_printf (_ ("Right: from here the best was %s, and the difference is less than a fifth."), best);
  return g_strdup_printf (_ ("From here the best was %s: it is expected to take %s less."), best, given);
}

char *
bl_drill_best_words (GPtrArray *best, gboolean symptom)
{
  g_return_val_if_fail (best != NULL, NULL);
  guint n = 0;

  for (guint i = 0; i < best->len; i++)
    n += ((const BlDrillStep *) g_ptr_array_index (best, i))->kind == BL_STEP_MEASURE;
  g_autofree char *length = g_strdup_printf (ngettext ("From the start it takes %u measurement with this fault.",
                                                       "From the start it takes %u measurements with this fault.", n), n);
  return g_strdup_printf ("%s %s%s%s", length,
                          _ ("What is best is best on average over all that could have failed before it was read: with one "
                             "fault a shorter way can be right as well."),
                          symptom ? "" : " ", symptom ? "" : _ ("It knows of no symptom."));
}

/* Of a name given at the end; NULL: the step is something else. */
static const char *
named_long (const BlDrillStep *step)
{
  if (step->kind == BL_STEP_STAGE)
    return step->right ? _ ("That is the stage that failed.") : _ ("That stage did not fail.");
  if (step->kind == BL_STEP_COMPONENT)
    return step->right ? _ ("That is the part that failed.") : _ ("That is not the part that was wanted.");
  return NULL;
}

char *
bl_drill_worth_long (BlBench *bench, const BlDrillStep *step)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && step != NULL, NULL);
  g_autofree char *unsafe = bl_unsafe_list_words (step->unsafe);
  g_autofree char *worth = step->kind == BL_STEP_MEASURE && step->scored ? measure_long (bench, step)
                                                                               : g_strdup (named_long (step));

  if (worth == NULL)
    worth = g_strdup ("");
  if (unsafe == NULL)
    return g_steal_pointer (&worth);
  if (*worth == '\0')
    return g_strdup_printf (_ ("Unsafe: %s."), unsafe);
  /* Translators: what was unsafe, and on a line of its own what the step was worth as a measurement or a name */
  return g_strdup_printf (_ ("Unsafe: %s.\n%s"), unsafe, worth);
}
