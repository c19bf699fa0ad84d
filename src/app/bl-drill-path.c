/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two paths of a drill as lists side by side. A path has up to some forty steps; the row marked is the step that
 * photo, odds and tree beside it show. Below the lists stands what the step was worth. */
#include "config.h"

#include "bl-drill-path.h"

#include <glib/gi18n-lib.h>

#include "bl-drill-naming.h"
#include "bl-drill-words.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

enum
{
  OWN,
  BEST,
  N_PATHS
};

struct _BlDrillPath
{
  GtkWidget parent_instance;

  BlBench *bench;
  GPtrArray *steps[N_PATHS]; /* BlDrillStep; NULL: no such path */
  GtkWidget *lists[N_PATHS], *box, *both, *where, *said;
  char *about;        /* what is to be known of the best plan */
  GtkWidget *awaited; /* in the place of the best plan until that is there */
  int path;
  guint at[N_PATHS]; /* step shown, 0: before the first */
  gboolean filling;
};

enum
{
  SHOWN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlDrillPath, bl_drill_path, GTK_TYPE_WIDGET)

static const BlDrillStep *
step_shown (BlDrillPath *self)
{
  guint at = self->at[self->path];

  return at > 0 ? g_ptr_array_index (self->steps[self->path], at - 1) : NULL;
}

static void
reveal (GtkWidget *list, GtkWidget *row)
{
  GtkWidget *scrolled = gtk_widget_get_ancestor (list, GTK_TYPE_SCROLLED_WINDOW);
  graphene_rect_t bounds;

  if (gtk_widget_compute_bounds (row, list, &bounds))
    gtk_adjustment_clamp_page (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled)), bounds.origin.y,
                               bounds.origin.y + bounds.size.height);
}

/* The best plan ends with what is likeliest, which measuring cannot always tell from what it was. */
static char *
step_words (BlDrillPath *self, int path, const BlDrillStep *step)
{
  gboolean part = step->kind == BL_STEP_COMPONENT;

  if (path != BEST || (!part && step->kind != BL_STEP_STAGE))
    return bl_drill_step_words (self->bench, step);
  g_autofree char *named
    = bl_named_words (bl_bench_get_board (self->bench), part ? NULL : step->subject, part ? step->subject : NULL);
  return g_strdup_printf (step->right ? _ ("likeliest: %s") : _ ("likeliest: %s; measuring does not tell it from what it was"),
                          named);
}

/* The step stays in view where the list gets another height. */
static void
list_resized (BlDrillPath *self)
{
  GtkWidget *list = self->lists[self->path];
  GtkListBoxRow *row = list != NULL ? gtk_list_box_get_selected_row (GTK_LIST_BOX (list)) : NULL;

  if (row != NULL)
    reveal (list, GTK_WIDGET (row));
}

char *
bl_drill_path_step_words (BlDrillPath *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PATH (self), NULL);
  const BlDrillStep *step = step_shown (self);

  return step != NULL ? step_words (self, self->path, step) : g_strdup (_ ("Before the first step"));
}

char *
bl_drill_path_worth_words (BlDrillPath *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PATH (self), NULL);
  const BlDrillStep *step = step_shown (self);

  if (step == NULL)
    return g_strdup (self->path == BEST && self->about != NULL ? self->about
                                                               : _ ("What is shown, and nothing measured yet."));
  return self->path == BEST ? g_strdup (_ ("Done by whoever takes the best measurement each time, from the start and on "
                                           "the same board."))
                            : bl_drill_worth_long (self->bench, step);
}

/* At a step that measures nothing its words stand in the place of the measurement, and are not said twice. */
static void
show (BlDrillPath *self)
{
  const BlDrillStep *step = step_shown (self);
  gboolean measured = step != NULL && step->kind == BL_STEP_MEASURE;
  guint n = self->steps[self->path]->len;
  g_autofree char *what = bl_drill_path_step_words (self);
  g_autofree char *count
    = g_strdup_printf (self->path == BEST ? _ ("Best plan, step %u of %u") : _ ("Your path, step %u of %u"),
                       self->at[self->path], n);
  /* Translators: which step of which path, then what was done */
  g_autofree char *where = measured ? g_strdup_printf (_ ("%s: %s"), count, what) : g_steal_pointer (&count);
  g_autofree char *worth = measured ? bl_drill_path_worth_words (self) : g_strdup ("");

  self->filling = TRUE;
  for (int i = 0; i < N_PATHS; i++)
    if (self->lists[i] != NULL)
      {
        GtkListBoxRow *row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->lists[i]), (int) self->at[i]);
        gtk_list_box_select_row (GTK_LIST_BOX (self->lists[i]), i == self->path ? row : NULL);
        if (i == self->path && row != NULL)
          reveal (self->lists[i], GTK_WIDGET (row));
      }
  self->filling = FALSE;
  gtk_label_set_label (GTK_LABEL (self->where), where);
  gtk_label_set_label (GTK_LABEL (self->said), worth);
  g_signal_emit (self, signals[SHOWN], 0, self->path == BEST, self->at[self->path]);
}

