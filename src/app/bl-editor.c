/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The board editor: what is open and what is selected. What an act does is said in
 * bl-editor-acts.c, what it is made of in bl-editor-layout.c.
 *
 * The document is BlEdition's; what the parts say about it is written by bl-editor-points.c and its
 * like into sheets, anew after every change, in an idle so that nobody's button vanishes under its own
 * signal. The photo is bl-editor-photo.c's. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-missing.h"
#include "bl-shell.h"
#include "bl-style.h"

enum
{
  CLOSED,
  COMPARE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlEditor, bl_editor, GTK_TYPE_WIDGET)

gboolean
bl_editor_report (BlEditor *self, GError *error)
{
  bl_widget_report (GTK_WIDGET (self), _ ("Nothing was changed"), error);
  return FALSE;
}

/* --- showing --- */

static void
show_step (GtkWidget *button, const char *word, const char *label)
{
  g_autofree char *text = label != NULL ? g_strdup_printf ("%s: %s", word, label) : g_strdup (word);

  gtk_label_set_label (GTK_LABEL (g_object_get_data (G_OBJECT (button), "label")), text);
  gtk_widget_set_sensitive (button, label != NULL);
  bl_widget_name (button, text);
}

static void
show_head (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autofree char *title = bl_board_title (board->board_number, board->edition);
  g_autofree char *maker = g_strdup_printf ("%s %s", board->maker != NULL ? board->maker : "",
                                            board->model != NULL ? board->model : "");

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->maker), g_strstrip (maker));
  show_step (self->undo, _ ("undo"), bl_edition_get_undo_label (self->edition));
  show_step (self->redo, _ ("redo"), bl_edition_get_redo_label (self->edition));
}

static void
show_hand (BlEditor *self)
{
  gboolean points = self->part == BL_EDITOR_POINTS, structure = self->part == BL_EDITOR_STRUCTURE;
  gboolean photos = self->part == BL_EDITOR_PHOTOS;
  const char *point =
      points && self->has_selected && self->selected.element == BL_ELEMENT_TEST_POINT ? self->selected.id : NULL;
  const BlMeasurement *measurement = points && self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT
                                       ? bl_board_measurement (bl_edition_get_board (self->edition), self->selected.id)
                                       : NULL;

  if (measurement != NULL)
    point = measurement->at;
  gtk_widget_set_visible (gtk_widget_get_parent (gtk_widget_get_parent (self->hand_scroll)), points || structure || photos);
  gtk_widget_set_visible (self->entry, point != NULL);
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), self->edition, point);
  bl_sheet_begin (BL_SHEET (self->hand), self->edition);
  if (points)
    bl_editor_points_hand (self, BL_SHEET (self->hand));
  else if (structure)
    bl_editor_structure_hand (self, BL_SHEET (self->hand));
  else if (photos)
    bl_editor_photos_hand (self, BL_SHEET (self->hand));
  bl_sheet_end (BL_SHEET (self->hand));
}

static void
show_list (BlEditor *self)
{
  BlSheet *sheet = BL_SHEET (self->list);

  bl_sheet_begin (sheet, self->edition);
  switch (self->part)
    {
    case BL_EDITOR_POINTS:
      bl_editor_points_list (self, sheet);
      break;
    case BL_EDITOR_STRUCTURE:
      bl_editor_structure_list (self, sheet);
      break;
    case BL_EDITOR_STATES:
      bl_editor_states_list (self, sheet);
      break;
    case BL_EDITOR_BOARD:
      bl_editor_board_list (self, sheet);
      break;
    case BL_EDITOR_GOOD:
      bl_editor_good_list (self, sheet);
      break;
    case BL_EDITOR_PHOTOS:
      bl_editor_photos_list (self, sheet);
      break;
    case BL_EDITOR_CHECKS:
    case BL_N_EDITOR_PARTS:
    default:
      bl_editor_checks_list (self, sheet);
      break;
    }
  bl_sheet_end (sheet);
  bl_sheet_mark (sheet, self->has_selected ? &self->selected : NULL);
}

static gboolean
refresh (gpointer data)
{
  BlEditor *self = data;

  self->refresh_idle = 0;
  if (self->edition == NULL)
    return G_SOURCE_REMOVE;
  if (self->has_selected && bl_ref_find (bl_edition_get_board (self->edition), &self->selected) == NULL)
    self->has_selected = FALSE;
  if (bl_len (bl_edition_get_board (self->edition)->stages) > 0)
    bl_editor_checks_ask (self);
  show_head (self);
  bl_editor_checklist_refresh (self);
  show_hand (self);
  show_list (self);
  bl_editor_good_update (self);
  return G_SOURCE_REMOVE;
}

void
bl_editor_queue_refresh (BlEditor *self)
{
  if (self->refresh_idle == 0)
    self->refresh_idle = g_idle_add_full (G_PRIORITY_HIGH_IDLE, refresh, self, NULL);
}

