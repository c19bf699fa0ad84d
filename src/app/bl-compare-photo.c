/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo of a comparison: that of the open edition or of the other one, in the same cut-out, with a mark and a word
 * at whatever differs. Several things at one place, a point and what is measured there, have one mark. */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-photo-exchange.h"
#include "bl-style.h"

/* --- Loading ---------------------------------------------------------------------------------- */

static char *
surface_key (gboolean theirs, const char *photo)
{
  return g_strdup_printf ("%s/%s", theirs ? "theirs" : "mine", photo);
}

static GBytes *
read_image (const char *key, gpointer data, GError **error)
{
  BlCompareView *self = data;
  gint64 board = g_str_has_prefix (key, "theirs/") ? bl_comparison_get_other_id (self->comparison)
                                                   : bl_edition_get_id (self->edition);

  return bl_library_get_board_photo (self->library, board, strchr (key, '/') + 1, NULL, error);
}

void
bl_compare_photo_forget (BlCompareView *self)
{
  g_clear_pointer (&self->loader, bl_photo_loader_close);
  self->loader = bl_photo_loader_new (read_image, self);
  g_signal_connect_object (self->loader, "loaded", G_CALLBACK (bl_compare_photo_refresh), self, G_CONNECT_SWAPPED);
  g_clear_pointer (&self->photo_id, g_free);
  self->theirs_shown = FALSE;
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), NULL, NULL);
}

/* --- What stands on it ------------------------------------------------------------------------ */

static const BlBoard *
shown_board (BlCompareView *self)
{
  return self->theirs_shown ? bl_comparison_get_other (self->comparison) : bl_edition_get_board (self->edition);
}

/* Where the difference is on the photo shown. What only the other edition has is shown on this one's photo too, at its
 * place there, as long as the pictures are the same. */
static const BlDifferencePlace *
place_on (BlCompareView *self, const BlDifference *difference)
{
  const BlDifferencePlace *own = self->theirs_shown ? &difference->theirs : &difference->mine;
  const BlDifferencePlace *far = self->theirs_shown ? &difference->mine : &difference->theirs;
  const char *pictures = bl_comparison_get_other_pictures (self->comparison);

  if (own->photo != NULL)
    return g_strcmp0 (own->photo, self->photo_id) == 0 ? own : NULL;
  g_auto (GStrv) other = g_strsplit (pictures, ", ", -1);
  if (far->photo == NULL || g_strcmp0 (far->photo, self->photo_id) != 0
      || g_strv_contains ((const char *const *) other, far->photo))
    return NULL;
  return far;
}

/* All that differs at one place. */
typedef struct
{
  const BlDifferencePlace *place;
  GString *names;
  char *key; /* of the first */
  BlDifferenceMark mark;
  gboolean in_hand;
} Spot;

static void
spot_free (gpointer data)
{
  Spot *spot = data;

  g_string_free (spot->names, TRUE);
  g_free (spot->key);
  g_free (spot);
}

static Spot *
spot_at (GPtrArray *spots, const BlDifferencePlace *place)
{
  for (guint i = 0; i < spots->len; i++)
    {
      Spot *spot = bl_at (spots, i);
      if (spot->place->x == place->x && spot->place->y == place->y)
        return spot;
    }
  return NULL;
}

static void
add_to_spots (BlCompareView *self, GPtrArray *spots, const BlDifference *difference)
{
  const BlDifferencePlace *place = place_on (self, difference);
  BlDifferenceMark mark = bl_difference_mark_of (difference->kind);
  g_autofree char *key = bl_compare_key_of (difference);
  gboolean in_hand = g_strcmp0 (key, self->selected) == 0;
  Spot *spot = place != NULL ? spot_at (spots, place) : NULL;

  if (place == NULL)
    return;
  if (spot == NULL)
    {
      spot = g_new0 (Spot, 1);
      spot->place = place;
      spot->names = g_string_new (NULL);
      spot->mark = mark;
      spot->key = g_strdup (key);
      g_ptr_array_add (spots, spot);
    }
  g_string_append_printf (spot->names, "%s%s", spot->names->len > 0 ? ", " : "",
                          difference->old_id != NULL && !self->theirs_shown ? difference->old_id : difference->id);
  if (spot->mark != mark)
    spot->mark = BL_MARK_CHANGED;
  spot->in_hand = spot->in_hand || in_hand;
  if (in_hand)
    {
      g_free (spot->key);
      spot->key = g_steal_pointer (&key);
    }
}

