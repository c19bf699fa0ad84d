/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was taken in and handed back month by month, by the calendar of the place where the program runs. Ten years are
 * 120 months. */
#include "config.h"

#include "bl-numbers-private.h"

#define MONTH (30.44 * 24 * 3600 * 1e6) /* us; 365.25 / 12 days */

static int
month_index (gint64 time)
{
  g_autoptr (GDateTime) date = g_date_time_new_from_unix_local (time / G_USEC_PER_SEC);
  return date != NULL ? 12 * g_date_time_get_year (date) + g_date_time_get_month (date) - 1 : 0;
}

static BlNumbersMonth *
month_at (BlNumbers *numbers, int first, gint64 time)
{
  int place = month_index (time) - first;
  return place >= 0 && place < (int) numbers->months->len ? &g_array_index (numbers->months, BlNumbersMonth, place)
                                                          : NULL;
}

static gboolean
in_period (const BlNumbers *numbers, gint64 time)
{
  return time >= numbers->ask.from && (numbers->ask.to == 0 || time < numbers->ask.to);
}

static void
count_job (BlNumbers *numbers, int first, const BlJob *job)
{
  BlNumbersMonth *month = in_period (numbers, job->created) ? month_at (numbers, first, job->created) : NULL;

  if (month != NULL)
    {
      month->received++;
      month->came_back += job->return_of != 0;
    }
  month = job->closed && in_period (numbers, job->handed_back) ? month_at (numbers, first, job->handed_back) : NULL;
  if (month != NULL)
    month->ended++;
}

void
bl_numbers_count_months (BlNumbers *numbers, GPtrArray *jobs, gint64 end)
{
  gint64 begin = G_MAXINT64;

  for (guint i = 0; i < jobs->len; i++)
    begin = MIN (begin, ((const BlJob *) bl_at (jobs, i))->created);
  begin = MAX (begin, numbers->ask.from);
  if (end <= begin)
    return;
  numbers->months_known = (double) (end - begin) / MONTH;
  int first = month_index (begin), last = month_index (end - 1);
  for (int i = first; i <= last; i++)
    {
      BlNumbersMonth month = { i / 12, i % 12 + 1, 0, 0, 0 };
      g_array_append_val (numbers->months, month);
    }
  for (guint i = 0; i < jobs->len; i++)
    count_job (numbers, first, bl_at (jobs, i));
}
