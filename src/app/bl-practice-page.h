/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-practice.h"

G_BEGIN_DECLS

/* The place Practice: who practises, what is due, what to begin, and how it goes; what was begun takes its place until it
 * is left. The file of practice is opened when the place is shown for the first time. */
#define BL_TYPE_PRACTICE_PAGE (bl_practice_page_get_type ())
G_DECLARE_FINAL_TYPE (BlPracticePage, bl_practice_page, BL, PRACTICE_PAGE, GtkWidget)

/* shop: must live as long. path: the file of practice; NULL: the usual one. */
GtkWidget *bl_practice_page_new (BlLibrary *shop, const char *path);
/* The place is shown: reads what the shop has anew, and puts the keyboard where it belongs. */
void bl_practice_page_enter (BlPracticePage *self);
/* NULL before the first time, or where the file cannot be opened. (transfer none) */
BlPractice *bl_practice_page_get_practice (BlPracticePage *self);
/* What was begun and is not left; NULL: nothing. (transfer none) */
GtkWidget *bl_practice_page_get_activity (BlPracticePage *self);

G_END_DECLS
