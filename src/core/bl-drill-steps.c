/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of a drill from CSV, and a score as JSON. Some tens of rows. What a row may say is said here once; what it is
 * worth is not decided here. */
#include "config.h"

#include "bl-drill-steps.h"

#include "bl-csv.h"
#include "bl-json-out.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n-lib.h>

static const char *const heads[] = {
  [BL_STEP_MEASURE] = "",   [BL_STEP_STATE] = "state:", [BL_STEP_PROOF] = "proof:", [BL_STEP_SUPPLY] = "supply:",
  [BL_STEP_CAUTIONS] = "cautions:", [BL_STEP_PART] = "part:", [BL_STEP_STAGE] = "stage:",
  [BL_STEP_COMPONENT] = "component:",
};

char *
bl_drill_step_to_text (const BlDrillStep *step)
{
  g_return_val_if_fail (step != NULL && (guint) step->kind < G_N_ELEMENTS (heads), NULL);
  const char *what = step->kind == BL_STEP_SUPPLY ? step->text : step->subject;

  return g_strconcat (heads[step->kind], what != NULL ? what : "", NULL);
}

/* --- reading ---------------------------------------------------------------------------------- */

static gboolean
fail (GError **error, int code, guint line, const char *format, ...) G_GNUC_PRINTF (4, 5);

/* FALSE, for whoever returns it. */
static gboolean
fail (GError **error, int code, guint line, const char *format, ...)
{
  va_list arguments;
  g_autofree char *words = NULL;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, BL_CORE_ERROR, code, _ ("line %u: %s"), line, words);
  return FALSE;
}

static BlDrillStepKind
kind_of (const char *field, const char **rest)
{
  for (guint i = 1; i < G_N_ELEMENTS (heads); i++)
    if (g_str_has_prefix (field, heads[i]))
      {
        *rest = field + strlen (heads[i]);
        return (BlDrillStepKind) i;
      }
  *rest = field;
  return BL_STEP_MEASURE;
}

static gboolean
check_supply (const char *text, guint line, GError **error)
{
  static const char *const known[] = { "", "isolated", "limited", "mains", NULL };
  g_auto (GStrv) words = g_strsplit_set (text, " +", -1);

  for (char **word = words; *word != NULL; word++)
    if (*text == '\0' || !g_strv_contains (known, *word))
      return fail (error, BL_CORE_ERROR_PARSE, line, _ ("a supply is “isolated”, “limited” or “mains”, not “%s”"), text);
  return *words != NULL
         || fail (error, BL_CORE_ERROR_PARSE, line, _ ("a supply is “isolated”, “limited” or “mains”, not “%s”"), text);
}

/* Whether what the row is about is on the board. */
static gboolean
check_subject (const BlBoard *board, BlDrillStepKind kind, const char *id, guint line, GError **error)
{
  switch (kind)
    {
    case BL_STEP_PROOF:
      if (*id == '\0')
        return TRUE;
      G_GNUC_FALLTHROUGH;
    case BL_STEP_MEASURE:
      return bl_board_measurement (board, id) != NULL
             || fail (error, BL_CORE_ERROR_UNKNOWN, line, _ ("there is no measurement “%s”"), id);
    case BL_STEP_STATE:
      return bl_board_state (board, id) != NULL
             || fail (error, BL_CORE_ERROR_UNKNOWN, line, _ ("there is no board state “%s”"), id);
    case BL_STEP_PART:
    case BL_STEP_COMPONENT:
      return bl_board_component (board, id) != NULL
             || fail (error, BL_CORE_ERROR_UNKNOWN, line, _ ("there is no component “%s”"), id);
    case BL_STEP_STAGE:
      return bl_board_stage (board, id) != NULL
             || fail (error, BL_CORE_ERROR_UNKNOWN, line, _ ("there is no stage “%s”"), id);
    case BL_STEP_CAUTIONS:
      return *id == '\0'
             || fail (error, BL_CORE_ERROR_PARSE, line, _ ("nothing stands behind “cautions:”, but “%s” does"), id);
    case BL_STEP_SUPPLY:
    default:
      return check_supply (id, line, error);
    }
}

/* How often a measurement was read before. */
static guint
times_read (GPtrArray *steps, const char *measurement)
{
  guint n = 0;

  for (guint i = 0; i < steps->len; i++)
    {
      const BlDrillStep *step = bl_at (steps, i);
      n += step->kind == BL_STEP_MEASURE && g_str_equal (step->subject, measurement) ? 1 : 0;
    }
  return n;
}

/* What was read, or what the part is: as it stands in the row, else as the drill has it. */
static gboolean
fill_text (const BlDrill *drill, BlDrillStep *step, const char *reading, GPtrArray *before, guint line, GError **error)
{
  const BlBoard *board = bl_drill_board (drill);
  g_autoptr (GError) problem = NULL;
  BlReading parsed;

  if (*reading == '\0')
    step->text = step->kind == BL_STEP_PART
                   ? bl_drill_test_part (drill, step->subject, NULL)
                   : bl_drill_read (drill, step->subject, times_read (before, step->subject), NULL);
  else if (!bl_drill_is_planted (drill))
    return fail (error, BL_CORE_ERROR_INVALID, line, _ ("what is read here the drill says, not the table: “%s”"), reading);
  else
    step->text = g_strdup (reading);
  if (step->kind == BL_STEP_PART)
    return g_str_equal (step->text, "good")
           || bl_component_mode (bl_board_component (board, step->subject), step->text) != NULL
           || fail (error, BL_CORE_ERROR_UNKNOWN, line, _ ("%s is “good” or has one of its modes, not “%s”"),
                    step->subject, step->text);
  return bl_reading_parse (step->text, bl_board_measurement (board, step->subject)->measures, &parsed, &problem)
         || fail (error, BL_CORE_ERROR_PARSE, line, "%s", problem->message);
}

