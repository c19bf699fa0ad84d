/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes a fault tree in the Open-PSA Model Exchange Format (an open standard, XML; version 2.0d,
 * from memory).
 *
 * The format finds the top event as the gate that no other gate refers to, so only what the top
 * depends on is written, and a top that is a plain event gets a gate of its own. Some readers take
 * fewer forms than the format has, hence the narrow ones are used: an exclusive or has two operands
 * (more are nested), at-least has a minimum of 2 and more operands than that (else it is an or or an
 * and), nothing has one operand but `not`, and the same operand is not named twice where that
 * changes nothing. Names are ASCII; title and id are kept as label and attribute. Constants are
 * house events. A soft reading has no place in the format: such a tree is refused.
 */
#include "config.h"

#include "bl-tree-write.h"

#include "bl-tree-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  const BlTree *tree;
  GPtrArray *names;
  GString *out;
} Writer;

static void
indent (Writer *writer, guint depth)
{
  for (guint i = 0; i < depth; i++)
    g_string_append (writer->out, "  ");
}

static void
write_reference (Writer *writer, guint node, guint depth)
{
  BlNodeKind kind = bl_tree_node (writer->tree, node)->kind;
  indent (writer, depth);
  g_string_append_printf (writer->out, "<%s name=\"%s\"/>\n",
                          kind == BL_NODE_EVENT   ? "basic-event"
                          : kind == BL_NODE_CONST ? "house-event"
                                                  : "gate",
                          (char *) g_ptr_array_index (writer->names, node));
}

static void
write_operands (Writer *writer, const char *element, const char *attribute, const GArray *operands, guint depth)
{
  indent (writer, depth);
  g_string_append_printf (writer->out, "<%s%s>\n", element, attribute);
  for (guint i = 0; i < operands->len; i++)
    write_reference (writer, g_array_index (operands, guint, i), depth + 1);
  indent (writer, depth);
  g_string_append_printf (writer->out, "</%s>\n", element);
}

/* The children, each named once. (transfer full) */
static GArray *
unlike_children (const BlNode *node)
{
  GArray *children = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  for (guint i = 0; i < bl_node_n_children (node); i++)
    {
      guint child = bl_node_child (node, i);
      if (g_hash_table_add (seen, GUINT_TO_POINTER (child)))
        g_array_append_val (children, child);
    }
  return children;
}

/* Children from first on, n of them, in pairs of halves: nested as little as can be. */
static void
write_xor (Writer *writer, const BlNode *node, guint first, guint n, guint depth)
{
  if (n == 1)
    {
      write_reference (writer, bl_node_child (node, first), depth);
      return;
    }
  indent (writer, depth);
  g_string_append (writer->out, "<xor>\n");
  write_xor (writer, node, first, n / 2, depth + 1);
  write_xor (writer, node, first + n / 2, n - n / 2, depth + 1);
  indent (writer, depth);
  g_string_append (writer->out, "</xor>\n");
}

static void
write_at_least (Writer *writer, const BlNode *node, guint depth)
{
  g_autofree char *attribute = g_strdup_printf (" min=\"%u\"", node->k);
  write_operands (writer, "atleast", attribute, node->children, depth);
}

static void
write_formula (Writer *writer, const BlNode *node, guint depth)
{
  guint n = bl_node_n_children (node);
  BlNodeKind kind = node->kind;
  if (kind == BL_NODE_XOR)
    {
      write_xor (writer, node, 0, n, depth);
      return;
    }
  if (kind == BL_NODE_ATLEAST && node->k > 1 && node->k < n)
    {
      write_at_least (writer, node, depth);
      return;
    }
  if (kind == BL_NODE_ATLEAST)
    kind = node->k <= 1 ? BL_NODE_OR : BL_NODE_AND;
  g_autoptr (GArray) children = unlike_children (node);
  gboolean negated = kind == BL_NODE_NOT || kind == BL_NODE_NOR || kind == BL_NODE_NAND;
  if (children->len == 1 && !negated)
    write_reference (writer, g_array_index (children, guint, 0), depth);
  else
    write_operands (writer,
                    children->len == 1 ? "not"
                    : kind == BL_NODE_NOT || kind == BL_NODE_NOR ? "nor"
                    : kind == BL_NODE_NAND                       ? "nand"
                    : kind == BL_NODE_AND                        ? "and"
                                                                 : "or",
                    "", children, depth);
}

/* Escaped for XML, which has no place for control characters. (transfer full) */
static char *
markup (const char *text)
{
  g_autofree char *clean = g_strdup (text);
  for (char *at = clean; *at != '\0'; at++)
    if (g_ascii_iscntrl (*at))
      *at = ' ';
  return g_markup_escape_text (clean, -1);
}

