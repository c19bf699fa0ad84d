/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities in the trade's notation: "4K7", "R47", "4n7", "11,8 V", "100 nF", "3V3", "1e3".
 *
 * The text is first brought to ASCII (one blank for any blank, one spelling for a unit), then read
 * left to right into a decimal string with an exponent of ten, and only that string is converted.
 * So "4n7" is the double nearest to 4.7e-9 and not a product that misses it by a unit in the last
 * place, and no locale has a say in it.
 *
 * One comma or one point is always the decimal sign, never a thousands separator: "4,987" is what a
 * four-digit meter shows where the comma is written. Two signs in one number ("1,234.5") can only
 * be read by guessing and are refused. Digits may be grouped by blanks in threes ("12 000").
 * M is mega and m is milli, K and k are both kilo. The letter L of IEC 60062 (a thousandth of an
 * ohm) is not taken: "0L" is how some meters spell an overload.
 *
 * Texts are short (a field of a form or of a table); nothing here is meant for long ones. */
#include "config.h"

#include "bl-quantity.h"

#include <langinfo.h>
#include <stdlib.h>
#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-plain.h"

G_DEFINE_QUARK (bl-core-error-quark, bl_core_error)

gboolean
bl_quantity_is_set (const BlQuantity *quantity)
{
  g_return_val_if_fail (quantity != NULL, FALSE);
  return !isnan (quantity->value);
}

void
bl_quantity_clear (BlQuantity *quantity)
{
  g_return_if_fail (quantity != NULL);
  g_free (quantity->text);
  *quantity = BL_QUANTITY_NONE;
}

/* Copies from into to, which may hold a quantity already. */
void
bl_quantity_copy (BlQuantity *to, const BlQuantity *from)
{
  char *text;

  g_return_if_fail (to != NULL && from != NULL);
  text = g_strdup (from->text);
  g_free (to->text);
  to->value = from->value;
  to->text = text;
}

/* --- Reading ---------------------------------------------------------------------------------- */

/* Spellings of units; what stands behind a number is compared with them as a whole. Capitals matter only
 * where a letter alone could be something else: "s" is the second and not the siemens, "f" a prefix. */
static const struct
{
  const char *spelling;
  const char *unit;
  gboolean exact;
} spellings[] = {
  { "V", "V", FALSE },       { "VDC", "V", FALSE },     { "V DC", "V", FALSE },       { "VAC", "V", FALSE },
  { "V AC", "V", FALSE },    { "Vpp", "V", FALSE },     { "V pp", "V", FALSE },       { "Vp-p", "V", FALSE },
  { "volt", "V", FALSE },    { "volts", "V", FALSE },   { "volts DC", "V", FALSE },   { "volts AC", "V", FALSE },
  { "A", "A", FALSE },       { "ADC", "A", FALSE },     { "A DC", "A", FALSE },       { "AAC", "A", FALSE },
  { "A AC", "A", FALSE },    { "amp", "A", FALSE },     { "amps", "A", FALSE },       { "ampere", "A", FALSE },
  { "Hz", "Hz", FALSE },     { "hertz", "Hz", FALSE },  { "F", "F", TRUE },           { "farad", "F", FALSE },
  { "H", "H", FALSE },       { "henry", "H", FALSE },   { "s", "s", TRUE },           { "sec", "s", FALSE },
  { "secs", "s", FALSE },    { "second", "s", FALSE },  { "seconds", "s", FALSE },    { "W", "W", FALSE },
  { "watt", "W", FALSE },    { "watts", "W", FALSE },   { "VA", "VA", FALSE },        { "ohm", "ohm", FALSE },
  { "ohms", "ohm", FALSE },  { "R", "ohm", FALSE },     { "degC", "degC", FALSE },    { "C", "degC", FALSE },
  { "deg C", "degC", FALSE }, { "celsius", "degC", FALSE },
};

/* Exponent of ten of a prefix letter; G_MAXINT when it is none. The text was brought to ASCII, so
 * micro is "u" here. */
static int
prefix_exponent (char letter)
{
  switch (letter)
    {
    case 'f':
      return -15;
    case 'p':
      return -12;
    case 'n':
      return -9;
    case 'u':
      return -6;
    case 'm':
      return -3;
    case 'k':
    case 'K':
      return 3;
    case 'M':
      return 6;
    case 'G':
      return 9;
    case 'T':
      return 12;
    default:
      return G_MAXINT;
    }
}

