/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counts the flashes of a lamp from taps along with it.
 *
 * A panel tells a fault by groups of n flashes with a pause between the groups, or by flashes without a pause. Each
 * of 1 .. 20 flashes, and flashes without a pause, is a hypothesis; its weight is the chance of the taps under it.
 * From one tap to the next the lamp goes on by one flash, seldom by more (missed), or by none (a tap without a flash); what is
 * not seen is how far in the group it stood, so all places are carried along (forward algorithm of a hidden Markov
 * chain; L. Rabiner, A tutorial on hidden Markov models, Proceedings of the IEEE 77, 1989; from memory). How often
 * people miss a flash, and how unevenly they tap, are figures of our own; nothing depends on them but how many groups
 * are asked for. One flash in each long interval is a rate here: who compares patterns takes a slow rate for a count of
 * one. */
#include "config.h"

#include "bl-taps.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MISSED 0.02 /* of a flash */
#define EXTRA 0.005 /* a tap without a flash */
#define STEPS 4     /* flashes from tap to tap at most */
#define UNEVEN_S .08     /* spread of an interval: a finger's ... */
#define UNEVEN_SHARE .05 /* ... and what grows with its length */
#define RARER .2 /* each flash more in a group makes it so much rarer: tables begin with small counts */
#define LONGER 1.5 /* times the next shorter interval: perhaps a pause */
#define ENOUGH 10 /* taps without a pause, before it is said that there is none */
#define DECIDED 0.75
#define TAPS_KEPT 64 /* the last ones */

/* A lamp with groups of count flashes; count 1 with a pause as long as the period: without a pause. */
typedef struct
{
  guint count;
  double period, pause;
} Lamp;

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;
  return x < y ? -1 : x > y;
}

