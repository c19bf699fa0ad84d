/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The form of a followed band: plot and formulas. A formula draws the line when it is chosen, with its usual figures,
 * and again when one of them is changed; the document keeps the points and, as source, the formula in words. Which
 * formula a line was drawn by is not in the document, so the figures are shown for one just chosen. */
#include "config.h"

#include "bl-follows-form.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>

#include "bl-chooser.h"
#include "bl-edition-band.h"
#include "bl-edition-parts.h"
#include "bl-follows-plot.h"
#include "bl-shell.h"
#include "bl-style.h"

struct _BlFollowsForm
{
  GtkWidget parent_instance;

  BlEdition *edition;
  char *measurement;
  BlPreset preset;
  gboolean has_preset;
  GtkWidget *box, *plot, *chooser, *labels[2], *entries[2], *trouble;
};

G_DEFINE_FINAL_TYPE (BlFollowsForm, bl_follows_form, GTK_TYPE_WIDGET)

/* What the figures of a formula are called, and their unit. */
static const struct
{
  const char *title, *a, *b, *a_unit, *b_unit;
} presets[] = {
  { N_ ("DC link: √2 × V AC − 2 diode drops"), N_ ("drop of a diode"), NULL, "V", NULL },
  { N_ ("half-wave: √2 × V AC − 1 diode drop"), N_ ("drop of the diode"), NULL, "V", NULL },
  { N_ ("straight ratio"), N_ ("times"), N_ ("plus"), "", "" },
  { N_ ("divider of its rail: R1 over R2"), N_ ("R1"), N_ ("R2"), "ohm", "ohm" },
  { N_ ("thermistor by its B value"), N_ ("at 25 °C"), N_ ("B in K"), "ohm", "" },
  { N_ ("thermistor, published curve of type 1"), N_ ("at 25 °C"), NULL, "ohm", NULL },
  { N_ ("Pt100 and the like, IEC 60751"), N_ ("at 0 °C"), NULL, "ohm", NULL },
};
G_STATIC_ASSERT (G_N_ELEMENTS (presets) == BL_N_PRESETS);

static const BlMeasurement *
measurement (BlFollowsForm *self)
{
  return bl_board_measurement (bl_edition_get_board (self->edition), self->measurement);
}

static const BlMeasurement *
followed (BlFollowsForm *self)
{
  const BlFollows *follows = measurement (self) != NULL ? measurement (self)->expected.follows : NULL;
  return follows != NULL ? bl_board_measurement (bl_edition_get_board (self->edition), follows->measurement) : NULL;
}

/* Takes error; NULL: all is well. */
static void
say (BlFollowsForm *self, GError *error)
{
  gtk_label_set_label (GTK_LABEL (self->trouble), error != NULL ? error->message : "");
  gtk_widget_set_visible (self->trouble, error != NULL);
  g_clear_error (&error);
}

/* --- the line --- */

static void
set_line (BlFollowsForm *self, const GArray *points)
{
  GError *error = NULL;

  bl_edition_set_line (self->edition, self->measurement, points, &error);
  say (self, error);
}

static GArray *
points_now (BlFollowsForm *self)
{
  const BlFollows *follows = measurement (self) != NULL ? measurement (self)->expected.follows : NULL;
  GArray *points = g_array_new (FALSE, FALSE, sizeof (double));

  if (follows != NULL && follows->points != NULL)
    g_array_append_vals (points, follows->points->data, follows->points->len);
  return points;
}

static void
moved (BlFollowsPlot *plot, guint index, double x, double y, gboolean finished, BlFollowsForm *self)
{
  g_autoptr (GArray) points = points_now (self);

  if (2 * index + 1 >= points->len)
    return;
  g_array_index (points, double, 2 * index) = x;
  g_array_index (points, double, 2 * index + 1) = y;
  set_line (self, points);
  if (finished)
    bl_edition_settle (self->edition);
}

