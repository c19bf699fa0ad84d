/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the editor says about the photos of an edition: what is to be pressed now, the photos with their sides and
 * scales, how the one that is shown is joined with the others and its landmarks. A board has a few photos with some
 * dozen landmarks. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-bundle-actions.h"
#include "bl-edition-photos.h"
#include "bl-photo-far.h"
#include "bl-photo-join-words.h"
#include "bl-shell.h"
#include "bl-style.h"

/* --- the panel in hand --- */

static void
lines (BlSheet *sheet, const char *heading, const char *words)
{
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, heading, "heading wrap");
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, words, "muted wrap");
}

static void
asked_lines (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlPhoto *shown = bl_board_photo (board, self->photo_id), *beside = bl_editor_landmarks_beside (self);
  const char *asked = bl_editor_landmarks_asked (self);
  g_autofree char *name = bl_photo_name (board, shown);
  g_autofree char *other = beside != NULL ? bl_photo_name (board, beside) : NULL;
  g_autofree char *next = bl_board_free_landmark (board);
  g_autofree char *heading = g_strdup_printf (_ ("Press %s on %s"), asked != NULL ? asked : next, name);
  const BlLandmark *there = beside != NULL && asked != NULL ? bl_photo_landmark (beside, asked) : NULL;
  guint common = beside != NULL ? bl_photo_join_common (shown, beside) : 0;
  g_autofree char *words = NULL;

  if (asked == NULL)
    words = beside == NULL
              ? g_strdup (_ ("A new landmark: a place that every board of this kind has, as a screw hole, a corner, a "
                             "through hole. Far apart is best."))
              : g_strdup_printf (_ ("All landmarks of %s are here. A press on either photo sets a new one, to be pressed "
                                    "on the other then."),
                                 other);
  else if (common < 4)
    words = g_strdup_printf (ngettext ("%u landmark in common with %s; four join the two photos. A press on %s sets one "
                                       "more.",
                                       "%u landmarks in common with %s; four join the two photos. A press on %s sets "
                                       "one more.",
                                       common),
                             common, other, other);
  else
    words = g_strdup (_ ("The dashed ring shows where it should be. Press the very place: only that shows whether the "
                         "photos fit."));
  lines (sheet, heading, words);
  if (there != NULL && there->notes != NULL)
    {
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_words (sheet, there->notes, "strong wrap");
    }
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_button (sheet, _ ("done"), "K", _ ("No more landmarks"), "landmarks", NULL);
  if (asked != NULL)
    bl_sheet_button (sheet, _ ("not visible here"), "S", _ ("Skip this landmark"), "landmark-skip", NULL);
}

static void
landmark_hand (BlEditor *self, BlSheet *sheet, const BlRef *ref)
{
  const BlPhoto *photo = bl_board_photo (bl_edition_get_board (self->edition), ref->id);
  g_autofree char *name = bl_photo_name (bl_edition_get_board (self->edition), photo);
  g_autofree char *words = g_strdup_printf (_ ("on %s; drag it, or"), name);

  bl_sheet_line (sheet, "hand-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Landmark"), "muted");
  bl_sheet_slot (sheet, ref, BL_SLOT_ID, 8, FALSE);
  bl_sheet_slot (sheet, ref, BL_SLOT_NOTES, -1, FALSE);
  bl_sheet_button (sheet, "✕", "Del", _ ("Delete this landmark"), "remove", ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, words, "muted");
  bl_sheet_button (sheet, _ ("press it anew"), NULL, _ ("The next press on the photo is its place"), "landmark-anew",
                   ref);
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("A landmark of the same name on another photo is the same place of the board."),
                  "muted wrap");
}

void
bl_editor_photos_hand (BlEditor *self, BlSheet *sheet)
{
  BlRef ref = self->selected;

  if (self->landmarking && self->photo_id != NULL)
    asked_lines (self, sheet);
  else if (self->has_selected && ref.element == BL_ELEMENT_LANDMARK)
    landmark_hand (self, sheet, &ref);
  else
    {
      lines (sheet, _ ("Landmarks join photos"),
             _ ("A landmark is a place that every board of this kind has: a screw hole, a corner, a through hole. Four "
                "that two photos have in common lay one over the other: the back shows what is on the front, a better "
                "photo takes over all that is known, lengths are told in mm."));
      bl_sheet_line (sheet, NULL, 0, NULL, NULL);
      bl_sheet_button (sheet, _ ("set landmarks"), "K", NULL, "landmarks", NULL);
      bl_sheet_button (sheet, _ ("measure on the photo"), "M", _ ("Press two places, or two things on the photo"), "ruler",
                       NULL);
    }
}

