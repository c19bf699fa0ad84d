/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A slot as an entry or a word with choices. It knows nothing about any particular slot: the table in
 * the model says what form it has and what may stand there. */
#include "config.h"

#include "bl-slot-field.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-chooser.h"
#include "bl-style.h"

struct _BlSlotField
{
  GtkWidget parent_instance;

  BlEdition *edition;
  BlRef ref;
  BlSlot slot;
  BlSlotForm form;
  int chars;
  GtkWidget *box, *entry, *chooser; /* entry NULL for a choice; chooser NULL for plain text */
  char *shown;                      /* text of the document when it was last read */
  gboolean refused;                 /* what is in the entry was refused */
};

enum
{
  TROUBLE,
  TYPING,
  KEPT,
  RENAMED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlSlotField, bl_slot_field, GTK_TYPE_WIDGET)

static void
say (BlSlotField *self, const char *message)
{
  self->refused = message != NULL;
  if (self->entry != NULL && message != NULL)
    gtk_widget_add_css_class (self->entry, "refused");
  else if (self->entry != NULL)
    gtk_widget_remove_css_class (self->entry, "refused");
  g_signal_emit (self, signals[TROUBLE], 0, message);
}

/* TRUE when the document has it now. */
static gboolean
keep (BlSlotField *self, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *old = bl_slot_get (bl_edition_get_board (self->edition), &self->ref, self->slot);
  gboolean renames = self->slot == BL_SLOT_ID || self->slot == BL_SLOT_MODE;
  BlRef before = self->ref;

  if (!bl_edition_set_slot (self->edition, &self->ref, self->slot, text, &error))
    {
      g_autofree char *message
        = *old != '\0' ? g_strdup_printf (_ ("%s: %s – it stays “%s”, Esc brings that back"),
                                          bl_slot_label (self->ref.element, self->slot), error->message, old)
                       : g_strdup_printf (_ ("%s: %s"), bl_slot_label (self->ref.element, self->slot), error->message);
      say (self, message);
      return FALSE;
    }
  say (self, NULL);
  if (renames && before.element != BL_ELEMENT_MARK)
    {
      g_autofree char *name = g_strstrip (g_strdup (text));
      if (self->slot == BL_SLOT_MODE)
        self->ref.mode = g_intern_string (name);
      else
        self->ref.id = g_intern_string (name);
      g_signal_emit (self, signals[RENAMED], 0, old, name);
    }
  bl_slot_field_refresh (self);
  return TRUE;
}

static void
show_text (BlSlotField *self, const char *text)
{
  if (strcmp (gtk_editable_get_text (GTK_EDITABLE (self->entry)), text) != 0)
    gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  if (self->chars == 0)
    gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), (int) CLAMP (g_utf8_strlen (text, -1) + 1, 5, 30));
}

