/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the open job says about danger, in words: a state that ran out, a charge that may still be there, proofs that
 * ohms and diode tests ask for, leads on different grounds. It asks and tells; it never refuses an entry, and never
 * says that a board is dead or safe. Nothing is kept here; the rules are in bl-safe.c. */
#include "config.h"

#include "bl-bench-safe.h"

#include "bl-bench-private.h"
#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>
#include <math.h>

void
bl_bench_set_limits (BlBench *self, const BlSafeLimits *limits)
{
  g_return_if_fail (BL_IS_BENCH (self) && limits != NULL);

  self->limits = *limits;
  bl_safe_limits_mend (&self->limits);
  bl_bench_follow_safe (self);
}

const BlSafeLimits *
bl_bench_get_limits (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return &self->limits;
}

char *
bl_clock_words (double seconds)
{
  if (!isfinite (seconds) || seconds > 359999)
    return g_strdup ("–");
  guint all = (guint) MAX (0, ceil (seconds)), hours = all / 3600;

  return hours > 0 ? g_strdup_printf ("%u:%02u:%02u", hours, all / 60 % 60, all % 60)
                   : g_strdup_printf ("%u:%02u", all / 60, all % 60);
}

/* --- states that run out --- */

double
bl_bench_left_s (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NAN);
  return bl_safe_left_s (&self->safe, bl_bench_get_board (self), bl_library_now ());
}

char *
bl_bench_over_words (BlBench *self, BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlState *state = bl_bench_get_state (self);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  double left = bl_bench_left_s (self);

  if (!(left <= 0) || g_strcmp0 (measurement->state, state->id) != 0)
    return NULL;
  g_autofree char *lasts = bl_clock_words (state->lasts_s), *ago = bl_clock_words (-left);
  return g_strdup_printf (_ ("This state lasts %s and ran out %s ago: what is read now may show that, and no fault. "
                             "F2 declares it again."),
                          lasts, ago);
}

/* --- the charge --- */

gboolean
bl_bench_get_charge (BlBench *self, BlSafeCharge *charge)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && charge != NULL, FALSE);
  return bl_safe_charge (&self->safe, bl_bench_get_board (self), &self->limits, bl_library_now (), charge);
}

char *
bl_charge_words (const BlSafeCharge *charge, const BlSafeLimits *limits)
{
  g_return_val_if_fail (charge != NULL && limits != NULL, NULL);
  g_autofree char *c = bl_quantity_format (charge->part.c, "F", 3);

  if (isinf (charge->part.r))
    return g_strdup_printf (_ ("%s %s may hold %.0f V, and no part is documented that bleeds it."),
                            charge->part.capacitor->id, c, charge->from);
  g_autofree char *r = bl_quantity_format (charge->part.r, "ohm", 3);
  g_autofree char *shock = bl_clock_words (charge->to_shock_s), *ohms = bl_clock_words (charge->to_ohms_s);
  return g_strdup_printf (_ ("%s %s through %s %s, from %.0f V: below %g V after %s, below %g V after %s."),
                          charge->part.capacitor->id, c, charge->part.bleeder->id, r, charge->from, limits->shock_dc,
                          shock, limits->ohms_below, ohms);
}

const char *
bl_charge_caution (const BlSafeCharge *charge)
{
  g_return_val_if_fail (charge != NULL, NULL);
  if (isinf (charge->part.r))
    return _ ("How fast it leaks by itself is not known: only the proof counts.");
  return _ ("A bleeder that failed discharges nothing: only the proof counts.");
}

/* --- proof for ohms --- */

BlOhmsProof
bl_bench_ohms_proof (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), BL_OHMS_NOT_ASKED);
  return bl_safe_ohms (&self->safe, bl_bench_get_board (self), &self->limits, bl_library_now ());
}

gboolean
bl_bench_is_unproven (BlBench *self, const BlMeasurement *measurement)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && measurement != NULL, FALSE);
  const BlBoard *board = bl_bench_get_board (self);

  if (bl_board_state_may_be_live (board, measurement->state) || !bl_board_may_be_live (board)
      || measurement->measures == BL_MEASURES_CHECK)
    return FALSE;
  return bl_bench_get_hazard (self) != BL_HAZARD_PROVEN
         || (bl_measures_drives_current (measurement->measures) && bl_bench_ohms_proof (self) != BL_OHMS_PROVED);
}

static char *
proof_words (BlBench *self, BlOhmsProof proof)
{
  g_autofree char *ago = NULL;
  double limit = self->limits.ohms_below;

  switch (proof)
    {
    case BL_OHMS_NO_PROOF:
      return g_strdup_printf (_ ("Before ohms and diode tests: prove it below %g V, Ctrl D."), limit);
    case BL_OHMS_NOT_BELOW:
      if (isnan (self->safe.proof_volts))
        return g_strdup_printf (_ ("The proof of dead has no figure: ohms want it below %g V, Ctrl D."), limit);
      return g_strdup_printf (_ ("The last voltage read is %g V or more: ohms want it proved below that, Ctrl D."),
                              limit);
    case BL_OHMS_OLD:
      ago = bl_clock_words ((double) (bl_library_now () - self->safe.last_below) / G_USEC_PER_SEC);
      return g_strdup_printf (_ ("Proved %s ago, and a capacitor recovers: prove it below %g V again, Ctrl D."), ago,
                              limit);
    case BL_OHMS_NOT_ASKED:
    case BL_OHMS_PROVED:
    default:
      return NULL;
    }
}

char *
bl_bench_ohms_words (BlBench *self, BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);

  if (!bl_measures_drives_current (measurement->measures)
      || bl_board_state_may_be_live (bl_bench_get_board (self), measurement->state))
    return NULL;
  return proof_words (self, bl_bench_ohms_proof (self));
}

/* --- grounds --- */

char *
bl_bench_grounds_words (BlBench *self, BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlTestPoint *at, *black;

  if (!bl_safe_grounds (bl_bench_get_board (self), bl_measurement_item_get_measurement (item), &at, &black))
    return NULL;
  return g_strdup_printf (_ ("DIFFERENT GROUNDS: %s is %s, black lead %s is %s"), at->id, bl_ground_word (at->ground),
                          black->id, bl_ground_word (black->ground));
}
