/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Typing a meter in. Papers of meters give a table: range, resolution, per cent plus digits. The cells take it as
 * it is printed there, and a line makes ranges a decade apart out of the number of counts. What is typed is
 * checked as a whole by bl_shop_meter_validate () before it is kept. */
#include "config.h"

#include "bl-meter-edit.h"

#include <string.h>

#include <glib/gi18n-lib.h>

static gboolean
fail (GError **error, const char *text, const char *reason)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, "“%s”: %s", text, reason);
  return FALSE;
}

gboolean
bl_meter_cell_exists (BlMeasures measures, BlMeterCell cell)
{
  if (cell == BL_METER_CELL_INPUT)
    return measures <= BL_MEASURES_V_PP;
  if (cell == BL_METER_CELL_HZ)
    return measures == BL_MEASURES_V_AC || measures == BL_MEASURES_V_PP || measures == BL_MEASURES_A_AC;
  return TRUE;
}

/* --- reading cells --- */

static const char *
shown_unit (BlMeasures measures)
{
  const char *unit = bl_measures_unit (measures);

  return g_strcmp0 (unit, "ohm") == 0 ? "Ω" : g_strcmp0 (unit, "degC") == 0 ? "°C" : unit;
}

/* The full scale with the digits that its count shows: "4.000 V", "400.0 mV". */
static char *
scale_text (const BlMeterRange *range)
{
  static const struct
  {
    double factor;
    const char *prefix;
  } steps[] = { { 1e9, "G" }, { 1e6, "M" }, { 1e3, "k" }, { 1, "" }, { 1e-3, "m" }, { 1e-6, "µ" }, { 1e-9, "n" },
                { 1e-12, "p" } };
  guint i = 0, decimals = 0;

  if (isnan (range->full_scale))
    return g_strdup ("");
  while (i + 1 < G_N_ELEMENTS (steps) && range->full_scale < steps[i].factor * (1 - 1e-9))
    i++;
  /* 1000 V and 1000 °C are not said with a prefix. */
  if (i < 3 && range->measures != BL_MEASURES_OHM && range->measures != BL_MEASURES_HZ
      && range->measures != BL_MEASURES_INSULATION)
    i = 3;
  if (range->count > 0)
    for (double count = range->count / steps[i].factor; count < 0.999 && decimals < 12; count *= 10)
      decimals++;
  else
    return g_strdup_printf ("%.9g %s%s", range->full_scale / steps[i].factor, steps[i].prefix,
                            shown_unit (range->measures));
  return g_strdup_printf ("%.*f %s%s", (int) decimals, range->full_scale / steps[i].factor, steps[i].prefix,
                          shown_unit (range->measures));
}

static char *
accuracy_text (const BlMeterRange *range)
{
  GString *text = g_string_new (NULL);

  if (range->percent > 0)
    g_string_append_printf (text, "%.6g %%", range->percent);
  if (range->counts > 0)
    g_string_append_printf (text, "%s%.6g", text->len > 0 ? " + " : "", range->counts);
  return g_string_free (text, FALSE);
}

static char *
hz_text (const BlMeterRange *range)
{
  if (isnan (range->from_hz) && isnan (range->to_hz))
    return g_strdup ("");
  g_autofree char *to = isnan (range->to_hz) ? g_strdup ("") : bl_quantity_format (range->to_hz, NULL, 6);
  g_autofree char *from = isnan (range->from_hz) ? g_strdup ("") : bl_quantity_format (range->from_hz, NULL, 6);
  return g_strdup_printf ("%s..%s", from, to);
}

char *
bl_meter_cell_get (const BlMeterRange *range, BlMeterCell cell)
{
  g_return_val_if_fail (range != NULL, NULL);
  switch (cell)
    {
    case BL_METER_CELL_SCALE:
      return scale_text (range);
    case BL_METER_CELL_ACCURACY:
      return accuracy_text (range);
    case BL_METER_CELL_COUNT:
      return isnan (range->count) ? g_strdup ("")
                                  : bl_quantity_format (range->count, bl_measures_unit (range->measures), 6);
    case BL_METER_CELL_INPUT:
      return isnan (range->input_ohm) ? g_strdup ("") : bl_quantity_format (range->input_ohm, "ohm", 6);
    case BL_METER_CELL_HZ:
      return hz_text (range);
    case BL_N_METER_CELLS:
    default:
      g_return_val_if_reached (NULL);
    }
}