static GPtrArray *
difference_items (BlCompareView *self)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  g_autoptr (GPtrArray) spots = g_ptr_array_new_with_free_func (spot_free);
  const GPtrArray *differences = self->comparison != NULL ? bl_comparison_get_differences (self->comparison) : NULL;

  for (guint i = 0; i < bl_len (differences); i++)
    if (bl_compare_list_has (self, bl_at (differences, i)))
      add_to_spots (self, spots, bl_at (differences, i));
  for (guint i = 0; i < spots->len; i++)
    {
      const Spot *spot = bl_at (spots, i);
      g_autofree char *name = g_strdup_printf ("%s %s", spot->names->str,
                                               bl_comparison_kind_words (bl_difference_mark_kind (spot->mark)));
      BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_DIFFERENCE, spot->key, name, spot->place->x, spot->place->y);
      item->shape = (int) spot->mark;
      item->in_hand = spot->in_hand;
      g_ptr_array_add (items, item);
    }
  return items;
}

/* What is still to be looked at, and the part in hand. */
static GPtrArray *
look_items (BlCompareView *self)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  g_autoptr (GHashTable) seen = bl_library_looked_at (self->library, bl_edition_get_id (self->edition), NULL);
  g_autoptr (GPtrArray) parts = bl_next_edition_parts (bl_edition_get_board (self->edition), seen);

  for (guint i = 0; i < parts->len; i++)
    {
      const BlLookAt *part = bl_at (parts, i);
      gboolean in_hand = g_strcmp0 (part->part, self->selected) == 0;
      if (g_strcmp0 (part->photo, self->photo_id) != 0 || (part->looked_at && !in_hand))
        continue;
      BlPhotoItem *item = bl_photo_item_new (g_str_equal (part->list, "components") ? BL_PHOTO_COMPONENT : BL_PHOTO_POINT,
                                             part->part, part->id, part->x, part->y);
      item->in_hand = in_hand;
      item->quiet = !in_hand;
      g_ptr_array_add (items, item);
    }
  return items;
}

/* --- Showing ---------------------------------------------------------------------------------- */

static void
segment_pressed (GtkButton *button, BlCompareView *self)
{
  g_autofree char *photo = g_strdup (g_object_get_data (G_OBJECT (button), "photo"));

  bl_compare_photo_show (self, self->theirs_shown, photo);
}

static char *
photo_words (const BlPhoto *photo)
{
  if (photo->title != NULL && *photo->title != '\0')
    return g_strdup (photo->title);
  if (g_strcmp0 (photo->id, "front") == 0)
    return g_strdup (_ ("Front"));
  return g_strdup (g_strcmp0 (photo->id, "back") == 0 ? _ ("Back") : photo->id);
}

static void
show_segments (BlCompareView *self)
{
  const BlBoard *board = shown_board (self);
  GtkWidget *joined = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  bl_widget_clear (self->segments);
  gtk_box_append (GTK_BOX (self->segments), joined);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      g_autofree char *words = photo_words (photo);
      GtkWidget *button = gtk_toggle_button_new_with_label (words);
      gtk_widget_add_css_class (button, "segment");
      gtk_widget_set_focus_on_click (button, FALSE);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), g_strcmp0 (photo->id, self->photo_id) == 0);
      g_object_set_data_full (G_OBJECT (button), "photo", g_strdup (photo->id), g_free);
      g_signal_connect (button, "clicked", G_CALLBACK (segment_pressed), self);
      gtk_box_append (GTK_BOX (joined), button);
    }
  if (bl_len (board->photos) > 1)
    gtk_box_append (GTK_BOX (self->segments), bl_key_cap ("F3"));
}

static void
show_surface (BlCompareView *self)
{
  BlPhotoSurface *surface = NULL;
  const char *message = _ ("This edition has no photo yet");

  if (self->photo_id != NULL)
    {
      g_autofree char *key = surface_key (self->theirs_shown, self->photo_id);
      surface = bl_photo_loader_get (self->loader, key, NULL, &message);
    }
  if (surface == NULL || surface != bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)))
    bl_photo_view_exchange_surface (BL_PHOTO_VIEW (self->photo), surface, message);
}

