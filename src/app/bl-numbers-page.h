/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-numbers.h"

G_BEGIN_DECLS

/* What the jobs add up to, by edition and period. Signal: "left" (Esc). */
#define BL_TYPE_NUMBERS_PAGE (bl_numbers_page_get_type ())
G_DECLARE_FINAL_TYPE (BlNumbersPage, bl_numbers_page, BL, NUMBERS_PAGE, GtkWidget)

GtkWidget *bl_numbers_page_new (BlLibrary *library);
/* Counts anew. */
void bl_numbers_page_refresh (BlNumbersPage *self);
/* What is shown; NULL: nothing could be counted. (transfer none) */
const BlNumbers *bl_numbers_page_get_numbers (BlNumbersPage *self);
/* Writes what is asked for as comma-separated values. */
gboolean bl_numbers_page_write (BlNumbersPage *self, const char *path, GError **error);

G_END_DECLS
