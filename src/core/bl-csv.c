/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Splits comma-separated text as RFC 4180 has it, and as spreadsheets write it: with a byte order
 * mark, with semicolons where the comma is the decimal sign, with lines of separators only.
 *
 * A table of readings has some hundred lines; the whole is held in memory. Fields mean nothing here
 * (bl-evidence.c reads them). */
#include "config.h"

#include "bl-csv.h"
#include "bl-quantity.h"

#include <string.h>

#include <glib/gi18n-lib.h>

void
bl_csv_record_free (BlCsvRecord *record)
{
  if (record == NULL)
    return;
  g_strfreev (record->fields);
  g_free (record);
}

typedef struct
{
  const char *at, *end;
  char separator; /* 0: not seen yet */
  guint line;
} Reader;

static gboolean
at_line_end (const Reader *reader)
{
  return reader->at == reader->end || *reader->at == '\n' || *reader->at == '\r';
}

static gboolean
at_separator (Reader *reader)
{
  if (reader->at == reader->end || (*reader->at != ',' && *reader->at != ';'))
    return FALSE;
  if (reader->separator == 0)
    reader->separator = *reader->at;
  return *reader->at == reader->separator;
}

static void
skip_line_end (Reader *reader)
{
  if (reader->at == reader->end)
    return;
  if (*reader->at == '\r' && reader->at + 1 < reader->end && reader->at[1] == '\n')
    reader->at++;
  reader->at++;
  reader->line++;
}

static gboolean
fail (GError **error, guint line, const char *reason)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _("line %u: %s"), line, reason);
  return FALSE;
}

/* Reads what stands between quotes; at is behind the first. */
static gboolean
read_quoted (Reader *reader, GString *field, GError **error)
{
  guint first_line = reader->line;

  for (; reader->at < reader->end; reader->at++)
    {
      if (*reader->at == '"')
        {
          if (reader->at + 1 == reader->end || reader->at[1] != '"')
            break;
          reader->at++;
        }
      else if (*reader->at == '\n')
        reader->line++;
      g_string_append_c (field, *reader->at);
    }
  if (reader->at == reader->end)
    return fail (error, first_line, _("a quote is not closed"));
  reader->at++;
  while (reader->at < reader->end && (*reader->at == ' ' || *reader->at == '\t'))
    reader->at++;
  if (!at_line_end (reader) && !at_separator (reader))
    return fail (error, reader->line, _("text follows a closing quote"));
  return TRUE;
}

/* Reads one field up to the separator or the end of the line. NULL on error. */
static char *
read_field (Reader *reader, GError **error)
{
  g_autoptr (GString) field = g_string_new (NULL);

  while (reader->at < reader->end && (*reader->at == ' ' || *reader->at == '\t'))
    reader->at++;
  if (reader->at < reader->end && *reader->at == '"')
    {
      reader->at++;
      if (!read_quoted (reader, field, error))
        return NULL;
    }
  else
    for (; !at_line_end (reader) && !at_separator (reader); reader->at++)
      {
        if (*reader->at == '"')
          {
            fail (error, reader->line, _("a quote stands inside a field without quotes"));
            return NULL;
          }
        g_string_append_c (field, *reader->at);
      }
  return g_strstrip (g_string_free (g_steal_pointer (&field), FALSE));
}

static gboolean
is_empty (GPtrArray *fields)
{
  for (guint i = 0; i < fields->len; i++)
    if (*(const char *) g_ptr_array_index (fields, i) != '\0')
      return FALSE;
  return TRUE;
}

/* Reads a record and appends it to records unless it is empty. */
static gboolean
read_record (Reader *reader, GPtrArray *records, GError **error)
{
  g_autoptr (GPtrArray) fields = g_ptr_array_new_with_free_func (g_free);
  BlCsvRecord *record;
  guint line = reader->line;
  char *field;

  for (;;)
    {
      field = read_field (reader, error);
      if (field == NULL)
        return FALSE;
      g_ptr_array_add (fields, field);
      if (!at_separator (reader))
        break;
      reader->at++;
    }
  skip_line_end (reader);
  if (is_empty (fields))
    return TRUE;
  g_ptr_array_add (fields, NULL);
  record = g_new0 (BlCsvRecord, 1);
  record->line = line;
  record->fields = (char **) g_ptr_array_free (g_steal_pointer (&fields), FALSE);
  g_ptr_array_add (records, record);
  return TRUE;
}

/* Line of the byte at offset. */
static guint
line_of (const char *text, const char *at)
{
  guint line = 1;

  for (; text < at; text++)
    line += *text == '\n';
  return line;
}

GPtrArray *
bl_csv_parse (const char *text, gssize length, GError **error)
{
  g_autoptr (GPtrArray) records =
    g_ptr_array_new_with_free_func ((GDestroyNotify) bl_csv_record_free);
  Reader reader = { text, NULL, 0, 1 };
  const char *bad = NULL;

  g_return_val_if_fail (text != NULL, NULL);
  reader.end = text + (length < 0 ? strlen (text) : (gsize) length);
  if (!g_utf8_validate (text, reader.end - text, &bad))
    {
      fail (error, line_of (text, bad), _("the text is not UTF-8"));
      return NULL;
    }
  if (reader.end - reader.at >= 3 && memcmp (reader.at, "\xef\xbb\xbf", 3) == 0)
    reader.at += 3;
  while (reader.at < reader.end)
    if (!read_record (&reader, records, error))
      return NULL;
  return g_steal_pointer (&records);
}

void
bl_csv_append (GString *out, const char *field)
{
  gboolean quoted = strpbrk (field, ",;\"\r\n") != NULL || g_ascii_isspace (field[0]);

  if (!quoted)
    {
      g_string_append (out, field);
      return;
    }
  g_string_append_c (out, '"');
  for (; *field != '\0'; field++)
    {
      if (*field == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *field);
    }
  g_string_append_c (out, '"');
}

void
bl_csv_append_text (GString *out, const char *text)
{
  g_autofree char *harmless = NULL;

  if (*text != '\0' && strchr ("=+-@\t\r\n", *text) != NULL)
    text = harmless = g_strconcat ("'", text, NULL);
  bl_csv_append (out, text);
}