static void
added (BlFollowsPlot *plot, double x, double y, BlFollowsForm *self)
{
  g_autoptr (GArray) points = points_now (self);
  double point[] = { x, y };

  g_array_append_vals (points, point, 2);
  bl_edition_settle (self->edition);
  set_line (self, points);
  bl_edition_settle (self->edition);
}

static void
removed (BlFollowsPlot *plot, guint index, BlFollowsForm *self)
{
  g_autoptr (GArray) points = points_now (self);

  if (2 * index + 1 >= points->len)
    return;
  if (points->len <= 4)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("A line keeps two points at least."));
      return;
    }
  g_array_remove_range (points, 2 * index, 2);
  bl_edition_settle (self->edition);
  set_line (self, points);
  bl_edition_settle (self->edition);
}

/* --- formulas --- */

static void
draw_formula (BlFollowsForm *self)
{
  const BlMeasurement *other = followed (self);
  GError *error = NULL;
  double from, to;

  if (other == NULL || !self->has_preset)
    return;
  bl_measurement_range (other, &from, &to);
  bl_edition_follow (self->edition, self->measurement, other->id, &self->preset, from, to, &error);
  say (self, error);
}

static void
show_figures (BlFollowsForm *self)
{
  const double values[] = { self->preset.a, self->preset.b };

  for (guint i = 0; i < 2; i++)
    {
      const char *label = i == 0 ? presets[self->preset.kind].a : presets[self->preset.kind].b;
      const char *unit = i == 0 ? presets[self->preset.kind].a_unit : presets[self->preset.kind].b_unit;
      gboolean shown = self->has_preset && label != NULL;
      gtk_widget_set_visible (self->labels[i], shown);
      gtk_widget_set_visible (self->entries[i], shown);
      if (!shown)
        continue;
      g_autofree char *text = bl_quantity_to_text (values[i], *unit != '\0' ? unit : NULL, 6);
      gtk_label_set_label (GTK_LABEL (self->labels[i]), _ (label));
      gtk_editable_set_text (GTK_EDITABLE (self->entries[i]), text);
      bl_widget_name (self->entries[i], _ (label));
    }
}

static void
figure_entered (GtkWidget *entry, BlFollowsForm *self)
{
  gboolean second = entry == self->entries[1];
  const char *unit = second ? presets[self->preset.kind].b_unit : presets[self->preset.kind].a_unit;
  GError *error = NULL;
  double value, *place = second ? &self->preset.b : &self->preset.a;

  if (!self->has_preset || unit == NULL)
    return;
  if (!bl_quantity_parse (gtk_editable_get_text (GTK_EDITABLE (entry)), unit, &value, &error))
    {
      say (self, error);
      return;
    }
  if (value == *place)
    return;
  *place = value;
  draw_formula (self);
}

static void
figure_left (GtkEventControllerFocus *controller, BlFollowsForm *self)
{
  GtkWidget *entry = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));

  if (gtk_widget_get_mapped (entry))
    figure_entered (entry, self);
}

static void
fill_presets (BlFollowsForm *self)
{
  const BlMeasurement *here = measurement (self), *other = followed (self);

  for (int kind = 0; kind < BL_N_PRESETS; kind++)
    if (here != NULL && other != NULL && bl_preset_fits ((BlPresetKind) kind, other->measures, here->measures))
      {
        g_autofree char *value = g_strdup_printf ("%d", kind);
        bl_chooser_add (BL_CHOOSER (self->chooser), value, _ (presets[kind].title));
      }
}

/* The ratio begins with what the two nominal values say. */
static void
preset_chosen (BlFollowsForm *self, const char *value)
{
  const BlMeasurement *here = measurement (self), *other = followed (self);
  int kind = atoi (value);

  if (here == NULL || other == NULL || kind < 0 || kind >= BL_N_PRESETS)
    return;
  self->preset = bl_preset_usual ((BlPresetKind) kind);
  if (kind == BL_PRESET_RATIO && here->expected.nominal.value > 0 && other->expected.nominal.value > 0)
    self->preset.a = here->expected.nominal.value / other->expected.nominal.value;
  self->has_preset = TRUE;
  bl_chooser_show (BL_CHOOSER (self->chooser), value, _ (presets[kind].title), FALSE);
  show_figures (self);
  draw_formula (self);
}

