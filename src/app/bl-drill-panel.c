/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel of a drill. Three columns: what is shown and how to go about it; the list to name a part from; what is named,
 * and the two acts that need it: to test the part by itself, and to end the drill. The order of working is always in
 * sight, since keeping to one is what is practised. It holds no state of the drill: whoever made it does. */
#include "config.h"

#include "bl-drill-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-drill-naming.h"
#include "bl-style.h"

struct _BlDrillPanel
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *box, *naming, *named, *wanted, *end, *test, *cautions, *cautions_said;
};

enum
{
  CONCLUDE,
  TEST_PART,
  CAUTIONS,
  LEAVE,
  BACK,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlDrillPanel, bl_drill_panel, GTK_TYPE_WIDGET)

static void
emit (BlDrillPanel *self, guint which)
{
  g_signal_emit (self, signals[which], 0);
}

static void
conclude (BlDrillPanel *self)
{
  emit (self, CONCLUDE);
}

static void
test_part (BlDrillPanel *self)
{
  const char *component = bl_drill_panel_get_component (self);

  if (component != NULL)
    g_signal_emit (self, signals[TEST_PART], 0, component);
  else
    bl_drill_panel_name (self);
}

static void
read_cautions (BlDrillPanel *self)
{
  emit (self, CAUTIONS);
}

static void
leave (BlDrillPanel *self)
{
  emit (self, LEAVE);
}

static void
show_named (BlDrillPanel *self)
{
  const char *stage = bl_drill_panel_get_stage (self), *component = bl_drill_panel_get_component (self);
  g_autofree char *words = bl_named_words (bl_bench_get_board (self->bench), stage, component);
  g_autofree char *name = NULL;

  gtk_label_set_label (GTK_LABEL (self->named), words != NULL ? words : _ ("Nothing named yet."));
  gtk_label_set_label (GTK_LABEL (self->wanted), words == NULL       ? _ ("Choose in the list what failed, then end or test.")
                                                 : component == NULL ? _ ("A stage alone cannot be tested: choose its part.")
                                                                     : "");
  gtk_widget_set_visible (self->wanted, component == NULL);
  gtk_widget_set_sensitive (self->end, words != NULL);
  gtk_widget_set_visible (self->test, component != NULL); /* in its place stands what is wanted first */
  name = words != NULL ? g_strdup_printf (_ ("Named: %s"), words) : g_strdup (_ ("Nothing named yet."));
  bl_widget_name (self->named, name);
}

static void
taken (BlDrillPanel *self)
{
  gtk_widget_grab_focus (self->end);
}

/* --- building --- */

static GtkWidget *
wrapped (const char *words, const char *classes)
{
  GtkWidget *label = bl_label (words, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 12);
  return label;
}

static GtkWidget *
heading (const char *words, const char *cap)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (head), bl_label (words, "heading", 0));
  if (cap != NULL)
    gtk_box_append (GTK_BOX (head), bl_key_cap (cap));
  return head;
}

static GtkWidget *
column (GtkWidget *head)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);

  gtk_box_append (GTK_BOX (box), head);
  gtk_widget_set_hexpand (box, TRUE);
  return box;
}

static GtkWidget *
act (BlDrillPanel *self, const char *css, const char *words, const char *cap, GCallback pressed)
{
  GtkWidget *button = bl_act_button (css, words, cap, FALSE);

  gtk_widget_set_halign (button, GTK_ALIGN_START);
  g_signal_connect_swapped (button, "clicked", pressed, self);
  return button;
}

