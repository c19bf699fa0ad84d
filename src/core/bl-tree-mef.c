/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault-tree part of the Open-PSA Model Exchange Format (an open standard, XML): gates with
 * nested formulas, basic and house events, parameters and the usual arithmetic in probabilities.
 *
 * The format names no top event: it is the gate that no other gate refers to. A formula inside a
 * formula becomes a gate named after its owner, OWNER__1 and so on. What has no counterpart here
 * (event trees, distributions) is refused where a probability needs it and passed over where nothing
 * does. Common-cause groups, substitutions and included files are refused: to leave one out would
 * change the result without a word. A label becomes the node's title.
 *
 * Trees of some thousand gates; read once, so elements are held in memory (bl-xml.c). */
#include "config.h"

#include "bl-tree-private.h"
#include "bl-xml.h"

#include <stdarg.h>
#include <string.h>

#include <glib/gi18n-lib.h>

/* Depth of parameters that refer to each other; beyond it they refer to themselves. */
#define MAX_REFERENCES 100

typedef struct
{
  BlTree *tree;
  GHashTable *nodes;      /* name -> index + 1 */
  GHashTable *parameters; /* name -> const BlXml */
  GPtrArray *definitions; /* const BlXml of the first nodes, by index */
  GArray *referred;       /* gboolean, by index of the first nodes */
  guint depth;            /* of parameters being evaluated */
} Reader;

static gboolean
complain (GError **error, const BlXml *element, const char *format, ...) G_GNUC_PRINTF (3, 4);
static gboolean
complain (GError **error, const BlXml *element, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("line %u: %s"), element->line,
               message);
  return FALSE;
}

/* TRUE for the elements that only describe. */
static gboolean
is_remark (const BlXml *element)
{
  return strcmp (element->name, "label") == 0 || strcmp (element->name, "attributes") == 0;
}

/* The only child of a definition besides remarks; NULL when there is none or more than one. */
static const BlXml *
only_child (const BlXml *element)
{
  const BlXml *found = NULL;

  for (guint i = 0; i < element->children->len; i++)
    {
      const BlXml *child = g_ptr_array_index (element->children, i);

      if (is_remark (child))
        continue;
      if (found != NULL)
        return NULL;
      found = child;
    }
  return found;
}

static gboolean
is_named (const BlXml *element, const char *name)
{
  return strcmp (element->name, name) == 0;
}

/* --- Expressions ------------------------------------------------------------------------------ */

static gboolean evaluate (Reader *reader, const BlXml *element, double *value, GError **error);

static gboolean
evaluate_constant (const BlXml *element, double *value, GError **error)
{
  const char *text = bl_xml_attribute (element, "value");
  char *end = NULL;

  if (text != NULL && (strcmp (text, "true") == 0 || strcmp (text, "false") == 0))
    {
      *value = strcmp (text, "true") == 0;
      return TRUE;
    }
  *value = text != NULL ? g_ascii_strtod (text, &end) : NAN;
  if (text == NULL || end == text || *end != '\0' || !isfinite (*value))
    return complain (error, element, _ ("“%s” is no number"), text != NULL ? text : "");
  return TRUE;
}

static gboolean
evaluate_parameter (Reader *reader, const BlXml *element, double *value, GError **error)
{
  const char *name = bl_xml_attribute (element, "name");
  const BlXml *definition = name != NULL ? g_hash_table_lookup (reader->parameters, name) : NULL;
  const BlXml *expression = definition != NULL ? only_child (definition) : NULL;
  gboolean good;

  if (expression == NULL)
    return complain (error, element, _ ("parameter “%s” is not defined"), name != NULL ? name : "");
  if (reader->depth >= MAX_REFERENCES)
    return complain (error, element, _ ("parameter “%s” refers to itself"), name);
  reader->depth++;
  good = evaluate (reader, expression, value, error);
  reader->depth--;
  return good;
}

