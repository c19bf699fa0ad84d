/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* A meter of the shop: which ranges it has and how well each of them measures. What a reading needs of
 * it is the accuracy of one range, in the notation of bl_meter_parse (). Numbers left out are NAN. */

typedef struct
{
  BlMeasures measures;   /* what the range is for; no swing and no check */
  double full_scale;     /* the largest value it can show, SI base units */
  double percent;        /* limit of error: per cent of the reading ... */
  double counts;         /* ... plus so many counts */
  double count;          /* value of one count, SI base units */
  double input_ohm;      /* its own input resistance; NAN: the meter's */
  double from_hz, to_hz; /* AC: between which frequencies the figures hold; NAN: not said */
} BlMeterRange;

typedef struct
{
  gint64 id; /* in the library; 0: not kept yet */
  char *name;
  gboolean true_rms;    /* FALSE: it averages the rectified value and is scaled for a sine */
  double crest_factor;  /* AC: up to which its figures hold */
  double input_ohm;     /* of its voltage ranges */
  gint64 calibrated;    /* UTC, microseconds since 1970; 0: not known */
  int interval_months;  /* from one calibration to the next; 0: none is kept */
  char *driver, *connection; /* how it is read live; NULL: it is not */
  GPtrArray *ranges;    /* BlMeterRange, never NULL; in the order they are shown */
} BlShopMeter;

/* A meter without ranges. Returns: (transfer full). */
BlShopMeter *bl_shop_meter_new (const char *name);
BlShopMeter *bl_shop_meter_copy (const BlShopMeter *meter);
void bl_shop_meter_free (BlShopMeter *meter);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlShopMeter, bl_shop_meter_free)

/* A range with everything else left out. Returns: (transfer full); freed with g_free (). */
BlMeterRange *bl_meter_range_new (BlMeasures measures, double full_scale);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlMeterRange, g_free)

/* Adds a range, in its place by kind and full scale. Returns: (transfer none). */
BlMeterRange *bl_shop_meter_add_range (BlShopMeter *meter, BlMeasures measures, double full_scale, double percent,
                                       double counts, double count);

/* The whole meter as JSON, its id not among it:
 * {"format": "benchlore-meter", "version": 1, "name": "", "true_rms": true, "crest_factor": 3,
 *  "input_ohm": 10e6, "calibrated": "2026-03-01", "interval_months": 12, "driver": "", "connection": "",
 *  "ranges": [{"measures": "V DC", "full_scale": 4, "percent": 0.5, "counts": 3, "count": 0.001,
 *              "input_ohm": 10e6, "from_hz": 45, "to_hz": 400}]}
 * Quantities may also be written in the trade's notation. Returns: (transfer full). */
char *bl_shop_meter_to_json (const BlShopMeter *meter);
/* Reads it (length -1: NUL-terminated). Returns NULL with the path and the reason of the first problem. */
BlShopMeter *bl_shop_meter_from_json (const char *text, gssize length, GError **error);
/* The rules of such a meter: it has a name, its figures are possible, no two ranges are the same one. */
gboolean bl_shop_meter_validate (const BlShopMeter *meter, GError **error);

/* --- which range a reading was taken in --- */

#define BL_METER_AUTO (-1)

/* The range a reading was taken in and, in *spec (transfer full; may be NULL), its accuracy as
 * bl_meter_parse () reads it. text: the reading as it was typed. forced: index in meter->ranges where the
 * technician set it, else BL_METER_AUTO. Then the digits typed tell it: a number with a decimal sign was read
 * in the range whose count is its last digit, if that range holds it; other numbers, and digits that no range
 * shows, in the smallest range that holds the value (of frequency limits the ones listed first). OL is over
 * the largest. A swing is read in the ranges of V DC, continuity also in those of ohm.
 * NULL with BL_CORE_ERROR_UNKNOWN where the meter has no range for it, BL_CORE_ERROR_INVALID where the value
 * is beyond every one (or beyond the one forced), BL_CORE_ERROR_PARSE where text is no reading.
 * Returns: (transfer none). */
const BlMeterRange *bl_shop_meter_choose (const BlShopMeter *meter, BlMeasures measures, const char *text, int forced,
                                          char **spec, GError **error);
/* The largest range for measures; NULL: none. */
const BlMeterRange *bl_shop_meter_largest (const BlShopMeter *meter, BlMeasures measures);
/* "0.5%+3@0.001 in 10M" of a range. Returns: (transfer full). */
char *bl_meter_range_spec (const BlShopMeter *meter, const BlMeterRange *range);
/* "4 V DC", "400 kΩ", by the locale. Returns: (transfer full). */
char *bl_meter_range_name (const BlMeterRange *range);
/* Input resistance of the range, ohm; NAN: not known. */
double bl_meter_range_input (const BlShopMeter *meter, const BlMeterRange *range);
/* Value of the last digit of a number as it was typed, SI base units: 0.01 of "4.98", 10 of "4.98k". NAN where
 * it has no decimal sign, for then zeros may have been left out. */
double bl_reading_resolution (const char *text, BlMeasures measures);

/* --- its calibration --- */

typedef enum
{
  BL_CALIBRATION_UNKNOWN, /* no date, or no interval */
  BL_CALIBRATION_GOOD,
  BL_CALIBRATION_SOON,    /* due within 30 days */
  BL_CALIBRATION_PAST
} BlCalibration;
/* due (may be NULL): set to when it is due, UTC microseconds, 0 where that is unknown. Months are those of the
 * calendar. */
BlCalibration bl_shop_meter_calibration (const BlShopMeter *meter, gint64 now, gint64 *due);

/* --- meters to begin from --- */

/* Adds ranges as a meter of so many counts has them, from first full scale up by tens to last, which need not
 * be a step of ten ("600"): counts 4000 gives 4 V with 0.001 V, 40 V with 0.01 V ... */
void bl_shop_meter_add_ranges (BlShopMeter *meter, BlMeasures measures, double first, double last, guint counts_shown,
                               double percent, double counts);
/* Invented examples with figures as such meters commonly have them; NULL after the last. (transfer full) */
BlShopMeter *bl_shop_meter_example (guint index);

G_END_DECLS
