/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions about the dangers on the bench, answered from what the log says and the time. Arithmetic only: the log is
 * followed in bl-safe-follow.c, the words are in bl-bench-safe.c. */
#include "config.h"

#include "bl-safe.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

static double
seconds (gint64 from, gint64 to)
{
  return (double) (to - from) / G_USEC_PER_SEC;
}

double
bl_safe_left_s (const BlSafe *self, const BlBoard *board, gint64 now)
{
  const BlState *state = self->state != NULL ? bl_board_state (board, self->state) : NULL;

  if (state == NULL || !(state->lasts_s > 0) || self->state_time == 0)
    return NAN;
  return state->lasts_s - seconds (self->state_time, now);
}

BlOhmsProof
bl_safe_ohms (const BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, gint64 now)
{
  if (!bl_board_may_be_live (board) || bl_board_state_may_be_live (board, self->state))
    return BL_OHMS_NOT_ASKED;
  if (self->proof_time == 0)
    return BL_OHMS_NO_PROOF;
  if (self->last_below == 0)
    return BL_OHMS_NOT_BELOW;
  /* A clock that was set back makes nothing fresh; lines of one moment have rising times, though. */
  double age = seconds (self->first_below, now);
  if ((age > -1 && age < limits->again_s) || seconds (self->first_below, self->last_below) >= limits->again_s)
    return BL_OHMS_PROVED;
  return BL_OHMS_OLD;
}

gboolean
bl_safe_charge (const BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, gint64 now, BlSafeCharge *charge)
{
  const BlState *state = self->state != NULL ? bl_board_state (board, self->state) : NULL;

  if (self->off_time == 0 || isnan (self->charged) || !bl_discharge_of (board, state, &charge->part))
    return FALSE;
  charge->from = self->charged;
  charge->gone_s = MAX (0, seconds (self->off_time, now));
  charge->to_shock_s
    = bl_discharge_time (charge->from, limits->shock_dc, charge->part.r_most, charge->part.c_most);
  charge->to_ohms_s
    = bl_discharge_time (charge->from, limits->ohms_below, charge->part.r_most, charge->part.c_most);
  return TRUE;
}

const char *
bl_ground_word (const char *ground)
{
  static const struct
  {
    const char *name, *words;
  } rows[] = { { "hot", N_ ("hot ground") },
               { "isolated", N_ ("isolated ground") },
               { "mains", N_ ("mains") },
               { "earth", N_ ("earth") } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    if (g_strcmp0 (ground, rows[i].name) == 0)
      return _ (rows[i].words);
  return ground;
}

gboolean
bl_safe_is_hot_part (const BlBoard *board, const char *component)
{
  g_return_val_if_fail (board != NULL && component != NULL, FALSE);
  const BlComponent *found = bl_board_component (board, component);
  const BlStage *stage = found != NULL && found->stage != NULL ? bl_board_stage (board, found->stage) : NULL;

  for (guint i = 0; stage != NULL && i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (bl_measurement_section (board, measurement), stage->section) == 0
          && (bl_point_is_hot (board, measurement->at) || bl_point_is_hot (board, measurement->black)))
        return TRUE;
    }
  return FALSE;
}
