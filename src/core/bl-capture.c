/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which of the values a meter streams is a reading.
 *
 * A value that stands still is no reading by that alone: leads in the air stand still too, at OL, near zero
 * or at a ghost voltage, and so do leads left on the point before. So the leads must have been seen lifted
 * since the last taking and since the measurement was selected, and the value must have left what they
 * showed then: it is armed. Armed, it is taken when it stands still. What could just as well be leads in the
 * air (absent, open), leads touching each other (no ohms), or what people get hurt by when it is wrong
 * (proof of dead) is left to the key. A value that is not taken costs a key press, a wrong one costs the
 * diagnosis: where in doubt it is not taken.
 *
 * Lifted is seen by: OL on ohms, diode and continuity; near zero on volts, amperes, hertz and farads; or, on
 * volts, values that wander (a ghost on a high input resistance) and are far from the value before. A meter
 * that changes its range blanks or shows OL for a moment; so a lift of less than two samples or half a second
 * does not count where the same value comes back, and one blank may lie among values that stand still.
 *
 * Still is: at least three samples over at least a second within three counts, or within 0.05 % of the value
 * where counts are finer than that (a tenth of what a handheld's accuracy allows it: common practice, no
 * source). Where the range changes meanwhile the same digits are wanted, or three seconds with the coarsest.
 *
 * It can not see a board switched off and on with the leads held on, nor a move from point to point between
 * two samples: the first looks lifted (the same value twice), the second is left to the key.
 *
 * Some 20 samples a second at most are expected; more are thinned out. No clock, no I/O. */
#include "config.h"

#include "bl-capture.h"

#include "bl-capture-window.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#define SECOND ((gint64) G_USEC_PER_SEC)
#define LOST_AFTER (3 * SECOND)
#define BLANK_TIME (SECOND / 2) /* a shorter lift may be the meter changing its range */
#define SECOND_HALF_TIME (10 * SECOND)

typedef enum
{
  ON,    /* on the point before for all that is known: lifted leads are waited for */
  OPEN,  /* lifted */
  ARMED  /* the value left what lifted leads showed */
} Phase;

struct BlCapture
{
  gboolean asked;
  BlCaptureExpect expect;
  Phase phase;
  BlCaptureWindow window;
  gboolean has_last;
  BlSample last;
  gint64 open_since;
  guint open_samples;           /* in a row */
  gboolean wandering;           /* OPEN by wandering: between open_low and open_high */
  double open_low, open_high;
  gboolean has_held;            /* the value taken last: leads may still be on it */
  BlSample held;
  char *half;                   /* diode: the first reading of two */
  gint64 half_time;
  BlCaptureEvent event;
  char *shown, *reading, *words;
};

BlCapture *
bl_capture_new (void)
{
  BlCapture *self = g_new0 (BlCapture, 1);

  self->event.kind = BL_CAPTURE_NOTHING;
  return self;
}

void
bl_capture_free (BlCapture *self)
{
  if (self == NULL)
    return;
  g_free (self->half);
  g_free (self->shown);
  g_free (self->reading);
  g_free (self->words);
  g_free (self);
}

BlCaptureExpect
bl_capture_expect_for (BlMeasures measures, const BlBand *band)
{
  BlCaptureExpect expect = { .measures = measures, .absent_below = NAN, .open_above = NAN };

  if (band != NULL)
    {
      expect.absent_below = band->absent_below;
      expect.open_above = band->open_above;
      expect.negative = band->negative;
    }
  return expect;
}

static void
disarm (BlCapture *self)
{
  self->phase = ON;
  self->open_samples = 0;
  self->wandering = FALSE;
  bl_capture_window_clear (&self->window);
}

void
bl_capture_expect (BlCapture *self, const BlCaptureExpect *expect)
{
  g_return_if_fail (self != NULL);
  disarm (self);
  g_clear_pointer (&self->half, g_free);
  self->asked = expect != NULL;
  if (expect != NULL)
    self->expect = *expect;
}

/* --- Events ----------------------------------------------------------------------------------- */

static const BlCaptureEvent *
say (BlCapture *self, BlCaptureKind kind, const char *words)
{
  g_autofree char *before = g_steal_pointer (&self->words);

  self->words = g_strdup (words);
  if (kind != BL_CAPTURE_TAKEN)
    g_clear_pointer (&self->reading, g_free);
  self->event = (BlCaptureEvent){ kind, kind != self->event.kind || kind == BL_CAPTURE_TAKEN, self->shown,
                                  self->reading, self->words };
  /* Another thing that does not match is news too. */
  if (kind == BL_CAPTURE_MISMATCH && g_strcmp0 (before, words) != 0)
    self->event.changed = TRUE;
  return &self->event;
}

