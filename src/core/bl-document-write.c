/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes the board document by the tables of bl-schema.c. Written here and not by the JSON library
 * for two reasons: a number is the shortest text that reads back as the same double, and lists of
 * plain values stay on one line, so that two versions of a board compare well line by line. The long
 * functions have one case per kind of field. */
#include "config.h"

#include "bl-document.h"

#include "bl-problem.h"

#include <string.h>

/* An object or list being written: what comes before its next member. */
typedef struct
{
  GString *text;
  guint depth;
} Writer;

static gboolean
write_members (Writer *writer, const BlSchema *schema, gconstpointer self, gboolean first);

static void
write_text (Writer *writer, const char *text)
{
  g_string_append_c (writer->text, '"');
  for (const char *c = text; *c != '\0'; c++)
    if (*c == '"' || *c == '\\')
      g_string_append_printf (writer->text, "\\%c", *c);
    else if (*c == '\n')
      g_string_append (writer->text, "\\n");
    else if (*c == '\t')
      g_string_append (writer->text, "\\t");
    else if ((guchar) *c < 0x20)
      g_string_append_printf (writer->text, "\\u%04x", *c);
    else
      g_string_append_c (writer->text, *c);
  g_string_append_c (writer->text, '"');
}

static void
write_number (Writer *writer, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  const char *const formats[] = { "%.15g", "%.16g", "%.17g" };
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_ascii_formatd (buffer, sizeof buffer, formats[i], value);
      if (g_ascii_strtod (buffer, NULL) == value)
        break;
    }
  g_string_append (writer->text, buffer);
}

static void
write_quantity (Writer *writer, const BlQuantity *quantity)
{
  if (quantity->text != NULL)
    write_text (writer, quantity->text);
  else
    write_number (writer, quantity->value);
}

static void
new_line (Writer *writer)
{
  g_string_append_printf (writer->text, "\n%*s", (int) writer->depth * 2, "");
}

static void
write_key (Writer *writer, const char *key, gboolean *first)
{
  if (!*first)
    g_string_append_c (writer->text, ',');
  *first = FALSE;
  new_line (writer);
  write_text (writer, key);
  g_string_append (writer->text, ": ");
}

/* Ends what was begun with an opening bracket and written one level deeper. */
static void
write_end (Writer *writer, gboolean empty, char bracket)
{
  writer->depth--;
  if (!empty)
    new_line (writer);
  g_string_append_c (writer->text, bracket);
}

static void
write_texts (Writer *writer, char *const *texts)
{
  g_string_append_c (writer->text, '[');
  for (guint i = 0; texts[i] != NULL; i++)
    {
      if (i > 0)
        g_string_append (writer->text, ", ");
      write_text (writer, texts[i]);
    }
  g_string_append_c (writer->text, ']');
}

static void
write_points (Writer *writer, const GArray *points)
{
  g_string_append_c (writer->text, '[');
  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      g_string_append (writer->text, i > 0 ? ", [" : "[");
      write_number (writer, g_array_index (points, double, i));
      g_string_append (writer->text, ", ");
      write_number (writer, g_array_index (points, double, i + 1));
      g_string_append_c (writer->text, ']');
    }
  g_string_append_c (writer->text, ']');
}

static void
write_notes (Writer *writer, const char *notes, gboolean *first)
{
  if (notes == NULL)
    return;
  write_key (writer, "notes", first);
  write_text (writer, notes);
}

static void
write_chances (Writer *writer, const GArray *chances, const char *notes)
{
  gboolean first = TRUE;
  g_string_append_c (writer->text, '{');
  writer->depth++;
  for (guint i = 0; i < chances->len; i++)
    {
      const BlShows *item = &g_array_index (chances, BlShows, i);
      write_key (writer, item->condition, &first);
      write_number (writer, item->chance);
    }
  write_notes (writer, notes, &first);
  write_end (writer, first, '}');
}

