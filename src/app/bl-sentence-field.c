/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The entry of a failure mode. It wraps, for a sentence has up to ten clauses, but it is one line: Enter keeps it.
 * Below stands, in one line of its own, what helps now: completions while typing, what was refused and why, else
 * where the mode's weight comes from. */
#include "config.h"

#include "bl-sentence-field.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-completion-strip.h"
#include "bl-effect-sentence.h"
#include "bl-style.h"
#include "bl-weight-words.h"

#define MOST_COMPLETIONS 8

struct _BlSentenceField
{
  GtkWidget parent_instance;

  BlEdition *edition;
  char *component;
  int index;
  char *shown;      /* the document's sentence, "" for a new mode */
  GtkWidget *box, *view, *height, *hint, *strip, *note; /* height: what makes room for all lines of the view */
  GtkTextBuffer *buffer;
  GPtrArray *completions; /* shown */
  gboolean setting, refused;
};

enum
{
  IN_HAND,
  TYPING,
  KEPT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlSentenceField, bl_sentence_field, GTK_TYPE_WIDGET)

/* --- text --- */

static const BlComponent *
component_of (BlSentenceField *self)
{
  return bl_board_component (bl_edition_get_board (self->edition), self->component);
}

static const BlMode *
mode_of (BlSentenceField *self)
{
  const BlComponent *component = component_of (self);

  if (component == NULL || self->index < 0 || (guint) self->index >= bl_len (component->modes))
    return NULL;
  return bl_at (component->modes, (guint) self->index);
}

static char *
text_now (BlSentenceField *self)
{
  GtkTextIter start, end;

  gtk_text_buffer_get_bounds (self->buffer, &start, &end);
  return gtk_text_buffer_get_text (self->buffer, &start, &end, FALSE);
}

static char *
text_before_cursor (BlSentenceField *self)
{
  GtkTextIter start, cursor;

  gtk_text_buffer_get_start_iter (self->buffer, &start);
  gtk_text_buffer_get_iter_at_mark (self->buffer, &cursor, gtk_text_buffer_get_insert (self->buffer));
  return gtk_text_buffer_get_text (self->buffer, &start, &cursor, FALSE);
}

static void
show_size (BlSentenceField *self)
{
  g_autofree char *now = text_now (self);

  gtk_label_set_label (GTK_LABEL (self->height), *now != '\0' ? now : " ");
  gtk_widget_set_visible (self->hint, *now == '\0');
}

static void
set_text (BlSentenceField *self, const char *text)
{
  g_autofree char *now = text_now (self);

  if (strcmp (now, text) == 0)
    return;
  self->setting = TRUE;
  gtk_text_buffer_set_text (self->buffer, text, -1);
  self->setting = FALSE;
  show_size (self);
}

gboolean
bl_sentence_field_is_changed (BlSentenceField *self)
{
  g_return_val_if_fail (BL_IS_SENTENCE_FIELD (self), FALSE);
  g_autofree char *now = text_now (self);
  return strcmp (now, self->shown) != 0;
}

/* --- the line below --- */

static void
mark_place (BlSentenceField *self, const char *text, gsize place)
{
  GtkTextIter from, to, end;

  gtk_text_buffer_get_bounds (self->buffer, &to, &end);
  gtk_text_buffer_remove_tag_by_name (self->buffer, "wrong", &to, &end);
  if (text == NULL || place > strlen (text))
    return;
  gtk_text_buffer_get_iter_at_offset (self->buffer, &from, (int) g_utf8_pointer_to_offset (text, text + place));
  gtk_text_buffer_apply_tag_by_name (self->buffer, "wrong", &from, &end);
}

static void
say (BlSentenceField *self, const char *words, const char *css)
{
  gtk_widget_set_visible (self->note, words != NULL);
  gtk_widget_set_visible (self->strip, words == NULL);
  gtk_label_set_label (GTK_LABEL (self->note), words != NULL ? words : "");
  gtk_widget_set_tooltip_text (self->note, words);
  gtk_widget_remove_css_class (self->note, "trouble");
  gtk_widget_remove_css_class (self->note, "muted");
  if (css != NULL)
    gtk_widget_add_css_class (self->note, css);
}

