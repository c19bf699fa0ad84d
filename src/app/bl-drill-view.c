/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fault drill on the bench. The page is the one jobs are done on: state, supply and proof of dead are asked for as ever,
 * the log keeps every act. What differs is said here: the reading comes from the drill (or, of a planted fault, from a real
 * board by hand), no odds are computed while it lasts, and an unsafe act is told the moment it is done. After the end the
 * same page shows the path again, see bl-replay.c.
 *
 * What is wrong with the board never comes here before the end. */
#include "config.h"

#include "bl-drill-view.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page.h"
#include "bl-bench-practice.h"
#include "bl-cautions-view.h"
#include "bl-drill-panel.h"
#include "bl-drill-run.h"
#include "bl-drill-words.h"
#include "bl-replay.h"
#include "bl-style.h"

struct _BlDrillView
{
  GtkWidget parent_instance;

  BlPractice *practice;
  BlDrillRun *run; /* NULL: it could not be opened */
  GtkWidget *stack, *page, *panel, *strip, *strip_words, *replay;
  gint64 asked_again; /* the reading that was to be taken again */
};

enum
{
  DONE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlDrillView, bl_drill_view, GTK_TYPE_WIDGET)

/* What can be done on the bench in a drill. Undo takes nothing back that was measured. */
static const char *const drill_actions[] = { "state", "side", "probe", "log", "proof", "previous", "following", "fold",
                                             "fit", "larger", "smaller", "pan-left", "pan-right", "pan-up", "pan-down",
                                             "escape", "find", "layers", "cause", "part", NULL };
/* With readings that are typed a slip can be mended, and what is seen on the board noted. */
static const char *const planted_actions[] = { "state", "side", "probe", "log", "proof", "previous", "following", "fold",
                                               "fit", "larger", "smaller", "pan-left", "pan-right", "pan-up", "pan-down",
                                               "escape", "find", "layers", "cause", "part", "undo", "redo", "strike",
                                               "meter", "live", "symptom", "shown", "mark", NULL };

static BlBench *
bench_of (BlDrillView *self)
{
  return bl_drill_run_get_bench (self->run);
}

static BlBenchPage *
page_of (BlDrillView *self)
{
  return BL_BENCH_PAGE (self->page);
}

static void
say (BlDrillView *self, gboolean ok, GError *error)
{
  bl_bench_page_say (page_of (self), ok ? NULL : error->message);
}

/* --- acts --- */

static void
show_unsafe (BlDrillView *self, guint unsafe)
{
  g_autofree char *acts = bl_unsafe_list_words (unsafe);
  g_autofree char *words = NULL;

  gtk_widget_set_visible (self->strip, acts != NULL);
  if (acts == NULL)
    return;
  words = g_strdup_printf (_ ("Unsafe: %s. This fails the drill; go on, and find the part all the same."), acts);
  gtk_label_set_label (GTK_LABEL (self->strip_words), words);
}

/* What was done before stays said until the end. */
static void
unsafe_done (BlDrillView *self)
{
  show_unsafe (self, bl_drill_run_get_unsafe (self->run));
}

/* The same point stays in hand after a reading, so Enter pressed twice is told before it counts as another reading. */
static gboolean
is_slip (BlDrillView *self, BlMeasurementItem *item)
{
  const BlRecord *record = bl_measurement_item_get_record (item);

  if (record == NULL || record->id == self->asked_again)
    return FALSE;
  self->asked_again = record->id;
  return TRUE;
}

static void
measure (BlDrillView *self)
{
  BlBench *bench = bench_of (self);
  g_autoptr (BlMeasurementItem) item = NULL;
  g_autoptr (GError) error = NULL;
  gboolean ok;

  if (bl_bench_get_current (bench) == NULL)
    return;
  item = g_object_ref (bl_bench_get_current (bench));
  if (is_slip (self, item))
    {
      bl_bench_page_say (page_of (self), _ ("Read already. Enter once more takes it again; arrows or a name go on."));
      return;
    }
  ok = bl_drill_run_measure (self->run, item, &error);
  say (self, ok, error);
  if (!ok)
    return;
  /* What to measure next is for whoever practises to say: the list's order must not lead. */
  bl_bench_select (bench, item);
  bl_bench_page_kept (page_of (self));
}

