/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The value in a typed measurement: brought into the one-line form of bl-expected.c, which reads it, and
 * everything refused before that could be meant in two ways.
 *
 * Where a unit belongs in "12.0 V ± 0.5 V" or "(12.0 ± 0.5) V", and that "12.0 V ± 0.5" says no unit for the
 * deviation: ISO 80000-1, the clause on expressions for quantities with a deviation (from memory). Letters in the
 * place of the decimal sign, and k and M alone meaning ohms: IEC 60062 (from memory). "4.8..5.2" and "+10 -20 %":
 * common practice, no source.
 */
#include "config.h"

#include "bl-entry-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-expected.h"
#include "bl-verdict.h"

static gboolean
fail (GError **error, const char *reason)
{
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, reason);
  return FALSE;
}

static gboolean
matches (const char *pattern, const char *text)
{
  return g_regex_match_simple (pattern, text, 0, 0);
}

/* All of it, for patterns of this file. (transfer full) */
static char *
replaced (const char *text, const char *pattern, const char *by)
{
  g_autoptr (GRegex) regex = g_regex_new (pattern, 0, 0, NULL);
  char *done = g_regex_replace (regex, text, -1, 0, by, 0, NULL);

  return done != NULL ? done : g_strdup (text);
}

char *
bl_entry_value_plain (const char *value)
{
  static const char *const steps[][2] = {
    { "\u2026", ".." },                            /* an ellipsis */
    { "\u2212", "-" },                             /* the minus sign */
    { "\\+\\s*/\\s*-|\\+-", "±" },                 /* "+/-" */
    { "\\s+to\\s+", ".." },                        /* "4.8 to 5.2" */
    { "\\s*\\.\\.\\s*", ".." },
    { "^\\(\\s*([^±()]+?)\\s*±\\s*([^±()]+?)\\s*\\)\\s*([^()]+)$", "\\1 \\3 ± \\2 \\3" },
  };
  char *plain = g_strdup (value);

  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      char *next = replaced (plain, steps[i][0], steps[i][1]);
      g_free (plain);
      plain = next;
    }
  return g_strstrip (plain);
}

/* --- what is refused --- */

#define NUMBER "[0-9]+(?:[.,][0-9]*)?"

/* Whether letters stand behind the figures of a quantity. */
static gboolean
is_bare (const char *quantity)
{
  return !matches ("[VvAaHhFfsCRrkKmMGTunpµμΩΩ°%o]", quantity);
}

/* Whether one quantity has a prefix and the other, not nought, is bare: "1..5k". */
static gboolean
prefix_at_one_end (const char *one, const char *two, const char *unit)
{
  double value, figures;
  g_autofree char *number = replaced (two, "[^0-9.,+-].*$", "");

  if (!is_bare (one) || is_bare (two) || !bl_quantity_parse (one, unit, &value, NULL) || value == 0)
    return FALSE;
  return bl_quantity_parse (two, unit, &value, NULL) && bl_quantity_parse (number, NULL, &figures, NULL)
         && fabs (value - figures) > 1e-9 * fabs (figures);
}

static gboolean
check_range (const char *value, const char *unit, char **wrong, GError **error)
{
  g_autoptr (GRegex) regex = g_regex_new ("([^ /]+)\\.\\.([^/]+)", 0, 0, NULL);
  g_autoptr (GMatchInfo) info = NULL;

  for (g_regex_match (regex, value, 0, &info); g_match_info_matches (info); g_match_info_next (info, NULL))
    {
      g_autofree char *low = g_match_info_fetch (info, 1), *high = g_strstrip (g_match_info_fetch (info, 2));
      if (!prefix_at_one_end (low, high, unit) && !prefix_at_one_end (high, low, unit))
        continue;
      *wrong = g_match_info_fetch (info, 0);
      return fail (error, _ ("the prefix stands at one end only; write it at both"));
    }
  return TRUE;
}

/* "12 V ±0.5": half a volt, or half a per cent? */
static gboolean
check_deviation (const char *value, char **wrong, GError **error)
{
  const char *sign = strstr (value, "±");

  if (sign == NULL)
    return TRUE;
  g_autofree char *nominal = g_strstrip (g_strndup (value, (gsize) (sign - value)));
  const char *deviation = sign + strlen ("±");
  if (*nominal == '\0' || strpbrk (deviation, "0123456789") == NULL)
    return fail (error, _ ("± stands between the value and how far it may be off"));
  if (!is_bare (deviation) || is_bare (nominal))
    return TRUE;
  *wrong = g_strdup (sign);
  return fail (error, _ ("± of what? Write % or the unit behind it"));
}

static gboolean
check_writing (const char *value, const char *unit, char **wrong, GError **error)
{
  if (strchr (value, '%') != NULL && !matches ("±|[+-]\\s*" NUMBER, value))
    return fail (error, _ ("per cent of a deviation are written with ± before them, or as +10 -20 %"));
  if (matches ("^\\s*" NUMBER "[^.±+]*[0-9A-Za-zµΩ]\\s*-\\s*" NUMBER "[^%+]*$", value) && strstr (value, "..") == NULL)
    return fail (error, _ ("a range is written with two points, 4.8..5.2"));
  return check_deviation (value, wrong, error) && check_range (value, unit, wrong, error);
}

