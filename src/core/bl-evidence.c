/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job knows: readings, part tests, replacements, conditions and symptoms in order of time,
 * read from a table, and the readings' verdicts as they stand among each other.
 *
 * A verdict can depend on a reading made elsewhere (a band that follows a temperature) and a reading
 * counts less or more by what was read before and after it (only the last of a round counts, and
 * repeats of it make a misreading unlikely). So readings are judged as a whole, not one by one.
 *
 * Some hundred entries at most; everything is computed anew each time. */
#include "config.h"

#include "bl-evidence.h"

#include "bl-csv.h"

#include <string.h>

#include <glib/gi18n-lib.h>

BlEntry *
bl_entry_new (BlEntryKind kind, const char *subject, const char *text)
{
  BlEntry *entry = g_new0 (BlEntry, 1);

  entry->kind = kind;
  entry->subject = g_strdup (subject);
  entry->text = g_strdup (text);
  entry->reading = (BlReading){ BL_READING_NOT_REACHED, NAN, NAN, FALSE };
  entry->misread = NAN;
  return entry;
}

BlEntry *
bl_entry_copy (const BlEntry *entry)
{
  BlEntry *copy;

  g_return_val_if_fail (entry != NULL, NULL);
  copy = g_memdup2 (entry, sizeof *entry);
  copy->subject = g_strdup (entry->subject);
  copy->text = g_strdup (entry->text);
  copy->meter = g_strdup (entry->meter);
  copy->state = g_strdup (entry->state);
  copy->black = g_strdup (entry->black);
  copy->judged = entry->judged != NULL ? bl_verdict_copy (entry->judged) : NULL;
  return copy;
}

void
bl_entry_free (BlEntry *entry)
{
  if (entry == NULL)
    return;
  g_free (entry->subject);
  g_free (entry->text);
  g_free (entry->meter);
  g_free (entry->state);
  g_free (entry->black);
  bl_verdict_free (entry->judged);
  g_free (entry);
}

void
bl_judged_free (BlJudged *judged)
{
  if (judged == NULL)
    return;
  bl_band_free (judged->band);
  bl_verdict_free (judged->verdict);
  if (judged->owned)
    {
      bl_entry_free ((BlEntry *) judged->entry);
      bl_measurement_free ((BlMeasurement *) judged->measurement);
    }
  g_free (judged);
}

void
bl_judged_own (BlJudged *judged)
{
  g_return_if_fail (judged != NULL);
  if (judged->owned)
    return;
  judged->entry = bl_entry_copy (judged->entry);
  judged->measurement = bl_measurement_copy (judged->measurement);
  judged->owned = TRUE;
}

/* --- Table ------------------------------------------------------------------------------------ */

/* Places of the columns; -1: the table has none of that name. */
typedef struct
{
  int measurement, reading, meter;
  guint count;
} Columns;

static gboolean
fail (GError **error, int code, guint line, const char *format, ...) G_GNUC_PRINTF (4, 5);
static gboolean
fail (GError **error, int code, guint line, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, BL_CORE_ERROR, code, _("line %u: %s"), line, message);
  return FALSE;
}

static gboolean
read_header (const BlCsvRecord *record, Columns *columns, GError **error)
{
  *columns = (Columns){ -1, -1, -1, g_strv_length (record->fields) };
  for (guint i = 0; i < columns->count; i++)
    {
      const char *name = record->fields[i];
      int *place = g_ascii_strcasecmp (name, "measurement") == 0 ? &columns->measurement
                   : g_ascii_strcasecmp (name, "reading") == 0   ? &columns->reading
                   : g_ascii_strcasecmp (name, "meter") == 0     ? &columns->meter
                                                                 : NULL;

      if (place == NULL || *place >= 0)
        return fail (error, BL_CORE_ERROR_PARSE, record->line,
                     _("“%s” is not a column here: expected “measurement,reading,meter”"), name);
      *place = (int) i;
    }
  if (columns->measurement < 0 || columns->reading < 0)
    return fail (error, BL_CORE_ERROR_PARSE, record->line,
                 _("the header lacks a column: expected “measurement,reading,meter”"));
  return TRUE;
}

