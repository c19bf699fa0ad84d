/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-application.h"
#include "bl-bench.h"

G_BEGIN_DECLS

/* The window: header with the places, a page for each, and one line for messages.
 * Actions: win.place::bench|boards|jobs|practice, win.new-job, win.report, win.preferences, win.keys, win.about. */
#define BL_TYPE_WINDOW (bl_window_get_type ())
G_DECLARE_FINAL_TYPE (BlWindow, bl_window, BL, WINDOW, AdwApplicationWindow)

/* library: of the application; NULL when it could not be opened, then trouble says why. */
GtkWidget *bl_window_new (BlApplication *application, BlLibrary *library, const GError *trouble);
/* Opens the counter, where a job is taken in; photo: added to what is there, or NULL. */
void bl_window_take_in (BlWindow *self, GFile *photo);
/* Opens the job whose address text is, as a label says it or a scanner types it; that it is not in the library is said.
 * FALSE: text is no such address. */
gboolean bl_window_open_link (BlWindow *self, const char *text);
/* Opens a job on the bench. */
void bl_window_open_job (BlWindow *self, gint64 job);
/* The document of a board was edited: a job on the bench that belongs to it reads it anew. */
void bl_window_board_changed (BlWindow *self, gint64 board);
/* The shop's meters were changed: a job on the bench reads its own anew. */
void bl_window_meters_changed (BlWindow *self);
/* Shows a place: "bench", "boards", "jobs" or "practice". */
void bl_window_show_place (BlWindow *self, const char *place);
/* One line for a few seconds; problem: it says what did not work, and stays until the next act. */
gboolean bl_window_is_on_bench (BlWindow *self, gint64 job);
/* The job on the bench; NULL: none. (transfer none) */
BlBench *bl_window_get_bench (BlWindow *self);
/* Opens the job on the bench anew: something else wrote into its log. */
void bl_window_read_anew (BlWindow *self);
/* What the undo button would take back; NULL: nothing. */
void bl_window_name_undo (BlWindow *self, const char *label);
void bl_window_notify (BlWindow *self, const char *text, gboolean problem);
/* The same about a file that was written, with a button that shows it in its folder. */
void bl_window_notify_file (BlWindow *self, const char *text, const char *path);

/* The window a widget is in, or NULL; then messages go nowhere. */
BlWindow *bl_window_of (GtkWidget *widget);
/* bl_window_notify for a widget's window. Takes error: where it happened, then its message. */
void bl_widget_notify (GtkWidget *widget, const char *text);
void bl_widget_report (GtkWidget *widget, const char *what, GError *error);

G_END_DECLS