/* The label is the title, else the id where the name is another; the id is an attribute then. */
static void
write_remarks (Writer *writer, const BlNode *node, const char *name, guint depth)
{
  gboolean renamed = strcmp (name, node->id) != 0;
  const char *label = node->title != NULL ? node->title : renamed ? node->id : NULL;
  if (label != NULL)
    {
      g_autofree char *text = markup (label);
      indent (writer, depth);
      g_string_append_printf (writer->out, "<label>%s</label>\n", text);
    }
  if (renamed)
    {
      g_autofree char *id = markup (node->id);
      indent (writer, depth);
      g_string_append_printf (writer->out,
                              "<attributes><attribute name=\"id\" value=\"%s\"/></attributes>\n", id);
    }
}

static void
write_definition (Writer *writer, guint index, guint depth)
{
  const BlNode *node = bl_tree_node (writer->tree, index);
  const char *name = g_ptr_array_index (writer->names, index);
  const char *element = node->kind == BL_NODE_EVENT   ? "define-basic-event"
                        : node->kind == BL_NODE_CONST ? "define-house-event"
                                                      : "define-gate";
  indent (writer, depth);
  g_string_append_printf (writer->out, "<%s name=\"%s\">\n", element, name);
  write_remarks (writer, node, name, depth + 1);
  if (node->kind == BL_NODE_EVENT)
    {
      indent (writer, depth + 1);
      g_string_append (writer->out, "<float value=\"");
      bl_tree_append_number (writer->out, node->probability);
      g_string_append (writer->out, "\"/>\n");
    }
  else if (node->kind == BL_NODE_CONST)
    {
      indent (writer, depth + 1);
      g_string_append_printf (writer->out, "<constant value=\"%s\"/>\n",
                              node->probability > 0 ? "true" : "false");
    }
  else
    write_formula (writer, node, depth + 1);
  indent (writer, depth);
  g_string_append_printf (writer->out, "</%s>\n", element);
}

static gboolean
is_gate (const BlNode *node)
{
  return node->kind != BL_NODE_EVENT && node->kind != BL_NODE_CONST;
}

/* A gate over a top that is none; its name is no other node's. */
static void
write_top_gate (Writer *writer)
{
  g_autofree char *name = g_strdup ("top");
  for (guint n = 2; g_ptr_array_find_with_equal_func (writer->names, name, g_str_equal, NULL); n++)
    {
      g_free (name);
      name = g_strdup_printf ("top_%u", n);
    }
  indent (writer, 2);
  g_string_append_printf (writer->out, "<define-gate name=\"%s\">\n", name);
  write_reference (writer, writer->tree->top, 3);
  indent (writer, 2);
  g_string_append (writer->out, "</define-gate>\n");
}

static void
write_document (Writer *writer, const GArray *order)
{
  const BlTree *tree = writer->tree;
  g_string_append_printf (writer->out,
                          "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<opsa-mef>\n"
                          "  <define-fault-tree name=\"tree_of_%s\">\n",
                          (char *) g_ptr_array_index (writer->names, tree->top));
  if (!is_gate (bl_tree_node (tree, tree->top)))
    write_top_gate (writer);
  for (guint i = order->len; i-- > 0;)
    if (is_gate (bl_tree_node (tree, g_array_index (order, guint, i))))
      write_definition (writer, g_array_index (order, guint, i), 2);
  g_string_append (writer->out, "  </define-fault-tree>\n  <model-data>\n");
  for (guint i = 0; i < order->len; i++)
    if (!is_gate (bl_tree_node (tree, g_array_index (order, guint, i))))
      write_definition (writer, g_array_index (order, guint, i), 2);
  g_string_append (writer->out, "  </model-data>\n</opsa-mef>\n");
}

char *
bl_tree_to_mef (const BlTree *tree, GError **error)
{
  g_return_val_if_fail (tree != NULL && tree->top < tree->nodes->len, NULL);
  g_autoptr (GArray) roots = g_array_new (FALSE, FALSE, sizeof (guint));
  if (tree->readings != NULL && tree->readings->len > 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   _ ("the exchange format has no place for soft readings"));
      return NULL;
    }
  g_array_append_val (roots, tree->top);
  g_autoptr (GArray) order = bl_tree_children_first (tree, roots, NULL, error);
  if (order == NULL)
    return NULL;
  g_autoptr (GPtrArray) names = bl_tree_names (tree, TRUE);
  g_autoptr (GString) out = g_string_new (NULL);
  Writer writer = { tree, names, out };
  write_document (&writer, order);
  return g_string_free (g_steal_pointer (&out), FALSE);
}
