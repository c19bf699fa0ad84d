/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A drill in the window: no odds while it lasts, readings from the drill alone, unsafe acts told at once; then the score and
 * the path step by step. A planted fault stays sealed. A worked case asks as much as it should. */
#include "config.h"

#include "fixture.h"

#include <glib/gstdio.h>
#include <string.h>

#include "bl-bench-page-private.h"
#include "bl-drill-naming.h"
#include "bl-drill-panel.h"
#include "bl-drill-path.h"
#include "bl-drill-run.h"
#include "bl-drill-view.h"
#include "bl-drill-words.h"
#include "bl-plant-view.h"
#include "bl-style.h"
#include "bl-worked-view.h"

typedef struct
{
  AppFixture app;
  char *path;
  BlPractice *practice;
  gint64 person;
  BlPracticeSubject subject;
  GtkWidget *window, *view;
  guint n_done;
  gint64 sealed;
} Fixture;

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  app_fixture_set_up (&f->app, NULL);
  f->path = g_strconcat (f->app.path, ".practice", NULL);
  f->practice = bl_practice_new (f->app.library, f->path, &error);
  g_assert_no_error (error);
  f->person = bl_practice_add_person (f->practice, "JB", &error);
  g_assert_no_error (error);
  f->subject.board = f->app.board;
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  if (f->window != NULL)
    gtk_window_destroy (GTK_WINDOW (f->window));
  g_assert_finalize_object (f->practice);
  g_unlink (f->path);
  g_free (f->path);
  app_fixture_tear_down (&f->app, NULL);
}

static void
count_done (Fixture *f)
{
  f->n_done++;
}

