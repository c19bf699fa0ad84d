/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Elements and attributes of an XML text as a tree in memory, read with GLib's markup parser: enough
 * for exchange formats that keep everything in attributes. No entities beyond the five predefined,
 * no namespaces, no validation. Meant for some megabytes. */
#include "config.h"

#include "bl-xml.h"

#include "bl-quantity.h"

#include <glib/gi18n-lib.h>

#define MAX_DEPTH 200

typedef struct
{
  BlXml *root;
  GPtrArray *open; /* BlXml, from the root to where we are (not owned) */
} Reader;

void
bl_xml_free (BlXml *element)
{
  if (element == NULL)
    return;
  g_free (element->name);
  g_free (element->text);
  g_hash_table_unref (element->attributes);
  g_ptr_array_unref (element->children);
  g_free (element);
}

const char *
bl_xml_attribute (const BlXml *element, const char *name)
{
  g_return_val_if_fail (element != NULL && name != NULL, NULL);
  return g_hash_table_lookup (element->attributes, name);
}

static void
start_element (GMarkupParseContext *context, const char *name, const char **names, const char **values, gpointer data,
               GError **error)
{
  Reader *reader = data;
  BlXml *element;
  int line = 0, column = 0;

  g_markup_parse_context_get_position (context, &line, &column);
  if (reader->open->len >= MAX_DEPTH)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                   _ ("line %d: elements are nested too deeply"), line);
      return;
    }
  element = g_new0 (BlXml, 1);
  element->name = g_strdup (name);
  element->line = (guint) line;
  element->attributes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  element->children = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_xml_free);
  for (int i = 0; names[i] != NULL; i++)
    g_hash_table_insert (element->attributes, g_strdup (names[i]), g_strdup (values[i]));
  if (reader->open->len > 0)
    {
      const BlXml *parent = g_ptr_array_index (reader->open, reader->open->len - 1);

      g_ptr_array_add (parent->children, element);
    }
  else
    reader->root = element;
  g_ptr_array_add (reader->open, element);
}

static void
end_element (GMarkupParseContext *context, const char *name, gpointer data, GError **error)
{
  Reader *reader = data;

  g_ptr_array_set_size (reader->open, (int) reader->open->len - 1);
}

static void
take_text (GMarkupParseContext *context, const char *text, gsize length, gpointer data, GError **error)
{
  const Reader *reader = data;
  BlXml *element = reader->open->len > 0 ? g_ptr_array_index (reader->open, reader->open->len - 1) : NULL;
  g_autofree char *more = g_strstrip (g_strndup (text, length));
  g_autofree char *before = NULL;

  if (element == NULL || *more == '\0')
    return;
  before = element->text;
  element->text = before != NULL ? g_strconcat (before, more, NULL) : g_steal_pointer (&more);
}

BlXml *
bl_xml_parse (const char *text, gsize length, GError **error)
{
  static const GMarkupParser parser = { start_element, end_element, take_text, NULL, NULL };
  g_autoptr (GPtrArray) open = g_ptr_array_new ();
  Reader reader = { NULL, open };
  g_autoptr (GMarkupParseContext) context = NULL;
  g_autoptr (GError) local = NULL;

  g_return_val_if_fail (text != NULL, NULL);
  context = g_markup_parse_context_new (&parser, 0, &reader, NULL);
  if (g_markup_parse_context_parse (context, text, (gssize) length, &local) &&
      g_markup_parse_context_end_parse (context, &local))
    return reader.root;
  bl_xml_free (reader.root);
  if (local->domain == BL_CORE_ERROR)
    g_propagate_error (error, g_steal_pointer (&local));
  else
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("not XML: %s"), local->message);
  return NULL;
}
