/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Layers of a photo on and off, remembered in the program's settings: how one likes to see a photo is of
 * the person, not of the board. Where no settings are installed they hold until the program ends.
 *
 * Whoever shows a photo builds all that could stand on it and lets bl_layers_apply () take away what is
 * off, so that the rule what always stays is in one place. */
#include "config.h"

#include "bl-layers.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-settings.h"
#include "bl-style.h"

static const char *const keys[BL_N_LAYERS_OF] = { "layers-bench", "layers-points", "layers-structure" };

static const char *const titles[BL_N_LAYERS] = { N_ ("test points"),    N_ ("names"),           N_ ("components"),
                                                 N_ ("stage outlines"), N_ ("section outlines"), N_ ("photo dimmed") };

/* Of this run, where there are no settings. The same as the settings' defaults. */
static BlLayers kept[BL_N_LAYERS_OF] = {
  [BL_LAYERS_BENCH] = BL_LAYER_POINTS | BL_LAYER_NAMES | BL_LAYER_SECTIONS,
  [BL_LAYERS_EDIT_POINTS] = BL_LAYER_POINTS | BL_LAYER_NAMES | BL_LAYER_SECTIONS,
  [BL_LAYERS_EDIT_STRUCTURE] = BL_LAYER_NAMES | BL_LAYER_COMPONENTS | BL_LAYER_STAGES | BL_LAYER_SECTIONS,
};

BlLayers
bl_layers_get (BlLayersOf of)
{
  g_return_val_if_fail (of < BL_N_LAYERS_OF, 0);
  GSettings *settings = bl_settings ();

  return settings != NULL ? (BlLayers) g_settings_get_flags (settings, keys[of]) : kept[of];
}

void
bl_layers_set (BlLayersOf of, BlLayers layers)
{
  g_return_if_fail (of < BL_N_LAYERS_OF);
  GSettings *settings = bl_settings ();

  kept[of] = layers;
  if (settings != NULL)
    g_settings_set_flags (settings, keys[of], layers);
}

static gboolean
stays (BlLayers layers, const BlPhotoItem *item)
{
  if (item->in_hand || item->kind == BL_PHOTO_BLACK || item->kind == BL_PHOTO_MARK
      || item->kind == BL_PHOTO_LANDMARK || item->kind == BL_PHOTO_DIFFERENCE)
    return TRUE;
  return (layers & (item->kind == BL_PHOTO_POINT ? BL_LAYER_POINTS : BL_LAYER_COMPONENTS)) != 0;
}

void
bl_layers_apply (BlLayers layers, GPtrArray *items, GPtrArray *outlines)
{
  g_return_if_fail (items != NULL && outlines != NULL);

  for (guint i = items->len; i > 0; i--)
    {
      BlPhotoItem *item = g_ptr_array_index (items, i - 1);
      if (!stays (layers, item))
        g_ptr_array_remove_index (items, i - 1);
      else if ((layers & BL_LAYER_NAMES) == 0 && item->kind != BL_PHOTO_BLACK && item->kind != BL_PHOTO_MARK)
        item->quiet = TRUE;
    }
  for (guint i = outlines->len; i > 0; i--)
    {
      BlPhotoOutline *outline = g_ptr_array_index (outlines, i - 1);
      if (outline->kind == BL_PHOTO_LIKELY || outline->selected)
        continue;
      if ((layers & (outline->kind == BL_PHOTO_STAGE ? BL_LAYER_STAGES : BL_LAYER_SECTIONS)) == 0)
        g_ptr_array_remove_index (outlines, i - 1);
      else if ((layers & BL_LAYER_NAMES) == 0)
        g_clear_pointer (&outline->name, g_free);
    }
}

/* --- the switches --- */

struct _BlLayersPanel
{
  GtkWidget parent_instance;

  GtkWidget *box, *rows[BL_N_LAYERS];
  BlLayersOf of;
};

enum
{
  CHANGED,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlLayersPanel, bl_layers_panel, GTK_TYPE_WIDGET)

static void
show (BlLayersPanel *self)
{
  BlLayers layers = bl_layers_get (self->of);

  for (guint i = 0; i < BL_N_LAYERS; i++)
    {
      gboolean on = (layers & 1u << i) != 0;
      GtkWidget *mark = g_object_get_data (G_OBJECT (self->rows[i]), "mark");
      gtk_label_set_label (GTK_LABEL (mark), on ? "✓" : "");
      gtk_accessible_update_state (GTK_ACCESSIBLE (self->rows[i]), GTK_ACCESSIBLE_STATE_PRESSED,
                                   on ? GTK_ACCESSIBLE_TRISTATE_TRUE : GTK_ACCESSIBLE_TRISTATE_FALSE, -1);
    }
}