static void
test_part (BlDrillView *self, const char *component)
{
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_drill_run_test_part (self->run, component, &error);

  say (self, ok, error);
  if (ok)
    bl_bench_page_kept (page_of (self));
}

/* TRUE: it was dealt with here. Going to a point, notes and what is not understood are the page's. */
static gboolean
entering (BlDrillView *self, const char *text)
{
  BlBench *bench = bench_of (self);
  const char *component;

  if (bl_drill_run_is_planted (self->run))
    return FALSE;
  if (*text == '\0')
    {
      measure (self);
      return TRUE;
    }
  if (bl_bench_typed_reading (bench, text) != NULL)
    {
      bl_bench_page_say (page_of (self), _ ("The drill gives the readings: clear the field, then Enter takes this one."));
      return TRUE;
    }
  component = bl_bench_typed_part (bench, text);
  if (component == NULL)
    return FALSE;
  test_part (self, component);
  return TRUE;
}

static gboolean
proving_dead (BlDrillView *self)
{
  g_autoptr (GError) error = NULL;

  if (bl_drill_run_is_planted (self->run))
    return FALSE;
  say (self, bl_drill_run_prove (self->run, &error), error);
  return TRUE;
}

static void
read_cautions (BlDrillView *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_autoptr (GError) error = NULL;

  say (self, bl_drill_run_read_cautions (self->run, &error), error);
  if (GTK_IS_WINDOW (root))
    bl_cautions_show (GTK_WINDOW (root));
}

static void
ask_named (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_drill_panel_name (BL_DRILL_PANEL (((BlDrillView *) data)->panel));
}

/* F7: the part that is marked in the list, else to the list. */
static void
ask_part (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlDrillView *self = data;
  const char *component = bl_drill_panel_get_component (BL_DRILL_PANEL (self->panel));

  if (component != NULL)
    test_part (self, component);
  else
    bl_drill_panel_name (BL_DRILL_PANEL (self->panel));
}

static void
done (BlDrillView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

/* --- the end --- */

static void
show_replay (BlDrillView *self)
{
  self->replay = bl_replay_new (bl_practice_get_library (self->practice), self->run);
  g_signal_connect_swapped (self->replay, "done", G_CALLBACK (done), self);
  gtk_stack_add_named (GTK_STACK (self->stack), self->replay, "replay");
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), "replay");
  if (self->page != NULL)
    gtk_stack_remove (GTK_STACK (self->stack), self->page);
  self->page = self->panel = self->strip = self->strip_words = NULL;
  bl_replay_focus (BL_REPLAY (self->replay));
}

static gboolean
replay_later (gpointer data)
{
  BlDrillView *self = data;

  if (self->run != NULL && self->replay == NULL)
    show_replay (self);
  return G_SOURCE_REMOVE;
}

static void
conclude (BlDrillView *self)
{
  BlDrillPanel *panel = BL_DRILL_PANEL (self->panel);
  g_autofree char *stage = g_strdup (bl_drill_panel_get_stage (panel));
  g_autofree char *component = g_strdup (bl_drill_panel_get_component (panel));
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_drill_run_conclude (self->run, stage, component, &error);

  say (self, ok, error);
  if (ok) /* not from within the button that is pressed */
    g_idle_add_full (G_PRIORITY_DEFAULT, replay_later, g_object_ref (self), g_object_unref);
}

static void
run_changed (BlDrillView *self)
{
  if (self->panel != NULL)
    bl_drill_panel_set_cautions_read (BL_DRILL_PANEL (self->panel), bl_drill_run_cautions_read (self->run));
}

