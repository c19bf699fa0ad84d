/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A component's value, explained. What is typed is read at once and never refused: a value is free text.
 * Choosing another meaning writes it into the field in a notation that has this meaning alone. */
#include "config.h"

#include "bl-part-value.h"

#include <glib/gi18n-lib.h>

#include "bl-part-code.h"
#include "bl-ring-picker.h"
#include "bl-style.h"

/* Other meanings shown; a text with more of them is told by its first. */
#define MOST 3

struct _BlPartValue
{
  GtkWidget parent_instance;

  BlSheet *sheet; /* weak */
  BlEdition *edition;
  char *component, *text; /* text: shown now */
  GtkWidget *box, *head, *first, *series, *how, *others, *toggle, *bands, *picker, *results;
};

G_DEFINE_FINAL_TYPE (BlPartValue, bl_part_value, GTK_TYPE_WIDGET)

static const BlComponent *
component_of (BlPartValue *self)
{
  return self->edition != NULL ? bl_board_component (bl_edition_get_board (self->edition), self->component) : NULL;
}

/* "4.7 kΩ ±5 % · E24 value", without the nearest where it is none. (transfer full) */
static char *
meaning_line (const BlPartMeaning *meaning)
{
  g_autofree char *words = bl_part_meaning_words (meaning), *series = bl_part_series_words (meaning);

  if (series == NULL)
    return g_steal_pointer (&words);
  return g_strdup_printf ("%s · %s", words, meaning->series == BL_E_NONE ? _ ("not a standard value") : series);
}

/* --- choosing --- */

static void
take (GtkButton *button, BlPartValue *self)
{
  g_autofree char *code = g_strdup (g_object_get_data (G_OBJECT (button), "code"));
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, self->component);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPartValue) kept = g_object_ref (self);

  if (!bl_edition_set_slot (self->edition, &ref, BL_SLOT_VALUE, code, &error))
    gtk_label_set_label (GTK_LABEL (self->how), error->message);
  else if (self->sheet != NULL)
    bl_sheet_focus (self->sheet, &ref, BL_SLOT_VALUE);
}

/* A meaning to be chosen: what it writes, and how it was read. */
static GtkWidget *
make_choice (BlPartValue *self, const BlPartMeaning *meaning, const char *before)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *button = gtk_button_new (), *how;
  g_autofree char *line = meaning_line (meaning), *code = bl_part_meaning_code (meaning);
  g_autofree char *words = g_strdup_printf (_ ("take %s"), code);
  g_autofree char *name = g_strdup_printf (_ ("%s: write %s"), line, code);

  gtk_button_set_child (GTK_BUTTON (button), bl_label (words, NULL, 0));
  gtk_widget_add_css_class (button, "act");
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  bl_widget_name (button, name);
  gtk_widget_set_tooltip_text (button, meaning->how);
  g_object_set_data_full (G_OBJECT (button), "code", g_steal_pointer (&code), g_free);
  g_signal_connect_object (button, "clicked", G_CALLBACK (take), self, 0);
  how = bl_label (meaning->how, "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (how), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (how, TRUE);
  gtk_widget_set_tooltip_text (how, meaning->how);
  if (*before != '\0')
    gtk_box_append (GTK_BOX (box), bl_label (before, "muted", 0));
  gtk_box_append (GTK_BOX (box), bl_label (line, NULL, 0));
  gtk_box_append (GTK_BOX (box), button);
  gtk_box_append (GTK_BOX (box), how);
  return box;
}

/* --- showing --- */

