/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Setting landmarks: the photo that is shown with another one beside it, which landmark is to be pressed next, and
 * where it should be.
 *
 * Two photos with four landmarks in common foretell the rest; the ring where the next one should be is an offer: the
 * press says where it is, for a landmark taken from the map would prove nothing. A press on either photo sets the
 * landmark which the other one has and it has not, or a new one. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-edition-photos.h"
#include "bl-photo-join-words.h"
#include "bl-shell.h"
#include "bl-style.h"

#define BETWEEN 6       /* px between the photos */
#define SIDE_BY_SIDE 1.25 /* from this width to height of the pane on; below they stand one over the other */

static const BlPhoto *
photo_of (BlEditor *self, const char *id)
{
  return id != NULL ? bl_board_photo (bl_edition_get_board (self->edition), id) : NULL;
}

/* --- which one beside --- */

/* The one with the most landmarks to be pressed; NULL: there is no other. */
static const char *
best_beside (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlPhoto *best = NULL;

  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      if (g_strcmp0 (photo->id, self->photo_id) != 0
          && (best == NULL || bl_len (photo->landmarks) > bl_len (best->landmarks)))
        best = photo;
    }
  return best != NULL ? best->id : NULL;
}

static void
set_beside (BlEditor *self, const char *photo)
{
  g_autofree char *kept = g_strdup (photo);

  g_free (self->beside_id);
  self->beside_id = g_steal_pointer (&kept);
}

const BlPhoto *
bl_editor_landmarks_beside (BlEditor *self)
{
  if (self->part != BL_EDITOR_PHOTOS || self->photo_id == NULL)
    return NULL;
  if (photo_of (self, self->beside_id) == NULL || g_strcmp0 (self->beside_id, self->photo_id) == 0)
    set_beside (self, best_beside (self));
  return photo_of (self, self->beside_id);
}

static void
next_beside (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlPhoto *beside = bl_editor_landmarks_beside (self);
  guint n = bl_len (board->photos), at = 0;

  if (beside == NULL)
    return;
  g_ptr_array_find (board->photos, beside, &at);
  for (guint i = 1; i <= n; i++)
    {
      const BlPhoto *photo = bl_at (board->photos, (at + i) % n);
      if (g_strcmp0 (photo->id, self->photo_id) == 0)
        continue;
      set_beside (self, photo->id);
      break;
    }
}

static void
swap (BlEditor *self)
{
  g_autofree char *shown = g_strdup (self->photo_id);

  if (bl_editor_landmarks_beside (self) == NULL)
    return;
  bl_editor_photo_show (self, self->beside_id);
  set_beside (self, shown);
}

/* --- what is asked for --- */

static const char *const *
skipped (BlEditor *self)
{
  return self->skipped != NULL ? (const char *const *) self->skipped->pdata : NULL;
}

static void
skip (BlEditor *self, const char *id)
{
  if (self->skipped == NULL)
    {
      self->skipped = g_ptr_array_new_with_free_func (g_free);
      g_ptr_array_add (self->skipped, NULL);
    }
  if (!g_strv_contains (skipped (self), id))
    g_ptr_array_insert (self->skipped, (int) self->skipped->len - 1, g_strdup (id));
}

/* The landmark of the other photo that is to be pressed on this one; NULL: a new one. (transfer none) */
static const char *
asked_on (BlEditor *self, const BlPhoto *photo, const BlPhoto *other)
{
  const BlLandmark *next;

  if (self->asked_anew != NULL)
    return self->asked_anew;
  next = photo != NULL && other != NULL ? bl_photo_next_landmark (photo, other, skipped (self)) : NULL;
  return next != NULL ? next->id : NULL;
}

const char *
bl_editor_landmarks_asked (BlEditor *self)
{
  return asked_on (self, photo_of (self, self->photo_id), bl_editor_landmarks_beside (self));
}

