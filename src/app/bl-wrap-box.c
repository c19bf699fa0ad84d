/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words in lines. A box that would squeeze them until none can be read is no use where they are
 * what one looks for; a flow box would give all of them the width of the longest. Some dozen
 * children; a single child wider than the box is given the box's width. */
#include "config.h"

#include "bl-wrap-box.h"

struct _BlWrapBox
{
  GtkWidget parent_instance;

  int gap, line_gap;
};

G_DEFINE_FINAL_TYPE (BlWrapBox, bl_wrap_box, GTK_TYPE_WIDGET)

/* Lays the children out in width; allocates them where allocate is set. Returns the height taken.
 */
static int
arrange (BlWrapBox *self, int width, gboolean allocate)
{
  int x = 0, y = 0, line = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (self)); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      int minimum, natural, height;
      if (!gtk_widget_should_layout (child))
        continue;
      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &minimum, &natural, NULL, NULL);
      natural = MAX (minimum, MIN (natural, width));
      gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL, natural, NULL, &height, NULL, NULL);
      if (x > 0 && x + natural > width)
        {
          x = 0;
          y += line + self->line_gap;
          line = 0;
        }
      if (allocate)
        gtk_widget_size_allocate (child, &(GtkAllocation){ x, y, natural, height }, -1);
      x += natural + self->gap;
      line = MAX (line, height);
    }
  return y + line;
}

static GtkSizeRequestMode
bl_wrap_box_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
bl_wrap_box_measure (GtkWidget *widget,
                     GtkOrientation orientation,
                     int for_size,
                     int *minimum,
                     int *natural,
                     int *minimum_baseline,
                     int *natural_baseline)
{
  BlWrapBox *self = BL_WRAP_BOX (widget);
  int widest = 0, sum = 0;

  if (orientation == GTK_ORIENTATION_VERTICAL)
    {
      *minimum = *natural = arrange (self, for_size < 0 ? G_MAXINT / 2 : for_size, FALSE);
      return;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      int least, wish;
      if (!gtk_widget_should_layout (child))
        continue;
      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &least, &wish, NULL, NULL);
      widest = MAX (widest, least);
      sum += wish + self->gap;
    }
  *minimum = widest;
  *natural = MAX (widest, sum - self->gap);
}

static void
bl_wrap_box_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  arrange (BL_WRAP_BOX (widget), width, TRUE);
}

static void
bl_wrap_box_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_wrap_box_parent_class)->dispose (object);
}

static void
bl_wrap_box_class_init (BlWrapBoxClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_wrap_box_dispose;
  widget_class->get_request_mode = bl_wrap_box_get_request_mode;
  widget_class->measure = bl_wrap_box_measure;
  widget_class->size_allocate = bl_wrap_box_size_allocate;
}

static void
bl_wrap_box_init (BlWrapBox *self)
{
}

GtkWidget *
bl_wrap_box_new (int gap, int line_gap)
{
  BlWrapBox *self = g_object_new (BL_TYPE_WRAP_BOX, NULL);

  self->gap = gap;
  self->line_gap = line_gap;
  return GTK_WIDGET (self);
}

void
bl_wrap_box_append (BlWrapBox *self, GtkWidget *child)
{
  g_return_if_fail (BL_IS_WRAP_BOX (self));
  gtk_widget_insert_before (child, GTK_WIDGET (self), NULL);
}
