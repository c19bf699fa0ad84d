/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A list that is one stop for Tab. By itself a list box is walked through row by row, and marks each on the way: where a
 * mark says who practises, whoever only passes would change it. Holds one child and draws nothing. */
#include "config.h"

#include "bl-one-stop.h"

struct _BlOneStop
{
  GtkWidget parent_instance;

  GtkWidget *list;
};

G_DEFINE_FINAL_TYPE (BlOneStop, bl_one_stop, GTK_TYPE_WIDGET)

/* From within, Tab finds nothing here: the next one outside is asked. */
static gboolean
bl_one_stop_focus (GtkWidget *widget, GtkDirectionType direction)
{
  BlOneStop *self = BL_ONE_STOP (widget);
  gboolean tab = direction == GTK_DIR_TAB_FORWARD || direction == GTK_DIR_TAB_BACKWARD;

  if (tab && gtk_widget_get_focus_child (widget) != NULL)
    return FALSE;
  return self->list != NULL && gtk_widget_child_focus (self->list, direction);
}

static void
bl_one_stop_dispose (GObject *object)
{
  g_clear_pointer (&BL_ONE_STOP (object)->list, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_one_stop_parent_class)->dispose (object);
}

static void
bl_one_stop_class_init (BlOneStopClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_one_stop_dispose;
  GTK_WIDGET_CLASS (klass)->focus = bl_one_stop_focus;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_one_stop_init (BlOneStop *self)
{
}

GtkWidget *
bl_one_stop_new (GtkWidget *list)
{
  g_return_val_if_fail (GTK_IS_WIDGET (list), NULL);
  BlOneStop *self = g_object_new (BL_TYPE_ONE_STOP, NULL);

  self->list = list;
  gtk_widget_set_parent (list, GTK_WIDGET (self));
  return GTK_WIDGET (self);
}
