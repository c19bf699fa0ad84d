/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree in full on the bench: odds are those of the diagnosis, readings stand at their stages, tree
 * and photo lead to each other, what was unfolded stays so when a reading comes in, a way is marked, only
 * what is in view is drawn, and items can be read aloud. */
#include "config.h"

#include <math.h>

#include "bl-bench-page-private.h"
#include "bl-tree-pane.h"
#include "bl-tree-scene.h"
#include "fixture.h"

typedef struct
{
  GtkWidget *window, *page;
  BlTreePane *pane;
  BlTreeCanvas *canvas;
} Shown;

static void
show (Shown *shown, AppFixture *fixture)
{
  shown->window = gtk_window_new ();
  shown->page = bl_bench_page_new (fixture->library);
  gtk_window_set_child (GTK_WINDOW (shown->window), shown->page);
  gtk_window_set_default_size (GTK_WINDOW (shown->window), 1280, 800);
  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  bl_bench_settle (fixture->bench);
  bl_bench_page_set_bench (BL_BENCH_PAGE (shown->page), fixture->bench);
  gtk_window_present (GTK_WINDOW (shown->window));
  gtk_test_widget_wait_for_draw (shown->page);
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (shown->page)), "tree", NULL);
  gtk_test_widget_wait_for_draw (shown->page);
  shown->pane = BL_TREE_PANE (BL_BENCH_PAGE (shown->page)->chart);
  shown->canvas = bl_tree_pane_get_canvas (shown->pane);
  g_assert_true (bl_tree_pane_is_open (shown->pane));
}

static const BlNode *
selected (Shown *shown)
{
  const BlTreeChart *chart = bl_tree_canvas_get_chart (shown->canvas);
  int item = bl_tree_canvas_get_selected (shown->canvas);

  g_assert_cmpint (item, >=, 0);
  return g_ptr_array_index (chart->tree->nodes, bl_chart_item (chart, item)->node);
}

/* Every gate says what lies below it: never less than the likeliest of it, never more than the sum. */
static void
check_gates (const BlTreeScene *scene, const BlDiagnosis *diagnosis)
{
  guint n = 0, below_sum = 0;

  for (guint i = 0; i < scene->tree->nodes->len; i++)
    {
      double sum = 0, most = 0, odds = scene->facts[i].odds;
      for (char **event = scene->below[i]; event != NULL && *event != NULL; event++)
        {
          g_auto (GStrv) part = g_strsplit (*event, ":", 2);
          const BlOdd *mode = bl_diagnosis_find (bl_diagnosis_find (diagnosis->components, part[0])->modes, part[1]);
          sum += mode->probability;
          most = MAX (most, mode->probability);
        }
      if (scene->below[i] == NULL)
        continue;
      g_assert_cmpfloat (odds, >=, most * (1 - 1e-9));
      g_assert_cmpfloat (odds, <=, MIN (sum, 1) * (1 + 1e-9));
      below_sum += odds < sum * (1 - 1e-6);
      n++;
    }
  g_assert_cmpuint (n, >, 4);
  g_assert_cmpuint (below_sum, >, 0);
}