static const char *
unit_of (const char *spelling)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spellings); i++)
    if (strcmp (spelling, spellings[i].spelling) == 0
        || (!spellings[i].exact && g_ascii_strcasecmp (spelling, spellings[i].spelling) == 0))
      return spellings[i].unit;
  return NULL;
}

/* The unit behind a prefix, which a blank may part from it ("k ohm"). After p, n and u an "f" can only be
 * the farad; "mf" can be a thousandth or, in old papers, a millionth, and is nothing here. */
static const char *
unit_after (char prefix, const char *rest)
{
  if (*rest == ' ')
    rest++;
  if (strcmp (rest, "f") == 0 && strchr ("pnu", prefix) != NULL)
    return "F";
  return unit_of (rest);
}

/* Copies digits to number. Returns how many there were. */
static guint
take_digits (const char **at, GString *number)
{
  guint count = 0;

  for (; g_ascii_isdigit (**at); (*at)++, count++)
    g_string_append_c (number, **at);
  return count;
}

/* Copies the digits before a decimal sign, which blanks may group in threes. */
static guint
take_whole (const char **at, GString *number)
{
  guint count = take_digits (at, number);

  if (count == 0 || count > 3)
    return count;
  while ((*at)[0] == ' ' && g_ascii_isdigit ((*at)[1]) && g_ascii_isdigit ((*at)[2]) &&
         g_ascii_isdigit ((*at)[3]) && !g_ascii_isdigit ((*at)[4]))
    {
      (*at)++;
      count += take_digits (at, number);
    }
  return count;
}

/* The parts of a quantity as they are found. */
typedef struct
{
  GString *number;  /* digits with at most one point, sign first */
  int exponent;     /* of ten, from "e3" or a letter */
  gboolean letter;  /* the decimal sign was a letter: no further prefix may follow */
  gboolean prefix;  /* a prefix stands behind the number */
  const char *unit; /* that the letter tells ("R", "V", "A"), or NULL */
} Parts;

/* Reads a letter in the place of the decimal sign, IEC 60062 ("4K7", "R47"), or the trade's "3V3"
 * (common practice, no source). TRUE when there was one and digits follow it. */
static gboolean
take_letter (const char **at, Parts *parts, guint whole)
{
  char letter = **at;
  int exponent = prefix_exponent (letter);

  if (letter == '\0' || !g_ascii_isdigit ((*at)[1]))
    return FALSE;
  if (letter == 'R' || letter == 'r')
    parts->unit = "ohm";
  else if (whole > 0 && (letter == 'V' || letter == 'v'))
    parts->unit = "V";
  else if (whole > 0 && (letter == 'A' || letter == 'a'))
    parts->unit = "A";
  else if (exponent == G_MAXINT)
    return FALSE;
  if (exponent != G_MAXINT)
    parts->exponent = exponent;
  parts->letter = TRUE;
  (*at)++;
  g_string_append (parts->number, whole > 0 ? "." : "0.");
  take_digits (at, parts->number);
  return TRUE;
}

/* Reads "e3", "E-6". TRUE when there was none or it is sound. */
static gboolean
take_exponent (const char **at, Parts *parts)
{
  const char *digits;
  char *end = NULL;
  gint64 value;

  if (**at != 'e' && **at != 'E')
    return TRUE;
  digits = *at + 1;
  if (*digits == '-' || *digits == '+')
    digits++;
  if (!g_ascii_isdigit (*digits))
    return FALSE;
  value = g_ascii_strtoll (*at + 1, &end, 10);
  parts->exponent = (int) CLAMP (value, -2000, 2000);
  *at = end;
  return TRUE;
}

/* Reads the number itself, up to the blank, prefix or unit behind it. */
static gboolean
take_number (const char **at, Parts *parts)
{
  guint whole, decimals = 0;

  if (**at == '-' || **at == '+')
    {
      if (**at == '-')
        g_string_append_c (parts->number, '-');
      (*at)++;
      if (**at == ' ')
        (*at)++;
    }
  whole = take_whole (at, parts->number);
  if (take_letter (at, parts, whole))
    return TRUE;
  if (**at == '.' || **at == ',')
    {
      (*at)++;
      g_string_append_c (parts->number, '.');
      decimals = take_digits (at, parts->number);
    }
  if (whole + decimals == 0)
    return FALSE;
  return take_exponent (at, parts);
}

/* Reads what stands behind the number: nothing, a unit, a prefix, or both. Returns FALSE when it is
 * neither. A unit is looked for before a prefix, so "m" and "F" are never in doubt. */
