/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The values of the last seconds: whether they stand still, and whether they wander.
 *
 * 128 values are kept, none closer than 40 ms to the one before it, so they cover five seconds of any
 * meter. What still and wandering mean, and why, is in bl-capture.c. */
#include "config.h"

#include "bl-capture-window.h"

#include <string.h>

#define CLOSEST (40 * (gint64) 1000)
#define STILL_TIME (G_USEC_PER_SEC * (gint64) 1)
#define MIXED_TIME (G_USEC_PER_SEC * (gint64) 3)
#define STILL_SAMPLES 3
#define STILL_COUNTS 3.0
#define STILL_SHARE 0.0005
#define WANDER_TIME (600 * (gint64) 1000)

void
bl_capture_window_clear (BlCaptureWindow *self)
{
  self->n = 0;
}

void
bl_capture_window_add (BlCaptureWindow *self, const BlSample *sample, gboolean blank)
{
  BlCaptureKept *last = self->n > 0 ? &self->kept[self->n - 1] : NULL;

  /* The first of two close ones stays: its time says since when. A later one still has to agree, so it
   * takes the place of the last where that is not the only witness of an older time. */
  if (self->n >= 2 && sample->time_us - self->kept[self->n - 2].sample.time_us < CLOSEST && !last->blank)
    self->n--;
  if (self->n == BL_CAPTURE_KEPT)
    memmove (self->kept, self->kept + 1, sizeof self->kept[0] * --self->n);
  self->kept[self->n++] = (BlCaptureKept){ *sample, blank };
}

/* Goes back from the last value as far as the values agree; TRUE where that is for at least time. */
static gboolean
agree (const BlCaptureWindow *self, gint64 time, gboolean same_digits, BlSample *still)
{
  const BlSample *last = &self->kept[self->n - 1].sample;
  double low = last->value, high = last->value, limit;
  int digits = last->digits;
  guint samples = 0, blanks = 0;

  for (guint i = self->n; i-- > 0;)
    {
      const BlSample *sample = &self->kept[i].sample;

      if (self->kept[i].blank && !last->over && samples > 0 && blanks++ == 0)
        continue;
      if (sample->over != last->over || sample->held != last->held || sample->unsettled ||
          (same_digits && !last->over && sample->digits != last->digits))
        return FALSE;
      digits = MIN (digits, sample->digits);
      low = MIN (low, sample->value);
      high = MAX (high, sample->value);
      limit = MAX (STILL_COUNTS * pow (10, -digits), STILL_SHARE * fabs (last->value));
      /* Half a count of slack: values are floats on their way here. */
      if (!last->over && high - low > limit + 0.5 * pow (10, -digits))
        return FALSE;
      if (++samples >= STILL_SAMPLES && last->time_us - sample->time_us >= time)
        {
          *still = *last;
          still->digits = digits;
          return TRUE;
        }
    }
  return FALSE;
}

gboolean
bl_capture_window_still (const BlCaptureWindow *self, BlSample *still)
{
  return self->n >= STILL_SAMPLES && (agree (self, STILL_TIME, TRUE, still) || agree (self, MIXED_TIME, FALSE, still));
}

gboolean
bl_capture_window_wanders (const BlCaptureWindow *self, double *low, double *high)
{
  guint steps = 0, moved = 0, first = self->n;
  const BlSample *last;

  if (self->n == 0)
    return FALSE;
  last = &self->kept[self->n - 1].sample;
  *low = *high = last->value;
  while (first > 0 && (last->time_us - self->kept[first - 1].sample.time_us <= WANDER_TIME || self->n - first < 4))
    first--;
  for (guint i = first; i < self->n; i++)
    {
      const BlSample *sample = &self->kept[i].sample;

      if (sample->over || self->n - first < 4 || last->time_us - self->kept[first].sample.time_us < WANDER_TIME / 2)
        return FALSE;
      *low = MIN (*low, sample->value);
      *high = MAX (*high, sample->value);
      if (i > first)
        {
          double step = fabs (sample->value - self->kept[i - 1].sample.value);

          steps++;
          moved += step > MAX (STILL_COUNTS * pow (10, -sample->digits), STILL_SHARE * fabs (sample->value));
        }
    }
  return steps >= 3 && moved * 3 >= steps * 2;
}
