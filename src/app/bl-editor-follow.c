/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choosing what a band follows by a press on the photo. A point may have several measurements: the one in the same
 * board state that has a single value, else the first that has one. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-edition-parts.h"
#include "bl-shell.h"

void
bl_editor_begin_picking (BlEditor *self, gboolean picking)
{
  if (picking && !(self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT))
    return;
  if (picking)
    {
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      bl_widget_notify (GTK_WIDGET (self), _ ("Press the point whose reading it follows; Esc leaves it."));
    }
  self->picking = picking;
  gtk_widget_set_cursor_from_name (self->photo, picking ? "crosshair" : NULL);
}

static const BlMeasurement *
to_follow (const BlBoard *board, const BlMeasurement *here, const char *point)
{
  const BlMeasurement *found = NULL;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *one = bl_at (board->measurements, i);
      if (one == here || g_strcmp0 (one->at, point) != 0 || one->measures >= BL_MEASURES_SWING)
        continue;
      if (found == NULL
          || (g_strcmp0 (one->state, here->state) == 0 && g_strcmp0 (found->state, here->state) != 0))
        found = one;
    }
  return found;
}

void
bl_editor_pick_followed (BlEditor *self, const char *point)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlMeasurement *here = self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT
                                ? bl_board_measurement (board, self->selected.id) : NULL;
  const BlMeasurement *other = here != NULL ? to_follow (board, here, point) : NULL;
  GError *error = NULL;

  if (other == NULL)
    {
      g_autofree char *words = g_strdup_printf (_ ("%s has no measurement with a single value to follow"), point);
      bl_widget_notify (GTK_WIDGET (self), words);
      return;
    }
  BlRef ref = self->selected;
  g_autofree char *id = g_strdup (other->id);
  bl_editor_begin_picking (self, FALSE);
  if (!bl_edition_set_slot (self->edition, &ref, BL_SLOT_FOLLOWS, id, &error))
    bl_editor_report (self, error);
}
