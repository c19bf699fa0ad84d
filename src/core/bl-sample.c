/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A meter's value as text: names of what it measures, what it shows, and what is entered as a reading.
 *
 * The digits are those that the meter showed: 4.980 V stays 4.980, since the last nought says how finely
 * it was read. The quantity writers drop such noughts, so the few lines are here again. A prefix is taken
 * outside 0.1 to 1000 as meters do; microfarads go up to the farad, temperatures have no prefix. */
#include "config.h"

#include "bl-capture.h"

#include <langinfo.h>
#include <string.h>

#include <glib/gi18n-lib.h>

typedef struct
{
  const char *name, *unit; /* unit as bl_quantity_parse () knows it */
} Mode;

static const Mode modes[BL_N_METER_MODES] = {
  [BL_METER_OTHER] = { "other", NULL },      [BL_METER_V_DC] = { "V DC", "V" },
  [BL_METER_V_AC] = { "V AC", "V" },         [BL_METER_V_ACDC] = { "V AC+DC", "V" },
  [BL_METER_V] = { "V", "V" },               [BL_METER_A_DC] = { "A DC", "A" },
  [BL_METER_A_AC] = { "A AC", "A" },         [BL_METER_A_ACDC] = { "A AC+DC", "A" },
  [BL_METER_A] = { "A", "A" },               [BL_METER_OHM] = { "ohm", "ohm" },
  [BL_METER_ESR] = { "ESR", "ohm" },         [BL_METER_DIODE] = { "diode", "V" },
  [BL_METER_CONTINUITY] = { "continuity", "ohm" }, [BL_METER_F] = { "F", "F" },
  [BL_METER_HZ] = { "Hz", "Hz" },            [BL_METER_DEGC] = { "degC", "degC" },
  [BL_METER_S] = { "s", "s" },
};

const char *
bl_meter_mode_name (BlMeterMode mode)
{
  g_return_val_if_fail ((guint) mode < BL_N_METER_MODES, NULL);
  return modes[mode].name;
}

gboolean
bl_meter_mode_parse (const char *name, BlMeterMode *mode)
{
  g_return_val_if_fail (name != NULL && mode != NULL, FALSE);
  for (guint i = 0; i < BL_N_METER_MODES; i++)
    if (strcmp (modes[i].name, name) == 0)
      {
        *mode = i;
        return TRUE;
      }
  return FALSE;
}

BlMeterMode
bl_meter_mode_for (BlMeasures measures)
{
  switch (measures)
    {
    case BL_MEASURES_V_DC:
      return BL_METER_V_DC;
    case BL_MEASURES_V_AC:
      return BL_METER_V_AC;
    case BL_MEASURES_A_DC:
      return BL_METER_A_DC;
    case BL_MEASURES_A_AC:
      return BL_METER_A_AC;
    case BL_MEASURES_HZ:
      return BL_METER_HZ;
    case BL_MEASURES_DEGC:
      return BL_METER_DEGC;
    case BL_MEASURES_F:
      return BL_METER_F;
    case BL_MEASURES_S:
      return BL_METER_S;
    case BL_MEASURES_OHM:
    case BL_MEASURES_INSULATION:
      return BL_METER_OHM;
    case BL_MEASURES_ESR:
      return BL_METER_ESR;
    case BL_MEASURES_DIODE:
      return BL_METER_DIODE;
    case BL_MEASURES_CONTINUITY:
      return BL_METER_CONTINUITY;
    case BL_MEASURES_V_PP:
    case BL_MEASURES_SWING:
    case BL_MEASURES_CHECK:
    case BL_N_MEASURES:
    default:
      return BL_METER_OTHER;
    }
}

/* Exponent of the prefix a value is shown with, 0 for none. */
static int
scale_of (double value, int digits, const char *unit)
{
  double size = fabs (value);
  int scale;

  if (size < 0.5 * pow (10, -digits) || (size >= 0.1 && size < 1000) || g_strcmp0 (unit, "degC") == 0)
    return 0;
  scale = (int) floor (log10 (size) / 3) * 3;
  if (scale == -3 && g_strcmp0 (unit, "F") == 0)
    scale = -6;
  if (scale > 0 && g_strcmp0 (unit, "s") == 0)
    scale = 0;
  return CLAMP (scale, -12, 9);
}

/* The number with the meter's digits; *scale is the exponent of the prefix that goes with it. */
static char *
number (const BlSample *sample, int *scale)
{
  char format[16], buffer[64];

  *scale = scale_of (sample->value, sample->digits, modes[sample->mode].unit);
  g_snprintf (format, sizeof format, "%%.%df", CLAMP (sample->digits + *scale, 0, 15));
  g_ascii_formatd (buffer, sizeof buffer, format, sample->value * pow (10, -*scale));
  /* -0.000 says no more than 0.000 and reads like a fault. */
  if (buffer[0] == '-' && strpbrk (buffer, "123456789") == NULL)
    return g_strdup (buffer + 1);
  return g_strdup (buffer);
}

static const char *
prefix (int scale, const char *micro)
{
  static const char *const names[] = { "p", "n", "", "m", "", "k", "M", "G" };

  return scale == -6 ? micro : names[(scale + 12) / 3];
}

char *
bl_sample_to_shown (const BlSample *sample)
{
  g_autoptr (GString) out = NULL;
  g_autofree char *digits = NULL;
  const char *unit;
  int scale;

  g_return_val_if_fail (sample != NULL && (guint) sample->mode < BL_N_METER_MODES, NULL);
  if (sample->over)
    return g_strdup (sample->value < 0 ? "-OL" : "OL");
  digits = number (sample, &scale);
  out = g_string_new (digits);
  g_string_replace (out, ".", nl_langinfo (RADIXCHAR), 1);
  unit = modes[sample->mode].unit;
  if (unit == NULL)
    unit = "";
  else if (strcmp (unit, "ohm") == 0)
    unit = "Ω";
  else if (strcmp (unit, "degC") == 0)
    unit = "°C";
  if (*unit != '\0' || scale != 0)
    g_string_append_printf (out, " %s%s", prefix (scale, "µ"), unit);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

char *
bl_sample_to_reading (const BlSample *sample)
{
  g_autofree char *digits = NULL;
  int scale;

  g_return_val_if_fail (sample != NULL && (guint) sample->mode < BL_N_METER_MODES, NULL);
  if (sample->over)
    return g_strdup ("OL");
  digits = number (sample, &scale);
  return g_strconcat (digits, prefix (scale, "u"), NULL);
}
