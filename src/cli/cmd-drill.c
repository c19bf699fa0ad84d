/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `drill`: a fault drill, shown without its fault, or scored from a table of steps the way the window scores it. */
#include "config.h"

#include "bl-bundle.h"
#include "bl-drill-steps.h"
#include "bl-json-out.h"
#include "commands.h"

#include <math.h>
#include <stdio.h>

#include <glib/gi18n.h>

static int run_drill (int argc, char **argv);

const BlCommand bl_drill_commands[] = {
  { "drill",
    "--board FILE [--seed N] [--kind single|provoked|two|misread|conductor] [--section ID]... "
    "[--fault COMPONENT:MODE]... [--steps FILE.csv] [--json]",
    N_ ("show a fault drill without its fault, or score the steps of somebody who worked it"), run_drill },
  { NULL },
};

typedef struct
{
  char *board, *kind, *steps;
  char **sections, **faults;
  gint64 seed;
  gboolean json;
  BlDrillOrder order;
} Options;

static void
clear_options (Options *options)
{
  g_free (options->board);
  g_free (options->kind);
  g_free (options->steps);
  g_strfreev (options->sections);
  g_strfreev (options->faults);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear_options)

/* What the options say together. */
static gboolean
check_options (Options *options)
{
  if (options->board == NULL)
    bl_cli_usage (bl_drill_commands, _ ("--board is needed"));
  else if (options->seed != G_MININT64 && (options->seed > G_MAXUINT32 || options->seed < 0))
    bl_cli_usage (bl_drill_commands, _ ("a seed is from 0 to %u"), G_MAXUINT32);
  else if (options->faults != NULL && (options->kind != NULL || options->sections != NULL || options->seed != G_MININT64))
    bl_cli_usage (bl_drill_commands, _ ("a planted --fault is not drawn: no --seed, --kind or --section"));
  else if (options->kind != NULL && !bl_drill_kind_parse (options->kind, &options->order.kind))
    bl_cli_usage (bl_drill_commands, _ ("there is no kind of drill “%s”"), options->kind);
  else
    {
      options->order.sections = (const char *const *) options->sections;
      options->order.seed = options->seed == G_MININT64 ? 1 : (guint32) options->seed;
      return TRUE;
    }
  return FALSE;
}

static gboolean
read_options (Options *options, int argc, char **argv)
{
  GOptionEntry entries[] = {
    { "board", 0, 0, G_OPTION_ARG_FILENAME, &options->board, N_ ("board, equipment or bundle"), "FILE" },
    { "seed", 0, 0, G_OPTION_ARG_INT64, &options->seed, N_ ("the same seed is the same drill (1)"), "N" },
    { "kind", 0, 0, G_OPTION_ARG_FILENAME, &options->kind,
      N_ ("single (where left out), provoked, two, misread or conductor"), "KIND" },
    { "section", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &options->sections, N_ ("the faults lie in this section"), "ID" },
    { "fault", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &options->faults,
      N_ ("planted in a real board, instead of one drawn"), "COMPONENT:MODE" },
    { "steps", 0, 0, G_OPTION_ARG_FILENAME, &options->steps,
      N_ ("what was done: columns measurement and, of a planted fault, reading"), "FILE.csv" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options->json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;

  options->seed = G_MININT64;
  return bl_cli_options (bl_drill_commands, entries, argc, argv, 0, 0, &rest) && check_options (options);
}

/* --- a drill that is to be worked ------------------------------------------------------------- */

static const char *
title_of (const BlMeasurement *measurement)
{
  return measurement->title != NULL ? measurement->title : "";
}

static int
show_json (const BlDrill *drill)
{
  const BlBoard *board = bl_drill_board (drill);
  g_autoptr (GString) out = g_string_new ("{ ");

  bl_json_key_string (out, "symptom", bl_drill_symptom (drill));
  g_string_append (out, ",\n  \"measurements\": [");
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      g_string_append (out, i > 0 ? ",\n    {" : "\n    {");
      bl_json_key_string (out, "measurement", measurement->id);
      g_string_append (out, ", ");
      bl_json_key_string (out, "title", title_of (measurement));
      g_string_append (out, ", ");
      bl_json_key_string (out, "state", measurement->state);
      g_string_append (out, "}");
    }
  g_string_append (out, "] }\n");
  return bl_cli_print (out->str);
}

static int
show_text (const BlDrill *drill)
{
  const BlBoard *board = bl_drill_board (drill);
  const char *id = bl_drill_symptom (drill);
  const BlSymptom *symptom = id != NULL ? bl_board_symptom (board, id) : NULL;
  g_autoptr (BlCliTable) table = bl_cli_table_new (3, NULL);
  g_autoptr (GString) out = g_string_new (NULL);

  if (symptom != NULL)
    g_string_append_printf (out, _ ("Shown: %s  %s\n"), id, symptom->title != NULL ? symptom->title : "");
  else
    g_string_append (out, _ ("Nothing is shown.\n"));
  g_string_append (out, _ ("Measurements\n"));
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      bl_cli_table_add (table, g_strdup (measurement->id));
      bl_cli_table_add (table, g_strdup_printf (_ ("state %s"), measurement->state));
      bl_cli_table_add (table, g_strdup (title_of (measurement)));
    }
  bl_cli_table_append (table, out);
  return bl_cli_print (out->str);
}