static void
show (Fixture *f, GtkWidget *view)
{
  if (f->window == NULL)
    f->window = gtk_window_new ();
  f->view = view;
  gtk_window_set_child (GTK_WINDOW (f->window), view);
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1280, 760);
  bl_style_dress (f->window);
  g_signal_connect_swapped (view, "done", G_CALLBACK (count_done), f);
  gtk_window_present (GTK_WINDOW (f->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static gint64
new_drill (Fixture *f, guint32 seed)
{
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, seed };
  g_autoptr (GError) error = NULL;
  gint64 drill = bl_practice_add_drill (f->practice, f->person, &f->subject, &order, &error);

  g_assert_no_error (error);
  return drill;
}

static GtkWidget *
find_child (GtkWidget *widget, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_child (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* TRUE when a label that can be seen has these words in it. */
static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget) || !gtk_widget_get_child_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static BlBenchPage *
page_of (Fixture *f)
{
  return BL_BENCH_PAGE (find_child (f->view, BL_TYPE_BENCH_PAGE));
}

static guint
count_readings (BlBench *bench)
{
  GPtrArray *records = bl_bench_get_records (bench);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    n += ((BlRecord *) g_ptr_array_index (records, i))->kind == BL_RECORD_READING;
  return n;
}

static gboolean
has_path (gpointer data)
{
  return find_child (((Fixture *) data)->view, BL_TYPE_DRILL_PATH) != NULL;
}

/* The lower part of the bench is as high as the panel needs, also with something named and the warning above. */
static gboolean
panel_fits (gpointer data)
{
  GtkWidget *panel = find_child (((Fixture *) data)->view, BL_TYPE_DRILL_PANEL);
  int needed;

  gtk_widget_measure (panel, GTK_ORIENTATION_VERTICAL, gtk_widget_get_width (panel), &needed, NULL, NULL, NULL);
  return gtk_widget_get_width (panel) > 900 && needed <= gtk_widget_get_height (panel);
}

/* Names a part as it is done by keys, and ends the drill. */
static void
name_part (Fixture *f, const char *part)
{
  GtkWidget *naming = find_child (f->view, BL_TYPE_DRILL_NAMING), *entry = find_child (naming, GTK_TYPE_ENTRY);
  BlDrillPanel *panel = BL_DRILL_PANEL (find_child (f->view, BL_TYPE_DRILL_PANEL));

  gtk_editable_set_text (GTK_EDITABLE (entry), part);
  g_assert_cmpstr (bl_drill_naming_get_component (BL_DRILL_NAMING (naming)), ==, part);
  g_assert_cmpstr (bl_drill_panel_get_component (panel), ==, part);
  g_assert_true (app_wait (panel_fits, f));
  g_signal_emit_by_name (panel, "conclude");
}

static void
test_drill (Fixture *f, gconstpointer unused)
{
  show (f, bl_drill_view_new (f->practice, new_drill (f, 3)));
  BlBenchPage *page = page_of (f);
  g_autoptr (BlBench) bench = g_object_ref (bl_bench_page_get_bench (page));
  GActionGroup *actions = bl_bench_page_get_actions (page);

  g_assert_false (gtk_widget_get_child_visible (gtk_widget_get_parent (page->suspects)));
  g_assert_false (gtk_widget_get_child_visible (gtk_widget_get_parent (page->next)));
  g_assert_false (gtk_widget_get_child_visible (gtk_widget_get_parent (page->tree)));
  for (const char *const *name = (const char *const[]){ "undo", "strike", "why", "tree", "next-1", "history", NULL };
       *name != NULL; name++)
    g_assert_false (g_action_group_get_action_enabled (actions, *name));
  g_assert_true (g_action_group_get_action_enabled (actions, "state"));

  bl_bench_select (bench, bl_bench_find (bench, "M5"));
  g_assert_true (bl_bench_page_enter (page, "4.98")); /* dealt with: refused */
  g_assert_cmpuint (count_readings (bench), ==, 0);
  g_assert_true (bl_bench_page_enter (page, ""));
  g_assert_cmpuint (count_readings (bench), ==, 1);
  bl_bench_settle (bench);
  g_assert_null (bl_bench_get_diagnosis (bench));
  g_assert_true (bl_bench_get_current (bench) == bl_bench_find (bench, "M5")); /* nothing leads on */
  g_assert_true (says (f->view, "Unsafe: live without reading the cautions"));

  g_assert_true (says (f->view, "Choose in the list what failed")); /* why it cannot be ended yet */
  name_part (f, "X3");
  g_assert_false (says (f->view, "Choose in the list what failed"));
  g_assert_true (app_wait (has_path, f));
  g_assert_true (says (f->view, "Drill failed"));
  g_assert_null (find_child (f->view, BL_TYPE_DRILL_PANEL));
}

/* What was unsafe comes first, on a line of its own; and what was best, was best from there. */
static void
assert_worth (BlBench *bench)
{
  g_autoptr (BlDrillStep) step = bl_drill_step_new (BL_STEP_MEASURE, "M5", "4.98");

  step->unsafe = BL_UNSAFE_NO_CAUTIONS;
  step->scored = TRUE;
  step->best = g_strdup ("V1");
  step->best_s = 300;
  step->regret_s = 125;
  g_autofree char *words = bl_drill_worth_long (bench, step);
  g_assert_true (g_str_has_prefix (words, "Unsafe: live without reading the cautions.\nFrom here the best was "));
  g_assert_true (g_str_has_suffix (words, ": it is expected to take 2 min 5 s less."));
}

static gboolean
to_best (gpointer path)
{
  return bl_drill_path_is_best (path) || (bl_drill_path_key (path, GDK_KEY_b, 0) && bl_drill_path_is_best (path));
}

static void
test_replay (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  gint64 drill = new_drill (f, 3);
  g_autoptr (BlDrillRun) run = bl_drill_run_new (f->practice, drill, &error);

  g_assert_no_error (error);
  bl_drill_run_read_cautions (run, &error);
  bl_drill_run_measure (run, bl_bench_find (bl_drill_run_get_bench (run), "M5"), &error);
  bl_drill_run_measure (run, bl_bench_find (bl_drill_run_get_bench (run), "V1"), &error);
  bl_drill_run_conclude (run, "rail5", NULL, &error);
  g_assert_no_error (error);
  g_clear_object (&run);

  show (f, bl_drill_view_new (f->practice, drill)); /* ended: opens with the score */
  g_assert_true (app_wait (has_path, f));
  BlDrillPath *path = BL_DRILL_PATH (find_child (f->view, BL_TYPE_DRILL_PATH));
  BlBenchPage *page = page_of (f);
  BlBench *bench = bl_bench_page_get_bench (page);
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (path)));
  g_assert_false (gtk_widget_get_visible (page->banner)); /* nothing is live in a look back */
  g_assert_true (bl_drill_path_key (path, GDK_KEY_Home, 0));
  g_assert_cmpuint (bl_drill_path_get_step (path), ==, 0);
  g_assert_null (bl_bench_get_current (bench)); /* no point looks as if it had been measured */
  g_assert_true (says (f->view, "Before the first step"));
  assert_worth (bench);
  g_assert_false (gtk_widget_get_child_visible (gtk_widget_get_parent (page->next))); /* one word for what was best */
  g_assert_true (says (f->view, "the other path")); /* its keys are where the bench shows its keys */
  g_assert_cmpuint (count_readings (bench), ==, 0);
  g_assert_true (bl_drill_path_key (path, GDK_KEY_End, 0));
  g_assert_cmpuint (count_readings (bench), ==, 2);
  while (count_readings (bench) == 2)
    g_assert_true (bl_drill_path_key (path, GDK_KEY_Left, 0));
  g_assert_cmpuint (count_readings (bench), ==, 1);
  g_assert_nonnull (bl_measurement_item_get_record (bl_bench_find (bench, "M5")));
  g_assert_null (bl_measurement_item_get_record (bl_bench_find (bench, "V1")));
  bl_bench_settle (bench);
  g_assert_nonnull (bl_bench_get_diagnosis (bench));
  g_assert_false (bl_bench_enter (bench, "M9 980k", NULL)); /* nothing is entered here */
  g_assert_true (app_wait (to_best, path)); /* it comes after the score */
  g_assert_true (bl_drill_path_key (path, GDK_KEY_Home, 0));
  g_assert_true (says (f->view, "with this fault")); /* why it may be longer than one's own */
  g_assert_true (bl_drill_path_key (path, GDK_KEY_End, 0));
  g_assert_cmpuint (count_readings (bench), >, 0);
  g_assert_false (says (f->view, "Drill failed"));
  g_assert_true (says (f->view, "No unsafe act."));
}

