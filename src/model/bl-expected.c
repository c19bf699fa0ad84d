/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one-line form of expected values, as a technician writes it beside a test point: "12 V ±5 %",
 * "4.8..5.2 V", "5 V 4.8..5.2", "< 0.3 V", "> 1M", "yes", and for a swing "0..0.4 / 23..24 V" (where
 * the lower and the upper extreme may lie). Reading it replaces nominal, limits and tolerance; what the
 * line cannot say (absent below, marks, source, what it follows) is left as it was.
 */
#include "config.h"

#include "bl-expected.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- reading --- */

static gboolean
fail (GError **error, const char *text, const char *reason)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("“%s”: %s"), text, reason);
  return FALSE;
}

static gboolean
take_quantity (const char *text, const char *unit, BlQuantity *quantity, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  double value;

  if (!bl_quantity_parse (trimmed, unit, &value, error))
    return FALSE;
  bl_quantity_clear (quantity);
  quantity->value = value;
  quantity->text = bl_quantity_with_point (trimmed);
  return TRUE;
}

/* Splits "4.8..5.2 V" at the dots or at an en dash; FALSE when there is neither. */
static gboolean
split_range (const char *text, char **low, char **high)
{
  const char *separators[] = { "..", "–", "…" };

  for (guint i = 0; i < G_N_ELEMENTS (separators); i++)
    {
      const char *at = strstr (text, separators[i]);
      if (at == NULL || at == text)
        continue;
      *low = g_strstrip (g_strndup (text, (gsize) (at - text)));
      *high = g_strstrip (g_strdup (at + strlen (separators[i])));
      return TRUE;
    }
  return FALSE;
}

static gboolean
take_range (const char *text, const char *unit, BlQuantity *low, BlQuantity *high, GError **error)
{
  g_autofree char *first = NULL, *second = NULL;

  if (!split_range (text, &first, &second))
    return fail (error, text, _ ("a range is written low..high"));
  if (!take_quantity (first, unit, low, error) || !take_quantity (second, unit, high, error))
    return FALSE;
  if (low->value > high->value)
    return fail (error, text, _ ("the lower limit lies above the upper one"));
  return TRUE;
}

/* Where "±" or "+-" or "+/-" begins; *length is how long it is. NULL: nowhere. */
static const char *
find_tolerance (const char *text, gsize *length)
{
  const char *signs[] = { "±", "+/-", "+-" };

  for (guint i = 0; i < G_N_ELEMENTS (signs); i++)
    {
      const char *at = strstr (text, signs[i]);
      if (at != NULL)
        {
          *length = strlen (signs[i]);
          return at;
        }
    }
  return NULL;
}

static gboolean
take_tolerance (BlExpected *expected, const char *text, const char *unit, GError **error)
{
  g_autofree char *tolerance = g_strstrip (g_strdup (text));
  double width;

  if (g_str_has_suffix (tolerance, "%"))
    {
      g_autofree char *number = g_strstrip (g_strndup (tolerance, strlen (tolerance) - 1));
      if (!bl_quantity_parse (number, "", &width, NULL) || width < 0 || width > 100)
        return fail (error, text, _ ("a tolerance in per cent lies between 0 and 100"));
      g_autofree char *point = bl_quantity_with_point (number);
      expected->tolerance = g_strdup_printf ("%s %%", point);
      return TRUE;
    }
  if (!bl_quantity_parse (tolerance, unit, &width, error))
    return FALSE;
  if (width < 0)
    return fail (error, text, _ ("a tolerance is not negative"));
  expected->low.value = expected->nominal.value - width;
  expected->high.value = expected->nominal.value + width;
  expected->low.text = bl_quantity_to_text (expected->low.value, unit, 9);
  expected->high.text = bl_quantity_to_text (expected->high.value, unit, 9);
  return TRUE;
}

/* "5 V 4.8..5.2" has its range in the last word; the nominal is what stands before it. */
static gboolean
take_nominal_and_range (BlExpected *expected, const char *text, const char *unit, GError **error)
{
  const char *dots = strstr (text, "..");
  const char *split = dots;

  while (split > text && split[-1] != ' ')
    split--;
  g_autofree char *nominal = g_strstrip (g_strndup (text, (gsize) (split - text)));
  if (*nominal != '\0' && !take_quantity (nominal, unit, &expected->nominal, error))
    return FALSE;
  if (!take_range (split, unit, &expected->low, &expected->high, error))
    return FALSE;
  if (*nominal != '\0'
      && (expected->nominal.value < expected->low.value || expected->nominal.value > expected->high.value))
    return fail (error, text, _ ("the nominal value lies outside the limits"));
  return TRUE;
}

static gboolean
take_level (BlExpected *expected, const char *text, const char *unit, GError **error)
{
  gsize length;
  const char *sign = find_tolerance (text, &length);

  if (sign != NULL)
    {
      g_autofree char *nominal = g_strndup (text, (gsize) (sign - text));
      return take_quantity (nominal, unit, &expected->nominal, error)
             && take_tolerance (expected, sign + length, unit, error);
    }
  if (text[0] == '<' || g_str_has_prefix (text, "≤"))
    return take_quantity (g_utf8_next_char (text) + (text[1] == '='), unit, &expected->high, error);
  if (text[0] == '>' || g_str_has_prefix (text, "≥"))
    return take_quantity (g_utf8_next_char (text) + (text[1] == '='), unit, &expected->low, error);
  if (strstr (text, "..") != NULL)
    return take_nominal_and_range (expected, text, unit, error);
  if (strstr (text, "–") != NULL)
    return take_range (text, unit, &expected->low, &expected->high, error);
  return take_quantity (text, unit, &expected->nominal, error);
}