/* Operations on the values of all children. */
static gboolean
evaluate_operation (Reader *reader, const BlXml *element, double *value, GError **error)
{
  guint n = element->children->len;
  g_autofree double *values = g_new0 (double, n + 1);

  for (guint i = 0; i < n; i++)
    if (!evaluate (reader, g_ptr_array_index (element->children, i), &values[i], error))
      return FALSE;
  *value = values[0];
  if (is_named (element, "neg") && n == 1)
    *value = -values[0];
  else if (is_named (element, "exp") && n == 1)
    *value = exp (values[0]);
  else if (is_named (element, "log") && n == 1)
    *value = log (values[0]);
  else if (is_named (element, "pow") && n == 2)
    *value = pow (values[0], values[1]);
  else if (is_named (element, "exponential") && n == 2)
    *value = -expm1 (-values[0] * values[1]); /* of rate and time */
  else if (n > 0 && (is_named (element, "add") || is_named (element, "sub") ||
                     is_named (element, "mul") || is_named (element, "div")))
    for (guint i = 1; i < n; i++)
      *value = is_named (element, "add")   ? *value + values[i]
               : is_named (element, "sub") ? *value - values[i]
               : is_named (element, "mul") ? *value * values[i]
                                           : *value / values[i];
  else
    return complain (error, element, _ ("“%s” with %u operands is not understood here"),
                     element->name, n);
  return TRUE;
}

static gboolean
evaluate (Reader *reader, const BlXml *element, double *value, GError **error)
{
  if (is_named (element, "float") || is_named (element, "int") || is_named (element, "bool") ||
      is_named (element, "constant"))
    return evaluate_constant (element, value, error);
  if (is_named (element, "parameter"))
    return evaluate_parameter (reader, element, value, error);
  return evaluate_operation (reader, element, value, error);
}

/* --- Definitions ------------------------------------------------------------------------------ */

static const char *
label_of (const BlXml *element)
{
  for (guint i = 0; i < element->children->len; i++)
    {
      const BlXml *child = g_ptr_array_index (element->children, i);

      if (is_named (child, "label"))
        return child->text;
    }
  return NULL;
}

static gboolean
define (Reader *reader, const BlXml *element, BlNodeKind kind, GError **error)
{
  const char *name = bl_xml_attribute (element, "name");
  gboolean no = FALSE;
  const BlNode *node;

  if (name == NULL || *name == '\0')
    return complain (error, element, _ ("“%s” has no name"), element->name);
  if (g_hash_table_contains (reader->nodes, name))
    return complain (error, element, _ ("“%s” is already defined"), name);
  node = bl_tree_add (reader->tree, kind, name, label_of (element));
  g_hash_table_insert (reader->nodes, node->id, GUINT_TO_POINTER (reader->tree->nodes->len));
  g_ptr_array_add (reader->definitions, (gpointer) element);
  g_array_append_val (reader->referred, no);
  return TRUE;
}

/* Collects the names of everything that is defined in or below element. */
static gboolean
collect (Reader *reader, const BlXml *element, GError **error)
{
  gboolean good = TRUE;

  for (guint i = 0; i < element->children->len && good; i++)
    {
      const BlXml *child = g_ptr_array_index (element->children, i);
      const char *name = bl_xml_attribute (child, "name");

      if (is_named (child, "define-gate"))
        good = define (reader, child, BL_NODE_PASS, error);
      else if (is_named (child, "define-basic-event"))
        good = define (reader, child, BL_NODE_EVENT, error);
      else if (is_named (child, "define-house-event"))
        good = define (reader, child, BL_NODE_CONST, error);
      else if (is_named (child, "define-parameter") && name != NULL)
        g_hash_table_insert (reader->parameters, (gpointer) name, (gpointer) child);
      else if (is_named (child, "define-CCF-group"))
        good = complain (error, child, _ ("common-cause groups are not understood here"));
      else if (is_named (child, "define-substitution") || is_named (child, "include"))
        good = complain (error, child, _ ("“%s” is not understood here"), child->name);
      else if (is_named (child, "define-fault-tree") || is_named (child, "define-component") ||
               is_named (child, "model-data"))
        good = collect (reader, child, error);
    }
  return good;
}

