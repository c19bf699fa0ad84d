/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A chooser between two fields: after a choice Tab goes on from it, both ways, as if its list had never been open. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include "bl-chooser.h"

typedef struct
{
  GtkWidget *window, *before, *chooser, *after;
  char *chosen;
} Row;

static void
fill (BlChooser *chooser)
{
  bl_chooser_add (chooser, "a", "the one");
  bl_chooser_add (chooser, "b", "the other");
}

static void
chosen (BlChooser *chooser, const char *value, Row *row)
{
  g_free (row->chosen);
  row->chosen = g_strdup (value);
}

static void
set_up (Row *row, gconstpointer unused)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  row->window = gtk_window_new ();
  row->before = gtk_entry_new ();
  row->chooser = bl_chooser_new ("which", FALSE);
  row->after = gtk_entry_new ();
  gtk_box_append (GTK_BOX (box), row->before);
  gtk_box_append (GTK_BOX (box), row->chooser);
  gtk_box_append (GTK_BOX (box), row->after);
  gtk_window_set_child (GTK_WINDOW (row->window), box);
  g_signal_connect (row->chooser, "fill", G_CALLBACK (fill), NULL);
  g_signal_connect (row->chooser, "chosen", G_CALLBACK (chosen), row);
  gtk_window_present (GTK_WINDOW (row->window));
}

static void
tear_down (Row *row, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (row->window));
  g_free (row->chosen);
}

static GtkWidget *
find (GtkWidget *widget, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* Whether the key focus is in widget. */
static gboolean
is_in (Row *row, GtkWidget *widget)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (row->window));
  return focus != NULL && (focus == widget || gtk_widget_is_ancestor (focus, widget));
}

static void
tab (Row *row, GtkDirectionType direction)
{
  gtk_widget_child_focus (row->window, direction);
}

static gboolean
is_closed (gpointer popover)
{
  return !gtk_widget_get_mapped (popover);
}

static void
test_tab (Row *row, gconstpointer unused)
{
  gtk_widget_grab_focus (row->before);
  tab (row, GTK_DIR_TAB_FORWARD);
  g_assert_true (is_in (row, row->chooser));
  bl_chooser_open (BL_CHOOSER (row->chooser));
  GtkWidget *popover = find (row->chooser, GTK_TYPE_POPOVER), *list = find (popover, GTK_TYPE_LIST_BOX);
  g_assert_true (is_in (row, list));
  g_signal_emit_by_name (list, "row-activated", gtk_list_box_get_row_at_index (GTK_LIST_BOX (list), 1));
  g_assert_cmpstr (row->chosen, ==, "b");
  g_assert_true (app_wait (is_closed, popover));
  g_assert_true (is_in (row, row->chooser));
  tab (row, GTK_DIR_TAB_FORWARD);
  g_assert_true (is_in (row, row->after));
  tab (row, GTK_DIR_TAB_BACKWARD);
  g_assert_true (is_in (row, row->chooser));
  tab (row, GTK_DIR_TAB_BACKWARD);
  g_assert_true (is_in (row, row->before));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/chooser/tab", Row, NULL, set_up, test_tab, tear_down);
  return g_test_run ();
}
