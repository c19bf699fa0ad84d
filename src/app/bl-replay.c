/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A drill looked back on. The bench itself shows each step: its log is cut off behind the step, so photo, suspects
 * and tree are what they would have been then, and nothing is drawn a second time. The best plan's path is a log of its
 * own, of readings of the same board. Which step is shown is the business of bl-drill-path.c. */
#include "config.h"

#include "bl-replay.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page.h"
#include "bl-bench-practice.h"
#include "bl-drill-naming.h"
#include "bl-drill-path.h"
#include "bl-drill-words.h"
#include "bl-plan-words.h"
#include "bl-style.h"
#include "bl-tree-canvas.h"

struct _BlReplay
{
  GtkWidget parent_instance;

  BlLibrary *library; /* not owned */
  BlDrillRun *run;
  GtkWidget *stack, *waiting, *waiting_named, *page, *path;
};

enum
{
  DONE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlReplay, bl_replay, GTK_TYPE_WIDGET)

static const char *const actions[] = { "side", "log", "tree", "tree-find", "why", "fold", "fit", "larger", "smaller",
                                       "pan-left", "pan-right", "pan-up", "pan-down", "escape", "layers", NULL };

static void
done (BlReplay *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

/* --- the log behind a step --- */

static gboolean
is_act (BlRecordKind kind)
{
  return kind == BL_RECORD_READING || kind == BL_RECORD_STATE || kind == BL_RECORD_PROOF || kind == BL_RECORD_PART_TEST
         || kind == BL_RECORD_SUPPLY;
}

static gboolean
stands_for (const BlRecord *record, const BlDrillStep *step)
{
  return (step->kind == BL_STEP_MEASURE && record->kind == BL_RECORD_READING)
         || (step->kind == BL_STEP_STATE && record->kind == BL_RECORD_STATE)
         || (step->kind == BL_STEP_PROOF && record->kind == BL_RECORD_PROOF)
         || (step->kind == BL_STEP_PART && record->kind == BL_RECORD_PART_TEST);
}

/* Places of the best plan's steps in its log; G_MAXUINT: it stands in none. (transfer full) */
static guint *
places_of_best (GPtrArray *records, GPtrArray *steps)
{
  guint *places = g_new (guint, steps->len + 1), from = 0;

  for (guint i = 0; i < steps->len; i++)
    {
      places[i] = G_MAXUINT;
      for (guint k = from; k < records->len && places[i] == G_MAXUINT; k++)
        if (stands_for (g_ptr_array_index (records, k), g_ptr_array_index (steps, i)))
          places[i] = k;
      if (places[i] != G_MAXUINT)
        from = places[i] + 1;
    }
  return places;
}

/* Lines of the best plan's log up to and with step number n; with none: what came before the first act. */
static guint
lines_of_best (GPtrArray *records, GPtrArray *steps, guint n)
{
  g_autofree guint *places = places_of_best (records, steps);
  guint lines = 0;

  while (lines < records->len && !is_act (((BlRecord *) g_ptr_array_index (records, lines))->kind))
    lines++;
  for (guint i = 0; i < n; i++)
    if (places[i] != G_MAXUINT)
      lines = places[i] + 1;
  return lines;
}

static int
shape_of (GPtrArray *records, guint place)
{
  const BlRecord *record = place < records->len ? g_ptr_array_index (records, place) : NULL;

  return record != NULL && record->kind == BL_RECORD_READING && record->verdict != NULL
           ? (int) bl_shape_for_verdict (record->verdict, record->band) : -1;
}

/* Of one's own path: up to where the next step begins that stands in the log. */
static guint
lines_of_own (BlReplay *self, guint n, guint n_steps)
{
  for (guint i = n; i < n_steps; i++)
    if (bl_drill_run_record_of (self->run, i) != G_MAXUINT)
      return bl_drill_run_record_of (self->run, i);
  return G_MAXUINT;
}

static void
show_step (BlReplay *self, gboolean best, guint n)
{
  BlBench *bench = bl_drill_run_get_bench (self->run);
  const BlDrillScore *score = bl_drill_run_get_score (self->run);
  GPtrArray *steps = best ? bl_drill_run_get_best (self->run) : score->steps;
  const BlDrillStep *step = n > 0 && n <= steps->len ? g_ptr_array_index (steps, n - 1) : NULL;
  BlMeasurementItem *item;
  g_autoptr (GError) error = NULL;

  if (best)
    {
      GPtrArray *records = bl_drill_run_best_records (self->run);
      if (records == NULL)
        return;
      g_ptr_array_set_size (records, (int) lines_of_best (records, steps, n));
      bl_bench_show_log (bench, records, &error);
    }
  else
    bl_bench_show_first (bench, lines_of_own (self, n, steps->len), &error);
  if (error != NULL)
    bl_bench_page_say (BL_BENCH_PAGE (self->page), error->message);
  item = step != NULL && step->kind == BL_STEP_MEASURE ? bl_bench_find (bench, step->subject) : NULL;
  g_autofree char *title = bl_drill_path_step_words (BL_DRILL_PATH (self->path));
  g_autofree char *worth = bl_drill_path_worth_words (BL_DRILL_PATH (self->path));
  bl_bench_page_show_act (BL_BENCH_PAGE (self->page), title, worth);
  bl_bench_select (bench, item); /* none: a point that was not touched is not to look as if it had been */
}

static void
path_shown (BlReplay *self, gboolean best, guint n)
{
  show_step (self, best, n);
}

/* --- the score --- */

static GtkWidget *
wrapped (const char *words, const char *classes)
{
  GtkWidget *label = bl_label (words, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  return label;
}

static char *
safety_words (const BlDrillScore *score)
{
  g_autofree char *acts = bl_unsafe_list_words (score->unsafe);

  return acts != NULL ? g_strdup_printf (_ ("Drill failed, whatever was named. Unsafe: %s."), acts)
                      : g_strdup (_ ("No unsafe act."));
}

/* Which drill it was, so that it can be given again. */
static char *
which_words (const BlDrillRow *row)
{
  if (row->planted)
    return g_strdup_printf (_ ("%s, the seal is open"), row->title);
  return g_strdup_printf (_ ("%s, drill %u"), row->title, row->seed);
}

static GtkWidget *
score_strip (BlReplay *self)
{
  const BlDrillScore *score = bl_drill_run_get_score (self->run);
  const BlDrillRow *row = bl_drill_run_get_row (self->run);
  BlBench *bench = bl_drill_run_get_bench (self->run);
  GtkWidget *strip = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 1);
  GtkWidget *back = bl_act_button ("plain", _ ("Back to practice"), _ ("Alt Q"), FALSE);
  g_autofree char *outcome = bl_drill_outcome_words (bench, row, score, bl_drill_run_get_faults (self->run));
  g_autofree char *figures = bl_drill_figures_words (score);
  g_autofree char *safety = safety_words (score);
  g_autofree char *which = which_words (row);
  GtkWidget *foot = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_box_append (GTK_BOX (words), wrapped (outcome, "drill-outcome"));
  gtk_box_append (GTK_BOX (words), wrapped (figures, NULL));
  gtk_box_append (GTK_BOX (foot), wrapped (safety, score->failed ? "danger" : NULL));
  GtkWidget *quiet = bl_label (which, "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (quiet), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (foot), quiet);
  gtk_box_append (GTK_BOX (words), foot);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_widget_set_valign (back, GTK_ALIGN_START);
  g_signal_connect_swapped (back, "clicked", G_CALLBACK (done), self);
  gtk_box_append (GTK_BOX (strip), words);
  gtk_box_append (GTK_BOX (strip), back);
  gtk_widget_add_css_class (strip, "drill-strip");
  gtk_widget_set_tooltip_text (words, _ ("Time given away: how much longer the rest is expected to take after what was "
                                         "measured than after the best measurement at that moment. A fifth more than the "
                                         "best is still right."));
  return strip;
}

/* --- when it is scored --- */

/* There is a score, but it could not be kept. */
static void
say_trouble (BlReplay *self)
{
  const char *trouble = bl_drill_run_get_trouble (self->run);

  if (trouble == NULL)
    return;
  g_autofree char *words = g_strdup_printf (_ ("The score could not be kept: %s"), trouble);
  bl_bench_page_say (BL_BENCH_PAGE (self->page), words);
}

/* Where there is most to learn: the first measurement that was not right, else the last step that measured. */
static int
step_to_show (const BlDrillScore *score)
{
  int last = 0;

  for (guint i = 0; i < score->steps->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (score->steps, i);
      if (step->unsafe != 0 || (step->kind == BL_STEP_MEASURE && step->scored && !step->for_safety && !step->right))
        return (int) i + 1;
      if (step->kind == BL_STEP_MEASURE)
        last = (int) i + 1;
    }
  return last;
}

/* It may come long after the score; until then its place says that it is being worked out. */
static void
best_found (BlReplay *self)
{
  GPtrArray *best = bl_drill_run_get_best (self->run);

  if (self->path == NULL || bl_drill_run_is_best_awaited (self->run))
    return;
  g_autoptr (GPtrArray) records = bl_drill_run_best_records (self->run);
  g_autofree guint *places = records != NULL ? places_of_best (records, best) : NULL;
  g_autofree int *shapes = g_new (int, bl_len (best) + 1);
  for (guint i = 0; i < bl_len (best); i++)
    shapes[i] = places != NULL ? shape_of (records, places[i]) : -1;
  g_autofree char *about = best != NULL ? bl_drill_best_words (best, bl_drill_run_get_symptom (self->run) != NULL) : NULL;
  bl_drill_path_set_best (BL_DRILL_PATH (self->path), best, shapes, about);
}

static void
build (BlReplay *self)
{
  const BlDrillScore *score = bl_drill_run_get_score (self->run);
  BlBench *bench = bl_drill_run_get_bench (self->run);

  g_autofree int *own_shapes = g_new (int, score->steps->len + 1);

  for (guint i = 0; i < score->steps->len; i++)
    own_shapes[i] = shape_of (bl_bench_get_records (bench), bl_drill_run_record_of (self->run, i));
  self->path = bl_drill_path_new (bench, score->steps, own_shapes);
  best_found (self);
  self->page = bl_bench_page_new (self->library);
  bl_bench_page_set_use (BL_BENCH_PAGE (self->page), BL_BENCH_FOR_REPLAY, actions, self->path, score_strip (self), "");
  gtk_widget_insert_action_group (self->page, "bench", bl_bench_page_get_actions (BL_BENCH_PAGE (self->page)));
  bl_bench_page_set_bench (BL_BENCH_PAGE (self->page), bench);
  gtk_stack_add_named (GTK_STACK (self->stack), self->page, "page");
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), "page");
  gtk_stack_remove (GTK_STACK (self->stack), gtk_stack_get_child_by_name (GTK_STACK (self->stack), "waiting"));
  self->waiting = self->waiting_named = NULL;
  g_signal_connect_object (self->path, "shown", G_CALLBACK (path_shown), self, G_CONNECT_SWAPPED);
  bl_drill_path_step (BL_DRILL_PATH (self->path), step_to_show (score));
  bl_replay_focus (self);
  say_trouble (self);
}

