/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings as a technician types them: "11.8", "11,8 V", "1k2", "OL", "3..5", "yes", "-", "- coated",
 * "0.52/OL" for a diode read both ways.
 *
 * What cannot be told from the text alone is refused, never guessed: a prefix at one end of a range
 * only ("1..5k" may begin at 1 or at 1000), three points in a row, AC typed for a DC measurement.
 * "yes" and "no" are the words of files in every language; a screen has buttons for them.
 *
 * It doesn't judge (bl-verdict.c) and knows no limits. */
#include "config.h"

#include "bl-verdict.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-plain.h"

static gboolean
fail (GError **error, const char *text, const char *reason)
{
  g_autofree char *shown = g_utf8_make_valid (text, MIN (strlen (text), 64));

  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _("“%s” is not a reading: %s"), shown,
               reason);
  return FALSE;
}

/* How meters show that the value is beyond their range (common practice, no source); a unit may follow. */
static gboolean
is_over (const char *plain, const char *unit)
{
  static const char *const forms[] = { "OVERLOAD", "OVLD", "OFL", "OVL", "O.L", "0.L", ".OL", ".0L",
                                       "OL.",      "0L.",  "OL",  "0L" };
  double one;

  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      gsize length = strlen (forms[i]);
      g_autofree char *rest = NULL;

      if (g_ascii_strncasecmp (plain, forms[i], length) != 0)
        continue;
      if (plain[length] == '\0')
        return TRUE;
      rest = g_strconcat ("1", plain + length, NULL);
      return plain[length] == ' ' && bl_quantity_parse (rest, unit, &one, NULL);
    }
  return FALSE;
}

static gboolean
is_dash (const char *text)
{
  static const char *const dashes[] = { "-", "–", "—", "−" };
  const char *rest = text;

  for (gsize i = 0; i < G_N_ELEMENTS (dashes) && rest == text; i++)
    if (g_str_has_prefix (text, dashes[i]))
      rest = text + strlen (dashes[i]);
  if (rest == text || *rest == '\0')
    return rest != text;
  /* A reason may follow a blank: "- coated"; "- 12" is a number. */
  return *rest == ' ' && g_unichar_isalpha (g_utf8_get_char (rest + strspn (rest, " ")));
}

/* text in ASCII, an overload as "OL"; as it is where that cannot be. Returns: (transfer full). */
static char *
in_ascii (const char *text)
{
  g_autoptr (GString) words = g_string_new (text);
  char *plain;

  g_string_replace (words, "∞", "OL", 0);
  plain = bl_plain_text (words->str, NULL);
  return plain != NULL ? plain : g_strdup (text);
}

/* What stands behind the last digit. */
static const char *
suffix (const char *text)
{
  const char *end = text + strlen (text);

  while (end > text && !g_ascii_isdigit (end[-1]))
    end--;
  return end;
}

/* The factor of the prefix behind the number of a sound quantity; 1 when there is none, and for a
 * letter in the place of the decimal sign, which belongs to its own number only. */
static double
prefix_factor (const char *text, const char *unit)
{
  g_autofree char *one = g_strconcat ("1", suffix (text), NULL);
  double factor = 1;

  if (!bl_quantity_parse (one, unit, &factor, NULL))
    return 1;
  return factor;
}

/* TRUE for digits and nothing that could be a prefix or a unit. */
static gboolean
is_bare (const char *text)
{
  return text[strcspn (text, "abcdfghijklmnopqrstuvwxyzABCDFGHIJKLMNOPQRSTUVWXYZ")] == '\0' &&
         *suffix (text) == '\0';
}

/* TRUE when text says a kind of current other than the measurement's. */
static gboolean
wrong_current (const char *text, BlMeasures measures)
{
  g_autofree char *unit = g_ascii_strup (suffix (text), -1);
  gboolean ac = strstr (unit, "AC") != NULL, dc = strstr (unit, "DC") != NULL;

  switch (measures)
    {
    case BL_MEASURES_V_DC:
    case BL_MEASURES_A_DC:
    case BL_MEASURES_DIODE:
      return ac;
    case BL_MEASURES_V_AC:
    case BL_MEASURES_A_AC:
      return dc;
    case BL_MEASURES_V_PP:
      return ac || dc;
    default:
      return FALSE;
    }
}

static gboolean
parse_value (const char *text, BlMeasures measures, double *value, GError **error)
{
  if (!bl_quantity_parse (text, bl_measures_unit (measures), value, error))
    return FALSE;
  if (wrong_current (text, measures))
    return fail (error, text, _("AC and DC are mixed up"));
  return TRUE;
}

/* Reads the two ends of a range. TRUE with both in rising order. */
static gboolean
parse_range (const char *text,
             const char *separator,
             BlMeasures measures,
             BlReading *reading,
             GError **error)
{
  g_autofree char *left = g_strndup (text, (gsize) (separator - text));
  const char *right = separator + strlen (".."), *unit = bl_measures_unit (measures);
  double one, two, left_factor, right_factor;

  if (*right == '.')
    return fail (error, text, _("a range has two points between its ends"));
  g_strchomp (left);
  if (!parse_value (left, measures, &one, error) || !parse_value (right, measures, &two, error))
    return FALSE;
  left_factor = prefix_factor (left, unit);
  right_factor = prefix_factor (right, unit);
  if ((right_factor != 1 && is_bare (left) && one != 0) ||
      (left_factor != 1 && is_bare (right) && two != 0))
    return fail (error, text, _("the prefix stands at one end only; write it at both"));
  reading->kind = BL_READING_RANGE;
  reading->value = MIN (one, two);
  reading->high = MAX (one, two);
  return TRUE;
}

