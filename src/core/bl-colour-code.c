/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands of colour on resistors and coils, IEC 60062: two or three digits, a multiplier, a tolerance and
 * perhaps a temperature coefficient.
 *
 * The end to begin at is the one the bands crowd at, which a text does not tell: so both are tried, and
 * what no edition gives a meaning (gold as a digit) rules a direction out. Three bands are 20 %. One black
 * band alone is a jumper and not read here. On coils the value is in µH (common practice, no source).
 * Bands on capacitors have had several meanings and are not read. */
#include "config.h"

#include "bl-colour-code.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-part-private.h"
#include "bl-quantity.h"

/* What is never said. */
#define NO NAN

/* IEC 60062 and IEC 60757, all from memory. Of the tolerances the edition of 2016 says 0.05 % for orange,
 * 0.02 % for yellow, and 0.01 % for grey, which was 0.05 % before. */
static const struct
{
  const char *name, *letters;
  int exponent;
  double tolerance; /* per cent */
  double earlier;   /* per cent, before 2016 where it differs */
  double ppm;
  guint edition; /* the tolerance is of this edition and later; 0: of all */
} colours[BL_N_RINGS] = {
  [BL_RING_BLACK] = { N_("black"), "BK", 0, NO, NO, 250, 0 },
  [BL_RING_BROWN] = { N_("brown"), "BN", 1, 1, NO, 100, 0 },
  [BL_RING_RED] = { N_("red"), "RD", 2, 2, NO, 50, 0 },
  [BL_RING_ORANGE] = { N_("orange"), "OG", 3, 0.05, NO, 15, 2016 },
  [BL_RING_YELLOW] = { N_("yellow"), "YE", 4, 0.02, NO, 25, 2016 },
  [BL_RING_GREEN] = { N_("green"), "GN", 5, 0.5, NO, 20, 0 },
  [BL_RING_BLUE] = { N_("blue"), "BU", 6, 0.25, NO, 10, 0 },
  [BL_RING_VIOLET] = { N_("violet"), "VT", 7, 0.1, NO, 5, 0 },
  [BL_RING_GREY] = { N_("grey"), "GY", 8, 0.01, 0.05, 1, 2016 },
  [BL_RING_WHITE] = { N_("white"), "WH", 9, NO, NO, NO, 0 },
  [BL_RING_GOLD] = { N_("gold"), "GD", -1, 5, NO, NO, 0 },
  [BL_RING_SILVER] = { N_("silver"), "SR", -2, 10, NO, NO, 0 },
  [BL_RING_PINK] = { N_("pink"), "PK", -3, NO, NO, NO, 0 },
};

BlRingPlace
bl_ring_place (guint n, guint i)
{
  guint digits = n >= 5 ? 3 : 2;

  if (i < digits)
    return BL_RING_DIGIT;
  if (i == digits)
    return BL_RING_MULTIPLIER;
  return i == digits + 1 ? BL_RING_TOLERANCE : BL_RING_DRIFT;
}

double
bl_ring_says (BlRing ring, BlRingPlace place, gboolean earlier, guint *edition)
{
  g_return_val_if_fail (ring < BL_N_RINGS, NAN);
  if (edition != NULL)
    *edition = 0;
  switch (place)
    {
    case BL_RING_DIGIT:
      return ring <= BL_RING_WHITE ? (double) ring : NAN;
    case BL_RING_MULTIPLIER:
      return colours[ring].exponent;
    case BL_RING_TOLERANCE:
      if (edition != NULL)
        *edition = earlier ? 2004 : colours[ring].edition;
      return (earlier ? colours[ring].earlier : colours[ring].tolerance) / 100;
    case BL_RING_DRIFT:
    default:
      return colours[ring].ppm;
    }
}

const char *
bl_ring_name (BlRing ring)
{
  g_return_val_if_fail (ring < BL_N_RINGS, NULL);
  return _(colours[ring].name);
}

const char *
bl_ring_letters (BlRing ring)
{
  g_return_val_if_fail (ring < BL_N_RINGS, NULL);
  return colours[ring].letters;
}

char *
bl_ring_multiplier (int exponent)
{
  static const char *const prefixes[] = { "", "k", "M", "G" };

  g_return_val_if_fail (exponent >= -3 && exponent <= 9, NULL);
  if (exponent < 0)
    return g_strdup_printf ("%g", exponent == -1 ? 0.1 : exponent == -2 ? 0.01 : 0.001);
  return g_strdup_printf ("%d%s", exponent % 3 == 0 ? 1 : exponent % 3 == 1 ? 10 : 100, prefixes[exponent / 3]);
}

