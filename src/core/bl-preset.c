/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas of the trade as lines to follow. They are where a band begins: points can be moved after them, and
 * what was read on good boards is better. Rectifiers are ideal but for the drop of their diodes, and without
 * load; a divider is without load.
 *
 * Sources: platinum: IEC 60751, coefficients as quoted in code that cites it. Thermistor, type 1: published
 * table of the ratio to the resistance at 25 degC, "sensor resistance/temperature curves", rev. C (2014);
 * between its points ln R is taken as straight over 1/T, which is exact for a beta model and misses the table's
 * own neighbours by less than 0.3 %. Beta: the definition of B. */
#include "config.h"

#include "bl-preset.h"

#include <glib/gi18n-lib.h>

#define KELVIN 273.15
#define MOST_HALVINGS 6
#define MOST_MISSED 0.005 /* share; a sensor of 5 % or a resistor of 1 % is worse */

static const double type_1[][2] = {
  { -40, 33.36 },  { -30, 17.61 }, { -20, 9.681 }, { -10, 5.525 },  { 0, 3.264 },   { 10, 1.990 },
  { 20, 1.249 },   { 25, 1.0 },    { 30, 0.8056 }, { 40, 0.5325 },  { 50, 0.3601 }, { 60, 0.2487 },
  { 70, 0.1751 },  { 80, 0.1256 }, { 85, 0.1070 }, { 90, 0.09155 }, { 100, 0.06781 }, { 110, 0.05095 },
  { 125, 0.03403 },
};

static double
published_ratio (double celsius)
{
  guint i = 1;

  while (i + 1 < G_N_ELEMENTS (type_1) && celsius > type_1[i][0])
    i++;
  double t0 = 1 / (type_1[i - 1][0] + KELVIN), t1 = 1 / (type_1[i][0] + KELVIN), t = 1 / (celsius + KELVIN);
  double share = (t - t0) / (t1 - t0);
  return exp (log (type_1[i - 1][1]) * (1 - share) + log (type_1[i][1]) * share);
}

/* IEC 60751: the cubic term is for temperatures below 0 only. */
static double
platinum_ratio (double t)
{
  const double a = 3.9083e-3, b = -5.775e-7, c = t < 0 ? -4.183e-12 : 0;

  return 1 + a * t + b * t * t + c * (t - 100) * t * t * t;
}

BlPreset
bl_preset_usual (BlPresetKind kind)
{
  static const BlPreset usual[] = {
    { BL_PRESET_FULL_WAVE, 0.9, 0 },    /* drop of a rectifier diode at some amperes; common practice, no source */
    { BL_PRESET_HALF_WAVE, 0.7, 0 },    /* at low power: 0.6 to 0.8 V, shop's data of the 4007 type */
    { BL_PRESET_RATIO, 1, 0 },
    { BL_PRESET_DIVIDER, 10e3, 10e3 },
    { BL_PRESET_BETA, 10e3, 3950 },
    { BL_PRESET_TYPE_1, 10e3, 0 },
    { BL_PRESET_PLATINUM, 100, 0 },
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (usual) == BL_N_PRESETS);

  g_return_val_if_fail (kind < BL_N_PRESETS, usual[BL_PRESET_RATIO]);
  return usual[kind];
}

double
bl_preset_at (const BlPreset *preset, double x)
{
  double a, b;

  g_return_val_if_fail (preset != NULL, NAN);
  a = preset->a;
  b = preset->b;
  switch (preset->kind)
    {
    case BL_PRESET_FULL_WAVE:
      return x < 0 ? NAN : fmax (0, G_SQRT2 * x - 2 * a);
    case BL_PRESET_HALF_WAVE:
      return x < 0 ? NAN : fmax (0, G_SQRT2 * x - a);
    case BL_PRESET_RATIO:
      return a * x + b;
    case BL_PRESET_DIVIDER:
      return a >= 0 && b >= 0 && a + b > 0 ? x * b / (a + b) : NAN;
    case BL_PRESET_BETA:
      return x < -40 || x > 125 || a <= 0 || b <= 0 ? NAN
                                                     : a * exp (b * (1 / (x + KELVIN) - 1 / (25 + KELVIN)));
    case BL_PRESET_TYPE_1:
      return x < -40 || x > 125 || a <= 0 ? NAN : a * published_ratio (x);
    case BL_PRESET_PLATINUM:
      return x < -200 || x > 850 || a <= 0 ? NAN : a * platinum_ratio (x);
    case BL_N_PRESETS:
    default:
      return NAN;
    }
}