static void
switch_layer (BlLayersPanel *self, guint layer)
{
  bl_layers_set (self->of, bl_layers_get (self->of) ^ (BlLayers) (1u << layer));
  show (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
row_pressed (GtkButton *row, BlLayersPanel *self)
{
  for (guint i = 0; i < BL_N_LAYERS; i++)
    if (GTK_WIDGET (row) == self->rows[i])
      switch_layer (self, i);
}

void
bl_layers_panel_set_of (BlLayersPanel *self, BlLayersOf of)
{
  g_return_if_fail (BL_IS_LAYERS_PANEL (self) && of < BL_N_LAYERS_OF);
  self->of = of;
  show (self);
}

void
bl_layers_panel_toggle (BlLayersPanel *self)
{
  g_return_if_fail (BL_IS_LAYERS_PANEL (self));
  if (bl_layers_panel_is_open (self))
    bl_layers_panel_close (self);
  else
    {
      show (self);
      gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
    }
}

void
bl_layers_panel_close (BlLayersPanel *self)
{
  g_return_if_fail (BL_IS_LAYERS_PANEL (self));
  if (!bl_layers_panel_is_open (self))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_layers_panel_is_open (BlLayersPanel *self)
{
  g_return_val_if_fail (BL_IS_LAYERS_PANEL (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

gboolean
bl_layers_panel_key (BlLayersPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_LAYERS_PANEL (self), FALSE);
  guint figure = keyval >= GDK_KEY_KP_1 && keyval <= GDK_KEY_KP_9 ? keyval - GDK_KEY_KP_1 : keyval - GDK_KEY_1;
  gunichar typed = gdk_keyval_to_unicode (keyval);

  /* Not while another page, as the probe view, covers it. */
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)) || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (figure < BL_N_LAYERS)
    {
      switch_layer (self, figure);
      return TRUE;
    }
  /* The rest of a value whose first figures were taken for layers would be another value. */
  if (typed != 0 && (g_unichar_isdigit (typed) || (typed < 0x80 && strchr (".,+-<>", (int) typed) != NULL)))
    {
      gtk_widget_error_bell (GTK_WIDGET (self));
      return TRUE;
    }
  /* L alone opens it in the editor: passed on, it would open it again. */
  gboolean own = keyval == GDK_KEY_Escape
                 || (self->of != BL_LAYERS_BENCH && gdk_keyval_to_lower (keyval) == GDK_KEY_l);
  if (own || (typed != 0 && g_unichar_isgraph (typed)))
    bl_layers_panel_close (self);
  return own;
}

static GtkWidget *
make_row (BlLayersPanel *self, guint layer)
{
  GtkWidget *row = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *mark, *label;
  g_autofree char *cap = g_strdup_printf ("%u", layer + 1);

  mark = bl_label ("", "layer-mark", 0.5);
  label = bl_label (_ (titles[layer]), NULL, 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (box), mark);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), bl_key_cap (cap));
  gtk_button_set_child (GTK_BUTTON (row), box);
  gtk_widget_add_css_class (row, "layer-row");
  gtk_widget_set_focus_on_click (row, FALSE);
  bl_widget_name (row, _ (titles[layer]));
  g_object_set_data (G_OBJECT (row), "mark", mark);
  g_signal_connect (row, "clicked", G_CALLBACK (row_pressed), self);
  return row;
}

static void
bl_layers_panel_dispose (GObject *object)
{
  g_clear_pointer (&BL_LAYERS_PANEL (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_layers_panel_parent_class)->dispose (object);
}

static void
bl_layers_panel_class_init (BlLayersPanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_LAYERS_PANEL;

  G_OBJECT_CLASS (klass)->dispose = bl_layers_panel_dispose;
  signals[CHANGED] = g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[CLOSED] = g_signal_new ("closed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_layers_panel_init (BlLayersPanel *self)
{
  GtkWidget *title = bl_label (_ ("On the photo"), "choice-title", 0);
  GtkWidget *hint = bl_label (_ ("What is in hand and the likely failed stage always stay."), "muted small", 0);

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_add_css_class (self->box, "layers");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->box), title);
  for (guint i = 0; i < BL_N_LAYERS; i++)
    {
      self->rows[i] = make_row (self, i);
      gtk_box_append (GTK_BOX (self->box), self->rows[i]);
    }
  gtk_label_set_wrap (GTK_LABEL (hint), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (hint), 26);
  gtk_box_append (GTK_BOX (self->box), hint);
  gtk_widget_set_halign (GTK_WIDGET (self), GTK_ALIGN_END);
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_START);
  gtk_widget_set_margin_top (GTK_WIDGET (self), 8);
  gtk_widget_set_margin_end (GTK_WIDGET (self), 8);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  bl_widget_name (GTK_WIDGET (self), _ ("Layers of the photo"));
}

GtkWidget *
bl_layers_panel_new (void)
{
  return g_object_new (BL_TYPE_LAYERS_PANEL, NULL);
}
