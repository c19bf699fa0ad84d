/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel "told by". A sheet comes back filled in, or somebody reads numbers out by phone: both go through it from top
 * to bottom with Enter, and nothing of it is about the board on the bench.
 *
 * The name is asked once and holds as long as the panel is open, for the fields here and for whatever is typed on the
 * bench; closed, one is at the bench again. An empty field is skipped. Some thirty fields, or all of a board's. */
#include "config.h"

#include "bl-told-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-equipment.h"
#include "bl-bench-told.h"
#include "bl-field-sheet-fill.h"
#include "bl-shape-icon.h"
#include "bl-style.h"
#include "bl-wiring.h"

typedef struct
{
  char *id;
  GtkWidget *entry, *verdict, *said; /* said: what was refused */
} Row;

struct _BlToldPanel
{
  GtkWidget parent_instance;

  BlBench *bench; /* while it is open */
  GtkWidget *box, *name, *hint, *scrolled, *rows;
  GPtrArray *fields; /* Row */
};

enum
{
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlToldPanel, bl_told_panel, GTK_TYPE_WIDGET)

static void
row_free (gpointer data)
{
  Row *row = data;

  g_free (row->id);
  g_free (row);
}

static const char *
name_of (BlToldPanel *self)
{
  return gtk_editable_get_text (GTK_EDITABLE (self->name));
}

static gboolean
has_name (BlToldPanel *self)
{
  g_autofree char *name = g_strstrip (g_strdup (name_of (self)));

  return *name != '\0';
}

/* --- what is shown of a check --- */

static void
show_row (BlToldPanel *self, Row *row)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, row->id);
  const BlRecord *record = item != NULL && !bl_measurement_item_is_old (item) ? bl_measurement_item_get_record (item) : NULL;
  g_autofree char *told = record != NULL ? bl_record_told_words (record) : NULL;
  g_autofree char *tooltip = NULL;

  bl_widget_clear (row->verdict);
  if (record == NULL)
    return;
  GtkWidget *text = bl_label (record->text != NULL ? record->text : "", "strong", 1);
  gtk_label_set_ellipsize (GTK_LABEL (text), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (text, TRUE);
  gtk_box_append (GTK_BOX (row->verdict), text);
  gtk_box_append (GTK_BOX (row->verdict),
                  bl_shape_icon_new ((int) bl_shape_for_verdict (bl_measurement_item_get_verdict (item),
                                                                 bl_measurement_item_get_band (item)),
                                     14));
  tooltip = g_strdup_printf ("%s, %s", bl_measurement_item_get_word (item), told != NULL ? told : _ ("read at the bench"));
  gtk_widget_set_tooltip_text (row->verdict, tooltip);
  bl_widget_name (text, tooltip);
}

static void
show_all (BlToldPanel *self)
{
  for (guint i = 0; i < self->fields->len; i++)
    show_row (self, g_ptr_array_index (self->fields, i));
}

static void
say (Row *row, const char *words)
{
  gtk_label_set_label (GTK_LABEL (row->said), words != NULL ? words : "");
  gtk_widget_set_visible (row->said, words != NULL);
}

/* --- going on --- */

static void
focus_row (BlToldPanel *self, int index)
{
  if (index >= 0 && index < (int) self->fields->len)
    gtk_widget_grab_focus (((Row *) g_ptr_array_index (self->fields, index))->entry);
}

static gboolean
is_within (GtkWidget *widget, GtkWidget *ancestor)
{
  return widget != NULL && (widget == ancestor || gtk_widget_is_ancestor (widget, ancestor));
}

static GtkWidget *
focus_of (BlToldPanel *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

  return root != NULL ? gtk_root_get_focus (root) : NULL;
}

/* Index of the field that a widget is, or is a part of; -1: of none. */
static int
index_of (BlToldPanel *self, GtkWidget *widget)
{
  for (guint i = 0; i < self->fields->len; i++)
    if (is_within (widget, ((Row *) g_ptr_array_index (self->fields, i))->entry))
      return (int) i;
  return -1;
}

static void
entered (GtkWidget *entry, BlToldPanel *self)
{
  int index = index_of (self, entry);
  Row *row = index >= 0 ? g_ptr_array_index (self->fields, index) : NULL;
  g_autoptr (GError) error = NULL;

  if (row == NULL)
    return;
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
  say (row, NULL);
  if (*text != '\0' && !has_name (self))
    {
      say (row, _ ("Who told it? The name comes first."));
      gtk_widget_grab_focus (self->name);
      return;
    }
  if (*text != '\0' && !bl_bench_enter_told (self->bench, row->id, text, name_of (self), &error))
    {
      say (row, error->message);
      gtk_editable_select_region (GTK_EDITABLE (entry), 0, -1);
      return;
    }
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  if (index + 1 < (int) self->fields->len)
    focus_row (self, index + 1);
  else
    gtk_widget_grab_focus (self->name);
}