/* --- writing cells --- */

static gboolean
number (const char *text, const char *unit, double *value, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  *value = NAN;
  return *trimmed == '\0' || bl_quantity_parse (trimmed, unit, value, error);
}

static gboolean
set_scale (BlMeterRange *range, const char *text, GError **error)
{
  double scale, count;

  if (!number (text, bl_measures_unit (range->measures), &scale, error))
    return FALSE;
  if (!(scale > 0))
    return fail (error, text, _ ("expected a full scale such as 4.000 V"));
  range->full_scale = scale;
  count = bl_reading_resolution (text, range->measures);
  if (!isnan (count))
    range->count = count;
  return TRUE;
}

/* "P%+N" or "P%+N@D", "P%", "N". */
static gboolean
set_accuracy (BlMeterRange *range, const char *text, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text)), *whole = NULL;
  gboolean has_count = strchr (trimmed, '@') != NULL, has_counts = strchr (trimmed, '+') != NULL;
  BlMeter meter;

  if (!has_count && (has_counts || strchr (trimmed, '%') == NULL) && *trimmed != '\0')
    whole = g_strconcat (trimmed, "@1", NULL);
  if (!bl_meter_parse (whole != NULL ? whole : trimmed, &meter, NULL) || !isnan (meter.input_ohm))
    return fail (error, text, _ ("expected per cent and digits such as 0.5%+3"));
  if (meter.counts > 0 && !has_count && isnan (range->count))
    return fail (error, text, _ ("digits need the value of one count"));
  range->percent = meter.percent > 0 ? meter.percent : NAN;
  range->counts = meter.counts > 0 ? meter.counts : NAN;
  if (has_count)
    range->count = meter.count;
  return TRUE;
}

static gboolean
set_hz (BlMeterRange *range, const char *text, GError **error)
{
  g_auto (GStrv) ends = g_strsplit (text, "..", 2);
  double from = NAN, to = NAN;

  if (ends[0] != NULL && ends[1] == NULL && *g_strstrip (ends[0]) != '\0')
    return fail (error, text, _ ("expected from..to, such as 45..400"));
  if (ends[0] != NULL && ends[1] != NULL
      && (!number (ends[0], "Hz", &from, error) || !number (ends[1], "Hz", &to, error)))
    return FALSE;
  range->from_hz = from;
  range->to_hz = to;
  return TRUE;
}

gboolean
bl_meter_cell_set (BlMeterRange *range, BlMeterCell cell, const char *text, GError **error)
{
  double value;

  g_return_val_if_fail (range != NULL && text != NULL, FALSE);
  switch (cell)
    {
    case BL_METER_CELL_SCALE:
      return set_scale (range, text, error);
    case BL_METER_CELL_ACCURACY:
      return set_accuracy (range, text, error);
    case BL_METER_CELL_COUNT:
      if (!number (text, bl_measures_unit (range->measures), &value, error))
        return FALSE;
      range->count = value;
      return TRUE;
    case BL_METER_CELL_INPUT:
      if (!number (text, "ohm", &value, error))
        return FALSE;
      range->input_ohm = value;
      return TRUE;
    case BL_METER_CELL_HZ:
      return set_hz (range, text, error);
    case BL_N_METER_CELLS:
    default:
      g_return_val_if_reached (FALSE);
    }
}

/* --- a line --- */

/* Optional number of counts, one full scale or two, and the accuracy, which begins with the number before the
 * per cent sign. */
#define LINE                                                                                       \
  "^\\s*(?:(\\d+)\\s*counts?\\s+)?(.+?)(?:\\s*\\.\\.\\s*(.+?))?\\s+±?\\s*"                          \
  "([\\d.,]+\\s*%\\s*(?:\\+\\s*[\\d.,]+\\s*)?(?:@\\s*.+)?)$"

/* TRUE where the number alone says less than the text: a prefix stands behind it. */
static gboolean
has_prefix (const char *text, const char *unit)
{
  g_autofree char *bare = g_strndup (text, strspn (text, "0123456789.,"));
  double with, without;

  return bl_quantity_parse (text, unit, &with, NULL) && bl_quantity_parse (bare, NULL, &without, NULL)
         && with != without;
}

