/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers for people. Limits of a band get the same, and as few, decimals as keep them apart from each
 * other: 207 – 253, 22.8 – 25.2, 0.16 – 0.24. Volts and amperes above a milliampere are not scaled,
 * for the technician reads them so off the meter; ohms, farads and seconds are.
 */
#include "config.h"

#include "bl-format.h"

#include <glib/gi18n-lib.h>

static gboolean
takes_prefix (BlMeasures measures, double value)
{
  switch (bl_measures_is_resistive (measures) ? BL_MEASURES_OHM : measures)
    {
    case BL_MEASURES_OHM: /* below a kilohm a meter shows ohms */
      return measures != BL_MEASURES_DIODE && fabs (value) >= 1000;
    case BL_MEASURES_F:
    case BL_MEASURES_S:
    case BL_MEASURES_HZ:
      return TRUE;
    case BL_MEASURES_A_DC:
    case BL_MEASURES_A_AC:
      return fabs (value) < 0.01;
    default:
      return FALSE;
    }
}

/* Fewest decimals (0 to 6) at which value is still itself within slack. */
static int
decimals_for (double value, double slack)
{
  for (int decimals = 0; decimals < 6; decimals++)
    {
      double scale = pow (10, decimals);
      if (fabs (round (value * scale) / scale - value) <= slack)
        return decimals;
    }
  return 6;
}

char *
bl_format_value (BlMeasures measures, double value)
{
  if (takes_prefix (measures, value))
    return g_strchomp (bl_quantity_format (value, "", 4));
  return g_strdup_printf ("%.*f", decimals_for (value, fabs (value) * 1e-4), value);
}

static char *
format_range (BlMeasures measures, double low, double high)
{
  if (takes_prefix (measures, MAX (fabs (low), fabs (high))))
    {
      g_autofree char *first = bl_format_value (measures, low);
      g_autofree char *second = bl_format_value (measures, high);
      return g_strdup_printf ("%s – %s", first, second);
    }
  double slack = (high - low) * 0.01;
  int decimals = MAX (decimals_for (low, slack), decimals_for (high, slack));
  return g_strdup_printf ("%.*f – %.*f", decimals, low, decimals, high);
}

static char *
format_one_limit (const BlBand *band)
{
  gboolean low = isfinite (band->low);
  double limit = low ? band->low : band->high;

  if (!isfinite (limit))
    return g_strdup ("");
  g_autofree char *value = bl_format_value (band->measures, band->negative ? -limit : limit);
  return g_strdup_printf ("%s %s", low != band->negative ? "≥" : "≤", value);
}

char *
bl_format_band (const BlBand *band)
{
  g_return_val_if_fail (band != NULL, NULL);

  if (band->measures == BL_MEASURES_CHECK)
    return g_strdup (band->answer ? _ ("yes") : _ ("no"));
  if (band->measures == BL_MEASURES_SWING)
    {
      g_autofree char *lower = format_range (band->measures, band->min[0], band->min[1]);
      g_autofree char *upper = format_range (band->measures, band->max[0], band->max[1]);
      return g_strdup_printf ("%s / %s", lower, upper);
    }
  if (!isfinite (band->low) || !isfinite (band->high))
    return format_one_limit (band);
  if (band->negative)
    return format_range (band->measures, -band->high, -band->low);
  return format_range (band->measures, band->low, band->high);
}