static gboolean
set_probability (Reader *reader, guint index, GError **error)
{
  const BlXml *definition = g_ptr_array_index (reader->definitions, index);
  const BlXml *expression = only_child (definition);
  BlNode *node = bl_tree_node (reader->tree, index);

  if (expression == NULL && node->kind == BL_NODE_CONST)
    return TRUE; /* a house event is false unless it says otherwise */
  if (expression == NULL)
    return complain (error, definition, _ ("“%s” has no probability"), node->id);
  if (!evaluate (reader, expression, &node->probability, error))
    return FALSE;
  if (!(node->probability >= 0 && node->probability <= 1) ||
      (node->kind == BL_NODE_CONST && node->probability != 0 && node->probability != 1))
    return complain (error, expression, _ ("probability of “%s” is %g, outside 0 to 1"), node->id,
                     node->probability);
  return TRUE;
}

/* --- Formulas --------------------------------------------------------------------------------- */

/* The gate whose formula is being read, and how many inner gates it has got. */
typedef struct
{
  const char *name;
  guint n_inner;
} Owner;

static gboolean fill (Reader *reader, guint index, const BlXml *formula, Owner *owner, GError **error);

static guint
add_inner (Reader *reader, Owner *owner)
{
  g_autofree char *name = NULL;

  do
    {
      g_free (name);
      name = g_strdup_printf ("%s__%u", owner->name, ++owner->n_inner);
    }
  while (g_hash_table_contains (reader->nodes, name));
  bl_tree_add (reader->tree, BL_NODE_PASS, name, NULL);
  return reader->tree->nodes->len - 1;
}

static gboolean
is_reference (const BlXml *element)
{
  return is_named (element, "gate") || is_named (element, "basic-event") ||
         is_named (element, "house-event") || is_named (element, "event");
}

/* Node of a reference; a path ("TREE.NAME") is taken by its last part. */
static gboolean
refer (Reader *reader, const BlXml *element, guint *index, GError **error)
{
  const char *name = bl_xml_attribute (element, "name");
  const char *dot = name != NULL ? strrchr (name, '.') : NULL;
  guint found = name != NULL ? GPOINTER_TO_UINT (g_hash_table_lookup (reader->nodes, name)) : 0;

  if (found == 0 && dot != NULL)
    found = GPOINTER_TO_UINT (g_hash_table_lookup (reader->nodes, dot + 1));
  if (found == 0)
    return complain (error, element, _ ("“%s” is not defined"), name != NULL ? name : "");
  *index = found - 1;
  g_array_index (reader->referred, gboolean, *index) = TRUE;
  return TRUE;
}

/* Adds what element stands for to the children of the node at index. */
static gboolean
add_operand (Reader *reader, guint index, const BlXml *element, Owner *owner, GError **error)
{
  guint child = 0;

  if (is_reference (element))
    {
      if (!refer (reader, element, &child, error))
        return FALSE;
    }
  else
    {
      child = add_inner (reader, owner);
      if (!fill (reader, child, element, owner, error))
        return FALSE;
    }
  bl_node_add_child (bl_tree_node (reader->tree, index), child);
  return TRUE;
}

static gboolean
add_operands (Reader *reader, guint index, const BlXml *formula, Owner *owner, GError **error)
{
  for (guint i = 0; i < formula->children->len; i++)
    if (!add_operand (reader, index, g_ptr_array_index (formula->children, i), owner, error))
      return FALSE;
  return TRUE;
}

/* A number attribute of at-least formulas. */
static gboolean
read_count (const BlXml *formula, const char *name, guint least, guint *count, GError **error)
{
  const char *text = bl_xml_attribute (formula, name);
  guint64 value;

  if (text == NULL ||
      !g_ascii_string_to_unsigned (text, 10, least, formula->children->len, &value, NULL))
    return complain (error, formula, _ ("%s “%s” is out of range for %u operands"), name,
                     text != NULL ? text : "", formula->children->len);
  *count = (guint) value;
  return TRUE;
}

