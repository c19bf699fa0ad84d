/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of a meter's ranges. Some forty rows of five entries at most; they are made anew only when a range is
 * added or taken away, so that the keyboard stays where it is while one cell after the other is filled in. */
#include "config.h"

#include "bl-meter-table.h"

#include <glib/gi18n-lib.h>

#include "bl-meter-edit.h"
#include "bl-style.h"

struct _BlMeterTable
{
  GtkWidget parent_instance;

  BlShopMeter *meter;
  GtkWidget *box, *grid, *kind, *line;
  GPtrArray *cells; /* GtkWidget, BL_N_METER_CELLS of each range; NULL where it has none */
};

enum
{
  EDIT,
  REFUSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlMeterTable, bl_meter_table, GTK_TYPE_WIDGET)

/* --- an entry that is kept when it is left --- */

typedef void (*Taken) (GtkWidget *entry, gpointer data);

static void
take (GtkWidget *entry)
{
  const char *shown = g_object_get_data (G_OBJECT (entry), "shown");
  const char *text = gtk_editable_get_text (GTK_EDITABLE (entry));
  Taken taken = (Taken) g_object_get_data (G_OBJECT (entry), "taken");

  if (g_strcmp0 (shown, text) != 0)
    taken (entry, g_object_get_data (G_OBJECT (entry), "taken-data"));
}

static gboolean
slot_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, GtkWidget *entry)
{
  const char *shown = g_object_get_data (G_OBJECT (entry), "shown");

  /* Esc takes back what was typed before it closes the window. */
  if (keyval != GDK_KEY_Escape || g_strcmp0 (shown, gtk_editable_get_text (GTK_EDITABLE (entry))) == 0)
    return GDK_EVENT_PROPAGATE;
  gtk_editable_set_text (GTK_EDITABLE (entry), shown != NULL ? shown : "");
  return GDK_EVENT_STOP;
}

GtkWidget *
bl_slot_entry_new (const char *name, int width_chars, GCallback taken, gpointer data)
{
  GtkWidget *entry = gtk_entry_new ();
  GtkEventController *focus = gtk_event_controller_focus_new (), *keys = gtk_event_controller_key_new ();

  gtk_widget_add_css_class (entry, "slot");
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), width_chars);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), width_chars);
  bl_widget_name (entry, name);
  g_object_set_data (G_OBJECT (entry), "taken", (gpointer) taken);
  g_object_set_data (G_OBJECT (entry), "taken-data", data);
  g_signal_connect (entry, "activate", G_CALLBACK (take), NULL);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (take), entry);
  gtk_widget_add_controller (entry, focus);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (slot_key), entry);
  gtk_widget_add_controller (entry, keys);
  return entry;
}

void
bl_slot_entry_show (GtkWidget *entry, const char *text)
{
  g_return_if_fail (GTK_IS_ENTRY (entry));
  g_object_set_data_full (G_OBJECT (entry), "shown", g_strdup (text), g_free);
  if (g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (entry)), text) != 0)
    gtk_editable_set_text (GTK_EDITABLE (entry), text != NULL ? text : "");
  gtk_widget_remove_css_class (entry, "refused");
}

/* --- cells --- */

static void
refuse (BlMeterTable *self, GtkWidget *entry, const GError *error)
{
  gtk_widget_add_css_class (entry, "refused");
  g_signal_emit (self, signals[REFUSED], 0, error->message);
}

static void
cell_taken (GtkWidget *entry, gpointer data)
{
  BlMeterTable *self = data;
  g_autoptr (BlShopMeter) changed = bl_shop_meter_copy (self->meter);
  g_autoptr (GError) error = NULL;
  guint place;

  if (!g_ptr_array_find (self->cells, entry, &place))
    return;
  if (!bl_meter_cell_set (bl_at (changed->ranges, place / BL_N_METER_CELLS), (BlMeterCell) (place % BL_N_METER_CELLS),
                          gtk_editable_get_text (GTK_EDITABLE (entry)), &error)
      || !bl_shop_meter_validate (changed, &error))
    {
      refuse (self, entry, error);
      return;
    }
  g_signal_emit (self, signals[EDIT], 0, changed);
}

