/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Element strings by the GS1 General Specifications (section 3: definitions and lengths of the Application Identifiers;
 * section 7.8: where a separator ends a field; section 7.9: the check digit, the same as for every GS1 key), and web
 * addresses by the GS1 Digital Link standard. The list of identifiers, lengths and titles is from memory, and holds
 * what stands on parts and units: where goods are sent to and what they cost is left out, and read as unknown.
 *
 * A field of a length that the standard fixes for its first two digits ends by itself; any other ends at the separator
 * (FNC1, read as the character GS) or at the end of the text. Fields have at most 90 characters. */
#include "config.h"

#include "bl-gs1.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-problem.h"

#define SEPARATOR '\x1d'

/* An identifier ending in n stands for all digits in that place: how many decimals the number has. */
typedef struct
{
  const char *ai;
  guint least, most; /* characters after the identifier */
  gboolean digits;   /* digits alone */
  guint key;         /* so many of them, the last a check digit; 0: none */
  const char *title;
} Kind;

static const Kind kinds[] = {
  { "00", 18, 18, TRUE, 18, "SSCC" },
  { "01", 14, 14, TRUE, 14, "GTIN" },
  { "02", 14, 14, TRUE, 14, "CONTENT" },
  { "10", 1, 20, FALSE, 0, "BATCH/LOT" },
  { "11", 6, 6, TRUE, 0, "PROD DATE" },
  { "12", 6, 6, TRUE, 0, "DUE DATE" },
  { "13", 6, 6, TRUE, 0, "PACK DATE" },
  { "15", 6, 6, TRUE, 0, "BEST BEFORE" },
  { "16", 6, 6, TRUE, 0, "SELL BY" },
  { "17", 6, 6, TRUE, 0, "USE BY" },
  { "20", 2, 2, TRUE, 0, "VARIANT" },
  { "21", 1, 20, FALSE, 0, "SERIAL" },
  { "22", 1, 20, FALSE, 0, "CPV" },
  { "235", 1, 28, FALSE, 0, "TPX" },
  { "240", 1, 30, FALSE, 0, "ADDITIONAL ID" },
  { "241", 1, 30, FALSE, 0, "CUST. PART No." },
  { "242", 1, 6, TRUE, 0, "MTO VARIANT" },
  { "243", 1, 20, FALSE, 0, "PCN" },
  { "250", 1, 30, FALSE, 0, "SECONDARY SERIAL" },
  { "251", 1, 30, FALSE, 0, "REF. TO SOURCE" },
  { "253", 13, 30, FALSE, 13, "GDTI" },
  { "254", 1, 20, FALSE, 0, "GLN EXTENSION COMPONENT" },
  { "30", 1, 8, TRUE, 0, "VAR. COUNT" },
  { "310n", 6, 6, TRUE, 0, "NET WEIGHT (kg)" },
  { "330n", 6, 6, TRUE, 0, "GROSS WEIGHT (kg)" },
  { "37", 1, 8, TRUE, 0, "COUNT" },
  { "400", 1, 30, FALSE, 0, "ORDER NUMBER" },
  { "401", 1, 30, FALSE, 0, "GINC" },
  { "410", 13, 13, TRUE, 13, "SHIP TO LOC" },
  { "412", 13, 13, TRUE, 13, "PURCHASE FROM" },
  { "414", 13, 13, TRUE, 13, "LOC No." },
  { "416", 13, 13, TRUE, 13, "PROD/SERV LOC" },
  { "422", 3, 3, TRUE, 0, "ORIGIN" },
  { "426", 3, 3, TRUE, 0, "COUNTRY FULL PROCESS" },
  { "7023", 1, 30, FALSE, 0, "GIAI ASSEMBLY" },
  { "8002", 1, 20, FALSE, 0, "CMT No." },
  { "8003", 14, 30, FALSE, 14, "GRAI" },
  { "8004", 1, 30, FALSE, 0, "GIAI" },
  { "8006", 18, 18, TRUE, 14, "ITIP" },
  { "8008", 8, 12, TRUE, 0, "PROD TIME" },
  { "8010", 1, 30, FALSE, 0, "CPID" },
  { "8011", 1, 12, TRUE, 0, "CPID SERIAL" },
  { "8012", 1, 20, FALSE, 0, "VERSION" },
  { "8013", 1, 25, FALSE, 0, "GMN" },
  { "8020", 1, 25, FALSE, 0, "REF No." },
  { "90", 1, 30, FALSE, 0, "INTERNAL" },
  { "91", 1, 90, FALSE, 0, "INTERNAL" },
  { "92", 1, 90, FALSE, 0, "INTERNAL" },
  { "93", 1, 90, FALSE, 0, "INTERNAL" },
  { "94", 1, 90, FALSE, 0, "INTERNAL" },
  { "95", 1, 90, FALSE, 0, "INTERNAL" },
  { "96", 1, 90, FALSE, 0, "INTERNAL" },
  { "97", 1, 90, FALSE, 0, "INTERNAL" },
  { "98", 1, 90, FALSE, 0, "INTERNAL" },
  { "99", 1, 90, FALSE, 0, "INTERNAL" },
};

