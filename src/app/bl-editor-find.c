/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Search and layers of the editor: both are small panels over the photo. Going to what was found shows its
 * part of the editor and its row, takes it in hand, turns the board over where it is on the other side and
 * flies there; where its photo is still being opened, as soon as that is there. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-find.h"
#include "bl-shell.h"

static const BlBoard *
board_now (gpointer data)
{
  BlEditor *self = data;

  return self->edition != NULL ? bl_edition_get_board (self->edition) : NULL;
}

/* "K1 has no place on a photo yet. This is its stage." */
static void
say_instead (BlEditor *self, const BlRef *ref, const BlWhere *where)
{
  g_autofree char *what = bl_ref_words (bl_edition_get_board (self->edition), ref);
  g_autofree char *instead = where != NULL ? bl_ref_words (bl_edition_get_board (self->edition), &where->of) : NULL;
  g_autofree char *words
      = instead != NULL ? g_strdup_printf (_ ("%s has no place on a photo yet. This is %s."), what, instead)
                        : g_strdup_printf (_ ("%s has no place on a photo yet."), what);

  bl_widget_notify (GTK_WIDGET (self), words);
}

void
bl_editor_fly_to (BlEditor *self, const BlRef *ref)
{
  BlWhere where;

  if (!bl_find_where (bl_edition_get_board (self->edition), ref, self->photo_id, &where))
    {
      say_instead (self, ref, NULL);
      return;
    }
  if (!bl_ref_equal (&where.of, ref))
    say_instead (self, ref, &where);
  g_free (self->fly_photo);
  self->fly_photo = g_strdup (where.photo);
  self->fly_to[0] = where.x0;
  self->fly_to[1] = where.y0;
  self->fly_to[2] = where.x1;
  self->fly_to[3] = where.y1;
  bl_editor_photo_show (self, where.photo);
  bl_editor_photo_refresh (self);
}

void
bl_editor_fly_arrive (BlEditor *self)
{
  const double *to = self->fly_to;

  if (self->fly_photo == NULL)
    return;
  if (g_strcmp0 (self->fly_photo, self->photo_id) == 0)
    {
      if (bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)) == NULL)
        return;
      bl_photo_view_fly (BL_PHOTO_VIEW (self->photo), to[0], to[1], to[2], to[3]);
    }
  g_clear_pointer (&self->fly_photo, g_free);
}

static void
chosen (BlFinder *finder, gpointer data, BlEditor *self)
{
  BlRef ref = *(const BlRef *) data;

  if (self->edition == NULL || bl_ref_find (bl_edition_get_board (self->edition), &ref) == NULL)
    return;
  gtk_widget_grab_focus (self->photo);
  bl_editor_go_to (self, &ref);
  bl_editor_fly_to (self, &ref);
}

static void
back_to_photo (BlEditor *self)
{
  gtk_widget_grab_focus (self->photo);
}

/* --- layers --- */

BlLayersOf
bl_editor_layers_of (BlEditor *self)
{
  return self->part == BL_EDITOR_STRUCTURE ? BL_LAYERS_EDIT_STRUCTURE : BL_LAYERS_EDIT_POINTS;
}

gboolean
bl_editor_has_layers (BlEditor *self)
{
  return self->part != BL_EDITOR_BOARD && self->part != BL_EDITOR_PHOTOS;
}

BlLayers
bl_editor_layers (BlEditor *self)
{
  if (!bl_editor_has_layers (self))
    return BL_LAYER_POINTS | BL_LAYER_NAMES | BL_LAYER_SECTIONS;
  return bl_layers_get (bl_editor_layers_of (self));
}

GtkWidget *
bl_editor_find_build (BlEditor *self, GtkWidget *photos)
{
  GtkWidget *overlay = gtk_overlay_new ();

  self->finder = bl_finder_new (board_now, self);
  g_signal_connect (self->finder, "chosen", G_CALLBACK (chosen), self);
  g_signal_connect_swapped (self->finder, "closed", G_CALLBACK (back_to_photo), self);
  self->layers = bl_layers_panel_new ();
  g_signal_connect_swapped (self->layers, "changed", G_CALLBACK (bl_editor_photo_refresh), self);
  gtk_overlay_set_child (GTK_OVERLAY (overlay), photos);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->layers);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->finder);
  return overlay;
}

gboolean
bl_editor_find_act (BlEditor *self, const char *act)
{
  if (g_str_equal (act, "find"))
    {
      bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
      bl_finder_open (BL_FINDER (self->finder));
    }
  else if (g_str_equal (act, "layers"))
    {
      if (!bl_editor_has_layers (self))
        return TRUE;
      bl_layers_panel_set_of (BL_LAYERS_PANEL (self->layers), bl_editor_layers_of (self));
      bl_layers_panel_toggle (BL_LAYERS_PANEL (self->layers));
    }
  else
    return FALSE;
  return TRUE;
}
