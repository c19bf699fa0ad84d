/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawn fault tree: nothing overlaps, folding takes nothing away, the way to the leading suspect is
 * one way, every event can be found and reached by steps, pages hold what they should, and the drawing is
 * culled. The signs of the gates are those of IEC 60617-12, from memory. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <math.h>
#include <string.h>

#include "bl-diagnosis.h"
#include "bl-tree-draw.h"
#include "bl-tree-pages.h"
#include "tree-fixture.h"

static BlTree *
tree_of (const BlBoard *board, const char *stage)
{
  g_autoptr (GError) error = NULL;
  BlTree *tree = stage != NULL ? bl_tree_from_board (board, stage, 15, NULL, &error)
                               : bl_tree_of_whole_board (board, &error);

  g_assert_no_error (error);
  return tree;
}

static void
check_places (const BlTreeChart *chart)
{
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *a = bl_chart_item (chart, i);
      if (!a->shown)
        continue;
      g_assert_cmpfloat (a->x, >=, 0);
      g_assert_cmpfloat (a->y, >=, 0);
      g_assert_cmpfloat (a->x + a->w, <=, chart->width + 0.01);
      g_assert_cmpfloat (a->y + a->h, <=, chart->height + 0.51);
      if (a->parent >= 0 && bl_chart_item (chart, a->parent)->shown)
        g_assert_cmpfloat (a->x + a->w, <, bl_chart_item (chart, a->parent)->x);
      for (guint k = 0; k < i; k++)
        {
          const BlChartItem *b = bl_chart_item (chart, k);
          if (b->shown)
            g_assert_true (a->x + a->w <= b->x || b->x + b->w <= a->x || a->y + a->h <= b->y || b->y + b->h <= a->y);
        }
    }
}

static guint
count_shown (const BlTreeChart *chart)
{
  guint n = 0;

  for (guint i = 0; i < chart->items->len; i++)
    n += bl_chart_item (chart, i)->shown;
  return n;
}

/* 100 components, everything unfolded. */
static void
test_places (void)
{
  g_autoptr (BlBoard) board = board_of_stages (25);
  static const char *const stages[] = { "s24", "s3", NULL };

  for (guint s = 0; s < G_N_ELEMENTS (stages); s++)
    {
      g_autoptr (BlTree) tree = tree_of (board, stages[s]);
      gint64 start = g_get_monotonic_time ();
      g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, -1);
      bl_tree_chart_unfold (chart);
      bl_tree_chart_arrange (chart);
      double ms = (double) (g_get_monotonic_time () - start) / 1000;
      g_test_message ("%s: %u items built and placed in %.2f ms", stages[s] != NULL ? stages[s] : "whole board",
                      chart->items->len, ms);
      g_assert_cmpuint (count_shown (chart), ==, chart->items->len);
      g_assert_cmpfloat (ms, <, 50);
      check_places (chart);
      bl_tree_chart_fold (chart);
      bl_tree_chart_arrange (chart);
      g_assert_cmpuint (count_shown (chart), <, chart->items->len);
      check_places (chart);
    }
}

static void
test_folding (void)
{
  g_autoptr (BlBoard) board = board_of_stages (8);
  g_autoptr (BlTree) tree = tree_of (board, "s7");
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, bl_tree_find (tree, "R1:open"));
  g_autoptr (GArray) before = NULL;

  bl_tree_chart_arrange (chart);
  before = g_array_copy (chart->items);
  for (guint i = 0; i < chart->items->len; i++)
    {
      BlChartItem *item = bl_chart_item (chart, i);
      if (item->children->len == 0 || !item->shown)
        continue;
      gboolean open = item->open;
      item->open = !open;
      bl_tree_chart_arrange (chart);
      check_places (chart);
      item->open = open;
      bl_tree_chart_arrange (chart);
      for (guint k = 0; k < chart->items->len; k++)
        {
          const BlChartItem *now = bl_chart_item (chart, k), *then = &g_array_index (before, BlChartItem, k);
          g_assert_cmpint (now->shown, ==, then->shown);
          if (now->shown)
            g_assert_true (now->x == then->x && now->y == then->y);
        }
    }
}