/* --- building --- */

static char *
shown_words (BlDrillView *self)
{
  const char *id = bl_drill_run_get_symptom (self->run);
  const BlSymptom *symptom = id != NULL ? bl_board_symptom (bl_bench_get_board (bench_of (self)), id) : NULL;

  if (symptom != NULL)
    return g_strdup (symptom->title != NULL && *symptom->title != '\0' ? symptom->title : symptom->id);
  return g_strdup (bl_drill_run_is_planted (self->run) ? _ ("See for yourself") : _ ("No symptom is known"));
}

static GtkWidget *
build_strip (BlDrillView *self)
{
  GtkWidget *hatch = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->strip = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_widget_add_css_class (hatch, "unsafe-block");
  self->strip_words = bl_label ("", NULL, 0);
  gtk_label_set_wrap (GTK_LABEL (self->strip_words), TRUE);
  gtk_widget_add_css_class (self->strip, "drill-strip");
  gtk_widget_add_css_class (self->strip, "unsafe");
  gtk_box_append (GTK_BOX (self->strip), hatch);
  gtk_box_append (GTK_BOX (self->strip), self->strip_words);
  gtk_widget_set_visible (self->strip, FALSE);
  return self->strip;
}

static void
build_panel (BlDrillView *self)
{
  g_autofree char *shown = shown_words (self);
  g_autofree char *about = bl_drill_about_words (bl_drill_run_get_row (self->run));

  self->panel = bl_drill_panel_new (bench_of (self), shown, about,
                                    bl_drill_run_is_planted (self->run) ? _ ("I tested it") : _ ("Test it by itself"));
  g_signal_connect_swapped (self->panel, "conclude", G_CALLBACK (conclude), self);
  g_signal_connect_swapped (self->panel, "test-part", G_CALLBACK (test_part), self);
  g_signal_connect_swapped (self->panel, "cautions", G_CALLBACK (read_cautions), self);
  g_signal_connect_swapped (self->panel, "leave", G_CALLBACK (done), self);
}

static void
build_page (BlDrillView *self)
{
  static const GActionEntry cause[] = { { "cause", ask_named, NULL, NULL, NULL, { 0 } } };
  static const GActionEntry part[] = { { "part", ask_part, NULL, NULL, NULL, { 0 } } };
  gboolean planted = bl_drill_run_is_planted (self->run);

  build_panel (self);
  self->page = bl_bench_page_new (bl_practice_get_library (self->practice));
  g_signal_connect_object (self->panel, "back", G_CALLBACK (bl_bench_page_focus), self->page, G_CONNECT_SWAPPED);
  GActionMap *map = G_ACTION_MAP (bl_bench_page_get_actions (page_of (self)));
  g_action_map_add_action_entries (map, cause, 1, self);
  if (!planted)
    g_action_map_add_action_entries (map, part, 1, self);
  bl_bench_page_set_use (page_of (self), BL_BENCH_FOR_DRILL, planted ? planted_actions : drill_actions, self->panel,
                         build_strip (self), planted ? NULL : _ ("takes the reading"));
  g_signal_connect_swapped (self->page, "entering", G_CALLBACK (entering), self);
  g_signal_connect_swapped (self->page, "proving-dead", G_CALLBACK (proving_dead), self);
  gtk_widget_insert_action_group (self->page, "bench", bl_bench_page_get_actions (page_of (self)));
  bl_bench_page_set_bench (page_of (self), bench_of (self));
  gtk_stack_add_named (GTK_STACK (self->stack), self->page, "drill");
  show_unsafe (self, bl_drill_run_get_unsafe (self->run));
  run_changed (self);
}

