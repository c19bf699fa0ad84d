/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cut sets in words and in order. The board and its numbers are invented; the two trains with their
 * cut sets' probabilities are an open-source risk code's own test (see test-tree.c). */
#undef G_DISABLE_ASSERT
#include "bl-document.h"
#include "bl-tree-words.h"
#include "fixture-tree.h"

static const char board_text[] =
    "{\"format\": \"benchlore-board\", \"version\": 1, \"odds\": {\"other\": 0},"
    " \"sections\": [{\"id\": \"s\", \"kind\": \"supply\"}],"
    " \"stages\": [{\"id\": \"a\", \"section\": \"s\", \"title\": \"supply A\"},"
    "  {\"id\": \"b\", \"section\": \"s\"},"
    "  {\"id\": \"out\", \"section\": \"s\", \"title\": \"12 V\","
    "   \"feeds\": {\"need\": \"any\", \"from\": [\"a\", \"b\"]}}],"
    " \"components\": ["
    "  {\"id\": \"C4\", \"kind\": \"capacitor\", \"stage\": \"a\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 2, \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"C5\", \"kind\": \"capacitor\", \"stage\": \"b\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 3, \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"out\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 0.5, \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"Q1\", \"kind\": \"transistor\", \"stage\": \"out\","
    "   \"modes\": [{\"mode\": \"short\", \"weight\": 1, \"effects\": [],"
    "    \"provokes\": [{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.25}]}]},"
    "  {\"id\": \"X3\", \"kind\": \"connector\", \"stage\": \"out\","
    "   \"modes\": [{\"mode\": \"poor contact\", \"weight\": 1, \"shows\": {\"\": 0.3},"
    "    \"effects\": [{\"is\": \"absent\"}]}]}]}";

static void
test_board (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (board_text, -1, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlTree) tree = bl_tree_from_board (board, "out", 1u << BL_ABSENT, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 9);
  g_autoptr (GPtrArray) ways = bl_tree_ways (tree, result);
  static const char *const expected[] = {
    "F1 open, alone",
    "X3 poor contact, alone, when X3 poor contact shows",
    "Q1 short, alone, when Q1 short leads to F1 open",
    "C4 open together with C5 open",
  };
  double last = 1;

  g_assert_cmpuint (ways->len, ==, G_N_ELEMENTS (expected));
  for (guint i = 0; i < ways->len; i++)
    {
      const BlTreeWay *way = g_ptr_array_index (ways, i);

      g_assert_cmpstr (way->words, ==, expected[i]);
      g_assert_cmpfloat (way->probability, <=, last);
      g_assert_cmpfloat_with_epsilon (way->share, way->probability / result->probability, 1e-15);
      last = way->probability;
    }
}

/* Published probabilities of the four sets: 0.42, 0.30, 0.28, 0.20 of 0.646 in all. */
static void
test_two_trains (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T and 0 one two\ngate one or 0 V1 P1\n"
                                       "gate two or 0 V2 P2\nevent P1 .6\nevent P2 .7\n"
                                       "event V1 .4\nevent V2 .5\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 2);
  g_autoptr (GPtrArray) ways = bl_tree_ways (tree, result);
  static const struct
  {
    const char *words;
    double probability;
  } rows[] = {
    { "P1 together with P2", .42 },
    { "P1 together with V2", .30 },
    { "P2 together with V1", .28 },
    { "V1 together with V2", .20 },
  };

  g_assert_cmpuint (ways->len, ==, G_N_ELEMENTS (rows));
  for (guint i = 0; i < ways->len; i++)
    {
      const BlTreeWay *way = g_ptr_array_index (ways, i);

      g_assert_cmpstr (way->words, ==, rows[i].words);
      g_assert_cmpfloat_with_epsilon (way->probability, rows[i].probability, 1e-15);
      g_assert_cmpfloat_with_epsilon (way->share, rows[i].probability / .646, 1e-12);
    }
}

static void
test_long_and_empty (void)
{
  g_autoptr (BlTree) tree = tree_from ("top T\ngate T and 0 A B C D\nevent A .5\nevent B .5\n"
                                       "event C .5\nevent D .5\n");
  g_autoptr (BlTree) sure = tree_from ("top T\ngate T or 0 A c\nconst c 1\nevent A .5\n");
  g_autoptr (BlTreeResult) all = evaluate (tree, NULL, 4), none = evaluate (tree, NULL, 0);
  g_autoptr (BlTreeResult) certain = evaluate (sure, NULL, 1);
  g_autoptr (GPtrArray) ways = bl_tree_ways (tree, all), no_ways = bl_tree_ways (tree, none);
  g_autoptr (GPtrArray) certain_ways = bl_tree_ways (sure, certain);

  g_assert_cmpstr (((BlTreeWay *) g_ptr_array_index (ways, 0))->words, ==, "A together with B, C and D");
  g_assert_cmpuint (no_ways->len, ==, 0);
  g_assert_cmpstr (((BlTreeWay *) g_ptr_array_index (certain_ways, 0))->words, ==,
                   "nothing has to fail for it");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-words/board", test_board);
  g_test_add_func ("/core/tree-words/two-trains", test_two_trains);
  g_test_add_func ("/core/tree-words/long-and-empty", test_long_and_empty);
  return g_test_run ();
}
