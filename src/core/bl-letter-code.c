/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The letter code of IEC 60062: a letter stands where the decimal sign would and says the multiplier,
 * "4K7", "R47", "4n7"; a second one behind says the tolerance, "4K7J".
 *
 * Which letters there are depends on the component: K and M are multipliers on a resistor and tolerances
 * on a capacitor. On coils the trade writes R for µH and N for nH (common practice, no source), and on
 * capacitors R for pF or, on those that are counted in µF, for µF (the same). */
#include "config.h"

#include "bl-part-private.h"

#include <string.h>

#include <glib/gi18n-lib.h>

typedef struct
{
  char letter;
  int exponent;
  const char *says;
} Letter;

/* IEC 60062 (from memory, but for R, K and M). Lower case is common where no other letter is meant. */
static const Letter ohms[] = {
  { 'L', -3, "mΩ" }, { 'm', -3, "mΩ" }, { 'R', 0, "Ω" }, { 'r', 0, "Ω" },  { 'K', 3, "kΩ" },
  { 'k', 3, "kΩ" },  { 'M', 6, "MΩ" },  { 'G', 9, "GΩ" }, { 'T', 12, "TΩ" },
};
static const Letter farads[] = {
  { 'p', -12, "pF" }, { 'P', -12, "pF" }, { 'n', -9, "nF" }, { 'N', -9, "nF" },
  { 'u', -6, "µF" },  { 'U', -6, "µF" },  { 'm', -3, "mF" },
};
static const Letter henries[] = {
  { 'n', -9, "nH" }, { 'N', -9, "nH" }, { 'u', -6, "µH" }, { 'U', -6, "µH" },
  { 'R', -6, "µH" }, { 'r', -6, "µH" }, { 'm', -3, "mH" },
};
static const Letter volts[] = { { 'V', 0, "V" }, { 'v', 0, "V" } };

static const Letter *
letters_of (BlPartFamily family, gsize *n)
{
  switch (family)
    {
    case BL_PART_RESISTOR:
      *n = G_N_ELEMENTS (ohms);
      return ohms;
    case BL_PART_CAPACITOR:
      *n = G_N_ELEMENTS (farads);
      return farads;
    case BL_PART_INDUCTOR:
      *n = G_N_ELEMENTS (henries);
      return henries;
    case BL_PART_ZENER:
      *n = G_N_ELEMENTS (volts);
      return volts;
    case BL_PART_VARISTOR:
    case BL_PART_OTHER:
    default:
      *n = 0;
      return NULL;
    }
}

/* digits, a letter, digits, and behind them nothing or one letter. */
typedef struct
{
  const char *whole, *decimals;
  gsize n_whole, n_decimals;
  char letter, behind;
} Shape;

static gboolean
take_shape (const char *code, Shape *shape)
{
  const char *at = code;

  shape->whole = at;
  shape->n_whole = strspn (at, "0123456789");
  at += shape->n_whole;
  if (!g_ascii_isalpha (*at))
    return FALSE;
  shape->letter = *at++;
  shape->decimals = at;
  shape->n_decimals = strspn (at, "0123456789");
  at += shape->n_decimals;
  shape->behind = *at;
  return shape->n_whole + shape->n_decimals > 0 && shape->n_whole <= 4 && shape->n_decimals <= 4
         && (*at == '\0' || (g_ascii_isupper (*at) && at[1] == '\0'));
}

static void
add (BlPartReader *reader, const Shape *shape, int exponent, const char *says, char tolerance, int rank)
{
  g_autofree char *digits = g_strdup_printf ("%.*s.%.*s", (int) shape->n_whole, shape->whole,
                                             (int) shape->n_decimals, shape->decimals);
  char *how = shape->n_decimals > 0
                ? g_strdup_printf (_("letter code: %c is the decimal sign and says %s"), shape->letter, says)
                : g_strdup_printf (_("letter code: %c behind the digits says %s"), shape->letter, says);

  bl_part_add (reader, bl_part_number (digits, exponent), tolerance, rank, how);
}

/* An R on a capacitor is a decimal sign alone. */
static void
read_point (BlPartReader *reader, const Shape *shape)
{
  gboolean large = bl_part_is (reader->kind, "capacitor.electrolytic")
                   || bl_part_is (reader->kind, "capacitor.tantalum") || bl_part_is (reader->kind, "capacitor.film");

  if (shape->n_decimals == 0)
    return;
  add (reader, shape, -12, "pF", shape->behind, large ? 2 : 0);
  add (reader, shape, -6, "µF", shape->behind, large ? 0 : 2);
}

void
bl_part_read_letters (BlPartReader *reader, const char *code)
{
  gsize n;
  const Letter *letters = letters_of (reader->family, &n);
  gboolean unit;
  Shape shape;

  if (!take_shape (code, &shape))
    return;
  if (reader->family == BL_PART_CAPACITOR && (shape.letter == 'R' || shape.letter == 'r'))
    read_point (reader, &shape);
  /* "47nF", "4n7F": the F is the farad before it is 1 %. */
  unit = reader->family == BL_PART_CAPACITOR && shape.behind == 'F';
  for (gsize i = 0; i < n; i++)
    if (letters[i].letter == shape.letter)
      {
        add (reader, &shape, letters[i].exponent, letters[i].says, unit ? '\0' : shape.behind, 0);
        if (unit && shape.n_decimals > 0)
          add (reader, &shape, letters[i].exponent, letters[i].says, shape.behind, 1);
      }
}
