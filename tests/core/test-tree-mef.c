/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fault trees in the Open-PSA Model Exchange Format (element names from memory of the published
 * format, version 2.0d): every operator against a count over all states of three events, nested
 * formulas, parameters, and what must be refused with its line. */
#undef G_DISABLE_ASSERT
#include "bl-tree.h"
#include "bl-xml.h"

#include <string.h>

#define A "<basic-event name=\"a\"/>"
#define B "<event name=\"b\"/>"
#define C "<basic-event name=\"c\"/>"
#define EVENTS                                                                                     \
  "<define-basic-event name=\"a\"><float value=\"0.1\"/></define-basic-event>"                     \
  "<define-basic-event name=\"b\"><label>second</label><float value=\"0.2\"/></define-basic-event>" \
  "<define-basic-event name=\"c\"><float value=\"0.3\"/></define-basic-event>"

static BlTree *
parse (const char *definitions, GError **error)
{
  g_autofree char *text =
    g_strconcat ("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!DOCTYPE opsa-mef>\n<opsa-mef>"
                 "<define-fault-tree name=\"t\">",
                 definitions, "</define-fault-tree></opsa-mef>", NULL);

  return bl_tree_parse_mef (text, -1, error);
}

static double
probability_of (const BlTree *tree)
{
  g_autoptr (GError) error = NULL;
  BlTreeResult *result = bl_tree_evaluate (tree, NULL, 0, 0, &error);
  double probability;

  g_assert_no_error (error);
  probability = result->probability;
  bl_tree_result_free (result);
  return probability;
}

