/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counts time spent at the bench. Better too little than invented: of a gap that may have been a telephone
 * call or the night nothing is counted, and a clock that was set back adds nothing. */
#include "config.h"

#include "bl-work-clock.h"

#define MINUTE ((gint64) 60 * G_USEC_PER_SEC)

gboolean
bl_work_clock_touch (BlWorkClock *clock, gint64 now, gint64 idle)
{
  g_return_val_if_fail (clock != NULL, FALSE);
  gint64 gap = now - clock->last;
  gboolean first = clock->last == 0;

  clock->last = now;
  if (clock->paused || first || gap < 0)
    return FALSE;
  if (gap > idle)
    return TRUE;
  clock->counted += gap;
  return FALSE;
}

gint64
bl_work_clock_counted (const BlWorkClock *clock)
{
  g_return_val_if_fail (clock != NULL, 0);
  return clock->counted;
}

guint
bl_work_clock_take (BlWorkClock *clock)
{
  g_return_val_if_fail (clock != NULL, 0);
  gint64 minutes = clock->counted / MINUTE;

  clock->counted -= minutes * MINUTE;
  return (guint) minutes;
}

void
bl_work_clock_pause (BlWorkClock *clock, gboolean paused)
{
  g_return_if_fail (clock != NULL);
  clock->paused = paused;
  clock->last = 0;
}
