/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* What a meter says it measures. */
typedef enum
{
  BL_METER_OTHER, /* nothing that a measurement asks for (power, hFE, duty cycle ...) */
  BL_METER_V_DC,
  BL_METER_V_AC,
  BL_METER_V_ACDC, /* the root of both together */
  BL_METER_V,      /* volts, AC or DC not told */
  BL_METER_A_DC,
  BL_METER_A_AC,
  BL_METER_A_ACDC,
  BL_METER_A,
  BL_METER_OHM,
  BL_METER_ESR,
  BL_METER_DIODE,
  BL_METER_CONTINUITY,
  BL_METER_F,
  BL_METER_HZ,
  BL_METER_DEGC,
  BL_METER_S,
  BL_N_METER_MODES
} BlMeterMode;

/* "V DC", "ohm", "diode" ...: the same in every language, for files and between programs. */
const char *bl_meter_mode_name (BlMeterMode mode);
gboolean bl_meter_mode_parse (const char *name, BlMeterMode *mode);
/* The mode to be chosen for a measurement; BL_METER_OTHER: no meter mode serves it (swing, check, V pp). */
BlMeterMode bl_meter_mode_for (BlMeasures measures);

/* One value as a meter shows it. */
typedef struct
{
  gint64 time_us; /* monotonic */
  double value;   /* SI base units, degC for temperatures; any value where over */
  gboolean over;  /* OL; value < 0: below the range */
  BlMeterMode mode;
  int digits;         /* decimals in base units: one count is 10^-digits ("4.70 k" has -1) */
  gboolean held;      /* hold, min, max: not what the leads show now */
  gboolean relative;  /* difference to a value the meter keeps */
  gboolean unsettled; /* the meter itself says that it has not settled */
} BlSample;

/* What is asked for at the measurement selected. */
typedef struct
{
  BlMeasures measures;
  gboolean live;       /* the board is under power in its state */
  gboolean dead_proof; /* one of the measurements that prove it dead: only the key takes it */
  gboolean both_ways;  /* diode: forward, then the other way round, one entry "0.52/OL" */
  gboolean negative;   /* the nominal is below 0 */
  double absent_below; /* NAN: none */
  double open_above;   /* NAN: none */
} BlCaptureExpect;

/* The expectation by a measurement's band (NULL: none known); live, dead_proof and both_ways FALSE. */
BlCaptureExpect bl_capture_expect_for (BlMeasures measures, const BlBand *band);

typedef enum
{
  BL_CAPTURE_NOTHING,   /* no sample yet, or one of no use */
  BL_CAPTURE_SHOW,      /* value shown; waits for lifted leads, or for them to touch something */
  BL_CAPTURE_ARMED,     /* the value left what open leads show; taken once it stands still */
  BL_CAPTURE_TAKEN,     /* reading is to be entered; said once */
  BL_CAPTURE_HALF,      /* diode both ways: the first is kept, the second is waited for */
  BL_CAPTURE_MISMATCH,  /* the meter measures something else, or something dangerous here */
  BL_CAPTURE_NEEDS_KEY, /* stands still, but only bl_capture_take () takes it */
  BL_CAPTURE_LOST       /* no sample for some seconds */
} BlCaptureKind;

/* What is so after a sample. The texts belong to the capture and hold until its next call. */
typedef struct
{
  BlCaptureKind kind;
  gboolean changed;    /* kind is another than before: the moment for a sound */
  const char *shown;   /* as on the meter, for the screen: "4.980 V", "OL"; NULL: nothing */
  const char *reading; /* TAKEN: text for bl_reading_parse (); else NULL */
  const char *words;   /* SHOW (may be NULL), HALF, MISMATCH, NEEDS_KEY, LOST: a sentence for the screen */
} BlCaptureEvent;

/* Decides which of a meter's values is a reading. Not thread-safe; reads no clock. */
typedef struct BlCapture BlCapture;

BlCapture *bl_capture_new (void);
void bl_capture_free (BlCapture *capture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCapture, bl_capture_free)

/* Another measurement was selected; NULL: none, values are shown only. Disarms: call it once for each
 * selection. The value taken last is remembered, so leads still on that point give nothing. */
void bl_capture_expect (BlCapture *capture, const BlCaptureExpect *expect);

/* A sample came. Samples come in the order of their time; one from the past is NOTHING. Never NULL. */
const BlCaptureEvent *bl_capture_feed (BlCapture *capture, const BlSample *sample);

/* Time passes without a sample (call it some times a second): LOST, or TAKEN where the second half of a
 * diode did not come. Otherwise what was so before, unchanged. Never NULL. */
const BlCaptureEvent *bl_capture_tick (BlCapture *capture, gint64 now_us);

/* Takes the value shown, by key or foot switch. (transfer full) text for bl_reading_parse (); NULL with an
 * error that says why not: nothing shown, lost, another mode than asked for, over range below zero. */
char *bl_capture_take (BlCapture *capture, gint64 now_us, GError **error);

/* A sample as a meter would show it, decimal sign by the locale: "4.980 V", "OL". (transfer full) */
char *bl_sample_to_shown (const BlSample *sample);
/* The same for bl_reading_parse (), with the digits the meter showed. (transfer full) */
char *bl_sample_to_reading (const BlSample *sample);

G_END_DECLS
