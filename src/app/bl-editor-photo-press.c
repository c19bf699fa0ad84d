/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What pressing and dragging on the photo of the editor does to the document. The view moves what it shows;
 * the document gets the end of a drag. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

static void
point_activated (BlPhotoView *view, BlPhotoItemKind kind, const char *id, BlEditor *self)
{
  BlRef ref = bl_ref (kind == BL_PHOTO_COMPONENT ? BL_ELEMENT_COMPONENT : BL_ELEMENT_TEST_POINT, id);

  if (kind == BL_PHOTO_MARK || id == NULL)
    return;
  if (kind == BL_PHOTO_LANDMARK)
    {
      bl_editor_landmarks_choose (self, self->photo_id, id);
      return;
    }
  self->on_thing = TRUE;
  if (self->picking && kind != BL_PHOTO_COMPONENT)
    bl_editor_pick_followed (self, id);
  else
    bl_editor_go_to (self, &ref); /* it may be on the other side, or belong to the other part */
}

/* The photo that has an outline of it: this one, or the first there is. */
static const char *
outline_photo (BlEditor *self, const BlRef *ref)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlSection *section = ref->element == BL_ELEMENT_SECTION ? bl_board_section (board, ref->id) : NULL;
  const BlStage *stage = ref->element == BL_ELEMENT_STAGE ? bl_board_stage (board, ref->id) : NULL;
  const GPtrArray *outlines = section != NULL ? section->outlines : stage != NULL ? stage->outlines : NULL;
  const char *first = NULL;

  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const char *photo = ((const BlOutline *) bl_at (outlines, i))->photo;
      if (g_strcmp0 (photo, self->photo_id) == 0)
        return photo;
      first = first != NULL ? first : photo;
    }
  return first;
}

static void
outline_activated (BlPhotoView *view, BlPhotoOutlineKind kind, const char *key, BlEditor *self)
{
  g_auto (GStrv) parts = g_strsplit (key, "\t", 2);
  BlRef ref = bl_ref (kind == BL_PHOTO_SECTION ? BL_ELEMENT_SECTION : BL_ELEMENT_STAGE, parts[0]);

  self->on_thing = self->part == BL_EDITOR_STRUCTURE;
  if (self->on_thing)
    {
      bl_editor_select (self, &ref);
      bl_editor_photo_show (self, outline_photo (self, &ref));
      bl_editor_photo_refresh (self);
    }
}

