/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo of the editor: opening it and showing what stands on it. Photos are decoded in the background
 * and kept while the board is open. What stands there, the sides and the pressing have files of their
 * own. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

/* --- loading --- */

static GBytes *
read_image (const char *photo, gpointer data, GError **error)
{
  BlEditor *self = data;
  return bl_library_get_board_photo (self->library, bl_edition_get_id (self->edition), photo, NULL, error);
}

void
bl_editor_photo_open (BlEditor *self)
{
  g_clear_pointer (&self->loader, bl_photo_loader_close);
  self->loader = bl_photo_loader_new (read_image, self);
  g_signal_connect_object (self->loader, "loaded", G_CALLBACK (bl_editor_photo_refresh), self, G_CONNECT_SWAPPED);
}

void
bl_editor_photo_forget (BlEditor *self)
{
  bl_editor_photo_open (self);
  g_clear_pointer (&self->photo_id, g_free);
  g_clear_pointer (&self->beside_id, g_free);
  g_clear_pointer (&self->skipped, g_ptr_array_unref);
  bl_editor_landmarks_forget (self);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->beside), NULL);
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->beside), NULL, NULL);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), NULL, NULL);
}

/* --- showing --- */

void
bl_editor_photo_refresh (BlEditor *self)
{
  GPtrArray *items, *outlines;
  BlLayers layers;
  BlPhotoSurface *surface = NULL;
  const char *message = _ ("This board has no photo yet");

  if (self->edition == NULL)
    return;
  /* Undo may have taken the photo away that is shown. */
  bl_editor_photo_show (self, self->photo_id);
  bl_editor_photo_sides (self);
  if (self->photo_id != NULL)
    surface = bl_photo_loader_get (self->loader, self->photo_id, NULL, &message);
  if (surface == NULL || surface != bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)))
    bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), surface, message);
  items = bl_editor_photo_items (self);
  outlines = bl_editor_photo_outlines (self);
  layers = bl_editor_layers (self);
  bl_layers_apply (layers, items, outlines);
  bl_editor_preview_points (self, items);
  g_autofree char *words =
      g_strdup_printf (ngettext ("Photo with %u thing on it", "Photo with %u things on it", items->len), items->len);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->photo), words);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), items);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), outlines);
  bl_photo_view_set_dimmed (BL_PHOTO_VIEW (self->photo), (layers & BL_LAYER_DIMMED) != 0);
  bl_editor_landmarks_refresh (self);
  bl_editor_fly_arrive (self);
}

void
bl_editor_photo_reveal (BlEditor *self, const BlRef *ref)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlMeasurement *measurement
    = ref->element == BL_ELEMENT_MEASUREMENT ? bl_board_measurement (board, ref->id) : NULL;
  const BlTestPoint *point = ref->element == BL_ELEMENT_TEST_POINT ? bl_board_test_point (board, ref->id)
                             : measurement != NULL && measurement->at != NULL
                               ? bl_board_test_point (board, measurement->at)
                               : NULL;
  const BlComponent *component = ref->element == BL_ELEMENT_COMPONENT ? bl_board_component (board, ref->id) : NULL;
  const char *photo = point != NULL ? point->photo : component != NULL ? component->photo : NULL;
  double x = point != NULL ? point->x : component != NULL ? component->x : NAN;
  double y = point != NULL ? point->y : component != NULL ? component->y : NAN;

  if (ref->element == BL_ELEMENT_LANDMARK && bl_ref_find (board, ref) != NULL)
    {
      const BlLandmark *landmark = bl_ref_find (board, ref);
      photo = ref->id;
      x = landmark->x;
      y = landmark->y;
    }
  else if (ref->element == BL_ELEMENT_PHOTO)
    {
      bl_editor_photo_show (self, ref->id);
      bl_editor_photo_refresh (self);
    }
  if (photo == NULL || isnan (x) || isnan (y))
    return;
  bl_editor_photo_show (self, photo);
  bl_editor_photo_refresh (self);
  bl_photo_view_reveal (BL_PHOTO_VIEW (self->photo), x, y);
}
