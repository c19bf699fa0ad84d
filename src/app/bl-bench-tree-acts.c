/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the full fault tree and the rest of the bench say to each other: a node taken shows its component
 * or stage on the photo, and what is pressed on the photo or among the suspects is shown in the tree. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-page-private.h"

static void
show_on_photo (BlBenchPage *self, const char *photo)
{
  if (photo != NULL && g_strcmp0 (photo, self->photo_key) != 0
      && bl_board_photo (bl_bench_get_board (self->bench), photo) != NULL)
    bl_bench_page_show_photo (self, photo);
}

/* Where a component is on the photo shown. FALSE: not on it. */
static gboolean
on_photo (BlBenchPage *self, const BlComponent *component, double at[2], BlPhotoFar *far)
{
  g_autoptr (BlBenchPlaces) places
    = component != NULL ? bl_bench_photos_places (self->photos, self->photo_key) : NULL;

  return places != NULL
         && bl_bench_places_find (places, BL_FAR_COMPONENT, component->id, component->photo, component->x, component->y,
                                  at, far);
}

static void
component_chosen (BlBenchPage *self, const char *id)
{
  const BlComponent *component = bl_board_component (bl_bench_get_board (self->bench), id);
  double at[2];

  g_free (self->shown_part);
  self->shown_part = g_strdup (id);
  if (component != NULL && component->photo != NULL && !on_photo (self, component, at, NULL))
    show_on_photo (self, component->photo);
  bl_bench_view_show_marks (self);
  if (on_photo (self, component, at, NULL))
    bl_photo_view_close_up (BL_PHOTO_VIEW (self->photo), at[0], at[1],
                            bl_photo_view_get_viewport (BL_PHOTO_VIEW (self->photo))->zoom);
}

/* An outline of the stage on the photo shown, else on the first that has one. */
static const BlOutline *
outline_of (BlBenchPage *self, const BlStage *stage)
{
  const BlOutline *first = NULL;

  for (guint i = 0; i < bl_len (stage->outlines); i++)
    {
      const BlOutline *outline = bl_at (stage->outlines, i);
      if (outline->points == NULL || outline->points->len < 2)
        continue;
      if (g_strcmp0 (outline->photo, self->photo_key) == 0)
        return outline;
      if (first == NULL)
        first = outline;
    }
  return first;
}

/* Brings the middle of an outline into view. */
static void
look_at (BlBenchPage *self, const GArray *points)
{
  double x = 0, y = 0;
  guint n = points->len / 2;

  for (guint i = 0; i < n; i++)
    {
      x += g_array_index (points, double, 2 * i) / n;
      y += g_array_index (points, double, 2 * i + 1) / n;
    }
  bl_photo_view_close_up (BL_PHOTO_VIEW (self->photo), x, y,
                          bl_photo_view_get_viewport (BL_PHOTO_VIEW (self->photo))->zoom);
}

static void
stage_chosen (BlBenchPage *self, const char *id)
{
  const BlStage *stage = bl_board_stage (bl_bench_get_board (self->bench), id);
  const BlOutline *outline = stage != NULL ? outline_of (self, stage) : NULL;
  g_autoptr (BlBenchPlaces) places = bl_bench_photos_places (self->photos, self->photo_key);
  g_autoptr (GPtrArray) here = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);

  g_clear_pointer (&self->shown_part, g_free);
  if (outline == NULL)
    return;
  if (bl_bench_places_add_outlines (places, here, BL_FAR_STAGE, id, stage->outlines, BL_PHOTO_STAGE, NULL))
    {
      bl_bench_view_show_marks (self);
      look_at (self, ((BlPhotoOutline *) g_ptr_array_index (here, 0))->points);
      return;
    }
  show_on_photo (self, outline->photo);
  bl_bench_view_show_marks (self);
  look_at (self, outline->points);
}

static void
outline_pressed (BlPhotoView *view, int kind, const char *id, BlBenchPage *self)
{
  if (bl_tree_pane_is_open (BL_TREE_PANE (self->chart))
      && bl_board_stage (bl_bench_get_board (self->bench), id) != NULL)
    bl_tree_pane_show_stage (BL_TREE_PANE (self->chart), id);
}

gboolean
bl_bench_tree_show (BlBenchPage *self, const char *component)
{
  if (component == NULL || !bl_tree_pane_is_open (BL_TREE_PANE (self->chart)))
    return FALSE;
  if (!bl_tree_pane_show_component (BL_TREE_PANE (self->chart), component))
    return bl_tree_pane_show_stage (BL_TREE_PANE (self->chart), component);
  component_chosen (self, component);
  return TRUE;
}