/* Words of the values joined by tabs. (transfer full) */
static char *
words_of (BlSlotField *self, const char *values)
{
  g_autoptr (GPtrArray) choices = bl_slot_choices (bl_edition_get_board (self->edition), &self->ref, self->slot);
  g_auto (GStrv) list = g_strsplit (values, "\t", -1);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint v = 0; list[v] != NULL; v++)
    {
      const char *word = list[v];
      for (guint i = 0; i < choices->len; i++)
        if (strcmp (((BlChoice *) bl_at (choices, i))->value, list[v]) == 0)
          word = ((BlChoice *) bl_at (choices, i))->words;
      g_string_append_printf (words, "%s%s", v == 0 ? "" : list[v + 1] == NULL ? _ (" or ") : ", ", word);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static void
show_choice (BlSlotField *self, const char *value)
{
  const char *left_out = bl_slot_default (self->ref.element, self->slot);
  g_autofree char *words =
      *value != '\0' ? words_of (self, value) : g_strdup (left_out != NULL ? left_out : _ ("none"));

  bl_chooser_show (BL_CHOOSER (self->chooser), value, words, *value == '\0');
}

void
bl_slot_field_refresh (BlSlotField *self)
{
  g_return_if_fail (BL_IS_SLOT_FIELD (self));
  const BlBoard *board = bl_edition_get_board (self->edition);
  if (bl_ref_find (board, &self->ref) == NULL)
    return;
  g_autofree char *text = bl_slot_get (board, &self->ref, self->slot);

  if (self->entry == NULL)
    show_choice (self, text);
  else if (g_strcmp0 (self->shown, gtk_editable_get_text (GTK_EDITABLE (self->entry))) == 0 || !self->refused)
    {
      gboolean typed = gtk_widget_has_focus (GTK_WIDGET (gtk_editable_get_delegate (GTK_EDITABLE (self->entry))))
                       && g_strcmp0 (self->shown, gtk_editable_get_text (GTK_EDITABLE (self->entry))) != 0
                       && g_strcmp0 (self->shown, text) == 0;
      if (!typed)
        show_text (self, text);
    }
  g_free (self->shown);
  self->shown = g_steal_pointer (&text);
}

/* --- entry --- */

static gboolean
is_changed (BlSlotField *self)
{
  return g_strcmp0 (self->shown, gtk_editable_get_text (GTK_EDITABLE (self->entry))) != 0;
}

static void
entry_activated (BlSlotField *self)
{
  if (!is_changed (self) || keep (self, gtk_editable_get_text (GTK_EDITABLE (self->entry))))
    g_signal_emit (self, signals[KEPT], 0);
}

static void
focus_left (GtkEventControllerFocus *controller, BlSlotField *self)
{
  if (self->entry != NULL && is_changed (self) && gtk_widget_get_mapped (GTK_WIDGET (self)))
    keep (self, gtk_editable_get_text (GTK_EDITABLE (self->entry)));
}

static void
text_changed (BlSlotField *self)
{
  g_signal_emit (self, signals[TYPING], 0);
}

static gboolean
entry_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlSlotField *self)
{
  if (keyval != GDK_KEY_Escape || (!is_changed (self) && !self->refused))
    return GDK_EVENT_PROPAGATE;
  gtk_editable_set_text (GTK_EDITABLE (self->entry), self->shown);
  say (self, NULL);
  return GDK_EVENT_STOP;
}

static void
make_entry (BlSlotField *self, const char *name)
{
  GtkEventController *focus = gtk_event_controller_focus_new (), *keys = gtk_event_controller_key_new ();
  const char *left_out = bl_slot_default (self->ref.element, self->slot);

  self->entry = gtk_entry_new ();
  gtk_widget_add_css_class (self->entry, "slot");
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), self->chars > 0 ? self->chars : 5);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), self->chars > 0 ? self->chars : 8);
  gtk_widget_set_hexpand (self->entry, self->chars < 0);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry),
                                  left_out != NULL ? left_out : bl_slot_label (self->ref.element, self->slot));
  bl_widget_name (self->entry, name);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (entry_activated), self);
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (text_changed), self);
  g_signal_connect (focus, "leave", G_CALLBACK (focus_left), self);
  gtk_widget_add_controller (self->entry, focus);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (entry_key), self);
  gtk_widget_add_controller (self->entry, keys);
  gtk_box_append (GTK_BOX (self->box), self->entry);
}

/* --- choices --- */

static void
fill (BlSlotField *self)
{
  g_autoptr (GPtrArray) choices = bl_slot_choices (bl_edition_get_board (self->edition), &self->ref, self->slot);

  for (guint i = 0; i < choices->len; i++)
    {
      const BlChoice *choice = bl_at (choices, i);
      bl_chooser_add (BL_CHOOSER (self->chooser), choice->value, choice->words);
    }
}

static void
chosen (BlSlotField *self, const char *value)
{
  if (self->entry != NULL)
    gtk_editable_set_text (GTK_EDITABLE (self->entry), value);
  keep (self, value);
}