static void
show_meanings (BlPartValue *self, GPtrArray *meanings)
{
  const BlPartMeaning *first = g_ptr_array_index (meanings, 0);
  g_autofree char *words = bl_part_meaning_words (first), *series = bl_part_series_words (first);

  gtk_label_set_label (GTK_LABEL (self->first), words);
  gtk_label_set_label (GTK_LABEL (self->series), series != NULL ? series : "");
  gtk_widget_set_visible (self->series, series != NULL);
  gtk_label_set_label (GTK_LABEL (self->how), first->how);
  gtk_widget_set_tooltip_text (self->how, first->how);
  gtk_widget_set_visible (self->first, TRUE);
  for (guint i = 1; i < meanings->len && i <= MOST; i++)
    gtk_box_append (GTK_BOX (self->others), make_choice (self, g_ptr_array_index (meanings, i), _ ("or")));
}

static void
show_text (BlPartValue *self, const char *text)
{
  const BlComponent *component = component_of (self);
  BlPartFamily family = bl_part_family (component != NULL ? component->kind : NULL);
  gboolean banded = family == BL_PART_RESISTOR || family == BL_PART_INDUCTOR;
  gboolean empty = text == NULL || *text == '\0';
  g_autoptr (GPtrArray) meanings = NULL;
  g_autoptr (GError) error = NULL;

  g_free (self->text);
  self->text = g_strdup (text);
  bl_widget_clear (self->others);
  gtk_widget_set_visible (GTK_WIDGET (self), family != BL_PART_OTHER && (banded || !empty));
  gtk_widget_set_visible (self->toggle, banded);
  gtk_widget_set_visible (self->first, FALSE);
  gtk_widget_set_visible (self->series, FALSE);
  gtk_label_set_label (GTK_LABEL (self->how), "");
  gtk_widget_set_tooltip_text (self->how, NULL);
  if (!banded)
    gtk_widget_set_visible (self->bands, FALSE);
  if (family == BL_PART_OTHER || empty)
    return;
  meanings = bl_part_read (text, component->kind, &error);
  if (meanings != NULL)
    show_meanings (self, meanings);
  else
    {
      gtk_label_set_label (GTK_LABEL (self->how), error->message);
      gtk_widget_set_tooltip_text (self->how, error->message);
    }
}

static void
bands_changed (BlPartValue *self)
{
  const BlComponent *component = component_of (self);
  g_autoptr (GPtrArray) meanings = NULL;
  g_autoptr (GError) error = NULL;
  guint n;
  const BlRing *rings = bl_ring_picker_get (BL_RING_PICKER (self->picker), &n);

  bl_widget_clear (self->results);
  if (component == NULL)
    return;
  meanings = bl_rings_read (rings, n, component->kind, &error);
  if (meanings == NULL)
    {
      gtk_box_append (GTK_BOX (self->results), bl_label (error->message, "muted", 0));
      return;
    }
  for (guint i = 0; i < meanings->len && i < MOST; i++)
    gtk_box_append (GTK_BOX (self->results),
                    make_choice (self, g_ptr_array_index (meanings, i), i == 0 ? "" : _ ("or")));
}

/* The bands that the value typed would have; 5 % where it says no tolerance. */
static void
bands_of_text (BlPartValue *self)
{
  const BlComponent *component = component_of (self);
  g_autoptr (GPtrArray) meanings
    = component != NULL && self->text != NULL ? bl_part_read (self->text, component->kind, NULL) : NULL;
  BlPartMeaning usual;
  BlRing rings[BL_MAX_RINGS];
  guint n;

  if (meanings == NULL)
    return;
  usual = *(const BlPartMeaning *) g_ptr_array_index (meanings, 0);
  if (isnan (usual.below))
    usual.below = usual.above = 0.05;
  if (bl_rings_write (&usual, rings, &n))
    bl_ring_picker_set (BL_RING_PICKER (self->picker), rings, n);
}

void
bl_part_value_show_bands (BlPartValue *self, gboolean shown)
{
  g_return_if_fail (BL_IS_PART_VALUE (self));
  GtkWidget *label = gtk_button_get_child (GTK_BUTTON (self->toggle));

  gtk_label_set_label (GTK_LABEL (label), shown ? _ ("hide the bands") : _ ("read colour bands"));
  gtk_widget_set_visible (self->bands, shown);
  if (!shown)
    return;
  bands_of_text (self);
  bands_changed (self);
  gtk_widget_grab_focus (self->picker);
}

