/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Writing the bench log of the open job: readings, parts, rounds, states, proof of dead and striking.
 * Every entry is in the library before anything is told to the screen.
 *
 * The declared board state follows a reading that is meant for another live state, for whoever reads
 * there says so; but it never follows from live to unpowered by itself: that would hide a hazard.
 */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-bench-repair.h"
#include "bl-bench-safe.h"
#include "bl-edition-parts.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* One step of undo about a line: of a proof of dead, and of what was asked before power, there is none. */
static gboolean
append_step (BlBench *self, BlRecord *const *records, guint n, GError **error)
{
  const BlRecord *last = records[n - 1];
  g_autofree char *label = bl_bench_record_label (self, last);
  gboolean ok;

  if (last->kind == BL_RECORD_PROOF || last->kind == BL_RECORD_SUPPLY)
    return bl_library_append_all (self->library, records, n, error) && bl_bench_move_on (self, last->kind, error);
  if (!bl_bench_begin_step (self, label, error))
    return FALSE;
  ok = bl_library_append_all (self->library, records, n, error)
       && bl_library_step_record (self->library, last->id, error) && bl_bench_move_on (self, last->kind, error);
  return bl_library_end_step (self->library, ok, NULL, error);
}

/* Those that are not NULL; all or none are kept. Undo strikes the last: the state that a reading declares stays. */
static gboolean
append_those (BlBench *self, BlRecord *const *maybe, guint n_maybe, GError **error)
{
  BlRecord *records[4];
  guint n = 0;

  g_assert (n_maybe <= G_N_ELEMENTS (records));
  if (!bl_bench_may_write (self, error))
    return FALSE;
  for (guint i = 0; i < n_maybe; i++)
    if (maybe[i] != NULL)
      {
        records[n++] = maybe[i];
        maybe[i]->job = self->job->id;
      }
  if (!append_step (self, records, n, error))
    return FALSE;
  bl_edition_settle (self->edition); /* a change after a reading does not merge with one before it */
  return bl_bench_reload (self, error);
}

gboolean
bl_bench_append (BlBench *self, BlRecord *record, GError **error)
{
  return append_those (self, &record, 1, error);
}

static gboolean
append_simple (BlBench *self, BlRecordKind kind, const char *subject, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  return bl_bench_append (self, record, error);
}

/* --- board state and hazard --- */

gboolean
bl_bench_set_state (BlBench *self, const char *state, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (bl_board_state (bl_bench_get_board (self), state) == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no board state “%s”"), state);
      return FALSE;
    }
  return append_simple (self, BL_RECORD_STATE, state, NULL, error);
}

const BlState *
bl_bench_get_state (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->state != NULL ? bl_board_state (bl_bench_get_board (self), self->state) : NULL;
}

BlHazard
bl_bench_get_hazard (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), BL_HAZARD_UNKNOWN);
  const BlState *state = bl_bench_get_state (self);

  if (state == NULL || state->live < 0)
    return BL_HAZARD_UNKNOWN;
  if (state->live == TRUE)
    return bl_safe_state_shocks (bl_bench_get_board (self), state, &self->limits) ? BL_HAZARD_HIGH : BL_HAZARD_LOW;
  return self->proof_time != 0 ? BL_HAZARD_PROVEN : BL_HAZARD_UNPROVEN;
}

gint64
bl_bench_get_proof_time (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);
  return self->proof_time;
}

gboolean
bl_bench_take_proof (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  BlProofText proof = bl_proof_read (text);

  if (proof.n < 3)
    {
      g_set_error (
          error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
          _ ("three readings are needed: a known source, the point, the known source again, such as 230 0.3 230"));
      return FALSE;
    }
  if (proof.dc > self->limits.shock_dc || proof.ac > self->limits.shock_ac)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the point still reads more than %g V"),
                   proof.dc > self->limits.shock_dc ? self->limits.shock_dc : self->limits.shock_ac);
      return FALSE;
    }
  return append_simple (self, BL_RECORD_PROOF, NULL, text, error);
}

const char *const *
bl_bench_get_dead_proof (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  static const char *const none[] = { NULL };
  const BlState *state = bl_bench_get_state (self);

  if (state == NULL || state->dead_proof == NULL)
    return none;
  return (const char *const *) state->dead_proof;
}

/* --- readings --- */

void
bl_bench_select_next_unread (BlBench *self)
{
  int n = (int) g_list_model_get_n_items (G_LIST_MODEL (self->items)), from = bl_bench_place_of_current (self);
  BlMeasurementItem *elsewhere = NULL;

  for (int i = 1; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), (guint) ((from + i) % n));
      const char *state = bl_measurement_item_get_measurement (item)->state;
      if (bl_measurement_item_get_record (item) != NULL && !bl_measurement_item_is_old (item))
        continue;
      if (self->state == NULL || g_strcmp0 (state, self->state) == 0)
        {
          bl_bench_select (self, item);
          return;
        }
      if (elsewhere == NULL)
        elsewhere = item;
    }
  if (elsewhere != NULL)
    bl_bench_select (self, elsewhere);
}