/* The second place ends the pressing; the distance is asked for on the sheet. */
static void
take_scale_place (BlEditor *self, double x, double y)
{
  self->scale_at[2 * self->scale_places] = x;
  self->scale_at[2 * self->scale_places + 1] = y;
  self->scale_places++;
  if (self->scale_places == 2)
    {
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      self->scaling = TRUE; /* until the distance is typed or another tool is taken */
    }
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

void
bl_editor_photo_scale (GtkEntry *entry, BlEditor *self)
{
  const double *at = self->scale_at;
  GError *error = NULL;

  if (!bl_edition_set_scale (self->edition, self->photo_id, at[0], at[1], at[2], at[3],
                             gtk_editable_get_text (GTK_EDITABLE (entry)), &error))
    {
      bl_editor_report (self, error);
      return;
    }
  self->scaling = FALSE;
  self->scale_places = 0;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

static gboolean
any_waits (const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    if (((const BlTestPoint *) bl_at (board->test_points, i))->photo == NULL)
      return TRUE;
  return FALSE;
}

static void
clicked (BlPhotoView *view, double x, double y, BlEditor *self)
{
  GError *error = NULL;

  self->on_thing = FALSE;
  if (self->edition == NULL || self->photo_id == NULL || !self->placing)
    return;
  if (self->landmarking)
    {
      bl_editor_landmarks_press (self, FALSE, x, y);
      return;
    }
  if (bl_editor_placing_is_on (self))
    bl_editor_placing_press (self, x, y);
  else if (self->scaling)
    take_scale_place (self, x, y);
  else if (self->has_selected
           && (self->selected.element == BL_ELEMENT_COMPONENT || self->selected.element == BL_ELEMENT_TEST_POINT))
    {
      if (!bl_edition_place (self->edition, &self->selected, self->photo_id, x, y, &error))
        bl_editor_report (self, error);
      bl_edition_settle (self->edition);
      bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
      /* The panel without a thing in hand offers the next. */
      if (self->selected.element == BL_ELEMENT_TEST_POINT && any_waits (bl_edition_get_board (self->edition)))
        bl_editor_select (self, NULL);
    }
}

static void
point_dragged (BlPhotoView *view, BlPhotoItemKind kind, const char *id, double x, double y, gboolean finished,
               BlEditor *self)
{
  BlRef ref = bl_ref (kind == BL_PHOTO_COMPONENT ? BL_ELEMENT_COMPONENT : BL_ELEMENT_TEST_POINT, id);
  GError *error = NULL;

  /* The view moves what it shows; the document gets the end of the drag. */
  if (!finished)
    return;
  if (kind == BL_PHOTO_LANDMARK)
    {
      bl_editor_landmarks_drag (self, self->photo_id, id, x, y);
      return;
    }
  if (!bl_edition_place (self->edition, &ref, self->photo_id, x, y, &error))
    bl_editor_report (self, error);
  bl_edition_settle (self->edition);
  bl_editor_select (self, &ref);
}

static void
outline_drawn (BlPhotoView *view, GArray *points, BlEditor *self)
{
  GError *error = NULL;

  if (!self->has_selected
      || (self->selected.element != BL_ELEMENT_SECTION && self->selected.element != BL_ELEMENT_STAGE))
    return;
  if (!bl_edition_add_outline (self->edition, &self->selected, self->photo_id, points, &error))
    bl_editor_report (self, error);
}

static void
outline_changed (BlPhotoView *view, BlPhotoOutlineKind kind, const char *key, GArray *points, BlOutlineChange change,
                 gboolean finished, BlEditor *self)
{
  g_auto (GStrv) parts = g_strsplit (key, "\t", 2);
  BlRef ref = bl_ref (kind == BL_PHOTO_SECTION ? BL_ELEMENT_SECTION : BL_ELEMENT_STAGE, parts[0]);
  GError *error = NULL;

  if (!finished || parts[1] == NULL)
    return;
  if (!bl_edition_change_outline (self->edition, &ref, self->photo_id, (guint) atoi (parts[1]), points, change,
                                  &error))
    bl_editor_report (self, error);
  bl_edition_settle (self->edition);
}

static void
pointed (BlPhotoView *view, double x, double y, BlEditor *self)
{
  bl_editor_placing_pointed (self, x, y);
}

static void
tool_changed (BlPhotoView *view, BlEditor *self)
{
  if (bl_editor_get_tool (self) == BL_PHOTO_TOOL_NONE)
    bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
}

void
bl_editor_photo_connect (BlEditor *self)
{
  bl_editor_photo_open (self);
  bl_editor_lengths_connect (self);
  g_signal_connect (self->photo, "point-activated", G_CALLBACK (point_activated), self);
  g_signal_connect (self->photo, "point-pressed-other", G_CALLBACK (bl_editor_entry_black_pressed), self);
  g_signal_connect (self->photo, "outline-activated", G_CALLBACK (outline_activated), self);
  g_signal_connect (self->photo, "clicked", G_CALLBACK (clicked), self);
  g_signal_connect (self->photo, "point-dragged", G_CALLBACK (point_dragged), self);
  g_signal_connect (self->photo, "outline-drawn", G_CALLBACK (outline_drawn), self);
  g_signal_connect (self->photo, "outline-changed", G_CALLBACK (outline_changed), self);
  g_signal_connect (self->photo, "pointed", G_CALLBACK (pointed), self);
  bl_editor_snap_connect (self);
  g_signal_connect (self->photo, "tool-changed", G_CALLBACK (tool_changed), self);
}