static gboolean
parse_answer (const char *text, BlReading *reading, GError **error)
{
  reading->kind = BL_READING_ANSWER;
  reading->answer = g_ascii_strcasecmp (text, "yes") == 0;
  if (!reading->answer && g_ascii_strcasecmp (text, "no") != 0)
    return fail (error, text, _("a check is answered with yes, no or -"));
  return TRUE;
}

/* Reads what a meter showed: OL, a range or a value. */
static gboolean
parse_shown (const char *text, BlMeasures measures, BlReading *reading, GError **error)
{
  const char *separator = strstr (text, "..");

  if (is_over (text, bl_measures_unit (measures)))
    {
      reading->kind = BL_READING_OVER;
      return TRUE;
    }
  if (text[0] == '-' && is_over (text + 1, bl_measures_unit (measures)))
    return fail (error, text, _("the meter is over its range below zero; take a wider range"));
  if (separator != NULL)
    return parse_range (text, separator, measures, reading, error);
  return parse_value (text, measures, &reading->value, error);
}

/* Reads "0.52/OL": what the slash parts, forward first. */
static gboolean
parse_both_ways (const char *text, const char *slash, BlReading *reading, GError **error)
{
  g_autofree char *forward = g_strstrip (g_strndup (text, (gsize) (slash - text)));
  g_autofree char *reverse = g_strstrip (g_strdup (slash + 1));
  BlReading back = { BL_READING_VALUE, NAN, NAN, FALSE, FALSE, NAN };

  if (*forward == '\0' || *reverse == '\0' || strchr (reverse, '/') != NULL)
    return fail (error, text, _("a diode read both ways has two readings, forward/reverse: “0.52/OL”"));
  if (!parse_shown (forward, BL_MEASURES_DIODE, reading, error)
      || !parse_shown (reverse, BL_MEASURES_DIODE, &back, error))
    return FALSE;
  if (reading->kind == BL_READING_RANGE || back.kind == BL_READING_RANGE)
    return fail (error, text, _("a diode read both ways has one value each way; enter a range alone"));
  reading->both_ways = TRUE;
  reading->reverse = back.kind == BL_READING_OVER ? INFINITY : back.value;
  return TRUE;
}

gboolean
bl_reading_parse (const char *text, BlMeasures measures, BlReading *reading, GError **error)
{
  g_autofree char *trimmed = NULL, *plain = NULL;
  const char *slash;
  gboolean read;
  BlReading result = { BL_READING_VALUE, NAN, NAN, FALSE, FALSE, NAN };

  g_return_val_if_fail (text != NULL && reading != NULL, FALSE);
  trimmed = g_strstrip (g_strdup (text));
  plain = in_ascii (trimmed);
  slash = strchr (plain, '/');
  if (is_dash (trimmed))
    {
      result.kind = BL_READING_NOT_REACHED;
      read = TRUE;
    }
  else if (measures == BL_MEASURES_CHECK)
    read = parse_answer (trimmed, &result, error);
  else if (slash != NULL && measures == BL_MEASURES_DIODE)
    read = parse_both_ways (plain, slash, &result, error);
  else if (slash != NULL)
    read = fail (error, plain, _("two readings with a stroke between them are for a diode test only"));
  else
    read = parse_shown (plain, measures, &result, error);
  if (read)
    *reading = result;
  return read;
}

/* The shortest decimal that reads back as value. Returns: (transfer full). */
static char *
shortest (double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE], format[8];

  for (int digits = 6; digits <= 17; digits++)
    {
      g_snprintf (format, sizeof format, "%%.%dg", digits);
      g_ascii_formatd (buffer, sizeof buffer, format, value);
      if (g_ascii_strtod (buffer, NULL) == value)
        break;
    }
  return g_strdup (buffer);
}

/* What a meter showed, without a unit. Returns: (transfer full). */
static char *
shown (const BlReading *reading)
{
  g_autofree char *low = NULL, *high = NULL;

  switch (reading->kind)
    {
    case BL_READING_OVER:
      return g_strdup ("OL");
    case BL_READING_RANGE:
      low = shortest (reading->value);
      high = shortest (reading->high);
      return g_strconcat (low, "..", high, NULL);
    case BL_READING_ANSWER:
      return g_strdup (reading->answer ? "yes" : "no");
    case BL_READING_NOT_REACHED:
      return g_strdup ("-");
    case BL_READING_VALUE:
    default:
      return shortest (reading->value);
    }
}

char *
bl_reading_to_text (const BlReading *reading)
{
  g_autofree char *forward = NULL, *reverse = NULL;

  g_return_val_if_fail (reading != NULL, NULL);
  forward = shown (reading);
  if (!reading->both_ways)
    return g_steal_pointer (&forward);
  reverse = isinf (reading->reverse) ? g_strdup ("OL") : shortest (reading->reverse);
  return g_strconcat (forward, "/", reverse, NULL);
}