/* --- object --- */

static void
refresh (BlFollowsForm *self)
{
  const BlMeasurement *here = measurement (self);
  gboolean shown = here != NULL && here->expected.follows != NULL;

  gtk_widget_set_visible (self->box, shown);
  if (shown)
    bl_follows_plot_show (BL_FOLLOWS_PLOT (self->plot), here, followed (self));
}

static void
bl_follows_form_dispose (GObject *object)
{
  BlFollowsForm *self = BL_FOLLOWS_FORM (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_follows_form_parent_class)->dispose (object);
}

static void
bl_follows_form_finalize (GObject *object)
{
  g_free (BL_FOLLOWS_FORM (object)->measurement);
  G_OBJECT_CLASS (bl_follows_form_parent_class)->finalize (object);
}

static void
bl_follows_form_class_init (BlFollowsFormClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_follows_form_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_follows_form_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static GtkWidget *
formula_line (BlFollowsForm *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (line), bl_label (_ ("draw it by"), "muted", 0));
  self->chooser = bl_chooser_new (_ ("Formula of the line"), FALSE);
  g_signal_connect_swapped (self->chooser, "fill", G_CALLBACK (fill_presets), self);
  g_signal_connect_swapped (self->chooser, "chosen", G_CALLBACK (preset_chosen), self);
  bl_chooser_show (BL_CHOOSER (self->chooser), "", _ ("a formula"), TRUE);
  gtk_box_append (GTK_BOX (line), self->chooser);
  for (guint i = 0; i < 2; i++)
    {
      GtkEventController *focus = gtk_event_controller_focus_new ();
      self->labels[i] = bl_label ("", "muted", 0);
      self->entries[i] = gtk_entry_new ();
      gtk_widget_add_css_class (self->entries[i], "slot");
      gtk_editable_set_width_chars (GTK_EDITABLE (self->entries[i]), 8);
      gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entries[i]), 9);
      g_signal_connect (self->entries[i], "activate", G_CALLBACK (figure_entered), self);
      g_signal_connect (focus, "leave", G_CALLBACK (figure_left), self);
      gtk_widget_add_controller (self->entries[i], focus);
      gtk_widget_set_visible (self->labels[i], FALSE);
      gtk_widget_set_visible (self->entries[i], FALSE);
      gtk_box_append (GTK_BOX (line), self->labels[i]);
      gtk_box_append (GTK_BOX (line), self->entries[i]);
    }
  return line;
}

static void
bl_follows_form_init (BlFollowsForm *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->plot = bl_follows_plot_new ();
  self->trouble = bl_label ("", "trouble", 0);
  gtk_label_set_wrap (GTK_LABEL (self->trouble), TRUE);
  gtk_widget_set_visible (self->trouble, FALSE);
  g_signal_connect (self->plot, "moved", G_CALLBACK (moved), self);
  g_signal_connect (self->plot, "added", G_CALLBACK (added), self);
  g_signal_connect (self->plot, "removed", G_CALLBACK (removed), self);
  gtk_box_append (GTK_BOX (self->box), formula_line (self));
  gtk_box_append (GTK_BOX (self->box), self->trouble);
  gtk_box_append (GTK_BOX (self->box), self->plot);
  gtk_widget_set_hexpand (self->box, TRUE);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
bl_follows_form_new (BlEdition *edition, const char *id)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && id != NULL, NULL);
  BlFollowsForm *self = g_object_new (BL_TYPE_FOLLOWS_FORM, NULL);

  self->edition = g_object_ref (edition);
  self->measurement = g_strdup (id);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  g_signal_connect_object (edition, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  refresh (self);
  return GTK_WIDGET (self);
}
