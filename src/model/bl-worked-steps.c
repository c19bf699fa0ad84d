/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Working a case through: at each step what could be the cause, why this is measured, what it says, and what else could
 * have been measured, each with the time that it would give away. Every figure is the engine's; chances are said as
 * frequencies, "41 of 100", which people judge better than shares. Each step is a diagnosis with a plan (some tenths of a
 * second) and one for every piece of evidence. */
#include "config.h"

#include "bl-worked-private.h"

#include "bl-drill-score.h"
#include "bl-effort-words.h"
#include "bl-plan.h"
#include "bl-reasons.h"
#include "bl-why-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define MOST_MEASURED 40 /* of a made-up case, what is known at the start with it */
#define FOUND 0.95       /* a part with so much is found, as a plan has it */
#define MOST_ODDS 5      /* stages and parts that are shown */
#define MOST_NAMED 3     /* of them in a sentence */
#define CHOICES 4

static void
odd_free (gpointer data)
{
  BlWorkedOdd *odd = data;

  g_free (odd->id);
  g_free (odd->title);
  g_free (odd);
}

static void
choice_free (gpointer data)
{
  BlWorkedChoice *choice = data;

  g_free (choice->measurement);
  g_free (choice->title);
  g_free (choice);
}

void
bl_worked_step_free (BlWorkedStep *step)
{
  g_free (step->subject);
  g_free (step->title);
  g_free (step->text);
  g_free (step->state);
  g_free (step->black);
  g_free (step->meter);
  g_clear_pointer (&step->verdict, bl_verdict_free);
  g_clear_pointer (&step->stages_before, g_ptr_array_unref);
  g_clear_pointer (&step->stages_after, g_ptr_array_unref);
  g_clear_pointer (&step->parts_after, g_ptr_array_unref);
  g_free (step->could);
  g_free (step->why);
  g_free (step->says);
  g_clear_pointer (&step->choices, g_ptr_array_unref);
  g_free (step);
}

/* --- names --- */

static char *
measurement_title (const BlBoard *board, const char *id)
{
  const BlMeasurement *measurement = bl_board_measurement (board, id);
  const char *title = measurement != NULL && measurement->title != NULL ? measurement->title : id;

  return measurement != NULL && measurement->at != NULL && !g_str_equal (measurement->at, title)
           ? g_strdup_printf ("%s %s", measurement->at, title) : g_strdup (title);
}

static char *
stage_title (const BlBoard *board, const char *id)
{
  const BlStage *stage = bl_board_stage (board, id);

  return g_strdup (stage != NULL && stage->title != NULL ? stage->title : id);
}

char *
bl_worked_frequency_words (double probability)
{
  if (probability < 0.01)
    return g_strdup (_ ("less than 1 of 100"));
  return g_strdup_printf (_ ("%.0f of 100"), probability * 100);
}

/* --- odds --- */

static void
add_odd (GPtrArray *odds, const char *id, char *title, double probability)
{
  BlWorkedOdd *odd = g_new0 (BlWorkedOdd, 1);

  odd->id = g_strdup (id);
  odd->title = title;
  odd->probability = probability;
  g_ptr_array_add (odds, odd);
}

static int
likeliest_first (gconstpointer a, gconstpointer b)
{
  const BlWorkedOdd *one = *(BlWorkedOdd *const *) a, *other = *(BlWorkedOdd *const *) b;

  return one->probability > other->probability ? -1 : one->probability < other->probability;
}

static GPtrArray *
odds_of (const BlBoard *board, const BlDiagnosis *diagnosis, gboolean parts)
{
  GPtrArray *list = parts ? diagnosis->components : diagnosis->stages;
  GPtrArray *odds = g_ptr_array_new_with_free_func (odd_free);

  for (guint i = 0; i < bl_len (list) && i < MOST_ODDS; i++)
    {
      const BlOdd *odd = bl_at (list, i);
      add_odd (odds, odd->id, parts ? bl_why_part (board, odd->id) : stage_title (board, odd->id), odd->probability);
    }
  if (!parts && diagnosis->elsewhere > 0) /* in what is made up it is 0 */
    add_odd (odds, NULL, g_strdup (_ ("elsewhere, not on this board")), diagnosis->elsewhere);
  g_ptr_array_sort (odds, likeliest_first);
  return odds;
}