/* What is told of a sentence that nobody writes in. */
static void
say_source (BlSentenceField *self)
{
  const BlMode *mode = mode_of (self);

  if (mode == NULL)
    {
      say (self, self->index < 0 ? _ ("Another fault: Enter adds it") : "", "muted");
      return;
    }
  g_autofree char *weight = bl_mode_weight_words (bl_edition_get_board (self->edition), component_of (self), mode);
  g_autofree char *words
    = bl_mode_is_proposed (mode) ? g_strdup_printf (_ ("effect proposed, common practice, no source · weight %s"), weight)
                                 : g_strdup_printf (_ ("weight %s"), weight);
  say (self, words, "muted");
}

static void
show_completions (BlSentenceField *self)
{
  const BlComponent *component = component_of (self);
  g_autofree char *before = text_before_cursor (self), *now = text_now (self);

  g_clear_pointer (&self->completions, g_ptr_array_unref);
  if (component == NULL)
    return;
  self->completions
    = bl_sentence_complete (bl_edition_get_board (self->edition), component, before, MOST_COMPLETIONS);
  bl_completion_strip_show (BL_COMPLETION_STRIP (self->strip), self->completions);
  if (self->completions->len > 0)
    {
      say (self, NULL, NULL);
      return;
    }
  g_autoptr (GError) error = NULL;
  g_autoptr (BlMode) mode
    = bl_mode_from_sentence (bl_edition_get_board (self->edition), component, now, NULL, &error);
  if (mode != NULL)
    say (self, self->index < 0 ? _ ("Enter adds it") : _ ("Enter keeps it, Esc brings the old one back"), "muted");
  else
    say (self, error->message, "muted");
}

static void
forget_completions (BlSentenceField *self)
{
  g_clear_pointer (&self->completions, g_ptr_array_unref);
  bl_completion_strip_show (BL_COMPLETION_STRIP (self->strip), NULL);
}

/* --- keeping --- */

static void
refuse (BlSentenceField *self, const char *text, gsize place, const char *reason)
{
  self->refused = TRUE;
  mark_place (self, text, place);
  gtk_widget_add_css_class (self->view, "refused");
  say (self, reason, "trouble");
}

static void
accept (BlSentenceField *self)
{
  self->refused = FALSE;
  mark_place (self, NULL, 0);
  gtk_widget_remove_css_class (self->view, "refused");
}

static gboolean
keep (BlSentenceField *self)
{
  g_autofree char *typed = text_now (self), *text = g_strstrip (g_strdup (typed)), *name = NULL;
  g_autofree char *old = g_strdup (bl_sentence_field_get_mode (self));
  g_autoptr (BlSentenceField) kept = g_object_ref (self);
  g_autoptr (GError) error = NULL;
  gsize place = 0;

  if (!bl_edition_set_sentence (self->edition, self->component, old, text, &name, &place, &error))
    {
      refuse (self, typed, place + strspn (typed, " \t\n"), error->message);
      return FALSE;
    }
  accept (self);
  forget_completions (self);
  if (self->index < 0)
    set_text (self, "");
  else
    {
      const BlMode *mode = mode_of (self);
      g_free (self->shown);
      self->shown = mode != NULL ? bl_mode_sentence (bl_edition_get_board (self->edition), component_of (self), mode)
                                 : g_strdup ("");
      set_text (self, self->shown);
    }
  say_source (self);
  g_signal_emit (self, signals[KEPT], 0, name);
  return TRUE;
}