static gboolean
add_by_counts (BlShopMeter *meter, BlMeasures measures, char **parts, const char *text, GError **error)
{
  const char *unit = bl_measures_unit (measures), *first = parts[1], *last = *parts[2] != '\0' ? parts[2] : parts[1];
  guint64 counts_shown = g_ascii_strtoull (parts[0], NULL, 10);
  g_autoptr (BlMeterRange) figures = bl_meter_range_new (measures, 1);
  double from, to;

  if (!bl_quantity_parse (first, unit, &from, error) || !bl_quantity_parse (last, unit, &to, error))
    return FALSE;
  if (has_prefix (last, unit) && strspn (first, "0123456789.,") == strlen (first))
    return fail (error, text, _ ("say the unit at both ends"));
  if (counts_shown < 100 || counts_shown > 100000000)
    return fail (error, text, _ ("a meter shows 100 to 100 000 000 counts"));
  if (!(from > 0 && to >= from && to / from < 1e9))
    return fail (error, text, _ ("the full scales go from the smallest to the largest"));
  figures->count = 1;
  if (!set_accuracy (figures, parts[3], error))
    return FALSE;
  bl_shop_meter_add_ranges (meter, measures, from, to, (guint) counts_shown, figures->percent, figures->counts);
  return TRUE;
}

static gboolean
add_one (BlShopMeter *meter, BlMeasures measures, char **parts, GError **error)
{
  g_autoptr (BlMeterRange) range = bl_meter_range_new (measures, NAN);

  if (!set_scale (range, parts[1], error) || !set_accuracy (range, parts[3], error))
    return FALSE;
  bl_shop_meter_add_range (meter, measures, range->full_scale, range->percent, range->counts, range->count);
  return TRUE;
}

gboolean
bl_meter_add_typed (BlShopMeter *meter, BlMeasures measures, const char *text, GError **error)
{
  static GRegex *line = NULL;
  g_autoptr (GMatchInfo) match = NULL;
  g_autoptr (BlShopMeter) changed = NULL;
  char *parts[4] = { NULL };
  gboolean done = FALSE;

  g_return_val_if_fail (meter != NULL && text != NULL && measures < BL_MEASURES_SWING, FALSE);
  if (line == NULL)
    line = g_regex_new (LINE, 0, 0, NULL);
  if (!g_regex_match (line, text, 0, &match))
    return fail (error, text, _ ("expected a range such as 4.000 V 0.5%+3, or 4000 counts 4..1000 V 0.5%+3"));
  for (int i = 0; i < 4; i++)
    parts[i] = g_match_info_fetch (match, i + 1);
  changed = bl_shop_meter_copy (meter);
  if (*parts[0] != '\0')
    done = add_by_counts (changed, measures, parts, text, error);
  else if (*parts[2] != '\0')
    fail (error, text, _ ("several ranges need the number of counts: 4000 counts 4..1000 V 0.5%+3"));
  else
    done = add_one (changed, measures, parts, error);
  done = done && bl_shop_meter_validate (changed, error);
  if (done)
    {
      GPtrArray *ranges = meter->ranges;
      meter->ranges = g_steal_pointer (&changed->ranges);
      changed->ranges = ranges;
    }
  for (int i = 0; i < 4; i++)
    g_free (parts[i]);
  return done;
}

/* --- the day of calibration --- */

char *
bl_meter_day_get (const BlShopMeter *meter)
{
  g_autoptr (GDateTime) day = NULL;

  g_return_val_if_fail (meter != NULL, NULL);
  if (meter->calibrated == 0)
    return g_strdup ("");
  day = g_date_time_new_from_unix_utc (meter->calibrated / G_USEC_PER_SEC);
  return day != NULL ? g_date_time_format (day, "%Y-%m-%d") : g_strdup ("");
}

gboolean
bl_meter_day_set (BlShopMeter *meter, const char *text, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text)), *whole = g_strconcat (trimmed, "T00:00:00Z", NULL);
  g_autoptr (GDateTime) day = NULL;

  g_return_val_if_fail (meter != NULL && text != NULL, FALSE);
  if (*trimmed == '\0')
    {
      meter->calibrated = 0;
      return TRUE;
    }
  day = strlen (trimmed) == 10 ? g_date_time_new_from_iso8601 (whole, NULL) : NULL;
  if (day == NULL)
    return fail (error, text, _ ("expected a day such as 2026-03-01"));
  meter->calibrated = g_date_time_to_unix (day) * G_USEC_PER_SEC;
  return TRUE;
}
