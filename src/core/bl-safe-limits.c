/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From which voltage on a board state is dangerous, by the limits of the shop. A board has some ten states and a
 * hundred measurements; nothing is kept. Whether a board is dead is not said here nor anywhere. */
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

gboolean
bl_safe_state_shocks (const BlBoard *board, const BlState *state, const BlSafeLimits *limits)
{
  g_return_val_if_fail (board != NULL && limits != NULL, TRUE);

  if (state == NULL || state->live < 0)
    return TRUE;
  if (state->live == 0)
    return FALSE;
  if (!(state->volts <= limits->shock_dc))
    return TRUE;
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement->measures == BL_MEASURES_V_AC && g_strcmp0 (measurement->state, state->id) == 0
          && expected_volts (measurement) > limits->shock_ac)
        return TRUE;
    }
  return FALSE;
}

gboolean
bl_measures_drives_current (BlMeasures measures)
{
  return measures == BL_MEASURES_OHM || measures == BL_MEASURES_ESR || measures == BL_MEASURES_DIODE
         || measures == BL_MEASURES_CONTINUITY || measures == BL_MEASURES_INSULATION || measures == BL_MEASURES_F;
}
