/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words and figures of an effect sentence: what stands at the beginning of a text. Nothing here knows a
 * board. English words are always understood, those of the language at hand beside them. Words of a few letters, which
 * mean many things, have a context for translators: "sentence", as in "U2 is absent or low in standby". */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

const char *const bl_words_own_stage[] = { N_ ("its own stage"), N_ ("its stage"), NULL };
const char *const bl_words_is[] = { NC_ ("sentence", "is"), N_ ("reads"), N_ ("shows as"), N_ ("becomes"), NC_ ("sentence", "at"), NULL };
const char *const bl_words_or[] = { NC_ ("sentence", "or"), "/", NULL };
const char *const bl_words_in[] = { N_ ("in state"), N_ ("in states"), NC_ ("sentence", "in"), NULL };
const char *const bl_words_only[] = { N_ ("only"), NULL };
const char *const bl_words_all_states[] = { N_ ("in all states"), N_ ("in every state"), NULL };
const char *const bl_words_and[] = { N_ ("and"), "+", NULL };
const char *const bl_words_nothing[] = { N_ ("nothing said"), N_ ("nothing"), "?", NULL };
const char *const bl_words_may[] = { N_ ("may"), N_ ("can"), NULL };
const char *const bl_words_blow[] = { N_ ("blows"), N_ ("blow"), NULL };
const char *const bl_words_bring[]
  = { N_ ("brings about"), N_ ("bring about"), N_ ("causes"), N_ ("cause"), N_ ("takes along"), N_ ("take along"), NULL };
const char *const bl_words_shows[] = { N_ ("shows itself"), N_ ("shows"), NULL };
const char *const bl_words_time[] = { N_ ("of the time"), N_ ("of the rounds"), N_ ("the time"), NULL };
const char *const bl_words_when[] = { N_ ("when"), N_ ("if"), NULL };
const char *const bl_words_weight[] = { N_ ("weight"), NULL };

/* --- names --- */

gsize
bl_sentence_blanks (const char *text)
{
  const char *p = text;

  while (*p != '\0' && g_unichar_isspace (g_utf8_get_char (p)))
    p = g_utf8_next_char (p);
  return (gsize) (p - text);
}

gsize
bl_sentence_match (const char *text, const char *name)
{
  const char *t = text, *n = name;
  gboolean word = FALSE;

  while (*n != '\0')
    {
      gunichar a = g_utf8_get_char (t), b = g_utf8_get_char (n);
      if (g_unichar_isspace (b))
        {
          gsize blanks = bl_sentence_blanks (t);
          n += bl_sentence_blanks (n);
          if (blanks == 0 && *n != '\0')
            return 0;
          t += blanks;
          continue;
        }
      if (*t == '\0' || g_unichar_tolower (a) != g_unichar_tolower (b))
        return 0;
      word = g_unichar_isalnum (b);
      t = g_utf8_next_char (t);
      n = g_utf8_next_char (n);
    }
  if (t == text || (word && *t != '\0' && g_unichar_isalnum (g_utf8_get_char (t))))
    return 0;
  return (gsize) (t - text);
}

gsize
bl_sentence_word (const char *text, const char *const *words)
{
  static const char *const contexts[] = { "sentence", "nine in ten" };
  gsize length = 0;

  for (; *words != NULL; words++)
    {
      length = MAX (length, bl_sentence_match (text, *words));
      length = MAX (length, bl_sentence_match (text, _ (*words)));
      for (guint i = 0; i < G_N_ELEMENTS (contexts); i++)
        length = MAX (length, bl_sentence_match (text, g_dpgettext2 (GETTEXT_PACKAGE, contexts[i], *words)));
    }
  return length;
}

gsize
bl_sentence_quoted (const char *text, char **name)
{
  g_autoptr (GString) inside = g_string_new (NULL);
  gboolean plain = *text == '"', curly = g_str_has_prefix (text, "“");
  const char *p = text + (plain ? 1 : strlen ("“"));

  if (!plain && !curly)
    return 0;
  while (*p != '\0')
    {
      if (curly && g_str_has_prefix (p, "”"))
        return *name = g_strdup (inside->str), (gsize) (p - text) + strlen ("”");
      if (plain && *p == '"' && p[1] != '"')
        return *name = g_strdup (inside->str), (gsize) (p - text) + 1;
      p += plain && *p == '"'; /* one of two */
      g_string_append_unichar (inside, g_utf8_get_char (p));
      p = g_utf8_next_char (p);
    }
  return 0;
}

