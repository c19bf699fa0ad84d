/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo of the editor: what stands on it, and what pressing and dragging there does to the
 * document. Photos are decoded in the background and kept while the board is open. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

#include "bl-bundle-actions.h"
#include "bl-style.h"
#include "bl-window.h"

/* --- loading --- */

typedef struct
{
  BlEditor *editor; /* a reference */
  char *photo;
  GCancellable *cancellable;
} Load;

static void
loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  Load *load = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPhotoSurface) surface = bl_photo_surface_load_finish (result, &error);

  if (!g_cancellable_is_cancelled (load->cancellable))
    {
      g_hash_table_remove (load->editor->messages, load->photo);
      if (surface != NULL)
        g_hash_table_insert (load->editor->surfaces, g_strdup (load->photo), g_steal_pointer (&surface));
      else
        g_hash_table_insert (load->editor->messages, g_strdup (load->photo),
                             g_strdup_printf (_ ("The photo cannot be shown: %s"), error->message));
      bl_editor_photo_refresh (load->editor);
    }
  g_object_unref (load->editor);
  g_object_unref (load->cancellable);
  g_free (load->photo);
  g_free (load);
}

static void
start_loading (BlEditor *self, const char *photo)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) image
    = bl_library_get_board_photo (self->library, bl_edition_get_id (self->edition), photo, NULL, &error);

  if (image == NULL)
    {
      g_hash_table_insert (self->messages, g_strdup (photo),
                           g_strdup_printf (_ ("The photo cannot be read: %s"), error->message));
      return;
    }
  Load *load = g_new0 (Load, 1);
  load->editor = g_object_ref (self);
  load->photo = g_strdup (photo);
  load->cancellable = g_object_ref (self->cancellable);
  g_hash_table_insert (self->messages, g_strdup (photo), g_strdup (_ ("opening the photo")));
  bl_photo_surface_load_async (image, self->cancellable, loaded, load);
}

void
bl_editor_photo_forget (BlEditor *self)
{
  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  self->cancellable = g_cancellable_new ();
  g_hash_table_remove_all (self->surfaces);
  g_hash_table_remove_all (self->messages);
  g_clear_pointer (&self->photo_id, g_free);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), NULL);
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), NULL, NULL);
}

/* --- what stands on it --- */

static gboolean
is_selected (BlEditor *self, BlElement element, const char *id)
{
  return self->has_selected && self->selected.element == element && g_strcmp0 (self->selected.id, id) == 0;
}

static gboolean
point_in_hand (BlEditor *self, const char *id)
{
  const BlMeasurement *measurement = self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT
                                       ? bl_board_measurement (bl_edition_get_board (self->edition), self->selected.id)
                                       : NULL;

  return is_selected (self, BL_ELEMENT_TEST_POINT, id)
         || (measurement != NULL && g_strcmp0 (measurement->at, id) == 0);
}

static void
add_points (BlEditor *self, GPtrArray *items)
{
  const BlBoard *board = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlPhotoItem *item;
      if (g_strcmp0 (point->photo, self->photo_id) != 0 || isnan (point->x))
        continue;
      item = bl_photo_item_new (BL_PHOTO_POINT, point->id, point->id, point->x, point->y);
      item->in_hand = point_in_hand (self, point->id);
      g_ptr_array_add (items, item);
    }
}

/* The component belongs to the stage or section in hand, or nothing is. */
static gboolean
is_near (BlEditor *self, const BlComponent *component)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlStage *stage = bl_board_stage (board, component->stage);

  if (!self->has_selected)
    return TRUE;
  if (self->selected.element == BL_ELEMENT_SECTION)
    return stage != NULL && g_strcmp0 (stage->section, self->selected.id) == 0;
  if (self->selected.element == BL_ELEMENT_STAGE)
    return g_strcmp0 (component->stage, self->selected.id) == 0;
  const BlComponent *chosen
    = self->selected.element == BL_ELEMENT_COMPONENT ? bl_board_component (board, self->selected.id) : NULL;
  return chosen == NULL || g_strcmp0 (chosen->stage, component->stage) == 0;
}

static void
add_components (BlEditor *self, GPtrArray *items)
{
  const BlBoard *board = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      BlPhotoItem *item;
      if (g_strcmp0 (component->photo, self->photo_id) != 0 || isnan (component->x))
        continue;
      item = bl_photo_item_new (BL_PHOTO_COMPONENT, component->id, component->id, component->x, component->y);
      item->in_hand = is_selected (self, BL_ELEMENT_COMPONENT, component->id);
      /* Sixty names would hide the board: with something in hand, only those that belong to it. */
      if (!is_near (self, component))
        g_clear_pointer (&item->name, g_free);
      g_ptr_array_add (items, item);
    }
}

