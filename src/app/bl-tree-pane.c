/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree in full, with what belongs beside it: which tree, the search, the ways in which its top
 * comes about.
 *
 * It follows the likely stage until another is chosen. When readings change the odds only, the tree stays
 * where it is and what was unfolded stays so; the way to a new leading suspect is unfolded. The tree is built
 * anew when the board's document has changed. Ways are the minimal cut sets of one and two events. A few lines over
 * 600: the next thing added here belongs into a file of its own. */
#include "config.h"

#include "bl-tree-pane.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-style.h"
#include "bl-tree-draw.h"
#include "bl-tree-export.h"
#include "bl-tree-scene.h"

#define SIDE_W 236
#define MOST_WAYS 60

struct _BlTreePane
{
  GtkWidget parent_instance;

  BlBench *bench;
  BlTreeScene *scene;
  GtkWidget *box, *which, *search, *canvas, *ways, *priors, *note;
  GPtrArray *stages;  /* ids in the order of the list; the first is NULL, the whole board */
  gboolean open, chosen; /* chosen: not the likely stage but what the list says */
  gboolean filling;
  char *stage;
  char *sought;       /* what was looked for last, and which of the finds is shown */
  guint found;
};

G_DEFINE_FINAL_TYPE (BlTreePane, bl_tree_pane, GTK_TYPE_WIDGET)

enum
{
  COMPONENT_CHOSEN,
  STAGE_CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

static const BlNode *
node_at (BlTreePane *self, guint node)
{
  return g_ptr_array_index (self->scene->tree->nodes, node);
}

/* --- ways --- */

static GtkWidget *
way_row (const BlTreeWay *way)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *figures = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *words = bl_label (way->words, NULL, 0), *row = gtk_list_box_row_new ();
  g_autofree char *share = bl_chart_prior (MIN (way->share, 1)), *probability = bl_chart_prior (way->probability);
  g_autofree char *name = g_strdup_printf (_ ("%s; share %s, probability %s"), way->words, share, probability);

  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (words), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (words), 14);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), words);
  gtk_box_append (GTK_BOX (figures), bl_label (share, "row-odds", 1));
  gtk_box_append (GTK_BOX (figures), bl_label (probability, "muted small", 1));
  gtk_box_append (GTK_BOX (box), figures);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  return row;
}

static void
fill_ways (BlTreePane *self)
{
  const GPtrArray *ways = self->scene != NULL ? self->scene->ways : NULL;
  g_autofree char *note = NULL;

  bl_widget_clear (self->ways);
  for (guint i = 0; i < MIN (bl_len (ways), MOST_WAYS); i++)
    gtk_list_box_append (GTK_LIST_BOX (self->ways), way_row (bl_at (ways, i)));
  if (self->scene == NULL)
    note = g_strdup ("");
  else if (self->scene->stage == NULL)
    note = g_strdup (_ ("On the whole board any one fault is a way. Choose a stage to see what brings it down."));
  else if (self->scene->result == NULL)
    note = g_strdup (_ ("There are too many ways to list them."));
  else if (bl_len (ways) > MOST_WAYS)
    note = g_strdup_printf (_ ("The likeliest %u of %u, before any reading."), (guint) MOST_WAYS, bl_len (ways));
  else
    note = g_strdup (_ ("Alone or two together, before any reading. A press marks one."));
  gtk_label_set_label (GTK_LABEL (self->note), note);
}

static void
way_selected (GtkListBox *list, GtkListBoxRow *row, BlTreePane *self)
{
  const GArray *set = NULL;

  if (row != NULL && self->scene != NULL)
    {
      const BlTreeWay *way = bl_at (self->scene->ways, gtk_list_box_row_get_index (row));
      set = bl_at (self->scene->result->cut_sets, way->set);
    }
  bl_tree_canvas_mark (BL_TREE_CANVAS (self->canvas), set);
  if (set != NULL && set->len > 0)
    {
      const BlTreeChart *chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));
      bl_tree_canvas_show (BL_TREE_CANVAS (self->canvas), chart->item_of[g_array_index (set, guint, 0)]);
    }
}

/* --- which tree --- */