/* From least to most of the operands: at least the least, and not at least one more than the most. */
static gboolean
fill_cardinality (Reader *reader, guint index, const BlXml *formula, Owner *owner, GError **error)
{
  guint limits[2], parts[2], n = formula->children->len;

  if (!read_count (formula, "min", 0, &limits[0], error) ||
      !read_count (formula, "max", 0, &limits[1], error))
    return FALSE;
  limits[1]++;
  for (int i = 0; i < 2; i++)
    {
      BlNode *part;

      parts[i] = add_inner (reader, owner);
      part = bl_tree_node (reader->tree, parts[i]);
      part->k = limits[i];
      part->kind = limits[i] == 0 || limits[i] > n ? BL_NODE_CONST : BL_NODE_ATLEAST;
      part->probability = limits[i] == 0;
      if (part->kind == BL_NODE_ATLEAST && !add_operands (reader, parts[i], formula, owner, error))
        return FALSE;
    }
  bl_tree_node (reader->tree, index)->kind = BL_NODE_AND;
  bl_node_add_child (bl_tree_node (reader->tree, index), parts[0]);
  parts[0] = add_inner (reader, owner);
  bl_tree_node (reader->tree, parts[0])->kind = BL_NODE_NOT;
  bl_node_add_child (bl_tree_node (reader->tree, parts[0]), parts[1]);
  bl_node_add_child (bl_tree_node (reader->tree, index), parts[0]);
  return TRUE;
}

/* a implies b: not a, or b. a iff b: not (a xor b). */
static gboolean
fill_two (Reader *reader, guint index, const BlXml *formula, Owner *owner, GError **error)
{
  gboolean imply = is_named (formula, "imply");
  guint inner = add_inner (reader, owner);

  if (formula->children->len != 2)
    return complain (error, formula, _ ("“%s” takes two operands"), formula->name);
  bl_tree_node (reader->tree, index)->kind = imply ? BL_NODE_OR : BL_NODE_NOT;
  bl_tree_node (reader->tree, inner)->kind = imply ? BL_NODE_NOT : BL_NODE_XOR;
  bl_node_add_child (bl_tree_node (reader->tree, index), inner);
  return add_operand (reader, inner, g_ptr_array_index (formula->children, 0), owner, error) &&
         add_operand (reader, imply ? index : inner, g_ptr_array_index (formula->children, 1), owner,
                      error);
}

/* Makes the node at index what formula says. */
static gboolean
fill (Reader *reader, guint index, const BlXml *formula, Owner *owner, GError **error)
{
  static const struct
  {
    const char *name;
    BlNodeKind kind;
    gboolean single;
  } operations[] = {
    { "and", BL_NODE_AND, FALSE },         { "or", BL_NODE_OR, FALSE },
    { "not", BL_NODE_NOT, TRUE },          { "xor", BL_NODE_XOR, FALSE },
    { "nand", BL_NODE_NAND, FALSE },       { "nor", BL_NODE_NOR, FALSE },
    { "atleast", BL_NODE_ATLEAST, FALSE },
  };
  BlNode *node = bl_tree_node (reader->tree, index);

  if (is_reference (formula))
    return add_operand (reader, index, formula, owner, error);
  if (is_named (formula, "constant"))
    {
      node->kind = BL_NODE_CONST;
      return evaluate_constant (formula, &node->probability, error);
    }
  if (is_named (formula, "cardinality"))
    return fill_cardinality (reader, index, formula, owner, error);
  if (is_named (formula, "imply") || is_named (formula, "iff"))
    return fill_two (reader, index, formula, owner, error);
  for (gsize i = 0; i < G_N_ELEMENTS (operations); i++)
    {
      if (!is_named (formula, operations[i].name))
        continue;
      node->kind = operations[i].kind;
      if (formula->children->len == 0 || (operations[i].single && formula->children->len != 1))
        return complain (error, formula, _ ("“%s” with %u operands"), formula->name,
                         formula->children->len);
      if (node->kind == BL_NODE_ATLEAST && !read_count (formula, "min", 1, &node->k, error))
        return FALSE;
      return add_operands (reader, index, formula, owner, error);
    }
  return complain (error, formula, _ ("“%s” is no formula known here"), formula->name);
}