/* Landmarks and the ends of a distance, both as crosses with their name. */
static void
add_landmarks (BlEditor *self, GPtrArray *items)
{
  const BlPhoto *photo
    = self->photo_id != NULL ? bl_board_photo (bl_edition_get_board (self->edition), self->photo_id) : NULL;

  for (guint i = 0; photo != NULL && i < bl_len (photo->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (photo->landmarks, i);
      if (!isnan (landmark->x) && !isnan (landmark->y))
        g_ptr_array_add (items, bl_photo_item_new (BL_PHOTO_MARK, NULL, landmark->id, landmark->x, landmark->y));
    }
  for (guint i = 0; self->scaling && i < self->scale_places; i++)
    g_ptr_array_add (items, bl_photo_item_new (BL_PHOTO_MARK, NULL, i == 0 ? _ ("from here") : _ ("to here"),
                                               self->scale_at[2 * i], self->scale_at[2 * i + 1]));
}

/* The id of an outline on the photo carries its number among those of its owner. */
static void
add_outlines (BlEditor *self, GPtrArray *outlines, const GPtrArray *from, BlElement element, const char *id,
              const char *name)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (from); i++)
    {
      const BlOutline *outline = bl_at (from, i);
      BlPhotoOutline *shown;
      if (g_strcmp0 (outline->photo, self->photo_id) != 0)
        continue;
      g_autofree char *key = g_strdup_printf ("%s\t%u", id, n++);
      if (outline->points == NULL || outline->points->len < 6)
        continue;
      shown = bl_photo_outline_new (element == BL_ELEMENT_SECTION ? BL_PHOTO_SECTION : BL_PHOTO_STAGE, key, name,
                                    outline->points);
      shown->selected = is_selected (self, element, id);
      g_ptr_array_add (outlines, shown);
    }
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static GPtrArray *
outlines_now (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);

  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      add_outlines (self, outlines, section->outlines, BL_ELEMENT_SECTION, section->id,
                    title_or_id (section->title, section->id));
    }
  for (guint i = 0; self->part == BL_EDITOR_STRUCTURE && i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      gboolean named = is_selected (self, BL_ELEMENT_STAGE, stage->id)
                       || is_selected (self, BL_ELEMENT_SECTION, stage->section);
      add_outlines (self, outlines, stage->outlines, BL_ELEMENT_STAGE, stage->id,
                    named ? title_or_id (stage->title, stage->id) : NULL);
    }
  return outlines;
}

/* --- sides --- */

static void
segment_pressed (GtkButton *button, BlEditor *self)
{
  const char *photo = g_object_get_data (G_OBJECT (button), "photo");

  if (photo == NULL)
    bl_editor_photo_add (self);
  else
    {
      bl_editor_photo_show (self, photo);
      bl_editor_photo_refresh (self);
    }
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
add_segment (BlEditor *self, GtkWidget *box, const char *words, const char *photo)
{
  GtkWidget *button = photo != NULL ? gtk_toggle_button_new_with_label (words) : gtk_button_new_with_label (words);

  gtk_widget_add_css_class (button, photo != NULL ? "segment" : "act");
  gtk_widget_set_focus_on_click (button, FALSE);
  if (photo != NULL)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), g_strcmp0 (photo, self->photo_id) == 0);
  g_object_set_data_full (G_OBJECT (button), "photo", g_strdup (photo), g_free);
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

static void
show_segments (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  GtkWidget *joined = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  g_autoptr (GString) now = g_string_new (self->photo_id != NULL ? self->photo_id : "");

  for (guint i = 0; i < bl_len (board->photos); i++)
    g_string_append_printf (now, "\n%s", ((BlPhoto *) bl_at (board->photos, i))->id);
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
      g_autofree char *words = photo_words (photo);
      add_segment (self, joined, words, photo->id);
    }
  if (bl_len (board->photos) > 1)
    gtk_box_append (GTK_BOX (self->segments), bl_key_cap ("F3"));
  if (!has_side (board, "front"))
    add_segment (self, self->segments, _ ("add front photo…"), NULL);
  else if (!has_side (board, "back"))
    add_segment (self, self->segments, _ ("add back photo…"), NULL);
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

void
bl_editor_photo_refresh (BlEditor *self)
{
  GPtrArray *items;
  BlPhotoSurface *surface = NULL;
  const char *message = _ ("This board has no photo yet");

  if (self->edition == NULL)
    return;
  /* Undo may have taken the photo away that is shown. */
  bl_editor_photo_show (self, self->photo_id);
  show_segments (self);
  if (self->photo_id != NULL)
    {
      surface = g_hash_table_lookup (self->surfaces, self->photo_id);
      if (surface == NULL && !g_hash_table_contains (self->messages, self->photo_id))
        start_loading (self, self->photo_id);
      message = g_hash_table_lookup (self->messages, self->photo_id);
    }
  if (surface == NULL || surface != bl_photo_view_get_surface (BL_PHOTO_VIEW (self->photo)))
    bl_photo_view_set_surface (BL_PHOTO_VIEW (self->photo), surface, message);
  items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  if (self->part == BL_EDITOR_BOARD)
    add_landmarks (self, items);
  else if (self->part == BL_EDITOR_STRUCTURE)
    add_components (self, items);
  else
    add_points (self, items);
  g_autofree char *words =
      g_strdup_printf (ngettext ("Photo with %u thing on it", "Photo with %u things on it", items->len), items->len);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->photo), words);
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->photo), items);
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->photo), outlines_now (self));
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

  if (photo == NULL || isnan (x) || isnan (y))
    return;
  bl_editor_photo_show (self, photo);
  bl_editor_photo_refresh (self);
  bl_photo_view_reveal (BL_PHOTO_VIEW (self->photo), x, y);
}