static void
test_way (void)
{
  g_autoptr (BlBoard) board = board_of_stages (8);
  g_autoptr (BlTree) tree = tree_of (board, "s7");
  int leading = bl_tree_find (tree, "R1:open");
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, leading);
  guint leaves = 0;

  bl_tree_chart_arrange (chart);
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      guint likely = 0;
      for (guint k = 0; k < item->children->len; k++)
        likely += bl_chart_item (chart, g_array_index (item->children, guint, k))->likely;
      g_assert_cmpuint (likely, ==, item->likely && item->children->len > 0 ? 1 : 0);
      leaves += item->likely && item->children->len == 0;
      g_assert_true (!item->likely || item->shown);
    }
  g_assert_cmpuint (leaves, ==, 1);
  /* Steps to the left lead there. */
  guint at = 0;
  for (guint next; (next = bl_tree_chart_step (chart, at, BL_CHART_TO_CAUSE)) != at;)
    at = next;
  g_assert_cmpint ((int) bl_chart_item (chart, at)->node, ==, leading);
}

static void
test_steps (void)
{
  g_autoptr (BlBoard) board = board_of_stages (6);
  g_autoptr (BlTree) tree = tree_of (board, "s5");
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, -1);
  g_autofree guint8 *been = NULL;

  bl_tree_chart_unfold (chart);
  bl_tree_chart_arrange (chart);
  been = g_new0 (guint8, chart->items->len);
  g_autoptr (GArray) todo = g_array_new (FALSE, FALSE, sizeof (guint));
  guint zero = 0, reached = 0;
  g_array_append_val (todo, zero);
  for (guint t = 0; t < todo->len; t++)
    {
      guint at = g_array_index (todo, guint, t);
      if (been[at]++)
        continue;
      reached++;
      for (BlChartStep step = BL_CHART_TO_EFFECT; step <= BL_CHART_LAST; step++)
        {
          guint next = bl_tree_chart_step (chart, at, step);
          g_assert_true (bl_chart_item (chart, next)->shown);
          g_array_append_val (todo, next);
        }
    }
  g_assert_cmpuint (reached, ==, chart->items->len);
}

/* Every event of the tree is drawn in full somewhere, and gates that are referred to are too. */
static void
test_all_there (void)
{
  g_autoptr (BlBoard) board = board_of_stages (8);
  g_autoptr (BlTree) tree = tree_of (board, "s7");
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, -1);
  guint references = 0, n = 0;

  for (guint i = 0; i < tree->nodes->len; i++)
    {
      const BlNode *node = g_ptr_array_index (tree->nodes, i);
      n += node->kind == BL_NODE_EVENT;
      if (node->kind == BL_NODE_EVENT)
        g_assert_cmpuint (bl_chart_item (chart, chart->item_of[i])->node, ==, i);
    }
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      references += item->target >= 0;
      if (item->target >= 0)
        g_assert_cmpuint (bl_chart_item (chart, item->target)->children->len, >, 0);
    }
  g_assert_cmpuint (references, >, 0); /* s0 feeds many */
  g_assert_cmpuint (bl_chart_item (chart, 0)->n_events, ==, n);
}

static void
test_find (void)
{
  g_autoptr (BlBoard) board = board_of_stages (25);
  g_autoptr (BlTree) tree = tree_of (board, NULL);
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, -1);
  g_autoptr (GArray) found = bl_tree_chart_find (chart, " r7 "), none = bl_tree_chart_find (chart, "Q9"),
                     empty = bl_tree_chart_find (chart, "  ");

  g_assert_cmpuint (found->len, >, 3); /* R7 itself, then R70 ... */
  guint first = g_array_index (found, guint, 0);
  g_assert_cmpstr (((BlNode *) g_ptr_array_index (tree->nodes, bl_chart_item (chart, first)->node))->component, ==,
                   "R7");
  g_assert_cmpuint (none->len + empty->len, ==, 0);
  bl_tree_chart_arrange (chart);
  g_assert_false (bl_chart_item (chart, first)->shown);
  bl_tree_chart_uncover (chart, first);
  bl_tree_chart_arrange (chart);
  const BlChartItem *item = bl_chart_item (chart, first);
  g_assert_true (item->shown);
  g_assert_cmpint (bl_tree_chart_hit (chart, item->x + 3, item->y + 3), ==, (int) first);
  g_assert_cmpint (bl_tree_chart_hit (chart, -5, -5), ==, -1);
}

/* The whole board's events are those of a stage's tree, and its top fails by any of them: as the
 * diagnosis without evidence has it, 1 - the product of the complements. */
