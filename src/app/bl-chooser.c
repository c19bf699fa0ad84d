/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A word with a list behind it. The list is made when it opens, so a sheet of a hundred words costs a
 * hundred buttons and no lists. Some sixty choices at most: the table of component kinds. */
#include "config.h"

#include "bl-chooser.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-style.h"

#define SEARCH_FROM 9 /* choices from which the list can be narrowed */

struct _BlChooser
{
  GtkWidget parent_instance;

  GtkWidget *button, *label, *popover, *search, *list, *scrolled;
  char *name, *value;
  gboolean several, compact;
  guint n_choices;
};

enum
{
  FILL,
  CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlChooser, bl_chooser, GTK_TYPE_WIDGET)

static const char *
row_value (GtkListBoxRow *row)
{
  return g_object_get_data (G_OBJECT (row), "value");
}

static GtkWidget *
row_check (GtkListBoxRow *row)
{
  return g_object_get_data (G_OBJECT (row), "check");
}

static gboolean
is_value (BlChooser *self, const char *value)
{
  g_auto (GStrv) values = g_strsplit (self->value != NULL ? self->value : "", "\t", -1);

  if (self->several)
    return g_strv_contains ((const char *const *) values, value);
  return g_strcmp0 (self->value != NULL ? self->value : "", value) == 0;
}

void
bl_chooser_add (BlChooser *self, const char *value, const char *words)
{
  g_return_if_fail (BL_IS_CHOOSER (self));
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  gboolean now = is_value (self, value);
  GtkWidget *mark = self->several ? gtk_check_button_new () : bl_label (now ? "●" : "", NULL, 0.5);
  GtkWidget *label = bl_label (words, NULL, 0);

  if (self->several)
    {
      gtk_check_button_set_active (GTK_CHECK_BUTTON (mark), now);
      gtk_widget_set_can_target (mark, FALSE);
      gtk_widget_set_focusable (mark, FALSE);
      g_object_set_data (G_OBJECT (row), "check", mark);
    }
  else
    gtk_widget_set_size_request (mark, 14, -1);
  gtk_box_append (GTK_BOX (box), mark);
  gtk_box_append (GTK_BOX (box), label);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  g_object_set_data_full (G_OBJECT (row), "value", g_strdup (value), g_free);
  g_object_set_data_full (G_OBJECT (row), "words", g_utf8_casefold (words, -1), g_free);
  bl_widget_name (row, words);
  gtk_list_box_append (GTK_LIST_BOX (self->list), row);
  if (now && !self->several)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (row));
  self->n_choices++;
}

static gboolean
matches (GtkListBoxRow *row, gpointer data)
{
  BlChooser *self = data;
  g_autofree char *wanted = g_utf8_casefold (gtk_editable_get_text (GTK_EDITABLE (self->search)), -1);
  const char *words = g_object_get_data (G_OBJECT (row), "words");

  return *wanted == '\0' || strstr (words, wanted) != NULL;
}

static GtkListBoxRow *
first_match (BlChooser *self)
{
  GtkListBoxRow *row;

  for (int i = 0; (row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), i)) != NULL; i++)
    if (matches (row, self))
      return row;
  return NULL;
}

static void
take (BlChooser *self, const char *value)
{
  g_autofree char *kept = g_strdup (value);

  gtk_popover_popdown (GTK_POPOVER (self->popover));
  gtk_widget_grab_focus (self->button);
  g_signal_emit (self, signals[CHOSEN], 0, kept);
}

static void
take_several (BlChooser *self)
{
  g_autoptr (GString) values = g_string_new (NULL);
  GtkListBoxRow *row;

  for (int i = 0; (row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), i)) != NULL; i++)
    if (gtk_check_button_get_active (GTK_CHECK_BUTTON (row_check (row))))
      g_string_append_printf (values, "%s%s", values->len > 0 ? "\t" : "", row_value (row));
  if (g_strcmp0 (values->str, self->value != NULL ? self->value : "") != 0)
    g_signal_emit (self, signals[CHOSEN], 0, values->str);
}

