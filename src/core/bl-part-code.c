/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is written on a component, or in a notebook about it, as a value.
 *
 * The text is brought to ASCII, what is said beside the value (tolerance, voltage, power, temperature
 * coefficient) is taken out, and the rest goes to every reader of a notation. Each adds the meanings it
 * sees; what several see alike is told once. Nothing is decided for the reader: "103" on a resistor is
 * 10 kΩ and might be 103 Ω, and both are told, likeliest first. Words that stay behind the value ("X2",
 * "B3435") are kept as they are. Texts are fields of a form. Colours: bl-colour-code.c. */
#include "config.h"

#include "bl-part-private.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-colour-code.h"
#include "bl-plain.h"
#include "bl-quantity.h"

void
bl_part_meaning_free (BlPartMeaning *meaning)
{
  if (meaning == NULL)
    return;
  g_free (meaning->how);
  g_free (meaning->left);
  g_free (meaning);
}

/* --- kinds ------------------------------------------------------------------------------------- */

gboolean
bl_part_is (const char *kind, const char *above)
{
  gsize length = strlen (above);

  return kind != NULL && strncmp (kind, above, length) == 0 && (kind[length] == '\0' || kind[length] == '.');
}

BlPartFamily
bl_part_family (const char *kind)
{
  static const struct
  {
    const char *kind;
    BlPartFamily family;
  } rows[] = {
    { "resistor", BL_PART_RESISTOR }, { "thermistor", BL_PART_RESISTOR }, { "capacitor", BL_PART_CAPACITOR },
    { "coil", BL_PART_INDUCTOR },     { "choke", BL_PART_INDUCTOR },      { "diode.zener", BL_PART_ZENER },
    { "varistor", BL_PART_VARISTOR },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (bl_part_is (kind, rows[i].kind))
      return rows[i].family;
  return BL_PART_OTHER;
}

const char *
bl_part_unit (BlPartFamily family)
{
  switch (family)
    {
    case BL_PART_CAPACITOR:
      return "F";
    case BL_PART_INDUCTOR:
      return "H";
    case BL_PART_ZENER:
    case BL_PART_VARISTOR:
      return "V";
    case BL_PART_RESISTOR:
    case BL_PART_OTHER:
    default:
      return "ohm";
    }
}

/* --- tolerances -------------------------------------------------------------------------------- */

/* IEC 60062, from memory. Letters of the first table are per cent either way. */
gboolean
bl_part_tolerance (char letter, const char *unit, double value, double *below, double *above, gboolean *absolute)
{
  static const struct
  {
    char letter;
    double below, above; /* per cent */
  } rows[] = {
    { 'A', 0.05, 0.05 }, { 'W', 0.05, 0.05 }, { 'B', 0.1, 0.1 }, { 'C', 0.25, 0.25 }, { 'D', 0.5, 0.5 },
    { 'F', 1, 1 },       { 'G', 2, 2 },       { 'J', 5, 5 },     { 'K', 10, 10 },     { 'M', 20, 20 },
    { 'N', 30, 30 },     { 'Q', 10, 30 },     { 'S', 20, 50 },   { 'T', 10, 50 },     { 'Z', 20, 80 },
  };
  static const struct
  {
    char letter;
    double pf;
  } small[] = { { 'B', 0.1 }, { 'C', 0.25 }, { 'D', 0.5 }, { 'F', 1 } };
  gboolean farad = g_strcmp0 (unit, "F") == 0;

  *absolute = FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (small) && farad && value < 10e-12; i++)
    if (small[i].letter == letter)
      {
        *below = *above = small[i].pf * 1e-12;
        *absolute = TRUE;
        return TRUE;
      }
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (rows[i].letter == letter && (farad || rows[i].below == rows[i].above))
      {
        *below = rows[i].below / 100;
        *above = rows[i].above / 100;
        return TRUE;
      }
  return FALSE;
}

/* --- meanings ---------------------------------------------------------------------------------- */

double
bl_part_number (const char *digits, int exponent)
{
  g_autofree char *text = g_strdup_printf ("%se%d", digits, exponent);
  return g_ascii_strtod (text, NULL);
}

static BlPartMeaning *
meaning_new (BlPartFamily family, double value, int rank, char *how)
{
  BlPartMeaning *meaning = g_new0 (BlPartMeaning, 1);

  meaning->value = value;
  meaning->unit = bl_part_unit (family);
  meaning->below = meaning->above = meaning->ppm = NAN;
  meaning->series = bl_e_series_of (value);
  meaning->in_series = family != BL_PART_VARISTOR && value > 0;
  meaning->times = 1;
  meaning->rank = rank;
  meaning->how = how;
  return meaning;
}

