/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's meters. A handful; the library is read anew after each change. What is done can be undone, step by
 * step, also when the program was closed meanwhile; a meter that was made is taken out of use again. */
#include "config.h"

#include "bl-meters-view.h"

#include <glib/gi18n-lib.h>

#include "bl-meter-edit.h"
#include "bl-meter-table.h"
#include "bl-meter-words.h"
#include "bl-steps-bar.h"
#include "bl-style.h"

struct _BlMetersView
{
  GtkWidget parent_instance;

  BlLibrary *library;
  GPtrArray *meters; /* BlShopMeter, as the list shows them */
  gint64 taken;      /* id of the one in hand; 0: none */
  gboolean showing;  /* the widgets are being filled: nothing is an edit */

  GtkWidget *box, *list, *steps, *duplicate, *remove, *details, *name, *kind, *crest, *input, *calibrated, *interval,
      *usual, *driver, *connection, *table, *note, *state;
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlMetersView, bl_meters_view, GTK_TYPE_WIDGET)

static void
say (BlMetersView *self, const char *text)
{
  gtk_label_set_label (GTK_LABEL (self->note), text != NULL ? text : "");
  gtk_widget_set_visible (self->note, text != NULL);
}

/* NULL: none is in hand. */
static const BlShopMeter *
in_hand (BlMetersView *self)
{
  for (guint i = 0; i < bl_len (self->meters); i++)
    if (((BlShopMeter *) bl_at (self->meters, i))->id == self->taken)
      return bl_at (self->meters, i);
  return NULL;
}

/* --- showing --- */

static void
fill_list (BlMetersView *self, gint64 usual)
{
  GtkListBoxRow *old;

  /* Rows only: the words for an empty list stay. */
  while ((old = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), 0)) != NULL)
    gtk_list_box_remove (GTK_LIST_BOX (self->list), GTK_WIDGET (old));
  for (guint i = 0; i < bl_len (self->meters); i++)
    {
      const BlShopMeter *meter = bl_at (self->meters, i);
      GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *name = bl_label (meter->name, "strong", 0);
      g_autofree char *due = bl_meter_calibration_state (meter, g_get_real_time ());
      g_autofree char *words = g_strdup_printf ("%s%s", meter->id == usual ? _ ("new jobs · ") : "", due);
      GtkWidget *below = bl_label (words, "muted small", 0);
      gtk_label_set_wrap (GTK_LABEL (name), TRUE);
      gtk_label_set_wrap (GTK_LABEL (below), TRUE);
      gtk_box_append (GTK_BOX (row), name);
      gtk_box_append (GTK_BOX (row), below);
      gtk_list_box_append (GTK_LIST_BOX (self->list), row);
      if (meter->id == self->taken)
        gtk_list_box_select_row (GTK_LIST_BOX (self->list),
                                 gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (int) i));
    }
}

static void
show_number (GtkWidget *entry, double value, const char *unit)
{
  g_autofree char *text = isnan (value) ? g_strdup ("") : bl_quantity_format (value, unit, 4);
  bl_slot_entry_show (entry, text);
}

static void
show_in_hand (BlMetersView *self, gint64 usual)
{
  const BlShopMeter *meter = in_hand (self);

  gtk_widget_set_visible (self->details, meter != NULL);
  gtk_widget_set_sensitive (self->duplicate, meter != NULL);
  gtk_widget_set_sensitive (self->remove, meter != NULL);
  bl_meter_table_show (BL_METER_TABLE (self->table), meter);
  if (meter == NULL)
    return;
  g_autofree char *day = bl_meter_day_get (meter);
  g_autofree char *months = meter->interval_months > 0 ? g_strdup_printf ("%d", meter->interval_months) : g_strdup ("");
  g_autofree char *due = bl_meter_calibration_state (meter, g_get_real_time ());
  bl_slot_entry_show (self->name, meter->name);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->kind), meter->true_rms ? 1 : 0);
  show_number (self->crest, meter->crest_factor, NULL);
  show_number (self->input, meter->input_ohm, "ohm");
  bl_slot_entry_show (self->driver, meter->driver != NULL ? meter->driver : "");
  bl_slot_entry_show (self->connection, meter->connection != NULL ? meter->connection : "");
  bl_slot_entry_show (self->calibrated, day);
  bl_slot_entry_show (self->interval, months);
  gtk_label_set_label (GTK_LABEL (self->state), due);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->usual), meter->id == usual);
}

