/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing and changing outlines on the photo.
 *
 * A rectangle by a drag, a polygon by presses; of a selected outline a corner is dragged, an edge dragged
 * makes a corner (a rectangle is refined that way), its name, or Shift with a drag inside it, moves it whole. A
 * press takes a corner in hand, to be removed by a key; another button removes it at once. What a
 * moving corner catches on is BlSnapField's, which the view's user fills when a movement begins; Ctrl
 * suspends it. The reach is of the screen, so it is the same at each zoom. */
#include "config.h"

#include "bl-photo-view-private.h"

#include <math.h>

#define CORNER_REACH 10.0 /* view px */
#define EDGE_REACH 6.0
#define SNAP_REACH 9.0
#define DOUBLE_PRESS 300000 /* us */

/* --- finding what was pressed --- */

static BlPhotoOutline *
nth_outline (BlPhotoView *self, guint i)
{
  return self->outlines != NULL && i < self->outlines->len ? g_ptr_array_index (self->outlines, i) : NULL;
}

int
bl_photo_outline_edge (BlPhotoView *self, GArray *points, double x, double y)
{
  double ix, iy, distance;
  int edge;

  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  edge = bl_outline_nearest_edge (points, ix, iy, &distance);
  return distance * self->viewport.zoom < EDGE_REACH ? edge : -1;
}

/* The selected ones, topmost first, that have a corner there. */
static gboolean
hit_corner (BlPhotoView *self, double x, double y, guint *outline, guint *corner)
{
  for (guint i = self->outlines != NULL ? self->outlines->len : 0; i > 0; i--)
    {
      const BlPhotoOutline *o = nth_outline (self, i - 1);
      for (guint k = 0; o->selected && k + 1 < o->points->len; k += 2)
        if (bl_photo_view_distance (self, g_array_index (o->points, double, k), g_array_index (o->points, double, k + 1),
                                    x, y) < CORNER_REACH)
          {
            *outline = i - 1;
            *corner = k / 2;
            return TRUE;
          }
    }
  return FALSE;
}

static gboolean
hit_edge (BlPhotoView *self, double x, double y, guint *outline, guint *edge)
{
  for (guint i = self->outlines != NULL ? self->outlines->len : 0; i > 0; i--)
    {
      const BlPhotoOutline *o = nth_outline (self, i - 1);
      int found = o->selected ? bl_photo_outline_edge (self, o->points, x, y) : -1;
      if (found < 0)
        continue;
      *outline = i - 1;
      *edge = (guint) found;
      return TRUE;
    }
  return FALSE;
}

/* Its name, or with Shift its inside. */
static gboolean
hit_whole (BlPhotoView *self, double x, double y, GdkModifierType modifiers, guint *outline)
{
  BlPhotoPaint paint;
  double ix, iy;

  bl_photo_view_fill_paint (self, &paint);
  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  for (guint i = self->outlines != NULL ? self->outlines->len : 0; i > 0; i--)
    {
      const BlPhotoOutline *o = nth_outline (self, i - 1);
      graphene_rect_t box;
      if (!o->selected)
        continue;
      *outline = i - 1;
      if ((modifiers & GDK_SHIFT_MASK) != 0 && bl_outline_contains (o->points, ix, iy))
        return TRUE;
      if (bl_photo_names_outline_box (&paint, i - 1, &box)
          && graphene_rect_contains_point (&box, &GRAPHENE_POINT_INIT ((float) x, (float) y)))
        return TRUE;
    }
  return FALSE;
}

/* --- snapping --- */

static void
begin_snapping (BlPhotoView *self, const char *except)
{
  g_clear_pointer (&self->snap_field, bl_snap_field_free);
  if (self->snap_func != NULL)
    self->snap_field = self->snap_func (except, self->snap_data);
}

static void
end_snapping (BlPhotoView *self)
{
  g_clear_pointer (&self->snap_field, bl_snap_field_free);
  self->snap.kind = BL_SNAP_NONE;
}