gboolean
bl_sentence_field_drop (BlSentenceField *self)
{
  g_return_val_if_fail (BL_IS_SENTENCE_FIELD (self), FALSE);
  if (!bl_sentence_field_is_changed (self))
    return FALSE;
  set_text (self, self->shown);
  accept (self);
  forget_completions (self);
  say_source (self);
  g_signal_emit (self, signals[TYPING], 0);
  return TRUE;
}

static void
edition_changed (BlEdition *edition, BlSentenceField *self)
{
  const BlMode *mode = mode_of (self);
  g_autofree char *now = mode != NULL ? bl_mode_sentence (bl_edition_get_board (edition), component_of (self), mode)
                                      : g_strdup ("");
  gboolean typed = bl_sentence_field_is_changed (self);

  /* What is typed stays, also over a change elsewhere. */
  if (!typed || strcmp (now, self->shown) != 0)
    {
      if (!typed || self->index >= 0)
        set_text (self, now);
      accept (self);
    }
  g_free (self->shown);
  self->shown = g_steal_pointer (&now);
  if (!bl_sentence_field_is_changed (self))
    say_source (self);
}

/* --- keys --- */

static void
take_completion (BlSentenceField *self, guint index)
{
  g_autofree char *before = text_before_cursor (self);
  GtkTextIter from, cursor;

  if (self->completions == NULL || index >= self->completions->len)
    return;
  g_autofree char *text = g_strdup (((BlCompletion *) bl_at (self->completions, index))->text);
  gsize start = ((BlCompletion *) bl_at (self->completions, index))->from;
  gtk_text_buffer_get_iter_at_offset (self->buffer, &from, (int) g_utf8_pointer_to_offset (before, before + start));
  gtk_text_buffer_get_iter_at_mark (self->buffer, &cursor, gtk_text_buffer_get_insert (self->buffer));
  gtk_text_buffer_begin_user_action (self->buffer);
  self->setting = TRUE; /* the completions are made once, after both */
  gtk_text_buffer_delete (self->buffer, &from, &cursor);
  self->setting = FALSE;
  gtk_text_buffer_insert (self->buffer, &from, text, -1);
  gtk_text_buffer_end_user_action (self->buffer);
  gtk_widget_grab_focus (self->view);
}

static void
completion_pressed (BlCompletionStrip *strip, guint index, BlSentenceField *self)
{
  take_completion (self, index);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlSentenceField *self)
{
  int marked = bl_completion_strip_get_marked (BL_COMPLETION_STRIP (self->strip));

  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  switch (keyval)
    {
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      if (bl_sentence_field_is_changed (self))
        keep (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_Tab:
      if (marked < 0)
        return GDK_EVENT_PROPAGATE;
      take_completion (self, (guint) marked);
      return GDK_EVENT_STOP;
    case GDK_KEY_Down:
    case GDK_KEY_Up:
      return bl_completion_strip_move (BL_COMPLETION_STRIP (self->strip), keyval == GDK_KEY_Down ? 1 : -1);
    case GDK_KEY_Escape:
      return bl_sentence_field_drop (self);
    default:
      return GDK_EVENT_PROPAGATE;
    }
}

/* --- focus and typing --- */

static void
text_changed (BlSentenceField *self)
{
  if (self->setting)
    return;
  show_size (self);
  accept (self);
  show_completions (self);
  g_signal_emit (self, signals[TYPING], 0);
}

static void
focus_entered (GtkEventControllerFocus *controller, BlSentenceField *self)
{
  if (self->index < 0 && !self->refused)
    show_completions (self);
  g_signal_emit (self, signals[IN_HAND], 0);
}

static void
focus_left (GtkEventControllerFocus *controller, BlSentenceField *self)
{
  if (self->edition == NULL || !gtk_widget_get_mapped (GTK_WIDGET (self)) || component_of (self) == NULL)
    return;
  if (bl_sentence_field_is_changed (self))
    keep (self);
  else
    {
      forget_completions (self);
      say_source (self);
    }
}

/* --- object --- */

const char *
bl_sentence_field_get_mode (BlSentenceField *self)
{
  g_return_val_if_fail (BL_IS_SENTENCE_FIELD (self), NULL);
  const BlMode *mode = mode_of (self);
  return mode != NULL ? mode->mode : NULL;
}

int
bl_sentence_field_get_index (BlSentenceField *self)
{
  g_return_val_if_fail (BL_IS_SENTENCE_FIELD (self), -1);
  return self->index;
}

char *
bl_sentence_field_get_typed (BlSentenceField *self)
{
  g_return_val_if_fail (BL_IS_SENTENCE_FIELD (self), NULL);
  return bl_sentence_field_is_changed (self) ? text_now (self) : NULL;
}

static GtkSizeRequestMode
bl_sentence_field_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

/* As wide as it is given, as high as the sentence then is. */
static void
bl_sentence_field_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                           int *minimum_baseline, int *natural_baseline)
{
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = 240;
      *natural = 480;
      return;
    }
  gtk_widget_measure (BL_SENTENCE_FIELD (widget)->box, orientation, for_size >= 0 ? MAX (for_size, 240) : 480, minimum,
                      natural, NULL, NULL);
}