/* --- deviations to both sides --- */

/* "10 uF +10 -20 %", "12 V +1 -0.5 V", "470u -20/+50 %": the nominal and both deviations. FALSE: not of this form. */
static gboolean
split_deviations (const char *value, char **nominal, char **one, char **two)
{
  g_autoptr (GRegex) regex = g_regex_new ("^(?!.*\\.\\.)(.*?[0-9A-Za-zµΩΩ.])\\s*([+-]\\s*[0-9][^+/-]*?)\\s*/?\\s*([+-]\\s*[0-9][^+/-]*)$",
                                          0, 0, NULL);
  g_autoptr (GMatchInfo) info = NULL;

  if (!g_regex_match (regex, value, 0, &info))
    return FALSE;
  *nominal = g_match_info_fetch (info, 1);
  *one = g_strstrip (g_match_info_fetch (info, 2));
  *two = g_strstrip (g_match_info_fetch (info, 3));
  return TRUE;
}

static gboolean
take_amounts (BlExpected *expected, const char *one, const char *two, const char *unit, GError **error)
{
  double a, b;

  if (!bl_quantity_parse (one, unit, &a, error) || !bl_quantity_parse (two, unit, &b, error))
    return FALSE;
  bl_quantity_clear (&expected->low); /* the nominal may have set limits of its own */
  bl_quantity_clear (&expected->high);
  expected->low.value = expected->nominal.value + MIN (a, b);
  expected->high.value = expected->nominal.value + MAX (a, b);
  expected->low.text = bl_quantity_to_text (expected->low.value, unit, 9);
  expected->high.text = bl_quantity_to_text (expected->high.value, unit, 9);
  return TRUE;
}

static gboolean
take_deviations (BlMeasurement *measurement, const char *nominal, const char *one, const char *two, GError **error)
{
  const char *unit = bl_measures_unit (measurement->measures);
  g_autofree char *upper = NULL, *lower = NULL;
  double below, above;
  gboolean share = g_str_has_suffix (two, "%");

  if (one[0] == two[0])
    return fail (error, _ ("one deviation goes up, +, and the other down, -"));
  if (!bl_expected_from_text (measurement, nominal, error))
    return FALSE;
  if (!bl_quantity_is_set (&measurement->expected.nominal))
    return fail (error, _ ("deviations stand behind the one value they are from"));
  if (!share && (is_bare (two) || is_bare (one)) && !is_bare (nominal))
    return fail (error, _ ("deviations of what? Write % or the unit behind each"));
  if (!share)
    return take_amounts (&measurement->expected, one, two, unit, error);
  upper = g_strdup (one[0] == '+' ? one : two);
  lower = g_strdup (one[0] == '+' ? two : one);
  g_autofree char *up = replaced (upper, "[\\s%]", ""), *down = replaced (lower, "[\\s%]", "");
  g_free (measurement->expected.tolerance);
  measurement->expected.tolerance = g_strdup_printf ("%s %%/%s %%", up, down);
  return bl_tolerance_parse (measurement->expected.tolerance, &below, &above, error);
}

/* --- reading --- */

/* "0.2..23.6 ±1 V" of a swing: both ends may be off by as much. */
static gboolean
take_swing (BlMeasurement *measurement, const char *value, GError **error)
{
  const char *sign = strstr (value, "±"), *dots = strstr (value, "..");
  double low, high, off;

  if (strchr (value, '/') != NULL || sign == NULL || dots == NULL || dots > sign)
    return bl_expected_from_text (measurement, value, error);
  g_autofree char *first = g_strndup (value, (gsize) (dots - value));
  g_autofree char *second = g_strstrip (g_strndup (dots + 2, (gsize) (sign - dots - 2)));
  if (strchr (sign, '%') != NULL)
    return fail (error, _ ("the ends of a swing are off by volts, not by per cent"));
  if (!bl_quantity_parse (first, "V", &low, error) || !bl_quantity_parse (second, "V", &high, error)
      || !bl_quantity_parse (sign + strlen ("±"), "V", &off, error))
    return FALSE;
  g_autofree char *a = bl_quantity_to_text (low - fabs (off), NULL, 9), *b = bl_quantity_to_text (low + fabs (off), NULL, 9);
  g_autofree char *c = bl_quantity_to_text (high - fabs (off), NULL, 9), *d = bl_quantity_to_text (high + fabs (off), NULL, 9);
  g_autofree char *whole = g_strdup_printf ("%s..%s / %s..%s", a, b, c, d);
  return bl_expected_from_text (measurement, whole, error);
}

/* The first quantity that is none, for the place of the mistake. (transfer full) */
static char *
first_wrong (const char *value, const char *unit)
{
  g_auto (GStrv) parts = g_regex_split_simple ("\\.\\.|±|[<>≤≥=/%]", value, 0, 0);
  double number;

  for (guint i = 0; parts != NULL && parts[i] != NULL; i++)
    {
      g_strstrip (parts[i]);
      if (*parts[i] != '\0' && !bl_quantity_parse (parts[i], unit, &number, NULL))
        return g_strdup (parts[i]);
    }
  return NULL;
}