char *
bl_format_reading (BlMeasures measures, const BlReading *reading)
{
  g_return_val_if_fail (reading != NULL, NULL);

  if (reading->both_ways)
    {
      BlReading forward = *reading;
      g_autofree char *one = NULL, *two = isinf (reading->reverse) ? g_strdup ("OL")
                                                                  : bl_format_value (measures, reading->reverse);
      forward.both_ways = FALSE;
      one = bl_format_reading (measures, &forward);
      return g_strdup_printf ("%s/%s", one, two);
    }
  switch (reading->kind)
    {
    case BL_READING_OVER:
      return g_strdup ("OL");
    case BL_READING_NOT_REACHED:
      return g_strdup ("–");
    case BL_READING_ANSWER:
      return g_strdup (reading->answer ? _ ("yes") : _ ("no"));
    case BL_READING_RANGE:
      {
        g_autofree char *low = bl_format_value (measures, reading->value);
        g_autofree char *high = bl_format_value (measures, reading->high);
        return g_strdup_printf ("%s … %s", low, high);
      }
    case BL_READING_VALUE:
    default:
      return bl_format_value (measures, reading->value);
    }
}

char *
bl_format_unit (BlMeasures measures)
{
  switch (measures)
    {
    case BL_MEASURES_OHM:
    case BL_MEASURES_CONTINUITY:
    case BL_MEASURES_INSULATION:
      return g_strdup ("Ω");
    case BL_MEASURES_ESR:
      return g_strdup (_ ("Ω ESR"));
    case BL_MEASURES_DIODE:
      return g_strdup (_ ("V diode"));
    case BL_MEASURES_DEGC:
      return g_strdup ("°C");
    case BL_MEASURES_SWING:
      return g_strdup (_ ("V swing"));
    case BL_MEASURES_CHECK:
      return g_strdup ("");
    default:
      return g_strdup (bl_measures_name (measures));
    }
}

char *
bl_format_odds (double probability)
{
  if (probability > 0 && probability < 0.005)
    return g_strdup (_ ("<1 %"));
  if (probability < 1 && probability > 0.995)
    return g_strdup (_ (">99 %"));
  return g_strdup_printf (_ ("%.0f %%"), probability * 100);
}

char *
bl_format_kind (const char *kind)
{
  g_auto (GStrv) parts = g_strsplit (kind != NULL ? kind : "", ".", -1);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = g_strv_length (parts); i > 0; i--)
    {
      gboolean initials = g_str_equal (parts[i - 1], "ic") || g_str_equal (parts[i - 1], "led");
      g_autofree char *word = initials ? g_ascii_strup (parts[i - 1], -1) : g_strdup (parts[i - 1]);
      g_string_append_printf (words, "%s%s", words->len > 0 ? " " : "", word);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static GDateTime *
local_time (gint64 time)
{
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);
  return g_date_time_to_local (utc);
}

static gboolean
same_day (GDateTime *a, GDateTime *b)
{
  return g_date_time_get_year (a) == g_date_time_get_year (b)
         && g_date_time_get_day_of_year (a) == g_date_time_get_day_of_year (b);
}

char *
bl_format_day (gint64 time, gint64 now)
{
  g_autoptr (GDateTime) local = local_time (time), today = local_time (now);
  g_autoptr (GDateTime) yesterday = g_date_time_add_days (today, -1);

  if (same_day (local, today))
    return g_date_time_format (local, _ ("today %H:%M"));
  if (same_day (local, yesterday))
    return g_date_time_format (local, _ ("yesterday %H:%M"));
  /* The month by its name: figures alone are read in two ways. */
  return g_date_time_format (local, _ ("%-d %b %Y"));
}

char *
bl_format_expected (const BlBoard *board, const BlMeasurement *measurement)
{
  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  g_autoptr (BlBand) band = bl_band_resolve_on (board, measurement, NAN, NAN, NULL);
  g_autofree char *limits = band != NULL ? bl_format_band (band) : g_strdup ("");
  g_autofree char *unit = bl_format_unit (measurement->measures);
  const BlFollows *follows = measurement->expected.follows;

  if (limits[0] == '\0' && follows != NULL && follows->measurement != NULL)
    return g_strdup_printf (_ ("by %s"), follows->measurement);
  if (limits[0] == '\0')
    return g_strdup (unit);
  return unit[0] != '\0' ? g_strdup_printf ("%s %s", limits, unit) : g_steal_pointer (&limits);
}