static gboolean
passes_is_set (const BlPasses *passes)
{
  gboolean set = passes->set || passes->notes != NULL;
  for (guint d = 0; d < BL_N_DEVIATIONS; d++)
    set = set || passes->to[d] != BL_PASSES_UNCHANGED;
  return set;
}

static void
write_passes (Writer *writer, const BlPasses *passes)
{
  gboolean first = TRUE;
  g_string_append_c (writer->text, '{');
  writer->depth++;
  for (guint d = 0; d < BL_N_DEVIATIONS; d++)
    if (passes->to[d] != BL_PASSES_UNCHANGED)
      {
        write_key (writer, bl_deviation_name (d), &first);
        write_text (writer, bl_deviation_name (passes->to[d]));
      }
  write_notes (writer, passes->notes, &first);
  write_end (writer, first, '}');
}

static void
write_need (Writer *writer, int need)
{
  if (need > 0)
    g_string_append_printf (writer->text, "%d", need);
  else
    write_text (writer, need == BL_NEED_ANY ? "any" : "all");
}

static void
write_object (Writer *writer, const BlSchema *schema, gconstpointer self)
{
  g_string_append_c (writer->text, '{');
  writer->depth++;
  gboolean empty = write_members (writer, schema, self, TRUE);
  write_end (writer, empty, '}');
}

/* Number of fields but the short one's that hold something. */
static gboolean
has_more_than_short_text (const BlSchema *schema, gconstpointer self)
{
  g_autoptr (GString) scratch = g_string_new (NULL);
  Writer writer = { scratch, 0 };
  BlSchema rest = *schema;
  rest.fields++; /* the short text is the first field */
  return *(const gboolean *) bl_field_in (self, schema->long_flag) ||
         !write_members (&writer, &rest, self, TRUE);
}

static void
write_list (Writer *writer, const BlSchema *element, const GPtrArray *list)
{
  g_string_append_c (writer->text, '[');
  writer->depth++;
  for (guint i = 0; i < list->len; i++)
    {
      gconstpointer item = bl_at (list, i);
      const char *text =
          element->long_flag != 0 ? *(char **) bl_field_in (item, element->short_text) : NULL;
      if (i > 0)
        g_string_append_c (writer->text, ',');
      new_line (writer);
      if (text != NULL && !has_more_than_short_text (element, item))
        write_text (writer, text);
      else
        write_object (writer, element, item);
    }
  write_end (writer, list->len == 0, ']');
}

/* TRUE when the document says something in this field. */
static gboolean
is_given (const BlField *f, gconstpointer self)
{
  gconstpointer at = bl_field_in (self, f->offset);
  switch (f->kind)
    {
    case BL_FIELD_NUMBER:
    case BL_FIELD_PHYSICAL:
      return isfinite (*(const double *) at);
    case BL_FIELD_FLAG:
      return *(const int *) at >= 0;
    case BL_FIELD_QUANTITY:
      return isfinite (((const BlQuantity *) at)->value);
    case BL_FIELD_PAIR:
      return *(const gboolean *) bl_field_in (self, f->companion) &&
             isfinite (((const BlQuantity *) at)[0].value) &&
             isfinite (((const BlQuantity *) at)[1].value);
    case BL_FIELD_PASSES:
      return passes_is_set (at);
    case BL_FIELD_NEED:
      return *(const int *) at != BL_NEED_LEFT_OUT;
    case BL_FIELD_MEASURES:
      return *(const BlMeasures *) at < BL_N_MEASURES;
    case BL_FIELD_GROUP:
      {
        /* Also when the editor filled a member and forgot the flag. */
        g_autoptr (GString) scratch = g_string_new (NULL);
        Writer writer = { scratch, 0 };
        return *(const gboolean *) bl_field_in (self, f->companion) ||
               !write_members (&writer, f->element, at, TRUE);
      }
    case BL_FIELD_CHANCES:
      return *(const gpointer *) at != NULL ||
             *(const gpointer *) bl_field_in (self, f->companion) != NULL;
    case BL_FIELD_TEXT:
    case BL_FIELD_TEXTS:
    case BL_FIELD_NAMES:
    case BL_FIELD_POINTS:
    case BL_FIELD_LIST:
    case BL_FIELD_OBJECT:
      return *(const gpointer *) at != NULL;
    }
  return FALSE;
}

