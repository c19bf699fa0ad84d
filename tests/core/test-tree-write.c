/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fault trees written and read back: the same probability of the top and of every event, over random
 * trees with every kind of gate and over every stage of the demo boards; names, titles, and what the
 * exchange format asks for (names, operand counts: Open-PSA Model Exchange Format 2.0d, from
 * memory). */
#undef G_DISABLE_ASSERT
#include "bl-tree-write.h"
#include "fixture-demo.h"
#include "fixture-tree.h"

#include <math.h>

static BlTree *
from_mef (const BlTree *tree)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = bl_tree_to_mef (tree, &error);
  BlTree *back;

  g_assert_no_error (error);
  back = bl_tree_parse_mef (text, -1, &error);
  if (back == NULL)
    g_error ("%s in\n%s", error->message, text);
  return back;
}

static BlTree *
from_text (const BlTree *tree)
{
  g_autofree char *text = bl_tree_to_text (tree);

  return tree_from (text);
}

static int
compare_events (gconstpointer a, gconstpointer b)
{
  const BlEventResult *left = a, *right = b;

  return left->posterior != right->posterior ? (left->posterior < right->posterior ? -1 : 1)
         : left->prior != right->prior       ? (left->prior < right->prior ? -1 : 1)
                                             : 0;
}

/* Whether two trees say the same: the top, and prior, posterior and Birnbaum of the events that the
 * top depends on, whatever their names and order. */
static gboolean
say_the_same (const BlTree *tree, const BlTree *other)
{
  g_autoptr (BlTreeResult) one = evaluate (tree, NULL, 0), two = evaluate (other, NULL, 0);
  guint i = 0, j = 0;

  if (!(fabs (one->probability - two->probability) <= 1e-14 * one->probability))
    return FALSE;
  if (g_strcmp0 (one->cut_set_count, two->cut_set_count) != 0 || one->coherent != two->coherent)
    return FALSE;
  g_array_sort (one->events, compare_events);
  g_array_sort (two->events, compare_events);
  for (;; i++, j++)
    {
      const BlEventResult *a, *b;

      while (i < one->events->len && g_array_index (one->events, BlEventResult, i).birnbaum == 0)
        i++;
      while (j < two->events->len && g_array_index (two->events, BlEventResult, j).birnbaum == 0)
        j++;
      if (i == one->events->len || j == two->events->len)
        return i == one->events->len && j == two->events->len;
      a = &g_array_index (one->events, BlEventResult, i);
      b = &g_array_index (two->events, BlEventResult, j);
      if (fabs (a->posterior - b->posterior) > 1e-12 || fabs (a->birnbaum - b->birnbaum) > 1e-12)
        return FALSE;
    }
}

static void
test_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (30);

  for (guint round = 0; round < 150; round++)
    {
      g_autofree char *text =
          random_tree (rand, (guint) g_rand_int_range (rand, 2, 9),
                       (guint) g_rand_int_range (rand, 1, 14), g_rand_boolean (rand));
      g_autoptr (BlTree) tree = tree_from (text);
      g_autoptr (BlTree) mef = from_mef (tree), plain = from_text (tree);
      g_autoptr (BlTreeResult) one = evaluate (tree, NULL, 0), two = evaluate (mef, NULL, 0);

      /* sorting by posterior needs unlike ones, which two equal events do not have */
      if (!(fabs (one->probability - two->probability) <= 1e-13 * one->probability))
        g_error ("%.17g instead of %.17g of\n%s", two->probability, one->probability, text);
      for (guint i = 0; i < two->events->len; i++)
        {
          const BlEventResult *event = &g_array_index (two->events, BlEventResult, i);
          const BlEventResult *same = event_of (tree, one, node_at (mef, event->node)->id);

          g_assert_cmpfloat (event->prior, ==, same->prior);
          g_assert_cmpfloat_with_epsilon (event->posterior, same->posterior, 1e-12);
          g_assert_cmpfloat_with_epsilon (event->birnbaum, same->birnbaum, 1e-12);
        }
      g_assert_cmpuint (plain->nodes->len, ==, tree->nodes->len);
      g_assert_true (say_the_same (tree, plain));
    }
}

