/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What people type or paste, in ASCII: so that everybody who reads figures need only know one minus, one
 * micro and one set of digits. Nothing is guessed: a character with two readings (the Arabic thousands
 * separator, an apostrophe) is not taken. Texts are fields of a form. */
#include "config.h"

#include "bl-plain.h"

#include <string.h>

static const struct
{
  gunichar c;
  const char *ascii;
} spellings[] = {
  { 0x00B0, "deg" },  /* degree sign */
  { 0x00B1, "+-" },   /* plus or minus */
  { 0x00B5, "u" },    /* micro sign */
  { 0x00D7, "x" },    /* multiplication sign */
  { 0x03A9, "ohm" },  /* Greek Omega */
  { 0x03BC, "u" },    /* Greek mu */
  { 0x066B, "." },    /* Arabic decimal separator */
  { 0x2010, "-" },    /* hyphen */
  { 0x2011, "-" },    /* hyphen that does not break */
  { 0x2012, "-" },    /* figure dash */
  { 0x2013, "-" },    /* en dash */
  { 0x2026, ".." },   /* ellipsis: a range */
  { 0x2103, "degC" }, /* degree Celsius */
  { 0x2126, "ohm" },  /* ohm sign */
  { 0x2212, "-" },    /* minus sign */
  { 0xFE63, "-" },    /* small hyphen */
};

/* Appends c in ASCII. FALSE for a character that no quantity has. */
static gboolean
append_plain (GString *plain, gunichar c)
{
  if (g_unichar_isspace (c))
    {
      if (plain->len > 0 && plain->str[plain->len - 1] != ' ')
        g_string_append_c (plain, ' ');
      return TRUE;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (spellings); i++)
    if (spellings[i].c == c)
      {
        g_string_append (plain, spellings[i].ascii);
        return TRUE;
      }
  if (g_unichar_isdigit (c))
    {
      g_string_append_c (plain, (char) ('0' + g_unichar_digit_value (c)));
      return TRUE;
    }
  if (c >= 0xFF01 && c <= 0xFF5E) /* full width forms of ASCII */
    c -= 0xFEE0;
  if (c < 0x20 || c > 0x7e)
    return FALSE;
  g_string_append_c (plain, (char) c);
  return TRUE;
}

char *
bl_plain_text (const char *text, gunichar *strange)
{
  g_autoptr (GString) plain = g_string_new (NULL);

  g_return_val_if_fail (text != NULL, NULL);
  if (strange != NULL)
    *strange = 0;
  if (strlen (text) > BL_PLAIN_MAX || !g_utf8_validate (text, -1, NULL))
    return NULL;
  for (const char *at = text; *at != '\0'; at = g_utf8_next_char (at))
    if (!append_plain (plain, g_utf8_get_char (at)))
      {
        if (strange != NULL)
          *strange = g_utf8_get_char (at);
        return NULL;
      }
  g_strchomp (plain->str);
  return g_string_free (g_steal_pointer (&plain), FALSE);
}