static gboolean
fill_gate (Reader *reader, guint index, GError **error)
{
  const BlXml *definition = g_ptr_array_index (reader->definitions, index);
  const BlXml *formula = only_child (definition);
  Owner owner = { bl_xml_attribute (definition, "name"), 0 };

  if (formula == NULL)
    return complain (error, definition, _ ("gate “%s” needs one formula"), owner.name);
  return fill (reader, index, formula, &owner, error);
}

/* --- Whole ------------------------------------------------------------------------------------ */

/* The gate that nothing refers to. */
static gboolean
find_top (Reader *reader, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  guint found = 0;

  for (guint i = 0; i < reader->definitions->len; i++)
    {
      const BlXml *definition = g_ptr_array_index (reader->definitions, i);

      if (!is_named (definition, "define-gate") || g_array_index (reader->referred, gboolean, i))
        continue;
      reader->tree->top = i;
      g_string_append_printf (names, "%s%s", found > 0 ? ", " : "", bl_tree_node (reader->tree, i)->id);
      found++;
    }
  if (found == 1)
    return TRUE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
               found == 0 ? _ ("there is no gate that no other refers to")
                          : _ ("more than one gate could be the top event: %s"),
               names->str);
  return FALSE;
}

static gboolean
take_top (Reader *reader, const char *top, GError **error)
{
  guint found = GPOINTER_TO_UINT (g_hash_table_lookup (reader->nodes, top));

  if (found == 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no event or gate “%s”"),
                   top);
      return FALSE;
    }
  reader->tree->top = found - 1;
  return TRUE;
}

static gboolean
read_document (Reader *reader, const BlXml *root, const char *top, GError **error)
{
  g_autoptr (GArray) order = NULL, all = g_array_new (FALSE, FALSE, sizeof (guint));

  if (!is_named (root, "opsa-mef"))
    return complain (error, root, _ ("the root element is “%s”, expected “opsa-mef”"), root->name);
  if (!collect (reader, root, error))
    return FALSE;
  for (guint i = 0; i < reader->definitions->len; i++)
    {
      gboolean gate = is_named (g_ptr_array_index (reader->definitions, i), "define-gate");

      if (gate ? !fill_gate (reader, i, error) : !set_probability (reader, i, error))
        return FALSE;
    }
  for (guint i = 0; i < reader->tree->nodes->len; i++)
    g_array_append_val (all, i);
  order = bl_tree_children_first (reader->tree, all, NULL, error);
  return order != NULL && (top != NULL ? take_top (reader, top, error) : find_top (reader, error));
}

BlTree *
bl_tree_parse_mef (const char *text, gssize length, GError **error)
{
  return bl_tree_parse_mef_top (text, length, NULL, error);
}

BlTree *
bl_tree_parse_mef_top (const char *text, gssize length, const char *top, GError **error)
{
  g_autoptr (BlXml) root = NULL;
  g_autoptr (BlTree) tree = bl_tree_new ();
  g_autoptr (GHashTable) nodes = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GHashTable) parameters = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) definitions = g_ptr_array_new ();
  g_autoptr (GArray) referred = g_array_new (FALSE, FALSE, sizeof (gboolean));
  Reader reader = { tree, nodes, parameters, definitions, referred, 0 };

  g_return_val_if_fail (text != NULL, NULL);
  root = bl_xml_parse (text, length < 0 ? strlen (text) : (gsize) length, error);
  if (root == NULL || !read_document (&reader, root, top, error))
    return NULL;
  return g_steal_pointer (&tree);
}
