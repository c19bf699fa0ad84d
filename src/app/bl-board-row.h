/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* What a row of the list of boards shows. */

/* The small photo of a board; kept in the library where it had to be made. (transfer floating) */
GtkWidget *bl_board_row_thumbnail (BlLibrary *library, gint64 id, const BlBoard *board);
/* "Supply · Relays · Link": what on the board is documented. (transfer full) */
char *bl_board_row_sections (const BlBoard *board);
/* "12 measurements · 30 components". (transfer full) */
char *bl_board_row_counts (const BlBoardRow *row);
/* Adds a label that gives way where there is no room, and says all of it when pointed at. css: may be NULL. */
GtkWidget *bl_board_row_label (GtkWidget *box, const char *words, const char *css);
/* What the shop last had to do with this board. job: NULL, none. (transfer floating) */
GtkWidget *bl_board_row_job (const BlBoardRow *row, const BlJob *job);

G_END_DECLS
