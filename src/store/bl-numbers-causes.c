/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What became of a job, of what its log says: which parts were the cause, whether it was repaired at the first attempt,
 * whether it came back and for the same cause. Some ten parts a job. The logs are read, and the jobs to count chosen, in
 * bl-library-numbers.c. */
#include "config.h"

#include "bl-numbers-count-private.h"

#define DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

const int bl_numbers_spans[BL_NUMBERS_N_SPANS] = { 30, 90, 180 };
#define FIRST_FIX_SPAN 1 /* 90 days */

/* --- causes --- */

static gboolean
is_cause (const Part *part)
{
  return part->said != 0 && part->cause;
}

gint64
bl_numbers_found_time (const Work *work)
{
  gint64 found = 0;

  for (guint i = 0; i < work->parts->len; i++)
    {
      const Part *part = bl_at (work->parts, i);
      gint64 time = part->found != 0 ? MIN (part->found, part->said) : part->said;
      if (is_cause (part) && (found == 0 || time < found))
        found = time;
    }
  return found;
}

static gboolean
has_cause (const Work *work)
{
  return work->cause_in_part || bl_numbers_found_time (work) != 0;
}

static gboolean
has_replaced (const Work *work, gboolean in_vain)
{
  if (!in_vain && work->replaced_in_part)
    return TRUE;
  for (guint i = 0; i < work->parts->len; i++)
    {
      const Part *part = bl_at (work->parts, i);
      if (part->replaced > 0 && (!in_vain || (part->said != 0 && !part->cause)))
        return TRUE;
    }
  return FALSE;
}

void
bl_numbers_follow_parts (Count *count)
{
  for (guint i = 0; count->numbers->ask.board == 0 && i < count->heads->len; i++)
    {
      const BlJob *job = bl_at (count->heads, i);
      Work *part = g_hash_table_lookup (count->works, &job->id);
      Work *whole = job->part_of != 0 ? g_hash_table_lookup (count->works, &job->part_of) : NULL;
      if (whole == NULL || whole == part)
        continue;
      if (whole->part_works == NULL)
        whole->part_works = g_ptr_array_new ();
      g_ptr_array_add (whole->part_works, part);
      whole->cause_in_part = whole->cause_in_part || has_cause (part);
      whole->replaced_in_part = whole->replaced_in_part || has_replaced (part, FALSE);
      whole->spent += part->spent;
    }
}

/* --- of a job that ended --- */

static gboolean
was_handed_back (const BlJob *job)
{
  return job->state == BL_JOB_HANDED_BACK || job->state == BL_JOB_RETURNED;
}

static void
count_returns (Count *count, const Work *work)
{
  BlNumbers *numbers = count->numbers;
  gint64 out = count->now - work->head->handed_back, back = work->back - work->head->handed_back;
  const gint64 fix_span = bl_numbers_spans[FIRST_FIX_SPAN] * DAY;
  gboolean came_soon = work->back != 0 && back <= fix_span;

  for (guint i = 0; i < BL_NUMBERS_N_SPANS; i++)
    if (out >= bl_numbers_spans[i] * DAY)
      {
        numbers->out[i]++;
        numbers->back[i] += work->back != 0 && back <= bl_numbers_spans[i] * DAY;
      }
  numbers->returns += work->back != 0;
  if (!has_cause (work) || !has_replaced (work, FALSE))
    return;
  numbers->repairs++;
  if (out < fix_span && !came_soon)
    return;
  numbers->first_fix_of++;
  numbers->first_fix += !came_soon && !has_replaced (work, TRUE);
}

void
bl_numbers_count_ended (Count *count, const Work *work)
{
  BlNumbers *numbers = count->numbers;

  numbers->ended++;
  numbers->with_cause += has_cause (work);
  for (guint i = 0; i < work->parts->len; i++)
    if (is_cause (bl_at (work->parts, i)))
      bl_numbers_add_part (count, count->found, numbers->causes, work, bl_at (work->parts, i));
  if (work->spent > 0)
    g_array_append_val (count->spent, work->spent);
  if (!was_handed_back (work->head))
    {
      numbers->not_economical++;
      return;
    }
  numbers->handed_back++;
  numbers->no_fault_found += !has_cause (work) && !has_replaced (work, FALSE);
  count_returns (count, work);
}

void
bl_numbers_count_causes (Count *count, const Work *work)
{
  for (guint i = 0; i < work->parts->len; i++)
    if (is_cause (bl_at (work->parts, i)))
      bl_numbers_add_part (count, count->found, count->numbers->causes, work, bl_at (work->parts, i));
}

/* --- of one that came back --- */

/* Its own causes, and those of the jobs that are part of it. (transfer container) Part */
static GPtrArray *
causes_of (const Work *work)
{
  GPtrArray *causes = g_ptr_array_new ();

  for (guint i = 0; i <= bl_len (work->part_works); i++)
    {
      const Work *from = i == 0 ? work : bl_at (work->part_works, i - 1);
      for (guint k = 0; k < from->parts->len; k++)
        if (is_cause (bl_at (from->parts, k)))
          g_ptr_array_add (causes, bl_at (from->parts, k));
    }
  return causes;
}

static gboolean
share_a_cause (const Work *one, const Work *other)
{
  g_autoptr (GPtrArray) ones = causes_of (one), others = causes_of (other);

  for (guint i = 0; i < ones->len; i++)
    for (guint k = 0; k < others->len; k++)
      if (bl_numbers_is_part (bl_at (ones, i), ((Part *) bl_at (others, k))->board,
                              ((Part *) bl_at (others, k))->component))
        return TRUE;
  return FALSE;
}

void
bl_numbers_count_return (Count *count, const Work *back)
{
  const Work *first = g_hash_table_lookup (count->works, &back->head->return_of);
  BlNumbers *numbers = count->numbers;

  if (first == NULL || !bl_numbers_is_asked (count, first->head) || !was_handed_back (first->head)
      || !bl_numbers_in_period (count, first->head->handed_back) || first->back != back->head->created
      || !back->head->closed)
    return;
  if (!has_cause (back))
    numbers->returns_no_fault += !has_replaced (back, FALSE);
  else if (share_a_cause (first, back))
    numbers->returns_same++;
  else
    numbers->returns_other++;
}