static char *
could_words (GPtrArray *odds)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint i = 0; i < odds->len && i < MOST_NAMED; i++)
    {
      const BlWorkedOdd *odd = g_ptr_array_index (odds, i);
      if (odd->probability < 0.005 && i > 0)
        break;
      /* Translators: a stage and in how many of 100 boards it is the cause: "12 V rail 41". */
      g_autofree char *one = g_strdup_printf (_ ("%s %.0f"), odd->title, odd->probability * 100);
      g_string_append_printf (list, "%s%s", i > 0 ? "; " : "", one);
    }
  /* Translators: a list of stages, each with a number out of 100. */
  return g_strdup_printf (_ ("What could cause it, of 100 boards that read like this: %s."), list->str);
}

/* --- what to measure --- */

static int
test_of (const BlPlan *plan, const char *measurement)
{
  for (guint i = 0; plan->measurements[i] != NULL; i++)
    if (g_str_equal (plan->measurements[i], measurement))
      return (int) i;
  return -1;
}

/* A choice with what it gives away against the best beginning that is found, as a drill scores it; *best: that one, or left
 * as it was. */
static void
add_choice (const BlBoard *board, const BlPlan *plan, GPtrArray *choices, const char *measurement, BlPlanBeginning *best,
            const int *cancel)
{
  int test = test_of (plan, measurement);
  BlPlanBeginning against = { -1, NAN };

  for (guint i = 0; i < choices->len; i++)
    if (g_str_equal (((BlWorkedChoice *) g_ptr_array_index (choices, i))->measurement, measurement))
      return;
  if (test < 0)
    return;
  double regret = bl_plan_regret_against (plan->table, plan->tree, (guint) test, BL_PLAN_REGRET_BUDGET, cancel, &against);
  if (isnan (regret))
    return;
  BlWorkedChoice *choice = g_new0 (BlWorkedChoice, 1);
  choice->measurement = g_strdup (measurement);
  choice->title = measurement_title (board, measurement);
  choice->regret_s = regret;
  choice->tells_nothing
    = test != plan->tree->first->test && bl_plan_bits (plan->table, (guint) test) <= plan->table->telling;
  choice->right = !choice->tells_nothing && regret <= BL_DRILL_RIGHT * against.effort;
  g_ptr_array_add (choices, choice);
  if (best != NULL)
    *best = against;
}

static void
shuffle (GPtrArray *array, GRand *random)
{
  for (guint i = array->len; i > 1; i--)
    {
      guint other = (guint) g_rand_int_range (random, 0, (gint32) i);
      gpointer last = array->pdata[i - 1];
      array->pdata[i - 1] = array->pdata[other];
      array->pdata[other] = last;
    }
}

/* What was done, the best, and others not taken yet, drawn by random. NULL: there is nothing to choose from. best: the
 * plan's beginning; set to the best one that is found. */
static GPtrArray *
choices_of (const BlBoard *board, const BlPlan *plan, const char *taken, GRand *random, BlPlanBeginning *best,
            const int *cancel)
{
  g_autoptr (GPtrArray) choices = g_ptr_array_new_with_free_func (choice_free);
  g_autoptr (GPtrArray) others = g_ptr_array_new ();

  if (best->test < 0)
    return NULL;
  add_choice (board, plan, choices, taken, best, cancel);
  add_choice (board, plan, choices, plan->measurements[best->test], NULL, cancel);
  for (guint i = 0; plan->measurements[i] != NULL; i++)
    if (!plan->table->tests[i].taken)
      g_ptr_array_add (others, plan->measurements[i]);
  shuffle (others, random);
  for (guint i = 0; i < others->len && choices->len < CHOICES; i++)
    add_choice (board, plan, choices, g_ptr_array_index (others, i), NULL, cancel);
  shuffle (choices, random);
  return choices->len > 1 ? g_steal_pointer (&choices) : NULL;
}

static const BlWorkedChoice *
find_choice (GPtrArray *choices, const char *measurement)
{
  for (guint i = 0; i < bl_len (choices); i++)
    if (g_str_equal (((BlWorkedChoice *) g_ptr_array_index (choices, i))->measurement, measurement))
      return g_ptr_array_index (choices, i);
  return NULL;
}

static gboolean
was_read (GPtrArray *entries, const char *measurement)
{
  for (guint i = 0; i < entries->len; i++)
    {
      const BlEntry *entry = g_ptr_array_index (entries, i);
      if (entry->kind == BL_ENTRY_READING && g_strcmp0 (entry->subject, measurement) == 0)
        return TRUE;
    }
  return FALSE;
}

