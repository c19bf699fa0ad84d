/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-intake.h"

G_BEGIN_DECLS

/* The rows of the import page: what a board of the library and one of a file say differently, by lists of the
 * document, pictures first. */

/* chosen is called with data (swapped) after a side was chosen by the technician. */
void bl_import_list_watch (GtkListBox *list, GCallback chosen, gpointer data);
/* Fills list; board NULL, or one that does not differ: empties it. Rows write into board. */
void bl_import_list_fill (GtkListBox *list, BlIntakeBoard *board);
/* Shows what is chosen now. */
void bl_import_list_show (GtkListBox *list);

G_END_DECLS