static void
bl_sentence_field_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  gtk_widget_size_allocate (BL_SENTENCE_FIELD (widget)->box, &(GtkAllocation){ 0, 0, width, height }, -1);
}

static gboolean
bl_sentence_field_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (BL_SENTENCE_FIELD (widget)->view);
}

/* --- what could not be read and was left --- */

/* Kept with the edition as long as it is open: fields come and go with what is in hand. Component and place of the
 * sentence -> the sentence it stood for, a line break, what was typed. */
static GHashTable *
drafts_of (BlEdition *edition)
{
  GHashTable *drafts = g_object_get_data (G_OBJECT (edition), "sentence-drafts");

  if (drafts == NULL)
    {
      drafts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
      g_object_set_data_full (G_OBJECT (edition), "sentence-drafts", drafts, (GDestroyNotify) g_hash_table_unref);
    }
  return drafts;
}

static void
put_draft (BlSentenceField *self)
{
  g_autofree char *now = text_now (self);
  char *key = g_strdup_printf ("%s\t%d", self->component, self->index);

  if (strcmp (now, self->shown) != 0)
    g_hash_table_replace (drafts_of (self->edition), key, g_strconcat (self->shown, "\n", now, NULL));
  else
    {
      g_hash_table_remove (drafts_of (self->edition), key);
      g_free (key);
    }
}

/* The sentence was changed elsewhere since: then it is not restored. */
static void
get_draft (BlSentenceField *self)
{
  g_autofree char *key = g_strdup_printf ("%s\t%d", self->component, self->index);
  g_autofree char *stood_for = g_strconcat (self->shown, "\n", NULL);
  const char *draft = g_hash_table_lookup (drafts_of (self->edition), key);

  if (draft != NULL && g_str_has_prefix (draft, stood_for))
    {
      set_text (self, draft + strlen (stood_for));
      say (self, _ ("not kept yet"), "trouble");
    }
}

static void
bl_sentence_field_dispose (GObject *object)
{
  BlSentenceField *self = BL_SENTENCE_FIELD (object);

  if (self->box != NULL)
    {
      if (self->edition != NULL)
        put_draft (self);
      g_signal_handlers_disconnect_by_data (self->buffer, self);
    }
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_sentence_field_parent_class)->dispose (object);
}

static void
bl_sentence_field_finalize (GObject *object)
{
  BlSentenceField *self = BL_SENTENCE_FIELD (object);

  g_clear_pointer (&self->completions, g_ptr_array_unref);
  g_free (self->component);
  g_free (self->shown);
  G_OBJECT_CLASS (bl_sentence_field_parent_class)->finalize (object);
}

