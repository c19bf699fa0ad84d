/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the comparison is made of: head, photo of either edition, the two lists, the keys. All of it is there from the
 * beginning; what it says is written elsewhere. */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

/* --- Pressed ---------------------------------------------------------------------------------- */

static void
press_key (GtkButton *button, BlCompareView *self)
{
  guint keyval = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "keyval"));
  GdkModifierType state = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "state"));

  bl_compare_view_key (self, keyval, state);
}

/* A button that does what a key does. */
static GtkWidget *
key_button (BlCompareView *self, GtkWidget *button, const char *css, const char *words, const char *cap, guint keyval,
            GdkModifierType state)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *label = bl_label (words, NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), bl_key_cap (cap));
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, css);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, words);
  g_object_set_data (G_OBJECT (button), "label", label);
  g_object_set_data (G_OBJECT (button), "keyval", GUINT_TO_POINTER (keyval));
  g_object_set_data (G_OBJECT (button), "state", GUINT_TO_POINTER (state));
  g_signal_connect (button, "clicked", G_CALLBACK (press_key), self);
  return button;
}

static void
whose_pressed (GtkButton *button, BlCompareView *self)
{
  bl_compare_photo_show (self, GTK_WIDGET (button) == self->whose[1], NULL);
}

static void
tab_pressed (GtkButton *button, BlCompareView *self)
{
  bl_compare_view_key (self, GTK_WIDGET (button) == self->tabs[0] ? GDK_KEY_1 : GDK_KEY_2, GDK_ALT_MASK);
}

static void
row_selected (GtkListBox *list, GtkListBoxRow *row, BlCompareView *self)
{
  if (!self->filling && row != NULL)
    bl_compare_select (self, g_object_get_data (G_OBJECT (row), "key"));
}

/* A second press, or Enter: as near as it helps. */
static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlCompareView *self)
{
  bl_compare_photo_reveal (self, g_object_get_data (G_OBJECT (row), "key"), TRUE);
}

static void
filter_changed (BlCompareView *self)
{
  bl_compare_queue_refresh (self);
}

static void
other_chosen (BlCompareView *self)
{
  guint at = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->other));

  if (!self->filling && at != GTK_INVALID_LIST_POSITION && at > 0 && at <= self->others->len)
    bl_compare_view_set_other (self, g_array_index (self->others, gint64, at - 1));
}

/* --- Made ------------------------------------------------------------------------------------- */

static GtkWidget *
make_head (BlCompareView *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *gap = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_add_css_class (head, "editor-head");
  gtk_box_append (GTK_BOX (head),
                  key_button (self, gtk_button_new (), "act", _ ("‹ back"), _ ("Esc"), GDK_KEY_Escape, 0));
  self->title = bl_label ("", "title-line", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->title), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (head), self->title);
  gtk_box_append (GTK_BOX (head), bl_label (_ ("beside"), "muted", 0));
  self->other = gtk_drop_down_new_from_strings ((const char *const[]){ "", NULL });
  gtk_widget_set_valign (self->other, GTK_ALIGN_CENTER);
  bl_widget_name (self->other, _ ("The edition it is compared with"));
  g_signal_connect_swapped (self->other, "notify::selected", G_CALLBACK (other_chosen), self);
  gtk_box_append (GTK_BOX (head), self->other);
  gtk_widget_set_hexpand (gap, TRUE);
  gtk_box_append (GTK_BOX (head), gap);
  self->undo = key_button (self, gtk_button_new (), "act", _ ("undo"), _ ("Ctrl Z"), GDK_KEY_z, GDK_CONTROL_MASK);
  gtk_box_append (GTK_BOX (head), self->undo);
  self->copy_text = key_button (self, gtk_button_new (), "act", _ ("copy as text"), _ ("Ctrl C"), GDK_KEY_c,
                                GDK_CONTROL_MASK);
  gtk_box_append (GTK_BOX (head), self->copy_text);
  gtk_box_append (GTK_BOX (head),
                  key_button (self, gtk_button_new (), "plain", _ ("Edit"), _ ("E"), GDK_KEY_e, 0));
  return head;
}