static const BlCaptureEvent *
unchanged (BlCapture *self)
{
  if (self->event.kind == BL_CAPTURE_TAKEN)
    return say (self, BL_CAPTURE_SHOW, NULL);
  self->event.changed = FALSE;
  return &self->event;
}

static void
hold (BlCapture *self, const BlSample *sample)
{
  self->held = *sample;
  self->has_held = TRUE;
  disarm (self);
}

static const BlCaptureEvent *
taken (BlCapture *self, const BlSample *sample)
{
  g_autofree char *text = bl_sample_to_reading (sample);

  hold (self, sample);
  if (self->expect.both_ways && self->expect.measures == BL_MEASURES_DIODE && self->half == NULL)
    {
      self->half = g_steal_pointer (&text);
      self->half_time = sample->time_us;
      return say (self, BL_CAPTURE_HALF, _ ("Kept. Now the leads the other way round"));
    }
  g_free (self->reading);
  self->reading = self->half != NULL ? g_strconcat (self->half, "/", text, NULL) : g_steal_pointer (&text);
  g_clear_pointer (&self->half, g_free);
  return say (self, BL_CAPTURE_TAKEN, NULL);
}

/* --- What the meter measures ------------------------------------------------------------------ */

static gboolean
is_amperes (BlMeterMode mode)
{
  return mode >= BL_METER_A_DC && mode <= BL_METER_A;
}

/* The meter drives a current of its own through the leads. */
static gboolean
is_driving (BlMeterMode mode)
{
  return mode >= BL_METER_OHM && mode <= BL_METER_F;
}

static gboolean
is_open_over (BlMeterMode mode)
{
  return mode >= BL_METER_OHM && mode <= BL_METER_CONTINUITY;
}

static gboolean
serves (BlMeterMode mode, BlMeasures measures)
{
  BlMeterMode wanted = bl_meter_mode_for (measures);

  if (measures == BL_MEASURES_SWING)
    return mode == BL_METER_V_DC || mode == BL_METER_V;
  if (wanted == BL_METER_OTHER)
    return FALSE;
  if (mode == BL_METER_V)
    return wanted == BL_METER_V_DC || wanted == BL_METER_V_AC;
  if (mode == BL_METER_A)
    return wanted == BL_METER_A_DC || wanted == BL_METER_A_AC;
  if (measures == BL_MEASURES_CONTINUITY)
    return mode == BL_METER_OHM || mode == BL_METER_CONTINUITY;
  return mode == wanted;
}

/* Why the value can not be what is asked for; NULL: it can. (transfer full) */
static char *
mismatch (BlCapture *self, const BlSample *sample)
{
  const char *asked = bl_measures_name (self->expect.measures);

  if (self->expect.live && is_driving (sample->mode))
    return g_strdup_printf (_ ("The meter is set to %s and the board is under power: take the leads off. Such a value "
                               "is wrong, and meter and board can be damaged."),
                            bl_meter_mode_name (sample->mode));
  if (is_amperes (sample->mode) && !serves (sample->mode, self->expect.measures))
    return g_strdup_printf (_ ("The meter is set to %s: its leads are a short circuit between the points. Take them "
                               "off; asked for is %s."),
                            bl_meter_mode_name (sample->mode), asked);
  if (self->expect.measures == BL_MEASURES_CHECK)
    return g_strdup (_ ("A check is answered by eye, not by the meter."));
  if (sample->mode == BL_METER_OTHER)
    return g_strdup_printf (_ ("The meter measures something else, asked for is %s."), asked);
  if (!serves (sample->mode, self->expect.measures))
    return g_strdup_printf (_ ("The meter is set to %s, asked for is %s."), bl_meter_mode_name (sample->mode), asked);
  if (sample->relative && !is_open_over (sample->mode) && sample->mode != BL_METER_F)
    return g_strdup (_ ("The meter shows the difference to a value it keeps (relative): not the reading."));
  return NULL;
}

/* --- Lifted leads ----------------------------------------------------------------------------- */

/* Below this the leads may as well be in the air: a few counts, and for volts what hum and thermal
 * voltages leave on open leads (common practice, no source). */
static double
near_zero (const BlSample *sample)
{
  double counts = 5 * pow (10, -sample->digits);

  switch (sample->mode)
    {
    case BL_METER_V_AC:
    case BL_METER_V_ACDC:
    case BL_METER_V:
      return MAX (0.5, counts);
    case BL_METER_V_DC:
      return MAX (0.05, counts);
    case BL_METER_F:
      return MAX (200e-12, counts);
    default:
      return counts;
    }
}

static gboolean
is_near_zero (const BlSample *sample)
{
  return !sample->over && fabs (sample->value) <= near_zero (sample);
}

static gboolean
looks_lifted (const BlSample *sample)
{
  if (is_open_over (sample->mode))
    return sample->over;
  return is_near_zero (sample);
}

