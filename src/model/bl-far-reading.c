/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A slip in typing (a comma left out, a wrong prefix) looks like a wild fault and would turn all
 * odds. Magnitudes only: a reversed lead is no slip of this kind. The factor of ten is ours: a
 * comma left out makes at least that, and no fault makes more than its supply, which is known where
 * volts are.
 */
#include "config.h"

#include "bl-far-reading.h"

#include <math.h>

#define FAR 10.0

static void
reach (double *most, double value)
{
  if (isfinite (value))
    *most = MAX (*most, fabs (value));
}

/* The largest magnitude a band speaks of; 0: it speaks of none. */
static double
most_of (const BlBand *band)
{
  const double limits[] = { band->nominal,       band->low,        band->high,   band->absent_below,
                            band->shorted_below, band->open_above, band->min[0], band->min[1],
                            band->max[0],        band->max[1] };
  double most = 0;

  for (guint i = 0; i < G_N_ELEMENTS (limits); i++)
    reach (&most, limits[i]);
  for (guint i = 0; band->marks != NULL && i < band->marks->len; i++)
    {
      reach (&most, g_array_index (band->marks, BlBandMark, i).low);
      reach (&most, g_array_index (band->marks, BlBandMark, i).high);
    }
  return most;
}

static gboolean
in_volts (BlMeasures measures)
{
  switch (measures)
    {
    case BL_MEASURES_V_DC:
    case BL_MEASURES_V_AC:
    case BL_MEASURES_V_PP:
    case BL_MEASURES_DIODE:
    case BL_MEASURES_SWING:
      return TRUE;
    default:
      return FALSE;
    }
}

static gboolean
can_be_any (BlMeasures measures)
{
  return measures == BL_MEASURES_OHM || measures == BL_MEASURES_ESR ||
         measures == BL_MEASURES_CONTINUITY || measures == BL_MEASURES_INSULATION ||
         measures == BL_MEASURES_CHECK;
}

gboolean
bl_reading_is_far (BlMeasures measures, const BlBand *band, double volts, const BlReading *reading)
{
  g_return_val_if_fail (reading != NULL, FALSE);
  double most = band != NULL ? most_of (band) : 0, value = 0;

  if (can_be_any (measures) ||
      (reading->kind != BL_READING_VALUE && reading->kind != BL_READING_RANGE))
    return FALSE;
  if (in_volts (measures))
    reach (&most, volts);
  reach (&value, reading->value);
  reach (&value, reading->high);
  return most > 0 && value > FAR * most;
}