static const char *
wanted_stage (BlTreePane *self)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);

  if (self->chosen)
    return self->stage;
  return diagnosis != NULL ? diagnosis->likely_stage : NULL;
}

static void
select_in_list (BlTreePane *self)
{
  for (guint i = 0; i < self->stages->len; i++)
    if (g_strcmp0 (g_ptr_array_index (self->stages, i), self->stage) == 0)
      {
        self->filling = TRUE;
        gtk_drop_down_set_selected (GTK_DROP_DOWN (self->which), i);
        self->filling = FALSE;
      }
}

static void
fill_list (BlTreePane *self)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  g_ptr_array_set_size (self->stages, 0);
  g_ptr_array_add (self->stages, NULL);
  gtk_string_list_append (names, _ ("Whole board"));
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      g_ptr_array_add (self->stages, g_strdup (stage->id));
      gtk_string_list_append (names, stage->title != NULL ? stage->title : stage->id);
    }
  self->filling = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->which), G_LIST_MODEL (names));
  self->filling = FALSE;
}

static void
build (BlTreePane *self, const char *stage)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *kept = g_strdup (stage);
  BlTreeScene *scene = bl_tree_scene_new (self->bench, kept, &error);

  /* The chart of the old scene goes first. */
  bl_tree_canvas_set_chart (BL_TREE_CANVAS (self->canvas),
                            scene != NULL ? bl_tree_chart_new (scene->tree, scene->facts, scene->leading) : NULL,
                            error != NULL ? error->message : NULL);
  g_clear_pointer (&self->scene, bl_tree_scene_free);
  self->scene = scene;
  g_free (self->stage);
  self->stage = g_steal_pointer (&kept);
  fill_list (self);
  select_in_list (self);
  fill_ways (self);
}

static gboolean
is_same_tree (BlTreePane *self)
{
  g_autoptr (BlTree) now = bl_tree_scene_derive (bl_bench_get_board (self->bench), self->stage, NULL);
  g_autofree char *before = NULL, *after = NULL;

  if (now == NULL || self->scene == NULL)
    return FALSE;
  before = bl_tree_to_text (self->scene->tree);
  after = bl_tree_to_text (now);
  return strcmp (before, after) == 0;
}

/* New odds of the same tree. */
static void
show_odds (BlTreePane *self)
{
  BlTreeChart *chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));

  if (!self->open || self->scene == NULL || chart == NULL)
    return;
  bl_tree_scene_refresh (self->scene, self->bench);
  bl_tree_chart_update (chart, self->scene->facts, self->scene->leading);
  if (self->scene->leading >= 0 && chart->item_of[self->scene->leading] >= 0)
    bl_tree_chart_uncover (chart, (guint) chart->item_of[self->scene->leading]);
  bl_tree_canvas_update (BL_TREE_CANVAS (self->canvas));
}

static void
refresh (BlTreePane *self)
{
  if (!self->open || self->bench == NULL)
    return;
  if (self->scene == NULL || g_strcmp0 (self->scene->stage, wanted_stage (self)) != 0 || !is_same_tree (self))
    {
      build (self, wanted_stage (self));
      return;
    }
  show_odds (self);
}

static void
list_changed (BlTreePane *self)
{
  guint at = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->which));

  if (!self->filling && at < self->stages->len)
    bl_tree_pane_set_stage (self, g_ptr_array_index (self->stages, at));
}

void
bl_tree_pane_set_stage (BlTreePane *self, const char *stage)
{
  g_return_if_fail (BL_IS_TREE_PANE (self) && self->bench != NULL);
  self->chosen = TRUE;
  if (self->scene == NULL || g_strcmp0 (stage, self->stage) != 0)
    build (self, stage);
}

/* --- going to a place in it --- */

/* The likeliest event of the component, or its gate; -1: not in this tree. */
static int
node_of_component (BlTreePane *self, const char *component)
{
  int best = -1;

  for (guint i = 0; self->scene != NULL && i < self->scene->tree->nodes->len; i++)
    if (g_strcmp0 (node_at (self, i)->component, component) == 0
        && (best < 0 || self->scene->facts[i].odds > self->scene->facts[best].odds))
      best = (int) i;
  return best;
}