/* TRUE for the component that every stage has without the document naming it, "ID/other". */
static gboolean
is_implied (const BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      g_autofree char *other = bl_stage_other_id (((const BlStage *) bl_at (board->stages, i))->id);

      if (strcmp (other, id) == 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_mode (const BlComponent *component, const char *mode)
{
  BlDeviation deviation;

  if (component != NULL)
    return bl_component_mode (component, mode) != NULL;
  return bl_deviation_parse (mode, &deviation) && deviation < BL_N_DEVIATIONS;
}

static BlEntry *
read_part (const BlBoard *board, const char *id, const char *text, guint line, GError **error)
{
  const BlComponent *component = bl_board_component (board, id);

  if (component == NULL && !is_implied (board, id))
    {
      fail (error, BL_CORE_ERROR_UNKNOWN, line, _("there is no component “%s”"), id);
      return NULL;
    }
  if (strcmp (text, "replaced") == 0)
    return bl_entry_new (BL_ENTRY_REPLACED, id, text);
  if (strcmp (text, "good") != 0 && !has_mode (component, text))
    {
      fail (error, BL_CORE_ERROR_UNKNOWN, line,
            _("“%s” is neither “good” nor “replaced” nor a failure mode of %s"), text, id);
      return NULL;
    }
  return bl_entry_new (BL_ENTRY_PART_TEST, id, text);
}

static BlEntry *
read_symptom (const BlBoard *board, const char *id, const char *text, guint line, GError **error)
{
  if (bl_board_symptom (board, id) == NULL)
    {
      fail (error, BL_CORE_ERROR_UNKNOWN, line, _("there is no symptom “%s”"), id);
      return NULL;
    }
  if (strcmp (text, "yes") != 0 && strcmp (text, "no") != 0)
    {
      fail (error, BL_CORE_ERROR_PARSE, line, _("a symptom is “yes” or “no”, not “%s”"), text);
      return NULL;
    }
  return bl_entry_new (BL_ENTRY_SYMPTOM, id, text);
}

static BlEntry *
read_reading (const BlBoard *board, const char *id, const char *text, const char *meter, guint line, GError **error)
{
  const BlMeasurement *measurement = bl_board_measurement (board, id);
  g_autoptr (BlEntry) entry = NULL;
  BlMeter accuracy;

  if (measurement == NULL)
    {
      fail (error, BL_CORE_ERROR_UNKNOWN, line, _("there is no measurement “%s”"), id);
      return NULL;
    }
  entry = bl_entry_new (BL_ENTRY_READING, id, text);
  if (!bl_reading_parse (text, measurement->measures, &entry->reading, error) ||
      (*meter != '\0' && !bl_meter_parse (meter, &accuracy, error)))
    {
      g_prefix_error (error, _("line %u: %s: "), line, id);
      return NULL;
    }
  entry->meter = *meter != '\0' ? g_strdup (meter) : NULL;
  return g_steal_pointer (&entry);
}

static BlEntry *
read_row (const BlBoard *board, const BlCsvRecord *record, const Columns *columns, GError **error)
{
  guint n = g_strv_length (record->fields), line = record->line;
  const char *subject, *text, *meter;
  BlEntry *entry;

  if (n > columns->count || (int) n <= columns->measurement || (int) n <= columns->reading)
    {
      fail (error, BL_CORE_ERROR_PARSE, line, _("%u fields where %u are expected"), n,
            columns->count);
      return NULL;
    }
  subject = record->fields[columns->measurement];
  text = record->fields[columns->reading];
  meter = columns->meter >= 0 && (int) n > columns->meter ? record->fields[columns->meter] : "";
  if (g_str_has_prefix (subject, "part:"))
    entry = read_part (board, subject + strlen ("part:"), text, line, error);
  else if (g_str_has_prefix (subject, "symptom:"))
    entry = read_symptom (board, subject + strlen ("symptom:"), text, line, error);
  else if (strcmp (subject, "round") == 0)
    entry = bl_entry_new (BL_ENTRY_ROUND, NULL, text);
  else
    entry = read_reading (board, subject, text, meter, line, error);
  if (entry != NULL && entry->kind != BL_ENTRY_READING && *meter != '\0')
    {
      bl_entry_free (entry);
      fail (error, BL_CORE_ERROR_PARSE, line, _("a meter belongs to a reading only"));
      return NULL;
    }
  if (entry != NULL)
    entry->line = line;
  return entry;
}

GPtrArray *
bl_evidence_parse_csv (const BlBoard *board, const char *text, gssize length, GError **error)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  g_autoptr (GPtrArray) records = NULL;
  Columns columns;

  g_return_val_if_fail (board != NULL && text != NULL, NULL);
  records = bl_csv_parse (text, length, error);
  if (records == NULL)
    return NULL;
  if (records->len == 0)
    {
      fail (error, BL_CORE_ERROR_PARSE, 1, _("the header “measurement,reading,meter” is missing"));
      return NULL;
    }
  if (!read_header (g_ptr_array_index (records, 0), &columns, error))
    return NULL;
  for (guint i = 1; i < records->len; i++)
    {
      BlEntry *entry = read_row (board, g_ptr_array_index (records, i), &columns, error);

      if (entry == NULL)
        return NULL;
      g_ptr_array_add (entries, entry);
    }
  return g_steal_pointer (&entries);
}

char *
bl_entry_to_csv (const BlEntry *entry)
{
  g_autoptr (GString) out = g_string_new (NULL);
  g_autofree char *subject = NULL;

  g_return_val_if_fail (entry != NULL, NULL);
  switch (entry->kind)
    {
    case BL_ENTRY_PART_TEST:
    case BL_ENTRY_REPLACED:
      subject = g_strconcat ("part:", entry->subject, NULL);
      break;
    case BL_ENTRY_ROUND:
      subject = g_strdup ("round");
      break;
    case BL_ENTRY_SYMPTOM:
      subject = g_strconcat ("symptom:", entry->subject, NULL);
      break;
    case BL_ENTRY_READING:
    default:
      subject = g_strdup (entry->subject);
      break;
    }
  bl_csv_append (out, subject);
  g_string_append_c (out, ',');
  bl_csv_append (out, entry->kind == BL_ENTRY_REPLACED ? "replaced"
                      : entry->text != NULL            ? entry->text
                                                       : "");
  g_string_append_c (out, ',');
  bl_csv_append (out, entry->meter != NULL ? entry->meter : "");
  return g_string_free (g_steal_pointer (&out), FALSE);
}

/* --- Rounds ----------------------------------------------------------------------------------- */

static gboolean
begins_round (const BlEntry *entry)
{
  return entry->kind == BL_ENTRY_REPLACED || entry->kind == BL_ENTRY_ROUND;
}

guint
bl_evidence_rounds (GPtrArray *entries, char ***conditions)
{
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func (g_free);
  guint rounds = 1;

  g_ptr_array_add (list, g_strdup (""));
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);

      if (!begins_round (entry))
        continue;
      /* A part replaced changes nothing of the condition the board is in. */
      g_ptr_array_add (list, g_strdup (entry->kind == BL_ENTRY_ROUND && entry->text != NULL
                                         ? entry->text
                                         : g_ptr_array_index (list, rounds - 1)));
      rounds++;
    }
  if (conditions != NULL)
    {
      g_ptr_array_add (list, NULL);
      *conditions = (char **) g_ptr_array_free (g_steal_pointer (&list), FALSE);
    }
  return rounds;
}