/* The same value but for the counts and a little drift. */
static gboolean
is_same (const BlSample *one, const BlSample *two)
{
  double count = pow (10, -MIN (one->digits, two->digits));

  if (one->mode != two->mode || one->over != two->over)
    return FALSE;
  return one->over || fabs (one->value - two->value) <= MAX (10 * count, 0.02 * fabs (two->value));
}

static gboolean
lift_is_sure (const BlCapture *self, gint64 now)
{
  return self->open_samples >= 2 && now - self->open_since >= BLANK_TIME;
}

static void
count_open (BlCapture *self, const BlSample *sample)
{
  if (self->open_samples++ == 0)
    self->open_since = sample->time_us;
}

/* Volts that wander far from the value taken last: leads in the air near something live. */
static void
look_for_wandering (BlCapture *self, const BlSample *sample)
{
  double low, high;

  if (sample->mode < BL_METER_V_DC || sample->mode > BL_METER_V || sample->over)
    return;
  if (self->has_held && is_same (sample, &self->held))
    {
      bl_capture_window_clear (&self->window);
      return;
    }
  if (!bl_capture_window_wanders (&self->window, &low, &high))
    return;
  self->phase = OPEN;
  self->wandering = TRUE;
  self->open_low = low;
  self->open_high = high;
  self->open_samples = 2;
  self->open_since = sample->time_us - BLANK_TIME;
}

static gboolean
still_wanders (BlCapture *self, const BlSample *sample)
{
  double margin;

  if (!self->wandering || sample->over)
    return FALSE;
  margin = MAX (near_zero (sample), 0.2 * MAX (fabs (self->open_low), fabs (self->open_high)));
  if (sample->value < self->open_low - margin || sample->value > self->open_high + margin)
    return FALSE;
  self->open_low = MIN (self->open_low, sample->value);
  self->open_high = MAX (self->open_high, sample->value);
  return TRUE;
}

/* Moves between lifted, touching and armed. */
static void
follow_leads (BlCapture *self, const BlSample *sample)
{
  gboolean lifted = looks_lifted (sample);

  if (lifted)
    count_open (self, sample);
  switch (self->phase)
    {
    case ON:
      if (lifted)
        {
          self->phase = OPEN;
          self->wandering = FALSE;
        }
      else
        look_for_wandering (self, sample);
      break;
    case OPEN:
      if (lifted || still_wanders (self, sample) || (sample->over && !is_open_over (sample->mode)))
        return;
      if (!lift_is_sure (self, sample->time_us) && self->has_held && is_same (sample, &self->held))
        {
          disarm (self);
          break;
        }
      self->phase = ARMED;
      bl_capture_window_clear (&self->window);
      bl_capture_window_add (&self->window, sample, FALSE);
      break;
    case ARMED:
      if (lifted && lift_is_sure (self, sample->time_us))
        self->phase = OPEN;
      break;
    default:
      g_assert_not_reached ();
    }
  if (!lifted && self->phase != OPEN)
    self->open_samples = 0;
}

/* --- What stands still ------------------------------------------------------------------------ */

/* Why only the key takes a value that stands still; NULL: it needs none. */
static const char *
needs_key (BlCapture *self, const BlSample *sample)
{
  const BlCaptureExpect *expect = &self->expect;
  double value = expect->negative ? -sample->value : sample->value;

  if (expect->dead_proof)
    return _ ("Proof of dead is never taken by itself: known source, point, known source, then the key.");
  if (sample->held)
    return _ ("The meter holds this value (hold, min or max): the key takes it, if it is the one.");
  if (sample->over)
    return is_open_over (sample->mode) ? _ ("Open, or leads in the air: the key takes it.")
                                       : _ ("Over the meter's range: the key takes it as OL.");
  if (is_open_over (sample->mode) && value > expect->open_above)
    return _ ("As good as open: the key takes it.");
  if ((expect->measures == BL_MEASURES_OHM || expect->measures == BL_MEASURES_ESR) && fabs (value) < 0.5)
    return _ ("Leads touching each other show the same: the key takes it.");
  if (expect->measures == BL_MEASURES_DIODE && fabs (value) < 0.02)
    return _ ("Leads touching each other show the same: the key takes it.");
  if (!is_open_over (sample->mode) && is_near_zero (sample))
    return _ ("Leads in the air show the same: the key takes it.");
  if (!isnan (expect->absent_below) && value <= -expect->absent_below &&
      (expect->measures == BL_MEASURES_V_DC || expect->measures == BL_MEASURES_A_DC))
    return _ ("The sign is reversed. Leads swapped? The key takes it as it is.");
  if (!is_open_over (sample->mode) && value < expect->absent_below)
    return _ ("So low that it counts as absent: the key takes it.");
  if (sample->mode == BL_METER_V || sample->mode == BL_METER_A)
    return _ ("The meter does not tell AC from DC: the key takes it.");
  if (expect->measures == BL_MEASURES_DEGC || expect->measures == BL_MEASURES_S ||
      expect->measures == BL_MEASURES_INSULATION || expect->measures == BL_MEASURES_SWING)
    return _ ("Values of this kind are taken by the key.");
  return NULL;
}

