/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two columns where a window is wide, one where it is not. The width alone decides, so nothing is rebuilt and the focus
 * stays where it is when a window is made wider. */
#include "config.h"

#include "bl-pair-box.h"

#define GAP 24 /* between the columns */
#define ROW 16 /* between one below the other */

struct _BlPairBox
{
  GtkWidget parent_instance;

  GtkWidget *first, *second;
  int width;
};

G_DEFINE_FINAL_TYPE (BlPairBox, bl_pair_box, GTK_TYPE_WIDGET)

static GtkSizeRequestMode
bl_pair_box_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static gboolean
is_wide (BlPairBox *self, int width)
{
  return width >= self->width;
}

static void
bl_pair_box_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                     int *minimum_baseline, int *natural_baseline)
{
  BlPairBox *self = BL_PAIR_BOX (widget);
  gboolean wide = orientation == GTK_ORIENTATION_VERTICAL && is_wide (self, for_size);
  int own = wide ? (for_size - GAP) / 2 : for_size, min[2], nat[2];

  gtk_widget_measure (self->first, orientation, own, &min[0], &nat[0], NULL, NULL);
  gtk_widget_measure (self->second, orientation, own, &min[1], &nat[1], NULL, NULL);
  if (wide || orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = MAX (min[0], min[1]);
      *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 2 * MAX (nat[0], nat[1]) + GAP : MAX (nat[0], nat[1]);
    }
  else
    {
      *minimum = min[0] + ROW + min[1];
      *natural = nat[0] + ROW + nat[1];
    }
}

static void
bl_pair_box_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlPairBox *self = BL_PAIR_BOX (widget);
  gboolean wide = is_wide (self, width);
  int own = wide ? (width - GAP) / 2 : width, first;

  gtk_widget_measure (self->first, GTK_ORIENTATION_VERTICAL, own, NULL, &first, NULL, NULL);
  first = MIN (first, height);
  gtk_widget_size_allocate (self->first, &(GtkAllocation){ 0, 0, own, first }, -1);
  gtk_widget_size_allocate (self->second,
                            wide ? &(GtkAllocation){ own + GAP, 0, width - own - GAP, height }
                                 : &(GtkAllocation){ 0, first + ROW, own, MAX (0, height - first - ROW) },
                            -1);
}

static void
bl_pair_box_dispose (GObject *object)
{
  BlPairBox *self = BL_PAIR_BOX (object);

  g_clear_pointer (&self->first, gtk_widget_unparent);
  g_clear_pointer (&self->second, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_pair_box_parent_class)->dispose (object);
}

static void
bl_pair_box_class_init (BlPairBoxClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_pair_box_dispose;
  widget_class->get_request_mode = bl_pair_box_get_request_mode;
  widget_class->measure = bl_pair_box_measure;
  widget_class->size_allocate = bl_pair_box_size_allocate;
}

static void
bl_pair_box_init (BlPairBox *self)
{
}

GtkWidget *
bl_pair_box_new (GtkWidget *first, GtkWidget *second, int width)
{
  g_return_val_if_fail (GTK_IS_WIDGET (first) && GTK_IS_WIDGET (second), NULL);
  BlPairBox *self = g_object_new (BL_TYPE_PAIR_BOX, NULL);

  self->first = first;
  self->second = second;
  self->width = width;
  gtk_widget_set_parent (first, GTK_WIDGET (self));
  gtk_widget_set_parent (second, GTK_WIDGET (self));
  return GTK_WIDGET (self);
}
