/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pointer and keys on the drawn fault tree. A press on the sign of a gate folds or unfolds it, one on its
 * words takes it; the arrow to the causes unfolds what it would enter. A reference leads to the gate that
 * is drawn in full. */
#include "config.h"

#include <math.h>

#include "bl-tree-canvas-private.h"

#define THRESHOLD 5.0 /* px before a press is a drag */
#define SIGN 33.0     /* px from the left edge of a gate */

static void
take (BlTreeCanvas *self, int index)
{
  const BlChartItem *item = bl_chart_item (self->chart, index);

  if (item->target >= 0)
    bl_tree_canvas_show (self, item->target);
  g_signal_emit_by_name (self, "chosen", item->node);
}

static void
press (BlTreeCanvas *self, double vx, double vy)
{
  double x = self->x + vx / self->zoom, y = self->y + vy / self->zoom;
  int index = bl_tree_chart_hit (self->chart, x, y);
  const BlChartItem *item = index >= 0 ? bl_chart_item (self->chart, index) : NULL;

  if (item == NULL)
    return;
  bl_tree_canvas_select (self, index, TRUE);
  if (item->children->len > 0 && x < item->x + SIGN)
    bl_tree_canvas_toggle (self, (guint) index);
  else
    take (self, index);
}

static void
drag_begin (GtkGestureDrag *gesture, double x, double y, BlTreeCanvas *self)
{
  bl_tree_canvas_stop_glide (self);
  self->dragged = FALSE;
  self->drag_x = self->drag_y = 0;
  gtk_widget_grab_focus (GTK_WIDGET (self));
}

static void
drag_update (GtkGestureDrag *gesture, double dx, double dy, BlTreeCanvas *self)
{
  if (!self->dragged && hypot (dx, dy) < THRESHOLD)
    return;
  self->dragged = TRUE;
  bl_tree_canvas_pan (self, dx - self->drag_x, dy - self->drag_y);
  self->drag_x = dx;
  self->drag_y = dy;
}

static void
drag_end (GtkGestureDrag *gesture, double dx, double dy, BlTreeCanvas *self)
{
  double x, y;

  gtk_gesture_drag_get_start_point (gesture, &x, &y);
  if (!self->dragged && self->chart != NULL
      && gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture)) == GDK_BUTTON_PRIMARY)
    press (self, x, y);
}

static gboolean
scrolled (GtkEventControllerScroll *controller, double dx, double dy, BlTreeCanvas *self)
{
  double x = isnan (self->pointer_x) ? gtk_widget_get_width (GTK_WIDGET (self)) / 2.0 : self->pointer_x;
  double y = isnan (self->pointer_y) ? gtk_widget_get_height (GTK_WIDGET (self)) / 2.0 : self->pointer_y;

  bl_tree_canvas_zoom_at (self, pow (1.2, -dy), x, y);
  return GDK_EVENT_STOP;
}

static void
pointer_moved (GtkEventControllerMotion *controller, double x, double y, BlTreeCanvas *self)
{
  self->pointer_x = x;
  self->pointer_y = y;
}

static void
pointer_left (GtkEventControllerMotion *controller, BlTreeCanvas *self)
{
  self->pointer_x = self->pointer_y = NAN;
}

static void
step (BlTreeCanvas *self, BlChartStep way)
{
  guint from = (guint) MAX (self->selected, 0);

  if (way == BL_CHART_TO_CAUSE && !bl_chart_item (self->chart, from)->open)
    bl_tree_canvas_toggle (self, from);
  guint next = bl_tree_chart_step (self->chart, from, way);
  bl_tree_canvas_show (self, (int) next);
  gtk_widget_grab_focus (GTK_WIDGET (self));
}

static void
unfold_all (BlTreeCanvas *self, gboolean unfold)
{
  if (unfold)
    bl_tree_chart_unfold (self->chart);
  else
    bl_tree_chart_fold (self->chart);
  bl_tree_canvas_update (self);
  if (self->selected >= 0)
    bl_tree_canvas_show (self, self->selected);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType modifiers,
             BlTreeCanvas *self)
{
  if (self->chart == NULL || modifiers & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  switch (keyval)
    {
    case GDK_KEY_Left:
      step (self, BL_CHART_TO_CAUSE);
      return GDK_EVENT_STOP;
    case GDK_KEY_Right:
      step (self, BL_CHART_TO_EFFECT);
      return GDK_EVENT_STOP;
    case GDK_KEY_Up:
      step (self, BL_CHART_UP);
      return GDK_EVENT_STOP;
    case GDK_KEY_Down:
      step (self, BL_CHART_DOWN);
      return GDK_EVENT_STOP;
    case GDK_KEY_Home:
      step (self, BL_CHART_FIRST);
      return GDK_EVENT_STOP;
    case GDK_KEY_End:
      step (self, BL_CHART_LAST);
      return GDK_EVENT_STOP;
    case GDK_KEY_space:
      if (self->selected >= 0)
        bl_tree_canvas_toggle (self, (guint) self->selected);
      return GDK_EVENT_STOP;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      if (self->selected >= 0)
        take (self, self->selected);
      return GDK_EVENT_STOP;
    case GDK_KEY_asterisk:
    case GDK_KEY_KP_Multiply:
      unfold_all (self, TRUE);
      return GDK_EVENT_STOP;
    case GDK_KEY_BackSpace:
      unfold_all (self, FALSE);
      return GDK_EVENT_STOP;
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      bl_tree_canvas_zoom (self, 1.25);
      return GDK_EVENT_STOP;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      bl_tree_canvas_zoom (self, 0.8);
      return GDK_EVENT_STOP;
    case GDK_KEY_z:
    case GDK_KEY_Z:
      bl_tree_canvas_fit (self);
      return GDK_EVENT_STOP;
    default:
      return GDK_EVENT_PROPAGATE;
    }
}

void
bl_tree_canvas_add_controllers (BlTreeCanvas *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *scroll = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL);
  GtkEventController *motion = gtk_event_controller_motion_new (), *key = gtk_event_controller_key_new ();

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