/* --- the list --- */

static void
heading (BlSheet *sheet, const char *words, const char *more)
{
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, words, "heading");
  bl_sheet_words (sheet, more, "muted stretch");
}

static void
scale_line (BlEditor *self, BlSheet *sheet, const BlPhoto *photo)
{
  if (!self->scaling || g_strcmp0 (photo->id, self->photo_id) != 0 || self->scale_places < 2)
    return;
  GtkWidget *entry = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), _ ("how far apart, mm"));
  bl_widget_name (entry, _ ("How far apart the two places are, mm"));
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 18);
  g_signal_connect (entry, "activate", G_CALLBACK (bl_editor_photo_scale), self);
  bl_sheet_line (sheet, "form-line", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("scale"), "muted form-label");
  bl_sheet_widget (sheet, "scale-entry", entry);
  bl_sheet_words (sheet, _ ("between the two places pressed; Enter keeps it"), "muted stretch");
}

static void
photo_lines (BlEditor *self, BlSheet *sheet, const BlPhoto *photo)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef ref = bl_ref (BL_ELEMENT_PHOTO, photo->id);
  g_autofree char *name = bl_photo_name (board, photo);
  g_autofree char *scale = bl_photo_scale_words (board, photo);
  guint n = bl_len (photo->landmarks);
  g_autofree char *marks = g_strdup_printf (ngettext ("%u landmark", "%u landmarks", n), n);
  g_autofree char *words = g_strdup_printf ("%s · %s", n > 0 ? marks : _ ("no landmark yet"), scale);
  gboolean shown = g_strcmp0 (photo->id, self->photo_id) == 0;

  bl_sheet_line (sheet, shown ? "tree-row strong" : "tree-row", 0, &ref, NULL);
  bl_sheet_name (sheet, name, shown ? "strong" : NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_SIDE, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_MM_PER_PX, 8, TRUE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this photo; points on it lose their place"), "remove", &ref);
  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_words (sheet, words, "muted small stretch");
  bl_sheet_button (sheet, _ ("set the scale on the photo"), NULL,
                   _ ("Press two places on the photo and say how far apart they are"), "scale", &ref);
  scale_line (self, sheet, photo);
}

/* Carrying over and replacing, where that is of use. */
static void
carry_line (BlEditor *self, BlSheet *sheet, const BlPhoto *shown, const BlPhoto *other)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef ref = bl_ref (BL_ELEMENT_PHOTO, other->id);
  BlHomography map;

  if (!bl_board_map_photo (board, other->id, shown->id, &map, NULL) || bl_photos_are_opposite (other, shown, &map))
    return;
  g_autofree char *from = bl_photo_name (board, other), *to = bl_photo_name (board, shown);
  g_autofree char *carry = g_strdup_printf (_ ("Test points, components and outlines of %s get their place on %s"), from,
                                            to);
  g_autofree char *replace = g_strdup_printf (_ ("The same, and %s is taken away"), from);
  bl_sheet_line (sheet, NULL, 12, NULL, NULL);
  bl_sheet_button (sheet, _ ("carry over to this photo"), NULL, carry, "carry-over", &ref);
  bl_sheet_button (sheet, _ ("replace the old photo by this one"), NULL, replace, "replace-photo", &ref);
}

