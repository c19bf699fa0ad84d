/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A verdict shape beside a word. It draws and nothing else. */
#include "config.h"

#include "bl-shape-icon.h"

#include "bl-style.h"

struct _BlShapeIcon
{
  GtkWidget parent_instance;

  int shape; /* BlShape, -1: none */
  int size;  /* px */
};

G_DEFINE_FINAL_TYPE (BlShapeIcon, bl_shape_icon, GTK_TYPE_WIDGET)

static void
bl_shape_icon_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = BL_SHAPE_ICON (widget)->size;
}

static void
bl_shape_icon_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlShapeIcon *self = BL_SHAPE_ICON (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr;

  if (self->shape < 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  bl_shape_draw (cr, (BlShape) self->shape, width / 2.0, height / 2.0, self->size, bl_style_palette (), FALSE);
  cairo_destroy (cr);
}

static void
bl_shape_icon_class_init (BlShapeIconClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->measure = bl_shape_icon_measure;
  widget_class->snapshot = bl_shape_icon_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_shape_icon_init (BlShapeIcon *self)
{
  self->shape = -1;
  self->size = 14;
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_shape_icon_new (int shape, int size)
{
  BlShapeIcon *self = g_object_new (BL_TYPE_SHAPE_ICON, NULL);

  self->shape = shape;
  self->size = size;
  return GTK_WIDGET (self);
}

void
bl_shape_icon_set_shape (BlShapeIcon *self, int shape)
{
  g_return_if_fail (BL_IS_SHAPE_ICON (self) && shape < BL_N_SHAPES);
  self->shape = shape;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