static int
node_of_stage (BlTreePane *self, const char *stage)
{
  int best = -1;

  for (guint i = 0; self->scene != NULL && i < self->scene->tree->nodes->len; i++)
    if (g_strcmp0 (node_at (self, i)->stage, stage) == 0
        && (best < 0 || i == self->scene->tree->top || self->scene->facts[i].odds > self->scene->facts[best].odds))
      best = (int) i;
  return best;
}

static gboolean
go (BlTreePane *self, int (*find) (BlTreePane *self, const char *id), const char *id)
{
  int node = find (self, id);

  if (node < 0 && self->bench != NULL && self->stage != NULL)
    {
      bl_tree_pane_set_stage (self, NULL);
      node = find (self, id);
    }
  if (node < 0)
    return FALSE;
  const BlTreeChart *chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));
  bl_tree_canvas_show (BL_TREE_CANVAS (self->canvas), chart->item_of[node]);
  return TRUE;
}

gboolean
bl_tree_pane_show_component (BlTreePane *self, const char *component)
{
  g_return_val_if_fail (BL_IS_TREE_PANE (self) && component != NULL, FALSE);
  return go (self, node_of_component, component);
}

gboolean
bl_tree_pane_show_stage (BlTreePane *self, const char *stage)
{
  g_return_val_if_fail (BL_IS_TREE_PANE (self) && stage != NULL, FALSE);
  return go (self, node_of_stage, stage);
}

static void
chosen (BlTreePane *self, guint node)
{
  const BlNode *taken = node_at (self, node);

  if (taken->component != NULL && !g_str_has_suffix (taken->component, "/other"))
    g_signal_emit (self, signals[COMPONENT_CHOSEN], 0, taken->component);
  else if (taken->component != NULL)
    {
      g_autofree char *stage = g_strndup (taken->component, strlen (taken->component) - strlen ("/other"));
      g_signal_emit (self, signals[STAGE_CHOSEN], 0, stage);
    }
  else if (taken->stage != NULL)
    g_signal_emit (self, signals[STAGE_CHOSEN], 0, taken->stage);
}

/* --- the search --- */

/* Enter goes to the next find; what this tree does not have is looked for in that of the whole board. */
static void
searched (BlTreePane *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->search));
  const BlTreeChart *chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));

  if (chart == NULL || *text == '\0')
    return;
  g_autoptr (GArray) found = bl_tree_chart_find (chart, text);
  if (found->len == 0 && self->stage != NULL)
    {
      bl_tree_pane_set_stage (self, NULL);
      chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));
      g_array_unref (found);
      found = chart != NULL ? bl_tree_chart_find (chart, text) : g_array_new (FALSE, FALSE, sizeof (guint));
    }
  if (found->len == 0)
    gtk_widget_add_css_class (self->search, "error");
  else
    gtk_widget_remove_css_class (self->search, "error");
  self->found = g_strcmp0 (self->sought, text) == 0 ? self->found + 1 : 0;
  g_free (self->sought);
  self->sought = g_strdup (text);
  if (found->len == 0)
    return;
  guint item = g_array_index (found, guint, self->found % found->len);
  bl_tree_canvas_show (BL_TREE_CANVAS (self->canvas), (int) item);
  chosen (self, bl_chart_item (chart, item)->node);
}

void
bl_tree_pane_find (BlTreePane *self)
{
  g_return_if_fail (BL_IS_TREE_PANE (self));
  gtk_widget_grab_focus (self->search);
}

gboolean
bl_tree_pane_has_focus (BlTreePane *self)
{
  g_return_val_if_fail (BL_IS_TREE_PANE (self), FALSE);
  return gtk_widget_get_focus_child (self->canvas) != NULL;
}

BlTreeCanvas *
bl_tree_pane_get_canvas (BlTreePane *self)
{
  g_return_val_if_fail (BL_IS_TREE_PANE (self), NULL);
  return BL_TREE_CANVAS (self->canvas);
}

/* --- buttons --- */

static void
priors_toggled (GtkToggleButton *button, BlTreePane *self)
{
  bl_tree_canvas_set_priors (BL_TREE_CANVAS (self->canvas), gtk_toggle_button_get_active (button));
}

