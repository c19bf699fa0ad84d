/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far every stage is from healthy, so that readings belong to one possible board.
 *
 * A class says only "low"; a board has one voltage. Each stage gets one level (a share of its healthy
 * value) in each state, and all its measurements are read off that level. Along the feeds:
 *
 * - a stage that is low (high) only because its feed is has the feed's level, a little less;
 * - a stage with a fault of its own below a low feed is no healthier than the feed;
 * - a stage that is in band although its feed is low has a feed that is low by little only, and where
 *   both are voltages and the stage's is the smaller, a feed that still exceeds it;
 * - what is left on an absent stage is no more than what is left on the feed that made it absent.
 *
 * First every level gets a window from the limits of its measurements, then windows are narrowed
 * from the ends of the feeds backwards, then levels are drawn from the feeds forwards. Windows that
 * contradict each other stay as the measurements have them: the class goes before the physics. */
#include "config.h"

#include "bl-response-private.h"
#include "bl-simulate-private.h"

/* A stage that passes a low feed on as in band needs this much more voltage than its own. */
#define HEADROOM 1.1
/* A low feed that lets a stage drop out altogether (a relay, a reset) is at most this (common
 * practice, no source). */
#define DROP_OUT 0.8
/* Share of a span kept free at its ends where a level is moved into it. */
#define SPAN_MARGIN 0.05
/* Added to the distance of a level outside its window: taken only when there is no other. */
#define OUTSIDE 1000
/* Largest share lost between a feed and the stage that follows it. */
#define DROP 0.03

/* One state's computation. */
typedef struct
{
  const BlResponse *response;
  const guint8 *classes;
  const double *degrees; /* one a stage, 0 to 1: how far within its window */
  guint state;
  guint8 *masks, *direct;
  BlSpan *windows;
  double *levels;
} Levels;

/* The deviation that shows; -1: none. */
static int
deviation_of (const Levels *self, guint stage)
{
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    if (self->masks[stage] & (1u << d))
      return d;
  return -1;
}

/* TRUE when level is meant for what this measurement shows: its class is the stage's deviation, or a
 * mark in its place. */
static gboolean
speaks_of (const Measurement *m, guint class_index, int deviation)
{
  if (class_index >= m->band->n_classes - m->band->marks->len)
    return deviation == BL_LOW || deviation == BL_HIGH;
  return deviation < 0 ? class_index == m->band->good : class_index == m->from_stage[deviation];
}

static BlSpan
default_window (int deviation)
{
  switch (deviation)
    {
    case BL_ABSENT:
      return (BlSpan){ 0, 0.1 };
    case BL_UNSTEADY:
      return (BlSpan){ 0.3, 0.8 };
    case BL_LOW:
      return (BlSpan){ 0.2, 0.85 };
    case BL_HIGH:
      return (BlSpan){ 1.08, 1.4 };
    default:
      return (BlSpan){ 0.99, 1.01 };
    }
}

/* Narrows window to other, unless nothing would be left. */
static void
narrow (BlSpan *window, double low, double high)
{
  BlSpan narrowed = { MAX (window->low, low), MIN (window->high, high) };

  if (narrowed.low < narrowed.high)
    *window = narrowed;
}

/* The window that a measurement's class leaves to the level of its stage. */
static gboolean
class_window (const Measurement *m, guint class_index, BlSpan *window)
{
  g_autoptr (GArray) spans = bl_simulate_spans (m->band, class_index);

  if (spans->len == 0 || !(m->band->nominal > 0) || m->band->follows)
    return FALSE;
  window->low = g_array_index (spans, BlSpan, 0).low / m->band->nominal;
  window->high = g_array_index (spans, BlSpan, spans->len - 1).high / m->band->nominal;
  return TRUE;
}