gboolean
bl_entry_value_read (BlMeasurement *measurement, const char *value, char **wrong, GError **error)
{
  const char *unit = bl_measures_unit (measurement->measures);
  g_autofree char *nominal = NULL, *one = NULL, *two = NULL;
  gboolean read;

  *wrong = NULL;
  if (measurement->measures == BL_MEASURES_CHECK)
    return bl_expected_from_text (measurement, value, error);
  if (!check_writing (value, unit, wrong, error))
    return FALSE;
  if (measurement->measures == BL_MEASURES_SWING)
    read = take_swing (measurement, value, error);
  else if (split_deviations (value, &nominal, &one, &two))
    read = take_deviations (measurement, nominal, one, two, error);
  else
    read = bl_expected_from_text (measurement, value, error);
  if (!read)
    *wrong = first_wrong (value, unit);
  return read;
}

/* --- the kind --- */

static gboolean
reads_as (BlMeasures measures, const char *value)
{
  g_autoptr (BlMeasurement) trial = bl_measurement_new ();
  g_autofree char *wrong = NULL;

  trial->measures = measures;
  return bl_entry_value_read (trial, value, &wrong, NULL);
}

static gboolean
is_answer (const char *value)
{
  g_autoptr (BlMeasurement) trial = bl_measurement_new ();

  trial->measures = BL_MEASURES_CHECK;
  return *value != '\0' && bl_expected_from_text (trial, value, NULL);
}

/* "12" and "12 V" when a diode was tested last: figures alone are another diode, volts are a voltage. */
static BlMeasures
by_habit (const BlEntryHabit *habit, const char *value)
{
  gboolean volts = matches ("[0-9 mk][Vv]", value);

  if (habit->measures == BL_MEASURES_CHECK || (habit->measures == BL_MEASURES_SWING && strchr (value, '/') == NULL)
      || (habit->measures == BL_MEASURES_DIODE && volts))
    return habit->voltage;
  return habit->measures;
}

/* k and M behind a figure and nothing else are ohms, but where the last kind was hertz. u, n and p could be a
 * capacitor as well as a small voltage. */
static gboolean
by_prefix (const char *value, BlMeasures usual, BlMeasures *measures, GError **error)
{
  if (!matches ("[0-9]\\s*[kKMG](?![A-Za-z\\x{3a9}\\x{2126}])", value)
      && !matches ("[0-9]\\s*[unp\\x{b5}\\x{3bc}](?![A-Za-z\\x{3a9}\\x{2126}])", value))
    return TRUE;
  if (matches ("[VvAsΩΩ]|Hz|hz|ohm", value) || bl_measures_is_resistive (usual) || usual == BL_MEASURES_HZ)
    return TRUE;
  if (matches ("[0-9]\\s*[kKMG]", value))
    *measures = BL_MEASURES_OHM;
  else if (usual != BL_MEASURES_F && usual != BL_MEASURES_A_DC && usual != BL_MEASURES_A_AC && usual != BL_MEASURES_S)
    return fail (error, _ ("u, n and p alone could be farad or volt: write the unit, 470 uF"));
  return TRUE;
}

/* The one unit that fits where the last kind's does not. */
static gboolean
by_unit (const BlEntryHabit *habit, const char *value, BlMeasures *measures, GError **error)
{
  const BlMeasures kinds[] = { habit->voltage,  BL_MEASURES_OHM,  habit->current, BL_MEASURES_HZ,
                               BL_MEASURES_DEGC, BL_MEASURES_F, BL_MEASURES_S };
  BlMeasures found = BL_N_MEASURES;
  guint n = 0;

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      BlMeasures kind = kinds[i] < BL_N_MEASURES ? kinds[i] : BL_MEASURES_A_DC;
      if (!reads_as (kind, value))
        continue;
      found = kind;
      n++;
    }
  if (n != 1)
    return TRUE; /* the last kind's own reason is the best there is */
  if (found == BL_MEASURES_A_DC && habit->current == BL_N_MEASURES)
    return fail (error, _ ("A DC or A AC? Write it once"));
  *measures = found;
  return TRUE;
}

gboolean
bl_entry_value_kind (const BlEntryHabit *habit, const char *value, BlMeasures *measures, GError **error)
{
  BlMeasures usual = by_habit (habit, value);

  *measures = usual;
  if (is_answer (value) || (*value == '\0' && habit->measures == BL_MEASURES_CHECK))
    {
      *measures = BL_MEASURES_CHECK;
      return TRUE;
    }
  if (matches ("\\.\\.[^/%]*/", value))
    {
      *measures = BL_MEASURES_SWING;
      return TRUE;
    }
  if (!by_prefix (value, usual, measures, error))
    return FALSE;
  return *measures != usual || reads_as (usual, value) || by_unit (habit, value, measures, error);
}