static void
bl_sentence_field_class_init (BlSentenceFieldClass *klass)
{
  GType type = BL_TYPE_SENTENCE_FIELD;

  G_OBJECT_CLASS (klass)->dispose = bl_sentence_field_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_sentence_field_finalize;
  GTK_WIDGET_CLASS (klass)->grab_focus = bl_sentence_field_grab_focus;
  GTK_WIDGET_CLASS (klass)->get_request_mode = bl_sentence_field_request_mode;
  GTK_WIDGET_CLASS (klass)->measure = bl_sentence_field_measure;
  GTK_WIDGET_CLASS (klass)->size_allocate = bl_sentence_field_allocate;
  signals[IN_HAND] = g_signal_new ("in-hand", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[TYPING] = g_signal_new ("typing", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[KEPT]
    = g_signal_new ("kept", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static GtkWidget *
make_view (BlSentenceField *self)
{
  GtkWidget *overlay = gtk_overlay_new ();
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new ();

  self->view = gtk_text_view_new ();
  self->buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->view));
  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (self->view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (self->view), FALSE);
  gtk_widget_add_css_class (self->view, "sentence");
  gtk_widget_set_hexpand (self->view, TRUE);
  gtk_text_buffer_create_tag (self->buffer, "wrong", "underline", PANGO_UNDERLINE_ERROR, NULL);
  g_signal_connect_swapped (self->buffer, "changed", G_CALLBACK (text_changed), self);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (self->view, keys);
  g_signal_connect (focus, "enter", G_CALLBACK (focus_entered), self);
  g_signal_connect (focus, "leave", G_CALLBACK (focus_left), self);
  gtk_widget_add_controller (self->view, focus);
  self->hint = bl_label (_ ("what fails → what it does: short → its stage low, and may blow F1 (20 %)"), "muted sentence-hint", 0);
  gtk_widget_set_can_target (self->hint, FALSE);
  gtk_widget_set_halign (self->hint, GTK_ALIGN_START);
  gtk_widget_set_valign (self->hint, GTK_ALIGN_START);
  gtk_label_set_ellipsize (GTK_LABEL (self->hint), PANGO_ELLIPSIZE_END);
  self->height = bl_label (" ", "sentence-height", 0);
  gtk_label_set_wrap (GTK_LABEL (self->height), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (self->height), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_opacity (self->height, 0);
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->height), GTK_ACCESSIBLE_STATE_HIDDEN, TRUE, -1);
  gtk_overlay_set_child (GTK_OVERLAY (overlay), self->height);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->view);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->hint);
  return overlay;
}

static void
bl_sentence_field_init (BlSentenceField *self)
{
  GtkWidget *below = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->shown = g_strdup ("");
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_box_append (GTK_BOX (self->box), make_view (self));
  self->strip = bl_completion_strip_new ();
  gtk_widget_set_hexpand (self->strip, TRUE);
  g_signal_connect (self->strip, "taken", G_CALLBACK (completion_pressed), self);
  self->note = bl_label ("", "small sentence-note", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->note), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->note, TRUE);
  gtk_widget_set_margin_top (below, 2);
  gtk_box_append (GTK_BOX (below), self->note);
  gtk_box_append (GTK_BOX (below), self->strip);
  gtk_box_append (GTK_BOX (self->box), below);
}

GtkWidget *
bl_sentence_field_new (BlEdition *edition, const char *component, int index)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && component != NULL, NULL);
  BlSentenceField *self = g_object_new (BL_TYPE_SENTENCE_FIELD, NULL);
  g_autofree char *name = index < 0 ? g_strdup_printf (_ ("Another fault of %s, as a sentence"), component)
                                    : g_strdup_printf (_ ("Fault %d of %s, as a sentence"), index + 1, component);

  self->edition = g_object_ref (edition);
  self->component = g_strdup (component);
  self->index = index;
  bl_widget_name (self->view, name);
  g_signal_connect_object (edition, "changed", G_CALLBACK (edition_changed), self, 0);
  edition_changed (edition, self);
  get_draft (self);
  return GTK_WIDGET (self);
}