/* Where the landmark asked for should be on the photo that is shown. */
static gboolean
foretell (BlEditor *self, const char *asked, double *x, double *y)
{
  const BlPhoto *beside = bl_editor_landmarks_beside (self);
  const BlLandmark *there = beside != NULL && asked != NULL ? bl_photo_landmark (beside, asked) : NULL;
  BlHomography map;

  if (there == NULL
      || !bl_board_map_photo (bl_edition_get_board (self->edition), beside->id, self->photo_id, &map, NULL))
    return FALSE;
  bl_homography_apply (&map, there->x, there->y, x, y);
  return !isnan (*x) && !isnan (*y);
}

/* --- what stands on the photos --- */

static gboolean
in_hand (BlEditor *self, const char *id, const char *asked)
{
  const BlLandmark *chosen = self->has_selected && self->selected.element == BL_ELEMENT_LANDMARK
                               ? bl_ref_find (bl_edition_get_board (self->edition), &self->selected) : NULL;

  if (self->landmarking)
    return g_strcmp0 (id, asked) == 0;
  return chosen != NULL && g_strcmp0 (chosen->id, id) == 0;
}

void
bl_editor_landmarks_items (BlEditor *self, GPtrArray *items, const char *photo)
{
  const BlPhoto *shown = photo_of (self, photo);
  const char *asked = self->landmarking ? bl_editor_landmarks_asked (self) : NULL;
  double x, y;

  for (guint i = 0; shown != NULL && i < bl_len (shown->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (shown->landmarks, i);
      BlPhotoItem *item;
      if (isnan (landmark->x) || isnan (landmark->y))
        continue;
      item = bl_photo_item_new (BL_PHOTO_LANDMARK, landmark->id, landmark->id, landmark->x, landmark->y);
      item->in_hand = in_hand (self, landmark->id, asked);
      g_ptr_array_add (items, item);
    }
  if (g_strcmp0 (photo, self->photo_id) == 0 && asked != NULL && self->asked_anew == NULL
      && foretell (self, asked, &x, &y))
    {
      g_autofree char *name = g_strdup_printf (_ ("%s here?"), asked);
      BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_LANDMARK, NULL, name, x, y);
      item->foretold = TRUE;
      g_ptr_array_add (items, item);
    }
}

static void
show_beside (BlEditor *self, const BlPhoto *beside)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlPhotoView *view = BL_PHOTO_VIEW (self->beside);
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  const char *message = NULL;
  BlPhotoSurface *surface = bl_photo_loader_get (self->loader, beside->id, NULL, &message);
  g_autofree char *name = bl_photo_name (board, beside);
  g_autofree char *words = g_strdup_printf (_ ("Beside it: %s"), name);

  gtk_label_set_label (GTK_LABEL (self->beside_name), name);
  gtk_widget_set_visible (self->beside_next, bl_len (board->photos) > 2);
  bl_photo_view_describe (view, words);
  if (surface == NULL || surface != bl_photo_view_get_surface (view))
    bl_photo_view_set_surface (view, surface, message);
  bl_editor_landmarks_items (self, items, beside->id);
  bl_photo_view_set_items (view, items);
}

void
bl_editor_landmarks_refresh (BlEditor *self)
{
  const BlPhoto *beside = bl_editor_landmarks_beside (self);
  gboolean shown = gtk_widget_get_visible (self->beside_box);

  if (shown != (beside != NULL))
    gtk_widget_set_visible (self->beside_box, beside != NULL);
  bl_photo_view_set_tool (BL_PHOTO_VIEW (self->beside), self->landmarking ? BL_PHOTO_TOOL_PRESS : BL_PHOTO_TOOL_NONE);
  if (beside != NULL)
    show_beside (self, beside);
}

/* Brings what is to be pressed into view on both. */
static void
reveal_asked (BlEditor *self)
{
  const BlPhoto *beside = bl_editor_landmarks_beside (self);
  const char *asked = bl_editor_landmarks_asked (self);
  const BlLandmark *there = beside != NULL && asked != NULL ? bl_photo_landmark (beside, asked) : NULL;
  double x, y;

  if (there != NULL)
    bl_photo_view_reveal (BL_PHOTO_VIEW (self->beside), there->x, there->y);
  if (foretell (self, asked, &x, &y))
    bl_photo_view_reveal (BL_PHOTO_VIEW (self->photo), x, y);
}