/* --- text --- */

static gboolean
find_colour (const char *word, BlRing *ring)
{
  g_autofree char *folded = g_utf8_casefold (word, -1);

  for (BlRing i = 0; i < BL_N_RINGS; i++)
    {
      g_autofree char *local = g_utf8_casefold (_(colours[i].name), -1);
      if (strcmp (folded, colours[i].name) == 0 || strcmp (folded, local) == 0
          || g_ascii_strcasecmp (word, colours[i].letters) == 0)
        {
          *ring = i;
          return TRUE;
        }
    }
  /* The same colour in another spelling. */
  if (strcmp (folded, "gray") == 0 || strcmp (folded, "purple") == 0)
    {
      *ring = *folded == 'g' ? BL_RING_GREY : BL_RING_VIOLET;
      return TRUE;
    }
  return FALSE;
}

gboolean
bl_rings_parse (const char *text, BlRing rings[BL_MAX_RINGS], guint *n)
{
  g_auto (GStrv) words = NULL;
  guint count = 0;

  g_return_val_if_fail (text != NULL && n != NULL, FALSE);
  if (strlen (text) > 160 || !g_utf8_validate (text, -1, NULL))
    return FALSE;
  words = g_strsplit_set (text, " ,-/\t", -1);
  for (guint i = 0; words[i] != NULL; i++)
    {
      if (*words[i] == '\0')
        continue;
      if (count == BL_MAX_RINGS || !find_colour (words[i], &rings[count]))
        return FALSE;
      count++;
    }
  *n = count;
  return count >= BL_MIN_RINGS;
}

char *
bl_rings_to_text (const BlRing *rings, guint n)
{
  g_autoptr (GString) text = g_string_new (NULL);

  g_return_val_if_fail (rings != NULL && n <= BL_MAX_RINGS, NULL);
  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? " " : "", colours[rings[i]].name);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* --- reading --- */

typedef struct
{
  char digits[4];
  int exponent;
  double tolerance, ppm;
  guint edition;
} Reading;

/* Reads the bands as they stand. FALSE: a colour has no meaning at its place. */
static gboolean
read_bands (const BlRing *rings, guint n, gboolean earlier, Reading *reading)
{
  guint n_digits = 0;

  *reading = (Reading){ "", 0, n == 3 ? 0.2 : NAN, NAN, 0 };
  for (guint i = 0; i < n; i++)
    {
      BlRingPlace place = bl_ring_place (n, i);
      guint edition;
      double says = bl_ring_says (rings[i], place, earlier && place == BL_RING_TOLERANCE, &edition);

      if (isnan (says))
        return FALSE;
      switch (place)
        {
        case BL_RING_DIGIT:
          reading->digits[n_digits++] = (char) ('0' + (int) says);
          break;
        case BL_RING_MULTIPLIER:
          reading->exponent = (int) says;
          break;
        case BL_RING_TOLERANCE:
          reading->tolerance = says;
          reading->edition = edition;
          break;
        case BL_RING_DRIFT:
        default:
          reading->ppm = says;
          break;
        }
    }
  return TRUE;
}

/* Where the reading begins, and what the standard's edition has to do with it. Returns: (transfer full). */
static char *
reading_words (const Reading *reading, gboolean turned, const char *unit)
{
  g_autofree char *one = bl_ring_multiplier (reading->exponent);
  g_autofree char *words
    = g_strdup_printf (turned ? _("bands from the other end: %s times %s %s") : _("bands as given: %s times %s %s"),
                       reading->digits, one, unit);

  if (reading->edition == 2016)
    return g_strdup_printf (_("%s; this tolerance by IEC 60062:2016"), words);
  if (reading->edition == 2004)
    return g_strdup_printf (_("%s; this tolerance by IEC 60062 before 2016"), words);
  return g_steal_pointer (&words);
}

/* Bands that read alike from both ends. */
static gboolean
is_told (GPtrArray *meanings, double value, const Reading *reading)
{
  for (guint i = 0; i < meanings->len; i++)
    {
      const BlPartMeaning *meaning = g_ptr_array_index (meanings, i);
      if (meaning->value == value && meaning->above == reading->tolerance)
        return TRUE;
    }
  return FALSE;
}