/* first: what is best measured first; NULL: nothing. again: it had been read before. NULL: nothing can be said. */
static char *
why_words (const BlBoard *board, const BlWorkedStep *step, const char *first, gboolean again)
{
  const BlWorkedChoice *taken = find_choice (step->choices, step->subject);

  if (first == NULL)
    return g_strdup (_ ("Nothing more had to be measured to find the part: this makes sure."));
  g_autofree char *left = bl_effort_words_about (step->best_s), *best = measurement_title (board, first);
  if (taken == NULL && g_strcmp0 (first, step->subject) == 0)
    return g_strdup_printf (_ ("Why here: it is the one measurement left that tells anything; about %s to go."), left);
  if (taken == NULL)
    return again ? g_strdup_printf (_ ("It was read once more, to be sure. Of the others %s tells most."), best) : NULL;
  if (taken->tells_nothing)
    return g_strdup_printf (_ ("It could tell nothing new about these causes. Of the others %s leads to the part soonest."),
                            best);
  if (taken->right)
    /* Translators: %s is a time, “2 min 5 s”. */
    return g_strdup_printf (_ ("Why here: nothing leads to the part sooner; about %s of measuring to go."), left);
  g_autofree char *given = bl_effort_words_about (taken->regret_s);
  return g_strdup_printf (_ ("Quicker would have been %s: by about %s."), best, given);
}

/* --- what it says --- */

static char *
says_words (const BlBoard *board, const BlReasons *reasons, const BlEntry *entry)
{
  const BlReason *found = NULL;

  for (guint i = 0; i < bl_len (reasons->reasons); i++)
    {
      const BlReason *reason = bl_at (reasons->reasons, i);
      BlReasonKind kind = entry->kind == BL_ENTRY_PART_TEST ? BL_REASON_PART : BL_REASON_READING;
      if (reason->kind == kind && g_strcmp0 (reason->subject, entry->subject) == 0)
        found = reason;
    }
  if (found == NULL)
    return NULL;
  g_autofree char *part = bl_why_part (board, reasons->suspect), *what = bl_why_found (board, found);
  g_autofree char *weight = bl_why_weight (found->decibans, part);
  if (!bl_why_tells (found))
    return g_strdup_printf ("%s %s.", what, weight);
  g_autofree char *times = bl_why_times (board, reasons, found->decibans);
  return times != NULL ? g_strdup_printf ("%s %s: %s.", what, weight, times) : g_strdup_printf ("%s %s.", what, weight);
}

/* --- the steps --- */

typedef struct
{
  const BlBoard *board;
  BlEngine *engine;
  GPtrArray *entries; /* BlEntry so far */
  GRand *random;
  const int *cancel;
} Work;

static BlDiagnosis *
diagnose (const Work *work, GError **error)
{
  return bl_engine_diagnose (work->engine, work->entries, BL_DIAGNOSE_PLAN, work->cancel, error);
}

static void
fill_choices (const Work *work, const BlDiagnosis *before, BlWorkedStep *step)
{
  if (step->is_part || before->plan == NULL)
    return;
  const BlPlan *plan = before->plan;
  BlPlanBeginning best = { plan->tree->first->test, plan->tree->first->effort };
  step->choices = choices_of (work->board, plan, step->subject, work->random, &best, work->cancel);
  step->best_s = best.effort;
  const BlWorkedChoice *taken = find_choice (step->choices, step->subject);
  step->regret_s = taken != NULL ? taken->regret_s : NAN;
  step->why = why_words (work->board, step, best.test >= 0 ? plan->measurements[best.test] : NULL,
                         was_read (work->entries, step->subject));
}

static gboolean
fill_after (const Work *work, const BlDiagnosis *after, const BlEntry *entry, BlWorkedStep *step, GError **error)
{
  const char *suspect = bl_len (after->components) > 0 ? ((const BlOdd *) bl_at (after->components, 0))->id : NULL;
  g_autoptr (BlReasons) reasons = bl_reasons_new (work->engine, work->entries, suspect, work->cancel, error);

  if (reasons == NULL)
    return FALSE;
  step->stages_after = odds_of (work->board, after, FALSE);
  step->parts_after = odds_of (work->board, after, TRUE);
  step->says = says_words (work->board, reasons, entry);
  if (!step->is_part)
    {
      g_autoptr (GPtrArray) judged = bl_evidence_judge (work->board, work->entries, NULL);
      BlJudged *last = judged != NULL && judged->len > 0 ? g_ptr_array_index (judged, judged->len - 1) : NULL;
      step->verdict = last != NULL && last->verdict != NULL ? bl_verdict_copy (last->verdict) : NULL;
    }
  return TRUE;
}

