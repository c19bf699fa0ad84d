/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The counter: what is known at the door becomes a job. A page of the window, so that who is called away finds it as it
 * was left. Nothing but the board or a photo is required; everything is reached by keys.
 *
 * Signals: "left": Esc, back to where one came from; "taken" (gint64 job): a job was taken in; "open" (gint64 job): it goes
 * to the bench. */
#define BL_TYPE_TAKE_IN_PAGE (bl_take_in_page_get_type ())
G_DECLARE_FINAL_TYPE (BlTakeInPage, bl_take_in_page, BL, TAKE_IN_PAGE, GtkWidget)

GtkWidget *bl_take_in_page_new (BlLibrary *library);
/* It is shown now: the boards are read anew; after a job was taken in an empty form is begun. */
void bl_take_in_page_enter (BlTakeInPage *self);
/* Adds a photo by its file. */
void bl_take_in_page_add_photo (BlTakeInPage *self, GFile *file);

G_END_DECLS