static void
remove_clicked (GtkWidget *button, BlMeterTable *self)
{
  g_autoptr (BlShopMeter) changed = bl_shop_meter_copy (self->meter);
  guint place = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "range"));

  g_ptr_array_remove_index (changed->ranges, place);
  g_signal_emit (self, signals[EDIT], 0, changed);
}

static void
line_activated (GtkWidget *entry, BlMeterTable *self)
{
  g_autoptr (BlShopMeter) changed = NULL;
  g_autoptr (GError) error = NULL;

  if (self->meter == NULL || *gtk_editable_get_text (GTK_EDITABLE (entry)) == '\0')
    return;
  changed = bl_shop_meter_copy (self->meter);
  if (!bl_meter_add_typed (changed, (BlMeasures) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->kind)),
                           gtk_editable_get_text (GTK_EDITABLE (entry)), &error))
    {
      refuse (self, entry, error);
      return;
    }
  gtk_widget_remove_css_class (entry, "refused");
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  g_signal_emit (self, signals[EDIT], 0, changed);
}

/* --- rows --- */

static const struct
{
  const char *title;
  int width_chars;
} columns[BL_N_METER_CELLS] = {
  { N_ ("full scale"), 8 }, { N_ ("% + digits"), 10 }, { N_ ("one digit"), 7 }, { N_ ("input"), 6 }, { N_ ("Hz"), 8 },
};

static void
add_head (BlMeterTable *self)
{
  gtk_grid_attach (GTK_GRID (self->grid), bl_label (_ ("measures"), "muted small", 0), 0, 0, 1, 1);
  for (int i = 0; i < BL_N_METER_CELLS; i++)
    {
      GtkWidget *head = bl_label (_ (columns[i].title), "muted small", 0);
      gtk_widget_set_margin_start (head, 4);
      gtk_grid_attach (GTK_GRID (self->grid), head, i + 1, 0, 1, 1);
    }
}

static void
add_row (BlMeterTable *self, guint index)
{
  const BlMeterRange *range = bl_at (self->meter->ranges, index);
  const BlMeterRange *before = index > 0 ? bl_at (self->meter->ranges, index - 1) : NULL;
  g_autofree char *scale = bl_meter_range_name (range);
  g_autofree char *remove_name = g_strdup_printf (_ ("Remove the range %s"), scale);
  GtkWidget *remove = gtk_button_new_with_label ("✕");
  int row = (int) index + 1;

  if (before == NULL || before->measures != range->measures)
    gtk_grid_attach (GTK_GRID (self->grid), bl_label (_ (bl_measures_name (range->measures)), "strong", 0), 0, row, 1,
                     1);
  for (int i = 0; i < BL_N_METER_CELLS; i++)
    {
      g_autofree char *name = g_strdup_printf ("%s, %s", scale, _ (columns[i].title));
      GtkWidget *entry = NULL;
      if (bl_meter_cell_exists (range->measures, (BlMeterCell) i))
        {
          entry = bl_slot_entry_new (name, columns[i].width_chars, G_CALLBACK (cell_taken), self);
          gtk_widget_set_hexpand (entry, TRUE);
          gtk_grid_attach (GTK_GRID (self->grid), entry, i + 1, row, 1, 1);
        }
      g_ptr_array_add (self->cells, entry);
    }
  gtk_widget_add_css_class (remove, "act");
  gtk_widget_set_tooltip_text (remove, remove_name);
  bl_widget_name (remove, remove_name);
  g_object_set_data (G_OBJECT (remove), "range", GUINT_TO_POINTER (index));
  g_signal_connect (remove, "clicked", G_CALLBACK (remove_clicked), self);
  gtk_grid_attach (GTK_GRID (self->grid), remove, BL_N_METER_CELLS + 1, row, 1, 1);
}

static gboolean
same_rows (const BlShopMeter *one, const BlShopMeter *two)
{
  if (one == NULL || two == NULL || one->id != two->id || one->ranges->len != two->ranges->len)
    return FALSE;
  for (guint i = 0; i < one->ranges->len; i++)
    if (((BlMeterRange *) bl_at (one->ranges, i))->measures != ((BlMeterRange *) bl_at (two->ranges, i))->measures)
      return FALSE;
  return TRUE;
}

