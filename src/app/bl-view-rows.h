/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Puts into box, the child of a row, what the row's item is to show. */
typedef void (*BlRowFill) (GtkWidget *box, gpointer item, gpointer data);

/* Rows of a list view; each is a horizontal box. fill: called when a row comes into view, before it is drawn, and again
 * when its item says "changed" (if it has that signal); name: called at once in both cases, or NULL. height: of a row that
 * is not filled yet, px. list owns what is made, data outlives it. (transfer full) */
GtkListItemFactory *bl_view_rows_new (GtkWidget *list, int height, BlRowFill name, BlRowFill fill, gpointer data);
/* What all rows show may have changed. */
void bl_view_rows_refill (GtkListItemFactory *rows);

G_END_DECLS