static gboolean
take_unit (const char *rest, Parts *parts)
{
  const char *unit;
  int exponent;

  if (*rest == ' ')
    rest++;
  if (*rest == '\0')
    return TRUE;
  unit = unit_of (rest);
  if (unit == NULL && !parts->letter)
    {
      exponent = prefix_exponent (*rest);
      if (exponent == G_MAXINT)
        return FALSE;
      parts->exponent += exponent;
      parts->prefix = TRUE;
      rest++;
      if (*rest == '\0')
        return TRUE;
      unit = unit_after (rest[-1], rest);
    }
  if (unit == NULL || (parts->unit != NULL && strcmp (parts->unit, unit) != 0))
    return FALSE;
  parts->unit = unit;
  return TRUE;
}

static gboolean
fail (GError **error, const char *text, const char *reason)
{
  g_autofree char *shown = g_utf8_make_valid (text, MIN (strlen (text), BL_PLAIN_MAX));

  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _("“%s” is not a quantity: %s"), shown,
               reason);
  return FALSE;
}

/* Says why what follows the number could not be read. */
static gboolean
fail_rest (GError **error, const char *text, const char *rest)
{
  g_autofree char *reason = NULL;

  if (*rest == '.' || *rest == ',')
    return fail (error, text, _("it has more than one decimal sign; write thousands without a sign, “1234.5”"));
  while (*rest == ' ')
    rest++;
  if (g_ascii_isdigit (*rest))
    return fail (error, text, _("it has digits after a blank; write one number, “12.1” or “121”"));
  if ((*rest == 'O' || *rest == 'o') && unit_of (rest) == NULL && strchr ("0123456789.,", rest[1]) != NULL)
    return fail (error, text, _("it has the letter O where a nought belongs"));
  if (strcmp (rest, "mf") == 0)
    return fail (error, text, _("“mf” is read in two ways; write uF or mF"));
  reason = g_strdup_printf (_("“%s” is no unit or prefix known here"), rest);
  return fail (error, text, reason);
}

/* Says why a text has no number at its beginning. */
static gboolean
fail_begin (GError **error, const char *text, const char *plain)
{
  if (strchr ("~<>=", plain[0]) != NULL || g_ascii_strncasecmp (plain, "ca", 2) == 0)
    return fail (error, text, _("it does not begin with a number; give the figure as it was read"));
  if ((plain[0] == 'O' || plain[0] == 'o') && (plain[1] == '.' || plain[1] == ',') && g_ascii_isdigit (plain[2]))
    return fail (error, text, _("it does not begin with a number: it has the letter O where a nought belongs"));
  return fail (error, text, _("it does not begin with a number"));
}

/* Says why a text could not be brought to ASCII. */
static gboolean
fail_plain (GError **error, const char *text, gunichar strange)
{
  g_autofree char *reason = NULL;
  char utf8[8] = "";

  if (strange == 0 || !g_unichar_isprint (strange))
    return fail (error, text, _("it is too long or has a character that no quantity has"));
  utf8[g_unichar_to_utf8 (strange, utf8)] = '\0';
  reason = g_strdup_printf (_("“%s” is a character that no quantity has"), utf8);
  return fail (error, text, reason);
}

gboolean
bl_quantity_parse (const char *text, const char *unit, double *value, GError **error)
{
  g_autofree char *plain = NULL;
  g_autoptr (GString) number = g_string_new (NULL);
  g_autofree char *reason = NULL;
  Parts parts = { number, 0, FALSE, FALSE, NULL };
  const char *at;
  gunichar strange;
  double result;

  g_return_val_if_fail (text != NULL && value != NULL, FALSE);
  plain = bl_plain_text (text, &strange);
  if (plain == NULL)
    return fail_plain (error, text, strange);
  if (*plain == '\0')
    return fail (error, text, _("it is empty"));
  at = plain;
  if (!take_number (&at, &parts))
    return fail_begin (error, text, plain);
  if (!take_unit (at, &parts))
    return fail_rest (error, text, at);
  if (unit != NULL && parts.unit != NULL && strcmp (parts.unit, unit) != 0)
    {
      reason = g_strdup_printf (_("it is in %s where %s is expected"), parts.unit, unit);
      return fail (error, text, reason);
    }
  if ((parts.prefix || parts.letter) && g_strcmp0 (parts.unit ? parts.unit : unit, "degC") == 0)
    return fail (error, text, _("a temperature is given in °C without a prefix"));
  g_string_append_printf (number, "e%d", parts.exponent);
  result = g_ascii_strtod (number->str, NULL);
  if (!isfinite (result))
    return fail (error, text, _("it is too large"));
  *value = result;
  return TRUE;
}