/* Judges text as the newest reading of a measurement: the last element of what comes back. */
static GPtrArray *
judge_with (BlBench *self, const BlMeasurement *measurement, const char *text, const BlReading *reading, GError **error)
{
  g_autoptr (GPtrArray) entries = bl_bench_entries (self);
  BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement->id, text);

  entry->reading = *reading;
  entry->meter = self->told_by == NULL ? bl_bench_meter_spec (self, measurement, text, NULL) : NULL;
  g_ptr_array_add (entries, entry);
  GPtrArray *judged = bl_evidence_judge (bl_bench_get_board (self), entries, error);
  if (judged != NULL)
    ((BlJudged *) bl_at (judged, judged->len - 1))->entry = NULL; /* entries go */
  return judged;
}

gboolean
bl_bench_preview (BlBench *self, const char *text, BlReading *reading, BlVerdict **verdict)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  *verdict = NULL;
  if (self->current == NULL || *trimmed == '\0')
    return FALSE;
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (self->current);
  if (!bl_reading_parse (trimmed, measurement->measures, reading, NULL))
    return FALSE;
  g_autoptr (GPtrArray) judged = judge_with (self, measurement, trimmed, reading, NULL);
  if (judged == NULL)
    return FALSE;
  const BlJudged *last = bl_at (judged, judged->len - 1);
  /* Where nothing is expected a reading is no verdict. */
  if (last->verdict != NULL && (measurement->has_expected || measurement->measures == BL_MEASURES_CHECK))
    *verdict = bl_verdict_copy (last->verdict);
  return TRUE;
}

gboolean
bl_bench_declares_state (BlBench *self, const BlMeasurement *measurement)
{
  const BlBoard *board = bl_bench_get_board (self);

  if (self->told_by != NULL || g_strcmp0 (self->state, measurement->state) == 0)
    return FALSE;
  return bl_board_state_may_be_live (board, measurement->state)
         || (self->state != NULL && !bl_board_state_may_be_live (board, self->state));
}

static gboolean
is_dead_proof (const BlBoard *board, const char *state, const char *measurement)
{
  const BlState *found = state != NULL ? bl_board_state (board, state) : NULL;
  return found != NULL && found->dead_proof != NULL
         && g_strv_contains ((const char *const *) found->dead_proof, measurement);
}

/* state: what the board is in when it is taken. A state that a reading declares leaves the proof of
 * dead as it was, or is live: so the hazard before it was declared is the one that counts. */
static BlRecord *
make_reading (BlBench *self, BlMeasurementItem *item, const char *state, const char *text, const BlReading *reading,
              GError **error)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) judged = judge_with (self, measurement, text, reading, error);

  if (judged == NULL)
    return NULL;
  BlJudged *last = bl_at (judged, judged->len - 1);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_READING, measurement->id, text);
  record->state = g_strdup (state != NULL ? state : measurement->state);
  record->black = g_strdup (measurement->black);
  record->meter = bl_bench_meter_spec (self, measurement, text, NULL);
  record->expected = g_strdup (bl_measurement_item_get_expected (item));
  record->band = g_steal_pointer (&last->band);
  record->verdict = g_steal_pointer (&last->verdict);
  record->unproven = bl_bench_is_unproven (self, measurement) && !is_dead_proof (board, state, measurement->id);
  bl_bench_mark_told (self, measurement, record);
  if (record->told_by == NULL && g_strcmp0 (measurement->state, self->state) == 0 && bl_bench_left_s (self) <= 0)
    record->why = g_strdup (BL_STATE_OVER);
  return g_steal_pointer (&record);
}

/* The state it declares, what is to be said of the meter and the reading are kept together or not at all. */
gboolean
bl_bench_keep_reading (BlBench *self, BlMeasurementItem *item, const char *text, GError **error)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  gboolean here = self->told_by == NULL, declares = bl_bench_declares_state (self, measurement);
  g_autoptr (BlRecord) state = NULL, meter = here ? bl_bench_due_meter_record (self) : NULL;
  BlReading reading;

  if (!bl_reading_parse (text, measurement->measures, &reading, error))
    return FALSE;
  g_autoptr (BlRecord) record
    = make_reading (self, item, declares ? measurement->state : self->state, text, &reading, error);
  if (record == NULL)
    return FALSE;
  if (declares)
    state = bl_record_new (BL_RECORD_STATE, measurement->state, NULL);
  BlRecord *const records[] = { meter, state, record };
  return append_those (self, records, G_N_ELEMENTS (records), error);
}

static gboolean
enter_reading (BlBench *self, BlMeasurementItem *item, const char *text, GError **error)
{
  g_autoptr (BlMeasurementItem) kept = g_object_ref (item);

  if (!bl_bench_keep_reading (self, kept, text, error))
    return FALSE;
  bl_bench_select (self, kept);
  bl_bench_select_next_unread (self);
  return TRUE;
}