static void
row_selected (BlDrillPath *self, GtkListBoxRow *row, GtkListBox *list)
{
  if (self->filling || row == NULL)
    return;
  self->path = GTK_WIDGET (list) == self->lists[BEST] ? BEST : OWN;
  self->at[self->path] = (guint) gtk_list_box_row_get_index (row);
  show (self);
}

void
bl_drill_path_step (BlDrillPath *self, int by)
{
  g_return_if_fail (BL_IS_DRILL_PATH (self));
  int at = (int) self->at[self->path] + by;

  self->at[self->path] = (guint) CLAMP (at, 0, (int) self->steps[self->path]->len);
  show (self);
}

void
bl_drill_path_change (BlDrillPath *self)
{
  g_return_if_fail (BL_IS_DRILL_PATH (self));
  int other = self->path == OWN ? BEST : OWN;

  if (self->steps[other] == NULL)
    return;
  self->path = other;
  show (self);
}

gboolean
bl_drill_path_is_best (BlDrillPath *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PATH (self), FALSE);
  return self->path == BEST;
}

guint
bl_drill_path_get_step (BlDrillPath *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PATH (self), 0);
  return self->at[self->path];
}

gboolean
bl_drill_path_key (BlDrillPath *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_DRILL_PATH (self), FALSE);

  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SHIFT_MASK)) != 0)
    return FALSE;
  switch (keyval)
    {
    case GDK_KEY_Left:
    case GDK_KEY_Up:
      bl_drill_path_step (self, -1);
      return TRUE;
    case GDK_KEY_Right:
    case GDK_KEY_Down:
      bl_drill_path_step (self, 1);
      return TRUE;
    case GDK_KEY_Home:
      bl_drill_path_step (self, G_MININT / 2);
      return TRUE;
    case GDK_KEY_End:
      bl_drill_path_step (self, G_MAXINT / 2);
      return TRUE;
    case GDK_KEY_b:
    case GDK_KEY_B:
      bl_drill_path_change (self);
      return TRUE;
    default:
      return FALSE;
    }
}

/* --- building --- */

static void
add_row (BlDrillPath *self, int path, guint number, const BlDrillStep *step, int shape)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  g_autofree char *words = step != NULL ? step_words (self, path, step) : g_strdup (_ ("what is shown"));
  g_autofree char *worth = step != NULL && path == OWN ? bl_drill_worth_words (step) : g_strdup ("");
  g_autofree char *count = g_strdup_printf ("%u", number);
  g_autofree char *name = g_strdup_printf (path == BEST ? _ ("Best plan %u: %s") : _ ("Step %u: %s, %s"), number, words,
                                           worth);
  GtkWidget *label = bl_label (words, step != NULL && step->kind == BL_STEP_MEASURE ? NULL : "muted", 0);
  GtkWidget *figure = bl_label (number > 0 ? count : "", "muted figures path-number", 1);

  BlMeasurementItem *item
    = step != NULL && step->kind == BL_STEP_MEASURE ? bl_bench_find (self->bench, step->subject) : NULL;
  GtkWidget *title = bl_label (item != NULL ? bl_measurement_item_get_title (item) : "", "muted small", 0);

  if (item == NULL)
    gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (box), figure);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), title);
  if (shape >= 0)
    gtk_box_append (GTK_BOX (box), bl_shape_icon_new (shape, 13));
  if (*worth != '\0')
    gtk_box_append (GTK_BOX (box), bl_label (worth, step->unsafe != 0 ? "danger small" : step->right ? "small" : "strong small", 1));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  gtk_list_box_append (GTK_LIST_BOX (self->lists[path]), row);
}

static GPtrArray *
copy_steps (GPtrArray *steps)
{
  GPtrArray *copies = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);

  for (guint i = 0; i < bl_len (steps); i++)
    g_ptr_array_add (copies, bl_drill_step_copy (g_ptr_array_index (steps, i)));
  return copies;
}

static GtkWidget *
column_new (const char *title, const char *cap)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (head), bl_label (title, "heading", 0));
  gtk_box_append (GTK_BOX (head), bl_key_cap (cap));
  gtk_box_append (GTK_BOX (column), head);
  gtk_widget_set_hexpand (column, TRUE);
  return column;
}

