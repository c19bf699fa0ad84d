/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Called with the board that was made. */
typedef void (*BlNextEditionMade) (gint64 board, gpointer data);

/* Asks beside widget for the mark of the next edition, proposes one, says what is carried and what is not, and copies
 * the board. data must outlive widget. */
void bl_next_edition_ask (GtkWidget *widget, BlLibrary *library, gint64 board, BlNextEditionMade made, gpointer data);

G_END_DECLS