void
bl_gs1_field_free (BlGs1Field *field)
{
  if (field == NULL)
    return;
  g_free (field->value);
  g_free (field);
}

char
bl_gs1_check_digit (const char *digits, gsize length)
{
  guint sum = 0;

  g_return_val_if_fail (digits != NULL, 0);
  for (gsize i = 0; i < length; i++)
    {
      if (!g_ascii_isdigit (digits[i]))
        return 0;
      /* The last one weighs 3, and every second before it. */
      sum += (guint) (digits[i] - '0') * ((length - i) % 2 == 1 ? 3 : 1);
    }
  return (char) ('0' + (10 - sum % 10) % 10);
}

static gboolean
begins_with_ai (const char *text, const char *ai)
{
  for (; *ai != '\0'; ai++, text++)
    if (*ai == 'n' ? !g_ascii_isdigit (*text) : *ai != *text)
      return FALSE;
  return TRUE;
}

static const Kind *
kind_at (const char *text)
{
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (begins_with_ai (text, kinds[i].ai))
      return &kinds[i];
  return NULL;
}

/* The fields that end by themselves, by the first two digits of the identifier: all of 00 to 04, 11 to 20, 31 to 36 and
 * 41. Of these the length is fixed; others that happen to have one are ended by a separator all the same. */
static gboolean
ends_by_itself (const char *ai)
{
  int first = (ai[0] - '0') * 10 + ai[1] - '0';
  return first <= 4 || (first >= 11 && first <= 20) || (first >= 31 && first <= 36) || first == 41;
}

static gboolean
field_holds (const Kind *kind, const char *ai, const char *value, GError **error)
{
  gsize length = strlen (value);

  if (length < kind->least || length > kind->most)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("(%s) has %u to %u characters, not %" G_GSIZE_FORMAT), ai,
                 kind->least, kind->most, length);
  else if (kind->digits && strspn (value, "0123456789") != length)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("(%s) has digits alone, not “%s”"), ai, value);
  else if (kind->key > 0 && bl_gs1_check_digit (value, kind->key - 1) != value[kind->key - 1])
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("(%s) has a wrong check digit: %s"), ai, value);
  else
    return TRUE;
  return FALSE;
}

static gboolean
add_field (GPtrArray *fields, const char *ai, const char *value, GError **error)
{
  const Kind *kind = kind_at (ai);

  if (kind == NULL || strlen (kind->ai) != strlen (ai))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("“%.4s” is no known identifier"), ai);
      return FALSE;
    }
  if (!field_holds (kind, ai, value, error))
    return FALSE;
  BlGs1Field *field = g_new0 (BlGs1Field, 1);
  g_strlcpy (field->ai, ai, sizeof field->ai);
  field->title = kind->title;
  field->value = g_strdup (value);
  g_ptr_array_add (fields, field);
  return TRUE;
}

/* --- the three ways it is written --- */

/* Identifiers in brackets, for people: "(01)09501101530003(21)A1". A bracket in a value is one where no identifier
 * follows it. */