static gboolean
same (double one, double two)
{
  return (isnan (one) && isnan (two)) || fabs (one - two) <= 1e-9 * fabs (two);
}

BlPartMeaning *
bl_part_add (BlPartReader *reader, double value, char letter, int rank, char *how)
{
  BlPartMeaning *meaning = meaning_new (reader->family, value, rank, how);

  if (!(value >= 0) || value > 1e15 || (value == 0 && reader->family != BL_PART_RESISTOR)
      || (letter != '\0'
          && !bl_part_tolerance (letter, meaning->unit, value, &meaning->below, &meaning->above, &meaning->absolute)))
    {
      bl_part_meaning_free (meaning);
      return NULL;
    }
  /* Thermistors are made in round values (common practice, no source). */
  meaning->in_series &= !bl_part_is (reader->kind, "thermistor");
  for (guint i = 0; i < reader->meanings->len; i++)
    {
      const BlPartMeaning *other = g_ptr_array_index (reader->meanings, i);
      if (same (other->value, value) && same (other->below, meaning->below) && same (other->above, meaning->above))
        {
          bl_part_meaning_free (meaning);
          return NULL;
        }
    }
  g_ptr_array_add (reader->meanings, meaning);
  return meaning;
}

/* --- what is said beside the value ------------------------------------------------------------- */

#define NUMBER "([0-9]+(?:[.,][0-9]+)?)"

typedef struct
{
  double below, above, ppm;
  gboolean absolute;
  guint times;
  GString *ratings; /* " 25 V 2 W", as they were written */
} Said;

/* What may be said beside a value. */
static const char *const patterns[] = {
  "\\+ ?" NUMBER " ?%? ?/? ?- ?" NUMBER " ?%",                /* +80/-20 % */
  "(?:\\+-|\\+/-)? ?" NUMBER " ?%",                           /* ±5 % */
  "(?:\\+-|\\+/-) ?" NUMBER " ?pF",                           /* ±0.5 pF */
  "(?:\\+-|\\+/-)? ?" NUMBER " ?ppm(?: ?/ ?(?:K|C|degC))?",   /* 50 ppm/K */
  "(?:^|[ /])" NUMBER " ?k?V(?: ?(?:AC|DC))?(?![a-z0-9])",    /* 25 V */
  "(?:^|[ /])(?:[0-9]+/)?" NUMBER " ?m?W(?![a-z0-9])",        /* 1/4 W */
  "(?:^|[ /])" NUMBER " ?degC(?![a-z0-9])",                   /* 105 °C */
  "(?<=[0-9.a-z]) ?/ ?" NUMBER "$",                           /* 10/50: µF and V */
  "^([2-9]) ?x ?(?=[0-9.a-z])",                               /* 2 x 3 mH */
  "^[0-3][A-HJKVW](?=[0-9]{3}[A-Z]?$)",                       /* 2A104J: a voltage before the code */
};
enum
{
  ASYMMETRIC,
  SYMMETRIC,
  PICOFARADS,
  DRIFT,
  VOLTS,
  WATTS,
  DEGREES,
  RATED,
  TIMES,
  VOLTAGE_CODE
};

/* The pattern, compiled once. */
static GRegex *
regex_of (int pattern)
{
  static GRegex *compiled[G_N_ELEMENTS (patterns)];

  if (g_once_init_enter (&compiled[pattern]))
    {
      GRegex *regex = g_regex_new (patterns[pattern], G_REGEX_CASELESS | G_REGEX_OPTIMIZE, 0, NULL);
      g_assert (regex != NULL);
      g_once_init_leave (&compiled[pattern], regex);
    }
  return compiled[pattern];
}

/* Takes the first match of pattern out of text, each group as a number; without numbers to put them in, the
 * match goes to kept. FALSE: there is none. */
static gboolean
take_out (GString *text, int pattern, double *one, double *two, GString *kept)
{
  g_autoptr (GMatchInfo) match = NULL;
  double *numbers[] = { one, two };
  g_autofree char *whole = NULL;
  int start, end;

  if (!g_regex_match (regex_of (pattern), text->str, 0, &match))
    return FALSE;
  for (int i = 0; i < 2 && numbers[i] != NULL; i++)
    {
      g_autofree char *group = g_match_info_fetch (match, i + 1);
      *numbers[i] = g_ascii_strtod (g_strdelimit (group, ",", '.'), NULL);
    }
  g_match_info_fetch_pos (match, 0, &start, &end);
  whole = g_match_info_fetch (match, 0);
  if (one == NULL)
    g_string_append_printf (kept, " %s", g_strstrip (g_strdelimit (whole, pattern == WATTS ? "" : "/", ' ')));
  g_string_erase (text, start, end - start);
  g_string_insert_c (text, start, ' ');
  return TRUE;
}