static void
fold (BlTreePane *self, gboolean unfold)
{
  BlTreeChart *chart = bl_tree_canvas_get_chart (BL_TREE_CANVAS (self->canvas));

  if (chart == NULL)
    return;
  if (unfold)
    bl_tree_chart_unfold (chart);
  else
    bl_tree_chart_fold (chart);
  bl_tree_canvas_update (BL_TREE_CANVAS (self->canvas));
  if (unfold)
    bl_tree_canvas_fit (BL_TREE_CANVAS (self->canvas));
  else
    bl_tree_canvas_begin (BL_TREE_CANVAS (self->canvas));
}

static void
unfold_pressed (BlTreePane *self)
{
  fold (self, TRUE);
}

static void
fold_pressed (BlTreePane *self)
{
  fold (self, FALSE);
}

static void
export_pressed (BlTreePane *self)
{
  if (self->scene != NULL)
    bl_tree_export_run (GTK_WIDGET (self), self->bench, self->scene,
                        gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->priors)));
}

/* --- object --- */

static GtkWidget *
button (BlTreePane *self, GtkWidget *head, const char *label, const char *tip, GCallback pressed)
{
  GtkWidget *made = gtk_button_new_with_label (label);

  gtk_widget_add_css_class (made, "plain");
  gtk_widget_set_valign (made, GTK_ALIGN_CENTER);
  gtk_widget_set_tooltip_text (made, tip);
  gtk_widget_set_focus_on_click (made, FALSE);
  g_signal_connect_swapped (made, "clicked", pressed, self);
  gtk_box_append (GTK_BOX (head), made);
  return made;
}

/* Names of stages are long: they give way in the head and are whole in the list. */
static void
name_set_up (GtkListItemFactory *factory, GtkListItem *item)
{
  GtkWidget *label = bl_label ("", NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_width_chars (GTK_LABEL (label), 12);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 40);
  gtk_list_item_set_child (item, label);
}

static void
name_bind (GtkListItemFactory *factory, GtkListItem *item)
{
  GtkStringObject *name = gtk_list_item_get_item (item);

  gtk_label_set_label (GTK_LABEL (gtk_list_item_get_child (item)), gtk_string_object_get_string (name));
}

static GtkWidget *
head_row (BlTreePane *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *hint;

  gtk_box_append (GTK_BOX (head), bl_label (_ ("Fault tree"), "heading", 0));
  gtk_box_append (GTK_BOX (head), bl_key_cap ("F6"));
  self->which = gtk_drop_down_new (NULL, NULL);
  g_autoptr (GtkListItemFactory) factory = gtk_signal_list_item_factory_new ();
  g_signal_connect (factory, "setup", G_CALLBACK (name_set_up), NULL);
  g_signal_connect (factory, "bind", G_CALLBACK (name_bind), NULL);
  gtk_drop_down_set_factory (GTK_DROP_DOWN (self->which), factory);
  gtk_widget_set_valign (self->which, GTK_ALIGN_CENTER);
  bl_widget_name (self->which, _ ("Fault tree of"));
  g_signal_connect_swapped (self->which, "notify::selected", G_CALLBACK (list_changed), self);
  gtk_box_append (GTK_BOX (head), self->which);
  self->search = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->search), _ ("find a part or stage"));
  gtk_editable_set_width_chars (GTK_EDITABLE (self->search), 8);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->search), 16);
  bl_widget_name (self->search, _ ("Find in the tree"));
  g_signal_connect_swapped (self->search, "activate", G_CALLBACK (searched), self);
  gtk_box_append (GTK_BOX (head), self->search);
  gtk_box_append (GTK_BOX (head), bl_key_cap ("Alt F"));
  hint = bl_label (_ ("Arrows step along, Space folds, Enter shows on the photo, Z fits"), "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (hint), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (hint, TRUE);
  gtk_box_append (GTK_BOX (head), hint);
  button (self, head, _ ("Unfold all"), _ ("Everything, as large as it fits (*)"), G_CALLBACK (unfold_pressed));
  button (self, head, _ ("Fold"), _ ("All but the way to the leading suspect (Backspace)"), G_CALLBACK (fold_pressed));
  self->priors = gtk_toggle_button_new_with_label (_ ("Before"));
  gtk_widget_add_css_class (self->priors, "segment");
  gtk_widget_set_valign (self->priors, GTK_ALIGN_CENTER);
  gtk_widget_set_tooltip_text (self->priors, _ ("Beside the odds, what they were before any reading"));
  gtk_widget_set_focus_on_click (self->priors, FALSE);
  g_signal_connect (self->priors, "toggled", G_CALLBACK (priors_toggled), self);
  gtk_box_append (GTK_BOX (head), self->priors);
  button (self, head, _ ("Print …"), _ ("Write this tree as PDF or SVG"), G_CALLBACK (export_pressed));
  return head;
}