static gboolean
parse_bracketed (const char *text, GPtrArray *fields, GError **error)
{
  g_autoptr (GRegex) ai = g_regex_new ("\\((\\d{2,4})\\)", 0, 0, NULL);
  g_auto (GStrv) pieces = g_regex_split (ai, text, 0); /* "", identifier, value, identifier, value ... */

  for (guint i = 1; pieces[0] != NULL && pieces[i] != NULL; i += 2)
    if (!add_field (fields, pieces[i], pieces[i + 1] != NULL ? pieces[i + 1] : "", error))
      return FALSE;
  return TRUE;
}

static gboolean
parse_plain (const char *text, GPtrArray *fields, GError **error)
{
  while (*text != '\0')
    {
      const Kind *kind = kind_at (text);
      if (kind == NULL)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("“%.4s” is no known identifier"), text);
          return FALSE;
        }
      g_autofree char *ai = g_strndup (text, strlen (kind->ai));
      text += strlen (ai);
      gsize length = strcspn (text, "\x1d");
      if (ends_by_itself (ai))
        length = MIN (length, kind->most);
      g_autofree char *value = g_strndup (text, length);
      if (!add_field (fields, ai, value, error))
        return FALSE;
      text += length;
      /* One separator more than needed is no mistake. */
      if (*text == SEPARATOR)
        text++;
    }
  return TRUE;
}

/* Pairs in the path, from the first key that begins one; qualifiers and attributes behind the '?' count as well. */
static gboolean
parse_address (const char *text, GPtrArray *fields, GError **error)
{
  g_auto (GStrv) parts = g_strsplit_set (text, "/?&=#", -1);
  guint n = g_strv_length (parts);
  gboolean key = FALSE;

  for (guint i = 3; i + 1 < n; i++)
    {
      const Kind *kind = kind_at (parts[i]);
      g_autofree char *value = g_uri_unescape_string (parts[i + 1], NULL);
      if (kind == NULL || strlen (kind->ai) != strlen (parts[i]) || value == NULL)
        continue;
      /* A GTIN may be written without its leading zeros. */
      g_autofree char *whole = g_str_equal (parts[i], "01") && strlen (value) < 14
                                 ? g_strdup_printf ("%0*d%s", (int) (14 - strlen (value)), 0, value)
                                 : g_strdup (value);
      key = key || kind->key > 0 || g_str_has_prefix (kind->ai, "80");
      if (key && !add_field (fields, parts[i], whole, error))
        return FALSE;
      i += key ? 1 : 0;
    }
  return TRUE;
}

/* --- which one --- */

static const char *
after_mark (const char *text)
{
  static const char *const marks[] = { "]C1", "]e0", "]d2", "]Q3", "]J1" };

  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (g_str_has_prefix (text, marks[i]))
      return text + strlen (marks[i]);
  return *text == SEPARATOR ? text + 1 : NULL;
}

static gboolean
is_bracketed (const char *text)
{
  gsize digits = *text == '(' ? strspn (text + 1, "0123456789") : 0;
  return digits >= 2 && digits <= 4 && text[1 + digits] == ')';
}

static gboolean
is_address (const char *text)
{
  return g_regex_match_simple ("^https?://[^/?#]+/([^?#]*/)?(01/\\d{8,14}|8004/|8010/|8003/\\d{14})", text,
                               G_REGEX_CASELESS, 0);
}

/* As a scanner types it that drops the mark and the separators. */
static gboolean
is_bare (const char *text)
{
  g_autoptr (GPtrArray) fields = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_gs1_field_free);

  return g_str_has_prefix (text, "01") && strlen (text) > 16 && parse_plain (text, fields, NULL);
}

gboolean
bl_gs1_is_element_string (const char *text)
{
  g_return_val_if_fail (text != NULL, FALSE);
  return after_mark (text) != NULL || is_bracketed (text) || is_address (text) || is_bare (text);
}

GPtrArray *
bl_gs1_parse (const char *text, GError **error)
{
  g_return_val_if_fail (text != NULL, NULL);
  g_autoptr (GPtrArray) fields = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_gs1_field_free);
  const char *plain = after_mark (text);
  gboolean ok = is_address (text)     ? parse_address (text, fields, error)
                : is_bracketed (text) ? parse_bracketed (text, fields, error)
                                      : parse_plain (plain != NULL ? plain : text, fields, error);

  if (ok && fields->len == 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("there is no field in it"));
      ok = FALSE;
    }
  return ok ? g_steal_pointer (&fields) : NULL;
}
