/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `compare`: what one board document says otherwise than another. */
#include "config.h"

#include "bl-board-difference.h"
#include "bl-bundle.h"
#include "bl-json-out.h"
#include "commands.h"

#include <glib/gi18n.h>

static int run_compare (int argc, char **argv);

const BlCommand bl_compare_commands[] = {
  { "compare", "A B [--json]", N_ ("tell what document B has otherwise than document A"), run_compare },
  { NULL },
};

static const char *const kinds[BL_N_DIFFERENCES] = {
  [BL_DIFFERENCE_ADDED] = "added",
  [BL_DIFFERENCE_REMOVED] = "removed",
  [BL_DIFFERENCE_CHANGED] = "changed",
  [BL_DIFFERENCE_RENAMED] = "renamed",
};

static int
print_text (const GPtrArray *differences)
{
  g_autofree char *text = bl_differences_to_text (differences);
  return bl_cli_print (text);
}

/* --- JSON ------------------------------------------------------------------------------------- */

static void
append_fields (GString *out, const GPtrArray *fields)
{
  g_string_append (out, ", \"fields\": [");
  for (guint i = 0; i < fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (fields, i);
      g_string_append (out, i > 0 ? ", {" : "{");
      bl_json_key_string (out, "path", field->path);
      g_string_append_printf (out, ", \"mine\": %s, \"theirs\": %s}",
                              field->mine_json != NULL ? field->mine_json : "null",
                              field->theirs_json != NULL ? field->theirs_json : "null");
    }
  g_string_append (out, "]");
}

static int
print_json (const GPtrArray *differences)
{
  g_autoptr (GString) out = g_string_new ("{\"differences\": [");
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      g_string_append (out, i > 0 ? ", {" : "{");
      bl_json_key_string (out, "kind", kinds[difference->kind]);
      g_string_append (out, ", ");
      bl_json_key_string (out, "list", difference->list);
      g_string_append (out, ", ");
      bl_json_key_string (out, "id", difference->id);
      g_string_append (out, ", ");
      bl_json_key_string (out, "old_id", difference->old_id);
      g_string_append (out, ", ");
      bl_json_key_string (out, "title", difference->title);
      append_fields (out, difference->fields);
      g_string_append (out, "}");
    }
  g_string_append (out, "]}\n");
  return bl_cli_print (out->str);
}

static int
run_compare (int argc, char **argv)
{
  gboolean json = FALSE;
  GOptionEntry entries[] = {
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (BlBoard) mine = NULL, theirs = NULL;
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (bl_compare_commands, entries, argc, argv, 2, 2, &files))
    return BL_EXIT_USAGE;
  mine = bl_board_load_file (files[0], NULL, &error);
  if (mine == NULL)
    return bl_cli_fail (files[0], error);
  theirs = bl_board_load_file (files[1], NULL, &error);
  if (theirs == NULL)
    return bl_cli_fail (files[1], error);
  g_autoptr (GPtrArray) differences = bl_board_differences (mine, theirs);
  return json ? print_json (differences) : print_text (differences);
}