/* --- Verdicts --------------------------------------------------------------------------------- */

static double
source_ohm (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlTestPoint *point = NULL;

  if (measurement->at != NULL)
    point = bl_board_test_point (board, measurement->at);
  return point != NULL ? point->source_ohm.value : NAN;
}

static gboolean
entry_meter (const BlEntry *entry, BlMeter *meter, GError **error)
{
  if (!bl_meter_parse (entry->meter != NULL ? entry->meter : "", meter, error))
    {
      g_prefix_error (error, "%s: ", entry->subject);
      return FALSE;
    }
  return TRUE;
}

static BlJudged *judge_entry (const BlBoard *board, GPtrArray *entries, const BlEntry *entry, guint depth,
                              GError **error);

/* The last reading of the measurement named id in this job that is one, and its uncertainty; NAN
 * when there is none or it has no single value. One judged reversed is no evidence, nor to be
 * followed. depth ends a loop of followers, in a board that was not validated. */
static gboolean
last_value (const BlBoard *board, GPtrArray *entries, const char *id, guint depth, double *value, double *u,
            GError **error)
{
  const BlMeasurement *measurement = bl_board_measurement (board, id);
  BlMeter meter;

  *value = NAN;
  *u = 0;
  if (measurement == NULL)
    return TRUE;
  for (guint i = bl_len (entries); i > 0; i--)
    {
      const BlEntry *entry = bl_at (entries, i - 1);
      g_autoptr (BlJudged) judged = NULL;

      if (entry->kind != BL_ENTRY_READING || g_strcmp0 (entry->subject, id) != 0 ||
          entry->reading.kind == BL_READING_NOT_REACHED)
        continue;
      if (depth <= bl_len (board->measurements))
        {
          judged = judge_entry (board, entries, entry, depth + 1, error);
          if (judged == NULL)
            return FALSE;
          if (judged->verdict->reversed)
            continue;
        }
      if (!entry_meter (entry, &meter, error))
        return FALSE;
      bl_reading_corrected (&entry->reading, measurement->measures, &meter,
                            source_ohm (board, measurement), value, u);
      return TRUE;
    }
  return TRUE;
}

