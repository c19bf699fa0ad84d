/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-equipment.h"

G_BEGIN_DECLS

/* The library's equipments below its boards, in the same list: which boards, joined by what, and whether it holds
 * together. Their rows have the buttons to export and to delete; deleting is a step of undo of BL_STEPS_BOARDS. */

/* Appends a heading and a row for each equipment whose title, boards or roles contain text. changed is called with
 * page, which holds the list, when it must be made anew. Returns: how many rows. */
guint bl_equipment_list_append (GtkListBox *list, BlLibrary *library, const char *text, GtkWidget *page,
                                void (*changed) (gpointer page));

G_END_DECLS
