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

/* --- proof --- */

/* "V", "VAC", "volts", what may stand behind a figure; ac: it says that it is alternating. */
static gboolean
is_unit (const char *word, gboolean *ac)
{
  static const char *const dc_words[] = { "V", "VDC", "DC", "volt", "volts" };
  static const char *const ac_words[] = { "VAC", "AC", "V~", "~" };

  for (guint i = 0; i < G_N_ELEMENTS (ac_words); i++)
    if (g_ascii_strcasecmp (word, ac_words[i]) == 0)
      return *ac = TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (dc_words); i++)
    if (g_ascii_strcasecmp (word, dc_words[i]) == 0)
      return TRUE;
  return FALSE;
}

typedef struct
{
  double value;
  gboolean ac;
} Figure;

/* The figures in V of what was typed, in order; words between them do not matter. */
static GArray *
figures_in (const char *text)
{
  g_auto (GStrv) words = g_strsplit_set (text != NULL ? text : "", " ;/\t", -1);
  GArray *figures = g_array_new (FALSE, FALSE, sizeof (Figure));
  gboolean behind = FALSE; /* a figure: what follows may be its unit */

  for (guint i = 0; words[i] != NULL; i++)
    {
      gsize length = strlen (words[i]);
      Figure figure = { NAN, FALSE };
      if (length > 0 && words[i][length - 1] == ',')
        words[i][length - 1] = '\0';
      if (bl_quantity_parse (words[i], "V", &figure.value, NULL))
        {
          g_array_append_val (figures, figure);
          behind = TRUE;
        }
      else if (*words[i] != '\0')
        behind = behind && is_unit (words[i], &g_array_index (figures, Figure, figures->len - 1).ac);
    }
  return figures;
}

BlProofText
bl_proof_read (const char *text)
{
  g_autoptr (GArray) figures = figures_in (text);
  BlProofText proof = { figures->len, NAN, NAN };

  /* Between the first and the last, which are the source. */
  for (guint i = 1; i + 1 < figures->len; i++)
    {
      const Figure *figure = &g_array_index (figures, Figure, i);
      double *most = figure->ac ? &proof.ac : &proof.dc;
      *most = fmax (*most, fabs (figure->value));
    }
  return proof;
}