static void
set_windows (Levels *self)
{
  const BlResponse *response = self->response;
  g_autofree gboolean *seen = g_new0 (gboolean, response->n_stages);

  for (guint i = 0; i < response->n_stages; i++)
    self->windows[i] = default_window (deviation_of (self, i));
  for (guint i = 0; i < response->n_measurements; i++)
    {
      const Measurement *m = &response->measurements[i];
      BlSpan window;

      if (m->stage < 0 || m->state != self->state || !bl_measures_is_steady (m->band->measures) ||
          deviation_of (self, (guint) m->stage) == BL_UNSTEADY ||
          !speaks_of (m, self->classes[i], deviation_of (self, (guint) m->stage)) ||
          !class_window (m, self->classes[i], &window))
        continue;
      if (seen[m->stage])
        narrow (&self->windows[m->stage], window.low, window.high);
      else
        self->windows[m->stage] = window;
      seen[m->stage] = TRUE;
    }
}

/* Healthy voltage of a stage in any state; NAN when no measurement of a voltage reads it. */
static double
healthy_volts (const BlResponse *response, guint stage)
{
  for (guint i = 0; i < response->n_measurements; i++)
    {
      const Measurement *m = &response->measurements[i];

      if (m->stage == (int) stage && m->band->measures <= BL_MEASURES_V_AC && m->band->nominal > 0)
        return m->band->nominal;
    }
  return NAN;
}

/* TRUE when the stage has its deviation only because this feed does. */
static gboolean
caused_by (const Levels *self, guint stage, const Feed *feed, int deviation)
{
  return feed->stage >= 0 && deviation_of (self, (guint) feed->stage) == deviation &&
         (feed->to[1u << deviation] & (1u << deviation)) != 0;
}

/* What a stage that is in band asks of a feed that is low. */
static void
narrow_mild (Levels *self, guint stage, guint feed)
{
  BlSpan *window = &self->windows[feed];
  double ratio = healthy_volts (self->response, stage) / healthy_volts (self->response, feed);
  double middle = (window->low + window->high) / 2;

  if (ratio < 1)
    narrow (window, ratio * HEADROOM, INFINITY);
  else
    narrow (window, middle, INFINITY);
}

/* Narrows the windows of a stage's feeds; dropping out is only asked for when the rest is settled. */
static void
narrow_feeds (Levels *self, guint stage, gboolean settled)
{
  int deviation = deviation_of (self, stage);
  const Stage *own = &self->response->stages[stage];

  for (guint i = 0; i < own->n_feeds; i++)
    {
      const Feed *feed = &own->feeds[i];
      int of_feed = feed->stage >= 0 ? deviation_of (self, (guint) feed->stage) : -1;
      BlSpan *window = feed->stage >= 0 ? &self->windows[feed->stage] : NULL;

      if (of_feed != BL_LOW && of_feed != BL_HIGH)
        continue;
      if (deviation == of_feed && caused_by (self, stage, feed, deviation))
        narrow (window, self->windows[stage].low,
                self->direct[stage] & (1u << deviation) ? INFINITY
                                                        : self->windows[stage].high / (1 - DROP));
      else if (of_feed == BL_LOW && feed->to[1u << BL_LOW] == 0)
        narrow_mild (self, stage, (guint) feed->stage);
      else if (settled && of_feed == BL_LOW && deviation == BL_ABSENT)
        narrow (window, -INFINITY, DROP_OUT);
    }
}

/* The level of the feed that decides: the lowest; NAN when no feed causes the deviation. */
static double
causing_level (const Levels *self, guint stage, int deviation)
{
  const Stage *own = &self->response->stages[stage];
  double level = NAN;

  for (guint i = 0; i < own->n_feeds; i++)
    if (caused_by (self, stage, &own->feeds[i], deviation))
      level = fmin (level, self->levels[own->feeds[i].stage]);
  return level;
}