/* Typed elsewhere on the bench it is told by the same name. */
static void
name_changed (BlToldPanel *self)
{
  if (self->bench == NULL)
    return;
  bl_bench_set_told_by (self->bench, name_of (self));
  gtk_label_set_label (GTK_LABEL (self->hint),
                       has_name (self) ? _ ("Whatever is typed while this is open was told, here or on the bench.")
                                       : _ ("Who did the checks? Then Enter, and each field in turn."));
}

/* The first check that nobody has read. */
static void
name_entered (BlToldPanel *self)
{
  for (guint i = 0; has_name (self) && i < self->fields->len; i++)
    {
      BlMeasurementItem *item = bl_bench_find (self->bench, ((Row *) g_ptr_array_index (self->fields, i))->id);
      if (item != NULL && (bl_measurement_item_get_record (item) == NULL || bl_measurement_item_is_old (item)))
        {
          focus_row (self, (int) i);
          return;
        }
    }
  focus_row (self, has_name (self) ? 0 : -1);
}

/* --- rows --- */

static GtkWidget *
ellipsized (const char *text, const char *css, int chars)
{
  GtkWidget *label = bl_label (text, css, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_width_chars (GTK_LABEL (label), chars);
  gtk_label_set_max_width_chars (GTK_LABEL (label), chars);
  return label;
}

static void
add_heading (BlToldPanel *self, const char *words)
{
  GtkWidget *label = bl_label (words, "heading", 0);

  gtk_widget_set_margin_top (label, 8);
  gtk_box_append (GTK_BOX (self->rows), label);
}

static void
add_row (BlToldPanel *self, const char *id, const char *name, const char *title, guint number)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, id);
  if (item == NULL)
    return;
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  gboolean question = measurement->measures == BL_MEASURES_CHECK;
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *words;
  g_autofree char *place = g_strdup_printf ("%u", number), *spoken = g_strdup_printf ("%s %s", name, title);
  g_autofree char *expected = question ? NULL : bl_measurement_item_get_expected (item)[0] != '\0'
                                ? g_strdup_printf ("%s %s", bl_measurement_item_get_expected (item),
                                                   bl_measurement_item_get_unit (item))
                                : g_strdup (bl_measurement_item_get_unit (item));
  Row *row = g_new0 (Row, 1);

  row->id = g_strdup (id);
  row->entry = gtk_entry_new ();
  row->verdict = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  row->said = bl_label ("", "danger small", 0);
  gtk_label_set_wrap (GTK_LABEL (row->said), TRUE);
  gtk_widget_set_visible (row->said, FALSE);
  gtk_editable_set_width_chars (GTK_EDITABLE (row->entry), 8);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (row->entry), 8);
  if (question)
    gtk_entry_set_placeholder_text (GTK_ENTRY (row->entry), _ ("yes / no"));
  gtk_widget_add_css_class (row->entry, "told-field");
  bl_widget_name (row->entry, spoken);
  g_signal_connect (row->entry, "activate", G_CALLBACK (entered), self);
  gtk_widget_set_size_request (row->verdict, 84, -1);
  gtk_widget_set_hexpand (row->verdict, FALSE); /* what is in it would push the fields out of their column */
  gtk_box_append (GTK_BOX (line), ellipsized (place, "muted", 2));
  gtk_box_append (GTK_BOX (line), ellipsized (name, "strong", 8));
  words = bl_label (title, NULL, 0);
  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (words), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (words), 10);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (line), words);
  if (expected != NULL)
    gtk_box_append (GTK_BOX (line), bl_label (expected, "muted small", 1));
  gtk_box_append (GTK_BOX (line), row->entry);
  gtk_box_append (GTK_BOX (line), row->verdict);
  gtk_widget_add_css_class (line, "told-row");
  gtk_box_append (GTK_BOX (self->rows), line);
  gtk_box_append (GTK_BOX (self->rows), row->said);
  g_ptr_array_add (self->fields, row);
  show_row (self, row);
}

static void
add_checks (BlToldPanel *self)
{
  g_autoptr (BlWiring) wiring
      = bl_wiring_new (bl_bench_get_board (self->bench), bl_bench_get_equipment (self->bench));
  int step = -1;

  for (guint i = 0; i < wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (wiring->checks, i);
      if ((int) check->kind != step)
        add_heading (self, bl_site_step_words (check->kind));
      step = (int) check->kind;
      add_row (self, check->id, check->id, check->title, i + 1);
    }
}