static void
refresh (BlMetersView *self)
{
  g_autoptr (GError) error = NULL;
  gint64 usual = 0;

  g_clear_pointer (&self->meters, g_ptr_array_unref);
  self->meters = bl_library_meters (self->library, &error);
  if (self->meters != NULL)
    bl_library_get_usual_meter (self->library, &usual, &error);
  if (in_hand (self) == NULL)
    self->taken = bl_len (self->meters) > 0 ? ((BlShopMeter *) bl_at (self->meters, 0))->id : 0;
  self->showing = TRUE;
  fill_list (self, usual);
  show_in_hand (self, usual);
  bl_steps_bar_refresh (BL_STEPS_BAR (self->steps));
  self->showing = FALSE;
  if (error != NULL)
    say (self, error->message);
}

/* --- changing --- */

static gboolean
begin_step (BlMetersView *self, const char *what, const char *name, GError **error)
{
  g_autofree char *label = g_strdup_printf ("%s: %s", what, name);

  return bl_library_begin_step (self->library, BL_STEPS_METERS, 0, label, error);
}

static gint64
usual_now (BlMetersView *self)
{
  gint64 usual = 0;

  bl_library_get_usual_meter (self->library, &usual, NULL);
  return usual;
}

static void
kept (BlMetersView *self)
{
  say (self, NULL);
  refresh (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

/* Keeps the meter in hand as it should be. */
static void
keep (BlMetersView *self, BlShopMeter *changed)
{
  g_autoptr (GError) error = NULL;
  const BlShopMeter *before = in_hand (self);
  g_autofree char *was = before != NULL ? bl_shop_meter_to_json (before) : NULL;
  g_autofree char *is = bl_shop_meter_to_json (changed);

  if (before == NULL || g_strcmp0 (was, is) == 0)
    {
      refresh (self);
      return;
    }
  if (!begin_step (self, _ ("change"), changed->name, &error)
      || !bl_library_end_step (self->library, bl_library_put_meter (self->library, changed, &error), NULL, &error))
    say (self, error->message);
  else
    kept (self);
}

static void
make (BlMetersView *self, BlShopMeter *meter)
{
  g_autoptr (GError) error = NULL;
  gboolean ok;

  meter->id = 0;
  ok = begin_step (self, _ ("new meter"), meter->name, &error);
  if (ok)
    {
      ok = bl_library_put_meter (self->library, meter, &error);
      /* The first one is what new jobs begin with. */
      if (ok && usual_now (self) == 0 && bl_len (self->meters) == 0)
        ok = bl_library_set_usual_meter (self->library, meter->id, &error);
      ok = bl_library_end_step (self->library, ok, NULL, &error);
    }
  if (!ok)
    {
      say (self, error->message);
      return;
    }
  self->taken = meter->id;
  kept (self);
  gtk_widget_grab_focus (self->name);
}

static void
new_clicked (GtkWidget *button, BlMetersView *self)
{
  guint which = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "example"));
  g_autoptr (BlShopMeter) meter = which > 0 ? bl_shop_meter_example (which - 1) : bl_shop_meter_new (_ ("New meter"));
  GtkWidget *popover = gtk_widget_get_ancestor (button, GTK_TYPE_POPOVER);

  gtk_popover_popdown (GTK_POPOVER (popover));
  if (which == 0)
    meter->interval_months = 12;
  make (self, meter);
}

static void
duplicate_clicked (BlMetersView *self)
{
  g_autoptr (BlShopMeter) copy = in_hand (self) != NULL ? bl_shop_meter_copy (in_hand (self)) : NULL;
  g_autofree char *name = NULL;

  if (copy == NULL)
    return;
  name = g_strdup_printf (_ ("%s, another"), copy->name);
  g_free (copy->name);
  copy->name = g_steal_pointer (&name);
  copy->calibrated = 0; /* that of the other one */
  make (self, copy);
}