static void
sealed (GtkWidget *view, gint64 drill, Fixture *f)
{
  f->sealed = drill;
}

/* TRUE when the words stand in a log of the library of practice. */
static gboolean
in_logs (Fixture *f, const char *words)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) found = bl_library_find_in_logs (bl_practice_get_library (f->practice), words, &error);

  g_assert_no_error (error);
  return g_hash_table_size (found) > 0;
}

static void
test_planted (Fixture *f, gconstpointer unused)
{
  show (f, bl_plant_view_new (f->practice, f->person, &f->subject));
  GtkWidget *naming = find_child (f->view, BL_TYPE_DRILL_NAMING), *entry = find_child (naming, GTK_TYPE_ENTRY);
  g_signal_connect (f->view, "sealed", G_CALLBACK (sealed), f);

  g_assert_true (says (f->view, "Choose the part, then how it fails")); /* why it cannot be sealed yet */
  g_assert_true (says (f->view, "for JB"));
  gtk_editable_set_text (GTK_EDITABLE (entry), "XX9");
  g_assert_true (says (f->view, "No part of this board is called “XX9”."));
  gtk_editable_set_text (GTK_EDITABLE (entry), "U2");
  g_assert_false (says (f->view, "No part of this board"));
  g_signal_emit_by_name (naming, "taken"); /* its first mode: open */
  GtkWidget *row = gtk_root_get_focus (GTK_ROOT (f->window));
  g_assert_true (GTK_IS_LIST_BOX_ROW (row));
  GtkListBox *modes = GTK_LIST_BOX (gtk_widget_get_parent (row));
  g_assert_false (says (f->view, "may burn or trip at once"));
  gtk_list_box_select_row (modes, gtk_list_box_get_row_at_index (modes, 1)); /* short, in the supply */
  g_assert_true (says (f->view, "may burn or trip at once"));
  gtk_list_box_select_row (modes, GTK_LIST_BOX_ROW (row));
  gtk_widget_activate (row);
  GtkWidget *seal = gtk_root_get_focus (GTK_ROOT (f->window));
  g_assert_true (GTK_IS_BUTTON (seal));
  g_signal_emit_by_name (seal, "clicked");
  g_assert_cmpint (f->sealed, !=, 0);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, ""); /* nothing of it stays in sight */
  g_assert_null (bl_drill_naming_get_component (BL_DRILL_NAMING (naming)));

  show (f, bl_drill_view_new (f->practice, f->sealed));
  BlBenchPage *page = page_of (f);
  BlBench *bench = bl_bench_page_get_bench (page);
  g_autofree char *undo = bl_bench_get_undo_label (bench);
  g_assert_null (undo);
  g_assert_false (in_logs (f, "U2"));
  g_assert_false (in_logs (f, "short"));
  bl_bench_select (bench, bl_bench_find (bench, "M5"));
  g_assert_true (bl_bench_page_enter (page, "0.1")); /* typed from the real board */
  g_assert_cmpuint (count_readings (bench), ==, 1);
  g_assert_false (says (f->view, "U2 short"));

  name_part (f, "U2");
  g_assert_true (app_wait (has_path, f));
  g_assert_true (says (f->view, "Right: U2"));
  g_assert_true (says (f->view, "the seal is open"));
}

static gboolean
is_told (gpointer data)
{
  return says (((Fixture *) data)->view, "What would tell");
}

static void
test_worked (Fixture *f, gconstpointer unused)
{
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 3 };
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < 5; i++)
    {
      g_autoptr (BlWorkedCase) worked = bl_worked_case_simulated (f->practice, &f->subject, &order, &error);
      g_assert_no_error (error);
      if (i == 4)
        {
          show (f, bl_worked_view_new (f->practice, worked));
          break;
        }
      g_assert_cmpint (bl_worked_case_help (worked), ==, i < 2 ? BL_WORKED_SHOWN : BL_WORKED_ASKED_NEXT);
      bl_worked_case_settle (worked);
      bl_worked_case_end (worked, &error);
      g_assert_no_error (error);
    }
  g_assert_true (app_wait (is_told, f));
  g_assert_true (says (f->view, "Think of it first"));
  g_assert_true (says (f->view, "comes after your choice")); /* no heading is followed by nothing */
  g_assert_true (says (f->view, "choose what to measure"));
  g_assert_cmpuint (f->n_done, ==, 0);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/drill/drill", Fixture, NULL, set_up, test_drill, tear_down);
  g_test_add ("/app/drill/replay", Fixture, NULL, set_up, test_replay, tear_down);
  g_test_add ("/app/drill/planted", Fixture, NULL, set_up, test_planted, tear_down);
  g_test_add ("/app/drill/worked", Fixture, NULL, set_up, test_worked, tear_down);
  return g_test_run ();
}
