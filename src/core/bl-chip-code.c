/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Codes of parts too small for more: digits with the last one counting noughts ("472", "4702", "104K"),
 * EIA-96 ("68C"), and the letter and digit of chip capacitors ("S3").
 *
 * "10R" is 10 ohm in the letter code and 1.24 ohm in EIA-96. Decoders that were looked at take the letter
 * code first, so it has the lower rank here, and the other meaning is told. */
#include "config.h"

#include "bl-part-private.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* --- digits --- */

/* What the digits of a family count in. */
static int
base_exponent (BlPartFamily family, const char **says)
{
  switch (family)
    {
    case BL_PART_CAPACITOR:
      *says = "pF";
      return -12;
    case BL_PART_INDUCTOR:
      *says = "µH";
      return -6;
    case BL_PART_VARISTOR:
      *says = "V";
      return 0;
    case BL_PART_RESISTOR:
    case BL_PART_ZENER:
    case BL_PART_OTHER:
    default:
      *says = "Ω";
      return 0;
    }
}

/* Electrolytics have room for µF as they are: there a digit code is the second thought. */
static int
digits_rank (const BlPartReader *reader, double value)
{
  gboolean doubtful = bl_part_is (reader->kind, "capacitor.electrolytic") || bl_e_series_of (value) == BL_E_NONE;
  return doubtful ? 2 : 0;
}

/* The last digit counts noughts; on capacitors 8 and 9 divide, by 100 and by 10 (EIA-198, from memory). */
static void
read_digits (BlPartReader *reader, const char *code, gsize n, char tolerance)
{
  g_autofree char *digits = g_strndup (code, n - 1);
  int noughts = code[n - 1] - '0';
  const char *says;
  int base = base_exponent (reader->family, &says);
  char *how;

  if (reader->family == BL_PART_CAPACITOR && noughts >= 8)
    {
      noughts -= 10;
      how = g_strdup_printf (noughts == -1 ? _("digit code: a tenth of %s, in %s")
                                           : _("digit code: a hundredth of %s, in %s"),
                             digits, says);
    }
  else
    how = g_strdup_printf (ngettext ("digit code: %s and %d nought, in %s", "digit code: %s and %d noughts, in %s",
                                     (gulong) noughts),
                           digits, noughts, says);
  double value = bl_part_number (digits, base + noughts);
  bl_part_add (reader, value, tolerance, digits_rank (reader, value), how);
}

/* --- EIA-96 --- */

/* Multipliers as most decoders that were seen have them; some write R, S and H for Y, X and B. */
static gboolean
eia96_exponent (char letter, int *exponent)
{
  static const struct
  {
    const char *letters;
    int exponent;
  } rows[] = { { "Z", -3 }, { "YR", -2 }, { "XS", -1 }, { "A", 0 }, { "BH", 1 },
               { "C", 2 },  { "D", 3 },   { "E", 4 },   { "F", 5 } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (letter != '\0' && strchr (rows[i].letters, letter) != NULL)
      {
        *exponent = rows[i].exponent;
        return TRUE;
      }
  return FALSE;
}

static void
read_eia96 (BlPartReader *reader, const char *code)
{
  guint index = (guint) (10 * (code[0] - '0') + code[1] - '0');
  int exponent;
  g_autofree char *digits = NULL;

  if (index < 1 || index > 96 || !eia96_exponent (code[2], &exponent))
    return;
  digits = g_strdup_printf ("%u", bl_e_series_step (BL_E96, index - 1));
  /* The code is for parts of 1 % (from memory). */
  bl_part_add (reader, bl_part_number (digits, exponent), 'F', 1,
               g_strdup_printf (_("EIA-96: %.2s is %s, %c times %g"), code, digits, code[2], pow (10, exponent)));
}

/* --- letter and digit of chip capacitors --- */

/* EIA-198, from memory: the letters without I and O are the values of E24 in order, lower case ones lie
 * between; the digit counts noughts in pF, and 9 is a tenth. */
static double
eia198_value (char letter)
{
  static const char upper[] = "ABCDEFGHJKLMNPQRSTUVWXYZ", lower[] = "abdefmnty";
  static const int between[] = { 25, 35, 40, 45, 50, 60, 70, 80, 90 };
  const char *at = strchr (upper, letter);

  if (letter == '\0')
    return NAN;
  if (at != NULL)
    return bl_e_series_step (BL_E24, (guint) (at - upper)) / 10.0;
  at = strchr (lower, letter);
  return at != NULL ? between[at - lower] : NAN;
}

static void
read_eia198 (BlPartReader *reader, const char *code)
{
  double tenths = eia198_value (code[0]);
  int noughts = code[1] - '0';
  g_autofree char *digits = NULL;
  char *how;

  if (isnan (tenths) || bl_part_is (reader->kind, "capacitor.film")
      || bl_part_is (reader->kind, "capacitor.electrolytic"))
    return;
  digits = g_strdup_printf ("%d", (int) lround (tenths));
  if (noughts == 9)
    how = g_strdup_printf (_("letter and digit of a chip: %c is %c.%c, a tenth of that, in pF"), code[0], digits[0],
                           digits[1]);
  else
    how = g_strdup_printf (ngettext ("letter and digit of a chip: %c is %c.%c, times 1 and %d nought, in pF",
                                     "letter and digit of a chip: %c is %c.%c, times 1 and %d noughts, in pF",
                                     (gulong) noughts),
                           code[0], digits[0], digits[1], noughts);
  bl_part_add (reader, bl_part_number (digits, (noughts == 9 ? -1 : noughts) - 13), '\0', 2, how);
}

void
bl_part_read_chip (BlPartReader *reader, const char *code)
{
  gsize n = strspn (code, "0123456789"), length = strlen (code);
  char behind = code[n];

  if (reader->family == BL_PART_RESISTOR && n >= 1 && n <= 4 && strspn (code, "0") == length)
    {
      bl_part_add (reader, 0, '\0', 0, g_strdup (_("noughts alone: a jumper")));
      return;
    }
  if (reader->family == BL_PART_RESISTOR && n == 2 && length == 3)
    read_eia96 (reader, code);
  if (reader->family == BL_PART_CAPACITOR && length == 2 && n == 0 && g_ascii_isdigit (code[1]))
    read_eia198 (reader, code);
  if (reader->family == BL_PART_ZENER || code[0] == '0' || length > n + 1
      || (behind != '\0' && !g_ascii_isupper (behind)))
    return;
  /* On a resistor K and M behind digits are multipliers: the letter code has them. */
  if (reader->family == BL_PART_RESISTOR && behind != '\0' && strchr ("KMRLGT", behind) != NULL)
    return;
  if (n == 3 || (n == 4 && reader->family == BL_PART_RESISTOR))
    read_digits (reader, code, n, behind);
}