void
bl_compare_photo_refresh (BlCompareView *self)
{
  GPtrArray *items;

  if (self->edition == NULL)
    return;
  if (self->comparison == NULL)
    self->theirs_shown = FALSE;
  const BlBoard *board = shown_board (self);
  if (self->photo_id == NULL || bl_board_photo (board, self->photo_id) == NULL)
    {
      g_free (self->photo_id);
      self->photo_id = bl_len (board->photos) > 0 ? g_strdup (((BlPhoto *) bl_at (board->photos, 0))->id) : NULL;
    }
  for (guint i = 0; i < 2; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->whose[i]), i == (guint) self->theirs_shown);
  show_segments (self);
  show_surface (self);
  items = bl_compare_tab (self) == BL_COMPARE_LOOK ? look_items (self) : difference_items (self);
  g_autofree char *words
    = g_strdup_printf (ngettext ("Photo with %u thing on it", "Photo with %u things on it", items->len), items->len);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->photo), words);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), items);
}

void
bl_compare_photo_show (BlCompareView *self, gboolean theirs, const char *photo)
{
  g_autofree char *kept = g_strdup (photo != NULL ? photo : self->photo_id);

  if (self->edition == NULL)
    return;
  self->theirs_shown = theirs && self->comparison != NULL;
  g_free (self->photo_id);
  self->photo_id = g_steal_pointer (&kept);
  bl_compare_photo_refresh (self);
}

void
bl_compare_photo_side (BlCompareView *self)
{
  const BlBoard *board = shown_board (self);
  guint n = bl_len (board->photos);

  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (((BlPhoto *) bl_at (board->photos, i))->id, self->photo_id) == 0)
      {
        bl_compare_photo_show (self, self->theirs_shown, ((BlPhoto *) bl_at (board->photos, (i + 1) % n))->id);
        return;
      }
}

static gboolean
look_place (BlCompareView *self, const char *key, BlDifferencePlace *place)
{
  g_autoptr (GPtrArray) parts = bl_next_edition_parts (bl_edition_get_board (self->edition), NULL);

  for (guint i = 0; i < parts->len; i++)
    {
      const BlLookAt *part = bl_at (parts, i);
      if (g_strcmp0 (part->part, key) != 0 || part->photo == NULL)
        continue;
      *place = (BlDifferencePlace){ g_strdup (part->photo), part->x, part->y };
      return TRUE;
    }
  return FALSE;
}

/* Shows the place of a row on the photo of the edition that has it; the one shown first. */
static gboolean
difference_place (BlCompareView *self, const char *key, BlDifferencePlace *place, gboolean *theirs)
{
  const BlDifference *difference = bl_compare_find (self, key);

  if (difference == NULL || (difference->mine.photo == NULL && difference->theirs.photo == NULL))
    return FALSE;
  *theirs = self->theirs_shown ? difference->theirs.photo != NULL : difference->mine.photo == NULL;
  const BlDifferencePlace *from = *theirs ? &difference->theirs : &difference->mine;
  *place = (BlDifferencePlace){ g_strdup (from->photo), from->x, from->y };
  return TRUE;
}

void
bl_compare_photo_reveal (BlCompareView *self, const char *key, gboolean close)
{
  BlDifferencePlace place = { NULL, NAN, NAN };
  gboolean theirs = FALSE;

  if (key == NULL
      || !(bl_compare_tab (self) == BL_COMPARE_LOOK ? look_place (self, key, &place)
                                                    : difference_place (self, key, &place, &theirs)))
    {
      bl_compare_photo_refresh (self);
      return;
    }
  bl_compare_photo_show (self, theirs, place.photo);
  if (close)
    bl_photo_view_close_up (BL_PHOTO_VIEW (self->photo), place.x, place.y, 1.5);
  else
    bl_photo_view_reveal (BL_PHOTO_VIEW (self->photo), place.x, place.y);
  g_free (place.photo);
}

static void
point_activated (BlPhotoView *photo, BlPhotoItemKind kind, const char *id, BlCompareView *self)
{
  GtkWidget *list = bl_compare_tab (self) == BL_COMPARE_LOOK ? self->look : self->list;
  g_autofree char *key = g_strdup (id);

  if (key != NULL && bl_compare_list_select (list, key, TRUE))
    bl_compare_select (self, key);
}

void
bl_compare_photo_connect (BlCompareView *self)
{
  g_signal_connect (self->photo, "point-activated", G_CALLBACK (point_activated), self);
}