static void
test_whole (void)
{
  g_autoptr (BlBoard) board = board_of_stages (5);
  g_autoptr (BlTree) whole = tree_of (board, NULL), stage = tree_of (board, "s4");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTreeResult) result = bl_tree_evaluate (whole, NULL, BL_TREE_NO_CUT_SETS, 0, &error);
  double none = 1;
  guint shared = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < whole->nodes->len; i++)
    {
      const BlNode *node = g_ptr_array_index (whole->nodes, i);
      int other = bl_tree_find (stage, node->id);
      if (node->kind != BL_NODE_EVENT)
        continue;
      none *= 1 - node->probability;
      shared += other >= 0;
      if (other >= 0)
        g_assert_cmpfloat_with_epsilon (
            node->probability, ((BlNode *) g_ptr_array_index (stage->nodes, (guint) other))->probability, 1e-15);
    }
  g_assert_cmpuint (shared, >, 40);
  g_assert_cmpfloat_with_epsilon (result->probability, 1 - none, 1e-12);
}

static void
test_pages (void)
{
  g_autoptr (BlBoard) board = board_of_stages (25);
  static const double sizes[][2] = { { 1210, 600 }, { 1131, 640 }, { 600, 300 } };

  for (guint s = 0; s < 2 * G_N_ELEMENTS (sizes); s++)
    {
      g_autoptr (BlTree) tree = tree_of (board, s % 2 == 0 ? NULL : "s9");
      g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, -1);
      g_autofree guint *pages = g_new0 (guint, chart->items->len);
      g_autofree guint *full = g_new0 (guint, chart->items->len);
      const double *size = sizes[s / 2];
      g_autoptr (GPtrArray) pieces = bl_tree_pages (chart, size[0], size[1], pages);
      guint last = 1;
      for (guint i = 0; i < pieces->len; i++)
        {
          const BlTreePiece *piece = g_ptr_array_index (pieces, i);
          g_assert_cmpuint (piece->page, >=, last);
          g_assert_cmpuint (piece->page, <=, last + 1);
          last = piece->page;
          g_assert_cmpfloat (piece->w, <=, size[0]);
          g_assert_cmpfloat (piece->y + piece->h, <=, size[1] + 0.01);
          bl_tree_piece_show (piece, chart);
          check_places (chart);
          for (guint k = 0; k < chart->items->len; k++)
            {
              const BlChartItem *item = bl_chart_item (chart, k);
              full[k] += item->shown && (item->open || item->children->len == 0);
            }
        }
      for (guint k = 0; k < chart->items->len; k++)
        {
          const BlChartItem *item = bl_chart_item (chart, k);
          g_assert_cmpuint (full[k], >=, 1);
          if (item->children->len == 0)
            g_assert_cmpuint (full[k], ==, 1);
          g_assert_cmpuint (pages[k], >=, 1);
          g_assert_cmpuint (pages[k], <=, last);
        }
    }
}

static void
test_signs (void)
{
  static const struct
  {
    BlNodeKind kind;
    const char *sign;
  } signs[] = { { BL_NODE_AND, "&" }, { BL_NODE_OR, "≥1" }, { BL_NODE_XOR, "=1" }, { BL_NODE_NOT, "1" },
                { BL_NODE_ATLEAST, "≥2" } };

  for (guint i = 0; i < G_N_ELEMENTS (signs); i++)
    {
      BlNode node = { .kind = signs[i].kind, .k = 2 };
      g_autofree char *sign = bl_chart_sign (&node);
      g_assert_cmpstr (sign, ==, signs[i].sign);
    }
}

static void
test_words (void)
{
  static const struct
  {
    double p;
    const char *words;
  } priors[] = { { 0, "0 %" }, { 1, "100 %" }, { 0.3, "30 %" }, { 0.042, "4.2 %" }, { 0.0038, "0.38 %" },
                 { 0.000071, "0.0071 %" }, { 1e-9, "1e-07 %" } };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree
    = bl_tree_parse ("top t\ngate t and 0 a b\nevent a 0.5\nevent b 0.1\n", -1, &error);
  BlChartFact facts[] = { { 0.62, 0.05, 1, 3 }, { 0.62, 0.05, 1, 3 }, { 0.62, 0.05, 1, 3 } };

  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (priors); i++)
    {
      g_autofree char *words = bl_chart_prior (priors[i].p);
      g_assert_cmpstr (words, ==, priors[i].words);
    }
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, facts, bl_tree_find (tree, "b"));
  g_autofree char *gate = bl_tree_chart_words (chart, 0);
  g_assert_cmpstr (
      gate, ==, "t, 62 %, all of its causes, 2 causes, unfolded, 3 readings: low, on the way to the leading suspect");
}

