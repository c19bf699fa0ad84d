/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a page may ask of the window that it is in. */
#include "config.h"

#include "bl-shell.h"

#include "bl-bench-equipment.h"

G_DEFINE_INTERFACE (BlShell, bl_shell, GTK_TYPE_WIDGET)

static void
bl_shell_default_init (BlShellInterface *iface)
{
}

BlShell *
bl_shell_of (GtkWidget *widget)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  return BL_IS_SHELL (root) ? BL_SHELL (root) : NULL;
}

/* --- messages --- */

void
bl_shell_notify (BlShell *self, const char *text, gboolean problem)
{
  g_return_if_fail (BL_IS_SHELL (self));
  BL_SHELL_GET_IFACE (self)->notify (self, text, problem);
}

void
bl_shell_notify_file (BlShell *self, const char *text, const char *path)
{
  g_return_if_fail (BL_IS_SHELL (self) && path != NULL);
  BL_SHELL_GET_IFACE (self)->notify_file (self, text, path);
}

void
bl_shell_name_undo (BlShell *self, const char *label)
{
  g_return_if_fail (BL_IS_SHELL (self));
  BL_SHELL_GET_IFACE (self)->name_undo (self, label);
}

void
bl_widget_notify (GtkWidget *widget, const char *text)
{
  BlShell *shell = bl_shell_of (widget);

  if (shell != NULL)
    bl_shell_notify (shell, text, FALSE);
}

void
bl_widget_report (GtkWidget *widget, const char *what, GError *error)
{
  BlShell *shell = bl_shell_of (widget);
  g_autofree char *text = g_strdup_printf ("%s: %s", what, error != NULL ? error->message : "?");

  if (shell != NULL)
    bl_shell_notify (shell, text, TRUE);
  else
    g_message ("%s", text);
  g_clear_error (&error);
}

/* --- jobs --- */

void
bl_shell_open_job (BlShell *self, gint64 job)
{
  g_return_if_fail (BL_IS_SHELL (self));
  BL_SHELL_GET_IFACE (self)->open_job (self, job);
}

gboolean
bl_shell_open_link (BlShell *self, const char *text)
{
  g_return_val_if_fail (BL_IS_SHELL (self) && text != NULL, FALSE);
  return BL_SHELL_GET_IFACE (self)->open_link (self, text);
}

BlBench *
bl_shell_get_bench (BlShell *self)
{
  g_return_val_if_fail (BL_IS_SHELL (self), NULL);
  return BL_SHELL_GET_IFACE (self)->get_bench (self);
}

gboolean
bl_shell_is_on_bench (BlShell *self, gint64 job)
{
  BlBench *bench = bl_shell_get_bench (self);
  return bench != NULL && bl_bench_get_job (bench)->id == job;
}

void
bl_shell_read_anew (BlShell *self)
{
  g_return_if_fail (BL_IS_SHELL (self));
  BL_SHELL_GET_IFACE (self)->read_anew (self);
}

void
bl_shell_board_changed (BlShell *self, gint64 board)
{
  BlBench *bench = bl_shell_get_bench (self);

  if (bench != NULL && bl_bench_is_about (bench, board))
    bl_shell_read_anew (self);
}

void
bl_shell_meters_changed (BlShell *self)
{
  BlBench *bench = bl_shell_get_bench (self);

  if (bench != NULL)
    bl_bench_meters_changed (bench);
}
