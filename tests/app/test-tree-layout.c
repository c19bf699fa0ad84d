/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Layout of the fault tree: nothing overlaps, nothing leaves the pane, nothing is lost. */
#include "config.h"

#include "bl-board.h"
#include "bl-bundle.h"
#include "bl-tree-layout.h"

static void
check_boxes (const BlTreeLayout *layout, double width, double height)
{
  for (guint i = 0; i < layout->boxes->len; i++)
    {
      const BlTreeBox *a = &g_array_index (layout->boxes, BlTreeBox, i);
      g_assert_cmpfloat (a->x, >=, -0.5);
      g_assert_cmpfloat (a->x + a->w, <=, width + 0.5);
      g_assert_cmpfloat (a->y, >=, -0.5);
      g_assert_cmpfloat (a->y + a->h, <=, height + 0.5);
      g_assert_cmpint (a->parent, <, (int) i);
      for (guint k = 0; k < i; k++)
        {
          const BlTreeBox *b = &g_array_index (layout->boxes, BlTreeBox, k);
          gboolean apart = a->x + a->w <= b->x + 0.5 || b->x + b->w <= a->x + 0.5 || a->y + a->h <= b->y + 0.5
                           || b->y + b->h <= a->y + 0.5;
          g_assert_true (apart);
        }
    }
}

static guint
events_shown (const BlTreeLayout *layout)
{
  guint n = 0;

  for (guint i = 0; i < layout->boxes->len; i++)
    {
      const BlTreeBox *box = &g_array_index (layout->boxes, BlTreeBox, i);
      n += box->leaf ? MAX (box->folded, 1) : 0;
      g_assert_cmpint (box->events != NULL, ==, box->leaf && box->folded > 0);
    }
  return n;
}

/* Two gates of events below an AND, odds rising with the number of the event. */
static BlTree *
wide_tree (guint n)
{
  g_autoptr (GString) text = g_string_new ("top T\ngate T and 0 A B\ngate A or 0");
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, " e%u", i);
  g_string_append (text, "\ngate B or 0");
  for (guint i = n; i < 2 * n; i++)
    g_string_append_printf (text, " e%u", i);
  g_string_append_c (text, '\n');
  for (guint i = 0; i < 2 * n; i++)
    g_string_append_printf (text, "event e%u 0.01\n", i);
  BlTree *tree = bl_tree_parse (text->str, -1, &error);
  g_assert_no_error (error);
  return tree;
}

static void
test_sizes (void)
{
  static const double sizes[][2] = { { 390, 154 }, { 636, 520 }, { 900, 760 } };

  for (guint n = 1; n <= 32; n *= 2)
    for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
      {
        g_autoptr (BlTree) tree = wide_tree (n);
        g_autofree double *odds = g_new (double, tree->nodes->len);
        for (guint i = 0; i < tree->nodes->len; i++)
          odds[i] = i / 100.0;
        g_autoptr (BlTreeLayout) layout
          = bl_tree_layout_new (tree, odds, sizes[s][0], sizes[s][1], 26, sizes[s][0] * 0.52, 86);
        check_boxes (layout, sizes[s][0], sizes[s][1]);
        g_assert_cmpuint (layout->n_events, ==, 2 * n);
        g_assert_cmpuint (events_shown (layout), ==, 2 * n);
      }
}

/* The likely path leads from the likeliest event to the top and branches nowhere. */
static void
test_likely_path (void)
{
  g_autoptr (BlTree) tree = wide_tree (4);
  g_autofree double *odds = g_new (double, tree->nodes->len);
  int likely = bl_tree_find (tree, "e5"), leaves = 0;

  for (guint i = 0; i < tree->nodes->len; i++)
    odds[i] = (int) i == likely ? 0.9 : 0.001;
  g_autoptr (BlTreeLayout) layout = bl_tree_layout_new (tree, odds, 636, 520, 26, 300, 90);
  for (guint i = 0; i < layout->boxes->len; i++)
    {
      const BlTreeBox *box = &g_array_index (layout->boxes, BlTreeBox, i);
      if (!box->likely)
        continue;
      if (box->parent >= 0)
        g_assert_true (g_array_index (layout->boxes, BlTreeBox, box->parent).likely);
      if (box->leaf)
        {
          g_assert_cmpint ((int) box->node, ==, likely);
          leaves++;
        }
    }
  g_assert_cmpint (leaves, ==, 1);
}

/* A real board's tree, all deviations of its last stage. */
static void
test_board (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_board_load_file (path, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlTree) tree = bl_tree_from_board (board, "rx", 15, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlTreeLayout) layout = bl_tree_layout_new (tree, NULL, 390, 154, 26, 200, 86);

  g_assert_cmpuint (layout->boxes->len, >, 2);
  check_boxes (layout, 390, 154);
  g_assert_cmpuint (events_shown (layout), ==, layout->n_events);
  guint named = 0, own = 0;
  for (guint i = 0; i < layout->boxes->len; i++)
    {
      const BlTreeBox *box = &g_array_index (layout->boxes, BlTreeBox, i);
      named += box->events != NULL ? g_strv_length (box->events)
                                   : box->leaf && ((BlNode *) bl_at (tree->nodes, box->node))->mode != NULL;
    }
  for (guint i = 0; i < tree->nodes->len; i++)
    own += ((BlNode *) bl_at (tree->nodes, i))->mode != NULL;
  g_assert_cmpuint (named, ==, own);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/app/tree-layout/sizes", test_sizes);
  g_test_add_func ("/app/tree-layout/likely-path", test_likely_path);
  g_test_add_func ("/app/tree-layout/board", test_board);
  return g_test_run ();
}