static void
remove_clicked (BlMetersView *self)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *name = in_hand (self) != NULL ? g_strdup (in_hand (self)->name) : NULL, *words = NULL;

  if (name == NULL)
    return;
  if (!begin_step (self, _ ("remove"), name, &error)
      || !bl_library_end_step (self->library, bl_library_delete_meter (self->library, self->taken, &error), NULL,
                               &error))
    {
      say (self, error->message);
      return;
    }
  words = g_strdup_printf (_ ("“%s” is removed. Readings keep the accuracy they were taken with."), name);
  kept (self);
  say (self, words);
}

/* The meter it was about is in hand again, unless it went. */
static void
step_taken (BlMetersView *self)
{
  say (self, NULL);
  refresh (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
row_selected (GtkListBox *list, GtkListBoxRow *row, BlMetersView *self)
{
  if (self->showing || row == NULL)
    return;
  self->taken = ((BlShopMeter *) bl_at (self->meters, (guint) gtk_list_box_row_get_index (row)))->id;
  self->showing = TRUE;
  show_in_hand (self, usual_now (self));
  self->showing = FALSE;
  say (self, NULL);
}

/* --- what is typed about it --- */

static gboolean
set_number (double *number, const char *text, const char *unit, GError **error)
{
  *number = NAN;
  return *text == '\0' || bl_quantity_parse (text, unit, number, error);
}

/* "" is nothing. */
static gboolean
set_words (char **words, const char *text)
{
  g_free (*words);
  *words = *text != '\0' ? g_strstrip (g_strdup (text)) : NULL;
  return TRUE;
}

static gboolean
set_months (int *months, const char *text, GError **error)
{
  double number = 0;

  if (*text != '\0' && !bl_quantity_parse (text, NULL, &number, error))
    return FALSE;
  /* What is no whole number of months is refused by the rules of a meter. */
  *months = number == floor (number) && fabs (number) < 1e6 ? (int) number : -1;
  return TRUE;
}

static gboolean
set_field (BlMetersView *self, BlShopMeter *meter, GtkWidget *entry, GError **error)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (entry));

  if (entry == self->calibrated)
    return bl_meter_day_set (meter, text, error);
  if (entry == self->interval)
    return set_months (&meter->interval_months, text, error);
  if (entry == self->crest)
    return set_number (&meter->crest_factor, text, NULL, error);
  if (entry == self->input)
    return set_number (&meter->input_ohm, text, "ohm", error);
  if (entry == self->driver)
    return set_words (&meter->driver, text);
  if (entry == self->connection)
    return set_words (&meter->connection, text);
  return set_words (&meter->name, text);
}

static void
field_taken (GtkWidget *entry, gpointer data)
{
  BlMetersView *self = data;
  g_autoptr (BlShopMeter) changed = in_hand (self) != NULL ? bl_shop_meter_copy (in_hand (self)) : NULL;
  g_autoptr (GError) error = NULL;

  if (self->showing || changed == NULL)
    return;
  if (set_field (self, changed, entry, &error) && bl_shop_meter_validate (changed, &error))
    {
      keep (self, changed);
      return;
    }
  gtk_widget_add_css_class (entry, "refused");
  say (self, error->message);
}

static void
kind_changed (BlMetersView *self)
{
  g_autoptr (BlShopMeter) changed = in_hand (self) != NULL ? bl_shop_meter_copy (in_hand (self)) : NULL;

  if (self->showing || changed == NULL)
    return;
  changed->true_rms = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->kind)) == 1;
  keep (self, changed);
}

static void
usual_toggled (BlMetersView *self)
{
  gboolean on = gtk_check_button_get_active (GTK_CHECK_BUTTON (self->usual));
  g_autoptr (GError) error = NULL;
  const BlShopMeter *meter = in_hand (self);

  if (self->showing || meter == NULL)
    return;
  if (begin_step (self, _ ("for new jobs"), meter->name, &error)
      && bl_library_end_step (self->library, bl_library_set_usual_meter (self->library, on ? meter->id : 0, &error),
                              NULL, &error))
    kept (self);
  else
    say (self, error->message);
}

static void
table_edit (BlMetersView *self, BlShopMeter *changed)
{
  if (!self->showing)
    keep (self, changed);
}

