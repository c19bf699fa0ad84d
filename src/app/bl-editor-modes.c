/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The failure modes of the component in hand, each as its sentence. The one written in is in hand: below, in place
 * of the structure, stand its pieces to be chosen, and what each measurement would read with it; that is
 * bl-editor-preview.c. It follows what is typed before it is kept. */
#include "config.h"

#include "bl-editor-modes.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-edition-sentence.h"
#include "bl-kinds.h"
#include "bl-preview-ask.h"
#include "bl-sentence-field.h"
#include "bl-shell.h"
#include "bl-style.h"

/* --- the mode in hand --- */

static void
drop_preview (BlEditorModes *modes)
{
  if (modes->cancellable != NULL)
    g_cancellable_cancel (modes->cancellable);
  g_clear_object (&modes->cancellable);
  g_clear_pointer (&modes->preview, bl_preview_free);
  g_clear_pointer (&modes->board, bl_board_free);
  g_clear_pointer (&modes->asked, bl_board_free);
  g_clear_pointer (&modes->trouble, g_free);
  modes->unreadable = FALSE;
}

static void
drop_mode (BlEditorModes *modes)
{
  drop_preview (modes);
  g_clear_pointer (&modes->mode, g_free);
  g_clear_pointer (&modes->typed, g_free);
  g_ptr_array_set_size (modes->without, 0);
  g_ptr_array_set_size (modes->also, 0);
  modes->is_new = FALSE;
}

void
bl_editor_modes_forget (BlEditor *self)
{
  BlEditorModes *modes = self->modes;

  if (modes == NULL)
    return;
  drop_mode (modes);
  g_ptr_array_unref (modes->without);
  g_ptr_array_unref (modes->also);
  g_free (modes->component);
  g_clear_pointer (&self->modes, g_free);
}

static gboolean
in_hand (BlEditor *self, const char *component)
{
  return self->part == BL_EDITOR_STRUCTURE && self->has_selected && self->selected.element == BL_ELEMENT_COMPONENT
         && g_strcmp0 (self->selected.id, component) == 0;
}

BlEditorModes *
bl_editor_modes (BlEditor *self)
{
  BlEditorModes *modes = self->modes;

  return modes != NULL && modes->mode != NULL && in_hand (self, modes->component) ? modes : NULL;
}

static BlEditorModes *
modes_of (BlEditor *self, const char *component)
{
  if (self->modes == NULL)
    {
      self->modes = g_new0 (BlEditorModes, 1);
      self->modes->without = g_ptr_array_new_with_free_func (g_free);
      self->modes->also = g_ptr_array_new_with_free_func (g_free);
    }
  if (g_strcmp0 (self->modes->component, component) != 0)
    {
      drop_mode (self->modes);
      g_free (self->modes->component);
      self->modes->component = g_strdup (component);
    }
  return self->modes;
}

/* --- asking --- */

static void
preview_ready (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;
  BlPreview *preview = bl_preview_ask_finish (result, &error);
  BlEditor *self = data;

  /* Cancelled: the editor may be gone. */
  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    return;
  g_clear_object (&self->modes->cancellable);
  bl_preview_free (self->modes->preview);
  self->modes->preview = preview;
  g_clear_pointer (&self->modes->board, bl_board_free);
  self->modes->board = g_steal_pointer (&self->modes->asked);
  g_free (self->modes->trouble);
  self->modes->trouble = error != NULL ? g_strdup (error->message) : NULL;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

/* Those of the list that the board has. */
static void
add_faults (GPtrArray *to, const BlBoard *board, const GPtrArray *from)
{
  for (guint i = 0; i < from->len; i++)
    {
      g_auto (GStrv) halves = g_strsplit (bl_at (from, i), ":", 2);
      const BlComponent *component = bl_board_component (board, halves[0]);
      if (component != NULL && halves[1] != NULL && bl_component_mode (component, halves[1]) != NULL)
        g_ptr_array_add (to, g_strdup (bl_at (from, i)));
    }
}

void
bl_editor_modes_ask (BlEditor *self)
{
  BlEditorModes *modes = bl_editor_modes (self);
  g_autoptr (GPtrArray) faults = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GPtrArray) without = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *name = NULL;
  BlBoard *board;

  if (modes == NULL)
    return;
  const BlBoard *document = bl_edition_get_board (self->edition);
  board = modes->typed != NULL
            ? bl_sentence_draft (document, modes->component, modes->is_new ? NULL : modes->mode, modes->typed, &name)
            : bl_board_copy (document);
  modes->unreadable = board == NULL;
  if (board == NULL)
    {
      bl_editor_queue_refresh (self);
      return;
    }
  if (modes->is_new && name == NULL)
    {
      bl_board_free (board);
      drop_preview (modes);
      bl_editor_queue_refresh (self);
      return;
    }
  if (modes->cancellable != NULL)
    g_cancellable_cancel (modes->cancellable);
  g_clear_object (&modes->cancellable);
  /* The preview that is shown until then goes by the measurements of its own board. */
  g_clear_pointer (&modes->asked, bl_board_free);
  modes->asked = board;
  modes->cancellable = g_cancellable_new ();
  g_ptr_array_add (faults, g_strconcat (modes->component, ":", name != NULL ? name : modes->mode, NULL));
  add_faults (faults, board, modes->also);
  add_faults (without, board, modes->without);
  g_ptr_array_add (faults, NULL);
  g_ptr_array_add (without, NULL);
  bl_preview_ask (board, (const char *const *) faults->pdata, (const char *const *) without->pdata, modes->cancellable,
                  preview_ready, self);
}