/* The comparison must see a changed gate and a changed chance. */
static void
test_comparison_can_fail (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A B\nevent A .3\nevent B .2\n");
  g_autoptr (BlTree) gate = tree_from ("top T\ngate T and 0 A B\nevent A .3\nevent B .2\n");
  g_autoptr (BlTree) chance = tree_from ("top T\ngate T or 0 A B\nevent A .3\nevent B .2001\n");

  g_assert_true (say_the_same (tree, tree));
  g_assert_false (say_the_same (tree, gate));
  g_assert_false (say_the_same (tree, chance));
}

static void
check_board (const char *name)
{
  g_autoptr (BlBoard) board = demo_board (name);

  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      g_autoptr (GError) error = NULL;
      g_autoptr (BlTree) tree =
          bl_tree_from_board (board, stage->id, (1u << BL_N_DEVIATIONS) - 1, NULL, &error);
      g_assert_no_error (error);
      g_autoptr (BlTree) mef = from_mef (tree), plain = from_text (tree);

      if (!say_the_same (tree, mef) || !say_the_same (tree, plain))
        g_error ("%s: stage %s reads back otherwise", name, stage->id);
      g_assert_cmpstr (node_at (mef, mef->top)->title, ==, node_at (tree, tree->top)->title);
    }
}

static void
test_demo_boards (void)
{
  check_board ("wall-board.json");
  check_board ("roof-board.json");
}

static gboolean
is_name (const char *name)
{
  return g_regex_match_simple ("^[A-Za-z_][A-Za-z0-9_]*(-[A-Za-z0-9_]+)*$", name, 0, 0);
}

static void
test_names (void)
{
  static const struct
  {
    const char *id, *name;
  } rows[] = {
    { "plain", "plain" },       { "R1-open", "R1-open" },     { "Brückengleichrichter:ü", "Br_ckengleichrichter__" },
    { "12 V:low", "_12_V_low" }, { "a.b", "a_b" },             { "a_b", "a_b_2" },
    { "a:b", "a_b_3" },          { "x--", "x-_" },             { "-x", "_x" },
    { "電源", "__" },            { "電圧", "___2" },
  };
  /* a_b is taken by the node whose name needs no change, whatever its place */
  g_autoptr (BlTree) tree = tree_from ("top plain\ngate plain or 0 R1-open\nevent R1-open .5\n");
  for (gsize i = 2; i < G_N_ELEMENTS (rows); i++)
    {
      BlNode *node = g_new0 (BlNode, 1);
      node->id = g_strdup (rows[i].id);
      node->kind = BL_NODE_EVENT;
      node->probability = 0.5;
      g_ptr_array_add (tree->nodes, node);
    }
  g_autoptr (GPtrArray) names = bl_tree_names (tree, TRUE);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const char *name = g_ptr_array_index (names, i);

      g_assert_true (is_name (name));
      g_assert_true (g_hash_table_add (seen, (gpointer) name));
    }
  for (gsize i = 0; i < 4; i++)
    g_assert_cmpstr (g_ptr_array_index (names, i), ==, rows[i].name);
  g_assert_cmpstr (g_ptr_array_index (names, 5), ==, "a_b");
  g_assert_cmpstr (g_ptr_array_index (names, 4), ==, "a_b_2");
}