static GtkWidget *
make_left (BlCompareView *self)
{
  GtkWidget *left = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *strip = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *gap = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0), *both = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_box_append (GTK_BOX (strip), self->segments);
  gtk_widget_set_hexpand (gap, TRUE);
  gtk_box_append (GTK_BOX (strip), gap);
  for (guint i = 0; i < 2; i++)
    {
      self->whose[i] = gtk_toggle_button_new_with_label ("");
      gtk_widget_add_css_class (self->whose[i], "segment");
      gtk_widget_set_focus_on_click (self->whose[i], FALSE);
      g_signal_connect (self->whose[i], "clicked", G_CALLBACK (whose_pressed), self);
      gtk_box_append (GTK_BOX (both), self->whose[i]);
    }
  gtk_box_append (GTK_BOX (strip), both);
  gtk_box_append (GTK_BOX (strip), bl_key_cap ("X"));
  gtk_box_append (GTK_BOX (left), strip);
  self->photo = bl_photo_view_new ();
  gtk_widget_set_hexpand (self->photo, TRUE);
  gtk_widget_set_vexpand (self->photo, TRUE);
  gtk_box_append (GTK_BOX (left), self->photo);
  gtk_widget_set_hexpand (left, TRUE);
  return left;
}

static GtkWidget *
make_list (BlCompareView *self, GtkWidget **scroll, const char *name)
{
  GtkWidget *list = gtk_list_box_new ();

  gtk_list_box_set_selection_mode (GTK_LIST_BOX (list), GTK_SELECTION_BROWSE);
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (list), FALSE);
  gtk_widget_add_css_class (list, "compare-list");
  bl_widget_name (list, name);
  g_signal_connect (list, "row-selected", G_CALLBACK (row_selected), self);
  g_signal_connect (list, "row-activated", G_CALLBACK (row_activated), self);
  *scroll = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (*scroll), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (*scroll), list);
  gtk_widget_set_vexpand (*scroll, TRUE);
  return list;
}

static GtkWidget *
make_kind (BlCompareView *self, BlDifferenceMark mark)
{
  GtkWidget *button = gtk_toggle_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *label = bl_label ("", NULL, 0);

  gtk_box_append (GTK_BOX (box), bl_difference_icon_new (mark));
  gtk_box_append (GTK_BOX (box), label);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "segment");
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  gtk_widget_set_focus_on_click (button, FALSE);
  g_object_set_data (G_OBJECT (button), "label", label);
  g_signal_connect_swapped (button, "toggled", G_CALLBACK (filter_changed), self);
  return button;
}

/* Whose value stands in which column; as wide as in the rows. */
static GtkWidget *
make_columns (BlCompareView *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *values = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *words = bl_label ("", NULL, 0);

  gtk_widget_set_size_request (words, BL_COMPARE_WORDS_WIDTH, -1);
  gtk_box_append (GTK_BOX (line), words);
  gtk_box_set_homogeneous (GTK_BOX (values), TRUE);
  gtk_widget_set_hexpand (values, TRUE);
  for (guint i = 0; i < 2; i++)
    {
      self->columns[i] = bl_label ("", "strong", 0);
      gtk_widget_set_hexpand (self->columns[i], TRUE);
      gtk_box_append (GTK_BOX (values), self->columns[i]);
    }
  gtk_box_append (GTK_BOX (line), values);
  gtk_widget_add_css_class (line, "compare-columns");
  return line;
}

static GtkWidget *
make_differences (BlCompareView *self)
{
  GtkWidget *page = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *kinds = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->filter = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->search = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->search), _ ("name, field, value"));
  gtk_widget_set_hexpand (self->search, TRUE);
  bl_widget_name (self->search, _ ("Search what differs"));
  g_signal_connect_swapped (self->search, "changed", G_CALLBACK (filter_changed), self);
  gtk_box_append (GTK_BOX (self->filter), self->search);
  for (guint m = 0; m < BL_N_MARKS; m++)
    {
      self->kinds[m] = make_kind (self, m);
      gtk_box_append (GTK_BOX (kinds), self->kinds[m]);
    }
  gtk_widget_set_valign (kinds, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (self->filter), kinds);
  gtk_box_append (GTK_BOX (page), self->filter);
  self->remark = bl_label ("", "remark", 0);
  gtk_label_set_wrap (GTK_LABEL (self->remark), TRUE);
  gtk_box_append (GTK_BOX (page), self->remark);
  gtk_box_append (GTK_BOX (page), make_columns (self));
  self->list = make_list (self, &self->list_scroll, _ ("What differs"));
  gtk_box_append (GTK_BOX (page), self->list_scroll);
  return page;
}

