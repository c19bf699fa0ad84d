/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The dangers on the bench, followed through the log. A log has some hundred lines; following it takes microseconds.
 *
 * A proof of dead counts in a declared unpowered state only. It is void after any live state or reading in one, and
 * after a voltage above the shock limit that was read although the board is declared unpowered. Lines that were struck
 * void a proof too: to take it again costs a minute, to trust one that is void may cost a life. Nothing here ever says
 * that a board is dead. */
#include "config.h"

#include "bl-safe.h"

#include <math.h>

void
bl_safe_clear (BlSafe *self)
{
  g_free (self->state);
  *self = (BlSafe){ .proof_volts = NAN, .charged = NAN };
}

static void
void_proof (BlSafe *self)
{
  self->proof_time = self->first_below = self->last_below = 0;
  self->proof_volts = NAN;
}

/* The state a line says the board was in; NULL: it says nothing of that. */
static const char *
state_of (const BlRecord *record)
{
  if (record->kind == BL_RECORD_STATE)
    return record->subject;
  return record->kind == BL_RECORD_READING && record->told_by == NULL ? record->state : NULL;
}

static void
follow_live (BlSafe *self, const BlBoard *board, const char *state)
{
  void_proof (self);
  self->was_live = TRUE;
  self->off_time = 0;
  self->charged = fmax (self->charged, bl_discharge_from (board, bl_board_state (board, state)));
}

/* A voltage that was read although the board is declared unpowered. */
static void
follow_voltage (BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, const BlRecord *record)
{
  const BlMeasurement *measurement = record->subject != NULL ? bl_board_measurement (board, record->subject) : NULL;
  BlReading reading;

  if (measurement == NULL || record->text == NULL || record->told_by != NULL
      || (measurement->measures != BL_MEASURES_V_DC && measurement->measures != BL_MEASURES_V_AC)
      || !bl_reading_parse (record->text, measurement->measures, &reading, NULL))
    return;
  double limit = measurement->measures == BL_MEASURES_V_AC ? limits->shock_ac : limits->shock_dc;
  double most = reading.kind == BL_READING_OVER    ? INFINITY
                : reading.kind == BL_READING_RANGE ? fmax (fabs (reading.value), fabs (reading.high))
                : reading.kind == BL_READING_VALUE ? fabs (reading.value)
                                                   : 0;
  if (most > limit)
    void_proof (self);
  else if (most >= limits->ohms_below)
    self->first_below = self->last_below = 0;
}

static void
follow_proof (BlSafe *self, const BlSafeLimits *limits, const BlRecord *record)
{
  BlProofText proof = bl_proof_read (record->text);

  self->proof_time = record->time;
  self->proof_volts = fmax (proof.dc, proof.ac);
  if (self->proof_volts < limits->ohms_below)
    {
      self->last_below = record->time;
      if (self->first_below == 0)
        self->first_below = record->time;
      self->charged = NAN;
    }
  else
    self->first_below = self->last_below = 0;
}

static void
follow_state (BlSafe *self, const BlBoard *board, const BlRecord *record)
{
  g_free (self->state);
  self->state = g_strdup (record->subject);
  self->state_time = record->time;
  self->state_restored = record->restored_time;
  if (self->was_live && self->off_time == 0 && !bl_board_state_may_be_live (board, record->subject))
    self->off_time = record->time;
}

static void
follow_record (BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, const BlRecord *record)
{
  const char *state = state_of (record);

  if (bl_board_state_may_be_live (board, state))
    follow_live (self, board, state);
  else if (record->kind == BL_RECORD_READING)
    follow_voltage (self, board, limits, record);
  if (record->struck)
    return;
  if (record->kind == BL_RECORD_STATE)
    follow_state (self, board, record);
  /* A state that was struck for a while says nothing about what the board was in meanwhile. */
  else if (record->kind == BL_RECORD_PROOF && self->state != NULL && record->time > self->state_restored
           && !bl_board_state_may_be_live (board, self->state))
    follow_proof (self, limits, record);
}

void
bl_safe_follow (BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, GPtrArray *records)
{
  g_return_if_fail (self != NULL && board != NULL && limits != NULL);

  bl_safe_clear (self);
  for (guint i = 0; i < bl_len (records); i++)
    follow_record (self, board, limits, bl_at (records, i));
}