static BlDrillStep *
read_row (const BlDrill *drill, const BlCsvRecord *record, GPtrArray *before, GError **error)
{
  const char *rest, *reading = g_strv_length (record->fields) > 1 ? record->fields[1] : "";
  BlDrillStepKind kind = kind_of (record->fields[0], &rest);
  g_autoptr (BlDrillStep) step = NULL;

  if (g_strv_length (record->fields) > 2 && *record->fields[2] != '\0')
    return fail (error, BL_CORE_ERROR_PARSE, record->line, _ ("more than two fields")), NULL;
  if (!check_subject (bl_drill_board (drill), kind, rest, record->line, error))
    return NULL;
  step = bl_drill_step_new (kind, kind != BL_STEP_SUPPLY && *rest != '\0' ? rest : NULL,
                            kind == BL_STEP_SUPPLY ? rest : NULL);
  if (kind == BL_STEP_MEASURE || kind == BL_STEP_PART)
    return fill_text (drill, step, reading, before, record->line, error) ? g_steal_pointer (&step) : NULL;
  if (*reading != '\0')
    return fail (error, BL_CORE_ERROR_PARSE, record->line, _ ("nothing is read at “%s”"), record->fields[0]), NULL;
  return g_steal_pointer (&step);
}

static gboolean
check_header (const BlCsvRecord *record, GError **error)
{
  guint n = g_strv_length (record->fields);

  if (n >= 1 && n <= 2 && g_str_equal (record->fields[0], "measurement")
      && (n == 1 || g_str_equal (record->fields[1], "reading")))
    return TRUE;
  return fail (error, BL_CORE_ERROR_PARSE, record->line,
               _ ("the header is “measurement” or “measurement,reading”, not “%s”"),
               n > 0 ? record->fields[0] : "");
}

GPtrArray *
bl_drill_steps_parse_csv (const BlDrill *drill, const char *text, gssize length, GError **error)
{
  g_return_val_if_fail (drill != NULL && text != NULL, NULL);
  g_autoptr (GPtrArray) records = bl_csv_parse (text, length, error);
  g_autoptr (GPtrArray) steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);

  if (records == NULL)
    return NULL;
  if (records->len == 0)
    return fail (error, BL_CORE_ERROR_PARSE, 1, _ ("the header “measurement,reading” is missing")), NULL;
  if (!check_header (bl_at (records, 0), error))
    return NULL;
  for (guint i = 1; i < records->len; i++)
    {
      BlDrillStep *step = read_row (drill, bl_at (records, i), steps, error);
      if (step == NULL)
        return NULL;
      g_ptr_array_add (steps, step);
    }
  return g_steal_pointer (&steps);
}

/* --- JSON ------------------------------------------------------------------------------------- */

static void
key_flag (GString *out, const char *key, gboolean value)
{
  g_string_append_printf (out, ", \"%s\": %s", key, value ? "true" : "false");
}

/* "key": [...] */
static void
key_list (GString *out, const char *key, const char *const *list)
{
  g_string_append_printf (out, "\"%s\": [", key);
  for (guint i = 0; list[i] != NULL; i++)
    {
      g_string_append (out, i > 0 ? ", " : "");
      bl_json_string (out, list[i]);
    }
  g_string_append (out, "]");
}

static void
add_step (GString *out, const BlDrillStep *step)
{
  g_autofree char *subject = bl_drill_step_to_text (step);
  const char *acts[BL_N_UNSAFE + 1] = { NULL };
  guint n = 0;

  for (guint i = 0; i < BL_N_UNSAFE; i++)
    if (step->unsafe & (1u << i))
      acts[n++] = bl_unsafe_name (1u << i);
  g_string_append (out, "    {");
  bl_json_key_string (out, "measurement", subject);
  g_string_append (out, ", ");
  bl_json_key_string (out, "reading", step->kind == BL_STEP_SUPPLY ? NULL : step->text);
  bl_json_key_number (out, "regret_s", step->regret_s);
  key_flag (out, "unsafe", step->unsafe != 0);
  g_string_append (out, ", ");
  key_list (out, "acts", acts);
  key_flag (out, "right", step->right);
  key_flag (out, "told_nothing", step->told_nothing);
  g_string_append (out, ", ");
  bl_json_key_string (out, "best", step->best);
  bl_json_key_number (out, "best_s", step->best_s);
  bl_json_key_number (out, "effort_s", step->effort_s);
  g_string_append (out, "}");
}

char *
bl_drill_score_to_json (const BlDrill *drill, const BlDrillScore *score)
{
  g_return_val_if_fail (drill != NULL && score != NULL, NULL);
  g_autoptr (GString) out = g_string_new ("{ ");

  key_list (out, "fault", bl_drill_faults (drill));
  g_string_append (out, ", ");
  key_list (out, "provoked", bl_drill_victims (drill));
  g_string_append (out, ",\n  ");
  bl_json_key_string (out, "symptom", bl_drill_symptom (drill));
  g_string_append (out, ",\n  \"steps\": [");
  for (guint i = 0; i < score->steps->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n" : "\n");
      add_step (out, bl_at (score->steps, i));
    }
  g_string_append_printf (out, "],\n  \"stage_right\": %s", score->stage_right ? "true" : "false");
  key_flag (out, "component_right", score->component_right);
  key_flag (out, "failed", score->failed);
  bl_json_key_number (out, "regret_s", score->regret_s);
  bl_json_key_number (out, "effort_s", score->effort_s);
  g_string_append (out, " }");
  return g_string_free (g_steal_pointer (&out), FALSE);
}
