/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What all commands share: reading their options, saying what is wrong, writing text and tables.
 *
 * A command writes its whole output at once when it has succeeded, so that a failure leaves nothing
 * half written behind. */
#include "config.h"

#include "commands.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <glib/gi18n.h>

#define PROGRAM "benchlore-cli"

int
bl_cli_usage (const BlCommand *command, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  fprintf (stderr, "%s %s: %s\n", PROGRAM, command->name, message);
  fprintf (stderr, _("usage: %s %s %s\n"), PROGRAM, command->name, command->arguments);
  return BL_EXIT_USAGE;
}

int
bl_cli_fail (const char *where, const GError *error)
{
  const char *message = error != NULL ? error->message : _("it could not be read");

  if (g_str_has_prefix (message, where))
    fprintf (stderr, "%s\n", message);
  else
    fprintf (stderr, "%s: %s\n", where, message);
  return BL_EXIT_INPUT;
}

int
bl_cli_print (const char *text)
{
  if (fputs (text, stdout) >= 0 && fflush (stdout) == 0)
    return BL_EXIT_DONE;
  fprintf (stderr, _("%s: standard output could not be written\n"), PROGRAM);
  return BL_EXIT_INPUT;
}

gboolean
bl_cli_options (const BlCommand *command,
                GOptionEntry *entries,
                int argc,
                char **argv,
                guint least,
                guint most,
                char ***rest)
{
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) copy = NULL, arguments = NULL;
  guint count;

  for (int i = 0; i < argc; i++)
    g_strv_builder_add (builder, argv[i]);
  copy = g_strv_builder_end (builder);
  g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
  g_option_context_set_summary (context, _(command->summary));
  if (!g_option_context_parse_strv (context, &copy, &error))
    {
      bl_cli_usage (command, "%s", error->message);
      return FALSE;
    }
  count = g_strv_length (copy) - 1;
  arguments = g_strdupv (copy + 1);
  if (count > 0 && strcmp (arguments[0], "--") == 0)
    {
      g_free (arguments[0]);
      memmove (arguments, arguments + 1, count * sizeof *arguments); /* with the end of the list */
      count--;
    }
  if (count < least || count > most)
    {
      bl_cli_usage (command, count < least ? _("an argument is missing")
                                           : _("there are more arguments than expected"));
      return FALSE;
    }
  *rest = g_steal_pointer (&arguments);
  return TRUE;
}

/* --- Tables ----------------------------------------------------------------------------------- */

BlCliTable *
bl_cli_table_new (guint n_columns, const gboolean *right)
{
  BlCliTable *table = g_new0 (BlCliTable, 1);

  table->n_columns = n_columns;
  table->right = right;
  table->cells = g_ptr_array_new_with_free_func (g_free);
  return table;
}

void
bl_cli_table_free (BlCliTable *table)
{
  if (table == NULL)
    return;
  g_ptr_array_unref (table->cells);
  g_free (table);
}

void
bl_cli_table_add (BlCliTable *table, char *cell)
{
  g_ptr_array_add (table->cells, cell);
}

static void
append_cell (GString *out, const char *cell, glong width, gboolean right, gboolean last)
{
  glong padding = width - g_utf8_strlen (cell, -1);

  for (glong i = 0; right && i < padding; i++)
    g_string_append_c (out, ' ');
  g_string_append (out, cell);
  for (glong i = 0; !right && !last && i < padding; i++)
    g_string_append_c (out, ' ');
  g_string_append (out, last ? "\n" : "  ");
}

void
bl_cli_table_append (const BlCliTable *table, GString *out)
{
  guint n = table->n_columns;
  g_autofree glong *widths = g_new0 (glong, n);

  for (guint i = 0; i < table->cells->len; i++)
    widths[i % n] = MAX (widths[i % n], g_utf8_strlen (g_ptr_array_index (table->cells, i), -1));
  for (guint i = 0; i < table->cells->len; i++)
    {
      guint column = i % n;

      if (column == 0)
        g_string_append (out, "  ");
      append_cell (out, g_ptr_array_index (table->cells, i), widths[column],
                   table->right != NULL && table->right[column], column == n - 1);
    }
}
