/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pointer and keys on the photo: zoom, pan, press, moving points. What is done to outlines is in
 * bl-photo-outlines.c.
 *
 * One drag gesture does all pointer work, so that press, pan and moving a point cannot compete: what it
 * does is decided at the press and begins after four pixels. Hits are looked for in reverse drawing
 * order, with a reach larger than the drawn shape because hands hold probes. It changes the view and
 * says what happened by the view's signals; what follows is its user's business. */
#include "config.h"

#include "bl-photo-view-private.h"

#include <math.h>

#define REACH 14.0        /* view px from a point that still hit it */
#define PLACE_REACH 6.0   /* the same while a press places something */
#define THRESHOLD 4.0     /* view px before a press becomes a drag */

/* --- finding what was pressed --- */

double
bl_photo_view_distance (BlPhotoView *self, double ix, double iy, double x, double y)
{
  double vx, vy;

  bl_viewport_to_view (&self->viewport, ix, iy, &vx, &vy);
  return hypot (vx - x, vy - y);
}

/* Index of the item nearest to the view point within reach, later ones first; -1: none. What is on another photo
 * gives way to what is on this one. */
static int
hit_item (BlPhotoView *self, double x, double y)
{
  /* Who places points wants the next one close to the last. */
  double reach = self->tool == BL_PHOTO_TOOL_PLACE ? PLACE_REACH : REACH * self->mark_scale, nearest = reach;
  gboolean far = TRUE;
  int found = -1;

  for (int i = (self->items != NULL ? (int) self->items->len : 0) - 1; i >= 0; i--)
    {
      const BlPhotoItem *item = g_ptr_array_index (self->items, i);
      double distance = bl_photo_view_distance (self, item->x, item->y, x, y);
      if (item->foretold || distance >= reach || (!far && item->far != BL_PHOTO_HERE))
        continue;
      if (distance < nearest || (far && item->far == BL_PHOTO_HERE))
        {
          nearest = distance;
          far = item->far != BL_PHOTO_HERE;
          found = i;
        }
    }
  return found;
}

static int
hit_outline (BlPhotoView *self, double x, double y)
{
  BlPhotoPaint paint;

  bl_photo_view_fill_paint (self, &paint);
  for (int i = (self->outlines != NULL ? (int) self->outlines->len : 0) - 1; i >= 0; i--)
    {
      const BlPhotoOutline *outline = g_ptr_array_index (self->outlines, i);
      graphene_rect_t box;
      if (bl_photo_names_outline_box (&paint, (guint) i, &box)
          && graphene_rect_contains_point (&box, &GRAPHENE_POINT_INIT ((float) x, (float) y)))
        return i;
      if (bl_photo_outline_edge (self, outline->points, x, y) >= 0)
        return i;
    }
  return -1;
}

/* --- pointer --- */

static void
drag_begin (GtkGestureDrag *gesture, double x, double y, BlPhotoView *self)
{
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));
  GdkModifierType modifiers = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  int item = hit_item (self, x, y);

  bl_photo_view_stop_glide (self);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->moving = FALSE;
  self->start_x = x;
  self->start_y = y;
  self->last_dx = self->last_dy = 0;
  self->act = self->surface != NULL ? ACT_PAN : ACT_NONE;
  if (button != GDK_BUTTON_PRIMARY || self->surface == NULL)
    return;
  if (bl_photo_outlines_begin (self, x, y, modifiers, item >= 0))
    return;
  if (self->editable && item >= 0 && ((BlPhotoItem *) g_ptr_array_index (self->items, item))->far == BL_PHOTO_HERE)
    {
      self->act = ACT_ITEM;
      self->hit = (guint) item;
    }
}

static void
move_item (BlPhotoView *self, double x, double y, gboolean finished)
{
  /* The handler may replace the items: keep what the signal needs. */
  g_return_if_fail (self->items != NULL && self->hit < self->items->len);
  BlPhotoItem *item = g_ptr_array_index (self->items, self->hit);
  g_autofree char *id = g_strdup (item->id);
  double ix, iy;

  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  item->x = CLAMP (ix, 0, self->viewport.image_w);
  item->y = CLAMP (iy, 0, self->viewport.image_h);
  g_signal_emit_by_name (self, "point-dragged", item->kind, id, item->x, item->y, finished);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_update (GtkGestureDrag *gesture, double dx, double dy, BlPhotoView *self)
{
  double x = self->start_x + dx, y = self->start_y + dy;

  if (!self->moving && hypot (dx, dy) < THRESHOLD)
    return;
  self->moving = TRUE;
  switch (self->act)
    {
    case ACT_PAN:
      bl_viewport_pan (&self->viewport, dx - self->last_dx, dy - self->last_dy);
      self->last_dx = dx;
      self->last_dy = dy;
      gtk_widget_queue_draw (GTK_WIDGET (self));
      break;
    case ACT_ITEM:
      move_item (self, x, y, FALSE);
      break;
    case ACT_CORNER:
    case ACT_EDGE:
    case ACT_OUTLINE:
    case ACT_DRAW:
      bl_photo_outlines_drag (
          self, x, y, gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture)));
      break;
    case ACT_NONE:
    default:
      break;
    }
}

