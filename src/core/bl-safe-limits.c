/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What in a document is dangerous: states that may be live, those above the limits of the shop, points on the hot
 * side, leads on two grounds. A board has some ten states and a hundred measurements; nothing is kept. Whether a board is dead is not said here nor anywhere. */
#include "config.h"

#include "bl-safe-limits.h"

#include <math.h>

static gboolean
mend (double *value, double usual)
{
  if (isfinite (*value) && *value > 0)
    return FALSE;
  *value = usual;
  return TRUE;
}

gboolean
bl_safe_limits_mend (BlSafeLimits *limits)
{
  g_return_val_if_fail (limits != NULL, FALSE);
  gboolean mended = mend (&limits->shock_dc, BL_SAFE_SHOCK_DC);

  mended |= mend (&limits->shock_ac, BL_SAFE_SHOCK_AC);
  mended |= mend (&limits->ohms_below, BL_SAFE_OHMS_BELOW);
  mended |= mend (&limits->again_s, BL_SAFE_AGAIN_S);
  return mended;
}

/* The most that is expected there; NAN: nothing is. */
static double
expected_volts (const BlMeasurement *measurement)
{
  const BlExpected *expected = &measurement->expected;

  return fmax (fabs (expected->nominal.value), fabs (expected->high.value));
}

double
bl_safe_state_volts_ac (const BlBoard *board, const BlState *state)
{
  g_return_val_if_fail (board != NULL && state != NULL, 0);
  double volts = 0;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement->measures == BL_MEASURES_V_AC && g_strcmp0 (measurement->state, state->id) == 0)
        volts = fmax (volts, expected_volts (measurement));
    }
  return volts;
}

gboolean
bl_safe_volts_shock (double volts, double volts_ac, const BlSafeLimits *limits)
{
  g_return_val_if_fail (limits != NULL, TRUE);
  return !(volts <= limits->shock_dc) || volts_ac > limits->shock_ac;
}

gboolean
bl_safe_state_shocks (const BlBoard *board, const BlState *state, const BlSafeLimits *limits)
{
  g_return_val_if_fail (board != NULL && limits != NULL, TRUE);

  if (state == NULL || state->live < 0)
    return TRUE;
  return state->live != 0 && bl_safe_volts_shock (state->volts, bl_safe_state_volts_ac (board, state), limits);
}

gboolean
bl_measures_drives_current (BlMeasures measures)
{
  return measures == BL_MEASURES_OHM || measures == BL_MEASURES_ESR || measures == BL_MEASURES_DIODE
         || measures == BL_MEASURES_CONTINUITY || measures == BL_MEASURES_INSULATION || measures == BL_MEASURES_F;
}

gboolean
bl_board_state_may_be_live (const BlBoard *board, const char *state)
{
  const BlState *found = state != NULL ? bl_board_state (board, state) : NULL;
  return state != NULL && (found == NULL || found->live != 0);
}

gboolean
bl_board_may_be_live (const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    if (((BlState *) bl_at (board->states, i))->live != 0)
      return TRUE;
  return FALSE;
}

gboolean
bl_safe_grounds (const BlBoard *board, const BlMeasurement *measurement, const BlTestPoint **at,
                 const BlTestPoint **black)
{
  *at = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  *black = measurement->black != NULL ? bl_board_test_point (board, measurement->black) : NULL;
  return *at != NULL && *black != NULL && (*at)->ground != NULL && (*black)->ground != NULL
         && !g_str_equal ((*at)->ground, (*black)->ground);
}

gboolean
bl_point_is_hot (const BlBoard *board, const char *point)
{
  const BlTestPoint *found = point != NULL ? bl_board_test_point (board, point) : NULL;

  return found != NULL && (g_strcmp0 (found->ground, "hot") == 0 || g_strcmp0 (found->ground, "mains") == 0);
}