/* The point in hand reads a stage: the tree goes there when the point was pressed. */
void
bl_bench_tree_show_point (BlBenchPage *self)
{
  BlMeasurementItem *item = bl_bench_get_current (self->bench);
  const BlMeasurement *measurement = item != NULL ? bl_measurement_item_get_measurement (item) : NULL;

  if (measurement != NULL && measurement->reads != NULL && bl_tree_pane_is_open (BL_TREE_PANE (self->chart)))
    bl_tree_pane_show_stage (BL_TREE_PANE (self->chart), measurement->reads);
}

void
bl_bench_tree_add_item (BlBenchPage *self, GPtrArray *items)
{
  const BlComponent *component
    = self->shown_part != NULL ? bl_board_component (bl_bench_get_board (self->bench), self->shown_part) : NULL;
  BlPhotoItem *item = NULL;
  BlPhotoFar far;
  double at[2];

  if (!on_photo (self, component, at, &far)
      || !bl_tree_pane_is_open (BL_TREE_PANE (self->chart)))
    return;
  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *one = g_ptr_array_index (items, i);
      if (one->kind == BL_PHOTO_COMPONENT && g_strcmp0 (one->id, component->id) == 0)
        item = one;
    }
  if (item == NULL)
    {
      item = bl_photo_item_new (BL_PHOTO_COMPONENT, component->id, component->id, at[0], at[1]);
      item->far = far;
      g_ptr_array_add (items, item);
    }
  item->in_hand = TRUE;
}

/* --- opening and closing --- */

void
bl_bench_tree_open (BlBenchPage *self, gboolean open)
{
  BlBenchLayout *layout = BL_BENCH_LAYOUT (self->layout);

  if (open == bl_tree_pane_is_open (BL_TREE_PANE (self->chart)))
    return;
  bl_bench_layout_enlarge (layout, open ? BL_PLACE_CHART : BL_N_PLACES);
  bl_tree_pane_set_open (BL_TREE_PANE (self->chart), open);
  g_clear_pointer (&self->shown_part, g_free);
  bl_bench_view_show_marks (self);
  if (open)
    gtk_widget_grab_focus (GTK_WIDGET (bl_tree_pane_get_canvas (BL_TREE_PANE (self->chart))));
}

gboolean
bl_bench_tree_view (BlBenchPage *self, const char *name)
{
  BlTreeCanvas *canvas = bl_tree_pane_get_canvas (BL_TREE_PANE (self->chart));

  if (!bl_tree_pane_is_open (BL_TREE_PANE (self->chart)) || !bl_tree_pane_has_focus (BL_TREE_PANE (self->chart)))
    return FALSE;
  if (g_str_equal (name, "fit"))
    bl_tree_canvas_fit (canvas);
  else if (g_str_equal (name, "larger"))
    bl_tree_canvas_zoom (canvas, 1.25);
  else if (g_str_equal (name, "smaller"))
    bl_tree_canvas_zoom (canvas, 0.8);
  else if (g_str_equal (name, "pan-left"))
    bl_tree_canvas_pan (canvas, 80, 0);
  else if (g_str_equal (name, "pan-right"))
    bl_tree_canvas_pan (canvas, -80, 0);
  else if (g_str_equal (name, "pan-up"))
    bl_tree_canvas_pan (canvas, 0, 80);
  else
    bl_tree_canvas_pan (canvas, 0, -80);
  return TRUE;
}

static void
toggle_tree (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  gboolean open = !bl_tree_pane_is_open (BL_TREE_PANE (self->chart));

  bl_bench_tree_open (self, open);
  if (!open)
    bl_bench_page_focus (self);
}

static void
find (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  bl_bench_tree_open (self, TRUE);
  bl_tree_pane_find (BL_TREE_PANE (self->chart));
}

void
bl_bench_tree_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[]
    = { { "tree", toggle_tree, NULL, NULL, NULL, { 0 } }, { "tree-find", find, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}

void
bl_bench_tree_connect (BlBenchPage *self)
{
  g_signal_connect_swapped (self->chart, "component-chosen", G_CALLBACK (component_chosen), self);
  g_signal_connect_swapped (self->chart, "stage-chosen", G_CALLBACK (stage_chosen), self);
  g_signal_connect (self->photo, "outline-activated", G_CALLBACK (outline_pressed), self);
}
