/* SPDX-License-Identifier: GPL-3.0-or-later */
/* benchlore-cli: the core without a display. It finds the command by name and hands over; what each
 * one does is in the cmd-*.c file of its group. */
#include "config.h"

#include "commands.h"

#include <locale.h>
#include <stdio.h>
#include <string.h>

#include <glib/gi18n.h>

static const BlCommand *const groups[] = {
  bl_board_commands,
  bl_compare_commands,
  bl_diagnose_commands,
  bl_drill_commands,
  bl_judge_commands,
  bl_library_commands,
  bl_field_commands,
  bl_shop_commands,
  bl_tree_commands,
};

static void
append_help (GString *out)
{
  g_string_append (out, _("Finds the failed stage of a control board from readings.\n\n"
                          "usage: benchlore-cli COMMAND ...\n\n"));
  for (gsize i = 0; i < G_N_ELEMENTS (groups); i++)
    for (const BlCommand *command = groups[i]; command->name != NULL; command++)
      g_string_append_printf (out, "  %s %s\n      %s\n", command->name, command->arguments,
                              _(command->summary));
  g_string_append (out, _("\n`benchlore-cli COMMAND --help` explains the options.\n"));
}

static const BlCommand *
find_command (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (groups); i++)
    for (const BlCommand *command = groups[i]; command->name != NULL; command++)
      if (strcmp (command->name, name) == 0)
        return command;
  return NULL;
}

int
main (int argc, char *argv[])
{
  g_autoptr (GString) help = g_string_new (NULL);
  const BlCommand *command;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, BL_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  append_help (help);
  if (argc < 2)
    {
      fputs (help->str, stderr);
      return BL_EXIT_USAGE;
    }
  if (strcmp (argv[1], "--help") == 0 || strcmp (argv[1], "-h") == 0 || strcmp (argv[1], "help") == 0)
    return bl_cli_print (help->str);
  if (strcmp (argv[1], "--version") == 0)
    return bl_cli_print ("benchlore-cli " BL_VERSION "\n");
  command = find_command (argv[1]);
  if (command == NULL)
    {
      fprintf (stderr, _("benchlore-cli: there is no command “%s”\n"), argv[1]);
      return BL_EXIT_USAGE;
    }
  return command->run (argc - 1, argv + 1);
}