static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlChooser *self)
{
  GtkWidget *check = row_check (row);

  if (check != NULL)
    gtk_check_button_set_active (GTK_CHECK_BUTTON (check), !gtk_check_button_get_active (GTK_CHECK_BUTTON (check)));
  else
    take (self, row_value (row));
}

/* The space bar checks a row; of itself it does nothing in a list without selection. */
static gboolean
list_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlChooser *self)
{
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));

  if (keyval != GDK_KEY_space || !GTK_IS_LIST_BOX_ROW (focus) || !gtk_widget_is_ancestor (focus, self->list))
    return GDK_EVENT_PROPAGATE;
  row_activated (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (focus), self);
  return GDK_EVENT_STOP;
}

static void
search_activated (BlChooser *self)
{
  GtkListBoxRow *row = first_match (self);

  if (row != NULL && !self->several)
    take (self, row_value (row));
}

static void
popover_closed (BlChooser *self)
{
  if (self->several)
    take_several (self);
}

static void
make_popover (BlChooser *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->popover = gtk_popover_new ();
  gtk_popover_set_has_arrow (GTK_POPOVER (self->popover), FALSE);
  gtk_popover_set_position (GTK_POPOVER (self->popover), GTK_POS_BOTTOM);
  gtk_widget_set_halign (self->popover, GTK_ALIGN_START);
  gtk_widget_set_parent (self->popover, GTK_WIDGET (self));
  self->search = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->search), _ ("type to find"));
  bl_widget_name (self->search, _ ("Find in the list"));
  self->list = gtk_list_box_new ();
  gtk_widget_add_css_class (self->list, "choices");
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->list), TRUE);
  gtk_list_box_set_selection_mode (GTK_LIST_BOX (self->list),
                                   self->several ? GTK_SELECTION_NONE : GTK_SELECTION_BROWSE);
  gtk_list_box_set_filter_func (GTK_LIST_BOX (self->list), matches, self, NULL);
  bl_widget_name (self->list, self->name);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (self->scrolled), TRUE);
  gtk_scrolled_window_set_propagate_natural_width (GTK_SCROLLED_WINDOW (self->scrolled), TRUE);
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (self->scrolled), 320);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->list);
  gtk_box_append (GTK_BOX (box), self->search);
  gtk_box_append (GTK_BOX (box), self->scrolled);
  gtk_popover_set_child (GTK_POPOVER (self->popover), box);
  g_signal_connect (self->list, "row-activated", G_CALLBACK (row_activated), self);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (list_key), self);
  gtk_widget_add_controller (self->list, keys);
  g_signal_connect_swapped (self->search, "changed", G_CALLBACK (gtk_list_box_invalidate_filter), self->list);
  g_signal_connect_swapped (self->search, "activate", G_CALLBACK (search_activated), self);
  g_signal_connect_swapped (self->popover, "closed", G_CALLBACK (popover_closed), self);
}

static void
open_list (BlChooser *self)
{
  GtkListBoxRow *row;

  if (self->popover == NULL)
    make_popover (self);
  bl_widget_clear (self->list);
  self->n_choices = 0;
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  g_signal_emit (self, signals[FILL], 0);
  if (self->n_choices == 0)
    {
      gtk_widget_error_bell (GTK_WIDGET (self));
      return;
    }
  gtk_widget_set_visible (self->search, self->n_choices >= SEARCH_FROM);
  gtk_popover_popup (GTK_POPOVER (self->popover));
  row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
  if (row == NULL)
    row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), 0);
  if (self->n_choices >= SEARCH_FROM)
    gtk_widget_grab_focus (self->search);
  else
    gtk_widget_grab_focus (GTK_WIDGET (row));
}

void
bl_chooser_open (BlChooser *self)
{
  g_return_if_fail (BL_IS_CHOOSER (self));
  open_list (self);
}

