/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which range of a meter a reading was taken in, and its accuracy in words.
 *
 * A meter that ranges by itself takes the smallest range that holds the value; one that was set by
 * hand, or that waits a little before it changes down, does not. The digits tell: 3.98 was read where
 * the last digit is 0.01, not where 3.980 would have shown. A number typed without a decimal sign says
 * nothing, for people leave zeros out ("12" for 12.00), and neither do digits that no range shows.
 *
 * Some forty ranges at most, so everything is looked through. It judges nothing (bl-verdict.c). */
#include "config.h"

#include "bl-shop-meter.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* Whether a range of kind may stand for measures; a meter's own kind is asked for first. */
static BlMeasures
stands_for (BlMeasures measures)
{
  return measures == BL_MEASURES_SWING ? BL_MEASURES_V_DC
         : measures == BL_MEASURES_CONTINUITY ? BL_MEASURES_OHM
                                              : measures;
}

/* What the meter's ranges for measures are called: measures itself where there is one. BL_N_MEASURES: none. */
static BlMeasures
kind_on (const BlShopMeter *meter, BlMeasures measures)
{
  BlMeasures other = stands_for (measures), found = BL_N_MEASURES;

  for (guint i = 0; i < bl_len (meter->ranges); i++)
    {
      BlMeasures kind = ((const BlMeterRange *) bl_at (meter->ranges, i))->measures;
      if (kind == measures)
        return kind;
      if (kind == other)
        found = kind;
    }
  return found;
}

const BlMeterRange *
bl_shop_meter_largest (const BlShopMeter *meter, BlMeasures measures)
{
  const BlMeterRange *largest = NULL;

  g_return_val_if_fail (meter != NULL, NULL);
  BlMeasures kind = kind_on (meter, measures);
  for (guint i = 0; i < bl_len (meter->ranges); i++)
    {
      const BlMeterRange *range = bl_at (meter->ranges, i);
      if (range->measures == kind && (largest == NULL || range->full_scale > largest->full_scale))
        largest = range;
    }
  return largest;
}

/* --- digits --- */

/* The place of the decimal sign in the number at the beginning of text, and how many digits follow it; a
 * prefix letter between digits is one (IEC 60062). FALSE where there is none. */
static gboolean
decimals_of (const char *text, guint *n_after)
{
  const char *at = text;

  while (*at == '+' || *at == '-' || g_ascii_isspace (*at) || g_str_has_prefix (at, "−"))
    at += g_str_has_prefix (at, "−") ? strlen ("−") : 1;
  while (g_ascii_isdigit (*at))
    at++;
  if (*at == '\0')
    return FALSE;
  if (*at != '.' && *at != ',' && !g_ascii_isalpha (*at) && (guchar) *at < 0x80)
    return FALSE;
  at = g_utf8_next_char (at);
  for (*n_after = 0; g_ascii_isdigit (at[*n_after]); ++*n_after)
    ;
  return *n_after > 0;
}

double
bl_reading_resolution (const char *text, BlMeasures measures)
{
  g_autofree char *trimmed = NULL, *last = NULL;
  double one, two;
  guint n_after;

  g_return_val_if_fail (text != NULL, NAN);
  trimmed = g_strstrip (g_strdup (text));
  if (!decimals_of (trimmed, &n_after))
    return NAN;
  /* The same number with its last digit one up or down tells what that digit is worth, prefix and all. */
  last = g_strdup (trimmed);
  for (gsize i = strlen (last); i > 0; i--)
    if (g_ascii_isdigit (last[i - 1]))
      {
        last[i - 1] = last[i - 1] == '0' ? '1' : (char) (last[i - 1] - 1);
        break;
      }
  if (!bl_quantity_parse (trimmed, bl_measures_unit (measures), &one, NULL)
      || !bl_quantity_parse (last, bl_measures_unit (measures), &two, NULL))
    return NAN;
  return fabs (one - two);
}

/* TRUE when a range with this value of one count shows digits down to resolution: a count of 0.002 does so
 * down to 0.001. */
static gboolean
shows (double count, double resolution)
{
  double digit = pow (10, floor (log10 (count) + 1e-9));

  return fabs (digit - resolution) < 1e-6 * digit;
}

/* --- choosing --- */

/* The smallest range of kind that holds value; of those whose last digit is worth resolution where that is
 * a number. */
static const BlMeterRange *
smallest (const BlShopMeter *meter, BlMeasures kind, double value, double resolution)
{
  const BlMeterRange *found = NULL;

  for (guint i = 0; i < bl_len (meter->ranges); i++)
    {
      const BlMeterRange *range = bl_at (meter->ranges, i);
      if (range->measures != kind || fabs (value) > range->full_scale
          || (!isnan (resolution) && !(range->count > 0 && shows (range->count, resolution))))
        continue;
      if (found == NULL || range->full_scale < found->full_scale)
        found = range;
    }
  return found;
}

static const BlMeterRange *
beyond (const BlShopMeter *meter, const BlMeterRange *range, double value, GError **error)
{
  g_autofree char *shown = bl_quantity_format (value, bl_measures_unit (range->measures), 4);
  g_autofree char *name = bl_meter_range_name (range);

  /* Translators: value, range, meter: "750 V is beyond the 600 V AC range of Handheld". */
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("%s is beyond the %s range of “%s”"), shown, name,
               meter->name);
  return NULL;
}

