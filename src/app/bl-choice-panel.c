/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A panel of choices. One widget serves everything that is chosen on the bench, so that it is learnt
 * once: a digit or letter takes a row, arrows and Enter too, Esc closes. It is a plain child of the
 * page: nothing is blocked while it is open. Up to some twenty rows. */
#include "config.h"

#include "bl-choice-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

/* Keys of rows in order; letters with a meaning of their own (d, g, n, o, r, b, y) are left out. */
static const char row_keys[] = "123456789acefhijklmpqstuvwx";

struct _BlChoicePanel
{
  GtkWidget parent_instance;

  GtkWidget *box, *title, *hint, *scrolled, *list, *entry, *picture;
  char *tag;
  GPtrArray *ids;  /* of the rows */
  GArray *keys;    /* gunichar of the rows */
  gsize next_key;  /* in row_keys */
  gboolean offer;
};

enum
{
  CHOSEN,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlChoicePanel, bl_choice_panel, GTK_TYPE_WIDGET)

static void
choose (BlChoicePanel *self, const char *id)
{
  g_autofree char *tag = g_strdup (self->tag);
  g_autofree char *kept = g_strdup (id);

  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CHOSEN], 0, tag, kept);
}

static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlChoicePanel *self)
{
  guint index = (guint) gtk_list_box_row_get_index (row);

  if (index < self->ids->len)
    choose (self, g_ptr_array_index (self->ids, index));
}

static void
entry_activated (BlChoicePanel *self)
{
  g_autofree char *text = g_strdup_printf ("=%s", gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  choose (self, text);
}

static void
bl_choice_panel_dispose (GObject *object)
{
  g_clear_pointer (&BL_CHOICE_PANEL (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_choice_panel_parent_class)->dispose (object);
}

static void
bl_choice_panel_finalize (GObject *object)
{
  BlChoicePanel *self = BL_CHOICE_PANEL (object);

  g_free (self->tag);
  g_ptr_array_unref (self->ids);
  g_array_unref (self->keys);
  G_OBJECT_CLASS (bl_choice_panel_parent_class)->finalize (object);
}

static void
bl_choice_panel_class_init (BlChoicePanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_choice_panel_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_choice_panel_finalize;
  signals[CHOSEN] = g_signal_new ("chosen", BL_TYPE_CHOICE_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                  G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_STRING);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_CHOICE_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                  G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_choice_panel_init (BlChoicePanel *self)
{
  self->ids = g_ptr_array_new_with_free_func (g_free);
  self->keys = g_array_new (FALSE, FALSE, sizeof (gunichar));
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->title = bl_label ("", "choice-title", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->title), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (self->box), self->title);
  self->hint = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->hint), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->hint), 40);
  gtk_box_append (GTK_BOX (self->box), self->hint);
  self->entry = gtk_entry_new ();
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (entry_activated), self);
  gtk_box_append (GTK_BOX (self->box), self->entry);
  self->list = gtk_list_box_new ();
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->list), TRUE);
  g_signal_connect (self->list, "row-activated", G_CALLBACK (row_activated), self);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (self->scrolled), TRUE);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->list);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  gtk_widget_set_size_request (GTK_WIDGET (self), 420, -1);
}

GtkWidget *
bl_choice_panel_new (void)
{
  return g_object_new (BL_TYPE_CHOICE_PANEL, NULL);
}

void
bl_choice_panel_begin (BlChoicePanel *self, const char *tag, const char *title, const char *hint)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  g_free (self->tag);
  self->tag = g_strdup (tag);
  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->hint), hint != NULL ? hint : "");
  gtk_widget_set_visible (self->hint, hint != NULL);
  gtk_widget_set_visible (self->entry, FALSE);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  bl_choice_panel_set_picture (self, NULL);
  bl_widget_clear (self->list);
  g_ptr_array_set_size (self->ids, 0);
  g_array_set_size (self->keys, 0);
  self->next_key = 0;
  self->offer = FALSE;
  bl_widget_name (GTK_WIDGET (self), title);
}

void
bl_choice_panel_set_picture (BlChoicePanel *self, GtkWidget *picture)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  if (self->picture != NULL)
    gtk_box_remove (GTK_BOX (self->box), self->picture);
  self->picture = picture;
  if (picture != NULL)
    gtk_box_insert_child_after (GTK_BOX (self->box), picture, self->hint);
}

