/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `diagnose`: a board and the readings of a job in, odds and advice out. */
#include "config.h"

#include "bl-bundle.h"
#include "bl-diagnosis.h"
#include "bl-library.h"
#include "commands.h"
#include "plan-text.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

static int run_diagnose (int argc, char **argv);

const BlCommand bl_diagnose_commands[] = {
  { "diagnose",
    "--board FILE --readings FILE.csv [--symptom ID]... [--next N] [--to-stage] "
    "[--learn FILE [--strength N]] [--json]",
    N_ ("find the likely failed stage and component, and what to measure next"), run_diagnose },
  { NULL },
};

/* Rows shown to a reader who didn't ask for all (--json lists everything). */
#define SHOWN 8
#define SHOWN_NEXT 3

/* --- Text ------------------------------------------------------------------------------------- */

static char *
percent (double share)
{
  return g_strdup_printf (share > 0 && share < 0.0005 ? "<0.1 %%" : "%.1f %%", 100 * share);
}

static void
append_readings (GString *out, GPtrArray *entries, const BlBoard *board)
{
  g_autoptr (BlCliTable) table = bl_cli_table_new (4, NULL);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, NULL);

  if (judged == NULL || judged->len == 0)
    return;
  g_string_append (out, _("Readings\n"));
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *self = g_ptr_array_index (judged, i);
      const BlVerdict *verdict = self->verdict;
      const char *label = bl_verdict_label (verdict);

      bl_cli_table_add (table, g_strdup (self->measurement->id));
      bl_cli_table_add (table, g_strdup (self->entry->text));
      bl_cli_table_add (table, verdict->evidence && !verdict->certain
                                 ? g_strdup_printf ("%s: %s / %s", label,
                                                    verdict->classes[verdict->best],
                                                    verdict->classes[verdict->second])
                                 : g_strdup (label));
      bl_cli_table_add (table, g_strdup (self->measurement->title != NULL ? self->measurement->title : ""));
    }
  bl_cli_table_append (table, out);
}