/* --- scoring ---------------------------------------------------------------------------------- */

static char *
verdict_words (const BlDrillStep *step)
{
  if (step->kind == BL_STEP_STAGE || step->kind == BL_STEP_COMPONENT)
    return g_strdup (step->right ? _ ("right") : _ ("wrong"));
  if (step->kind != BL_STEP_MEASURE)
    return g_strdup ("");
  if (step->for_safety)
    return g_strdup (_ ("for safety"));
  if (step->told_nothing)
    return g_strdup (_ ("could tell nothing new"));
  if (step->right)
    return g_strdup (_ ("right"));
  return step->best != NULL ? g_strdup_printf (_ ("better: %s"), step->best) : g_strdup (_ ("nothing was left to measure"));
}

static void
append_steps (GString *out, const BlDrillScore *score)
{
  static const gboolean right[] = { FALSE, FALSE, TRUE, FALSE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (5, right);

  for (guint i = 0; i < score->steps->len; i++)
    {
      const BlDrillStep *step = bl_at (score->steps, i);
      g_autofree char *acts = bl_unsafe_list_words (step->unsafe);
      bl_cli_table_add (table, bl_drill_step_to_text (step));
      bl_cli_table_add (table, g_strdup (step->kind != BL_STEP_SUPPLY && step->text != NULL ? step->text : ""));
      bl_cli_table_add (table, step->kind == BL_STEP_MEASURE ? g_strdup_printf (_ ("%.0f s"), step->regret_s) : g_strdup (""));
      bl_cli_table_add (table, verdict_words (step));
      bl_cli_table_add (table, acts != NULL ? g_strdup_printf (_ ("UNSAFE: %s"), acts) : g_strdup (""));
    }
  bl_cli_table_append (table, out);
}

static int
print_score (const BlDrill *drill, const BlDrillScore *score)
{
  g_autoptr (GString) out = g_string_new (NULL);
  g_autofree char *faults = g_strjoinv (", ", (char **) bl_drill_faults (drill));

  append_steps (out, score);
  g_string_append_printf (out, _ ("Fault: %s\n"), faults);
  g_string_append_printf (out, _ ("Time given away: %.0f s of %.0f s; %u of %u measurements right, %u could tell nothing new\n"),
                          score->regret_s, score->effort_s, score->n_right, score->n_measured, score->n_told_nothing);
  if (score->victim_named)
    g_string_append (out, _ ("What was named is broken, but something else broke it.\n"));
  g_string_append_printf (out, _ ("Stage: %s. Component: %s.\n"),
                          score->stage_right ? _ ("right") : _ ("not found"),
                          score->component_right ? _ ("right") : _ ("not found"));
  if (score->failed)
    g_string_append (out, _ ("An unsafe act fails a drill.\n"));
  return bl_cli_print (out->str);
}

static int
score_steps (const BlDrill *drill, const Options *options)
{
  g_autofree char *text = NULL, *json = NULL, *line = NULL;
  g_autoptr (GPtrArray) steps = NULL;
  g_autoptr (BlDrillScore) score = NULL;
  g_autoptr (GError) error = NULL;
  gsize length = 0;

  if (g_file_get_contents (options->steps, &text, &length, &error))
    steps = bl_drill_steps_parse_csv (drill, text, (gssize) length, &error);
  if (steps != NULL)
    score = bl_drill_score (drill, steps, NULL, &error);
  if (score == NULL)
    return bl_cli_fail (options->steps, error);
  if (!options->json)
    return print_score (drill, score);
  json = bl_drill_score_to_json (drill, score);
  line = g_strconcat (json, "\n", NULL);
  return bl_cli_print (line);
}

static int
run_drill (int argc, char **argv)
{
  g_auto (Options) options = { 0 };
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (BlDrill) drill = NULL;
  g_autoptr (GError) error = NULL;

  if (!read_options (&options, argc, argv))
    return BL_EXIT_USAGE;
  board = bl_board_load_file (options.board, NULL, &error);
  if (board != NULL)
    drill = options.faults != NULL ? bl_drill_planted (board, (const char *const *) options.faults, &error)
                                   : bl_drill_new (board, &options.order, &error);
  if (drill == NULL)
    return bl_cli_fail (options.board, error);
  if (options.steps != NULL)
    return score_steps (drill, &options);
  return options.json ? show_json (drill) : show_text (drill);
}