/* Halves the piece from x0 to x1 until it is straight enough; appends what lies between, then x1. */
static void
halve (const BlPreset *preset, double x0, double x1, double largest, int left, GArray *points)
{
  double y0 = bl_preset_at (preset, x0), y1 = bl_preset_at (preset, x1), middle = (x0 + x1) / 2;
  double y = bl_preset_at (preset, middle), miss = 0;
  double last[] = { x1, y1 };

  for (int i = 1; i < 4; i++)
    {
      double at = x0 + (x1 - x0) * i / 4, share = i / 4.0, curve = bl_preset_at (preset, at);
      miss = fmax (miss, fabs (y0 * (1 - share) + y1 * share - curve) / fmax (fabs (curve), 0.15 * largest));
    }
  if (miss > MOST_MISSED && left > 0 && !isnan (y))
    {
      halve (preset, x0, middle, largest, left - 1, points);
      halve (preset, middle, x1, largest, left - 1, points);
    }
  else
    g_array_append_vals (points, last, 2);
}

GArray *
bl_preset_points (const BlPreset *preset, double from, double to, GError **error)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
  double first[2];

  g_return_val_if_fail (preset != NULL, NULL);
  first[0] = from;
  first[1] = bl_preset_at (preset, from);
  if (!(from < to) || !isfinite (first[1]) || !isfinite (bl_preset_at (preset, to)))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   _ ("this formula has no values from %g to %g with these figures"), from, to);
      return NULL;
    }
  g_array_append_vals (points, first, 2);
  halve (preset, from, to, fmax (fabs (first[1]), fabs (bl_preset_at (preset, to))), MOST_HALVINGS, points);
  return g_steal_pointer (&points);
}

char *
bl_preset_words (const BlPreset *preset, const char *followed)
{
  g_return_val_if_fail (preset != NULL && followed != NULL, NULL);
  g_autofree char *a = bl_quantity_to_text (preset->a, "ohm", 6), *b = bl_quantity_to_text (preset->b, "ohm", 6);

  switch (preset->kind)
    {
    case BL_PRESET_FULL_WAVE:
      return g_strdup_printf (_ ("computed: √2 × %s − 2 × %g V, capacitor behind a bridge, no load"), followed,
                              preset->a);
    case BL_PRESET_HALF_WAVE:
      return g_strdup_printf (_ ("computed: √2 × %s − %g V, capacitor behind one diode, no load"), followed, preset->a);
    case BL_PRESET_RATIO:
      return preset->b == 0 ? g_strdup_printf (_ ("computed: %g × %s"), preset->a, followed)
                            : g_strdup_printf (_ ("computed: %g × %s %+g"), preset->a, followed, preset->b);
    case BL_PRESET_DIVIDER:
      return g_strdup_printf (_ ("computed: %s divided by %s over %s, no load"), followed, a, b);
    case BL_PRESET_BETA:
      return g_strdup_printf (_ ("computed: %s at 25 °C, B %g K, at the temperature %s"), a, preset->b, followed);
    case BL_PRESET_TYPE_1:
      return g_strdup_printf (_ ("published curve of thermistor type 1, %s at 25 °C, at the temperature %s"), a,
                              followed);
    case BL_PRESET_PLATINUM:
      return g_strdup_printf (_ ("computed: IEC 60751, %s at 0 °C, at the temperature %s"), a, followed);
    case BL_N_PRESETS:
    default:
      return g_strdup ("");
    }
}

double
bl_ripple_pp (double amperes, double frequency, double farad, int pulses)
{
  g_return_val_if_fail (frequency > 0 && farad > 0 && pulses > 0, NAN);
  return amperes / (pulses * frequency * farad);
}