static void
suspect_lines (BlSheet *sheet, const BlPhotoJoin *join)
{
  g_autofree char *words = bl_photo_join_suspect_words (join), *sides = bl_photo_join_sides_words (join);

  if (words != NULL)
    {
      const BlLandmark *landmark = bl_photo_landmark (join->to, join->names[join->suspect]);
      guint index;
      g_return_if_fail (g_ptr_array_find (join->to->landmarks, landmark, &index));
      BlRef ref = bl_ref_at (BL_ELEMENT_LANDMARK, join->to->id, index);
      bl_sheet_line (sheet, "check-line", 12, NULL, words);
      bl_sheet_words (sheet, words, "danger wrap");
      bl_sheet_button (sheet, _ ("go there"), NULL, NULL, "go", &ref);
      bl_sheet_button (sheet, _ ("press it anew"), NULL, NULL, "landmark-anew", &ref);
    }
  if (sides != NULL)
    {
      bl_sheet_line (sheet, "check-line", 12, NULL, sides);
      bl_sheet_words (sheet, sides, "danger wrap");
    }
}

static void
join_lines (BlEditor *self, BlSheet *sheet, const BlPhoto *shown, const BlPhoto *other)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef ref = bl_ref (BL_ELEMENT_PHOTO, other->id);
  guint common = bl_photo_join_common (shown, other), steps = 0;
  g_autofree char *name = bl_photo_name (board, other);
  g_autofree char *words = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPhotoJoin) join = common >= 4 ? bl_photo_join_new (other, shown, board, &error) : NULL;
  BlHomography map;

  if (join != NULL)
    words = bl_photo_join_words (join);
  else if (error != NULL)
    words = g_strdup (error->message);
  else if (bl_board_map_photo (board, other->id, shown->id, &map, &steps))
    words = g_strdup_printf (_ ("%u in common; joined by way of another photo"), common);
  else
    words = g_strdup_printf (ngettext ("%u landmark in common; four join them", "%u landmarks in common; four join them",
                                       common),
                             common);
  bl_sheet_line (sheet, NULL, 0, &ref, NULL);
  bl_sheet_name (sheet, name, NULL);
  bl_sheet_words (sheet, words, join != NULL ? "wrap" : "muted wrap");
  if (join == NULL && steps == 0)
    bl_sheet_button (sheet, _ ("set landmarks"), "K", NULL, "landmarks-with", &ref);
  if (join != NULL)
    suspect_lines (sheet, join);
  carry_line (self, sheet, shown, other);
}

/* How far off the landmark is by the photo beside; "" where nothing tells. (transfer full) */
static char *
off_words (const BlPhotoJoin *join, const char *id)
{
  for (guint i = 0; join != NULL && join->n > 4 && i < join->n; i++)
    if (g_strcmp0 (join->names[i], id) == 0)
      return bl_photo_off_words (join->residuals[i], join->residuals_mm[i]);
  return g_strdup ("");
}

static void
landmark_lines (BlEditor *self, BlSheet *sheet, const BlPhoto *shown)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlPhoto *beside = bl_editor_landmarks_beside (self);
  g_autoptr (BlPhotoJoin) join = beside != NULL ? bl_photo_join_new (beside, shown, board, NULL) : NULL;

  for (guint i = 0; i < bl_len (shown->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (shown->landmarks, i);
      BlRef ref = bl_ref_at (BL_ELEMENT_LANDMARK, shown->id, i);
      g_autofree char *off = off_words (join, landmark->id);
      bl_sheet_line (sheet, "tree-row", 0, &ref, NULL);
      bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 6, FALSE);
      bl_sheet_slot (sheet, &ref, BL_SLOT_NOTES, -1, FALSE);
      bl_sheet_words (sheet, off, "muted");
      bl_sheet_button (sheet, _ ("press it anew"), NULL, _ ("The next press on the photo is its place"), "landmark-anew",
                       &ref);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this landmark"), "remove", &ref);
    }
}

void
bl_editor_photos_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlPhoto *shown = self->photo_id != NULL ? bl_board_photo (board, self->photo_id) : NULL;

  heading (sheet, _ ("Photos"), "");
  bl_sheet_button (sheet, _ ("+ front photo…"), NULL, _ ("Add a photo of the front"), "add-photo-front", NULL);
  bl_sheet_button (sheet, _ ("+ back photo…"), NULL, _ ("Add a photo of the back"), "add-photo-back", NULL);
  for (guint i = 0; i < bl_len (board->photos); i++)
    photo_lines (self, sheet, bl_at (board->photos, i));
  if (shown == NULL)
    return;
  g_autofree char *name = bl_photo_name (board, shown);
  if (bl_len (board->photos) > 1)
    {
      g_autofree char *words = g_strdup_printf (_ ("How %s lies over the others"), name);
      heading (sheet, words, "");
    }
  for (guint i = 0; i < bl_len (board->photos); i++)
    if (bl_at (board->photos, i) != shown)
      join_lines (self, sheet, shown, bl_at (board->photos, i));
  g_autofree char *words = g_strdup_printf (_ ("Landmarks of %s"), name);
  heading (sheet, words, bl_len (shown->landmarks) == 0 ? _ ("none yet") : "");
  landmark_lines (self, sheet, shown);
}

