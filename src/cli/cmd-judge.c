/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `judge`: one reading against limits given on the command line, for trying out a meter's accuracy
 * and for comparing the verdicts with a calculation by hand. */
#include "config.h"

#include "bl-verdict.h"
#include "commands.h"

#include <jansson.h>
#include <string.h>

#include <glib/gi18n.h>

static int run_judge (int argc, char **argv);

const BlCommand bl_judge_commands[] = {
  { "judge",
    "--measures KIND [--nominal N] [--low X] [--high Y] [--absent-below A] [--shorted-below A] "
    "[--open-above A] --reading Z [--meter SPEC] [--json]",
    N_ ("judge one reading against limits"), run_judge },
  { NULL },
};

/* The options as they were typed; NULL: not given. */
typedef struct
{
  char *measures, *nominal, *low, *high, *absent_below, *shorted_below, *open_above;
  char *reading, *meter;
  gboolean json;
} Options;

static void
clear_options (Options *options)
{
  g_free (options->measures);
  g_free (options->nominal);
  g_free (options->low);
  g_free (options->high);
  g_free (options->absent_below);
  g_free (options->shorted_below);
  g_free (options->open_above);
  g_free (options->reading);
  g_free (options->meter);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear_options)

static gboolean
read_options (Options *options, int argc, char **argv)
{
  GOptionEntry entries[] = {
    { "measures", 0, 0, G_OPTION_ARG_FILENAME, &options->measures, N_ ("what is measured"), "KIND" },
    { "nominal", 0, 0, G_OPTION_ARG_FILENAME, &options->nominal, N_ ("value expected"), "N" },
    { "low", 0, 0, G_OPTION_ARG_FILENAME, &options->low, N_ ("lower limit"), "X" },
    { "high", 0, 0, G_OPTION_ARG_FILENAME, &options->high, N_ ("upper limit"), "Y" },
    { "absent-below", 0, 0, G_OPTION_ARG_FILENAME, &options->absent_below,
      N_ ("absent below this"), "A" },
    { "shorted-below", 0, 0, G_OPTION_ARG_FILENAME, &options->shorted_below,
      N_ ("shorted below this"), "A" },
    { "open-above", 0, 0, G_OPTION_ARG_FILENAME, &options->open_above, N_ ("open above this"), "A" },
    { "reading", 0, 0, G_OPTION_ARG_FILENAME, &options->reading, N_ ("what the meter shows"), "Z" },
    { "meter", 0, 0, G_OPTION_ARG_FILENAME, &options->meter,
      N_ ("accuracy of the meter, like “0.5%+3@0.01 in 10M”"), "SPEC" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options->json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;

  return bl_cli_options (bl_judge_commands, entries, argc, argv, 0, 0, &rest);
}

/* Fills quantity from an option. FALSE with the reason on standard error. */
static gboolean
set_limit (BlQuantity *quantity, const char *option, const char *text, BlMeasures measures)
{
  g_autoptr (GError) error = NULL;

  if (text == NULL)
    return TRUE;
  if (bl_quantity_parse (text, bl_measures_unit (measures), &quantity->value, &error))
    return TRUE;
  bl_cli_fail (option, error);
  return FALSE;
}

static gboolean
set_limits (BlMeasurement *measurement, const Options *options)
{
  BlExpected *expected = &measurement->expected;
  BlMeasures measures = measurement->measures;

  return set_limit (&expected->nominal, "--nominal", options->nominal, measures) &&
         set_limit (&expected->low, "--low", options->low, measures) &&
         set_limit (&expected->high, "--high", options->high, measures) &&
         set_limit (&expected->absent_below, "--absent-below", options->absent_below, measures) &&
         set_limit (&expected->shorted_below, "--shorted-below", options->shorted_below, measures) &&
         set_limit (&expected->open_above, "--open-above", options->open_above, measures);
}

static int
print_json (const BlVerdict *verdict)
{
  json_t *object = json_object (), *classes = json_object ();
  g_autofree char *line = NULL;
  char *text;

  for (guint i = 0; i < verdict->n; i++)
    json_object_set_new (classes, verdict->classes[i], json_real (verdict->weights[i]));
  json_object_set_new (object, "verdict", json_string (bl_verdict_label (verdict)));
  json_object_set_new (object, "classes", classes);
  json_object_set_new (object, "u", json_real (verdict->u));
  text = json_dumps (object, JSON_INDENT (2) | JSON_REAL_PRECISION (17));
  json_decref (object);
  line = g_strconcat (text, "\n", NULL);
  free (text);
  return bl_cli_print (line);
}

static int
print_text (const BlVerdict *verdict, BlMeasures measures)
{
  static const gboolean right[] = { FALSE, TRUE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (2, right);
  g_autoptr (GString) out = g_string_new (bl_verdict_label (verdict));

  g_string_append (out, verdict->reversed ? _(": are the leads swapped?\n") : "\n");
  for (guint i = 0; i < verdict->n && verdict->evidence; i++)
    {
      bl_cli_table_add (table, g_strdup (verdict->classes[i]));
      bl_cli_table_add (table, g_strdup_printf ("%.2f %%", 100 * verdict->weights[i]));
    }
  bl_cli_table_append (table, out);
  if (verdict->u > 0)
    {
      g_autofree char *u = bl_quantity_format (verdict->u, bl_measures_unit (measures), 3);

      g_string_append_printf (out, _("standard uncertainty of the reading: %s\n"), u);
    }
  return bl_cli_print (out->str);
}

static int
run_judge (int argc, char **argv)
{
  g_auto (Options) options = { 0 };
  g_autoptr (BlMeasurement) measurement = bl_measurement_new ();
  g_autoptr (BlBand) band = NULL;
  g_autoptr (BlVerdict) verdict = NULL;
  g_autoptr (GError) error = NULL;
  BlReading reading;
  BlMeter meter;

  if (!read_options (&options, argc, argv))
    return BL_EXIT_USAGE;
  if (options.measures == NULL || options.reading == NULL)
    return bl_cli_usage (bl_judge_commands, _("--measures and --reading are needed"));
  if (!bl_measures_parse (options.measures, &measurement->measures))
    return bl_cli_usage (bl_judge_commands, _("“%s” is no kind of measurement"), options.measures);
  measurement->has_expected = TRUE;
  if (!set_limits (measurement, &options))
    return BL_EXIT_INPUT;
  if (!bl_reading_parse (options.reading, measurement->measures, &reading, &error))
    return bl_cli_fail ("--reading", error);
  if (!bl_meter_parse (options.meter != NULL ? options.meter : "", &meter, &error))
    return bl_cli_fail ("--meter", error);
  band = bl_band_resolve (measurement, NAN, 0, &error);
  if (band == NULL)
    return bl_cli_fail ("judge", error);
  verdict = bl_judge (band, &reading, &meter, NAN, 0);
  return options.json ? print_json (verdict) : print_text (verdict, measurement->measures);
}