static double
of_formula (const char *formula)
{
  g_autofree char *text =
    g_strconcat ("<define-gate name=\"top\">", formula, "</define-gate>" EVENTS, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = parse (text, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (((BlNode *) g_ptr_array_index (tree->nodes, tree->top))->id, ==, "top");
  return probability_of (tree);
}

/* truth: bit 4a + 2b + c of the table. */
static double
of_table (guint truth)
{
  double sum = 0;

  for (guint state = 0; state < 8; state++)
    if (truth & (1u << state))
      sum += (state & 4 ? 0.1 : 0.9) * (state & 2 ? 0.2 : 0.8) * (state & 1 ? 0.3 : 0.7);
  return sum;
}

static void
test_operators (void)
{
  static const struct
  {
    const char *formula;
    guint truth;
  } rows[] = {
    { "<and>" A B C "</and>", 1u << 7 },
    { "<or>" A B C "</or>", 0xfe },
    { "<nand>" A B C "</nand>", 0x7f },
    { "<nor>" A B C "</nor>", 0x01 },
    { "<not>" A "</not>", 0x0f },
    { "<xor>" A B "</xor>", 0x3c },
    { "<atleast min=\"2\">" A B C "</atleast>", 0xe8 },
    { "<cardinality min=\"1\" max=\"2\">" A B C "</cardinality>", 0x7e },
    { "<cardinality min=\"0\" max=\"0\">" A B C "</cardinality>", 0x01 },
    { "<cardinality min=\"2\" max=\"3\">" A B C "</cardinality>", 0xe8 },
    { "<imply>" A B "</imply>", 0xcf },
    { "<iff>" A B "</iff>", 0xc3 },
    { A, 0xf0 },
    { "<or>" A "<and>" B "<not>" C "</not></and></or>", 0xf4 },
    { "<and><constant value=\"true\"/>" C "</and>", 0xaa },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpfloat_with_epsilon (of_formula (rows[i].formula), of_table (rows[i].truth), 1e-15);
}

/* Gates used before they are defined, a house event, components, parameters and arithmetic. */
static void
test_model (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = bl_tree_parse_mef (
    "<opsa-mef><define-fault-tree name=\"t\">"
    "<define-gate name=\"top\"><or><gate name=\"inner\"/><house-event name=\"on\"/></or></define-gate>"
    "<define-component name=\"part\">"
    "<define-gate name=\"inner\"><and><basic-event name=\"t.part.x\"/>" B "</and></define-gate>"
    "<define-basic-event name=\"x\"><parameter name=\"p\"/></define-basic-event>"
    "</define-component></define-fault-tree>"
    "<model-data><define-house-event name=\"on\"><constant value=\"false\"/></define-house-event>"
    "<define-parameter name=\"p\"><sub><float value=\"1\"/><exp><neg><mul><parameter name=\"rate\"/>"
    "<int value=\"100\"/></mul></neg></exp></sub></define-parameter>"
    "<define-parameter name=\"rate\"><float value=\"1e-3\"/></define-parameter>"
    "<define-basic-event name=\"b\"><exponential><parameter name=\"rate\"/><float value=\"100\"/>"
    "</exponential></define-basic-event></model-data></opsa-mef>",
    -1, &error);

  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (probability_of (tree), pow (1 - exp (-0.1), 2), 1e-15);
  g_assert_cmpint (bl_tree_find (tree, "x"), >=, 0);
}

static void
test_inner_names (void)
{
  g_autoptr (BlTree) tree =
      parse ("<define-gate name=\"g\"><or>" A "<and>" B C "</and></or></define-gate>" EVENTS, NULL);

  g_assert_nonnull (tree);
  g_assert_cmpint (bl_tree_find (tree, "g__1"), >=, 0);
}

/* A model with a tree for each system: the top is asked for; labels become titles. */
static void
test_several_tops (void)
{
  static const char text[] =
    "<opsa-mef><define-fault-tree name=\"one\"><define-gate name=\"first\"><label> the first\n</label>"
    "<or>" A B "</or></define-gate></define-fault-tree>"
    "<define-fault-tree name=\"two\"><define-gate name=\"second\"><and>" A B C "</and></define-gate>"
    "</define-fault-tree><model-data>" EVENTS "</model-data></opsa-mef>";
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) first = bl_tree_parse_mef_top (text, -1, "first", &error);
  g_autoptr (BlTree) second = bl_tree_parse_mef_top (text, -1, "second", &error);

  g_assert_no_error (error);
  g_assert_cmpfloat_with_epsilon (probability_of (first), 0.28, 1e-15);
  g_assert_cmpfloat_with_epsilon (probability_of (second), 0.006, 1e-15);
  g_assert_cmpstr (((BlNode *) g_ptr_array_index (first->nodes, first->top))->title, ==, "the first");
  g_assert_null (((BlNode *) g_ptr_array_index (second->nodes, second->top))->title);
  g_assert_null (bl_tree_parse_mef_top (text, -1, "third", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_assert_null (bl_tree_parse_mef (text, -1, &error));
  g_assert_nonnull (strstr (error->message, "first, second"));
}

static void
test_refused (void)
{
  static const struct
  {
    const char *definitions, *reason;
  } rows[] = {
    { "", "no gate" },
    { "<define-gate name=\"g\">" A "</define-gate>\n", "line 3: “a” is not defined" },
    { "\n<define-gate name=\"g\"><and/></define-gate>" EVENTS, "line 4: “and” with 0 operands" },
    { "<define-gate name=\"g\"><not>" A B "</not></define-gate>" EVENTS, "“not” with 2" },
    { "<define-gate name=\"g\"><atleast min=\"4\">" A B C "</atleast></define-gate>" EVENTS, "out of range" },
    { "<define-gate name=\"g\"><atleast>" A B C "</atleast></define-gate>" EVENTS, "out of range" },
    { "<define-gate name=\"g\"><maybe>" A "</maybe></define-gate>" EVENTS, "no formula" },
    { "<define-gate name=\"g\"></define-gate>" EVENTS, "needs one formula" },
    { "<define-gate name=\"g\">" A "</define-gate><define-gate name=\"h\">" B "</define-gate>" EVENTS, "g, h" },
    { "<define-gate name=\"g\"><gate name=\"h\"/></define-gate><define-gate name=\"h\"><or><gate name=\"g\"/>" A
      "</or></define-gate>" EVENTS, "h" },
    { "<define-gate name=\"a\">" B "</define-gate>" EVENTS, "already defined" },
    { "<define-gate name=\"g\">" A "</define-gate><define-basic-event name=\"a\"/>", "no probability" },
    { "<define-gate name=\"g\">" A "</define-gate><define-basic-event name=\"a\"><float value=\"1.5\"/>"
      "</define-basic-event>", "outside 0 to 1" },
    { "<define-gate name=\"g\">" A "</define-gate><define-basic-event name=\"a\"><float value=\"x\"/>"
      "</define-basic-event>", "no number" },
    { "<define-gate name=\"g\">" A "</define-gate><define-basic-event name=\"a\"><parameter name=\"p\"/>"
      "</define-basic-event><define-parameter name=\"p\"><parameter name=\"p\"/></define-parameter>", "itself" },
    { "<define-gate name=\"g\">" A "</define-gate><define-basic-event name=\"a\"><uniform-deviate/>"
      "</define-basic-event>", "not understood" },
    { "<define-CCF-group name=\"x\" model=\"beta-factor\"/>", "common-cause" },
    { "\n\n<include file=\"other.xml\"/>", "line 5: “include”" },
    { "<define-substitution name=\"x\"/>", "define-substitution" },
    { "<define-gate name=\"g\">", "not XML" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (BlTree) tree = parse (rows[i].definitions, &error);

      if (tree != NULL)
        g_error ("“%s” was taken", rows[i].definitions);
      if (strstr (error->message, rows[i].reason) == NULL)
        g_error ("“%s” instead of “%s”", error->message, rows[i].reason);
    }
}

static void
test_xml (void)
{
  g_autoptr (GString) deep = g_string_new (NULL);
  g_autoptr (GError) error = NULL;
  static const char text[] = "<a x='1'>\n<!-- c --><b y='&lt;'/>text</a>\n";
  g_autoptr (BlXml) root = bl_xml_parse (text, strlen (text), &error);

  g_assert_no_error (error);
  g_assert_cmpstr (bl_xml_attribute (root, "x"), ==, "1");
  g_assert_null (bl_xml_attribute (root, "y"));
  g_assert_cmpuint (root->children->len, ==, 1);
  g_assert_cmpstr (bl_xml_attribute (g_ptr_array_index (root->children, 0), "y"), ==, "<");
  g_assert_cmpuint (((BlXml *) g_ptr_array_index (root->children, 0))->line, ==, 2);
  for (int i = 0; i < 100000; i++)
    g_string_append (deep, "<a>");
  g_assert_null (bl_xml_parse (deep->str, deep->len, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-mef/operators", test_operators);
  g_test_add_func ("/core/tree-mef/model", test_model);
  g_test_add_func ("/core/tree-mef/inner-names", test_inner_names);
  g_test_add_func ("/core/tree-mef/several-tops", test_several_tops);
  g_test_add_func ("/core/tree-mef/refused", test_refused);
  g_test_add_func ("/core/tree-mef/xml", test_xml);
  return g_test_run ();
}