static void
make_chooser (BlSlotField *self, const char *name)
{
  self->chooser = bl_chooser_new (name, self->form == BL_SLOT_FORM_CHOICES);
  if (self->form == BL_SLOT_FORM_SUGGEST)
    bl_chooser_set_compact (BL_CHOOSER (self->chooser));
  g_signal_connect_swapped (self->chooser, "fill", G_CALLBACK (fill), self);
  g_signal_connect_swapped (self->chooser, "chosen", G_CALLBACK (chosen), self);
  gtk_box_append (GTK_BOX (self->box), self->chooser);
}

/* --- object --- */

const BlRef *
bl_slot_field_get_ref (BlSlotField *self)
{
  g_return_val_if_fail (BL_IS_SLOT_FIELD (self), NULL);
  return &self->ref;
}

BlSlot
bl_slot_field_get_slot (BlSlotField *self)
{
  g_return_val_if_fail (BL_IS_SLOT_FIELD (self), BL_N_SLOTS);
  return self->slot;
}

const char *
bl_slot_field_get_text (BlSlotField *self)
{
  g_return_val_if_fail (BL_IS_SLOT_FIELD (self), NULL);
  return self->entry != NULL ? gtk_editable_get_text (GTK_EDITABLE (self->entry)) : NULL;
}

gboolean
bl_slot_field_is_changed (BlSlotField *self)
{
  g_return_val_if_fail (BL_IS_SLOT_FIELD (self), FALSE);
  return self->entry != NULL && is_changed (self);
}

static gboolean
bl_slot_field_grab_focus (GtkWidget *widget)
{
  BlSlotField *self = BL_SLOT_FIELD (widget);
  return gtk_widget_grab_focus (self->entry != NULL ? self->entry : self->chooser);
}

static void
bl_slot_field_dispose (GObject *object)
{
  BlSlotField *self = BL_SLOT_FIELD (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  self->entry = self->chooser = NULL;
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_slot_field_parent_class)->dispose (object);
}

static void
bl_slot_field_finalize (GObject *object)
{
  g_free (BL_SLOT_FIELD (object)->shown);
  G_OBJECT_CLASS (bl_slot_field_parent_class)->finalize (object);
}

static void
bl_slot_field_class_init (BlSlotFieldClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_SLOT_FIELD;

  G_OBJECT_CLASS (klass)->dispose = bl_slot_field_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_slot_field_finalize;
  widget_class->grab_focus = bl_slot_field_grab_focus;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  signals[TROUBLE] =
      g_signal_new ("trouble", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[TYPING] = g_signal_new ("typing", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[KEPT] = g_signal_new ("kept", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[RENAMED] = g_signal_new ("renamed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                   G_TYPE_STRING, G_TYPE_STRING);
}

static void
bl_slot_field_init (BlSlotField *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
bl_slot_field_new (BlEdition *edition, const BlRef *ref, BlSlot slot, int chars)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && ref != NULL, NULL);
  BlSlotField *self = g_object_new (BL_TYPE_SLOT_FIELD, NULL);
  g_autofree char *words = bl_ref_words (bl_edition_get_board (edition), ref);
  g_autofree char *name = g_strdup_printf (_ ("%s of %s"), bl_slot_label (ref->element, slot), words);

  self->edition = g_object_ref (edition);
  self->ref = *ref;
  self->slot = slot;
  self->form = bl_slot_form (ref, slot);
  self->chars = chars;
  gtk_widget_set_hexpand (GTK_WIDGET (self), chars < 0);
  if (self->form == BL_SLOT_FORM_TEXT || self->form == BL_SLOT_FORM_SUGGEST)
    make_entry (self, name);
  if (self->form != BL_SLOT_FORM_TEXT)
    make_chooser (self, name);
  bl_slot_field_refresh (self);
  return GTK_WIDGET (self);
}
