/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `check-board`, `coverage`, `simulate`: what can be asked of a documented board without readings. */
#include "config.h"

#include "bl-bundle.h"
#include "bl-document.h"
#include "bl-coverage.h"
#include "bl-simulate.h"
#include "commands.h"

#include <jansson.h>
#include <stdio.h>

#include <glib/gi18n.h>

static int run_check (int argc, char **argv);
static int run_coverage (int argc, char **argv);
static int run_simulate (int argc, char **argv);

enum
{
  CHECK,
  COVERAGE,
  SIMULATE
};

const BlCommand bl_board_commands[] = {
  [CHECK] = { "check-board", "FILE", N_ ("validate a board or equipment document or a bundle"),
              run_check },
  [COVERAGE] = { "coverage", "--board FILE [--json]",
                 N_ ("tell which failures the measurements can tell apart"), run_coverage },
  [SIMULATE] = { "simulate",
                 "--board FILE --fault COMPONENT:MODE [--fault COMPONENT:MODE]... [--seed N] "
                 "[--condition C]",
                 N_ ("write the readings of a board with these faults"), run_simulate },
  { NULL },
};

/* --- check-board ------------------------------------------------------------------------------ */

static void
append_problems (GString *out, const char *path, GPtrArray *problems)
{
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = g_ptr_array_index (problems, i);

      g_string_append_printf (out, "%s: %s%s: %s\n", path, problem->warning ? _("warning: ") : "",
                              problem->path, problem->message);
    }
}

static gboolean
has_error (GPtrArray *problems)
{
  for (guint i = 0; i < problems->len; i++)
    if (!((BlProblem *) g_ptr_array_index (problems, i))->warning)
      return TRUE;
  return FALSE;
}

/* What was read, for a reader who wants to know that it was the right file. */
static void
append_sizes (GString *out, const char *path, const BlBoard *board, gboolean warned)
{
  guint modes = 0;

  for (guint i = 0; i < bl_len (board->components); i++)
    modes += bl_len (((BlComponent *) bl_at (board->components, i))->modes);
  g_string_append_printf (out,
                          warned ? _("%s: no errors found in the document; %u stages, %u components with "
                                     "%u failure modes, %u measurements\n")
                                 : _("%s: no problems found in the document; %u stages, %u components with "
                                     "%u failure modes, %u measurements\n"),
                          path, bl_len (board->stages), bl_len (board->components), modes,
                          bl_len (board->measurements));
}

static int
run_check (int argc, char **argv)
{
  GOptionEntry entries[] = { { NULL } };
  g_auto (GStrv) rest = NULL;
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (GString) out = g_string_new (NULL);
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (&bl_board_commands[CHECK], entries, argc, argv, 1, 1, &rest))
    return BL_EXIT_USAGE;
  board = bl_board_load_file (rest[0], problems, &error);
  append_problems (out, rest[0], problems);
  if (board == NULL)
    {
      fputs (out->str, stderr);
      return has_error (problems) ? BL_EXIT_INPUT : bl_cli_fail (rest[0], error);
    }
  append_sizes (out, rest[0], board, problems->len > 0);
  return bl_cli_print (out->str);
}

/* --- coverage --------------------------------------------------------------------------------- */

