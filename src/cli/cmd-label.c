/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `label`: the label of a job, with the code that opens it again, as PDF. */
#include "config.h"

#include "bl-job-tag-draw.h"
#include "bl-job-tag-fill.h"
#include "commands.h"

#include <glib/gi18n.h>

int
bl_cli_run_label (int argc, char **argv)
{
  const BlCommand *command = bl_library_commands;
  g_autofree char *path = NULL, *name = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlJobTag) tag = NULL;
  g_autoptr (GError) error = NULL;
  BlTagSize size = BL_TAG_62X29;
  GOptionEntry entries[] = {
    { "size", 0, 0, G_OPTION_ARG_FILENAME, &name, N_ ("of the label, mm, or the paper it is cut from; 62x29 when left out"),
      "SIZE" },
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &path, N_ ("the library; your own when left out"), "FILE" },
    { NULL },
  };

  while (g_strcmp0 (command->name, "label") != 0)
    command++;
  if (!bl_cli_options (command, entries, argc, argv, 2, 2, &rest))
    return BL_EXIT_USAGE;
  if (name != NULL && !bl_tag_size_parse (name, &size))
    return bl_cli_usage (command, _ ("--size is 62x29, 89x36, A4 or Letter, not “%s”"), name);
  if (path == NULL)
    path = bl_library_default_path ();
  library = bl_library_open (path, FALSE, &error);
  gint64 id = library != NULL ? bl_cli_find_job (library, rest[0], &error) : 0;
  tag = id != 0 ? bl_job_tag_fill (library, id, &error) : NULL;
  if (tag == NULL)
    return bl_cli_fail (path, error);
  return bl_job_tag_write_pdf (tag, size, rest[1], &error) ? BL_EXIT_DONE : bl_cli_fail (rest[1], error);
}
