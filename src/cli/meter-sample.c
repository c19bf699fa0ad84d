/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meter library says of a value, in the program's words.
 *
 * Values come in base units, but for temperatures, which are brought to degC. Where a meter does not tell AC
 * from DC the mode says so and nobody guesses. A continuity test that tells only whether it beeps has no
 * value and counts as another quantity. */
#include "config.h"

#include "meter.h"

#include <math.h>
#include <string.h>

static const struct
{
  guint32 quantity;
  guint64 flags;
  BlMeterMode mode;
} quantities[] = {
  { SR_MQ_VOLTAGE, SR_MQFLAG_DC | SR_MQFLAG_DIODE, BL_METER_DIODE },
  { SR_MQ_VOLTAGE, SR_MQFLAG_DIODE, BL_METER_DIODE },
  { SR_MQ_VOLTAGE, SR_MQFLAG_AC | SR_MQFLAG_DC, BL_METER_V_ACDC },
  { SR_MQ_VOLTAGE, SR_MQFLAG_DC, BL_METER_V_DC },
  { SR_MQ_VOLTAGE, SR_MQFLAG_AC, BL_METER_V_AC },
  { SR_MQ_VOLTAGE, 0, BL_METER_V },
  { SR_MQ_CURRENT, SR_MQFLAG_AC | SR_MQFLAG_DC, BL_METER_A_ACDC },
  { SR_MQ_CURRENT, SR_MQFLAG_DC, BL_METER_A_DC },
  { SR_MQ_CURRENT, SR_MQFLAG_AC, BL_METER_A_AC },
  { SR_MQ_CURRENT, 0, BL_METER_A },
  { SR_MQ_RESISTANCE, 0, BL_METER_OHM },
  { SR_MQ_PARALLEL_RESISTANCE, 0, BL_METER_OHM },
  { SR_MQ_SERIES_RESISTANCE, 0, BL_METER_ESR },
  { SR_MQ_CONTINUITY, 0, BL_METER_CONTINUITY },
  { SR_MQ_CAPACITANCE, 0, BL_METER_F },
  { SR_MQ_PARALLEL_CAPACITANCE, 0, BL_METER_F },
  { SR_MQ_SERIES_CAPACITANCE, 0, BL_METER_F },
  { SR_MQ_FREQUENCY, 0, BL_METER_HZ },
  { SR_MQ_TEMPERATURE, 0, BL_METER_DEGC },
  { SR_MQ_TIME, 0, BL_METER_S },
  { SR_MQ_PULSE_WIDTH, 0, BL_METER_S },
};

gboolean
meter_quantity (BlMeterMode mode, guint32 *quantity, guint64 *flags)
{
  for (gsize i = 0; i < G_N_ELEMENTS (quantities); i++)
    if (quantities[i].mode == mode)
      {
        *quantity = quantities[i].quantity;
        *flags = quantities[i].flags;
        return TRUE;
      }
  return FALSE;
}

static BlMeterMode
mode_of (const struct sr_analog_meaning *meaning)
{
  if (meaning->unit == SR_UNIT_BOOLEAN || meaning->unit == SR_UNIT_PERCENTAGE ||
      meaning->unit == SR_UNIT_DECIBEL_MW || meaning->unit == SR_UNIT_DECIBEL_VOLT)
    return BL_METER_OTHER;
  for (gsize i = 0; i < G_N_ELEMENTS (quantities); i++)
    if (quantities[i].quantity == (guint32) meaning->mq &&
        ((guint64) meaning->mqflags & quantities[i].flags) == quantities[i].flags)
      return quantities[i].mode;
  return BL_METER_OTHER;
}

static void
to_celsius (BlSample *sample, enum sr_unit unit)
{
  if (unit == SR_UNIT_KELVIN)
    sample->value -= 273.15;
  else if (unit == SR_UNIT_FAHRENHEIT)
    sample->value = (sample->value - 32) / 1.8;
}

/* The values as doubles. A meter of more than seven digits sends doubles, which the library would cut
 * to floats. (transfer full) */
static double *
values_of (const struct sr_datafeed_analog *analog, guint n)
{
  const struct sr_analog_encoding *encoding = analog->encoding;
  double *values = g_new0 (double, n);
  g_autofree float *floats = g_new0 (float, n);

  if (encoding->unitsize == sizeof (double) && encoding->is_float &&
      encoding->is_bigendian == (G_BYTE_ORDER == G_BIG_ENDIAN) && encoding->scale.q != 0 && encoding->offset.q != 0)
    {
      memcpy (values, analog->data, n * sizeof (double));
      for (guint i = 0; i < n; i++)
        values[i] = values[i] * (double) encoding->scale.p / (double) encoding->scale.q +
                    (double) encoding->offset.p / (double) encoding->offset.q;
      return values;
    }
  if (sr_analog_to_float (analog, floats) != SR_OK)
    g_clear_pointer (&values, g_free);
  for (guint i = 0; values != NULL && i < n; i++)
    values[i] = floats[i];
  return values;
}

/* A value that is no number is shown as OL: what was too large, and a diode that does not conduct. */
static void
add (GArray *to, BlSample sample, double value, enum sr_unit unit)
{
  sample.value = value;
  sample.over = !isfinite (value) || fabs (value) >= 1e37;
  if (sample.over)
    sample.value = isfinite (value) || isinf (value) ? copysign (1, value) : 1;
  else
    to_celsius (&sample, unit);
  g_array_append_val (to, sample);
}

gboolean
meter_samples (const struct sr_datafeed_analog *analog, const struct sr_channel *channel, BlSample *sample,
               GArray *values)
{
  const struct sr_analog_meaning *meaning = analog->meaning;
  guint channels = g_slist_length (meaning->channels);
  int place = g_slist_index (meaning->channels, channel);
  g_autofree double *all = NULL;

  if (place < 0 || analog->num_samples == 0)
    return FALSE;
  all = values_of (analog, analog->num_samples * channels);
  if (all == NULL)
    return FALSE;
  sample->mode = mode_of (meaning);
  sample->digits = CLAMP (analog->encoding->digits, -12, 15);
  sample->held = (meaning->mqflags & (SR_MQFLAG_HOLD | SR_MQFLAG_MAX | SR_MQFLAG_MIN | SR_MQFLAG_AVG)) != 0;
  sample->relative = (meaning->mqflags & (SR_MQFLAG_RELATIVE | SR_MQFLAG_REFERENCE)) != 0;
  sample->unsettled = (meaning->mqflags & SR_MQFLAG_UNSTABLE) != 0;
  for (guint i = 0; i < analog->num_samples; i++)
    add (values, *sample, all[i * channels + (guint) place], meaning->unit);
  return TRUE;
}