/* --- adding a photo --- */

static void
photo_chosen (const char *path, gpointer data)
{
  BlEditor *self = data;
  g_autoptr (GBytes) image = NULL, thumbnail = NULL;
  g_autofree char *mime = NULL, *id = NULL;
  GError *error = NULL;

  if (self->edition == NULL)
    return;
  const char *side = has_side (bl_edition_get_board (self->edition), "front") ? "back" : "front";
  if (bl_photo_file_read (path, &image, &mime, &thumbnail, &error))
    id = bl_edition_add_photo (self->edition, side, mime, image, thumbnail, &error);
  if (id == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("No photo was added"), error);
      return;
    }
  bl_editor_photo_show (self, id);
  bl_editor_photo_refresh (self);
}

void
bl_editor_photo_add (BlEditor *self)
{
  bl_photo_file_choose (GTK_WIDGET (self), _ ("Photo of the board"), photo_chosen, self);
}

/* --- pressing and dragging --- */

static void
point_activated (BlPhotoView *view, BlPhotoItemKind kind, const char *id, BlEditor *self)
{
  BlRef ref = bl_ref (kind == BL_PHOTO_COMPONENT ? BL_ELEMENT_COMPONENT : BL_ELEMENT_TEST_POINT, id);

  if (kind == BL_PHOTO_MARK || id == NULL)
    return;
  self->on_thing = TRUE;
  if (self->picking && kind != BL_PHOTO_COMPONENT)
    bl_editor_pick_followed (self, id);
  else
    bl_editor_select (self, &ref);
}

static void
outline_activated (BlPhotoView *view, BlPhotoOutlineKind kind, const char *key, BlEditor *self)
{
  g_auto (GStrv) parts = g_strsplit (key, "\t", 2);
  BlRef ref = bl_ref (kind == BL_PHOTO_SECTION ? BL_ELEMENT_SECTION : BL_ELEMENT_STAGE, parts[0]);

  self->on_thing = self->part == BL_EDITOR_STRUCTURE;
  if (self->on_thing)
    bl_editor_select (self, &ref);
}

static void
place_point (BlEditor *self, double x, double y)
{
  GError *error = NULL;
  g_autofree char *id = bl_edition_add_test_point (self->edition, self->photo_id, x, y, &error);

  if (id == NULL)
    {
      bl_editor_report (self, error);
      return;
    }
  BlRef ref = bl_ref (BL_ELEMENT_TEST_POINT, id);
  bl_editor_select (self, &ref);
  gtk_widget_set_visible (self->entry, TRUE);
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), self->edition, id);
  bl_measurement_entry_focus (BL_MEASUREMENT_ENTRY (self->entry));
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
  if (self->part == BL_EDITOR_POINTS && !self->placing_selected)
    place_point (self, x, y);
  else if (self->scaling)
    take_scale_place (self, x, y);
  else if (self->has_selected
           && (self->selected.element == BL_ELEMENT_COMPONENT || self->selected.element == BL_ELEMENT_TEST_POINT
               || self->selected.element == BL_ELEMENT_LANDMARK))
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
outline_changed (BlPhotoView *view, BlPhotoOutlineKind kind, const char *key, GArray *points, gboolean finished,
                 BlEditor *self)
{
  g_auto (GStrv) parts = g_strsplit (key, "\t", 2);
  BlRef ref = bl_ref (kind == BL_PHOTO_SECTION ? BL_ELEMENT_SECTION : BL_ELEMENT_STAGE, parts[0]);
  GError *error = NULL;

  if (!finished || parts[1] == NULL)
    return;
  if (!bl_edition_set_outline (self->edition, &ref, self->photo_id, (guint) atoi (parts[1]), points, &error))
    bl_editor_report (self, error);
  bl_edition_settle (self->edition);
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
  self->cancellable = g_cancellable_new ();
  g_signal_connect (self->photo, "point-activated", G_CALLBACK (point_activated), self);
  g_signal_connect (self->photo, "outline-activated", G_CALLBACK (outline_activated), self);
  g_signal_connect (self->photo, "clicked", G_CALLBACK (clicked), self);
  g_signal_connect (self->photo, "point-dragged", G_CALLBACK (point_dragged), self);
  g_signal_connect (self->photo, "outline-drawn", G_CALLBACK (outline_drawn), self);
  g_signal_connect (self->photo, "outline-changed", G_CALLBACK (outline_changed), self);
  g_signal_connect (self->photo, "tool-changed", G_CALLBACK (tool_changed), self);
}
