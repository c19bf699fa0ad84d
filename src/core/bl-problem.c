/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Problems of a document with the place each was found at. A document that somebody types has a
 * handful; all are collected so that they can be mended in one go. */
#include "config.h"

#include "bl-problem.h"

#include <string.h>

#include <glib/gi18n-lib.h>

void
bl_problem_free (BlProblem *problem)
{
  if (problem == NULL)
    return;
  g_free (problem->path);
  g_free (problem->message);
  g_free (problem);
}

static gboolean
is_plain_key (const char *key)
{
  if (!g_ascii_isalpha (key[0]) && key[0] != '_')
    return FALSE;
  for (const char *c = key; *c != '\0'; c++)
    if (!g_ascii_isalnum (*c) && *c != '_')
      return FALSE;
  return TRUE;
}

static void
append_path (GString *text, const BlPath *path)
{
  if (path->up == NULL)
    {
      g_string_append (text, path->key);
      return;
    }
  append_path (text, path->up);
  if (path->key == NULL)
    g_string_append_printf (text, "[%u]", path->index);
  else if (is_plain_key (path->key))
    g_string_append_printf (text, ".%s", path->key);
  else
    {
      g_autofree char *escaped = g_strescape (path->key, "");
      g_string_append_printf (text, "[\"%s\"]", escaped);
    }
}

char *
bl_path_to_text (const BlPath *path)
{
  GString *text = g_string_new (NULL);
  append_path (text, path);
  return g_string_free (text, FALSE);
}

void
bl_report_init (BlReport *report, GPtrArray *problems)
{
  *report =
      (BlReport){ problems, g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL), 0 };
}

void
bl_report_clear (BlReport *report)
{
  g_clear_pointer (&report->unread, g_hash_table_unref);
}

/* TRUE when path or something around it could not be read. */
static gboolean
is_unread (const BlReport *report, const BlPath *path)
{
  if (g_hash_table_size (report->unread) == 0)
    return FALSE;
  for (const BlPath *at = path; at != NULL; at = at->up)
    {
      g_autofree char *text = bl_path_to_text (at);
      if (g_hash_table_contains (report->unread, text))
        return TRUE;
    }
  return FALSE;
}

static void
add (BlReport *report, gboolean warning, const BlPath *path, const char *format, va_list arguments)
    G_GNUC_PRINTF (4, 0);

static void
add (BlReport *report, gboolean warning, const BlPath *path, const char *format, va_list arguments)
{
  if (is_unread (report, path))
    return;
  BlProblem *problem = g_new (BlProblem, 1);
  *problem = (BlProblem){ warning, bl_path_to_text (path), g_strdup_vprintf (format, arguments) };
  g_ptr_array_add (report->problems, problem);
  report->errors += warning ? 0 : 1;
}

void
bl_report_error (BlReport *report, const BlPath *path, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  add (report, FALSE, path, format, arguments);
  va_end (arguments);
}

void
bl_report_warning (BlReport *report, const BlPath *path, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  add (report, TRUE, path, format, arguments);
  va_end (arguments);
}

void
bl_report_unread (BlReport *report, const BlPath *path, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  add (report, FALSE, path, format, arguments);
  va_end (arguments);
  g_hash_table_add (report->unread, bl_path_to_text (path));
}

gboolean
bl_report_finish (const BlReport *report, GError **error)
{
  if (report->errors == 0)
    return TRUE;
  for (guint i = 0; i < report->problems->len; i++)
    {
      const BlProblem *problem = bl_at (report->problems, i);
      if (problem->warning)
        continue;
      g_autoptr (GString) message = g_string_new (NULL);
      g_string_printf (message, "%s: %s", problem->path, problem->message);
      if (report->errors > 1)
        g_string_append_printf (
            message,
            ngettext (" (and %u more problem)", " (and %u more problems)", report->errors - 1),
            report->errors - 1);
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, message->str);
      break;
    }
  return FALSE;
}