/* --- object --- */

static void
bl_meters_view_dispose (GObject *object)
{
  BlMetersView *self = BL_METERS_VIEW (object);

  self->showing = TRUE;
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->meters, g_ptr_array_unref);
  G_OBJECT_CLASS (bl_meters_view_parent_class)->dispose (object);
}

/* How a meter is read live is changed elsewhere too. */
static void
bl_meters_view_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (bl_meters_view_parent_class)->map (widget);
  refresh (BL_METERS_VIEW (widget));
}

static void
undo_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  bl_steps_bar_take (BL_STEPS_BAR (BL_METERS_VIEW (widget)->steps), g_str_equal (name, "meters.undo"));
}

static void
bl_meters_view_class_init (BlMetersViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_meters_view_dispose;
  widget_class->map = bl_meters_view_map;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "meters.undo", NULL, undo_action);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_z, GDK_CONTROL_MASK, "meters.undo", NULL);
  gtk_widget_class_install_action (widget_class, "meters.redo", NULL, undo_action);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_z, GDK_CONTROL_MASK | GDK_SHIFT_MASK, "meters.redo",
                                       NULL);
  signals[CHANGED]
    = g_signal_new ("changed", BL_TYPE_METERS_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
add_button (GtkWidget *box, const char *label, GCallback clicked, BlMetersView *self)
{
  GtkWidget *button = gtk_button_new_with_mnemonic (label);

  gtk_widget_add_css_class (button, "plain");
  g_signal_connect_swapped (button, "clicked", clicked, self);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

/* "New": an empty one, or one of the examples. */
static GtkWidget *
new_button (BlMetersView *self)
{
  GtkWidget *button = gtk_menu_button_new (), *popover = gtk_popover_new (),
            *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  for (guint i = 0;; i++)
    {
      g_autoptr (BlShopMeter) example = i > 0 ? bl_shop_meter_example (i - 1) : NULL;
      GtkWidget *choice;
      if (i > 0 && example == NULL)
        break;
      choice = gtk_button_new_with_label (i > 0 ? example->name : _ ("empty"));
      gtk_widget_add_css_class (choice, "act");
      gtk_widget_set_halign (choice, GTK_ALIGN_START);
      g_object_set_data (G_OBJECT (choice), "example", GUINT_TO_POINTER (i));
      g_signal_connect (choice, "clicked", G_CALLBACK (new_clicked), self);
      gtk_box_append (GTK_BOX (box), choice);
    }
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  gtk_menu_button_set_popover (GTK_MENU_BUTTON (button), popover);
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _ ("_New"));
  gtk_menu_button_set_use_underline (GTK_MENU_BUTTON (button), TRUE);
  gtk_widget_add_css_class (button, "plain-menu");
  return button;
}

static GtkWidget *
left_side (BlMetersView *self)
{
  GtkWidget *side = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *scroller = gtk_scrolled_window_new (),
            *one = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *two = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6),
            *none;

  gtk_widget_set_size_request (side, 224, -1);
  self->list = gtk_list_box_new ();
  gtk_widget_add_css_class (self->list, "big-list");
  bl_widget_name (self->list, _ ("Meters of the shop"));
  g_signal_connect (self->list, "row-selected", G_CALLBACK (row_selected), self);
  none = bl_label (_ ("No meter yet. “New” has examples to begin from; change their figures to those in the papers "
                      "of yours."),
                   "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (none), TRUE);
  gtk_list_box_set_placeholder (GTK_LIST_BOX (self->list), none);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->list);
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (side), scroller);
  gtk_box_append (GTK_BOX (one), new_button (self));
  self->duplicate = add_button (one, _ ("_Duplicate"), G_CALLBACK (duplicate_clicked), self);
  self->remove = add_button (two, _ ("_Remove"), G_CALLBACK (remove_clicked), self);
  gtk_box_append (GTK_BOX (side), one);
  gtk_box_append (GTK_BOX (side), two);
  return side;
}

static GtkWidget *
add_field (BlMetersView *self, GtkWidget *line, const char *label, const char *name, int width_chars)
{
  GtkWidget *entry = bl_slot_entry_new (name, width_chars, G_CALLBACK (field_taken), self);

  gtk_box_append (GTK_BOX (line), bl_label (label, "muted", 0));
  gtk_box_append (GTK_BOX (line), entry);
  return entry;
}