/* --- acts --- */

/* "Carried over: 12 test points, 1 component, 3 outlines. 1 lies beyond the edge of this photo. Ctrl Z takes it back." */
static char *
carried_words (const BlCarried *carried)
{
  g_autofree char *points
    = g_strdup_printf (ngettext ("%u test point", "%u test points", carried->points), carried->points);
  g_autofree char *components
    = g_strdup_printf (ngettext ("%u component", "%u components", carried->components), carried->components);
  g_autofree char *outlines
    = g_strdup_printf (ngettext ("%u outline", "%u outlines", carried->outlines), carried->outlines);
  g_autofree char *left = g_strdup_printf (ngettext ("%u lies beyond the edge of this photo.",
                                                     "%u lie beyond the edge of this photo.", carried->left),
                                           carried->left);

  if (carried->left == 0)
    return g_strdup_printf (_ ("Carried over: %s, %s, %s. Ctrl Z takes it back."), points, components, outlines);
  return g_strdup_printf (_ ("Carried over: %s, %s, %s. %s Ctrl Z takes it back."), points, components, outlines, left);
}

static void
carry (BlEditor *self, const BlRef *ref, gboolean replace)
{
  BlPhotoSurface *surface = bl_photo_loader_peek (self->loader, self->photo_id);
  double width = surface != NULL ? bl_photo_surface_width (surface) : 0;
  double height = surface != NULL ? bl_photo_surface_height (surface) : 0;
  BlCarried carried = { 0 };
  GError *error = NULL;

  if (!(replace ? bl_edition_replace_photo : bl_edition_carry_over) (self->edition, ref->id, self->photo_id, width,
                                                                     height, &carried, &error))
    {
      bl_editor_report (self, error);
      return;
    }
  g_autofree char *words = carried_words (&carried);
  bl_widget_notify (GTK_WIDGET (self), words);
}

/* A photo of this side, beside the one that is shown until now. */
static void
photo_chosen (const char *path, gpointer data)
{
  BlEditor *self = data;
  g_autoptr (GBytes) image = NULL, thumbnail = NULL;
  g_autofree char *mime = NULL, *id = NULL;
  GError *error = NULL;

  if (self->edition == NULL)
    return;
  if (bl_photo_file_read (path, &image, &mime, &thumbnail, &error))
    id = bl_edition_add_photo (self->edition, self->adding_side, mime, image, thumbnail, &error);
  if (id == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("No photo was added"), error);
      return;
    }
  bl_editor_photo_show (self, id);
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

void
bl_editor_photos_add (BlEditor *self, const char *side)
{
  self->adding_side = side;
  bl_photo_file_choose (GTK_WIDGET (self), _ ("Photo of the board"), photo_chosen, self);
}

gboolean
bl_editor_photos_act (BlEditor *self, const char *act, const BlRef *ref)
{
  if (g_str_equal (act, "add-photo-front") || g_str_equal (act, "add-photo-back"))
    bl_editor_photos_add (self, g_str_equal (act, "add-photo-front") ? "front" : "back");
  else if (g_str_equal (act, "carry-over") || g_str_equal (act, "replace-photo"))
    carry (self, ref, g_str_equal (act, "replace-photo"));
  else if (g_str_equal (act, "landmarks-with"))
    {
      g_free (self->beside_id);
      self->beside_id = g_strdup (ref->id);
      if (!self->landmarking)
        bl_editor_landmarks_act (self, "landmarks", NULL);
    }
  else
    return bl_editor_lengths_act (self, act) || bl_editor_landmarks_act (self, act, ref);
  return TRUE;
}