static const BlCaptureEvent *
judge (BlCapture *self, const BlSample *sample)
{
  BlSample still;
  const char *why;

  if (!bl_capture_window_still (&self->window, &still))
    return say (self, self->phase == ARMED ? BL_CAPTURE_ARMED : self->half ? BL_CAPTURE_HALF : BL_CAPTURE_SHOW,
                self->half != NULL ? _ ("Now the leads the other way round") : NULL);
  why = needs_key (self, &still);
  if (self->half != NULL && still.over)
    return say (self, BL_CAPTURE_NEEDS_KEY, _ ("OL: with the leads on the part, the key takes it as the other way."));
  if (self->phase == ON && self->has_held && is_same (&still, &self->held))
    return say (self, self->half != NULL ? BL_CAPTURE_HALF : BL_CAPTURE_SHOW,
                self->half != NULL ? _ ("Now the leads the other way round")
                                   : _ ("Taken before: lift the leads, or press the key."));
  if (why != NULL)
    return say (self, BL_CAPTURE_NEEDS_KEY, why);
  if (self->phase != ARMED)
    return say (self, BL_CAPTURE_NEEDS_KEY, _ ("The leads were not seen lifted: lift them, or press the key."));
  return taken (self, &still);
}

/* --- Samples and time ------------------------------------------------------------------------- */

const BlCaptureEvent *
bl_capture_feed (BlCapture *self, const BlSample *given)
{
  BlSample sample;
  g_autofree char *wrong = NULL;

  g_return_val_if_fail (self != NULL && given != NULL, NULL);
  sample = *given;
  if (isinf (sample.value))
    sample.over = TRUE;
  if ((isnan (sample.value) && !sample.over) || (guint) sample.mode >= BL_N_METER_MODES ||
      (self->has_last && sample.time_us < self->last.time_us))
    return unchanged (self);
  if (self->has_last && (sample.mode != self->last.mode || sample.time_us - self->last.time_us >= LOST_AFTER))
    disarm (self);
  self->last = sample;
  self->has_last = TRUE;
  g_free (self->shown);
  self->shown = bl_sample_to_shown (&sample);
  if (!self->asked)
    return say (self, BL_CAPTURE_SHOW, NULL);
  wrong = mismatch (self, &sample);
  if (wrong != NULL)
    {
      disarm (self);
      return say (self, BL_CAPTURE_MISMATCH, wrong);
    }
  bl_capture_window_add (&self->window, &sample, looks_lifted (&sample) && self->phase == ARMED);
  follow_leads (self, &sample);
  return judge (self, &sample);
}

const BlCaptureEvent *
bl_capture_tick (BlCapture *self, gint64 now)
{
  g_return_val_if_fail (self != NULL, NULL);
  if (self->half != NULL && now - self->half_time >= SECOND_HALF_TIME)
    {
      g_free (self->reading);
      self->reading = g_steal_pointer (&self->half);
      return say (self, BL_CAPTURE_TAKEN, NULL);
    }
  if (self->has_last && now - self->last.time_us >= LOST_AFTER)
    {
      disarm (self);
      return say (self, BL_CAPTURE_LOST, _ ("The meter sends no values."));
    }
  return unchanged (self);
}

char *
bl_capture_take (BlCapture *self, gint64 now, GError **error)
{
  g_autofree char *wrong = NULL, *text = NULL, *both = NULL;
  gboolean second;

  g_return_val_if_fail (self != NULL, NULL);
  if (!self->has_last)
    wrong = g_strdup (_ ("The meter has shown nothing yet."));
  else if (now - self->last.time_us >= LOST_AFTER)
    wrong = g_strdup (_ ("The meter sends no values."));
  else if (!self->asked)
    wrong = g_strdup (_ ("No measurement is selected."));
  else if (self->last.over && self->last.value < 0)
    wrong = g_strdup (_ ("The meter is over its range below zero; take a wider range."));
  else
    wrong = mismatch (self, &self->last);
  if (wrong != NULL)
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, wrong);
      return NULL;
    }
  text = bl_sample_to_reading (&self->last);
  /* With the leads still on the first way the key says: that is all. */
  second = self->half != NULL && !is_same (&self->last, &self->held);
  both = second ? g_strconcat (self->half, "/", text, NULL) : NULL;
  g_clear_pointer (&self->half, g_free);
  hold (self, &self->last);
  return both != NULL ? g_steal_pointer (&both) : g_steal_pointer (&text);
}