/* Takes the step with this entry; *before becomes the diagnosis after it. */
static BlWorkedStep *
take (Work *work, const BlEntry *entry, BlDiagnosis **before, GError **error)
{
  BlWorkedStep *step = g_new0 (BlWorkedStep, 1);

  step->is_part = entry->kind == BL_ENTRY_PART_TEST;
  step->subject = g_strdup (entry->subject);
  step->title = step->is_part ? g_strdup (entry->subject) : measurement_title (work->board, entry->subject);
  step->text = g_strdup (entry->text);
  step->state = g_strdup (entry->state);
  step->black = g_strdup (entry->black);
  step->meter = g_strdup (entry->meter);
  step->regret_s = step->best_s = NAN;
  step->stages_before = odds_of (work->board, *before, FALSE);
  step->could = could_words (step->stages_before);
  fill_choices (work, *before, step);
  g_ptr_array_add (work->entries, bl_entry_copy (entry));
  BlDiagnosis *after = diagnose (work, error);
  if (after == NULL || !fill_after (work, after, entry, step, error))
    {
      g_clear_pointer (&after, bl_diagnosis_free);
      bl_worked_step_free (step);
      return NULL;
    }
  bl_diagnosis_free (*before);
  *before = after;
  return step;
}

/* What is read next on a made-up board by whoever follows the plan. NULL without an error: the part is found, or nothing
 * tells any more. */
static BlEntry *
next_entry (const Work *work, const BlDrill *drill, const BlDiagnosis *before, GError **error)
{
  const BlPlanStep *first = before->plan != NULL ? before->plan->tree->first : NULL;
  const BlOdd *leading = bl_len (before->components) > 0 ? bl_at (before->components, 0) : NULL;

  if (first == NULL || first->test < 0 || (leading != NULL && leading->probability >= FOUND)
      || work->entries->len >= MOST_MEASURED)
    return NULL;
  const char *id = before->plan->measurements[first->test];
  g_autofree char *text = bl_drill_read (drill, id, was_read (work->entries, id) ? 1 : 0, error);
  if (text == NULL)
    return NULL;
  g_autoptr (BlEntry) entry = bl_entry_new (BL_ENTRY_READING, id, text);
  if (!bl_reading_parse (text, bl_board_measurement (work->board, id)->measures, &entry->reading, error))
    return NULL;
  entry->meter = g_strdup (bl_drill_meter (drill));
  return g_steal_pointer (&entry);
}

/* The entry of step i: of a job the one that was made, otherwise the next of the plan. NULL: there is none. */
static BlEntry *
entry_at (const Work *work, GPtrArray *entries, guint i, const BlDrill *drill, const BlDiagnosis *before, GError **error)
{
  if (drill != NULL)
    return next_entry (work, drill, before, error);
  return i < entries->len ? bl_entry_copy (g_ptr_array_index (entries, i)) : NULL;
}

gboolean
bl_worked_steps_work (const BlBoard *board, GPtrArray *entries, guint n_known, const BlDrill *drill, const char *key,
                      BlWorkedStepFunc func, gpointer data, const int *cancel, GError **error)
{
  g_autoptr (GPtrArray) so_far = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  g_autoptr (BlEngine) engine = bl_engine_new (board, error);
  g_autoptr (GRand) random = g_rand_new_with_seed (g_str_hash (key));
  g_autoptr (BlDiagnosis) before = NULL;
  Work work = { board, engine, so_far, random, cancel };

  if (engine == NULL)
    return FALSE;
  for (guint i = 0; i < n_known && i < entries->len; i++)
    g_ptr_array_add (so_far, bl_entry_copy (g_ptr_array_index (entries, i)));
  before = diagnose (&work, error);
  for (guint i = n_known; before != NULL; i++)
    {
      g_autoptr (GError) reason = NULL;
      g_autoptr (BlEntry) entry = entry_at (&work, entries, i, drill, before, &reason);
      BlWorkedStep *step = entry != NULL ? take (&work, entry, &before, &reason) : NULL;
      if (reason != NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return FALSE;
        }
      if (step == NULL)
        return TRUE;
      func (step, data);
    }
  return FALSE;
}