static void
scored (BlReplay *self)
{
  const char *trouble = bl_drill_run_get_trouble (self->run);

  if (self->page != NULL)
    return;
  if (bl_drill_run_get_score (self->run) != NULL)
    build (self);
  else if (trouble != NULL)
    {
      g_autofree char *words = g_strdup_printf (_ ("The score could not be computed: %s"), trouble);
      gtk_label_set_label (GTK_LABEL (self->waiting), words);
    }
}

/* --- object --- */

static void
bl_replay_dispose (GObject *object)
{
  BlReplay *self = BL_REPLAY (object);

  if (self->run != NULL)
    g_signal_handlers_disconnect_by_data (self->run, self);
  self->page = self->path = NULL;
  g_clear_pointer (&self->stack, gtk_widget_unparent);
  if (self->run != NULL) /* its own log again, for whoever has the bench */
    bl_bench_show_log (bl_drill_run_get_bench (self->run), NULL, NULL);
  g_clear_object (&self->run);
  G_OBJECT_CLASS (bl_replay_parent_class)->dispose (object);
}

static void
bl_replay_class_init (BlReplayClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_replay_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[DONE] = g_signal_new ("done", BL_TYPE_REPLAY, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

/* Some seconds: what was named, and that nobody has to wait. */
static GtkWidget *
waiting_new (BlReplay *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 10);
  GtkWidget *back = bl_act_button ("plain", _ ("Back to practice"), _ ("Alt Q"), FALSE);

  self->waiting_named = wrapped ("", "drill-outcome");
  self->waiting = wrapped (_ ("Each measurement is compared with the best there was. That takes a moment for each; the score "
                              "is kept also when you leave."), NULL);
  gtk_label_set_max_width_chars (GTK_LABEL (self->waiting_named), 60);
  gtk_label_set_max_width_chars (GTK_LABEL (self->waiting), 70);
  gtk_widget_set_halign (back, GTK_ALIGN_START);
  g_signal_connect_swapped (back, "clicked", G_CALLBACK (done), self);
  gtk_box_append (GTK_BOX (box), self->waiting_named);
  gtk_box_append (GTK_BOX (box), self->waiting);
  gtk_box_append (GTK_BOX (box), back);
  gtk_widget_set_halign (box, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (box, GTK_ALIGN_CENTER);
  return box;
}

static void
show_waiting (BlReplay *self)
{
  const BlDrillRow *row = bl_drill_run_get_row (self->run);
  g_autofree char *named = bl_named_words (bl_bench_get_board (bl_drill_run_get_bench (self->run)), row->stage, row->component);
  g_autofree char *words = named != NULL ? g_strdup_printf (_ ("Named: %s"), named) : g_strdup (_ ("The drill has ended."));

  gtk_label_set_label (GTK_LABEL (self->waiting_named), words);
}

static void
bl_replay_init (BlReplay *self)
{
  self->stack = gtk_stack_new ();
  gtk_stack_set_transition_type (GTK_STACK (self->stack), GTK_STACK_TRANSITION_TYPE_NONE);
  gtk_stack_add_named (GTK_STACK (self->stack), waiting_new (self), "waiting");
  gtk_widget_set_focusable (self->stack, TRUE);
  gtk_widget_set_parent (self->stack, GTK_WIDGET (self));
}

GtkWidget *
bl_replay_new (BlLibrary *library, BlDrillRun *run)
{
  g_return_val_if_fail (library != NULL && BL_IS_DRILL_RUN (run), NULL);
  BlReplay *self = g_object_new (BL_TYPE_REPLAY, NULL);

  self->library = library;
  self->run = g_object_ref (run);
  show_waiting (self);
  g_signal_connect_object (run, "scored", G_CALLBACK (scored), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (run, "best", G_CALLBACK (best_found), self, G_CONNECT_SWAPPED);
  scored (self);
  return GTK_WIDGET (self);
}

void
bl_replay_focus (BlReplay *self)
{
  g_return_if_fail (BL_IS_REPLAY (self));
  if (self->page != NULL)
    bl_bench_page_focus (BL_BENCH_PAGE (self->page));
  else
    gtk_widget_grab_focus (self->stack);
}

gboolean
bl_replay_key (BlReplay *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_REPLAY (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gboolean elsewhere = focus != NULL && (bl_widget_is_text (focus) || BL_IS_TREE_CANVAS (focus));
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);

  if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_q)
    done (self);
  else if (self->page == NULL)
    return FALSE;
  else if (elsewhere || !bl_drill_path_key (BL_DRILL_PATH (self->path), keyval, state))
    return bl_bench_page_route_key (BL_BENCH_PAGE (self->page), keyval, state);
  return TRUE;
}