/* --- taking in hand --- */

static void
take (BlEditor *self, const char *component, const char *mode, gboolean is_new)
{
  BlEditorModes *modes = modes_of (self, component);
  GtkAdjustment *scroll = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->list_scroll));

  if (modes->mode == NULL)
    modes->scrolled = gtk_adjustment_get_value (scroll);
  if (g_strcmp0 (modes->mode, mode) != 0)
    gtk_adjustment_set_value (scroll, 0);
  if (g_strcmp0 (modes->mode, mode) != 0 || modes->is_new != is_new)
    {
      drop_mode (modes);
      modes->mode = g_strdup (mode);
      modes->is_new = is_new;
    }
  bl_editor_modes_ask (self);
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

static void
field_in_hand (BlSentenceField *field, BlEditor *self)
{
  const char *mode = bl_sentence_field_get_mode (field);
  BlEditorModes *modes = bl_editor_modes (self);
  gboolean is_new = bl_sentence_field_get_index (field) < 0;

  if (!self->has_selected || (is_new && modes == NULL))
    return; /* a new one is in hand when something is written */
  if (modes != NULL && modes->is_new == is_new && (is_new || g_strcmp0 (modes->mode, mode) == 0))
    return;
  take (self, self->selected.id, is_new ? "" : mode, is_new);
}

static void
field_typing (BlSentenceField *field, BlEditor *self)
{
  BlEditorModes *modes = bl_editor_modes (self);
  gboolean is_new = bl_sentence_field_get_index (field) < 0;

  if (modes == NULL || modes->is_new != is_new)
    take (self, self->selected.id, is_new ? "" : bl_sentence_field_get_mode (field), is_new);
  modes = bl_editor_modes (self);
  if (modes == NULL)
    return;
  g_free (modes->typed);
  modes->typed = bl_sentence_field_get_typed (field);
  bl_editor_modes_ask (self);
}

static void
field_kept (BlSentenceField *field, const char *mode, BlEditor *self)
{
  if (!self->has_selected || self->selected.element != BL_ELEMENT_COMPONENT)
    return;
  BlEditorModes *modes = modes_of (self, self->selected.id);
  g_clear_pointer (&modes->typed, g_free);
  take (self, self->selected.id, mode, FALSE);
}

void
bl_editor_modes_changed (BlEditor *self)
{
  BlEditorModes *modes = self->modes;
  const BlComponent *component
    = modes != NULL ? bl_board_component (bl_edition_get_board (self->edition), modes->component) : NULL;

  if (modes == NULL || modes->mode == NULL)
    return;
  if (component == NULL || (!modes->is_new && bl_component_mode (component, modes->mode) == NULL))
    drop_mode (modes);
  else
    bl_editor_modes_ask (self);
}

/* --- the sentences --- */

static void
add_field (BlEditor *self, BlSheet *sheet, const BlComponent *component, int index)
{
  GtkWidget *field = bl_sentence_field_new (self->edition, component->id, index);
  g_autofree char *key = g_strdup_printf ("sentence %s %d", component->id, index);

  g_signal_connect_object (field, "in-hand", G_CALLBACK (field_in_hand), self, 0);
  g_signal_connect_object (field, "typing", G_CALLBACK (field_typing), self, 0);
  g_signal_connect_object (field, "kept", G_CALLBACK (field_kept), self, 0);
  bl_sheet_line (sheet, "sentence-line", 0, NULL, NULL);
  bl_sheet_words (sheet, component->id, "strong sentence-of");
  bl_sheet_widget (sheet, key, field);
}