/* --- pressing --- */

void
bl_editor_landmarks_press (BlEditor *self, gboolean on_beside, double x, double y)
{
  const BlPhoto *shown = photo_of (self, self->photo_id), *beside = bl_editor_landmarks_beside (self);
  const BlPhoto *photo = on_beside ? beside : shown, *other = on_beside ? shown : beside;
  g_autofree char *id = g_strdup (asked_on (self, photo, other));
  GError *error = NULL;

  if (photo == NULL)
    return;
  if (id == NULL)
    id = bl_board_free_landmark (bl_edition_get_board (self->edition));
  g_clear_pointer (&self->asked_anew, g_free);
  if (!bl_edition_set_landmark (self->edition, photo->id, id, x, y, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  bl_edition_settle (self->edition);
  reveal_asked (self);
}

void
bl_editor_landmarks_drag (BlEditor *self, const char *photo, const char *id, double x, double y)
{
  GError *error = NULL;

  if (!bl_edition_set_landmark (self->edition, photo, id, x, y, &error))
    bl_editor_report (self, error);
  bl_edition_settle (self->edition);
}

void
bl_editor_landmarks_choose (BlEditor *self, const char *photo, const char *id)
{
  const BlPhoto *on = photo_of (self, photo);
  const BlLandmark *landmark = on != NULL ? bl_photo_landmark (on, id) : NULL;
  guint index;

  if (landmark == NULL || !g_ptr_array_find (on->landmarks, landmark, &index))
    return;
  BlRef ref = bl_ref_at (BL_ELEMENT_LANDMARK, photo, index);
  self->on_thing = TRUE;
  bl_editor_select (self, &ref);
}

/* --- acts --- */

static void
begin (BlEditor *self, gboolean on)
{
  g_clear_pointer (&self->skipped, g_ptr_array_unref);
  if (on && self->photo_id == NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("This board has no photo yet: add one first"));
      return;
    }
  bl_editor_select (self, NULL);
  bl_editor_set_tool (self, on, BL_PHOTO_TOOL_NONE);
  self->landmarking = on;
  if (!on)
    return;
  bl_photo_view_set_tool (BL_PHOTO_VIEW (self->photo), BL_PHOTO_TOOL_PRESS);
  reveal_asked (self);
}

/* The next press sets it again, on the photo it is on. */
static void
set_anew (BlEditor *self, const BlRef *ref)
{
  const BlLandmark *landmark = bl_ref_find (bl_edition_get_board (self->edition), ref);

  if (landmark == NULL)
    return;
  g_autofree char *id = g_strdup (landmark->id);
  bl_editor_photo_reveal (self, ref);
  begin (self, TRUE);
  self->asked_anew = g_steal_pointer (&id);
}

gboolean
bl_editor_landmarks_act (BlEditor *self, const char *act, const BlRef *ref)
{
  const char *asked = self->landmarking ? bl_editor_landmarks_asked (self) : NULL;

  if (g_str_equal (act, "landmarks"))
    begin (self, !self->landmarking);
  else if (g_str_equal (act, "landmark-anew"))
    set_anew (self, ref);
  else if (g_str_equal (act, "landmark-skip"))
    {
      if (asked != NULL && self->asked_anew == NULL)
        skip (self, asked);
      g_clear_pointer (&self->asked_anew, g_free);
      reveal_asked (self);
    }
  else if (g_str_equal (act, "photo-beside"))
    next_beside (self);
  else if (g_str_equal (act, "photo-swap"))
    swap (self);
  else if (g_str_equal (act, "far"))
    self->far_hidden = !self->far_hidden;
  else
    return FALSE;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
  return TRUE;
}

void
bl_editor_landmarks_forget (BlEditor *self)
{
  self->landmarking = FALSE;
  g_clear_pointer (&self->asked_anew, g_free);
}

/* --- making --- */

static void
beside_activated (BlPhotoView *view, BlPhotoItemKind kind, const char *id, BlEditor *self)
{
  if (kind == BL_PHOTO_LANDMARK && id != NULL)
    bl_editor_landmarks_choose (self, self->beside_id, id);
}

static void
beside_clicked (BlPhotoView *view, double x, double y, BlEditor *self)
{
  if (self->landmarking)
    bl_editor_landmarks_press (self, TRUE, x, y);
}

static void
beside_dragged (BlPhotoView *view, BlPhotoItemKind kind, const char *id, double x, double y, gboolean finished,
                BlEditor *self)
{
  if (finished && kind == BL_PHOTO_LANDMARK)
    bl_editor_landmarks_drag (self, self->beside_id, id, x, y);
}

static void
beside_act (GtkButton *button, BlEditor *self)
{
  bl_editor_act (self, g_object_get_data (G_OBJECT (button), "act"), NULL);
}

static GtkWidget *
head_button (BlEditor *self, const char *words, const char *cap, const char *tip, const char *act)
{
  GtkWidget *button = bl_act_button ("act", words, cap, FALSE);

  gtk_widget_set_tooltip_text (button, tip);
  bl_widget_name (button, tip);
  g_object_set_data_full (G_OBJECT (button), "act", g_strdup (act), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (beside_act), self);
  return button;
}

static GtkWidget *
make_beside (BlEditor *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  self->beside_box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_box_append (GTK_BOX (head), bl_label (_ ("beside it"), "muted", 0));
  self->beside_name = bl_label ("", "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->beside_name), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->beside_name, TRUE);
  gtk_box_append (GTK_BOX (head), self->beside_name);
  gtk_box_append (GTK_BOX (head), head_button (self, _ ("exchange"), "X", _ ("Exchange the two photos"), "photo-swap"));
  self->beside_next = head_button (self, _ ("another"), "B", _ ("Another photo beside it"), "photo-beside");
  gtk_box_append (GTK_BOX (head), self->beside_next);
  gtk_box_append (GTK_BOX (self->beside_box), head);
  self->beside = bl_photo_view_new ();
  gtk_widget_set_vexpand (self->beside, TRUE);
  bl_photo_view_set_editable (BL_PHOTO_VIEW (self->beside), TRUE);
  g_signal_connect (self->beside, "point-activated", G_CALLBACK (beside_activated), self);
  g_signal_connect (self->beside, "clicked", G_CALLBACK (beside_clicked), self);
  g_signal_connect (self->beside, "point-dragged", G_CALLBACK (beside_dragged), self);
  gtk_box_append (GTK_BOX (self->beside_box), self->beside);
  gtk_widget_set_visible (self->beside_box, FALSE);
  return self->beside_box;
}

static void
measure_pair (GtkWidget *pair, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (gtk_widget_get_first_child (pair), orientation, -1, minimum, natural, NULL, NULL);
}

static void
allocate_pair (GtkWidget *pair, int width, int height, int baseline)
{
  GtkWidget *photo = gtk_widget_get_first_child (pair), *beside = gtk_widget_get_last_child (pair);
  int half;

  if (!gtk_widget_get_visible (beside))
    gtk_widget_size_allocate (photo, &(GtkAllocation){ 0, 0, width, height }, -1);
  else if (width > SIDE_BY_SIDE * height)
    {
      half = (width - BETWEEN) / 2;
      gtk_widget_size_allocate (photo, &(GtkAllocation){ 0, 0, half, height }, -1);
      gtk_widget_size_allocate (beside, &(GtkAllocation){ width - half, 0, half, height }, -1);
    }
  else
    {
      half = (height - BETWEEN) / 2;
      gtk_widget_size_allocate (photo, &(GtkAllocation){ 0, 0, width, half }, -1);
      gtk_widget_size_allocate (beside, &(GtkAllocation){ 0, height - half, width, half }, -1);
    }
}

GtkWidget *
bl_editor_landmarks_build (BlEditor *self)
{
  GtkWidget *pair = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  gtk_widget_set_layout_manager (pair, gtk_custom_layout_new (NULL, measure_pair, allocate_pair));
  gtk_widget_set_vexpand (pair, TRUE);
  gtk_box_append (GTK_BOX (pair), self->photo);
  gtk_box_append (GTK_BOX (pair), make_beside (self));
  return pair;
}