static GtkWidget *
side (BlTreePane *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *scrolled = gtk_scrolled_window_new ();

  gtk_box_append (GTK_BOX (box), bl_label (_ ("How it comes about"), "heading", 0));
  self->note = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->note), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->note), 30);
  gtk_box_append (GTK_BOX (box), self->note);
  self->ways = gtk_list_box_new ();
  bl_widget_name (self->ways, _ ("How it comes about"));
  gtk_widget_add_css_class (self->ways, "tree-ways");
  g_signal_connect (self->ways, "row-selected", G_CALLBACK (way_selected), self);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->ways);
  gtk_widget_set_vexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (box), scrolled);
  gtk_box_append (GTK_BOX (box), bl_tree_plan_new (BL_TREE_CANVAS (self->canvas)));
  gtk_widget_set_size_request (box, SIDE_W, -1);
  gtk_widget_set_hexpand (box, FALSE);
  return box;
}

static void
bl_tree_pane_dispose (GObject *object)
{
  BlTreePane *self = BL_TREE_PANE (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  /* The chart holds on to the scene's tree. */
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->scene, bl_tree_scene_free);
  g_clear_pointer (&self->stages, g_ptr_array_unref);
  g_clear_pointer (&self->stage, g_free);
  g_clear_pointer (&self->sought, g_free);
  G_OBJECT_CLASS (bl_tree_pane_parent_class)->dispose (object);
}

static void
bl_tree_pane_class_init (BlTreePaneClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_tree_pane_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  signals[COMPONENT_CHOSEN] = g_signal_new ("component-chosen", BL_TYPE_TREE_PANE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                            NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[STAGE_CHOSEN] = g_signal_new ("stage-chosen", BL_TYPE_TREE_PANE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                        G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
bl_tree_pane_init (BlTreePane *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  self->stages = g_ptr_array_new_with_free_func (g_free);
  gtk_widget_add_css_class (GTK_WIDGET (self), "tree-pane");
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_box_append (GTK_BOX (self->box), head_row (self));
  self->canvas = bl_tree_canvas_new ();
  gtk_widget_set_hexpand (self->canvas, TRUE);
  gtk_widget_set_vexpand (self->canvas, TRUE);
  g_signal_connect_swapped (self->canvas, "chosen", G_CALLBACK (chosen), self);
  gtk_box_append (GTK_BOX (row), self->canvas);
  gtk_box_append (GTK_BOX (row), side (self));
  gtk_box_append (GTK_BOX (self->box), row);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  bl_widget_name (GTK_WIDGET (self), _ ("Fault tree in full"));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
bl_tree_pane_new (void)
{
  return g_object_new (BL_TYPE_TREE_PANE, NULL);
}

void
bl_tree_pane_set_bench (BlTreePane *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_TREE_PANE (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  bl_tree_canvas_set_chart (BL_TREE_CANVAS (self->canvas), NULL, NULL);
  g_clear_pointer (&self->scene, bl_tree_scene_free);
  self->chosen = FALSE;
  if (bench != NULL)
    {
      g_signal_connect_object (bench, "diagnosed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (bench, "unions", G_CALLBACK (show_odds), self, G_CONNECT_SWAPPED);
    }
  refresh (self);
}

void
bl_tree_pane_set_open (BlTreePane *self, gboolean open)
{
  g_return_if_fail (BL_IS_TREE_PANE (self));
  self->open = open;
  gtk_widget_set_visible (GTK_WIDGET (self), open);
  refresh (self);
}

gboolean
bl_tree_pane_is_open (BlTreePane *self)
{
  g_return_val_if_fail (BL_IS_TREE_PANE (self), FALSE);
  return self->open;
}