static void
append_stages (GString *out, const BlDiagnosis *diagnosis, const BlBoard *board)
{
  static const gboolean right[] = { TRUE, FALSE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (3, right);

  g_string_append (out, _("Stages\n"));
  for (guint i = 0; i < diagnosis->stages->len && i < SHOWN; i++)
    {
      const BlOdd *odd = g_ptr_array_index (diagnosis->stages, i);
      const BlStage *stage = bl_board_stage (board, odd->id);

      bl_cli_table_add (table, percent (odd->probability));
      bl_cli_table_add (table, g_strdup (odd->id));
      bl_cli_table_add (table, g_strdup (stage != NULL && stage->title != NULL ? stage->title : ""));
    }
  bl_cli_table_append (table, out);
}

/* The likelier modes of a component: "open 55.0 %, short 6.0 %". */
static char *
modes_text (const BlOdd *component)
{
  g_autoptr (GString) out = g_string_new (NULL);

  for (guint i = 0; component->modes != NULL && i < component->modes->len; i++)
    {
      const BlOdd *mode = g_ptr_array_index (component->modes, i);
      g_autofree char *share = percent (mode->probability);

      if (i > 0 && mode->probability < 0.1 * component->probability)
        continue;
      g_string_append_printf (out, "%s%s %s", out->len > 0 ? ", " : "", mode->id, share);
    }
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static void
append_components (GString *out, const BlDiagnosis *diagnosis, const BlBoard *board)
{
  static const gboolean right[] = { TRUE, FALSE, FALSE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (4, right);

  g_string_append (out, _("Components\n"));
  for (guint i = 0; i < diagnosis->components->len && i < SHOWN; i++)
    {
      const BlOdd *odd = g_ptr_array_index (diagnosis->components, i);
      const BlComponent *component = bl_board_component (board, odd->id);

      bl_cli_table_add (table, percent (odd->probability));
      bl_cli_table_add (table, g_strdup (odd->id));
      bl_cli_table_add (table, component == NULL         ? g_strdup (_("something else in this stage"))
                               : component->value != NULL ? g_strdup (component->value)
                                                          : g_strdup (component->kind));
      bl_cli_table_add (table, modes_text (odd));
    }
  bl_cli_table_append (table, out);
}

static void
append_likely (GString *out, const BlDiagnosis *diagnosis, const BlBoard *board)
{
  g_autofree char *elsewhere = percent (diagnosis->elsewhere);

  if (diagnosis->likely_stage != NULL)
    {
      const BlStage *stage = bl_board_stage (board, diagnosis->likely_stage);
      const BlOdd *odd = bl_diagnosis_find (diagnosis->stages, diagnosis->likely_stage);
      g_autofree char *share = percent (odd != NULL ? odd->probability : 0);

      if (stage != NULL && stage->title != NULL)
        g_string_append_printf (out, _("Likely failed stage: %s, %s, %s\n"), stage->id, stage->title, share);
      else
        g_string_append_printf (out, _("Likely failed stage: %s, %s\n"), diagnosis->likely_stage, share);
    }
  else
    g_string_append (out, diagnosis->places != NULL ? _("The fault is more likely not in this equipment.\n")
                                                    : _("The fault is more likely not on this board.\n"));
  g_string_append_printf (out, diagnosis->places != NULL ? _("Not in this equipment at all: %s\n")
                                                         : _("Not on this board at all: %s\n"), elsewhere);
}

/* Of an equipment: which board, or what is between them. */
static void
append_places (GString *out, const BlPlaces *places)
{
  static const gboolean right[] = { TRUE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (2, right);
  g_autofree char *words = NULL;

  if (places == NULL)
    return;
  words = bl_places_words (places);
  g_string_append_printf (out, _("Place of the fault. %s\n"), words);
  for (guint i = 0; i < places->places->len; i++)
    {
      const BlFaultPlace *place = g_ptr_array_index (places->places, i);
      bl_cli_table_add (table, percent (place->probability));
      bl_cli_table_add (table, bl_place_words (place));
      for (guint j = 0; place->kind == BL_PLACE_PARTS && j < places->parts->len; j++)
        {
          const BlFaultPlace *part = g_ptr_array_index (places->parts, j);
          g_autofree char *name = bl_place_words (part);
          bl_cli_table_add (table, percent (part->probability));
          bl_cli_table_add (table, g_strdup_printf ("  %s", name));
        }
    }
  bl_cli_table_add (table, percent (places->none));
  bl_cli_table_add (table, g_strdup (_("on none of these")));
  bl_cli_table_append (table, out);
}

static void
append_setup (GString *out, const BlDiagnosis *diagnosis)
{
  for (guint i = 0; i < diagnosis->setup->len; i++)
    {
      const BlSetupOdd *odd = g_ptr_array_index (diagnosis->setup, i);
      g_autofree char *share = percent (odd->probability);

      if (odd->probability < 0.05)
        continue;
      if (odd->black != NULL)
        g_string_append_printf (out, _("Check the black lead at %s: wrong with %s\n"), odd->black, share);
      else
        g_string_append_printf (out, _("Check the board state %s: wrong with %s\n"), odd->state, share);
    }
}

static void
append_fit (GString *out, const BlDiagnosis *diagnosis)
{
  if (!diagnosis->fitted)
    return;
  if (diagnosis->explained)
    {
      g_string_append (out, _("One or two faults explain all readings.\n"));
      return;
    }
  g_string_append (out, _("No one or two faults explain all readings. They would without\n"));
  for (guint i = 0; i < diagnosis->quarrel->len; i++)
    {
      const GPtrArray *set = g_ptr_array_index (diagnosis->quarrel, i);

      g_string_append (out, "  ");
      for (guint j = 0; j < set->len; j++)
        {
          const BlReadingRef *reading = g_ptr_array_index (set, j);

          g_string_append_printf (out, "%s%s", j > 0 ? ", " : "", reading->measurement);
          if (reading->round > 1)
            g_string_append_printf (out, _(" (round %u)"), reading->round);
        }
      g_string_append_c (out, '\n');
    }
}

static void
append_next (GString *out, const BlDiagnosis *diagnosis, const BlBoard *board, int next)
{
  static const gboolean right[] = { FALSE, FALSE, FALSE, TRUE, TRUE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (5, right);
  guint n = next < 0 ? SHOWN_NEXT : (guint) next;

  if (diagnosis->next == NULL || diagnosis->next->len == 0 || n == 0)
    return;
  g_string_append (out, _("Measure next\n"));
  for (guint i = 0; i < diagnosis->next->len && i < n; i++)
    {
      const BlNext *self = g_ptr_array_index (diagnosis->next, i);
      const BlMeasurement *measurement = bl_board_measurement (board, self->measurement);

      bl_cli_table_add (table, g_strdup (self->measurement));
      bl_cli_table_add (table, g_strdup (measurement->title != NULL ? measurement->title : ""));
      bl_cli_table_add (table, g_strdup_printf (_("state %s"), measurement->state));
      bl_cli_table_add (table, g_strdup_printf (_("%.3f bit"), self->bits));
      bl_cli_table_add (table, g_strdup_printf (_("%.0f s"), self->effort_s));
    }
  bl_cli_table_append (table, out);
}

/* Live states are dangerous; a list of measurements must not hide that. */
static void
append_caution (GString *out, const BlDiagnosis *diagnosis, const BlBoard *board, int next)
{
  guint n = next < 0 ? SHOWN_NEXT : (guint) next;

  for (guint i = 0; diagnosis->next != NULL && i < diagnosis->next->len && i < n; i++)
    {
      const BlNext *self = g_ptr_array_index (diagnosis->next, i);
      const BlMeasurement *measurement = bl_board_measurement (board, self->measurement);
      const BlState *state = bl_board_state (board, measurement->state);

      if (state == NULL || state->live == 0)
        continue;
      g_string_append (out, _("Caution: some of these are taken on a live board. Follow your local "
                              "codes; work on mains is for licensed practice.\n"));
      return;
    }
}

static int
print_text (const BlDiagnosis *diagnosis, GPtrArray *entries, const BlBoard *board, int next)
{
  g_autoptr (GString) out = g_string_new (NULL);

  append_readings (out, entries, board);
  append_places (out, diagnosis->places);
  append_likely (out, diagnosis, board);
  append_stages (out, diagnosis, board);
  append_components (out, diagnosis, board);
  append_setup (out, diagnosis);
  append_fit (out, diagnosis);
  append_next (out, diagnosis, board, next);
  bl_cli_append_plan (out, diagnosis);
  append_caution (out, diagnosis, board, next);
  return bl_cli_print (out->str);
}

/* --- Command ---------------------------------------------------------------------------------- */

typedef struct
{
  char *board, *readings;
  char *library; /* to learn from; NULL: the document alone */
  double strength;
  char **symptoms;
  int next;
  gboolean to_stage, json;
} Options;

static void
clear_options (Options *options)
{
  g_free (options->board);
  g_free (options->readings);
  g_free (options->library);
  g_strfreev (options->symptoms);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear_options)

static gboolean
read_options (Options *options, int argc, char **argv)
{
  GOptionEntry entries[] = {
    { "board", 0, 0, G_OPTION_ARG_FILENAME, &options->board, N_ ("board, equipment or bundle"), "FILE" },
    { "readings", 0, 0, G_OPTION_ARG_FILENAME, &options->readings, N_ ("readings of the job"), "FILE.csv" },
    { "symptom", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &options->symptoms, N_ ("a symptom that is there"), "ID" },
    { "next", 0, 0, G_OPTION_ARG_INT, &options->next, N_ ("how many measurements to advise"), "N" },
    { "to-stage", 0, 0, G_OPTION_ARG_NONE, &options->to_stage, N_ ("plan as far as the stage only"), NULL },
    { "learn", 0, 0, G_OPTION_ARG_FILENAME, &options->library,
      N_ ("let causes confirmed in this library weigh in the odds"), "FILE" },
    { "strength", 0, 0, G_OPTION_ARG_DOUBLE, &options->strength,
      N_ ("how many confirmed causes the document weighs"), "N" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options->json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;

  options->next = G_MININT;
  options->strength = NAN;
  if (!bl_cli_options (bl_diagnose_commands, entries, argc, argv, 0, 0, &rest))
    return FALSE;
  if (options->board == NULL || options->readings == NULL)
    {
      bl_cli_usage (bl_diagnose_commands, _("--board and --readings are needed"));
      return FALSE;
    }
  if (options->next != G_MININT && options->next < 0)
    {
      bl_cli_usage (bl_diagnose_commands, _("--next is not below 0"));
      return FALSE;
    }
  if (!isnan (options->strength)
      && (options->library == NULL || !(options->strength > 0) || !isfinite (options->strength)))
    {
      bl_cli_usage (bl_diagnose_commands, _("--strength is above 0 and goes with --learn"));
      return FALSE;
    }
  if (options->next < 0)
    options->next = -1;
  return TRUE;
}

/* Puts the symptoms of the command line before the readings: they are of round 1. */
static gboolean
add_symptoms (const BlBoard *board, char **symptoms, GPtrArray *entries, GError **error)
{
  guint place = 0;

  for (; symptoms != NULL && *symptoms != NULL; symptoms++)
    {
      if (bl_board_symptom (board, *symptoms) == NULL)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no symptom “%s”"),
                       *symptoms);
          return FALSE;
        }
      g_ptr_array_insert (entries, (int) place++, bl_entry_new (BL_ENTRY_SYMPTOM, *symptoms, "yes"));
    }
  return TRUE;
}

static GPtrArray *
read_entries (const BlBoard *board, const char *path, GError **error)
{
  g_autofree char *text = NULL;
  gsize length = 0;

  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  return bl_evidence_parse_csv (board, text, (gssize) length, error);
}

static int
print_diagnosis (const BlDiagnosis *diagnosis, GPtrArray *entries, const BlBoard *board, const Options *options)
{
  g_autofree char *text = NULL, *line = NULL;

  if (!options->json)
    return print_text (diagnosis, entries, board, options->next);
  text = bl_diagnosis_to_json (diagnosis, options->next);
  line = g_strconcat (text, "\n", NULL);
  return bl_cli_print (line);
}

/* Puts the shares learned from the library's repairs of this edition in the place of the document's. */
static gboolean
learn (BlBoard *board, const Options *options, GError **error)
{
  g_autoptr (BlLibrary) library = bl_library_open (options->library, FALSE, error);
  g_autoptr (GError) reason = NULL;
  g_autoptr (GPtrArray) causes = NULL;
  g_autoptr (BlLearned) learned = NULL;
  double strength = NAN;
  gint64 id;

  if (library == NULL)
    return FALSE;
  id = board->uid != NULL ? bl_library_find_board (library, board->uid, &reason) : 0;
  if (id == 0 && reason == NULL)
    g_set_error (&reason, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("the board is not in this library (uid %s)"),
                 board->uid != NULL ? board->uid : _("left out"));
  causes = id != 0 ? bl_library_causes (library, id, 0, &reason) : NULL;
  if (causes == NULL || !bl_library_get_strength (library, id, &strength, &reason))
    {
      g_propagate_error (error, g_steal_pointer (&reason));
      return FALSE;
    }
  if (!isnan (options->strength))
    strength = options->strength;
  learned = bl_learned_new (board, causes, isnan (strength) ? BL_LEARN_STRENGTH : strength);
  bl_learned_apply (learned, board);
  if (!options->json)
    g_printerr (g_dngettext (GETTEXT_PACKAGE, "Learned from %u repair of this edition; the document weighs as %g.\n",
                             "Learned from %u repairs of this edition; the document weighs as %g.\n",
                             learned->repairs),
                learned->repairs, learned->strength);
  return TRUE;
}

static int
run_diagnose (int argc, char **argv)
{
  g_auto (Options) options = { 0 };
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (GPtrArray) entries = NULL;
  g_autoptr (BlEngine) engine = NULL;
  g_autoptr (BlDiagnosis) diagnosis = NULL;
  g_autoptr (GError) error = NULL;

  if (!read_options (&options, argc, argv))
    return BL_EXIT_USAGE;
  board = bl_board_load_file (options.board, NULL, &error);
  if (board == NULL)
    return bl_cli_fail (options.board, error);
  entries = read_entries (board, options.readings, &error);
  if (entries == NULL)
    return bl_cli_fail (options.readings, error);
  if (!add_symptoms (board, options.symptoms, entries, &error))
    return bl_cli_fail ("--symptom", error);
  if (options.library != NULL && !learn (board, &options, &error))
    return bl_cli_fail (options.library, error);
  engine = bl_engine_new (board, &error);
  if (engine == NULL)
    return bl_cli_fail (options.board, error);
  diagnosis = bl_engine_diagnose (engine, entries,
                                  BL_DIAGNOSE_ALL | BL_DIAGNOSE_PLAN | (options.to_stage ? BL_DIAGNOSE_TO_STAGE : 0),
                                  NULL, &error);
  if (diagnosis == NULL)
    return bl_cli_fail (options.readings, error);
  return print_diagnosis (diagnosis, entries, board, &options);
}