void
bl_choice_panel_add (BlChoicePanel *self, gunichar key, const char *text, const char *detail, const char *id)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  char cap[8] = "";
  GtkWidget *label;

  if (key == 0 && self->next_key < strlen (row_keys))
    key = (gunichar) row_keys[self->next_key++];
  if (key != 0)
    {
      cap[g_unichar_to_utf8 (g_unichar_toupper (key), cap)] = '\0';
      GtkWidget *key_cap = bl_key_cap (cap);
      gtk_widget_set_valign (key_cap, GTK_ALIGN_CENTER);
      gtk_box_append (GTK_BOX (box), key_cap);
    }
  /* Whole: states begin alike and differ at the end. */
  label = bl_label (text, NULL, 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (box), label);
  if (detail != NULL)
    gtk_box_append (GTK_BOX (box), bl_label (detail, "muted small", 1));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_list_box_append (GTK_LIST_BOX (self->list), row);
  bl_widget_name (row, text);
  g_ptr_array_add (self->ids, g_strdup (id));
  g_array_append_val (self->keys, key);
}

void
bl_choice_panel_add_entry (BlChoicePanel *self, const char *placeholder, const char *initial)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), placeholder);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), initial != NULL ? initial : "");
  bl_widget_name (self->entry, placeholder);
  gtk_widget_set_visible (self->entry, TRUE);
}

void
bl_choice_panel_open (BlChoicePanel *self)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), 0);

  gtk_widget_set_visible (self->scrolled, self->ids->len > 0);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), first);
  if (gtk_widget_get_visible (self->entry))
    {
      gtk_widget_grab_focus (self->entry);
      /* What is typed takes the place of what stands there, also where the question before had the focus already. */
      gtk_editable_select_region (GTK_EDITABLE (self->entry), 0, -1);
    }
}

void
bl_choice_panel_set_offer (BlChoicePanel *self)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  self->offer = TRUE;
}

void
bl_choice_panel_select (BlChoicePanel *self, guint row)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (int) row));
}

void
bl_choice_panel_close (BlChoicePanel *self)
{
  g_return_if_fail (BL_IS_CHOICE_PANEL (self));
  if (!gtk_widget_get_visible (GTK_WIDGET (self)))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_choice_panel_is_open (BlChoicePanel *self)
{
  g_return_val_if_fail (BL_IS_CHOICE_PANEL (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

const char *
bl_choice_panel_get_tag (BlChoicePanel *self)
{
  g_return_val_if_fail (BL_IS_CHOICE_PANEL (self), NULL);
  return self->tag;
}

static void
move_selection (BlChoicePanel *self, int step)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
  int index = row != NULL ? gtk_list_box_row_get_index (row) : -1;
  int n = (int) self->ids->len;

  if (n == 0)
    return;
  row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (index + step + n) % n);
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), row);
}

static gboolean
has_key (BlChoicePanel *self, gunichar key)
{
  for (guint i = 0; i < self->keys->len; i++)
    if (g_unichar_tolower (g_array_index (self->keys, gunichar, i)) == g_unichar_tolower (key))
      return TRUE;
  return FALSE;
}

gboolean
bl_choice_panel_key (BlChoicePanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_CHOICE_PANEL (self), FALSE);
  gboolean writing = gtk_widget_get_visible (self->entry);
  gunichar typed = gdk_keyval_to_unicode (keyval);

  if (!bl_choice_panel_is_open (self) || state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  if (keyval == GDK_KEY_Escape)
    {
      bl_choice_panel_close (self);
      return TRUE;
    }
  if (keyval == GDK_KEY_Up || keyval == GDK_KEY_Down)
    {
      move_selection (self, keyval == GDK_KEY_Up ? -1 : 1);
      return TRUE;
    }
  if (writing)
    return FALSE;
  /* A capital begins a designator ("C1"), though a row may have its letter. */
  if (self->offer && typed != 0 && (!has_key (self, typed) || g_unichar_isupper (typed)) && keyval != GDK_KEY_Return && keyval != GDK_KEY_KP_Enter)
    {
      bl_choice_panel_close (self);
      return FALSE;
    }
  if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter)
    {
      GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
      if (row != NULL)
        row_activated (GTK_LIST_BOX (self->list), row, self);
      return TRUE;
    }
  for (guint i = 0; i < self->keys->len && typed != 0; i++)
    if (g_unichar_tolower (g_array_index (self->keys, gunichar, i)) == g_unichar_tolower (typed))
      {
        choose (self, g_ptr_array_index (self->ids, i));
        return TRUE;
      }
  /* A letter meant for a row must not land in the entry behind. */
  return typed != 0 && g_unichar_isgraph (typed);
}
