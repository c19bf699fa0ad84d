/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the photo of the editor: points, components or crosses, and outlines. They are made anew
 * whenever the document changed: hundreds at most. Nothing here changes the document. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-photo-far.h"

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
  const char *black = self->has_selected && gtk_widget_get_visible (self->entry)
                        ? bl_measurement_entry_get_black (BL_MEASUREMENT_ENTRY (self->entry)) : NULL;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlPhotoItem *item;
      if (g_strcmp0 (point->photo, self->photo_id) != 0 || isnan (point->x))
        continue;
      item = bl_photo_item_new (g_strcmp0 (point->id, black) == 0 ? BL_PHOTO_BLACK : BL_PHOTO_POINT, point->id,
                                point->id, point->x, point->y);
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
      if (self->part == BL_EDITOR_STRUCTURE && !is_near (self, component))
        g_clear_pointer (&item->name, g_free);
      g_ptr_array_add (items, item);
    }
}

/* The ends of a distance. */
static void
add_scale_places (BlEditor *self, GPtrArray *items)
{
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

/* --- what is on other photos --- */

static BlPhotoFar
far_of (const BlFar *far)
{
  return far->opposite ? BL_PHOTO_BEHIND : BL_PHOTO_BESIDE;
}

static GArray *
far_things (BlEditor *self, guint kinds)
{
  BlPhotoSurface *surface = self->photo_id != NULL ? bl_photo_loader_peek (self->loader, self->photo_id) : NULL;

  return bl_board_far (bl_edition_get_board (self->edition), self->far_hidden ? NULL : self->photo_id, kinds,
                       surface != NULL ? bl_photo_surface_width (surface) : 0,
                       surface != NULL ? bl_photo_surface_height (surface) : 0);
}

static void
add_far_items (BlEditor *self, GPtrArray *items, BlFarKind kind)
{
  g_autoptr (GArray) found = far_things (self, 1u << kind);

  for (guint i = 0; i < found->len; i++)
    {
      const BlFar *far = &g_array_index (found, BlFar, i);
      const BlComponent *component
        = kind == BL_FAR_COMPONENT ? bl_board_component (bl_edition_get_board (self->edition), far->id) : NULL;
      BlPhotoItem *item = bl_photo_item_new (kind == BL_FAR_COMPONENT ? BL_PHOTO_COMPONENT : BL_PHOTO_POINT, far->id,
                                             far->id, far->x, far->y);
      item->far = far_of (far);
      item->in_hand = kind == BL_FAR_COMPONENT ? is_selected (self, BL_ELEMENT_COMPONENT, far->id)
                                               : point_in_hand (self, far->id);
      if (component != NULL && self->part == BL_EDITOR_STRUCTURE && !is_near (self, component))
        g_clear_pointer (&item->name, g_free);
      g_ptr_array_add (items, item);
    }
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static void
add_far_outlines (BlEditor *self, GPtrArray *outlines)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autoptr (GArray) found
    = far_things (self, 1u << BL_FAR_SECTION | (self->part == BL_EDITOR_STRUCTURE ? 1u << BL_FAR_STAGE : 0));

  for (guint i = 0; i < found->len; i++)
    {
      const BlFar *far = &g_array_index (found, BlFar, i);
      gboolean section = far->kind == BL_FAR_SECTION;
      const BlSection *of_section = section ? bl_board_section (board, far->id) : NULL;
      const BlStage *stage = section ? NULL : bl_board_stage (board, far->id);
      gboolean named = section || is_selected (self, BL_ELEMENT_STAGE, far->id)
                       || is_selected (self, BL_ELEMENT_SECTION, stage->section);
      g_autofree char *key = g_strdup_printf ("%s\t%u", far->id, far->index);
      BlPhotoOutline *shown
        = bl_photo_outline_new (section ? BL_PHOTO_SECTION : BL_PHOTO_STAGE, key,
                                named ? title_or_id (section ? of_section->title : stage->title, far->id) : NULL,
                                far->corners);
      shown->far = far_of (far);
      g_ptr_array_add (outlines, shown);
    }
}

GPtrArray *
bl_editor_photo_outlines (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  GPtrArray *outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);

  if (self->landmarking) /* the board itself is looked at */
    return outlines;
  add_far_outlines (self, outlines);
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      add_outlines (self, outlines, section->outlines, BL_ELEMENT_SECTION, section->id,
                    title_or_id (section->title, section->id));
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      gboolean named = is_selected (self, BL_ELEMENT_STAGE, stage->id)
                       || is_selected (self, BL_ELEMENT_SECTION, stage->section);
      add_outlines (self, outlines, stage->outlines, BL_ELEMENT_STAGE, stage->id,
                    named ? title_or_id (stage->title, stage->id) : NULL);
    }
  return outlines;
}

GPtrArray *
bl_editor_photo_items (BlEditor *self)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  BlLayers layers = bl_editor_layers (self);

  if (self->part == BL_EDITOR_PHOTOS)
    {
      bl_editor_landmarks_items (self, items, self->photo_id);
      add_scale_places (self, items);
      return items;
    }
  if (self->part == BL_EDITOR_BOARD)
    return items;
  if (self->part == BL_EDITOR_STRUCTURE || (layers & BL_LAYER_COMPONENTS) != 0)
    {
      add_far_items (self, items, BL_FAR_COMPONENT);
      add_components (self, items);
    }
  if (self->part != BL_EDITOR_STRUCTURE || (layers & BL_LAYER_POINTS) != 0)
    {
      add_far_items (self, items, BL_FAR_TEST_POINT);
      add_points (self, items);
    }
  return items;
}