/* The band of measurement; NULL without an error when it follows an unread one and has no limits. */
static gboolean
resolve (const BlBoard *board,
         GPtrArray *entries,
         const BlMeasurement *measurement,
         guint depth,
         BlBand **band,
         double *u_followed,
         GError **error)
{
  g_autoptr (GError) local = NULL;
  double value = NAN, u = 0;

  *u_followed = 0;
  if (measurement->expected.follows != NULL &&
      !last_value (board, entries, measurement->expected.follows->measurement, depth, &value, &u, error))
    return FALSE;
  *band = bl_band_resolve_on (board, measurement, value, u, &local);
  if (*band == NULL && !g_error_matches (local, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN))
    {
      g_propagate_prefixed_error (error, g_steal_pointer (&local), "%s: ", measurement->id);
      return FALSE;
    }
  if (*band != NULL && (*band)->follows)
    *u_followed = fabs ((*band)->slope) * u;
  return TRUE;
}

static BlJudged *
judge_entry (const BlBoard *board, GPtrArray *entries, const BlEntry *entry, guint depth, GError **error)
{
  const BlMeasurement *measurement = bl_board_measurement (board, entry->subject);
  g_autoptr (BlBand) band = NULL;
  BlJudged *judged;
  BlMeter meter;
  double u_followed;

  if (measurement == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no measurement “%s”"),
                   entry->subject);
      return NULL;
    }
  if (!entry_meter (entry, &meter, error) ||
      !resolve (board, entries, measurement, depth, &band, &u_followed, error))
    return NULL;
  judged = g_new0 (BlJudged, 1);
  judged->entry = entry;
  judged->measurement = measurement;
  judged->repeats = 1;
  judged->verdict = entry->judged != NULL
                      ? bl_verdict_copy (entry->judged)
                      : bl_judge (band, &entry->reading, &meter, source_ohm (board, measurement),
                                  u_followed);
  judged->band = g_steal_pointer (&band);
  return judged;
}

