/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lengths on the photo of the editor in mm: by the photo's scale, or by that of one it is joined with. */
#include "config.h"

#include "bl-editor-private.h"

#include "bl-photo-join.h"

static char *
length_words (double x0, double y0, double x1, double y1, gpointer data)
{
  BlEditor *self = data;
  BlPhotoScale scale;
  gboolean known = self->edition != NULL && self->photo_id != NULL
                   && bl_photo_scale_find (bl_edition_get_board (self->edition), self->photo_id, &scale);

  return bl_photo_length_words (known ? &scale : NULL, x0, y0, x1, y1);
}

void
bl_editor_lengths_connect (BlEditor *self)
{
  bl_photo_view_set_length_func (BL_PHOTO_VIEW (self->photo), length_words, self);
}

gboolean
bl_editor_lengths_act (BlEditor *self, const char *act)
{
  gboolean on = bl_editor_get_tool (self) == BL_PHOTO_TOOL_RULER;

  if (!g_str_equal (act, "ruler"))
    return FALSE;
  if (self->photo_id != NULL)
    bl_editor_set_tool (self, FALSE, on ? BL_PHOTO_TOOL_NONE : BL_PHOTO_TOOL_RULER);
  return TRUE;
}