static void
add_measurements (BlToldPanel *self)
{
  GListModel *items = bl_bench_get_measurements (self->bench);

  for (guint i = 0; i < g_list_model_get_n_items (items); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (items, i);
      add_row (self, bl_measurement_item_get_id (item), bl_measurement_item_get_point (item),
               bl_measurement_item_get_title (item), i + 1);
    }
}

/* --- opening --- */

void
bl_told_panel_open (BlToldPanel *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_TOLD_PANEL (self) && BL_IS_BENCH (bench));
  const char *last = bl_bench_last_told_by (bench);

  bl_told_panel_close (self);
  self->bench = g_object_ref (bench);
  g_signal_connect_object (bench, "changed", G_CALLBACK (show_all), self, G_CONNECT_SWAPPED);
  if (bl_bench_get_equipment (bench) != NULL)
    add_checks (self);
  if (self->fields->len == 0)
    add_measurements (self);
  gtk_editable_set_text (GTK_EDITABLE (self->name), last != NULL ? last : "");
  name_changed (self);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  gtk_widget_grab_focus (self->name);
}

void
bl_told_panel_close (BlToldPanel *self)
{
  g_return_if_fail (BL_IS_TOLD_PANEL (self));

  if (self->bench == NULL)
    return;
  g_autoptr (BlBench) bench = g_steal_pointer (&self->bench);
  g_signal_handlers_disconnect_by_data (bench, self);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_ptr_array_set_size (self->fields, 0);
  bl_widget_clear (self->rows);
  bl_bench_set_told_by (bench, NULL);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_told_panel_is_open (BlToldPanel *self)
{
  g_return_val_if_fail (BL_IS_TOLD_PANEL (self), FALSE);
  return self->bench != NULL;
}

gboolean
bl_told_panel_has_focus (BlToldPanel *self)
{
  g_return_val_if_fail (BL_IS_TOLD_PANEL (self), FALSE);
  return self->bench != NULL && is_within (focus_of (self), GTK_WIDGET (self));
}

gboolean
bl_told_panel_key (BlToldPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_TOLD_PANEL (self), FALSE);
  int index = bl_told_panel_has_focus (self) ? index_of (self, focus_of (self)) : -1;

  if (!bl_told_panel_has_focus (self) || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (keyval == GDK_KEY_Down)
    focus_row (self, index + 1);
  else if (keyval == GDK_KEY_Up && index > 0)
    focus_row (self, index - 1);
  else if (keyval == GDK_KEY_Up)
    gtk_widget_grab_focus (self->name);
  else
    return FALSE;
  return TRUE;
}

/* --- object --- */

static void
bl_told_panel_dispose (GObject *object)
{
  BlToldPanel *self = BL_TOLD_PANEL (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->fields, g_ptr_array_unref);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_told_panel_parent_class)->dispose (object);
}

static void
bl_told_panel_class_init (BlToldPanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_told_panel_dispose;
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_TOLD_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
head_new (BlToldPanel *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *close = bl_act_button ("bare", _ ("close"), _ ("Esc"), FALSE);

  self->name = gtk_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (self->name), 18);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->name), _ ("name"));
  gtk_widget_add_css_class (self->name, "told-field");
  bl_widget_name (self->name, _ ("Who told it"));
  g_signal_connect_swapped (self->name, "changed", G_CALLBACK (name_changed), self);
  g_signal_connect_swapped (self->name, "activate", G_CALLBACK (name_entered), self);
  g_signal_connect_swapped (close, "clicked", G_CALLBACK (bl_told_panel_close), self);
  gtk_box_append (GTK_BOX (head), bl_label (_ ("Told by"), "heading", 0));
  gtk_box_append (GTK_BOX (head), self->name);
  gtk_widget_set_hexpand (close, TRUE);
  gtk_widget_set_halign (close, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (head), close);
  return head;
}

static void
bl_told_panel_init (BlToldPanel *self)
{
  GtkWidget *weight;

  self->fields = g_ptr_array_new_with_free_func (row_free);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  self->rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->hint = bl_label ("", NULL, 0);
  gtk_label_set_wrap (GTK_LABEL (self->hint), TRUE);
  weight = bl_label (_ ("These readings count less: 15 % that another value was meant. They say nothing of the state of "
                        "the board here. “-” is not done; an empty field is skipped."),
                     "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (weight), TRUE);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->rows);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_box_append (GTK_BOX (self->box), head_new (self));
  gtk_box_append (GTK_BOX (self->box), self->hint);
  gtk_box_append (GTK_BOX (self->box), weight);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  bl_widget_name (GTK_WIDGET (self), _ ("Readings told by somebody else"));
}

GtkWidget *
bl_told_panel_new (void)
{
  return g_object_new (BL_TYPE_TOLD_PANEL, NULL);
}