/* A press that did not become a drag. */
static void
press (BlPhotoView *self, double x, double y)
{
  int item = hit_item (self, x, y), outline;
  double ix, iy;

  if (bl_photo_lengths_press (self, item >= 0 ? g_ptr_array_index (self->items, item) : NULL, x, y))
    return;
  if (item >= 0 && self->tool != BL_PHOTO_TOOL_PRESS)
    {
      BlPhotoItem *hit = g_ptr_array_index (self->items, item);
      g_autofree char *id = g_strdup (hit->id);
      g_signal_emit_by_name (self, "point-activated", hit->kind, id);
      return;
    }
  outline = self->tool != BL_PHOTO_TOOL_PLACE && self->tool != BL_PHOTO_TOOL_PRESS ? hit_outline (self, x, y) : -1;
  if (outline >= 0)
    {
      BlPhotoOutline *hit = g_ptr_array_index (self->outlines, outline);
      g_autofree char *id = g_strdup (hit->id);
      g_signal_emit_by_name (self, "outline-activated", hit->kind, id);
      return;
    }
  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  if (ix >= 0 && iy >= 0 && ix <= self->viewport.image_w && iy <= self->viewport.image_h)
    g_signal_emit_by_name (self, "clicked", ix, iy);
}

/* With the secondary button, which moves the photo when dragged. */
static void
press_other (BlPhotoView *self, double x, double y)
{
  int item = hit_item (self, x, y);

  if (item < 0)
    return;
  BlPhotoItem *hit = g_ptr_array_index (self->items, item);
  g_autofree char *id = g_strdup (hit->id);
  g_signal_emit_by_name (self, "point-pressed-other", hit->kind, id);
}

static void
drag_end (GtkGestureDrag *gesture, double dx, double dy, BlPhotoView *self)
{
  double x = self->start_x + dx, y = self->start_y + dy;
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));
  Act act = self->act;

  if (act == ACT_ITEM && self->moving)
    move_item (self, x, y, TRUE);
  else if (act == ACT_DRAW || (self->moving && (act == ACT_CORNER || act == ACT_EDGE || act == ACT_OUTLINE)))
    bl_photo_outlines_end (self, x, y,
                           gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture)));
  else if (!self->moving && act != ACT_NONE && button == GDK_BUTTON_SECONDARY)
    {
      if (!bl_photo_outlines_press_other (self, x, y))
        press_other (self, x, y);
    }
  else if (!self->moving && act == ACT_CORNER)
    bl_photo_outlines_take_corner (self);
  else if (!self->moving && act != ACT_NONE && button == GDK_BUTTON_PRIMARY)
    {
      bl_photo_outlines_cancel (self);
      bl_photo_view_drop_corner (self);
      press (self, x, y);
    }
  bl_photo_view_end_act (self);
}

static gboolean
scrolled (GtkEventControllerScroll *controller, double dx, double dy, BlPhotoView *self)
{
  double x = isnan (self->pointer_x) ? self->viewport.view_w / 2 : self->pointer_x;
  double y = isnan (self->pointer_y) ? self->viewport.view_h / 2 : self->pointer_y;

  bl_photo_view_stop_glide (self);
  bl_viewport_zoom_at (&self->viewport, pow (1.2, -dy), x, y);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return GDK_EVENT_STOP;
}

static void
pointer_moved (GtkEventControllerMotion *controller, double x, double y, BlPhotoView *self)
{
  self->pointer_x = x;
  self->pointer_y = y;
  if (self->act == ACT_NONE)
    bl_photo_outlines_hover (
        self, x, y, gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller)));
  if (self->tool == BL_PHOTO_TOOL_PLACE)
    {
      double ix, iy;
      bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
      g_signal_emit_by_name (self, "pointed", ix, iy);
    }
  /* Names that had no room appear near the pointer, and the name of what is placed goes with it. */
  if ((self->items != NULL && self->items->len > 12) || self->pointer_name != NULL || self->draft != NULL
      || self->tool == BL_PHOTO_TOOL_RULER)
    gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
pointer_left (GtkEventControllerMotion *controller, BlPhotoView *self)
{
  self->pointer_x = self->pointer_y = NAN;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType modifiers,
             BlPhotoView *self)
{
  const double step = 60;

  if (modifiers & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  switch (keyval)
    {
    case GDK_KEY_Left:
      bl_photo_view_pan (self, step, 0);
      return GDK_EVENT_STOP;
    case GDK_KEY_Right:
      bl_photo_view_pan (self, -step, 0);
      return GDK_EVENT_STOP;
    case GDK_KEY_Up:
      bl_photo_view_pan (self, 0, step);
      return GDK_EVENT_STOP;
    case GDK_KEY_Down:
      bl_photo_view_pan (self, 0, -step);
      return GDK_EVENT_STOP;
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      bl_photo_view_zoom (self, 1.25);
      return GDK_EVENT_STOP;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      bl_photo_view_zoom (self, 0.8);
      return GDK_EVENT_STOP;
    case GDK_KEY_z:
    case GDK_KEY_Z:
      bl_photo_view_fit (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      if (self->tool != BL_PHOTO_TOOL_POLYGON || self->draft == NULL)
        return GDK_EVENT_PROPAGATE;
      bl_photo_outlines_finish_draft (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_BackSpace:
      return bl_photo_outlines_take_back (self) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
    case GDK_KEY_Escape:
      if (self->tool == BL_PHOTO_TOOL_NONE)
        return GDK_EVENT_PROPAGATE;
      bl_photo_view_drop_draft (self);
      bl_photo_outlines_finish_draft (self);
      return GDK_EVENT_STOP;
    default:
      return GDK_EVENT_PROPAGATE;
    }
}

void
bl_photo_view_add_controllers (BlPhotoView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *scroll = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL);
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), 0);
  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_begin), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_update), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_end), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (drag));
  g_signal_connect (scroll, "scroll", G_CALLBACK (scrolled), self);
  gtk_widget_add_controller (widget, scroll);
  g_signal_connect (motion, "motion", G_CALLBACK (pointer_moved), self);
  g_signal_connect (motion, "leave", G_CALLBACK (pointer_left), self);
  gtk_widget_add_controller (widget, motion);
  g_signal_connect (key, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (widget, key);
}
