/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A figure of the whole fault tree that stays in sight beside the part one works in. One rectangle an item,
 * the way to the leading suspect in ink; some thousand items. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-style.h"
#include "bl-tree-canvas-private.h"

static void
draw_plan (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  BlTreeCanvas *self = data;
  const BlPalette *palette = bl_style_palette ();

  if (self->chart == NULL || gtk_widget_get_width (GTK_WIDGET (self)) <= 0)
    return;
  double scale = MIN (width / self->chart->width, height / self->chart->height);
  double w = self->chart->width * scale, h = self->chart->height * scale, x = (width - w) / 2, y = (height - h) / 2;
  for (guint i = 0; i < self->chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (self->chart, i);
      if (!item->shown)
        continue;
      bl_set_source (cr, item->likely ? &palette->ink : &palette->edge);
      cairo_rectangle (cr, x + item->x * scale, y + item->y * scale, MAX (1.5, item->w * scale),
                       MAX (item->likely ? 2.5 : 1, (item->h - 8) * scale));
      cairo_fill (cr);
    }
  double x0 = CLAMP (self->x * scale, 0, w), y0 = CLAMP (self->y * scale, 0, h);
  double x1 = CLAMP ((self->x + gtk_widget_get_width (GTK_WIDGET (self)) / self->zoom) * scale, 0, w);
  double y1 = CLAMP ((self->y + gtk_widget_get_height (GTK_WIDGET (self)) / self->zoom) * scale, 0, h);
  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, 1.5);
  cairo_rectangle (cr, x + x0, y + y0, x1 - x0, y1 - y0);
  cairo_stroke (cr);
}

static void
go (BlTreeCanvas *self, double px, double py, double width, double height)
{
  if (self->chart == NULL || gtk_widget_get_width (GTK_WIDGET (self)) <= 0)
    return;
  double scale = MIN (width / self->chart->width, height / self->chart->height);
  double x = (px - (width - self->chart->width * scale) / 2) / scale;
  double y = (py - (height - self->chart->height * scale) / 2) / scale;
  bl_tree_canvas_stop_glide (self);
  bl_tree_canvas_place (self, x - gtk_widget_get_width (GTK_WIDGET (self)) / self->zoom / 2,
                        y - gtk_widget_get_height (GTK_WIDGET (self)) / self->zoom / 2);
}

static void
dragged (GtkGestureDrag *gesture, double dx, double dy, BlTreeCanvas *canvas)
{
  GtkWidget *plan = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (gesture));
  double x, y;

  gtk_gesture_drag_get_start_point (gesture, &x, &y);
  go (canvas, x + dx, y + dy, gtk_widget_get_width (plan), gtk_widget_get_height (plan));
}

static void
pressed (GtkGestureDrag *gesture, double x, double y, BlTreeCanvas *canvas)
{
  dragged (gesture, 0, 0, canvas);
}

GtkWidget *
bl_tree_plan_new (BlTreeCanvas *canvas)
{
  g_return_val_if_fail (BL_IS_TREE_CANVAS (canvas), NULL);
  GtkWidget *plan = gtk_drawing_area_new ();
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (plan), 84);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (plan), draw_plan, g_object_ref (canvas), g_object_unref);
  bl_widget_name (plan, _ ("The whole tree in small"));
  g_signal_connect_object (drag, "drag-begin", G_CALLBACK (pressed), canvas, 0);
  g_signal_connect_object (drag, "drag-update", G_CALLBACK (dragged), canvas, 0);
  gtk_widget_add_controller (plan, GTK_EVENT_CONTROLLER (drag));
  g_signal_connect_object (canvas, "moved", G_CALLBACK (gtk_widget_queue_draw), plan, G_CONNECT_SWAPPED);
  return plan;
}
