/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the forms a fault tree is written in share: names, numbers; and the text form itself.
 *
 * A board's nodes are named after what they mean ("12 V:absent~feeds"), which neither form takes as
 * it is. The text form, read by bl-tree-text.c, is written whole, soft readings included; titles
 * follow as comments. Open-PSA is in bl-tree-mef-write.c.
 */
#include "config.h"

#include "bl-tree-write.h"

#include "bl-tree-private.h"

#include <string.h>

void
bl_tree_append_number (GString *out, double value)
{
  static const char *const formats[] = { "%.15g", "%.16g", "%.17g" };
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  for (gsize i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_ascii_formatd (buffer, sizeof buffer, formats[i], value);
      if (g_ascii_strtod (buffer, NULL) == value)
        break;
    }
  g_string_append (out, buffer);
}

static char *
strict_name (const char *id)
{
  g_autoptr (GString) name = g_string_new (NULL);
  for (const char *at = id; *at != '\0'; at++)
    {
      gboolean after_dash = name->len > 0 && name->str[name->len - 1] == '-';
      if (g_ascii_isalnum (*at) || *at == '_' || (*at == '-' && name->len > 0 && !after_dash))
        g_string_append_c (name, *at);
      else if ((*at & 0xc0) != 0x80 || (*at & 0x80) == 0) /* one '_' for each character */
        g_string_append_c (name, '_');
    }
  if (name->len == 0 || g_ascii_isdigit (name->str[0]))
    g_string_prepend_c (name, '_');
  if (name->str[name->len - 1] == '-')
    name->str[name->len - 1] = '_';
  return g_string_free (g_steal_pointer (&name), FALSE);
}

static char *
plain_name (const char *id)
{
  char *name = g_strdup (*id != '\0' ? id : "_");
  for (char *at = name; *at != '\0'; at++)
    if (g_ascii_isspace (*at) || *at == '#')
      *at = '_';
  return name;
}

/* Names that needed no change are taken first, so that they can stay. */
GPtrArray *
bl_tree_names (const BlTree *tree, gboolean strict)
{
  g_autoptr (GHashTable) taken = g_hash_table_new (g_str_hash, g_str_equal);
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const char *id = bl_tree_node (tree, i)->id;
      char *name = strict ? strict_name (id) : plain_name (id);
      g_ptr_array_add (names, name);
      if (strcmp (name, id) == 0)
        g_hash_table_insert (taken, name, GUINT_TO_POINTER (i + 1));
    }
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      char **name = (char **) &g_ptr_array_index (names, i);
      if (g_hash_table_lookup (taken, *name) == GUINT_TO_POINTER (i + 1))
        continue;
      g_autofree char *base = g_strdup (*name);
      for (guint n = 2; g_hash_table_contains (taken, *name); n++)
        {
          g_free (*name);
          *name = g_strdup_printf ("%s_%u", base, n);
        }
      g_hash_table_insert (taken, *name, GUINT_TO_POINTER (i + 1));
    }
  return names;
}

/* --- The text form ---------------------------------------------------------------------------- */

static const char *
operation_word (BlNodeKind kind)
{
  switch (kind)
    {
    case BL_NODE_AND:
      return "and";
    case BL_NODE_NOT:
      return "not";
    case BL_NODE_XOR:
      return "xor";
    case BL_NODE_ATLEAST:
      return "atleast";
    case BL_NODE_NAND:
      return "nand";
    case BL_NODE_NOR:
      return "nor";
    case BL_NODE_PASS:
      return "pass";
    case BL_NODE_OR:
    case BL_NODE_EVENT:
    case BL_NODE_CONST:
    default:
      return "or";
    }
}

static void
append_fact (GString *out, const BlNode *node, const char *name, const GPtrArray *names)
{
  if (node->kind == BL_NODE_EVENT)
    {
      g_string_append_printf (out, "event %s ", name);
      bl_tree_append_number (out, node->probability);
    }
  else if (node->kind == BL_NODE_CONST)
    g_string_append_printf (out, "const %s %d", name, node->probability > 0);
  else
    {
      g_string_append_printf (out, "gate %s %s %u", name, operation_word (node->kind),
                              node->kind == BL_NODE_ATLEAST ? node->k : 0);
      for (guint i = 0; i < bl_node_n_children (node); i++)
        g_string_append_printf (out, " %s",
                                (char *) g_ptr_array_index (names, bl_node_child (node, i)));
    }
}

/* What would end the line of a comment becomes a blank. */
static void
append_remark (GString *out, const char *remark)
{
  g_autofree char *text = g_strdelimit (g_strdup (remark), "\r\n", ' ');
  g_string_append_printf (out, " # %s", text);
}

char *
bl_tree_to_text (const BlTree *tree)
{
  g_return_val_if_fail (tree != NULL && tree->top < tree->nodes->len, NULL);
  g_autoptr (GPtrArray) names = bl_tree_names (tree, FALSE);
  g_autoptr (GString) out = g_string_new (NULL);
  g_string_append_printf (out, "top %s\n", (char *) g_ptr_array_index (names, tree->top));
  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const BlNode *node = bl_tree_node (tree, i);
      append_fact (out, node, g_ptr_array_index (names, i), names);
      if (node->title != NULL)
        append_remark (out, node->title);
      g_string_append_c (out, '\n');
    }
  for (guint i = 0; tree->readings != NULL && i < tree->readings->len; i++)
    {
      const BlSoftReading *reading = &g_array_index (tree->readings, BlSoftReading, i);
      g_string_append_printf (out, "obs %s ", (char *) g_ptr_array_index (names, reading->node));
      bl_tree_append_number (out, reading->if_true);
      g_string_append_c (out, ' ');
      bl_tree_append_number (out, reading->if_false);
      g_string_append_c (out, '\n');
    }
  return g_string_free (g_steal_pointer (&out), FALSE);
}