static void
rebuild (BlMeterTable *self)
{
  GtkWidget *child;

  g_ptr_array_set_size (self->cells, 0);
  while ((child = gtk_widget_get_first_child (self->grid)) != NULL)
    gtk_grid_remove (GTK_GRID (self->grid), child);
  if (self->meter == NULL || self->meter->ranges->len == 0)
    return;
  add_head (self);
  for (guint i = 0; i < self->meter->ranges->len; i++)
    add_row (self, i);
}

void
bl_meter_table_show (BlMeterTable *self, const BlShopMeter *meter)
{
  g_return_if_fail (BL_IS_METER_TABLE (self));
  g_autoptr (BlShopMeter) before = g_steal_pointer (&self->meter);

  self->meter = meter != NULL ? bl_shop_meter_copy (meter) : NULL;
  if (!same_rows (before, meter))
    rebuild (self);
  for (guint i = 0; i < self->cells->len; i++)
    if (bl_at (self->cells, i) != NULL)
      {
        g_autofree char *text = bl_meter_cell_get (bl_at (self->meter->ranges, i / BL_N_METER_CELLS),
                                                   (BlMeterCell) (i % BL_N_METER_CELLS));
        bl_slot_entry_show (bl_at (self->cells, i), text);
      }
}

/* --- object --- */

static void
bl_meter_table_dispose (GObject *object)
{
  BlMeterTable *self = BL_METER_TABLE (object);

  /* An entry that loses the keyboard while it goes must not be taken. */
  g_ptr_array_set_size (self->cells, 0);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->meter, bl_shop_meter_free);
  G_OBJECT_CLASS (bl_meter_table_parent_class)->dispose (object);
}

static void
bl_meter_table_finalize (GObject *object)
{
  g_ptr_array_unref (BL_METER_TABLE (object)->cells);
  G_OBJECT_CLASS (bl_meter_table_parent_class)->finalize (object);
}

static void
bl_meter_table_class_init (BlMeterTableClass *klass)
{
  GType type = BL_TYPE_METER_TABLE;

  G_OBJECT_CLASS (klass)->dispose = bl_meter_table_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_meter_table_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[EDIT] = g_signal_new ("edit", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  signals[REFUSED] = g_signal_new ("refused", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                   G_TYPE_STRING);
}

static void
bl_meter_table_init (BlMeterTable *self)
{
  g_autoptr (GtkStringList) kinds = gtk_string_list_new (NULL);
  GtkWidget *scroller = gtk_scrolled_window_new (), *add = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->cells = g_ptr_array_new ();
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->grid = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 8);
  gtk_widget_set_valign (self->grid, GTK_ALIGN_START);
  gtk_widget_set_margin_end (self->grid, 12);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->grid);
  gtk_scrolled_window_set_overlay_scrolling (GTK_SCROLLED_WINDOW (scroller), FALSE);
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (self->box), scroller);
  for (int i = 0; i < BL_MEASURES_SWING; i++)
    gtk_string_list_append (kinds, _ (bl_measures_name ((BlMeasures) i)));
  self->kind = gtk_drop_down_new (G_LIST_MODEL (g_steal_pointer (&kinds)), NULL);
  bl_widget_name (self->kind, _ ("Kind of the new ranges"));
  self->line = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->line), _ ("4000 counts 4..1000 V 0.5%+3   or   40.00 V 0.5%+3"));
  bl_widget_name (self->line, _ ("New ranges"));
  gtk_widget_set_hexpand (self->line, TRUE);
  g_signal_connect (self->line, "activate", G_CALLBACK (line_activated), self);
  gtk_widget_set_valign (self->kind, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (add), bl_label (_ ("add"), "muted", 0));
  gtk_box_append (GTK_BOX (add), self->kind);
  gtk_box_append (GTK_BOX (add), self->line);
  gtk_box_append (GTK_BOX (self->box), add);
}

GtkWidget *
bl_meter_table_new (void)
{
  return g_object_new (BL_TYPE_METER_TABLE, NULL);
}
