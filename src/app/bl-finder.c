/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search over the photo. What matches is bl-find.c's; here are an entry and a few rows, written anew
 * after each letter. It keeps no board: what is listed is by reference, and who goes there looks it up
 * again. */
#include "config.h"

#include "bl-finder.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

#define MOST 9 /* rows; who needs more types one letter more */

struct _BlFinder
{
  GtkWidget parent_instance;

  GtkWidget *box, *entry, *list, *none;
  BlFinderBoard board;
  gpointer data;
  GPtrArray *found; /* BlFound, as listed; NULL: nothing */
};

enum
{
  CHOSEN,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlFinder, bl_finder, GTK_TYPE_WIDGET)

static GtkWidget *
make_row (const BlFound *found)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *name = bl_label (found->name, "strong id-column", 0), *words = bl_label (found->words, "muted", 0);
  g_autofree char *label = g_strdup_printf ("%s, %s", found->name, found->words);

  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (name), 24);
  gtk_label_set_ellipsize (GTK_LABEL (words), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 40);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), name);
  gtk_box_append (GTK_BOX (box), words);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_widget_set_tooltip_text (row, label);
  bl_widget_name (row, label);
  return row;
}

static void
search (BlFinder *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  const BlBoard *board = self->board (self->data);

  bl_widget_clear (self->list);
  g_clear_pointer (&self->found, g_ptr_array_unref);
  if (board != NULL)
    self->found = bl_find (board, text, MOST);
  for (guint i = 0; i < bl_len (self->found); i++)
    gtk_list_box_append (GTK_LIST_BOX (self->list), make_row (bl_at (self->found, i)));
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), 0));
  gtk_widget_set_visible (self->list, bl_len (self->found) > 0);
  gtk_widget_set_visible (self->none, bl_len (self->found) == 0);
  gtk_label_set_label (GTK_LABEL (self->none),
                       *text == '\0' ? _ ("K1, TP5, or words of a title; Enter goes there")
                                     : _ ("Nothing on this board has this name or these words."));
}

static void
choose (BlFinder *self, GtkListBoxRow *row)
{
  int index = row != NULL ? gtk_list_box_row_get_index (row) : -1;

  if (index < 0 || index >= (int) bl_len (self->found))
    return;
  BlRef ref = ((const BlFound *) bl_at (self->found, (guint) index))->ref;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CHOSEN], 0, &ref);
}

static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlFinder *self)
{
  choose (self, row);
}

static void
move_selection (BlFinder *self, int step)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
  int n = (int) bl_len (self->found), index = row != NULL ? gtk_list_box_row_get_index (row) : 0;

  if (n > 0)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list),
                             gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (index + step + n) % n));
}

gboolean
bl_finder_key (BlFinder *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_FINDER (self), FALSE);

  if (!bl_finder_is_open (self) || state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  switch (keyval)
    {
    case GDK_KEY_Escape:
      bl_finder_close (self);
      return TRUE;
    case GDK_KEY_Up:
    case GDK_KEY_Down:
      move_selection (self, keyval == GDK_KEY_Up ? -1 : 1);
      return TRUE;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      choose (self, gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list)));
      return TRUE;
    default:
      return FALSE;
    }
}

void
bl_finder_open (BlFinder *self)
{
  g_return_if_fail (BL_IS_FINDER (self));
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  search (self);
  gtk_widget_grab_focus (self->entry);
  gtk_editable_select_region (GTK_EDITABLE (self->entry), 0, -1);
}

void
bl_finder_close (BlFinder *self)
{
  g_return_if_fail (BL_IS_FINDER (self));
  if (!bl_finder_is_open (self))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_finder_is_open (BlFinder *self)
{
  g_return_val_if_fail (BL_IS_FINDER (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

static void
bl_finder_dispose (GObject *object)
{
  g_clear_pointer (&BL_FINDER (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_finder_parent_class)->dispose (object);
}

static void
bl_finder_finalize (GObject *object)
{
  g_clear_pointer (&BL_FINDER (object)->found, g_ptr_array_unref);
  G_OBJECT_CLASS (bl_finder_parent_class)->finalize (object);
}

static void
bl_finder_class_init (BlFinderClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_FINDER;

  G_OBJECT_CLASS (klass)->dispose = bl_finder_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_finder_finalize;
  signals[CHOSEN] = g_signal_new ("chosen", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_POINTER);
  signals[CLOSED] = g_signal_new ("closed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_finder_init (BlFinder *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_add_css_class (self->box, "finder");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->entry = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), _ ("find on the board"));
  bl_widget_name (self->entry, _ ("Find on the board"));
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (search), self);
  gtk_box_append (GTK_BOX (self->box), self->entry);
  self->none = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->none), TRUE);
  gtk_box_append (GTK_BOX (self->box), self->none);
  self->list = gtk_list_box_new ();
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->list), TRUE);
  bl_widget_name (self->list, _ ("What was found"));
  g_signal_connect (self->list, "row-activated", G_CALLBACK (row_activated), self);
  gtk_box_append (GTK_BOX (self->box), self->list);
  gtk_widget_set_halign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_START);
  gtk_widget_set_margin_top (GTK_WIDGET (self), 8);
  gtk_widget_set_size_request (GTK_WIDGET (self), 460, -1);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  bl_widget_name (GTK_WIDGET (self), _ ("Find on the board"));
}

GtkWidget *
bl_finder_new (BlFinderBoard board, gpointer data)
{
  g_return_val_if_fail (board != NULL, NULL);
  BlFinder *self = g_object_new (BL_TYPE_FINDER, NULL);

  self->board = board;
  self->data = data;
  return GTK_WIDGET (self);
}