void
bl_chooser_show (BlChooser *self, const char *value, const char *words, gboolean faint)
{
  g_return_if_fail (BL_IS_CHOOSER (self) && words != NULL);
  g_autofree char *name = g_strdup_printf ("%s: %s", self->name, words);

  g_free (self->value);
  self->value = g_strdup (value);
  if (!self->compact)
    gtk_label_set_label (GTK_LABEL (self->label), words);
  if (faint)
    gtk_widget_add_css_class (self->button, "faint");
  else
    gtk_widget_remove_css_class (self->button, "faint");
  bl_widget_name (self->button, name);
}

void
bl_chooser_set_compact (BlChooser *self)
{
  g_return_if_fail (BL_IS_CHOOSER (self));
  self->compact = TRUE;
  gtk_widget_set_visible (self->label, FALSE);
  bl_widget_name (self->button, self->name);
}

const char *
bl_chooser_get_value (BlChooser *self)
{
  g_return_val_if_fail (BL_IS_CHOOSER (self), NULL);
  return self->value;
}

static gboolean
bl_chooser_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (BL_CHOOSER (widget)->button);
}

/* The closed list takes no part: it would have Tab begin anew at the head of the window. */
static gboolean
bl_chooser_focus (GtkWidget *widget, GtkDirectionType direction)
{
  BlChooser *self = BL_CHOOSER (widget);
  gboolean open = self->popover != NULL && gtk_widget_get_visible (self->popover);

  return gtk_widget_child_focus (open ? self->popover : self->button, direction);
}

static void
bl_chooser_dispose (GObject *object)
{
  BlChooser *self = BL_CHOOSER (object);

  g_clear_pointer (&self->popover, gtk_widget_unparent);
  g_clear_pointer (&self->button, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_chooser_parent_class)->dispose (object);
}

static void
bl_chooser_finalize (GObject *object)
{
  BlChooser *self = BL_CHOOSER (object);

  g_free (self->name);
  g_free (self->value);
  G_OBJECT_CLASS (bl_chooser_parent_class)->finalize (object);
}

static void
bl_chooser_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlChooser *self = BL_CHOOSER (widget);

  gtk_widget_size_allocate (self->button, &(GtkAllocation){ 0, 0, width, height }, baseline);
  if (self->popover != NULL)
    gtk_popover_present (GTK_POPOVER (self->popover));
}

static void
bl_chooser_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                    int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (BL_CHOOSER (widget)->button, orientation, for_size, minimum, natural, minimum_baseline,
                      natural_baseline);
}

static void
bl_chooser_class_init (BlChooserClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_chooser_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_chooser_finalize;
  widget_class->size_allocate = bl_chooser_size_allocate;
  widget_class->measure = bl_chooser_measure;
  widget_class->focus = bl_chooser_focus;
  widget_class->grab_focus = bl_chooser_grab_focus;
  signals[FILL] = g_signal_new ("fill", BL_TYPE_CHOOSER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[CHOSEN] = g_signal_new ("chosen", BL_TYPE_CHOOSER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_STRING);
}

static void
bl_chooser_init (BlChooser *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);

  self->button = gtk_button_new ();
  self->label = bl_label ("", NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (self->label), 26);
  gtk_box_append (GTK_BOX (box), self->label);
  gtk_box_append (GTK_BOX (box), bl_label ("▾", "arrow", 1));
  gtk_button_set_child (GTK_BUTTON (self->button), box);
  gtk_widget_add_css_class (self->button, "choose");
  gtk_widget_set_parent (self->button, GTK_WIDGET (self));
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  g_signal_connect_swapped (self->button, "clicked", G_CALLBACK (open_list), self);
}

GtkWidget *
bl_chooser_new (const char *name, gboolean several)
{
  BlChooser *self = g_object_new (BL_TYPE_CHOOSER, NULL);

  self->name = g_strdup (name);
  self->several = several;
  bl_chooser_show (self, "", "–", TRUE);
  return GTK_WIDGET (self);
}
