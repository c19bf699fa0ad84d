/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values with a unit ("4.7 kΩ", "100 nF"), and figures alone, whose unit the kind of component tells:
 * ohm, pF or µF, µH, V (common practice, no source). A figure alone is the second thought where it might
 * be a digit code. */
#include "config.h"

#include "bl-part-private.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-quantity.h"

/* More than any part has, SI base units: "47K" is no 47 000 F. */
static double
largest (BlPartFamily family)
{
  switch (family)
    {
    case BL_PART_CAPACITOR:
      return 5000;
    case BL_PART_INDUCTOR:
      return 1000;
    case BL_PART_ZENER:
    case BL_PART_VARISTOR:
      return 1e4;
    case BL_PART_RESISTOR:
    case BL_PART_OTHER:
    default:
      return 1e15;
    }
}

/* Rank of a figure alone: behind a digit code, but before one whose value nobody makes. */
static int
figure_rank (double value)
{
  return bl_e_series_of (value) != BL_E_NONE ? 1 : 3;
}

static void
add_figure (BlPartReader *reader, const char *digits, int exponent, const char *says, int rank)
{
  bl_part_add (reader, bl_part_number (digits, exponent), '\0', rank,
               g_strdup_printf (_("a figure alone, taken as %s"), says));
}

/* Capacitors that are counted in µF say so by their kind; on others a small figure with a decimal sign is
 * in µF, a whole one in pF. */
static void
read_capacitor_figure (BlPartReader *reader, const char *digits, gsize whole, gboolean point)
{
  gboolean micro
    = bl_part_is (reader->kind, "capacitor.electrolytic") || bl_part_is (reader->kind, "capacitor.tantalum");
  gboolean film = bl_part_is (reader->kind, "capacitor.film") || bl_part_is (reader->kind, "capacitor.paper");
  double figure = g_ascii_strtod (digits, NULL);
  int rank = whole == 3 && !point && !micro ? 1 : 0;

  if (micro || (point && figure < 1))
    {
      add_figure (reader, digits, -6, "µF", bl_part_is (reader->kind, "capacitor.tantalum") && whole == 3 ? 1 : 0);
      return;
    }
  add_figure (reader, digits, -12, "pF", film && figure < 20 ? 2 : rank);
  if (figure < 20)
    add_figure (reader, digits, -6, "µF", film ? 0 : 2);
}

static void
read_figure (BlPartReader *reader, const char *digits, gsize whole, gboolean point)
{
  double value = g_ascii_strtod (digits, NULL);

  switch (reader->family)
    {
    case BL_PART_CAPACITOR:
      read_capacitor_figure (reader, digits, whole, point);
      break;
    case BL_PART_INDUCTOR:
      add_figure (reader, digits, -6, "µH", whole == 3 && !point ? figure_rank (value) : 0);
      break;
    case BL_PART_ZENER:
    case BL_PART_VARISTOR:
      add_figure (reader, digits, 0, "V", reader->family == BL_PART_VARISTOR && whole == 3 ? 1 : 0);
      break;
    case BL_PART_RESISTOR:
    case BL_PART_OTHER:
    default:
      add_figure (reader, digits, 0, "Ω", !point && (whole == 3 || whole == 4) ? figure_rank (value) : 0);
      break;
    }
}

/* "47K", "22J" on parts whose letters behind are tolerances. */
static void
read_figure_with_letter (BlPartReader *reader, const char *code, gsize n)
{
  g_autofree char *digits = g_strndup (code, n);

  if (reader->family == BL_PART_CAPACITOR && !bl_part_is (reader->kind, "capacitor.electrolytic"))
    bl_part_add (reader, bl_part_number (digits, -12), code[n], 0,
                 g_strdup_printf (_("figure in pF with %c for its tolerance"), code[n]));
  else if (reader->family == BL_PART_INDUCTOR)
    bl_part_add (reader, bl_part_number (digits, -6), code[n], 0,
                 g_strdup_printf (_("figure in µH with %c for its tolerance"), code[n]));
}

void
bl_part_read_plain (BlPartReader *reader, const char *code)
{
  gsize n = strspn (code, "0123456789"), length = strlen (code);
  gsize figures = strspn (code, "0123456789.,");
  g_autofree char *digits = NULL;
  double value;

  if (figures == length && length > 0)
    {
      if (!bl_quantity_parse (code, bl_part_unit (reader->family), &value, NULL) || !(value > 0))
        return;
      digits = g_strdelimit (g_strdup (code), ",", '.');
      read_figure (reader, digits, n, n < length);
      return;
    }
  if (n >= 1 && n <= 2 && length == n + 1 && g_ascii_isupper (code[n]))
    read_figure_with_letter (reader, code, n);
  if (strspn (code, "0123456789., ") == length
      || !bl_quantity_parse (code, bl_part_unit (reader->family), &value, NULL) || !(value >= 0)
      || value > largest (reader->family) || (reader->family == BL_PART_RESISTOR && value > 0 && value < 1e-6))
    return;
  /* What is a letter code has been read as one; a meaning found before is not told twice. */
  bl_part_add (reader, value, '\0', 0, g_strdup (_("value with its unit")));
}
