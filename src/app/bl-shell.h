/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* What a page may ask of the window that it is in, so that no page knows the window and its other pages. */
#define BL_TYPE_SHELL (bl_shell_get_type ())
G_DECLARE_INTERFACE (BlShell, bl_shell, BL, SHELL, GtkWidget)

struct _BlShellInterface
{
  GTypeInterface parent_interface;

  void (*notify) (BlShell *self, const char *text, gboolean problem);
  void (*notify_file) (BlShell *self, const char *text, const char *path);
  void (*name_undo) (BlShell *self, const char *label);
  void (*open_job) (BlShell *self, gint64 job);
  gboolean (*open_link) (BlShell *self, const char *text);
  BlBench *(*get_bench) (BlShell *self);
  void (*read_anew) (BlShell *self);
};

/* The shell a widget is in, or NULL. (transfer none) */
BlShell *bl_shell_of (GtkWidget *widget);

/* One line for a few seconds; problem: it says what did not work, and stays longer. */
void bl_shell_notify (BlShell *self, const char *text, gboolean problem);
/* The same about a file that was written, with a button that shows it in its folder. */
void bl_shell_notify_file (BlShell *self, const char *text, const char *path);
/* What the undo button would take back; NULL: nothing. */
void bl_shell_name_undo (BlShell *self, const char *label);

/* Opens a job on the bench. */
void bl_shell_open_job (BlShell *self, gint64 job);
/* Opens the job whose address text is, as a label says it or a scanner types it; that it is not in the library is said.
 * FALSE: text is no such address. */
gboolean bl_shell_open_link (BlShell *self, const char *text);

/* The job on the bench; NULL: none. (transfer none) */
BlBench *bl_shell_get_bench (BlShell *self);
gboolean bl_shell_is_on_bench (BlShell *self, gint64 job);
/* Opens the job on the bench anew: something else wrote into its log. */
void bl_shell_read_anew (BlShell *self);
/* The document of a board was edited: a job on the bench that belongs to it reads it anew. */
void bl_shell_board_changed (BlShell *self, gint64 board);
/* The shop's meters were changed: a job on the bench reads its own anew. */
void bl_shell_meters_changed (BlShell *self);

/* bl_shell_notify for a widget's shell; in none, messages go nowhere. */
void bl_widget_notify (GtkWidget *widget, const char *text);
/* what did not work and error's message; takes error. In no shell it goes to the terminal. */
void bl_widget_report (GtkWidget *widget, const char *what, GError *error);

G_END_DECLS