static GtkWidget *
path_column (BlDrillPath *self, int path, const int *shapes, const char *title, const char *cap)
{
  GtkWidget *column = column_new (title, cap), *scrolled = gtk_scrolled_window_new ();

  self->lists[path] = gtk_list_box_new ();
  gtk_widget_add_css_class (self->lists[path], "path-list");
  gtk_widget_set_can_focus (self->lists[path], FALSE); /* its keys are those of the path */
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->lists[path]);
  gtk_widget_add_css_class (scrolled, "naming-scrolled");
  gtk_widget_set_vexpand (scrolled, TRUE);
  g_signal_connect_object (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled)), "notify::page-size",
                           G_CALLBACK (list_resized), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (column), scrolled);
  add_row (self, path, 0, NULL, -1);
  for (guint i = 0; i < self->steps[path]->len; i++)
    add_row (self, path, i + 1, g_ptr_array_index (self->steps[path], i), shapes != NULL ? shapes[i] : -1);
  g_signal_connect_swapped (self->lists[path], "row-selected", G_CALLBACK (row_selected), self);
  return column;
}

static void
add_awaited (BlDrillPath *self)
{
  GtkWidget *words = bl_label (_ ("working it out"), "muted", 0);

  self->awaited = column_new (_ ("Best plan"), _ ("B"));
  gtk_box_append (GTK_BOX (self->awaited), words);
  gtk_box_append (GTK_BOX (self->both), self->awaited);
}

void
bl_drill_path_set_best (BlDrillPath *self, GPtrArray *best, const int *shapes, const char *about)
{
  g_return_if_fail (BL_IS_DRILL_PATH (self));
  if (self->awaited == NULL)
    return;
  if (best == NULL)
    {
      gtk_label_set_label (GTK_LABEL (gtk_widget_get_last_child (self->awaited)), _ ("It could not be worked out."));
      return;
    }
  gtk_box_remove (GTK_BOX (self->both), self->awaited);
  self->awaited = NULL;
  self->steps[BEST] = copy_steps (best);
  self->about = g_strdup (about);
  GtkWidget *column = path_column (self, BEST, shapes, _ ("Best plan"), _ ("B"));
  GtkWidget *head = gtk_widget_get_first_child (column), *from = bl_label (_ ("from the start"), "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (from), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (head), from);
  gtk_widget_set_tooltip_text (head, about);
  gtk_box_append (GTK_BOX (self->both), column);
}

static void
bl_drill_path_dispose (GObject *object)
{
  BlDrillPath *self = BL_DRILL_PATH (object);

  self->filling = TRUE;
  g_clear_pointer (&self->box, gtk_widget_unparent);
  for (int i = 0; i < N_PATHS; i++)
    g_clear_pointer (&self->steps[i], g_ptr_array_unref);
  g_clear_pointer (&self->about, g_free);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (bl_drill_path_parent_class)->dispose (object);
}

static void
bl_drill_path_class_init (BlDrillPathClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_drill_path_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[SHOWN] = g_signal_new ("shown", BL_TYPE_DRILL_PATH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                 G_TYPE_BOOLEAN, G_TYPE_UINT);
}

static void
bl_drill_path_init (BlDrillPath *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  bl_widget_name (GTK_WIDGET (self), _ ("The path, step by step"));
}

GtkWidget *
bl_drill_path_new (BlBench *bench, GPtrArray *own, const int *own_shapes)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && own != NULL, NULL);
  BlDrillPath *self = g_object_new (BL_TYPE_DRILL_PATH, NULL);
  GtkWidget *foot = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  self->bench = g_object_ref (bench);
  self->steps[OWN] = copy_steps (own);
  self->both = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  gtk_box_set_homogeneous (GTK_BOX (self->both), TRUE);
  gtk_box_append (GTK_BOX (self->both), path_column (self, OWN, own_shapes, _ ("Your path"), _ ("← →")));
  add_awaited (self);
  gtk_widget_set_vexpand (self->both, TRUE);
  self->where = bl_label ("", "strong", 0);
  self->said = bl_label ("", NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->where), PANGO_ELLIPSIZE_END);
  gtk_label_set_wrap (GTK_LABEL (self->said), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (self->said), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_size_request (self->said, -1, 36);
  gtk_label_set_yalign (GTK_LABEL (self->said), 0);
  gtk_widget_add_css_class (foot, "path-said");
  gtk_box_append (GTK_BOX (foot), self->where);
  gtk_box_append (GTK_BOX (foot), self->said);
  gtk_box_append (GTK_BOX (self->box), self->both);
  gtk_box_append (GTK_BOX (self->box), foot);
  return GTK_WIDGET (self);
}
