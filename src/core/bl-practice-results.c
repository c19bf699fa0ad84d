/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counting what somebody has practised, in all and by section, fault family and week. Some thousand things a year, a
 * dozen kinds of sections, some families. Time given away is shared out as a whole: the sum of it over the sum of effort,
 * so that a short drill weighs little. */
#include "config.h"

#include "bl-practice-results.h"

#include <math.h>
#include <string.h>

guint
bl_results_row_tried (const BlResultsRow *row)
{
  return row->way_tried + row->reads_tried + row->worked_tried + row->drills_tried;
}

guint
bl_results_row_right (const BlResultsRow *row)
{
  return row->way_right + row->reads_right + row->worked_right + row->drills_right;
}

BlResultsRow *
bl_results_row_new (const char *name, const char *title)
{
  BlResultsRow *row = g_new0 (BlResultsRow, 1);

  row->name = g_strdup (name);
  row->title = g_strdup (title);
  row->regret_share = NAN;
  return row;
}

static void
row_clear (BlResultsRow *row)
{
  g_free (row->name);
  g_free (row->title);
}

static void
row_free (gpointer row)
{
  row_clear (row);
  g_free (row);
}

void
bl_results_drill_free (BlResultsDrill *drill)
{
  if (drill == NULL)
    return;
  g_free (drill->board);
  g_free (drill->fault);
  g_free (drill->named);
  g_free (drill);
}

void
bl_results_due_free (BlResultsDue *due)
{
  if (due == NULL)
    return;
  g_free (due->what);
  g_free (due);
}

BlPracticeResults *
bl_practice_results_new (const char *person, guint32 today)
{
  BlPracticeResults *results = g_new0 (BlPracticeResults, 1);

  results->person = g_strdup (person);
  results->today = today;
  results->all.regret_share = NAN;
  results->sections = g_ptr_array_new_with_free_func (row_free);
  results->families = g_ptr_array_new_with_free_func (row_free);
  results->weeks = g_ptr_array_new_with_free_func (row_free);
  results->due = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_results_due_free);
  results->drills = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_results_drill_free);
  return results;
}

void
bl_practice_results_free (BlPracticeResults *results)
{
  if (results == NULL)
    return;
  g_free (results->person);
  row_clear (&results->all);
  g_ptr_array_unref (results->sections);
  g_ptr_array_unref (results->families);
  g_ptr_array_unref (results->weeks);
  g_ptr_array_unref (results->due);
  g_ptr_array_unref (results->drills);
  g_free (results);
}

/* --- counting --- */

static BlResultsRow *
row_named (GPtrArray *rows, const char *name, gboolean family, BlResultsTitle title)
{
  for (guint i = 0; i < rows->len; i++)
    if (strcmp (((BlResultsRow *) g_ptr_array_index (rows, i))->name, name) == 0)
      return g_ptr_array_index (rows, i);
  g_autofree char *words = title != NULL ? title (name, family) : g_strdup (name);
  BlResultsRow *row = bl_results_row_new (name, words);
  g_ptr_array_add (rows, row);
  return row;
}

/* Day 1 of the count is a Monday. */
static guint32
monday_of (guint32 day)
{
  return day - (day - 1) % 7;
}

static BlResultsRow *
row_of_week (GPtrArray *rows, guint32 day)
{
  guint32 monday = monday_of (day);

  for (guint i = 0; i < rows->len; i++)
    if (((BlResultsRow *) g_ptr_array_index (rows, i))->week == monday)
      return g_ptr_array_index (rows, i);
  BlResultsRow *row = bl_results_row_new (NULL, NULL);
  row->week = monday;
  g_ptr_array_add (rows, row);
  return row;
}

static void
add_drill (BlResultsRow *row, const BlPractised *practised)
{
  row->drills_tried++;
  row->drills_right += practised->right;
  row->n_failed += practised->failed;
  if (!isfinite (practised->regret_s) || !isfinite (practised->effort_s) || practised->effort_s <= 0)
    return;
  row->regret_s += practised->regret_s;
  row->effort_s += practised->effort_s;
  row->regret_share = row->regret_s / row->effort_s;
}

static void
add_to (BlResultsRow *row, const BlPractised *practised, guint32 today)
{
  guint32 monday = monday_of (practised->day), this_week = monday_of (today);

  if (monday <= this_week && (this_week - monday) / 7 < BL_RESULTS_WEEKS)
    {
      guint week = BL_RESULTS_WEEKS - 1 - (this_week - monday) / 7;
      row->tried_in[week]++;
      row->right_in[week] += practised->right;
    }
  switch (practised->kind)
    {
    case BL_PRACTISED_WAY:
      row->way_tried++;
      row->way_right += practised->right;
      break;
    case BL_PRACTISED_READS:
      row->reads_tried++;
      row->reads_right += practised->right;
      break;
    case BL_PRACTISED_WORKED:
      row->worked_tried++;
      row->worked_right += practised->right;
      break;
    case BL_PRACTISED_DRILL:
    default:
      add_drill (row, practised);
      break;
    }
}

void
bl_practice_results_add (BlPracticeResults *results, const BlPractised *practised, BlResultsTitle title)
{
  g_return_if_fail (results != NULL && practised != NULL && practised->day > 0);

  add_to (&results->all, practised, results->today);
  if (practised->section != NULL)
    add_to (row_named (results->sections, practised->section, FALSE, title), practised, results->today);
  if (practised->family != NULL)
    add_to (row_named (results->families, practised->family, TRUE, title), practised, results->today);
  add_to (row_of_week (results->weeks, practised->day), practised, results->today);
  if (results->from == 0 || practised->day < results->from)
    results->from = practised->day;
  results->to = MAX (results->to, practised->day);
}

static int
most_tried (gconstpointer a, gconstpointer b)
{
  const BlResultsRow *one = *(BlResultsRow *const *) a, *other = *(BlResultsRow *const *) b;
  guint first = bl_results_row_tried (one), second = bl_results_row_tried (other);

  return first != second ? (first > second ? -1 : 1) : strcmp (one->name, other->name);
}

static int
by_week (gconstpointer a, gconstpointer b)
{
  const BlResultsRow *one = *(BlResultsRow *const *) a, *other = *(BlResultsRow *const *) b;

  return one->week < other->week ? -1 : one->week > other->week;
}

void
bl_practice_results_finish (BlPracticeResults *results)
{
  g_return_if_fail (results != NULL);

  g_ptr_array_sort (results->sections, most_tried);
  g_ptr_array_sort (results->families, most_tried);
  for (guint32 day = results->from; results->from != 0 && day <= MAX (results->today, results->to); day += 7)
    row_of_week (results->weeks, day);
  if (results->from != 0)
    row_of_week (results->weeks, MAX (results->today, results->to));
  g_ptr_array_sort (results->weeks, by_week);
}