char *
bl_sentence_quote (const char *name, gboolean always)
{
  static const char *const awkward[] = { ",", ";", "“", "”", "\"", "→", "(", ")", "->", "=>", NULL };
  gboolean must = always || bl_sentence_blanks (name) > 0 || *name == '\0';

  for (guint i = 0; awkward[i] != NULL; i++)
    must |= strstr (name, awkward[i]) != NULL;
  if (!must)
    return g_strdup (name);
  if (strstr (name, "”") == NULL)
    return g_strdup_printf ("“%s”", name);
  g_auto (GStrv) parts = g_strsplit (name, "\"", -1);
  g_autofree char *doubled = g_strjoinv ("\"\"", parts);
  return g_strdup_printf ("\"%s\"", doubled);
}

/* --- figures --- */

gsize
bl_sentence_figure (const char *text, double *value)
{
  char number[48];
  gsize n = 0;
  gboolean fraction = FALSE, exponent = FALSE;
  char *end;

  for (const char *p = text; n < sizeof number - 1; p++, n++)
    {
      gboolean separator = (*p == '.' || *p == ',') && g_ascii_isdigit (p[1]) && !fraction && !exponent;
      gboolean power = (*p == 'e' || *p == 'E') && n > 0 && !exponent
                       && (g_ascii_isdigit (p[1]) || ((p[1] == '-' || p[1] == '+') && g_ascii_isdigit (p[2])));
      gboolean sign = (*p == '-' || *p == '+') && n > 0 && (p[-1] == 'e' || p[-1] == 'E') && exponent;
      if (!g_ascii_isdigit (*p) && !separator && !power && !sign)
        break;
      fraction |= separator;
      exponent |= power;
      number[n] = separator ? '.' : *p;
    }
  number[n] = '\0';
  if (n == 0)
    return 0;
  *value = g_ascii_strtod (number, &end);
  return *end == '\0' && isfinite (*value) ? n : 0;
}

static gsize
counting_word (const char *text, double *value)
{
  static const char *const words[][2]
    = { { N_ ("one"), NULL }, { N_ ("two"), NULL }, { N_ ("three"), NULL }, { N_ ("four"), NULL }, { N_ ("five"), NULL },
        { N_ ("six"), NULL }, { N_ ("seven"), NULL }, { N_ ("eight"), NULL }, { N_ ("nine"), NULL }, { N_ ("ten"), NULL } };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      gsize length = bl_sentence_word (text, words[i]);
      if (length > 0)
        return *value = i + 1, length;
    }
  return bl_sentence_figure (text, value);
}

/* "9 in 10", "nine in ten". */
static gsize
odds_words (const char *text, double *chance)
{
  static const char *const in[] = { NC_ ("nine in ten", "in"), N_ ("out of"), NULL };
  double part = 0, whole = 0;
  gsize length = counting_word (text, &part), more;

  if (length == 0)
    return 0;
  length += bl_sentence_blanks (text + length);
  more = bl_sentence_word (text + length, in);
  if (more == 0)
    return 0;
  length += more;
  length += bl_sentence_blanks (text + length);
  more = counting_word (text + length, &whole);
  if (more == 0 || !(whole > 0) || part > whole)
    return 0;
  *chance = part / whole;
  return length + more;
}

gsize
bl_sentence_chance (const char *text, double *chance)
{
  static const char *const always[] = { N_ ("always"), NULL }, *const half[] = { N_ ("half"), NULL };
  gsize length = odds_words (text, chance), blanks;
  double value;

  if (length > 0)
    return length;
  if ((length = bl_sentence_word (text, always)) > 0)
    return *chance = 1, length;
  if ((length = bl_sentence_word (text, half)) > 0)
    return *chance = 0.5, length;
  length = bl_sentence_figure (text, &value);
  if (length == 0)
    return 0;
  blanks = bl_sentence_blanks (text + length);
  if (text[length + blanks] == '%')
    {
      *chance = value / 100;
      length += blanks + 1;
    }
  else
    *chance = value;
  return *chance >= 0 && *chance <= 1 ? length : 0;
}

/* As the locale has it, or NULL where no text of 17 digits is read back as the same. */
static char *
shortest (double value, double scale)
{
  char point[G_ASCII_DTOSTR_BUF_SIZE], format[8];
  gboolean plain = value * scale >= 1e-4 && value * scale < 1e15; /* "20", not "2e+01" */

  for (int digits = 1; digits <= 17; digits++)
    {
      g_snprintf (format, sizeof format, "%%.%dg", digits);
      g_ascii_formatd (point, sizeof point, format, value * scale);
      if (plain && strchr (point, 'e') != NULL)
        continue;
      if (g_ascii_strtod (point, NULL) / scale == value)
        return g_strdup_printf ("%.*g", digits, value * scale);
    }
  return NULL;
}

char *
bl_sentence_figure_text (double value)
{
  char *text = shortest (value, 1);

  return text != NULL ? text : g_strdup_printf ("%.17g", value);
}

char *
bl_sentence_chance_text (double chance)
{
  g_autofree char *per_cent = shortest (chance, 100);

  return per_cent != NULL ? g_strdup_printf ("%s %%", per_cent) : bl_sentence_figure_text (chance);
}