static double
draw_level (const Levels *self, guint stage)
{
  int deviation = deviation_of (self, stage);
  BlSpan window = self->windows[stage];
  double degree = self->degrees[stage];
  double cause = deviation >= 0 ? causing_level (self, stage, deviation) : NAN;

  switch (deviation)
    {
    case BL_ABSENT:
      return fmin (0.1 * degree * window.high, cause);
    case BL_UNSTEADY:
      return isnan (cause) ? window.low + degree * (window.high - window.low) : cause;
    case BL_LOW:
    case BL_HIGH:
      if (!isnan (cause) && !(self->direct[stage] & (1u << deviation)))
        return CLAMP (cause * (1 - DROP * degree), window.low, window.high);
      if (!isnan (cause))
        narrow (&window, -INFINITY, cause);
      return window.low + (0.15 + 0.7 * degree) * (window.high - window.low);
    default:
      return window.low + (0.35 + 0.3 * degree) * (window.high - window.low);
    }
}

/* Moves a level that lies between two spans of a measurement's class (in a mark, say) into the nearer
 * one, so that a neighbour without that mark reads the same. */
static double
snap (const Levels *self, guint stage, double level)
{
  for (guint i = 0; i < self->response->n_measurements; i++)
    {
      const Measurement *m = &self->response->measurements[i];
      g_autoptr (GArray) spans = NULL;
      double nearest = INFINITY, moved = level;

      if (m->stage != (int) stage || m->state != self->state || m->band->marks->len == 0 ||
          !(m->band->nominal > 0) || m->band->follows ||
          !speaks_of (m, self->classes[i], deviation_of (self, stage)))
        continue;
      spans = bl_simulate_spans (m->band, self->classes[i]);
      for (guint j = 0; j < spans->len; j++)
        {
          BlSpan span = g_array_index (spans, BlSpan, j), window = self->windows[stage];
          double low = span.low / m->band->nominal, high = span.high / m->band->nominal;
          gboolean apart = high <= window.low || low >= window.high;
          double margin, inside, distance;

          low = apart ? low : MAX (low, window.low);
          high = apart ? high : MIN (high, window.high);
          margin = SPAN_MARGIN * (high - low);
          inside = CLAMP (level, low + margin, high - margin);
          distance = fabs (inside - level) + (apart ? OUTSIDE : 0);
          if (distance < nearest)
            {
              nearest = distance;
              moved = inside;
            }
        }
      level = moved;
    }
  return level;
}

static void
draw_state (Levels *self)
{
  const BlResponse *response = self->response;

  set_windows (self);
  for (int settled = 0; settled < 2; settled++)
    for (guint i = response->n_stages; i > 0; i--)
      narrow_feeds (self, response->sorted[i - 1], settled);
  for (guint i = 0; i < response->n_stages; i++)
    {
      guint stage = response->sorted[i];

      self->levels[stage] = snap (self, stage, draw_level (self, stage));
    }
}

/* Hands the levels of one state to the measurements whose class comes from their stage. */
static void
hand_out (const Levels *self, double *of_measurements)
{
  for (guint i = 0; i < self->response->n_measurements; i++)
    {
      const Measurement *m = &self->response->measurements[i];

      if (m->stage >= 0 && m->state == self->state &&
          speaks_of (m, self->classes[i], deviation_of (self, (guint) m->stage)))
        of_measurements[i] = self->levels[m->stage];
    }
}

double *
bl_simulate_levels (const BlResponse *response, const guint8 *active, const guint8 *classes, GRand *random)
{
  guint n = response->n_stages;
  double *of_measurements = g_new0 (double, response->n_measurements + 1);
  g_autofree double *degrees = g_new0 (double, n), *levels = g_new0 (double, n);
  g_autofree guint8 *masks = g_new0 (guint8, n), *direct = g_new0 (guint8, n);
  g_autofree BlSpan *windows = g_new0 (BlSpan, n);

  for (guint i = 0; i < n; i++)
    degrees[i] = g_rand_double (random);
  for (guint i = 0; i < response->n_measurements; i++)
    of_measurements[i] = NAN;
  for (guint state = 0; state < response->n_states; state++)
    {
      Levels self = { response, classes, degrees, state, masks, direct, windows, levels };

      bl_response_stages (response, active, (int) state, masks);
      bl_response_direct (response, active, (int) state, direct);
      draw_state (&self);
      hand_out (&self, of_measurements);
    }
  return of_measurements;
}