void
bl_editor_modes_hand (BlEditor *self, BlSheet *sheet, const BlComponent *component)
{
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, component->id);
  g_autofree const char **usual = bl_kind_modes (component->kind);
  gboolean missing = FALSE;

  for (guint i = 0; usual != NULL && usual[i] != NULL; i++)
    missing |= bl_component_mode (component, usual[i]) == NULL;
  bl_sheet_line (sheet, "above", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("When it fails"), "heading");
  bl_sheet_words (sheet, _ ("what fails → what it does; Tab goes on, Enter keeps"), "muted small stretch");
  if (missing)
    bl_sheet_button (sheet, _ ("add its usual faults"), _ ("U"),
                     _ ("Add the failure modes of this kind with their shares from the table of published handbooks"),
                     "usual-modes", &ref);
  bl_sheet_button (sheet, _ ("write"), _ ("E"), _ ("Write a fault as a sentence"), "mode-write", &ref);
  for (guint i = 0; i < bl_len (component->modes); i++)
    add_field (self, sheet, component, (int) i);
  add_field (self, sheet, component, -1);
}

/* --- acts --- */

static GtkWidget *
find_field (GtkWidget *widget, int index)
{
  if (BL_IS_SENTENCE_FIELD (widget))
    return bl_sentence_field_get_index (BL_SENTENCE_FIELD (widget)) == index ? widget : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_field (child, index);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* The first sentence, or the one to be added where there is none. */
static void
write_sentence (BlEditor *self)
{
  const BlComponent *component = self->has_selected && self->selected.element == BL_ELEMENT_COMPONENT
                                   ? bl_board_component (bl_edition_get_board (self->edition), self->selected.id)
                                   : NULL;
  GtkWidget *field = component != NULL ? find_field (self->hand, bl_len (component->modes) > 0 ? 0 : -1) : NULL;

  if (field != NULL)
    gtk_widget_grab_focus (field);
  else
    bl_widget_notify (GTK_WIDGET (self), _ ("Choose the component first"));
}

static void
toggle (GPtrArray *list, const BlRef *ref)
{
  g_autofree char *fault = g_strconcat (ref->id, ":", ref->mode, NULL);
  guint at;

  if (g_ptr_array_find_with_equal_func (list, fault, g_str_equal, &at))
    g_ptr_array_remove_index (list, at);
  else
    g_ptr_array_add (list, g_steal_pointer (&fault));
}

/* Brought about by less than half: there only when somebody says so. */
static void
toggle_along (BlEditor *self, BlEditorModes *modes, const BlRef *ref)
{
  gboolean likely = TRUE;

  for (guint i = 0; modes->preview != NULL && i < modes->preview->along->len; i++)
    {
      const BlPreviewAlong *along = bl_at (modes->preview->along, i);
      if (g_strcmp0 (along->component, ref->id) == 0 && g_strcmp0 (along->mode, ref->mode) == 0)
        likely = along->chance >= 0.5;
    }
  toggle (likely ? modes->without : modes->also, ref);
  bl_editor_modes_ask (self);
}

/* After the structure is there again. */
static gboolean
scroll_back (gpointer data)
{
  BlEditor *self = data;

  if (self->modes != NULL && self->modes->mode == NULL)
    gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->list_scroll)),
                              self->modes->scrolled);
  return G_SOURCE_REMOVE;
}

static void
accept (BlEditor *self, BlEditorModes *modes)
{
  GError *error = NULL;
  g_autofree char *component = g_strdup (modes->component), *mode = g_strdup (modes->mode);

  if (!modes->is_new && !bl_edition_accept_proposed (self->edition, component, mode, &error))
    bl_editor_report (self, error);
}

gboolean
bl_editor_modes_act (BlEditor *self, const char *act, const BlRef *ref)
{
  BlEditorModes *modes = bl_editor_modes (self);

  if (g_str_equal (act, "usual-modes") && ref == NULL && self->has_selected
      && self->selected.element == BL_ELEMENT_COMPONENT)
    {
      BlRef selected = self->selected;
      bl_editor_act (self, act, &selected);
      return TRUE;
    }
  if (g_str_equal (act, "usual-modes") && ref == NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("Choose the component first"));
      return TRUE;
    }
  if (!g_str_has_prefix (act, "mode-"))
    return FALSE;
  if (g_str_equal (act, "mode-write"))
    write_sentence (self);
  else if (modes == NULL)
    return TRUE;
  else if (g_str_equal (act, "mode-leave"))
    {
      gtk_widget_grab_focus (self->photo);
      drop_mode (modes);
      bl_editor_photo_refresh (self);
      bl_editor_queue_refresh (self);
      g_idle_add_full (G_PRIORITY_DEFAULT_IDLE + 20, scroll_back, g_object_ref (self), g_object_unref);
    }
  else if (g_str_equal (act, "mode-along"))
    toggle_along (self, modes, ref);
  else if (g_str_equal (act, "mode-also"))
    {
      toggle (modes->also, ref);
      bl_editor_modes_ask (self);
    }
  else if (g_str_equal (act, "mode-accept"))
    accept (self, modes);
  else if (g_str_equal (act, "mode-reveal"))
    bl_editor_photo_reveal (self, ref);
  return TRUE;
}