/* Narrow forms only: see the source file. */
static void
test_forms (void)
{
  g_autoptr (BlTree) tree = tree_from (
      "top T\ngate T and 0 x k1 k3 k2 dup not1 c\ngate x xor 0 A B C A\ngate k1 atleast 1 A B C\n"
      "gate k3 atleast 3 A B C\ngate k2 atleast 2 A B C\ngate dup or 0 B B\ngate not1 nand 0 D\n"
      "event A .5\nevent B .25\nevent C .125\nevent D .1\nconst c 1\nevent unused .5\n");
  g_autofree char *text = bl_tree_to_mef (tree, NULL);

  g_assert_null (strstr (text, "min=\"1\""));
  g_assert_null (strstr (text, "min=\"3\""));
  g_assert_nonnull (strstr (text, "<atleast min=\"2\">"));
  g_assert_nonnull (strstr (text, "<define-gate name=\"dup\">\n      <basic-event name=\"B\"/>"));
  g_assert_nonnull (strstr (text, "<not>\n        <basic-event name=\"D\"/>"));
  g_assert_nonnull (strstr (text, "<define-house-event name=\"c\">\n      <constant value=\"true\"/>"));
  g_assert_nonnull (strstr (text, "<float value=\"0.125\"/>"));
  g_assert_null (strstr (text, "unused"));
  g_autoptr (BlTree) back = from_mef (tree);
  g_assert_true (say_the_same (tree, back));

  /* a top that is no gate; the name "top" being taken */
  g_autoptr (BlTree) event = tree_from ("top top\nevent top .25\n");
  g_autoptr (BlTree) event_back = from_mef (event);
  g_assert_true (say_the_same (event, event_back));
  g_autoptr (BlTree) sure = tree_from ("top c\nconst c 1\n");
  g_autoptr (BlTree) sure_back = from_mef (sure);
  g_assert_true (say_the_same (sure, sure_back));
}

/* Titles survive with all their characters; an exclusive or of many operands stays shallow. */
static void
test_titles (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A ü\nevent A .5\nevent ü .5\n");
  g_autoptr (GString) wide = g_string_new ("top T\ngate T xor 0");

  ((BlNode *) g_ptr_array_index (tree->nodes, 0))->title = g_strdup ("12 V <absent> & “low”\x01");
  g_autoptr (BlTree) back = from_mef (tree);
  g_assert_cmpstr (node_at (back, back->top)->title, ==, "12 V <absent> & “low”");
  g_assert_cmpint (bl_tree_find (back, "_"), >=, 0);
  g_assert_cmpstr (node_at (back, (guint) bl_tree_find (back, "_"))->title, ==, "ü");

  for (guint i = 0; i < 500; i++)
    g_string_append_printf (wide, " e%u", i);
  for (guint i = 0; i < 500; i++)
    g_string_append_printf (wide, "\nevent e%u 0.001", i);
  g_autoptr (BlTree) many = tree_from (wide->str);
  g_autoptr (BlTree) many_back = from_mef (many);
  g_autoptr (BlTreeResult) one = evaluate (many, NULL, 0), two = evaluate (many_back, NULL, 0);
  /* (1 - prod (1 - 2p)) / 2 */
  g_assert_cmpfloat_with_epsilon (one->probability, (1 - pow (1 - 0.002, 500)) / 2, 1e-13);
  g_assert_cmpfloat_with_epsilon (two->probability, one->probability, 1e-13);
}

static void
test_readings (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T or 0 A B\nevent A .3\nevent B .2\nobs A .9 .1\n");
  g_autoptr (GError) error = NULL;
  g_autofree char *text = bl_tree_to_text (tree);

  g_assert_nonnull (strstr (text, "obs A 0.9 0.1\n"));
  g_autoptr (BlTree) back = tree_from (text);
  g_assert_true (say_the_same (tree, back));
  g_assert_null (bl_tree_to_mef (tree, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-write/random", test_random);
  g_test_add_func ("/core/tree-write/comparison-can-fail", test_comparison_can_fail);
  g_test_add_func ("/core/tree-write/demo-boards", test_demo_boards);
  g_test_add_func ("/core/tree-write/names", test_names);
  g_test_add_func ("/core/tree-write/forms", test_forms);
  g_test_add_func ("/core/tree-write/titles", test_titles);
  g_test_add_func ("/core/tree-write/readings", test_readings);
  return g_test_run ();
}
