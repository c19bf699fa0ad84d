/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the keys, buttons and tools of the board editor do. An act is a word: keys, sheets and buttons all
 * send one, so that each thing is done in one place. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>

#include "bl-follows-plot.h"
#include "bl-editor-modes.h"
#include "bl-ring-picker.h"
#include "bl-sentence-field.h"
#include "bl-shell.h"
#include "bl-slot-field.h"
#include "bl-style.h"

/* --- tools --- */

BlPhotoTool
bl_editor_get_tool (BlEditor *self)
{
  return bl_photo_view_get_tool (BL_PHOTO_VIEW (self->photo));
}

void
bl_editor_set_tool (BlEditor *self, gboolean placing, BlPhotoTool tool)
{
  if (placing)
    tool = BL_PHOTO_TOOL_PLACE;
  bl_editor_placing_end (self);
  self->placing = placing;
  self->placing_selected = FALSE;
  self->picking = FALSE;
  self->scaling = FALSE;
  bl_editor_landmarks_forget (self);
  if (bl_editor_get_tool (self) != tool)
    bl_photo_view_set_tool (BL_PHOTO_VIEW (self->photo), tool);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->tool_point), placing);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->tool_rectangle), tool == BL_PHOTO_TOOL_RECTANGLE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->tool_polygon), tool == BL_PHOTO_TOOL_POLYGON);
  gtk_widget_set_cursor_from_name (self->photo, placing || tool != BL_PHOTO_TOOL_NONE ? "crosshair" : NULL);
  if (placing || tool != BL_PHOTO_TOOL_NONE)
    gtk_widget_grab_focus (self->photo);
}

static gboolean
has_outline (BlEditor *self)
{
  return self->has_selected
         && (self->selected.element == BL_ELEMENT_SECTION || self->selected.element == BL_ELEMENT_STAGE);
}

static void
toggle_tool (BlEditor *self, const char *act)
{
  gboolean point = g_str_equal (act, "tool-point");
  BlPhotoTool tool = g_str_equal (act, "tool-rectangle") ? BL_PHOTO_TOOL_RECTANGLE
                     : g_str_equal (act, "tool-polygon") ? BL_PHOTO_TOOL_POLYGON
                                                         : BL_PHOTO_TOOL_NONE;
  const char *hint = NULL;

  if (self->photo_id == NULL)
    hint = _ ("This board has no photo yet: add one first");
  else if (!point && !has_outline (self))
    hint = _ ("Choose the section or stage to be outlined first");
  else if (point && self->part == BL_EDITOR_STRUCTURE && bl_len (bl_edition_get_board (self->edition)->stages) == 0)
    hint = _ ("A component belongs to a stage: add a section and a stage first");
  if (hint != NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), hint);
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
    }
  else if (point)
    {
      if (self->placing)
        bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      else
        bl_editor_placing_begin (self, FALSE);
    }
  else
    bl_editor_set_tool (self, FALSE, bl_editor_get_tool (self) == tool ? BL_PHOTO_TOOL_NONE : tool);
}

/* --- acts --- */