/* Undo may have put another picture in a photo's place. */
static void
picture_changed (BlEditor *self, const char *photo)
{
  bl_photo_loader_forget (self->loader, photo);
}

static void
edition_changed (BlEditor *self)
{
  self->changed = TRUE;
  bl_editor_modes_changed (self);
  bl_editor_photo_refresh (self);
  bl_editor_placing_refresh (self);
  bl_editor_queue_refresh (self);
}

/* --- selecting --- */

/* Brings the row of what is in hand into view; a test point's is that of its first measurement. */
static void
reveal_row (BlEditor *self, const BlRef *ref)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef row = *ref;

  for (guint i = 0; ref->element == BL_ELEMENT_TEST_POINT && i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->at, ref->id) != 0)
        continue;
      row = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
      break;
    }
  bl_sheet_reveal (BL_SHEET (self->list), &row);
}

void
bl_editor_select (BlEditor *self, const BlRef *ref)
{
  if (ref == NULL ? !self->has_selected : self->has_selected && bl_ref_equal (&self->selected, ref))
    return;
  self->has_selected = ref != NULL;
  if (ref != NULL)
    bl_editor_template_leave (self);
  if (ref != NULL)
    self->selected = *ref;
  bl_photo_view_drop_corner (BL_PHOTO_VIEW (self->photo));
  bl_editor_photo_refresh (self);
  bl_editor_placing_refresh (self);
  if (ref != NULL)
    reveal_row (self, ref);
  bl_editor_queue_refresh (self);
}

static void
scroll_to_top (GtkWidget *scrolled)
{
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled)), 0);
}

void
bl_editor_set_part (BlEditor *self, BlEditorPart part)
{
  self->part = part;
  for (guint i = 0; i < BL_N_EDITOR_PARTS; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->parts[i]), i == part);
  gtk_widget_set_visible (self->tool_point, part == BL_EDITOR_POINTS || part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_visible (self->tool_rectangle, part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_visible (self->tool_polygon, part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_size_request (self->hand_scroll, -1, part == BL_EDITOR_STRUCTURE ? 300 : 196);
  bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
  bl_editor_keys_show (self->keys, part);
  bl_layers_panel_set_of (BL_LAYERS_PANEL (self->layers), bl_editor_layers_of (self));
  gtk_widget_set_visible (self->tool_layers, bl_editor_has_layers (self));
  if (!bl_editor_has_layers (self))
    bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  self->has_selected = FALSE;
  scroll_to_top (self->list_scroll);
  scroll_to_top (self->hand_scroll);
  gtk_widget_grab_focus (self->photo);
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

static BlEditorPart
part_of (const BlRef *ref)
{
  switch (ref->element)
    {
    case BL_ELEMENT_TEST_POINT:
    case BL_ELEMENT_MEASUREMENT:
    case BL_ELEMENT_MARK:
      return BL_EDITOR_POINTS;
    case BL_ELEMENT_SECTION:
    case BL_ELEMENT_STAGE:
    case BL_ELEMENT_PORT:
    case BL_ELEMENT_FEED:
    case BL_ELEMENT_COMPONENT:
    case BL_ELEMENT_MODE:
    case BL_ELEMENT_SHOW:
    case BL_ELEMENT_EFFECT:
    case BL_ELEMENT_PROVOKES:
      return BL_EDITOR_STRUCTURE;
    case BL_ELEMENT_STATE:
    case BL_ELEMENT_SYMPTOM:
    case BL_ELEMENT_WHEN:
    case BL_ELEMENT_INDICATION:
    case BL_ELEMENT_LAMP:
      return BL_EDITOR_STATES;
    case BL_ELEMENT_PHOTO:
    case BL_ELEMENT_LANDMARK:
      return BL_EDITOR_PHOTOS;
    case BL_ELEMENT_BOARD:
    case BL_N_ELEMENTS:
    default:
      return BL_EDITOR_BOARD;
    }
}

/* The part of the document that is selected when something inside it is meant. */
static BlRef
holder_of (const BlRef *ref)
{
  if (ref->element == BL_ELEMENT_MARK)
    return bl_ref (BL_ELEMENT_MEASUREMENT, ref->id);
  if (ref->element == BL_ELEMENT_FEED)
    return bl_ref (BL_ELEMENT_STAGE, ref->id);
  if (ref->mode != NULL)
    return bl_ref (BL_ELEMENT_COMPONENT, ref->id);
  return *ref;
}

void
bl_editor_go_to (BlEditor *self, const BlRef *ref)
{
  BlRef holder = holder_of (ref);
  BlEditorPart part = part_of (ref);

  if (part != self->part)
    bl_editor_set_part (self, part);
  if (part == BL_EDITOR_POINTS || part == BL_EDITOR_STRUCTURE || part == BL_EDITOR_PHOTOS)
    {
      bl_editor_select (self, &holder);
      reveal_row (self, &holder);
      bl_editor_photo_reveal (self, &holder);
    }
  else if (bl_slot_exists (holder.element, BL_SLOT_TITLE))
    bl_sheet_focus (BL_SHEET (self->list), &holder, BL_SLOT_TITLE);
}

void
bl_editor_leave (BlEditor *self)
{
  g_signal_emit (self, signals[CLOSED], 0);
}

/* --- opening --- */

BlEdition *
bl_editor_get_edition (BlEditor *self)
{
  g_return_val_if_fail (BL_IS_EDITOR (self), NULL);
  return self->edition;
}

void
bl_editor_close (BlEditor *self)
{
  g_return_if_fail (BL_IS_EDITOR (self));
  if (self->edition == NULL)
    return;
  g_signal_handlers_disconnect_by_data (self->edition, self);
  g_clear_handle_id (&self->refresh_idle, g_source_remove);
  bl_editor_placing_end (self);
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  g_clear_pointer (&self->fly_photo, g_free);
  bl_editor_photo_forget (self);
  bl_editor_checks_forget (self);
  bl_editor_modes_forget (self);
  bl_editor_checklist_forget (self);
  bl_editor_good_forget (self);
  bl_sheet_begin (BL_SHEET (self->hand), NULL);
  bl_sheet_end (BL_SHEET (self->hand));
  bl_sheet_begin (BL_SHEET (self->list), NULL);
  bl_sheet_end (BL_SHEET (self->list));
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), NULL, NULL);
  self->has_selected = FALSE;
  g_clear_object (&self->edition);
}

gboolean
bl_editor_open (BlEditor *self, gint64 board, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITOR (self), FALSE);
  BlEdition *edition = bl_edition_new (self->library, board, error);

  if (edition == NULL)
    return FALSE;
  bl_editor_close (self);
  self->edition = edition;
  g_signal_connect_swapped (edition, "changed", G_CALLBACK (edition_changed), self);
  g_signal_connect_swapped (edition, "photo-changed", G_CALLBACK (picture_changed), self);
  bl_editor_photo_show (self, NULL);
  bl_editor_set_part (self, BL_EDITOR_POINTS);
  return TRUE;
}