/* Odds given the top of an AND of two: both have happened (the definition of AND; Bayes' rule for the
 * prior side by hand: 0.5 x 0.1). */
static void
test_facts (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree
    = bl_tree_parse ("top t\ngate t or 0 g c\ngate g and 0 a b\nevent a 0.5\nevent b 0.1\nevent c 0.05\n", -1, &error);
  g_autoptr (BlTreeResult) result = bl_tree_evaluate (tree, NULL, BL_TREE_NO_CUT_SETS, 0, &error);
  int leading;

  g_assert_no_error (error);
  g_assert_true (bl_tree_weigh_nodes (tree, NULL, 0, result, &error));
  g_autofree BlChartFact *facts = bl_chart_facts (tree, result, &leading);
  double top = 1 - 0.95 * 0.95;
  g_assert_cmpfloat_with_epsilon (facts[bl_tree_find (tree, "g")].prior, 0.05, 1e-12);
  g_assert_cmpfloat_with_epsilon (facts[bl_tree_find (tree, "g")].odds, 0.05 / top, 1e-12);
  g_assert_cmpfloat_with_epsilon (facts[tree->top].odds, 1, 1e-12);
  g_assert_cmpint (leading, ==, bl_tree_find (tree, "a")); /* 0.5 is likely anyway */
}

/* Rendered: the likely way is yellow and black, the rest has none, and what lies outside is left out. */
static void
test_drawing (void)
{
  g_autoptr (BlBoard) board = board_of_stages (25);
  g_autoptr (BlTree) tree = tree_of (board, NULL);
  g_autoptr (BlTreeChart) chart = bl_tree_chart_new (tree, NULL, bl_tree_find (tree, "R7:open"));
  bl_tree_chart_unfold (chart);
  bl_tree_chart_arrange (chart);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 800, 600);
  cairo_t *cr = cairo_create (surface);
  PangoContext *context = pango_cairo_create_context (cr);
  const BlChartItem *gate = bl_chart_item (chart, 0), *part = NULL;
  BlTreeLook look = { .palette = bl_palette_get (FALSE), .context = context, .x1 = 800, .y1 = 600, .selected = -1 };

  for (guint i = 0; i < chart->items->len; i++)
    if (bl_chart_item (chart, i)->likely && bl_chart_item (chart, i)->children->len > 0)
      part = bl_chart_item (chart, i);
  g_assert_true (part != NULL && part != gate);
  look.x0 = part->x - 200;
  look.y0 = part->y - 300;
  look.x1 = look.x0 + 800;
  look.y1 = look.y0 + 600;
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  cairo_translate (cr, -look.x0, -look.y0);
  guint drawn = bl_tree_chart_draw (cr, chart, &look);
  g_assert_cmpuint (drawn, >, 5);
  g_assert_cmpuint (drawn, <, 60);
  g_assert_cmpuint (chart->items->len, >, 300);
  cairo_surface_flush (surface);
  const guint8 *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  const BlColour *yellow = &look.palette->likely_row;
  guint32 wanted = ((guint32) lround (yellow->red * 255) << 16) | ((guint32) lround (yellow->green * 255) << 8)
                   | (guint32) lround (yellow->blue * 255);
  guint in_card = 0;
  for (int y = 0; y < (int) part->h; y++)
    for (int x = 40; x < (int) part->w; x++)
      {
        guint32 pixel;
        memcpy (&pixel, data + (300 + y) * stride + (200 + x) * 4, 4);
        in_card += (pixel & 0xffffff) == wanted;
      }
  g_assert_cmpuint (in_card, >, 4000);
  g_object_unref (context);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/tree-chart/places", test_places);
  g_test_add_func ("/report/tree-chart/folding", test_folding);
  g_test_add_func ("/report/tree-chart/way", test_way);
  g_test_add_func ("/report/tree-chart/steps", test_steps);
  g_test_add_func ("/report/tree-chart/all-there", test_all_there);
  g_test_add_func ("/report/tree-chart/find", test_find);
  g_test_add_func ("/report/tree-chart/whole", test_whole);
  g_test_add_func ("/report/tree-chart/pages", test_pages);
  g_test_add_func ("/report/tree-chart/signs", test_signs);
  g_test_add_func ("/report/tree-chart/words", test_words);
  g_test_add_func ("/report/tree-chart/facts", test_facts);
  g_test_add_func ("/report/tree-chart/drawing", test_drawing);
  return g_test_run ();
}