static double
median (double *values, guint n)
{
  if (n == 0)
    return NAN;
  qsort (values, n, sizeof (double), compare);
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

static double
longest (const double *values, guint n)
{
  double most = values[0];

  for (guint i = 1; i < n; i++)
    most = MAX (most, values[i]);
  return most;
}

/* The interval from which on it may be a pause: in the widest step between neighbours in length, if that is wide
 * enough. */
static double
pause_from (const double *intervals, guint n)
{
  g_autofree double *sorted = g_memdup2 (intervals, n * sizeof (double));
  double widest = LONGER, from = INFINITY;

  qsort (sorted, n, sizeof (double), compare);
  for (guint i = 1; i < n; i++)
    if (sorted[i] / sorted[i - 1] > widest)
      {
        widest = sorted[i] / sorted[i - 1];
        from = sqrt (sorted[i] * sorted[i - 1]);
      }
  return from;
}

/* Medians of the intervals below and from a limit on; NAN where there is none. */
static double
median_between (const double *intervals, guint n, double from, double below)
{
  g_autofree double *some = g_new (double, n + 1);
  guint n_some = 0;

  for (guint i = 0; i < n; i++)
    if (intervals[i] >= from && intervals[i] < below)
      some[n_some++] = intervals[i];
  return median (some, n_some);
}

/* The chance density of an interval in which the lamp went on by so many flashes, with so many pauses among them. */
static double
chance_of_steps (const Lamp *lamp, double interval, guint steps, guint pauses)
{
  double expected = (steps - pauses) * lamp->period + pauses * lamp->pause;
  double spread = hypot (UNEVEN_S, UNEVEN_SHARE * expected), off = (interval - expected) / spread;

  return (1 - MISSED) * pow (MISSED, steps - 1.) * exp (-off * off / 2) / (spread * sqrt (2 * G_PI));
}

/* The places after an interval from the places before it. */
static void
go_on (const Lamp *lamp, double interval, double *places)
{
  double next[BL_TAPS_MOST] = { 0 }, chances[STEPS + 1][STEPS + 1];

  for (guint steps = 1; steps <= STEPS; steps++)
    for (guint pauses = 0; pauses <= steps; pauses++)
      chances[steps][pauses] = chance_of_steps (lamp, interval, steps, pauses);
  for (guint place = 0; place < lamp->count; place++)
    {
      next[place] += places[place] * EXTRA / (lamp->period + lamp->pause);
      for (guint steps = 1; steps <= STEPS; steps++)
        {
          guint on = place + steps;
          next[on % lamp->count] += places[place] * chances[steps][on / lamp->count];
        }
    }
  memcpy (places, next, lamp->count * sizeof (double));
}

/* The logarithm of the chance of all intervals, -INFINITY where they are impossible. */
static double
chance (const Lamp *lamp, const double *intervals, guint n, gboolean ended)
{
  double places[BL_TAPS_MOST], sum = 1, logarithm = 0;

  /* Who sees the pause begins with the first flash as a rule. */
  for (guint i = 0; i < lamp->count; i++)
    places[i] = .5 / lamp->count + (i == 0 ? .5 : 0);
  for (guint i = 0; i < n && sum > 0; i++)
    {
      go_on (lamp, intervals[i], places);
      sum = 0;
      for (guint j = 0; j < lamp->count; j++)
        sum += places[j];
      for (guint j = 0; j < lamp->count && sum > 0; j++)
        places[j] /= sum;
      logarithm += log (sum);
    }
  /* A pause was waited for: the last tap was the last flash, unless flashes were missed. */
  if (ended)
    {
      double end = 0;
      for (guint i = 0; i < lamp->count; i++)
        end += places[i] * pow (MISSED, lamp->count - 1. - i);
      logarithm += log (end);
    }
  return logarithm;
}

/* Weights of a rate, and of 1 .. BL_TAPS_MOST flashes; their sum is 1. */
static void
weigh (const double *intervals, guint n, double period, const double *pauses, gboolean ended, double *weights)
{
  double largest = -INFINITY, sum = 0;

  for (guint count = 0; count <= BL_TAPS_MOST; count++)
    {
      double prior = log (count == 0 ? .5 : .5 * RARER * pow (1 - RARER, count - 1.));
      weights[count] = -INFINITY;
      for (guint i = 0; i < 2; i++)
        {
          Lamp lamp = { MAX (count, 1), period, count == 0 ? period : pauses[i] };
          weights[count] = MAX (weights[count], prior + chance (&lamp, intervals, n, ended && count > 0));
        }
      largest = MAX (largest, weights[count]);
    }
  for (guint count = 0; count <= BL_TAPS_MOST; count++)
    sum += weights[count] = isinf (largest) ? 1 : exp (weights[count] - largest);
  for (guint count = 0; count <= BL_TAPS_MOST; count++)
    weights[count] /= sum;
}

static guint
likeliest (const double *weights, int except)
{
  guint best = except == 0 ? 1 : 0;

  for (guint i = 0; i <= BL_TAPS_MOST; i++)
    if ((int) i != except && weights[i] > weights[best])
      best = i;
  return best;
}

/* The intervals between the last taps; presses at one instant are one. */
static guint
intervals_of (const double *times, guint n_times, double *intervals)
{
  guint n = 0;

  for (guint i = MAX (n_times, TAPS_KEPT) - TAPS_KEPT + 1; i < n_times; i++)
    if (times[i] > times[i - 1])
      intervals[n++] = times[i] - times[i - 1];
  return n;
}

void
bl_taps_read (const double *times, guint n_times, double quiet, BlTaps *taps)
{
  double weights[BL_TAPS_MOST + 1], intervals[TAPS_KEPT], pauses[2];

  g_return_if_fail (taps != NULL && (times != NULL || n_times == 0));

  *taps = (BlTaps) { .kind = BL_TAPS_UNDECIDED, .rate_hz = NAN, .pause_s = NAN };
  guint n = intervals_of (times, n_times, intervals);
  if (n == 0)
    return;
  double from = pause_from (intervals, n), period = median_between (intervals, n, 0, from);
  gboolean one_group = isinf (from), ended = quiet >= (one_group ? 2.5 * period : from);
  /* Among what is longer there may be missed flashes: the other guess at the pause is the longest. */
  pauses[0] = one_group ? MAX (2.5 * period, quiet) : median_between (intervals, n, from, INFINITY);
  pauses[1] = one_group ? pauses[0] : median_between (intervals, n, .75 * longest (intervals, n), INFINITY);
  weigh (intervals, n, period, pauses, ended, weights);

  guint best = likeliest (weights, -1);
  taps->share = weights[best];
  taps->other = likeliest (weights, (int) best);
  taps->other_share = weights[taps->other];
  taps->rate_hz = 1 / period;
  if (taps->share < DECIDED || (one_group && n + 1 < ENOUGH))
    return;
  taps->kind = best == 0 ? BL_TAPS_RATE : BL_TAPS_COUNT;
  taps->count = best;
  taps->pause_s = best > 0 && !one_group ? pauses[1] : NAN;
}