static void
add_reading (BlPartReader *reader, const Reading *reading, gboolean turned)
{
  gboolean coil = reader->family == BL_PART_INDUCTOR;
  double value = bl_part_number (reading->digits, reading->exponent - (coil ? 6 : 0));
  gboolean standard = bl_e_series_of (value) != BL_E_NONE;
  BlPartMeaning *meaning;

  if (!(value > 0) || is_told (reader->meanings, value, reading))
    return;
  meaning = bl_part_add (reader, value, '\0', (standard ? 0 : 2) + (turned ? 1 : 0),
                         reading_words (reading, turned, coil ? "µH" : "Ω"));
  if (meaning == NULL)
    return;
  meaning->below = meaning->above = reading->tolerance;
  meaning->ppm = reading->ppm;
}

GPtrArray *
bl_rings_read (const BlRing *rings, guint n, const char *kind, GError **error)
{
  g_autoptr (GPtrArray) meanings = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_part_meaning_free);
  BlPartReader reader = { bl_part_family (kind), kind, meanings };
  BlRing turned[BL_MAX_RINGS];
  Reading reading;

  g_return_val_if_fail (rings != NULL && n >= BL_MIN_RINGS && n <= BL_MAX_RINGS, NULL);
  if (reader.family != BL_PART_RESISTOR && reader.family != BL_PART_INDUCTOR)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                   _("bands of colour are read on resistors and coils only"));
      return NULL;
    }
  for (guint i = 0; i < n; i++)
    turned[i] = rings[n - 1 - i];
  for (guint way = 0; way < 2; way++)
    for (guint earlier = 0; earlier < 2; earlier++)
      if (read_bands (way == 0 ? rings : turned, n, earlier == 1, &reading))
        add_reading (&reader, &reading, way == 1);
  bl_part_sort (meanings);
  if (meanings->len > 0)
    return g_steal_pointer (&meanings);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _("these bands have no meaning from either end"));
  return NULL;
}

/* --- writing --- */

/* The colour that says a figure at a place. FALSE: none does. */
static gboolean
find_ring (BlRingPlace place, double figure, BlRing *ring)
{
  for (BlRing i = 0; i < BL_N_RINGS; i++)
    {
      double says = bl_ring_says (i, place, FALSE, NULL);
      if (!isnan (says) && fabs (says - figure) <= 1e-9 * fabs (figure))
        {
          *ring = i;
          return TRUE;
        }
    }
  return FALSE;
}

gboolean
bl_rings_write (const BlPartMeaning *meaning, BlRing rings[BL_MAX_RINGS], guint *n)
{
  double value, tolerance;
  char scientific[32], digits[4];
  int exponent;
  guint n_digits;

  g_return_val_if_fail (meaning != NULL && rings != NULL && n != NULL, FALSE);
  value = strcmp (meaning->unit, "H") == 0 ? meaning->value * 1e6 : meaning->value;
  tolerance = meaning->above;
  if (strcmp (meaning->unit, "ohm") != 0 && strcmp (meaning->unit, "H") != 0)
    return FALSE;
  if (!(value > 0) || meaning->absolute || (!isnan (tolerance) && meaning->below != tolerance))
    return FALSE;
  g_ascii_formatd (scientific, sizeof scientific, "%.2e", value);
  if (fabs (g_ascii_strtod (scientific, NULL) - value) > 1e-9 * value)
    return FALSE;
  exponent = (int) g_ascii_strtoll (strchr (scientific, 'e') + 1, NULL, 10);
  g_snprintf (digits, sizeof digits, "%c%c%c", scientific[0], scientific[2], scientific[3]);
  n_digits = digits[2] != '0' || !isnan (meaning->ppm) || tolerance <= 0.02 ? 3 : 2;
  *n = n_digits + 2 + (isnan (meaning->ppm) ? 0 : 1);
  if (n_digits == 2 && (isnan (tolerance) || fabs (tolerance - 0.2) < 1e-9))
    *n = 3;
  else if (isnan (tolerance))
    return FALSE;
  for (guint i = 0; i < n_digits; i++)
    rings[i] = (BlRing) (digits[i] - '0');
  return find_ring (BL_RING_MULTIPLIER, exponent - (int) n_digits + 1, &rings[n_digits])
         && (*n == 3 || find_ring (BL_RING_TOLERANCE, tolerance, &rings[n_digits + 1]))
         && (*n < 6 || find_ring (BL_RING_DRIFT, meaning->ppm, &rings[n_digits + 2]));
}