static char *
joined (json_t *list)
{
  g_autoptr (GString) out = g_string_new (NULL);
  json_t *item;
  gsize i;

  json_array_foreach (list, i, item)
    g_string_append_printf (out, "%s%s", i > 0 ? ", " : "", json_string_value (item));
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static void
append_list (GString *out, const char *title, json_t *list)
{
  g_autofree char *text = joined (list);

  if (json_array_size (list) > 0)
    g_string_append_printf (out, "%s: %s\n", title, text);
}

static void
append_isolated (GString *out, json_t *isolated)
{
  static const char *const keys[] = { "1", "2", "3" };
  const char *titles[] = { _("narrowed down to one component"), _("to two at most"),
                           _("to three at most") };

  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    g_string_append_printf (out, "%s%s %.1f %%", i > 0 ? ", " : "", titles[i],
                            100 * json_real_value (json_object_get (isolated, keys[i])));
  g_string_append_c (out, '\n');
}

/* The three that help most. */
static void
append_one_more (GString *out, json_t *list)
{
  json_t *more;
  gsize i;

  json_array_foreach (list, i, more)
    {
      const char *stage = json_string_value (json_object_get (more, "stage"));
      const char *state = json_string_value (json_object_get (more, "state"));
      double one = 100 * json_real_value (json_object_get (json_object_get (more, "isolated"), "1"));
      if (i >= 3)
        break;
      if (stage != NULL)
        g_string_append_printf (out, _("one more measurement, output of %s in state %s: %.1f %% to one component\n"),
                                stage, state, one);
      else
        g_string_append_printf (out, _("one more test, %s by itself: %.1f %% to one component\n"),
                                json_string_value (json_object_get (more, "component")), one);
    }
}

static int
print_coverage (const char *text)
{
  static const gboolean right[] = { TRUE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (2, right);
  g_autoptr (GString) out = g_string_new (NULL);
  json_t *object = json_loads (text, 0, NULL), *group;
  gsize i;

  g_string_append (out, _("Failures that look alike at every measurement (weight per 10^6 h):\n"));
  json_array_foreach (json_object_get (object, "groups"), i, group)
    {
      bl_cli_table_add (table, g_strdup_printf ("%.4f", json_real_value (
                                                           json_object_get (group, "weight"))));
      bl_cli_table_add (table, joined (json_object_get (group, "modes")));
    }
  bl_cli_table_append (table, out);
  append_isolated (out, json_object_get (object, "isolated"));
  append_list (out, _("invisible to every measurement"), json_object_get (object, "invisible"));
  append_list (out, _("stages that no measurement sees"),
               json_object_get (object, "unmeasured_stages"));
  append_list (out, _("test points without a measurement"), json_object_get (object, "unused_points"));
  append_one_more (out, json_object_get (object, "one_more"));
  json_decref (object);
  return bl_cli_print (out->str);
}

static int
run_coverage (int argc, char **argv)
{
  g_autofree char *path = NULL, *text = NULL, *line = NULL;
  gboolean json = FALSE;
  GOptionEntry entries[] = {
    { "board", 0, 0, G_OPTION_ARG_FILENAME, &path, N_ ("board, equipment or bundle"), "FILE" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (&bl_board_commands[COVERAGE], entries, argc, argv, 0, 0, &rest))
    return BL_EXIT_USAGE;
  if (path == NULL)
    return bl_cli_usage (&bl_board_commands[COVERAGE], _("--board is needed"));
  board = bl_board_load_file (path, NULL, &error);
  if (board != NULL)
    text = bl_coverage_json (board, &error);
  if (text == NULL)
    return bl_cli_fail (path, error);
  if (!json)
    return print_coverage (text);
  line = g_strconcat (text, "\n", NULL);
  return bl_cli_print (line);
}

/* --- simulate --------------------------------------------------------------------------------- */

/* The table that `diagnose` reads; the condition begins a round of its own. */
static int
print_readings (GPtrArray *readings, const char *condition)
{
  g_autoptr (GString) out = g_string_new ("measurement,reading,meter\n");

  if (condition != NULL && *condition != '\0')
    {
      g_autoptr (BlEntry) entry = bl_entry_new (BL_ENTRY_ROUND, NULL, condition);
      g_autofree char *line = bl_entry_to_csv (entry);

      g_string_append_printf (out, "%s\n", line);
    }
  for (guint i = 0; i < readings->len; i++)
    {
      g_autofree char *line = bl_entry_to_csv (g_ptr_array_index (readings, i));

      g_string_append_printf (out, "%s\n", line);
    }
  return bl_cli_print (out->str);
}

static int
run_simulate (int argc, char **argv)
{
  g_autofree char *path = NULL, *condition = NULL;
  g_auto (GStrv) faults = NULL, rest = NULL;
  gint64 seed = 1;
  GOptionEntry entries[] = {
    { "board", 0, 0, G_OPTION_ARG_FILENAME, &path, N_ ("board, equipment or bundle"), "FILE" },
    { "fault", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &faults, N_ ("what failed by itself"),
      "COMPONENT:MODE" },
    { "seed", 0, 0, G_OPTION_ARG_INT64, &seed, N_ ("the same seed draws the same readings"), "N" },
    { "condition", 0, 0, G_OPTION_ARG_FILENAME, &condition, N_ ("condition of the round"), "C" },
    { NULL },
  };
  const BlCommand *command = &bl_board_commands[SIMULATE];
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (GPtrArray) readings = NULL;
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (command, entries, argc, argv, 0, 0, &rest))
    return BL_EXIT_USAGE;
  if (path == NULL || faults == NULL)
    return bl_cli_usage (command, _("--board and --fault are needed"));
  if (seed < 0 || seed > G_MAXUINT32)
    return bl_cli_usage (command, _("a seed is from 0 to %u"), G_MAXUINT32);
  board = bl_board_load_file (path, NULL, &error);
  if (board != NULL)
    readings =
      bl_simulate (board, (const char *const *) faults, (guint32) seed, condition, &error);
  if (readings == NULL)
    return bl_cli_fail (path, error);
  return print_readings (readings, condition);
}