/* The voltage that a digit and a letter before a capacitor's code say, "2A" is 100 V: powers of ten and the
 * values of IEC 60384-1 (from memory). */
static void
take_voltage_code (GString *text, Said *said)
{
  static const struct
  {
    char letter;
    double value;
  } rows[] = { { 'A', 1 },   { 'B', 1.25 }, { 'C', 1.6 }, { 'D', 2 }, { 'E', 2.5 }, { 'F', 3.15 },
               { 'V', 3.5 }, { 'G', 4 },    { 'W', 4.5 }, { 'H', 5 }, { 'J', 6.3 }, { 'K', 8 } };
  g_autoptr (GString) code = g_string_new (NULL);

  if (!take_out (text, VOLTAGE_CODE, NULL, NULL, code))
    return;
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (rows[i].letter == g_ascii_toupper (code->str[2]))
      {
        char volts[G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd (volts, sizeof volts, "%.4g", rows[i].value * pow (10, code->str[1] - '0'));
        g_string_append_printf (said->ratings, " %s V", volts);
      }
}

/* Takes voltage, power and temperature out of text; they are kept as they are. */
static void
take_ratings (GString *text, BlPartFamily family, const char *kind, Said *said)
{
  double times;

  if (family == BL_PART_RESISTOR || family == BL_PART_CAPACITOR || family == BL_PART_INDUCTOR)
    take_out (text, VOLTS, NULL, NULL, said->ratings);
  take_out (text, WATTS, NULL, NULL, said->ratings);
  take_out (text, DEGREES, NULL, NULL, said->ratings);
  if (family == BL_PART_CAPACITOR)
    take_voltage_code (text, said);
  if ((bl_part_is (kind, "capacitor.electrolytic") || bl_part_is (kind, "capacitor.tantalum"))
      && take_out (text, RATED, NULL, NULL, said->ratings))
    g_string_append (said->ratings, " V");
  if (take_out (text, TIMES, &times, NULL, NULL))
    said->times = (guint) times;
}

/* Takes what is said beside the value out of text. */
static void
take_said (GString *text, BlPartFamily family, const char *kind, Said *said)
{
  double one, two;

  said->below = said->above = said->ppm = NAN;
  said->absolute = FALSE;
  if (take_out (text, ASYMMETRIC, &one, &two, NULL))
    {
      said->above = one / 100;
      said->below = two / 100;
    }
  else if (take_out (text, SYMMETRIC, &one, NULL, NULL))
    said->below = said->above = one / 100;
  else if (family == BL_PART_CAPACITOR && take_out (text, PICOFARADS, &one, NULL, NULL))
    {
      said->below = said->above = one * 1e-12;
      said->absolute = TRUE;
    }
  if (take_out (text, DRIFT, &one, NULL, NULL))
    said->ppm = one;
  take_ratings (text, family, kind, said);
}

/* --- reading ----------------------------------------------------------------------------------- */

/* Reads code in every notation. TRUE when it has a meaning. */
static gboolean
read_code (BlPartReader *reader, const char *code)
{
  bl_part_read_letters (reader, code);
  bl_part_read_chip (reader, code);
  bl_part_read_plain (reader, code);
  return reader->meanings->len > 0;
}

/* TRUE where a letter of a tolerance stands alone at the beginning of text. */
static gboolean
begins_with_tolerance (const char *text)
{
  return text[0] != '\0' && strchr ("AWBCDFGJKMNQSTZ", text[0]) != NULL && (text[1] == ' ' || text[1] == '\0');
}

/* The rest behind a value may be words, but no second value, no unit ("100 nF" is no 100 ohm), no "x" of
 * "2 x 3 mH" and no "%" that lost its number: written behind a code, it would take the code's last figures. */
static gboolean
may_be_left (const char *rest)
{
  g_autofree char *one = g_strdup_printf ("1%.*s", (int) strcspn (rest, " "), rest);
  double value;

  if (g_ascii_isdigit (rest[0]) || strchr ("+-.,%", rest[0]) != NULL
      || (rest[0] == 'x' && (rest[1] == ' ' || g_ascii_isdigit (rest[1]))))
    return FALSE;
  return begins_with_tolerance (rest) || !bl_quantity_parse (one, NULL, &value, NULL);
}

/* Reads the longest beginning of text that ends at a blank and has a meaning. Returns what stays behind
 * it (in text), or NULL when nothing has. A letter alone behind it is its tolerance: *letter. */
static const char *
read_beginning (BlPartReader *reader, char *text, char *letter)
{
  char *end = text + strlen (text);

  *letter = '\0';
  while (end > text)
    {
      char *rest = *end == ' ' ? end + 1 : end, was = *end;

      if (*rest != '\0' && !may_be_left (rest))
        return NULL;
      *end = '\0';
      if (read_code (reader, text))
        {
          if (begins_with_tolerance (rest))
            *letter = *rest++;
          while (*rest == ' ')
            rest++;
          return rest;
        }
      *end = was;
      for (end--; end > text && *end != ' '; end--)
        ;
    }
  return NULL;
}

/* What the text says of all meanings. */
static void
say (BlPartMeaning *meaning, const Said *said, char letter, const char *left)
{
  if (letter != '\0' && isnan (meaning->below))
    bl_part_tolerance (letter, meaning->unit, meaning->value, &meaning->below, &meaning->above, &meaning->absolute);
  if (!isnan (said->below))
    {
      meaning->below = said->below;
      meaning->above = said->above;
      meaning->absolute = said->absolute;
    }
  meaning->ppm = said->ppm;
  meaning->times = said->times;
  meaning->left = g_strstrip (g_strconcat (left, said->ratings->str, NULL));
  if (*meaning->left == '\0')
    g_clear_pointer (&meaning->left, g_free);
}

static int
by_rank (gconstpointer one, gconstpointer two)
{
  const BlPartMeaning *a = *(BlPartMeaning *const *) one, *b = *(BlPartMeaning *const *) two;
  return a->rank - b->rank;
}

void
bl_part_sort (GPtrArray *meanings)
{
  for (guint i = 0; i < meanings->len; i++)
    {
      BlPartMeaning *meaning = g_ptr_array_index (meanings, i);
      meaning->rank = 64 * meaning->rank + (int) i; /* those of one rank stay as they were found */
    }
  g_ptr_array_sort (meanings, by_rank);
}

static GPtrArray *
fail (GError **error, const char *text, const char *reason)
{
  g_autofree char *shown = g_utf8_make_valid (text, MIN (strlen (text), BL_PLAIN_MAX));

  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _("“%s” is read as no value: %s"), shown, reason);
  return NULL;
}