static gboolean
take_swing (BlExpected *expected, const char *text, const char *unit, GError **error)
{
  g_auto (GStrv) halves = g_strsplit (text, "/", 2);

  if (halves[0] == NULL || halves[1] == NULL)
    return fail (error, text, _ ("a swing is written 0..0.4 / 23..24: where its lower and its upper end may lie"));
  expected->has_min = expected->has_max = TRUE;
  return take_range (halves[0], unit, &expected->min[0], &expected->min[1], error)
         && take_range (halves[1], unit, &expected->max[0], &expected->max[1], error);
}

static gboolean
take_answer (BlExpected *expected, const char *text, GError **error)
{
  if (g_ascii_strcasecmp (text, "yes") == 0 || strcmp (text, _ ("yes")) == 0)
    expected->answer = TRUE;
  else if (g_ascii_strcasecmp (text, "no") == 0 || strcmp (text, _ ("no")) == 0)
    expected->answer = FALSE;
  else
    return fail (error, text, _ ("a check expects yes or no"));
  return TRUE;
}

static void
forget_limits (BlExpected *expected)
{
  bl_quantity_clear (&expected->nominal);
  bl_quantity_clear (&expected->low);
  bl_quantity_clear (&expected->high);
  for (guint i = 0; i < 2; i++)
    {
      bl_quantity_clear (&expected->min[i]);
      bl_quantity_clear (&expected->max[i]);
    }
  expected->has_min = expected->has_max = FALSE;
  g_clear_pointer (&expected->tolerance, g_free);
  expected->answer = -1;
}

gboolean
bl_expected_from_text (BlMeasurement *measurement, const char *text, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  const char *unit = bl_measures_unit (measurement->measures);
  BlExpected *expected = &measurement->expected;

  forget_limits (expected);
  measurement->has_expected = TRUE;
  if (*trimmed == '\0')
    return TRUE;
  if (measurement->measures == BL_MEASURES_CHECK)
    return take_answer (expected, trimmed, error);
  if (measurement->measures == BL_MEASURES_SWING)
    return take_swing (expected, trimmed, unit, error);
  return take_level (expected, trimmed, unit, error);
}

/* --- writing --- */

static char *
quantity_text (const BlQuantity *quantity, const char *unit)
{
  if (quantity->text != NULL)
    return g_strdup (quantity->text);
  return bl_quantity_to_text (quantity->value, unit, 9);
}

static char *
range_text (const BlQuantity *low, const BlQuantity *high, const char *unit)
{
  g_autofree char *first = quantity_text (low, unit);
  g_autofree char *second = quantity_text (high, unit);
  return g_strdup_printf ("%s..%s", first, second);
}

static char *
limits_text (const BlExpected *expected, const char *unit)
{
  gboolean low = bl_quantity_is_set (&expected->low), high = bl_quantity_is_set (&expected->high);

  if (low && high)
    return range_text (&expected->low, &expected->high, unit);
  if (!low && !high)
    return NULL;
  g_autofree char *limit = quantity_text (low ? &expected->low : &expected->high, unit);
  return g_strdup_printf ("%s %s", low ? ">" : "<", limit);
}

static char *
level_text (const BlExpected *expected, const char *unit)
{
  g_autofree char *limits = limits_text (expected, unit);
  gboolean both = bl_quantity_is_set (&expected->low) && bl_quantity_is_set (&expected->high);

  if (!bl_quantity_is_set (&expected->nominal) || (limits != NULL && !both))
    return limits != NULL ? g_steal_pointer (&limits) : g_strdup ("");
  g_autofree char *nominal = quantity_text (&expected->nominal, unit);
  if (expected->tolerance != NULL)
    return g_strdup_printf ("%s ±%s", nominal, expected->tolerance);
  if (limits != NULL)
    {
      /* The range must be one word for the way back. */
      g_auto (GStrv) words = g_strsplit (limits, " ", -1);
      g_autofree char *range = g_strjoinv ("", words);
      return g_strdup_printf ("%s %s", nominal, range);
    }
  return g_steal_pointer (&nominal);
}

char *
bl_expected_to_text (const BlMeasurement *measurement)
{
  const BlExpected *expected = &measurement->expected;
  const char *unit = bl_measures_unit (measurement->measures);

  if (!measurement->has_expected)
    return g_strdup ("");
  if (measurement->measures == BL_MEASURES_CHECK)
    return g_strdup (expected->answer == 0 ? _ ("no") : _ ("yes"));
  if (measurement->measures == BL_MEASURES_SWING)
    {
      if (!expected->has_min || !expected->has_max)
        return g_strdup ("");
      g_autofree char *lower = range_text (&expected->min[0], &expected->min[1], unit);
      g_autofree char *upper = range_text (&expected->max[0], &expected->max[1], unit);
      return g_strdup_printf ("%s / %s", lower, upper);
    }
  return level_text (expected, unit);
}