static GtkWidget *
cautions_line (BlDrillPanel *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->cautions = act (self, "act", _ ("Read the cautions"), _ ("Alt C"), G_CALLBACK (read_cautions));
  self->cautions_said = bl_label ("", "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->cautions_said), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (line), self->cautions);
  gtk_box_append (GTK_BOX (line), self->cautions_said);
  return line;
}

static GtkWidget *
shown_column (BlDrillPanel *self, const char *shown, const char *about)
{
  GtkWidget *box = column (heading (_ ("What is shown"), NULL));
  /* Translators: the blanks within each of the five do not break */
  GtkWidget *way = wrapped (_ ("1 what is shown · 2 what could cause it · 3 what would tell · "
                               "4 measure · 5 conclude"),
                            "small");

  gtk_box_append (GTK_BOX (box), wrapped (shown, "drill-shown"));
  gtk_box_append (GTK_BOX (box), wrapped (about, "muted small"));
  gtk_box_append (GTK_BOX (box), cautions_line (self));
  gtk_widget_set_vexpand (way, TRUE);
  gtk_widget_set_valign (way, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (box), way);
  return box;
}

static GtkWidget *
naming_column (BlDrillPanel *self)
{
  self->naming = bl_drill_naming_new (heading (_ ("What failed?"), _ ("Ctrl F")));
  bl_drill_naming_set_board (BL_DRILL_NAMING (self->naming), bl_bench_get_board (self->bench), FALSE);
  g_signal_connect_swapped (self->naming, "chosen", G_CALLBACK (show_named), self);
  g_signal_connect_swapped (self->naming, "taken", G_CALLBACK (taken), self);
  gtk_widget_set_hexpand (self->naming, TRUE);
  return self->naming;
}

/* Four lines under the head at most: the lower part of the bench is no higher. */
static GtkWidget *
act_column (BlDrillPanel *self, const char *part_words)
{
  GtkWidget *head = heading (_ ("Named"), NULL), *box = column (head);
  GtkWidget *away = act (self, "act", _ ("Go on another time"), _ ("Alt Q"), G_CALLBACK (leave));

  gtk_widget_set_hexpand (away, TRUE);
  gtk_widget_set_halign (away, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (head), away);
  self->named = wrapped ("", "drill-named");
  self->end = act (self, "firm", _ ("That failed: end the drill"), _ ("Enter"), G_CALLBACK (conclude));
  gtk_widget_set_focus_on_click (self->end, TRUE);
  self->test = act (self, "plain", part_words, "F7", G_CALLBACK (test_part));
  gtk_label_set_lines (GTK_LABEL (self->named), 2);
  gtk_label_set_ellipsize (GTK_LABEL (self->named), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (box), self->named);
  gtk_box_append (GTK_BOX (box), self->end);
  self->wanted = wrapped ("", "muted small");
  gtk_box_append (GTK_BOX (box), self->wanted);
  gtk_box_append (GTK_BOX (box), self->test);
  return box;
}

static void
bl_drill_panel_dispose (GObject *object)
{
  BlDrillPanel *self = BL_DRILL_PANEL (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (bl_drill_panel_parent_class)->dispose (object);
}

static void
bl_drill_panel_class_init (BlDrillPanelClass *klass)
{
  static const char *const names[] = { "conclude", "test-part", "cautions", "leave", "back" };

  G_OBJECT_CLASS (klass)->dispose = bl_drill_panel_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  for (guint i = 0; i < N_SIGNALS; i++)
    signals[i] = i == TEST_PART
                   ? g_signal_new (names[i], BL_TYPE_DRILL_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                   G_TYPE_STRING)
                   : g_signal_new (names[i], BL_TYPE_DRILL_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_drill_panel_init (BlDrillPanel *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24);
  gtk_box_set_homogeneous (GTK_BOX (self->box), TRUE);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
}

GtkWidget *
bl_drill_panel_new (BlBench *bench, const char *shown, const char *about, const char *part_words)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && shown != NULL && about != NULL && part_words != NULL, NULL);
  BlDrillPanel *self = g_object_new (BL_TYPE_DRILL_PANEL, NULL);

  self->bench = g_object_ref (bench);
  gtk_box_append (GTK_BOX (self->box), shown_column (self, shown, about));
  gtk_box_append (GTK_BOX (self->box), naming_column (self));
  gtk_box_append (GTK_BOX (self->box), act_column (self, part_words));
  show_named (self);
  bl_drill_panel_set_cautions_read (self, FALSE);
  return GTK_WIDGET (self);
}

/* --- use --- */

void
bl_drill_panel_set_cautions_read (BlDrillPanel *self, gboolean read)
{
  g_return_if_fail (BL_IS_DRILL_PANEL (self));
  gtk_label_set_label (GTK_LABEL (self->cautions_said), read ? _ ("read in this drill") : _ ("before it is live"));
}

void
bl_drill_panel_name (BlDrillPanel *self)
{
  g_return_if_fail (BL_IS_DRILL_PANEL (self));
  bl_drill_naming_focus (BL_DRILL_NAMING (self->naming));
}

const char *
bl_drill_panel_get_stage (BlDrillPanel *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PANEL (self), NULL);
  return bl_drill_naming_get_stage (BL_DRILL_NAMING (self->naming));
}

const char *
bl_drill_panel_get_component (BlDrillPanel *self)
{
  g_return_val_if_fail (BL_IS_DRILL_PANEL (self), NULL);
  return bl_drill_naming_get_component (BL_DRILL_NAMING (self->naming));
}

gboolean
bl_drill_panel_key (BlDrillPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_DRILL_PANEL (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);
  guint lower = gdk_keyval_to_lower (keyval);

  if (modifiers == GDK_ALT_MASK && lower == GDK_KEY_c)
    read_cautions (self);
  else if (modifiers == GDK_ALT_MASK && lower == GDK_KEY_q)
    leave (self);
  else if (focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (self)))
    return FALSE;
  else if (keyval == GDK_KEY_Escape)
    emit (self, BACK);
  else
    return bl_drill_naming_key (BL_DRILL_NAMING (self->naming), keyval, state);
  return TRUE;
}