/* Where a corner at this place of the view goes, photo px. */
static void
snapped (BlPhotoView *self, double x, double y, GdkModifierType modifiers, double *ix, double *iy)
{
  bl_viewport_to_image (&self->viewport, x, y, ix, iy);
  self->snap.kind = BL_SNAP_NONE;
  if (self->snap_field != NULL && (modifiers & GDK_CONTROL_MASK) == 0)
    {
      self->snap = bl_snap (self->snap_field, *ix, *iy, SNAP_REACH / self->viewport.zoom);
      *ix = self->snap.x;
      *iy = self->snap.y;
    }
  *ix = CLAMP (*ix, 0, self->viewport.image_w);
  *iy = CLAMP (*iy, 0, self->viewport.image_h);
}

static void
align_with (BlPhotoView *self, GArray *points, int except)
{
  if (self->snap_field == NULL)
    return;
  bl_snap_field_clear_lines (self->snap_field);
  for (guint i = 0; points != NULL && i < points->len / 2; i++)
    if ((int) i != except)
      bl_snap_field_add_line (self->snap_field, g_array_index (points, double, 2 * i),
                              g_array_index (points, double, 2 * i + 1));
}

/* --- drawing --- */

void
bl_photo_view_drop_draft (BlPhotoView *self)
{
  g_clear_pointer (&self->draft, g_array_unref);
  end_snapping (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_outlines_finish_draft (BlPhotoView *self)
{
  g_autoptr (GArray) points = g_steal_pointer (&self->draft);

  end_snapping (self);
  self->tool = BL_PHOTO_TOOL_NONE;
  if (points != NULL && points->len >= 6)
    g_signal_emit_by_name (self, "outline-drawn", points);
  g_signal_emit_by_name (self, "tool-changed");
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
bl_photo_outlines_take_back (BlPhotoView *self)
{
  if (self->tool != BL_PHOTO_TOOL_POLYGON || self->draft == NULL || self->draft->len < 2)
    return FALSE;
  g_array_set_size (self->draft, self->draft->len - 2);
  align_with (self, self->draft, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return TRUE;
}

static void
add_draft_corner (BlPhotoView *self, double x, double y, GdkModifierType modifiers)
{
  gint64 now = g_get_monotonic_time ();
  double ix, iy;

  if (self->draft == NULL)
    self->draft = g_array_new (FALSE, FALSE, sizeof (double));
  if (self->draft->len >= 6
      && (now - self->last_press < DOUBLE_PRESS
          || bl_photo_view_distance (self, g_array_index (self->draft, double, 0),
                                     g_array_index (self->draft, double, 1), x, y) < CORNER_REACH))
    {
      bl_photo_outlines_finish_draft (self);
      return;
    }
  self->last_press = now;
  snapped (self, x, y, modifiers, &ix, &iy);
  g_array_append_val (self->draft, ix);
  g_array_append_val (self->draft, iy);
  align_with (self, self->draft, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
draft_rectangle (BlPhotoView *self, double x, double y, GdkModifierType modifiers)
{
  double ax = self->fixed_x, ay = self->fixed_y, bx, by;

  snapped (self, x, y, modifiers, &bx, &by);
  const double corners[] = { ax, ay, bx, ay, bx, by, ax, by };
  g_clear_pointer (&self->draft, g_array_unref);
  self->draft = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (self->draft, corners, G_N_ELEMENTS (corners));
}

/* --- changing --- */

static void
emit_changed (BlPhotoView *self, const BlPhotoOutline *outline, BlOutlineChange change, gboolean finished)
{
  /* The handler may replace the outlines. */
  g_autofree char *id = g_strdup (outline->id);
  g_autoptr (GArray) points = g_array_copy (outline->points);

  g_signal_emit_by_name (self, "outline-changed", outline->kind, id, points, change, finished);
}

static void
move_corner (BlPhotoView *self, double x, double y, GdkModifierType modifiers, gboolean finished)
{
  BlPhotoOutline *outline = nth_outline (self, self->hit);
  double ix, iy;

  g_return_if_fail (outline != NULL && 2 * self->corner + 1 < outline->points->len);
  snapped (self, x, y, modifiers, &ix, &iy);
  g_array_index (outline->points, double, 2 * self->corner) = ix;
  g_array_index (outline->points, double, 2 * self->corner + 1) = iy;
  emit_changed (self, outline, self->adding ? BL_OUTLINE_CORNER_ADDED : BL_OUTLINE_CORNER_MOVED, finished);
}

/* The first movement of an edge puts a corner where it was pressed; from then on that is dragged. */
static void
break_edge (BlPhotoView *self)
{
  BlPhotoOutline *outline = nth_outline (self, self->hit);
  double ix, iy;

  g_return_if_fail (outline != NULL && self->corner < outline->points->len / 2);
  bl_viewport_to_image (&self->viewport, self->start_x, self->start_y, &ix, &iy);
  self->corner = bl_outline_add_corner (outline->points, self->corner, ix, iy);
  self->adding = TRUE;
  self->act = ACT_CORNER;
  align_with (self, outline->points, (int) self->corner);
}

static void
move_whole (BlPhotoView *self, double x, double y, GdkModifierType modifiers, gboolean finished)
{
  BlPhotoOutline *outline = nth_outline (self, self->hit);
  double dx = (x - self->start_x) / self->viewport.zoom, dy = (y - self->start_y) / self->viewport.zoom;

  g_return_if_fail (outline != NULL && self->before != NULL);
  self->snap.kind = BL_SNAP_NONE;
  if (self->snap_field != NULL && (modifiers & GDK_CONTROL_MASK) == 0)
    self->snap = bl_snap_outline (self->snap_field, (const double *) (gconstpointer) self->before->data,
                                  self->before->len / 2, &dx, &dy, SNAP_REACH / self->viewport.zoom);
  g_array_set_size (outline->points, 0);
  g_array_append_vals (outline->points, self->before->data, self->before->len);
  bl_outline_move (outline->points, dx, dy, self->viewport.image_w, self->viewport.image_h);
  emit_changed (self, outline, BL_OUTLINE_MOVED, finished);
}

/* --- what the pointer does --- */

static Act
act_at (BlPhotoView *self, double x, double y, GdkModifierType modifiers, gboolean on_item)
{
  if (hit_corner (self, x, y, &self->hit, &self->corner))
    return ACT_CORNER;
  if ((modifiers & GDK_SHIFT_MASK) != 0 && hit_whole (self, x, y, modifiers, &self->hit))
    return ACT_OUTLINE;
  if (on_item)
    return ACT_NONE;
  if (hit_whole (self, x, y, modifiers, &self->hit))
    return ACT_OUTLINE;
  return hit_edge (self, x, y, &self->hit, &self->corner) ? ACT_EDGE : ACT_NONE;
}

gboolean
bl_photo_outlines_begin (BlPhotoView *self, double x, double y, GdkModifierType modifiers, gboolean on_item)
{
  const BlPhotoOutline *outline;
  Act act;

  if (self->tool == BL_PHOTO_TOOL_RECTANGLE || self->tool == BL_PHOTO_TOOL_POLYGON)
    {
      self->act = ACT_DRAW;
      if (self->snap_field == NULL)
        begin_snapping (self, NULL);
      if (self->tool == BL_PHOTO_TOOL_RECTANGLE)
        snapped (self, x, y, modifiers, &self->fixed_x, &self->fixed_y);
      return TRUE;
    }
  act = self->editable && self->tool == BL_PHOTO_TOOL_NONE ? act_at (self, x, y, modifiers, on_item) : ACT_NONE;
  if (act == ACT_NONE)
    return FALSE;
  self->act = act;
  self->adding = FALSE;
  outline = nth_outline (self, self->hit);
  begin_snapping (self, outline->id);
  align_with (self, outline->points, act == ACT_CORNER ? (int) self->corner : -1);
  g_clear_pointer (&self->before, g_array_unref);
  self->before = g_array_copy (outline->points);
  return TRUE;
}

void
bl_photo_outlines_drag (BlPhotoView *self, double x, double y, GdkModifierType modifiers)
{
  if (self->act == ACT_EDGE)
    break_edge (self);
  if (self->act == ACT_CORNER)
    move_corner (self, x, y, modifiers, FALSE);
  else if (self->act == ACT_OUTLINE)
    move_whole (self, x, y, modifiers, FALSE);
  else if (self->act == ACT_DRAW && self->tool == BL_PHOTO_TOOL_RECTANGLE)
    draft_rectangle (self, x, y, modifiers);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_outlines_end (BlPhotoView *self, double x, double y, GdkModifierType modifiers)
{
  Act act = self->act;

  if (act == ACT_DRAW && self->tool == BL_PHOTO_TOOL_POLYGON)
    {
      add_draft_corner (self, x, y, modifiers);
      return;
    }
  /* What is emitted may have new outlines come. */
  self->act = ACT_NONE;
  if (act == ACT_DRAW && self->moving)
    {
      draft_rectangle (self, x, y, modifiers);
      bl_photo_outlines_finish_draft (self);
    }
  else if (act == ACT_CORNER)
    move_corner (self, x, y, modifiers, TRUE);
  else if (act == ACT_OUTLINE)
    move_whole (self, x, y, modifiers, TRUE);
  end_snapping (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_outlines_cancel (BlPhotoView *self)
{
  if (self->act == ACT_EDGE || self->act == ACT_OUTLINE || self->act == ACT_CORNER)
    end_snapping (self);
}

/* While a polygon is drawn the next corner shows where it would go. */
void
bl_photo_outlines_hover (BlPhotoView *self, double x, double y, GdkModifierType modifiers)
{
  double ix, iy;

  if (self->tool != BL_PHOTO_TOOL_RECTANGLE && self->tool != BL_PHOTO_TOOL_POLYGON)
    return;
  if (self->snap_field == NULL)
    begin_snapping (self, NULL);
  snapped (self, x, y, modifiers, &ix, &iy);
  self->hover_x = ix;
  self->hover_y = iy;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- a corner in hand --- */

void
bl_photo_outlines_take_corner (BlPhotoView *self)
{
  const BlPhotoOutline *outline = nth_outline (self, self->hit);

  end_snapping (self);
  if (outline == NULL)
    return;
  g_free (self->corner_of);
  self->corner_of = g_strdup (outline->id);
  self->corner_at = self->corner;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

BlPhotoOutline *
bl_photo_outlines_corner (BlPhotoView *self, guint *corner)
{
  for (guint i = 0; self->corner_of != NULL && self->outlines != NULL && i < self->outlines->len; i++)
    {
      BlPhotoOutline *outline = nth_outline (self, i);
      if (!outline->selected || g_strcmp0 (outline->id, self->corner_of) != 0
          || self->corner_at >= outline->points->len / 2)
        continue;
      *corner = self->corner_at;
      return outline;
    }
  return NULL;
}

gboolean
bl_photo_view_remove_corner (BlPhotoView *self)
{
  g_return_val_if_fail (BL_IS_PHOTO_VIEW (self), FALSE);
  guint corner;
  BlPhotoOutline *outline = bl_photo_outlines_corner (self, &corner);

  if (outline == NULL)
    return FALSE;
  g_clear_pointer (&self->corner_of, g_free);
  if (bl_outline_remove_corner (outline->points, corner))
    emit_changed (self, outline, BL_OUTLINE_CORNER_REMOVED, TRUE);
  else
    gtk_widget_error_bell (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return TRUE;
}

void
bl_photo_view_drop_corner (BlPhotoView *self)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  g_clear_pointer (&self->corner_of, g_free);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
bl_photo_outlines_press_other (BlPhotoView *self, double x, double y)
{
  if (!self->editable || !hit_corner (self, x, y, &self->hit, &self->corner))
    return FALSE;
  bl_photo_outlines_take_corner (self);
  return bl_photo_view_remove_corner (self);
}

void
bl_photo_view_set_snapping (BlPhotoView *self, BlPhotoSnapFunc func, gpointer data)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  end_snapping (self);
  self->snap_func = func;
  self->snap_data = data;
}
