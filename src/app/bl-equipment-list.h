/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-equipment.h"

G_BEGIN_DECLS

/* The library's equipments below its boards, in the same list: which boards, joined by what, and whether it holds
 * together. Their rows have the buttons to export and to delete; deleting is undone on the line above the list. */

/* The line that offers to bring back what was deleted, hidden until then. changed is called with data (swapped) when
 * the list must be made anew. */
GtkWidget *bl_equipment_undo_new (BlLibrary *library, GCallback changed, gpointer data);
/* Brings back what was deleted last. FALSE: nothing was. */
gboolean bl_equipment_undo (GtkWidget *undo);

/* Appends a heading and a row for each equipment whose title, boards or roles contain text. undo: that of
 * bl_equipment_undo_new (). Returns: how many rows. */
guint bl_equipment_list_append (GtkListBox *list, BlLibrary *library, const char *text, GtkWidget *undo);

G_END_DECLS