/* --- Writing ---------------------------------------------------------------------------------- */

/* Prefixes from -15 to 12 in steps of three. */
static const char *const prefixes[] = { "f", "p", "n", "u", "m", "", "k", "M", "G", "T" };
#define FIRST_EXPONENT (-15)
#define LAST_EXPONENT 12

/* Exponent of the prefix the trade would use for a value of this decimal exponent: capacitors stay
 * in µF up to the farad (not mF), time above a second and temperatures have no prefix. */
static int
display_exponent (int exponent, const char *unit)
{
  int engineering = (int) floor (exponent / 3.0) * 3;

  engineering = CLAMP (engineering, FIRST_EXPONENT, LAST_EXPONENT);
  if (unit == NULL)
    return engineering;
  if (strcmp (unit, "degC") == 0 || (strcmp (unit, "s") == 0 && engineering > 0))
    return 0;
  if (strcmp (unit, "F") == 0 && engineering == -3)
    return -6;
  return engineering;
}

/* Writes digits (without a point; the first has the weight 10^exponent) with radix as decimal sign
 * and without zeros that say nothing. */
static void
append_decimal (GString *out, const char *digits, int exponent, const char *radix)
{
  int count = (int) strlen (digits), whole = exponent + 1;

  while (count > 1 && digits[count - 1] == '0')
    count--;
  if (whole <= 0)
    {
      g_string_append_printf (out, "0%s", radix);
      for (int zero = whole; zero < 0; zero++)
        g_string_append_c (out, '0');
      g_string_append_len (out, digits, count);
      return;
    }
  for (int place = 0; place < MAX (whole, count); place++)
    {
      if (place == whole)
        g_string_append (out, radix);
      g_string_append_c (out, place < count ? digits[place] : '0');
    }
}

/* How a writer spells what differs between a reader and a file. */
typedef struct
{
  const char *radix, *micro, *unit;
} Spelling;

static char *
write_quantity (double value, const char *unit, int digits, const Spelling *spelling)
{
  g_autoptr (GString) out = g_string_new (value < 0 ? "-" : NULL);
  char format[16], scientific[40], significant[24];
  int exponent, scale = 0, count = 0;
  const char *prefix;

  g_snprintf (format, sizeof format, "%%.%de", CLAMP (digits, 1, 17) - 1);
  g_ascii_formatd (scientific, sizeof scientific, format, fabs (value));
  exponent = atoi (strchr (scientific, 'e') + 1);
  for (const char *at = scientific; *at != 'e'; at++)
    if (g_ascii_isdigit (*at))
      significant[count++] = *at;
  significant[count] = '\0';
  if (exponent < FIRST_EXPONENT || exponent > LAST_EXPONENT + 2)
    {
      append_decimal (out, significant, 0, spelling->radix);
      g_string_append_printf (out, "e%d", exponent);
    }
  else
    {
      scale = significant[0] == '0' ? 0 : display_exponent (exponent, unit);
      append_decimal (out, significant, exponent - scale, spelling->radix);
    }
  prefix = prefixes[(scale - FIRST_EXPONENT) / 3];
  if (unit != NULL)
    g_string_append_c (out, ' ');
  g_string_append (out, *prefix == 'u' ? spelling->micro : prefix);
  if (unit != NULL)
    g_string_append (out, spelling->unit);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

char *
bl_quantity_format (double value, const char *unit, int digits)
{
  Spelling spelling = { nl_langinfo (RADIXCHAR), "µ", unit };

  if (isnan (value))
    return g_strdup ("–");
  if (isinf (value))
    return g_strdup (value > 0 ? "∞" : "-∞");
  if (g_strcmp0 (unit, "ohm") == 0)
    spelling.unit = "Ω";
  else if (g_strcmp0 (unit, "degC") == 0)
    spelling.unit = "°C";
  return write_quantity (value, unit, digits, &spelling);
}

char *
bl_quantity_to_text (double value, const char *unit, int digits)
{
  Spelling spelling = { ".", "u", unit };

  g_return_val_if_fail (isfinite (value), NULL);
  return write_quantity (value, unit, digits, &spelling);
}

char *
bl_quantity_with_point (const char *text)
{
  g_return_val_if_fail (text != NULL, NULL);
  /* A comma in a quantity is its decimal sign and nothing else. */
  return g_strdelimit (g_strdup (text), ",", '.');
}