/* --- object --- */

/* Boards may have been marked and read since it was last shown. */
static void
bl_editor_map (GtkWidget *widget)
{
  BlEditor *self = BL_EDITOR (widget);

  GTK_WIDGET_CLASS (bl_editor_parent_class)->map (widget);
  bl_editor_good_forget (self);
  if (self->edition == NULL)
    return;
  bl_edition_catch_up (self->edition, NULL); /* the bench may have changed it */
  bl_editor_queue_refresh (self);
}

/* A job on the bench that belongs to this board must not go on with the document as it was. */
static void
bl_editor_unmap (GtkWidget *widget)
{
  BlEditor *self = BL_EDITOR (widget);
  BlShell *shell = bl_shell_of (widget);

  if (self->changed && self->edition != NULL && shell != NULL && !gtk_widget_in_destruction (GTK_WIDGET (shell)))
    bl_shell_board_changed (shell, bl_edition_get_id (self->edition));
  self->changed = FALSE;
  GTK_WIDGET_CLASS (bl_editor_parent_class)->unmap (widget);
}

static void
bl_editor_dispose (GObject *object)
{
  BlEditor *self = BL_EDITOR (object);

  if (self->box != NULL)
    bl_editor_close (self);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_editor_parent_class)->dispose (object);
}

static void
bl_editor_finalize (GObject *object)
{
  BlEditor *self = BL_EDITOR (object);

  g_clear_pointer (&self->loader, bl_photo_loader_close);
  bl_editor_template_leave (self);
  bl_editor_placing_free (self);
  bl_editor_checklist_free (self);
  g_free (self->photo_id);
  g_free (self->fly_photo);
  G_OBJECT_CLASS (bl_editor_parent_class)->finalize (object);
}

static void
bl_editor_class_init (BlEditorClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_editor_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_editor_finalize;
  GTK_WIDGET_CLASS (klass)->map = bl_editor_map;
  GTK_WIDGET_CLASS (klass)->unmap = bl_editor_unmap;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_EDITOR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[COMPARE] = g_signal_new ("compare", BL_TYPE_EDITOR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                   G_TYPE_INT64, G_TYPE_BOOLEAN);
}

static void
bl_editor_init (BlEditor *self)
{
  self->box = bl_editor_build (self);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  bl_editor_photo_connect (self);
}

GtkWidget *
bl_editor_new (BlLibrary *library)
{
  BlEditor *self = g_object_new (BL_TYPE_EDITOR, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
