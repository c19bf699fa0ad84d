/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of a list view that are filled when they come into view. A list view keeps some hundred rows about those in view,
 * and to make and set out the words of them all takes longer than all else that a key does. So a row stays empty, or as it
 * was, until the list was set out; those that are in view then are filled, and set out in the same frame. */
#include "config.h"

#include "bl-view-rows.h"

/* Of one list. */
typedef struct
{
  GtkWidget *list;
  int height;
  BlRowFill name, fill;
  gpointer data;
  GHashTable *bound, *stale; /* GtkListItem; stale: do not show yet what they should */
  GdkFrameClock *clock;
} Rows;

static Rows *
rows_of (gpointer factory)
{
  return g_object_get_data (factory, "rows");
}

/* --- what is in view --- */

static gboolean
in_view (GtkWidget *row, GtkWidget *list)
{
  graphene_rect_t bounds;

  return gtk_widget_get_mapped (row) && gtk_widget_compute_bounds (row, list, &bounds) && bounds.size.width > 0
         && bounds.origin.y + bounds.size.height > 0 && bounds.origin.y < (float) gtk_widget_get_height (list);
}

/* The list was set out. */
static void
fill_view (GdkFrameClock *clock, Rows *rows)
{
  GHashTableIter iter;
  gpointer item;

  if (g_hash_table_size (rows->stale) == 0 || !gtk_widget_get_mapped (rows->list))
    return;
  g_hash_table_iter_init (&iter, rows->stale);
  while (g_hash_table_iter_next (&iter, &item, NULL))
    if (in_view (gtk_list_item_get_child (item), rows->list))
      {
        g_hash_table_iter_remove (&iter);
        rows->fill (gtk_list_item_get_child (item), gtk_list_item_get_item (item), rows->data);
      }
}

static void
forget_clock (Rows *rows)
{
  if (rows->clock != NULL)
    g_signal_handlers_disconnect_by_data (rows->clock, rows);
  g_clear_object (&rows->clock);
}

/* After the window's own handler, which sets out. */
static void
list_realized (GtkWidget *list, GObject *factory)
{
  Rows *rows = rows_of (factory);

  forget_clock (rows);
  rows->clock = g_object_ref (gtk_widget_get_frame_clock (list));
  g_signal_connect_after (rows->clock, "layout", G_CALLBACK (fill_view), rows);
}

static void
list_unrealized (GtkWidget *list, GObject *factory)
{
  forget_clock (rows_of (factory));
}

static void
rows_free (gpointer data)
{
  Rows *rows = data;

  forget_clock (rows);
  g_hash_table_unref (rows->bound);
  g_hash_table_unref (rows->stale);
  g_free (rows);
}

/* --- factory --- */

static void
is_stale (Rows *rows, GtkListItem *item)
{
  g_hash_table_add (rows->stale, item);
  if (rows->name != NULL)
    rows->name (gtk_list_item_get_child (item), gtk_list_item_get_item (item), rows->data);
}

static void
item_changed (GObject *object, GtkListItem *item)
{
  Rows *rows = g_object_get_data (G_OBJECT (item), "rows");

  is_stale (rows, item);
  gtk_widget_queue_allocate (rows->list);
}

static void
set_up_row (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_set_size_request (box, -1, rows->height);
  gtk_list_item_set_child (item, box);
  g_object_set_data (G_OBJECT (item), "rows", rows);
}

static void
bind_row (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  gpointer object = gtk_list_item_get_item (item);

  if (g_signal_lookup ("changed", G_OBJECT_TYPE (object)) != 0)
    g_signal_connect (object, "changed", G_CALLBACK (item_changed), item);
  g_hash_table_add (rows->bound, item);
  is_stale (rows, item);
}

static void
unbind_row (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  g_signal_handlers_disconnect_by_data (gtk_list_item_get_item (item), item);
  g_hash_table_remove (rows->bound, item);
  g_hash_table_remove (rows->stale, item);
}

GtkListItemFactory *
bl_view_rows_new (GtkWidget *list, int height, BlRowFill name, BlRowFill fill, gpointer data)
{
  g_return_val_if_fail (GTK_IS_WIDGET (list) && fill != NULL, NULL);
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  Rows *rows = g_new0 (Rows, 1);

  *rows = (Rows){ list, height, name, fill, data, g_hash_table_new (NULL, NULL), g_hash_table_new (NULL, NULL), NULL };
  g_object_set_data_full (G_OBJECT (factory), "rows", rows, rows_free);
  g_signal_connect_object (list, "realize", G_CALLBACK (list_realized), factory, 0);
  g_signal_connect_object (list, "unrealize", G_CALLBACK (list_unrealized), factory, 0);
  g_signal_connect (factory, "setup", G_CALLBACK (set_up_row), rows);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_row), rows);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_row), rows);
  return factory;
}

void
bl_view_rows_refill (GtkListItemFactory *factory)
{
  g_return_if_fail (rows_of (factory) != NULL);
  Rows *rows = rows_of (factory);
  GHashTableIter iter;
  gpointer item;

  g_hash_table_iter_init (&iter, rows->bound);
  while (g_hash_table_iter_next (&iter, &item, NULL))
    is_stale (rows, item);
  gtk_widget_queue_allocate (rows->list);
}
