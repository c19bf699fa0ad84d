/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The hands stay on photo and figures: a figure typed while the photo has the focus begins the line of the point in
 * hand, function keys change what stays said there, and a press with the other button sets the black lead. */
#include "config.h"

#include "bl-editor-private.h"

#include <string.h>

static BlMeasurementEntry *
entry_in_hand (BlEditor *self)
{
  return self->part == BL_EDITOR_POINTS && gtk_widget_get_visible (self->entry) ? BL_MEASUREMENT_ENTRY (self->entry)
                                                                                 : NULL;
}

gboolean
bl_editor_entry_act (BlEditor *self, const char *act)
{
  static const char *const acts[] = { "entry-kind", "entry-state", "entry-black", NULL };
  BlMeasurementEntry *entry = entry_in_hand (self);

  for (guint i = 0; acts[i] != NULL; i++)
    if (g_str_equal (act, acts[i]))
      {
        if (entry != NULL)
          bl_measurement_entry_change (entry, (BlEntryWord) i);
        return TRUE;
      }
  return FALSE;
}

/* What a value may begin with and no key of the editor is. */
static gboolean
begins_value (gunichar c)
{
  return g_unichar_isdigit (c) || (c != 0 && c < 0x80 && strchr ("<>.,(", (int) c) != NULL) || c == 0x2264 || c == 0x2265;
}

gboolean
bl_editor_entry_typed (BlEditor *self, GtkWidget *focus, guint keyval, GdkModifierType state)
{
  BlMeasurementEntry *entry = entry_in_hand (self);

  if (entry == NULL || focus != self->photo || bl_editor_get_tool (self) == BL_PHOTO_TOOL_POLYGON
      || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter)
    bl_measurement_entry_focus (entry);
  else if (begins_value (gdk_keyval_to_unicode (keyval)))
    bl_measurement_entry_begin (entry, gdk_keyval_to_unicode (keyval));
  else
    return FALSE;
  return TRUE;
}

void
bl_editor_entry_black_pressed (BlPhotoView *view, BlPhotoItemKind kind, const char *id, BlEditor *self)
{
  BlMeasurementEntry *entry = entry_in_hand (self);

  if (entry == NULL || kind == BL_PHOTO_COMPONENT || id == NULL)
    return;
  bl_measurement_entry_set_black (entry, id);
  bl_measurement_entry_focus (entry);
}