static void
step (BlEditor *self, gboolean back)
{
  GError *error = NULL;
  g_autofree char *label
    = g_strdup (back ? bl_edition_get_undo_label (self->edition) : bl_edition_get_redo_label (self->edition));

  if (label == NULL)
    return;
  if (!(back ? bl_edition_undo (self->edition, &error) : bl_edition_redo (self->edition, &error)))
    {
      bl_editor_report (self, error);
      return;
    }
  g_autofree char *words = g_strdup_printf (back ? _ ("Undone: %s") : _ ("Done again: %s"), label);
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
remove_part (BlEditor *self, const BlRef *ref)
{
  GError *error = NULL;
  g_autofree char *words = bl_ref_words (bl_edition_get_board (self->edition), ref);

  if (!bl_edition_remove_part (self->edition, ref, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  g_autofree char *said = g_strdup_printf (_ ("Deleted %s. Ctrl Z brings it back."), words);
  bl_widget_notify (GTK_WIDGET (self), said);
}

/* What is edited first of a new part. */
static BlSlot
first_slot (BlElement element)
{
  switch (element)
    {
    case BL_ELEMENT_COMPONENT:
      return BL_SLOT_ID;
    case BL_ELEMENT_MODE:
      return BL_SLOT_MODE;
    case BL_ELEMENT_MARK:
      return BL_SLOT_ID;
    case BL_ELEMENT_FEED:
      return BL_SLOT_FROM;
    case BL_ELEMENT_EFFECT:
    case BL_ELEMENT_WHEN:
      return BL_SLOT_ON;
    case BL_ELEMENT_PROVOKES:
      return BL_SLOT_TARGET;
    case BL_ELEMENT_SHOW:
      return BL_SLOT_CONDITION;
    case BL_ELEMENT_INDICATION:
      return BL_SLOT_SYMPTOM;
    case BL_ELEMENT_LAMP:
      return BL_SLOT_LAMP;
    default:
      return BL_SLOT_TITLE;
    }
}

static void
add_part (BlEditor *self, BlElement element, const BlRef *parent)
{
  GError *error = NULL;
  BlRef added;

  if (!bl_edition_add_part (self->edition, parent, element, &added, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  if (element == BL_ELEMENT_SECTION || element == BL_ELEMENT_STAGE || element == BL_ELEMENT_COMPONENT
      || element == BL_ELEMENT_PORT)
    bl_editor_select (self, &added);
  gboolean in_hand = self->part == BL_EDITOR_POINTS || self->part == BL_EDITOR_STRUCTURE;
  gboolean of_mode = element == BL_ELEMENT_EFFECT || element == BL_ELEMENT_PROVOKES || element == BL_ELEMENT_SHOW;
  bl_sheet_focus (BL_SHEET (in_hand && !of_mode ? self->hand : self->list), &added, first_slot (element));
}

/* All that have no place yet, one after the other. */
static void
place_waiting (BlEditor *self)
{
  if (self->photo_id == NULL)
    bl_widget_notify (GTK_WIDGET (self), _ ("This board has no photo yet: add one first"));
  else
    bl_editor_placing_begin (self, TRUE);
}

static void
begin_scale (BlEditor *self, const BlRef *ref)
{
  bl_editor_photo_show (self, ref->id);
  bl_editor_set_tool (self, TRUE, BL_PHOTO_TOOL_NONE);
  self->scaling = TRUE;
  self->scale_places = 0;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
  bl_widget_notify (GTK_WIDGET (self), _ ("Press two places on the photo whose distance you know."));
}

static void
add_usual_modes (BlEditor *self, const BlRef *ref)
{
  GError *error = NULL;
  guint n;

  if (!bl_edition_add_usual_modes (self->edition, ref->id, &n, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  g_autofree char *words
    = n == 0 ? g_strdup (_ ("It has all of them already"))
             : g_strdup_printf (ngettext ("%u failure mode added; see what it makes the stage",
                                          "%u failure modes added; see what each makes the stage", n),
                                n);
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
escape (BlEditor *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))));

  if (self->picking)
    bl_editor_begin_picking (self, FALSE);
  else if (self->placing || self->scaling || bl_editor_get_tool (self) != BL_PHOTO_TOOL_NONE)
    {
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      bl_editor_photo_refresh (self);
      bl_editor_queue_refresh (self);
    }
  else if (bl_widget_is_text (focus))
    gtk_widget_grab_focus (self->photo);
  else if (self->part == BL_EDITOR_STRUCTURE && self->modes != NULL && self->modes->mode != NULL && self->has_selected)
    bl_editor_modes_act (self, "mode-leave", NULL);
  else if (self->choosing_template)
    bl_editor_template_act (self, "template-leave");
  else if (self->has_selected)
    bl_editor_select (self, NULL);
  else
    bl_editor_leave (self);
}

/* What it is called on the board and in the lists: a name there, a title elsewhere. */
static void
rename_selected (BlEditor *self)
{
  BlRef ref = self->selected;
  const BlMeasurement *measurement
    = self->has_selected && ref.element == BL_ELEMENT_MEASUREMENT
        ? bl_board_measurement (bl_edition_get_board (self->edition), ref.id) : NULL;
  BlSlot slot;

  if (!self->has_selected)
    return;
  if (measurement != NULL && measurement->at != NULL)
    ref = bl_ref (BL_ELEMENT_TEST_POINT, measurement->at);
  slot = ref.element == BL_ELEMENT_TEST_POINT || ref.element == BL_ELEMENT_COMPONENT ? BL_SLOT_ID : BL_SLOT_TITLE;
  if (bl_slot_exists (ref.element, slot))
    bl_sheet_focus (BL_SHEET (self->hand), &ref, slot);
}

void
bl_editor_act (BlEditor *self, const char *act, const BlRef *ref)
{
  GError *error = NULL;

  if (g_str_has_prefix (act, "part-"))
    bl_editor_set_part (self, (BlEditorPart) (act[5] - '0'));
  else if (bl_editor_checklist_act (self, act) || bl_editor_template_act (self, act)
           || bl_editor_entry_act (self, act) || bl_editor_find_act (self, act)
           || bl_editor_photos_act (self, act, ref) || bl_editor_compare_act (self, act)
           || bl_editor_modes_act (self, act, ref))
    return;
  else if (g_str_has_prefix (act, "add-"))
    add_part (self, (BlElement) atoi (act + 4), ref);
  else if (g_str_equal (act, "place-selected"))
    {
      if (ref != NULL)
        bl_editor_select (self, ref);
      bl_editor_set_tool (self, TRUE, BL_PHOTO_TOOL_NONE);
      self->placing_selected = TRUE;
    }
  else if (g_str_equal (act, "place-waiting"))
    place_waiting (self);
  else if (g_str_equal (act, "scale"))
    begin_scale (self, ref);
  else if (g_str_has_prefix (act, "tool-"))
    toggle_tool (self, act);
  else if (g_str_equal (act, "remove"))
    remove_part (self, ref);
  else if (g_str_equal (act, "delete"))
    {
      BlRef selected = self->selected;
      if (!bl_photo_view_remove_corner (BL_PHOTO_VIEW (self->photo)) && self->has_selected)
        remove_part (self, &selected);
    }
  else if (g_str_equal (act, "go"))
    bl_editor_go_to (self, ref);
  else if (g_str_has_prefix (act, "good-"))
    bl_editor_good_act (self, act, ref);
  else if (g_str_equal (act, "pick-followed"))
    bl_editor_begin_picking (self, !self->picking);
  else if (g_str_equal (act, "usual-modes"))
    add_usual_modes (self, ref);
  else if (g_str_equal (act, "remove-outlines"))
    {
      if (!bl_edition_remove_outlines (self->edition, ref, self->photo_id, &error))
        bl_editor_report (self, error);
    }
  else if (g_str_equal (act, "odds"))
    {
      self->odds_shown = !self->odds_shown;
      bl_editor_queue_refresh (self);
    }
  else if (g_str_equal (act, "undo") || g_str_equal (act, "redo"))
    step (self, g_str_equal (act, "undo"));
  else if (g_str_equal (act, "rename"))
    rename_selected (self);
  else if (g_str_equal (act, "side"))
    bl_editor_photo_side (self);
  else if (g_str_equal (act, "fit"))
    bl_photo_view_fit (BL_PHOTO_VIEW (self->photo));
  else if (g_str_equal (act, "larger") || g_str_equal (act, "smaller"))
    bl_photo_view_zoom (BL_PHOTO_VIEW (self->photo), g_str_equal (act, "larger") ? 1.25 : 0.8);
  else if (g_str_equal (act, "escape"))
    escape (self);
  else if (g_str_equal (act, "leave"))
    bl_editor_leave (self);
  else
    g_warning ("no act “%s”", act);
}

/* Something typed that the document has not: undo in the entry first. */
static gboolean
is_typing (GtkWidget *focus)
{
  GtkWidget *field = focus != NULL ? gtk_widget_get_ancestor (focus, BL_TYPE_SLOT_FIELD) : NULL;

  if (field != NULL)
    return bl_slot_field_is_changed (BL_SLOT_FIELD (field));
  if (focus != NULL && gtk_widget_get_ancestor (focus, BL_TYPE_SENTENCE_FIELD) != NULL)
    return bl_sentence_field_is_changed (
        BL_SENTENCE_FIELD (gtk_widget_get_ancestor (focus, BL_TYPE_SENTENCE_FIELD)));
  return GTK_IS_EDITABLE (focus) && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0';
}

gboolean
bl_editor_key (BlEditor *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_EDITOR (self), FALSE);
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))));
  const char *act;

  if (self->edition == NULL)
    return FALSE;
  if ((!bl_widget_is_text (focus) && bl_layers_panel_key (BL_LAYERS_PANEL (self->layers), keyval, state))
      || bl_editor_placing_key (self, focus, keyval, state))
    return TRUE;
  if ((focus != NULL && gtk_widget_get_ancestor (focus, GTK_TYPE_POPOVER) != NULL))
    return FALSE;
  if (keyval == GDK_KEY_Delete && BL_IS_FOLLOWS_PLOT (focus))
    return FALSE; /* a point of the line, not the measurement */
  act = bl_editor_keys_find (self->part, keyval, state,
                             bl_widget_is_text (focus) || bl_ring_picker_has (focus));
  if (act == NULL && self->template != NULL && (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter)
      && !bl_widget_is_text (focus) && (focus == NULL || gtk_widget_get_ancestor (focus, GTK_TYPE_DROP_DOWN) == NULL))
    act = "template-insert";
  if (act == NULL)
    return bl_editor_entry_typed (self, focus, keyval, state);
  if (bl_widget_is_text (focus) && is_typing (focus)
      && (g_str_equal (act, "undo") || g_str_equal (act, "redo") || g_str_equal (act, "escape")))
    return FALSE;
  if (g_str_equal (act, "escape") && focus == self->photo && bl_editor_get_tool (self) != BL_PHOTO_TOOL_NONE)
    return FALSE;
  bl_editor_act (self, act, NULL);
  return TRUE;
}