static void
toggle_pressed (BlPartValue *self)
{
  bl_part_value_show_bands (self, !gtk_widget_get_visible (self->bands));
}

static void
typed (BlSheet *sheet, const BlRef *ref, int slot, const char *text, BlPartValue *self)
{
  BlRef own = bl_ref (BL_ELEMENT_COMPONENT, self->component);

  if (slot == BL_SLOT_VALUE && bl_ref_equal (ref, &own))
    show_text (self, text);
}

static void
edition_changed (BlEdition *edition, BlPartValue *self)
{
  const BlComponent *component = component_of (self);

  show_text (self, component != NULL ? component->value : NULL);
  if (gtk_widget_get_visible (self->bands))
    bands_changed (self);
}

/* --- object --- */

static void
bl_part_value_dispose (GObject *object)
{
  BlPartValue *self = BL_PART_VALUE (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_weak_pointer (&self->sheet);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_part_value_parent_class)->dispose (object);
}

static void
bl_part_value_finalize (GObject *object)
{
  BlPartValue *self = BL_PART_VALUE (object);

  g_free (self->component);
  g_free (self->text);
  G_OBJECT_CLASS (bl_part_value_parent_class)->finalize (object);
}

static void
bl_part_value_class_init (BlPartValueClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_part_value_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_part_value_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
make_bands (BlPartValue *self)
{
  GtkWidget *bands = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  gtk_widget_add_css_class (bands, "ring-panel");
  self->picker = bl_ring_picker_new ();
  g_signal_connect_swapped (self->picker, "changed", G_CALLBACK (bands_changed), self);
  gtk_box_append (GTK_BOX (bands), self->picker);
  self->results = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (bands), self->results);
  gtk_widget_set_visible (bands, FALSE);
  return bands;
}

static void
bl_part_value_init (BlPartValue *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->first = bl_label ("", "strong", 0);
  self->series = bl_label ("", NULL, 0);
  self->how = bl_label ("", "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->how), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->how, TRUE);
  self->toggle = gtk_button_new ();
  gtk_widget_add_css_class (self->toggle, "act");
  gtk_button_set_child (GTK_BUTTON (self->toggle), bl_label (_ ("read colour bands"), NULL, 0));
  bl_widget_name (self->toggle, _ ("Read the value off its bands of colour"));
  g_signal_connect_swapped (self->toggle, "clicked", G_CALLBACK (toggle_pressed), self);
  gtk_box_append (GTK_BOX (self->head), self->first);
  gtk_box_append (GTK_BOX (self->head), self->series);
  gtk_box_append (GTK_BOX (self->head), self->how);
  gtk_box_append (GTK_BOX (self->head), self->toggle);
  gtk_box_append (GTK_BOX (self->box), self->head);
  self->others = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self->box), self->others);
  self->bands = make_bands (self);
  gtk_box_append (GTK_BOX (self->box), self->bands);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  bl_widget_name (GTK_WIDGET (self), _ ("What the value says"));
}

GtkWidget *
bl_part_value_new (BlSheet *sheet, BlEdition *edition, const char *component)
{
  g_return_val_if_fail (BL_IS_SHEET (sheet) && BL_IS_EDITION (edition) && component != NULL, NULL);
  BlPartValue *self = g_object_new (BL_TYPE_PART_VALUE, NULL);

  g_set_weak_pointer (&self->sheet, sheet);
  self->edition = g_object_ref (edition);
  self->component = g_strdup (component);
  g_signal_connect_object (sheet, "typing", G_CALLBACK (typed), self, 0);
  g_signal_connect_object (edition, "changed", G_CALLBACK (edition_changed), self, 0);
  edition_changed (edition, self);
  return GTK_WIDGET (self);
}