static const BlMeterRange *
choose_forced (const BlShopMeter *meter, const BlReading *reading, double value, guint index, GError **error)
{
  const BlMeterRange *range = bl_at (meter->ranges, index);

  if (reading->kind != BL_READING_OVER && fabs (value) > range->full_scale)
    return beyond (meter, range, value, error);
  return range;
}

static const BlMeterRange *
choose (const BlShopMeter *meter,
        BlMeasures measures,
        const char *text,
        const BlReading *reading,
        int forced,
        GError **error)
{
  const BlMeterRange *largest = bl_shop_meter_largest (meter, measures), *range = NULL;
  double value = reading->value;

  if (largest == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("“%s” has no range for %s"), meter->name,
                   bl_measures_name (measures));
      return NULL;
    }
  if (reading->kind == BL_READING_RANGE)
    value = fmax (fabs (reading->value), fabs (reading->high));
  if (forced >= 0 && forced < (int) bl_len (meter->ranges))
    return choose_forced (meter, reading, value, (guint) forced, error);
  if (reading->kind != BL_READING_VALUE && reading->kind != BL_READING_RANGE)
    return largest;
  if (reading->kind == BL_READING_VALUE)
    {
      double resolution = bl_reading_resolution (text, measures);
      if (!isnan (resolution))
        range = smallest (meter, largest->measures, value, resolution);
    }
  if (range == NULL)
    range = smallest (meter, largest->measures, value, NAN);
  return range != NULL ? range : beyond (meter, largest, value, error);
}

const BlMeterRange *
bl_shop_meter_choose (const BlShopMeter *meter,
                      BlMeasures measures,
                      const char *text,
                      int forced,
                      char **spec,
                      GError **error)
{
  const BlMeterRange *range;
  BlReading reading;

  g_return_val_if_fail (meter != NULL && text != NULL, NULL);
  if (spec != NULL)
    *spec = NULL;
  if (!bl_reading_parse (text, measures, &reading, error))
    return NULL;
  range = choose (meter, measures, text, &reading, forced, error);
  if (range != NULL && spec != NULL)
    *spec = bl_meter_range_spec (meter, range);
  return range;
}

/* --- words --- */

/* The shortest decimal that reads back as value to nine digits, with the point. */
static void
append_number (GString *out, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  for (int digits = 6; digits <= 9; digits++)
    {
      g_autofree char *format = g_strdup_printf ("%%.%dg", digits);
      g_ascii_formatd (buffer, sizeof buffer, format, value);
      if (fabs (g_ascii_strtod (buffer, NULL) - value) <= 1e-9 * fabs (value))
        break;
    }
  g_string_append (out, buffer);
}

double
bl_meter_range_input (const BlShopMeter *meter, const BlMeterRange *range)
{
  g_return_val_if_fail (meter != NULL && range != NULL, NAN);
  if (range->measures > BL_MEASURES_V_PP)
    return NAN;
  return isnan (range->input_ohm) ? meter->input_ohm : range->input_ohm;
}

char *
bl_meter_range_spec (const BlShopMeter *meter, const BlMeterRange *range)
{
  g_return_val_if_fail (meter != NULL && range != NULL, NULL);
  GString *spec = g_string_new (NULL);
  double input = bl_meter_range_input (meter, range);

  if (range->percent > 0)
    {
      append_number (spec, range->percent);
      g_string_append_c (spec, '%');
    }
  if (range->counts > 0)
    {
      if (spec->len > 0)
        g_string_append_c (spec, '+');
      append_number (spec, range->counts);
      g_string_append_c (spec, '@');
      append_number (spec, range->count);
    }
  if (input > 0)
    {
      static const struct
      {
        double factor;
        const char *prefix;
      } steps[] = { { 1e9, "G" }, { 1e6, "M" }, { 1e3, "k" }, { 1, "" } };
      guint i = 0;
      while (i < G_N_ELEMENTS (steps) - 1 && input < steps[i].factor)
        i++;
      g_string_append_printf (spec, "%sin ", spec->len > 0 ? " " : "");
      append_number (spec, input / steps[i].factor);
      g_string_append (spec, steps[i].prefix);
    }
  return g_string_free (spec, FALSE);
}

char *
bl_meter_range_name (const BlMeterRange *range)
{
  g_autofree char *scale = NULL;

  g_return_val_if_fail (range != NULL, NULL);
  scale = bl_quantity_format (range->full_scale, bl_measures_unit (range->measures), 4);
  switch (range->measures)
    {
    case BL_MEASURES_V_DC:
    case BL_MEASURES_A_DC:
      return g_strdup_printf (_ ("%s DC"), scale);
    case BL_MEASURES_V_AC:
    case BL_MEASURES_A_AC:
      return g_strdup_printf (_ ("%s AC"), scale);
    case BL_MEASURES_V_PP:
      return g_strdup_printf (_ ("%s pp"), scale);
    default:
      return g_steal_pointer (&scale);
    }
}