/* A mode by its name or the beginning of it; NULL with the modes there are. */
static const char *
find_mode (const BlComponent *component, const char *text, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  const char *found = NULL;
  gsize length = strlen (text);

  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const char *mode = ((BlMode *) bl_at (component->modes, i))->mode;
      if (g_ascii_strcasecmp (mode, text) == 0)
        return mode;
      if (found == NULL && length > 0 && g_ascii_strncasecmp (mode, text, length) == 0)
        found = mode;
      g_string_append_printf (names, ", %s", mode);
    }
  if (found == NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("%s can be: good, replaced%s; not “%s”"),
                 component->id, names->str, text);
  return found;
}

/* "cause", "cause open", "not the cause", "no cause". A mode that begins with one of these words can still
 * be chosen from the list. */
static gboolean
is_about_cause (const char *text)
{
  return g_ascii_strcasecmp (text, "cause") == 0 || g_ascii_strncasecmp (text, "cause ", 6) == 0
         || g_ascii_strcasecmp (text, "not the cause") == 0 || g_ascii_strcasecmp (text, "no cause") == 0;
}

static gboolean
enter_cause (BlBench *self, const char *component, const char *text, GError **error)
{
  g_autofree char *rest = NULL;
  const char *mode = NULL;

  if (g_ascii_strncasecmp (text, "no", 2) == 0)
    return bl_bench_refuse_cause (self, component, error);
  rest = g_strstrip (g_strdup (text + strlen ("cause")));
  if (*rest != '\0')
    {
      mode = find_mode (bl_board_component (bl_bench_get_board (self), component), rest, error);
      if (mode == NULL)
        return FALSE;
    }
  return bl_bench_confirm_cause (self, component, mode, error);
}

gboolean
bl_bench_enter (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  BlTyped typed;
  gboolean done = bl_bench_read_typed (self, text, &typed, error);

  if (done)
    switch (typed.kind)
      {
      case BL_TYPED_READING:
        done = enter_reading (self, typed.item, typed.rest, error);
        break;
      case BL_TYPED_SELECT:
        bl_bench_select (self, typed.item);
        break;
      case BL_TYPED_PART:
        if (bl_bench_is_replaced (typed.rest))
          done = bl_bench_enter_replaced (self, typed.component, typed.rest, error);
        else if (is_about_cause (typed.rest))
          done = enter_cause (self, typed.component, typed.rest, error);
        else
          done = bl_bench_part (self, typed.component, typed.rest, error);
        break;
      case BL_TYPED_NOTE:
      default:
        done = bl_bench_note (self, typed.rest, error);
        break;
      }
  bl_typed_clear (&typed);
  return done;
}

gboolean
bl_bench_part (BlBench *self, const char *component, const char *result, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  const BlComponent *found = bl_board_component (bl_bench_get_board (self), component);
  const char *mode = "good";

  if (found == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no component “%s”"), component);
      return FALSE;
    }
  if (g_ascii_strcasecmp (result, "good") != 0)
    mode = find_mode (found, result, error);
  return mode != NULL && append_simple (self, BL_RECORD_PART_TEST, component, mode, error);
}

gboolean
bl_bench_begin_round (BlBench *self, const char *condition, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_ROUND, NULL, condition, error);
}

gboolean
bl_bench_symptom (BlBench *self, const char *symptom, gboolean shown, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_SYMPTOM, symptom, shown ? "yes" : "no", error);
}

gboolean
bl_bench_fault_shown (BlBench *self, const char *symptom, const char *seen, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autofree char *text = g_strdup_printf (_ ("shown: %s"), seen);
  g_autoptr (BlRecord) note = bl_record_new (BL_RECORD_NOTE, NULL, text);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_SYMPTOM, symptom, "yes");
  BlRecord *records[] = { note, record };

  return append_those (self, records, G_N_ELEMENTS (records), error);
}

gboolean
bl_bench_note (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_NOTE, NULL, text, error);
}

gboolean
bl_bench_mark (BlBench *self, const char *text, const char *photo, double x, double y, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_MARK, NULL, text);

  record->photo = g_strdup (photo);
  record->x = x;
  record->y = y;
  return bl_bench_append (self, record, error);
}

/* --- striking --- */

gboolean
bl_bench_strike (BlBench *self, gint64 record, const char *reason, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  const BlRecord *found = NULL;

  for (guint i = 0; i < bl_len (self->records); i++)
    if (((BlRecord *) bl_at (self->records, i))->id == record)
      found = bl_at (self->records, i);
  g_autofree char *line = found != NULL ? bl_bench_record_label (self, found) : g_strdup ("");
  g_autofree char *label = g_strdup_printf (_ ("strike %s"), line);
  if (!bl_bench_begin_step (self, label, error))
    return FALSE;
  return bl_library_end_step (self->library, bl_library_strike (self->library, record, TRUE, reason, error), NULL,
                              error)
         && bl_bench_reload (self, error);
}