static void
build_trouble (BlDrillView *self, const GError *error)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *back = bl_act_button ("plain", _ ("Back"), _ ("Alt Q"), FALSE);
  GtkWidget *words = bl_label (error->message, "trouble", 0);

  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 70);
  gtk_widget_set_halign (box, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (box, GTK_ALIGN_CENTER);
  gtk_widget_set_halign (back, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (box), bl_label (_ ("This drill cannot be opened"), "page-title", 0));
  gtk_box_append (GTK_BOX (box), words);
  gtk_box_append (GTK_BOX (box), back);
  g_signal_connect_swapped (back, "clicked", G_CALLBACK (done), self);
  gtk_stack_add_named (GTK_STACK (self->stack), box, "trouble");
}

/* Before the focused widget, as the window does it for the bench of jobs. */
static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlDrillView *self)
{
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);

  if (self->replay != NULL)
    return bl_replay_key (BL_REPLAY (self->replay), keyval, state);
  if (self->page != NULL)
    return bl_drill_panel_key (BL_DRILL_PANEL (self->panel), keyval, state)
           || bl_bench_page_route_key (page_of (self), keyval, state);
  if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_q)
    {
      done (self);
      return TRUE;
    }
  return FALSE;
}

/* --- object --- */

static void
bl_drill_view_dispose (GObject *object)
{
  BlDrillView *self = BL_DRILL_VIEW (object);

  if (self->run != NULL)
    {
      g_signal_handlers_disconnect_by_data (self->run, self);
      if (!bl_drill_run_is_ended (self->run)) /* else its score is still to be kept */
        bl_drill_run_stop (self->run);
    }
  self->page = self->panel = self->replay = NULL;
  g_clear_pointer (&self->stack, gtk_widget_unparent);
  g_clear_object (&self->run);
  g_clear_object (&self->practice);
  G_OBJECT_CLASS (bl_drill_view_parent_class)->dispose (object);
}

/* Whoever gives it the focus means the entry, or the path. */
static gboolean
bl_drill_view_take_focus (GtkWidget *widget, GtkDirectionType direction)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (focus != NULL && gtk_widget_is_ancestor (focus, widget))
    return GTK_WIDGET_CLASS (bl_drill_view_parent_class)->focus (widget, direction);
  bl_drill_view_focus (BL_DRILL_VIEW (widget));
  return TRUE;
}

static void
bl_drill_view_class_init (BlDrillViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_drill_view_dispose;
  GTK_WIDGET_CLASS (klass)->focus = bl_drill_view_take_focus;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[DONE] = g_signal_new ("done", BL_TYPE_DRILL_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_drill_view_init (BlDrillView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->stack = gtk_stack_new ();
  gtk_stack_set_transition_type (GTK_STACK (self->stack), GTK_STACK_TRANSITION_TYPE_NONE);
  gtk_widget_set_parent (self->stack, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
bl_drill_view_new (BlPractice *practice, gint64 drill)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice), NULL);
  BlDrillView *self = g_object_new (BL_TYPE_DRILL_VIEW, NULL);
  g_autoptr (GError) error = NULL;

  self->practice = g_object_ref (practice);
  self->run = bl_drill_run_new (practice, drill, &error);
  if (self->run == NULL)
    {
      build_trouble (self, error);
      return GTK_WIDGET (self);
    }
  g_signal_connect_object (self->run, "changed", G_CALLBACK (run_changed), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->run, "unsafe", G_CALLBACK (unsafe_done), self, G_CONNECT_SWAPPED);
  if (bl_drill_run_is_ended (self->run))
    show_replay (self);
  else
    build_page (self);
  return GTK_WIDGET (self);
}

void
bl_drill_view_focus (BlDrillView *self)
{
  g_return_if_fail (BL_IS_DRILL_VIEW (self));
  if (self->replay != NULL)
    bl_replay_focus (BL_REPLAY (self->replay));
  else if (self->page != NULL)
    bl_bench_page_focus (page_of (self));
  else
    gtk_widget_child_focus (self->stack, GTK_DIR_TAB_FORWARD);
}
