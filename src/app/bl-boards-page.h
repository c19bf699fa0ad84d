/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The documented editions of the library. */
#define BL_TYPE_BOARDS_PAGE (bl_boards_page_get_type ())
G_DECLARE_FINAL_TYPE (BlBoardsPage, bl_boards_page, BL, BOARDS_PAGE, GtkWidget)

GtkWidget *bl_boards_page_new (BlLibrary *library);
/* Reads the library anew; called whenever the place is shown. */
void bl_boards_page_refresh (BlBoardsPage *self);

G_END_DECLS