static void
test_scene (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  bl_bench_settle (fixture->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (fixture->bench);
  g_autoptr (BlTreeScene) stage = bl_tree_scene_new (fixture->bench, "rail5", &error);
  g_assert_no_error (error);
  g_autoptr (BlTreeScene) whole = bl_tree_scene_new (fixture->bench, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (isnan (stage->facts[bl_tree_find (stage->tree, "rail5:absent")].odds)); /* on its way */
  bl_bench_settle (fixture->bench);
  bl_tree_scene_refresh (stage, fixture->bench);
  bl_tree_scene_refresh (whole, fixture->bench);
  check_gates (stage, diagnosis);
  check_gates (whole, diagnosis);
  for (guint s = 0; s < 2; s++)
    {
      const BlTreeScene *scene = s == 0 ? stage : whole;
      for (guint i = 0; i < scene->tree->nodes->len; i++)
        {
          const BlNode *node = bl_at (scene->tree->nodes, i);
          const BlChartFact *fact = &scene->facts[i];
          if (node->kind == BL_NODE_EVENT && node->component != NULL)
            {
              const BlOdd *part = bl_diagnosis_find (diagnosis->components, node->component);
              g_assert_cmpfloat (fact->odds, ==, bl_diagnosis_find (part->modes, node->mode)->probability);
              g_assert_cmpfloat (fact->prior, ==, node->probability);
            }
          else if (!isnan (fact->odds))
            g_assert_true (fact->odds >= 0 && fact->odds <= 1);
          if (g_strcmp0 (node->stage, "rail5") == 0)
            {
              g_assert_cmpint (fact->shape, ==, BL_SHAPE_ABSENT);
              g_assert_cmpuint (fact->n_readings, ==, 1);
            }
        }
      g_assert_cmpint (scene->leading, >=, 0);
      const BlNode *leading = bl_at (scene->tree->nodes, scene->leading);
      g_assert_cmpstr (leading->component, ==, ((BlOdd *) bl_at (diagnosis->components, 0))->id);
    }
  int gate = bl_tree_find (whole->tree, "rail5");
  g_assert_cmpfloat (whole->facts[gate].odds, ==, bl_diagnosis_find (diagnosis->stages, "rail5")->probability);
  /* A gate is never less likely than what is below it. */
  int absent = bl_tree_find (stage->tree, "rail5:absent");
  g_assert_cmpfloat (stage->facts[absent].odds, >=, stage->facts[bl_tree_find (stage->tree, "U2:open")].odds);
  g_assert_cmpuint (bl_len (stage->ways), >, 3);
  g_assert_null (bl_tree_scene_new (fixture->bench, "nowhere", NULL));
}

static gboolean
has_photo (gpointer photo)
{
  return bl_photo_view_get_surface (photo) != NULL && bl_photo_view_get_viewport (photo)->view_w > 0;
}

static void
test_both_ways (AppFixture *fixture, gconstpointer unused)
{
  const BlComponent *part = bl_board_component (bl_bench_get_board (fixture->bench), "U2");
  Shown shown;

  show (&shown, fixture);
  BlPhotoView *photo = BL_PHOTO_VIEW (BL_BENCH_PAGE (shown.page)->photo);
  const BlTreeChart *chart = bl_tree_canvas_get_chart (shown.canvas);
  g_assert_cmpstr (selected (&shown)->component, ==,
                   ((BlOdd *) bl_at (bl_bench_get_diagnosis (fixture->bench)->components, 0))->id);
  /* Tree to photo. */
  g_assert_true (app_wait (has_photo, photo));
  gtk_test_widget_wait_for_draw (shown.page);
  for (guint i = 0; i < 12; i++)
    bl_photo_view_zoom (photo, 1.5);
  bl_photo_view_pan (photo, -4000, -4000); /* U2 is in the other corner */
  g_assert_false (bl_viewport_shows (bl_photo_view_get_viewport (photo), part->x, part->y, 0));
  g_signal_emit_by_name (shown.canvas, "chosen", (guint) bl_tree_find (chart->tree, "U2:open"));
  g_assert_true (bl_viewport_shows (bl_photo_view_get_viewport (photo), part->x, part->y, 0));
  /* Photo to tree. */
  bl_tree_canvas_show (shown.canvas, 0);
  g_signal_emit_by_name (photo, "point-activated", BL_PHOTO_COMPONENT, "U2");
  g_assert_cmpstr (selected (&shown)->component, ==, "U2");
  g_signal_emit_by_name (photo, "outline-activated", BL_PHOTO_LIKELY, "rail5");
  g_assert_cmpstr (selected (&shown)->stage, ==, "rail5");
  /* Suspects to tree; what this stage does not have is in the tree of the board. */
  bl_tree_pane_set_stage (shown.pane, "bulk");
  g_signal_emit_by_name (BL_BENCH_PAGE (shown.page)->suspects, "asked", "X3");
  g_assert_cmpstr (selected (&shown)->component, ==, "X3");
  g_assert_false (bl_tree_pane_show_component (shown.pane, "Q99"));
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (shown.page)), "escape", NULL);
  g_assert_false (bl_tree_pane_is_open (shown.pane));
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

static void
test_stays (AppFixture *fixture, gconstpointer unused)
{
  Shown shown;
  GdkRectangle before, after;

  show (&shown, fixture);
  bl_tree_pane_set_stage (shown.pane, NULL);
  BlTreeChart *chart = bl_tree_canvas_get_chart (shown.canvas);
  bl_tree_chart_unfold (chart);
  bl_tree_canvas_update (shown.canvas);
  gtk_test_widget_wait_for_draw (shown.page);
  guint gate = (guint) chart->item_of[bl_tree_find (chart->tree, "bulk")];
  bl_tree_canvas_show (shown.canvas, (int) gate);
  bl_tree_canvas_place_of (shown.canvas, gate, &before);
  bl_tree_canvas_toggle (shown.canvas, gate);
  bl_tree_canvas_place_of (shown.canvas, gate, &after);
  g_assert_false (bl_chart_item (chart, gate)->open);
  g_assert_cmpint (ABS (before.x - after.x), <=, 1);
  /* A reading changes odds, not what is folded. */
  bl_bench_enter (fixture->bench, "M5 5.0", NULL);
  bl_bench_settle (fixture->bench);
  g_assert_true (bl_tree_canvas_get_chart (shown.canvas) == chart);
  g_assert_false (bl_chart_item (chart, gate)->open);
  int rail = bl_tree_find (chart->tree, "rail5");
  g_assert_cmpint (chart->facts[rail].shape, ==, BL_SHAPE_IN_BAND);
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

static GtkWidget *
name_of (Shown *shown, guint item)
{
  const BlTreeChart *chart = bl_tree_canvas_get_chart (shown->canvas);
  g_autofree char *words = bl_tree_chart_words (chart, item);

  for (GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (shown->canvas)); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      g_autofree char *wrong
        = gtk_test_accessible_check_property (GTK_ACCESSIBLE (child), GTK_ACCESSIBLE_PROPERTY_LABEL, words);
      if (wrong == NULL)
        return child;
    }
  return NULL;
}

static void
test_seen_and_read (AppFixture *fixture, gconstpointer unused)
{
  Shown shown;
  guint seen = 0;

  show (&shown, fixture);
  BlTreeChart *chart = bl_tree_canvas_get_chart (shown.canvas);
  for (guint i = 0; i < chart->items->len; i++)
    if (bl_chart_item (chart, i)->shown)
      {
        GtkWidget *name = name_of (&shown, i);
        g_assert_nonnull (name);
        g_assert_true (gtk_test_accessible_has_role (GTK_ACCESSIBLE (name), GTK_ACCESSIBLE_ROLE_TREE_ITEM));
        seen++;
      }
  g_assert_cmpuint (seen, >, 3);
  bl_tree_chart_unfold (chart);
  bl_tree_canvas_update (shown.canvas);
  for (guint i = 0; i < 8; i++)
    bl_tree_canvas_zoom (shown.canvas, 1.5);
  gtk_test_widget_wait_for_draw (shown.page);
  g_assert_cmpuint (bl_tree_canvas_get_drawn (shown.canvas), >, 0);
  g_assert_cmpuint (bl_tree_canvas_get_drawn (shown.canvas), <, chart->items->len / 2);
  bl_tree_canvas_fit (shown.canvas);
  gtk_test_widget_wait_for_draw (shown.page);
  g_assert_cmpuint (bl_tree_canvas_get_drawn (shown.canvas), ==, chart->items->len);
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name, test) \
  g_test_add ("/app/tree-pane/" name, AppFixture, NULL, app_fixture_set_up, test, app_fixture_tear_down)
  ADD ("scene", test_scene);
  ADD ("both-ways", test_both_ways);
  ADD ("stays", test_stays);
  ADD ("seen-and-read", test_seen_and_read);
  return g_test_run ();
}