/* Readings of one measurement in one round; only one of them counts. */
static gboolean
same_slot (const BlJudged *one, const BlJudged *two)
{
  return one->measurement == two->measurement && one->round == two->round;
}

/* Counts the run of readings up to this one that agree on the likeliest class; those that say
 * nothing don't break it. */
static void
set_repeats (GPtrArray *list, guint index)
{
  BlJudged *self = g_ptr_array_index (list, index);

  self->repeats = 1;
  for (guint i = index; i > 0 && self->verdict->evidence; i--)
    {
      const BlJudged *other = g_ptr_array_index (list, i - 1);

      if (!same_slot (self, other) || !other->verdict->evidence)
        continue;
      if (other->verdict->best == self->verdict->best)
        self->repeats = other->repeats + 1;
      return;
    }
}

/* The last reading that says something counts; where none does, the last at all. */
static void
set_last (GPtrArray *list, guint index)
{
  BlJudged *self = g_ptr_array_index (list, index);

  self->last = TRUE;
  for (guint i = 0; i < list->len; i++)
    {
      const BlJudged *other = g_ptr_array_index (list, i);

      if (i == index || !same_slot (self, other))
        continue;
      if (other->verdict->evidence == self->verdict->evidence ? i > index
                                                              : other->verdict->evidence)
        self->last = FALSE;
    }
}

GPtrArray *
bl_evidence_judge (const BlBoard *board, GPtrArray *entries, GError **error)
{
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_judged_free);
  guint round = 1;

  g_return_val_if_fail (board != NULL, NULL);
  for (guint i = 0; i < bl_len (entries); i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      BlJudged *judged;

      round += begins_round (entry);
      if (entry->kind != BL_ENTRY_READING)
        continue;
      judged = judge_entry (board, entries, entry, 0, error);
      if (judged == NULL)
        {
          if (entry->line > 0)
            g_prefix_error (error, _("line %u: "), entry->line);
          return NULL;
        }
      judged->round = round;
      g_ptr_array_add (list, judged);
    }
  for (guint i = 0; i < list->len; i++)
    {
      set_repeats (list, i);
      set_last (list, i);
    }
  return g_steal_pointer (&list);
}

/* --- what the document knows --- */

/* TRUE when what an entry is about is in the document. */
static gboolean
is_known (const BlBoard *board, const BlEntry *entry)
{
  const BlComponent *component;

  switch (entry->kind)
    {
    case BL_ENTRY_READING:
      return bl_board_measurement (board, entry->subject) != NULL;
    case BL_ENTRY_SYMPTOM:
      return bl_board_symptom (board, entry->subject) != NULL;
    case BL_ENTRY_PART_TEST:
      component = bl_board_component (board, entry->subject);
      return component != NULL
             && (g_strcmp0 (entry->text, "good") == 0 || bl_component_mode (component, entry->text) != NULL);
    case BL_ENTRY_REPLACED:
      return bl_board_component (board, entry->subject) != NULL;
    case BL_ENTRY_ROUND:
    default:
      return TRUE;
    }
}

void
bl_evidence_keep_known (const BlBoard *board, GPtrArray *entries)
{
  g_return_if_fail (board != NULL && entries != NULL);
  for (guint i = entries->len; i > 0; i--)
    {
      BlEntry *entry = bl_at (entries, i - 1);
      if (is_known (board, entry))
        continue;
      if (entry->kind != BL_ENTRY_REPLACED)
        g_ptr_array_remove_index (entries, i - 1);
      else
        {
          entry->kind = BL_ENTRY_ROUND; /* in the same condition */
          g_clear_pointer (&entry->text, g_free);
        }
    }
}