static GtkWidget *
right_side (BlMetersView *self)
{
  const char *const kinds[] = { _ ("averaging, scaled for a sine"), _ ("true RMS"), NULL };
  GtkWidget *side = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *one = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8),
            *two = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *three = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8),
            *four = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->name = add_field (self, one, _ ("name"), _ ("Name of the meter"), 20);
  gtk_widget_set_hexpand (self->name, TRUE);
  self->usual = gtk_check_button_new_with_mnemonic (_ ("new _jobs begin with it"));
  g_signal_connect_swapped (self->usual, "toggled", G_CALLBACK (usual_toggled), self);
  gtk_box_append (GTK_BOX (one), self->usual);
  self->kind = gtk_drop_down_new_from_strings (kinds);
  bl_widget_name (self->kind, _ ("How it measures AC"));
  gtk_widget_set_valign (self->kind, GTK_ALIGN_CENTER);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (kind_changed), self);
  gtk_box_append (GTK_BOX (two), bl_label (_ ("AC"), "muted", 0));
  gtk_box_append (GTK_BOX (two), self->kind);
  self->crest = add_field (self, two, _ ("crest factor up to"), _ ("Crest factor"), 4);
  self->input = add_field (self, two, _ ("input"), _ ("Input resistance"), 7);
  self->calibrated = add_field (self, three, _ ("calibrated"), _ ("Day of the last calibration"), 10);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->calibrated), "2026-03-01");
  self->interval = add_field (self, three, _ ("again after"), _ ("Months between calibrations"), 3);
  gtk_box_append (GTK_BOX (three), bl_label (_ ("months"), "muted", 0));
  self->state = bl_label ("", "small", 1);
  gtk_widget_set_hexpand (self->state, TRUE);
  gtk_box_append (GTK_BOX (three), self->state);
  gtk_box_append (GTK_BOX (side), one);
  gtk_box_append (GTK_BOX (side), two);
  gtk_box_append (GTK_BOX (side), three);
  self->driver = add_field (self, four, _ ("read live by the driver"), _ ("Driver for reading it live"), 14);
  self->connection = add_field (self, four, C_ ("connection of a meter", "at"), _ ("Connection for reading it live"),
                                14);
  gtk_widget_set_hexpand (self->connection, TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->connection), "/dev/ttyUSB0");
  gtk_box_append (GTK_BOX (side), four);
  self->table = bl_meter_table_new ();
  gtk_widget_set_vexpand (self->table, TRUE);
  gtk_widget_set_margin_top (self->table, 6);
  g_signal_connect_swapped (self->table, "edit", G_CALLBACK (table_edit), self);
  g_signal_connect_swapped (self->table, "refused", G_CALLBACK (say), self);
  gtk_box_append (GTK_BOX (side), self->table);
  return side;
}

static void
bl_meters_view_init (BlMetersView *self)
{
  GtkWidget *sides = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_vexpand (sides, TRUE);
  gtk_box_append (GTK_BOX (sides), left_side (self));
  self->details = right_side (self);
  gtk_widget_set_hexpand (self->details, TRUE);
  gtk_box_append (GTK_BOX (sides), self->details);
  gtk_box_append (GTK_BOX (self->box), sides);
  self->note = bl_label ("", "remark", 0);
  gtk_label_set_wrap (GTK_LABEL (self->note), TRUE);
  gtk_widget_set_visible (self->note, FALSE);
  gtk_box_append (GTK_BOX (self->box), self->note);
}

GtkWidget *
bl_meters_view_new (BlLibrary *library)
{
  BlMetersView *self = g_object_new (BL_TYPE_METERS_VIEW, NULL);

  g_return_val_if_fail (library != NULL, NULL);
  self->library = library;
  self->steps = bl_steps_bar_new (library, BL_STEPS_METERS, 0);
  g_signal_connect_object (self->steps, "taken", G_CALLBACK (step_taken), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (self->box), self->steps);
  refresh (self);
  return GTK_WIDGET (self);
}