static GtkWidget *
make_look (BlCompareView *self)
{
  GtkWidget *page = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);

  self->look_words = bl_label ("", "remark", 0);
  gtk_label_set_wrap (GTK_LABEL (self->look_words), TRUE);
  gtk_box_append (GTK_BOX (page), self->look_words);
  self->look_rest = bl_label ("", "strong", 0);
  gtk_box_append (GTK_BOX (page), self->look_rest);
  self->look = make_list (self, &self->look_scroll, _ ("To look at on a board"));
  gtk_box_append (GTK_BOX (page), self->look_scroll);
  return page;
}

static GtkWidget *
make_right (BlCompareView *self)
{
  static const char *const words[] = { N_ ("What differs"), N_ ("To look at on a board") };
  GtkWidget *right = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *tabs = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  for (guint i = 0; i < 2; i++)
    {
      self->tabs[i] = gtk_toggle_button_new_with_label (_ (words[i]));
      gtk_widget_add_css_class (self->tabs[i], "segment");
      gtk_widget_set_focus_on_click (self->tabs[i], FALSE);
      g_signal_connect (self->tabs[i], "clicked", G_CALLBACK (tab_pressed), self);
      gtk_box_append (GTK_BOX (tabs), self->tabs[i]);
    }
  gtk_box_append (GTK_BOX (right), tabs);
  self->stack = gtk_stack_new ();
  gtk_stack_add_named (GTK_STACK (self->stack), make_differences (self), "differences");
  gtk_stack_add_named (GTK_STACK (self->stack), make_look (self), "look");
  gtk_box_append (GTK_BOX (right), self->stack);
  gtk_widget_set_hexpand (right, FALSE);
  return right;
}

/* The lists from LIST_MIN to LIST_MAX px, the photo takes the rest. */
#define LIST_MIN 636
#define LIST_MAX 800
#define BETWEEN 16

static void
measure_body (GtkWidget *body, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  int least[2], wanted[2];
  GtkWidget *children[2] = { gtk_widget_get_first_child (body), gtk_widget_get_last_child (body) };

  for (guint i = 0; i < 2; i++)
    gtk_widget_measure (children[i], orientation, -1, &least[i], &wanted[i], NULL, NULL);
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = least[0] + BETWEEN + least[1];
      *natural = MAX (*minimum, 2 * LIST_MIN + BETWEEN);
    }
  else
    {
      *minimum = MAX (least[0], least[1]);
      *natural = MAX (*minimum, MAX (wanted[0], wanted[1]));
    }
}

static void
allocate_body (GtkWidget *body, int width, int height, int baseline)
{
  GtkWidget *left = gtk_widget_get_first_child (body), *right = gtk_widget_get_last_child (body);
  int least, left_least, list;

  gtk_widget_measure (right, GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL, NULL, NULL);
  gtk_widget_measure (left, GTK_ORIENTATION_HORIZONTAL, -1, &left_least, NULL, NULL, NULL);
  list = MAX (least, MIN (CLAMP (width * 45 / 100, LIST_MIN, LIST_MAX), width - BETWEEN - left_least));
  gtk_widget_size_allocate (left, &(GtkAllocation){ 0, 0, width - BETWEEN - list, height }, -1);
  gtk_widget_size_allocate (right, &(GtkAllocation){ width - list, 0, list, height }, -1);
}

GtkWidget *
bl_compare_build (BlCompareView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_box_append (GTK_BOX (box), make_head (self));
  gtk_widget_add_css_class (body, "editor-body");
  gtk_widget_set_vexpand (body, TRUE);
  gtk_widget_set_layout_manager (body, gtk_custom_layout_new (NULL, measure_body, allocate_body));
  gtk_box_append (GTK_BOX (body), make_left (self));
  gtk_box_append (GTK_BOX (body), make_right (self));
  gtk_box_append (GTK_BOX (box), body);
  self->keys = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 18);
  gtk_widget_add_css_class (self->keys, "key-strip");
  gtk_widget_set_overflow (self->keys, GTK_OVERFLOW_HIDDEN);
  gtk_box_append (GTK_BOX (box), self->keys);
  return box;
}
