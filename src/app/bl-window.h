/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-application.h"
#include "bl-shell.h"

G_BEGIN_DECLS

/* The window: header with the places, a page for each, and one line for messages.
 * Actions: win.place::bench|boards|jobs|practice, win.new-job, win.report, win.preferences, win.keys, win.about. */
#define BL_TYPE_WINDOW (bl_window_get_type ())
G_DECLARE_FINAL_TYPE (BlWindow, bl_window, BL, WINDOW, AdwApplicationWindow)

/* library: of the application; NULL when it could not be opened, then trouble says why. */
GtkWidget *bl_window_new (BlApplication *application, BlLibrary *library, const GError *trouble);
/* Opens the counter, where a job is taken in; photo: added to what is there, or NULL. */
void bl_window_take_in (BlWindow *self, GFile *photo);
/* Shows a place: "bench", "boards", "jobs" or "practice". */
void bl_window_show_place (BlWindow *self, const char *place);

G_END_DECLS