/* Kinds of one value or a list of plain ones. FALSE: another kind. */
static gboolean
write_plain (Writer *writer, const BlField *f, gconstpointer self)
{
  const void *at = bl_field_in (self, f->offset);
  const void *companion = bl_field_in (self, f->companion);
  switch (f->kind)
    {
    case BL_FIELD_TEXT:
      write_text (writer, *(char *const *) at);
      break;
    case BL_FIELD_NUMBER:
    case BL_FIELD_PHYSICAL:
      write_number (writer, *(const double *) at);
      break;
    case BL_FIELD_FLAG:
      g_string_append (writer->text, *(const int *) at != 0 ? "true" : "false");
      break;
    case BL_FIELD_NAMES:
      if (!*(const gboolean *) companion && g_strv_length (*(char **const *) at) == 1)
        write_text (writer, (*(char **const *) at)[0]);
      else
        write_texts (writer, *(char **const *) at);
      break;
    case BL_FIELD_TEXTS:
      write_texts (writer, *(char **const *) at);
      break;
    case BL_FIELD_QUANTITY:
      write_quantity (writer, at);
      break;
    case BL_FIELD_PAIR:
      g_string_append_c (writer->text, '[');
      write_quantity (writer, at);
      g_string_append (writer->text, ", ");
      write_quantity (writer, (const BlQuantity *) at + 1);
      g_string_append_c (writer->text, ']');
      break;
    case BL_FIELD_POINTS:
      write_points (writer, *(GArray *const *) at);
      break;
    default:
      return FALSE;
    }
  return TRUE;
}

static void
write_field (Writer *writer, const BlField *f, gconstpointer self)
{
  const void *at = bl_field_in (self, f->offset);
  const void *companion = bl_field_in (self, f->companion);
  if (write_plain (writer, f, self))
    return;
  switch (f->kind)
    {
    case BL_FIELD_CHANCES:
      {
        g_autoptr (GArray) none = g_array_new (FALSE, FALSE, sizeof (BlShows));
        const GArray *chances = *(GArray *const *) at;
        write_chances (writer, chances != NULL ? chances : none, *(char *const *) companion);
        break;
      }
    case BL_FIELD_PASSES:
      write_passes (writer, at);
      break;
    case BL_FIELD_NEED:
      write_need (writer, *(const int *) at);
      break;
    case BL_FIELD_MEASURES:
      write_text (writer, bl_measures_name (*(const BlMeasures *) at));
      break;
    case BL_FIELD_LIST:
      write_list (writer, f->element, *(GPtrArray *const *) at);
      break;
    case BL_FIELD_GROUP:
      write_object (writer, f->element, at);
      break;
    case BL_FIELD_OBJECT:
      write_object (writer, f->element, *(const gpointer *) at);
      break;
    default:
      g_assert_not_reached ();
    }
}

/* first: nothing stands before in this object. Returns whether that is so after. */
static gboolean
write_members (Writer *writer, const BlSchema *schema, gconstpointer self, gboolean first)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    if (is_given (f, self))
      {
        write_key (writer, f->key, &first);
        write_field (writer, f, self);
      }
  return first;
}

char *
bl_document_write_as (const char *format, const BlSchema *schema, gconstpointer self)
{
  Writer writer = { g_string_new ("{"), 1 };
  gboolean first = TRUE;
  write_key (&writer, "format", &first);
  write_text (&writer, format);
  write_key (&writer, "version", &first);
  write_number (&writer, 1);
  write_members (&writer, schema, self, first);
  write_end (&writer, FALSE, '}');
  g_string_append_c (writer.text, '\n');
  return g_string_free (writer.text, FALSE);
}

char *
bl_document_write (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  return bl_document_write_as ("benchlore-board", &bl_board_schema, board);
}