static const char *
expected_words (BlPartFamily family)
{
  switch (family)
    {
    case BL_PART_CAPACITOR:
      return _("a capacitor is written like 100 nF, 4n7, 104K or 470 µF");
    case BL_PART_INDUCTOR:
      return _("a coil is written like 100 µH, 4u7, 101 or R47");
    case BL_PART_ZENER:
      return _("a Zener diode is written like 5V1 or 12 V");
    case BL_PART_VARISTOR:
      return _("a varistor is written like 275 V or 431");
    case BL_PART_RESISTOR:
    case BL_PART_OTHER:
    default:
      return _("a resistor is written like 4K7, 4.7 kΩ, 472, 4R7 or 68C");
    }
}

GPtrArray *
bl_part_read (const char *text, const char *kind, GError **error)
{
  g_autoptr (GPtrArray) meanings = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_part_meaning_free);
  BlPartReader reader = { bl_part_family (kind), kind, meanings };
  g_autofree char *plain = NULL, *tidy = NULL;
  g_autoptr (GString) rest = NULL;
  g_autoptr (GString) ratings = g_string_new (NULL);
  const char *left;
  char letter;
  Said said = { .times = 1, .ratings = ratings };
  BlRing rings[BL_MAX_RINGS];
  guint n_rings;

  g_return_val_if_fail (text != NULL, NULL);
  if (reader.family == BL_PART_OTHER)
    return fail (error, text, _("this kind of component has no value in a code"));
  if (bl_rings_parse (text, rings, &n_rings))
    return bl_rings_read (rings, n_rings, kind, error);
  plain = bl_plain_text (text, NULL);
  if (plain == NULL || *plain == '\0')
    return fail (error, text, expected_words (reader.family));
  rest = g_string_new (plain);
  take_said (rest, reader.family, kind, &said);
  g_strstrip (g_strdelimit (rest->str, "/", ' '));
  /* Signs such as Ω become several letters, so what was short enough may not be any more. */
  tidy = bl_plain_text (rest->str, NULL);
  left = tidy != NULL ? read_beginning (&reader, tidy, &letter) : NULL;
  if (left == NULL)
    return fail (error, text, expected_words (reader.family));
  for (guint i = 0; i < meanings->len; i++)
    say (g_ptr_array_index (meanings, i), &said, letter, left);
  bl_part_sort (meanings);
  return g_steal_pointer (&meanings);
}
