/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photos of the edition: the row of buttons above the one that is shown, and which of
 * them it is. A board has a few. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-photo-join-words.h"
#include "bl-style.h"

static void
segment_pressed (GtkButton *button, BlEditor *self)
{
  const char *photo = g_object_get_data (G_OBJECT (button), "photo");

  if (photo == NULL)
    bl_editor_photos_add (self, g_object_get_data (G_OBJECT (button), "side"));
  else
    {
      bl_editor_photo_show (self, photo);
      bl_editor_photo_refresh (self);
    }
}

static void
add_segment (BlEditor *self, GtkWidget *box, const char *words, const char *photo, const char *side)
{
  GtkWidget *button = photo != NULL ? gtk_toggle_button_new_with_label (words) : gtk_button_new_with_label (words);

  gtk_widget_add_css_class (button, photo != NULL ? "segment" : "act");
  gtk_widget_set_focus_on_click (button, FALSE);
  if (photo != NULL)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), g_strcmp0 (photo, self->photo_id) == 0);
  g_object_set_data_full (G_OBJECT (button), "photo", g_strdup (photo), g_free);
  g_object_set_data (G_OBJECT (button), "side", (gpointer) side);
  g_signal_connect (button, "clicked", G_CALLBACK (segment_pressed), self);
  gtk_box_append (GTK_BOX (box), button);
}

static gboolean
has_side (const BlBoard *board, const char *side)
{
  for (guint i = 0; i < bl_len (board->photos); i++)
    if (g_strcmp0 (((BlPhoto *) bl_at (board->photos, i))->side, side) == 0)
      return TRUE;
  return FALSE;
}

void
bl_editor_photo_sides (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  GtkWidget *joined = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  g_autoptr (GString) now = g_string_new (self->photo_id != NULL ? self->photo_id : "");

  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      g_autofree char *name = bl_photo_name (board, bl_at (board->photos, i));
      g_string_append_printf (now, "\n%s\t%s", ((BlPhoto *) bl_at (board->photos, i))->id, name);
    }
  if (g_strcmp0 (g_object_get_data (G_OBJECT (self->segments), "shown"), now->str) == 0)
    {
      g_object_ref_sink (joined);
      g_object_unref (joined);
      return;
    }
  g_object_set_data_full (G_OBJECT (self->segments), "shown", g_strdup (now->str), g_free);
  bl_widget_clear (self->segments);
  gtk_box_append (GTK_BOX (self->segments), joined);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      g_autofree char *words = bl_photo_name (board, photo);
      add_segment (self, joined, words, photo->id, NULL);
    }
  if (bl_len (board->photos) > 1)
    gtk_box_append (GTK_BOX (self->segments), bl_key_cap ("F3"));
  if (!has_side (board, "front"))
    add_segment (self, self->segments, _ ("add front photo…"), NULL, "front");
  else if (!has_side (board, "back"))
    add_segment (self, self->segments, _ ("add back photo…"), NULL, "back");
}

void
bl_editor_photo_show (BlEditor *self, const char *photo)
{
  const BlBoard *board = bl_edition_get_board (self->edition);

  if (photo == NULL || bl_board_photo (board, photo) == NULL)
    photo = bl_len (board->photos) > 0 ? ((BlPhoto *) bl_at (board->photos, 0))->id : NULL;
  if (g_strcmp0 (photo, self->photo_id) == 0)
    return;
  g_autofree char *kept = g_strdup (photo);
  g_free (self->photo_id);
  self->photo_id = g_steal_pointer (&kept);
}

void
bl_editor_photo_side (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  guint n = bl_len (board->photos);

  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (((BlPhoto *) bl_at (board->photos, i))->id, self->photo_id) == 0)
      {
        g_autofree char *next = g_strdup (((BlPhoto *) bl_at (board->photos, (i + 1) % n))->id);
        bl_editor_photo_show (self, next);
        break;
      }
  bl_editor_photo_refresh (self);
}
