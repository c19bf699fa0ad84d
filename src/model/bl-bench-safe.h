/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-safe.h"

G_BEGIN_DECLS

/* The shop's limits, until other ones are set: BL_SAFE_LIMITS. */
void bl_bench_set_limits (BlBench *self, const BlSafeLimits *limits);
const BlSafeLimits *bl_bench_get_limits (BlBench *self);

/* Seconds until the declared state ends by itself, below 0 after that; NAN: it does not. */
double bl_bench_left_s (BlBench *self);
/* What is to be said of a reading taken there now, because the state ran out on the clock: it may show that and no
 * fault. NULL: nothing. Returns: (transfer full). */
char *bl_bench_over_words (BlBench *self, BlMeasurementItem *item);

/* What may still be charged, after a live state was left for an unpowered one. FALSE: nothing is known of that. */
gboolean bl_bench_get_charge (BlBench *self, BlSafeCharge *charge);
/* "C1 330 µF through R2 220 kΩ, from 360 V: below 60 V after 2:44, below 10 V after 5:28"; caution: and what that is
 * worth. Returns: (transfer full). */
char *bl_charge_words (const BlSafeCharge *charge, const BlSafeLimits *limits);
const char *bl_charge_caution (const BlSafeCharge *charge);
/* "2:44", "1:02:44"; seconds may be infinite. Returns: (transfer full). */
char *bl_clock_words (double seconds);

/* Whether a reading would be kept as taken without proof of dead, but for those that prove it. */
gboolean bl_bench_is_unproven (BlBench *self, const BlMeasurement *measurement);
BlOhmsProof bl_bench_ohms_proof (BlBench *self);
/* What has to be done before this ohm or diode test; NULL: nothing, or it is none. Returns: (transfer full). */
char *bl_bench_ohms_words (BlBench *self, BlMeasurementItem *item);

/* "DIFFERENT GROUNDS: TP5 is isolated ground, black lead TPBN is hot ground"; NULL: they are not. Returns:
 * (transfer full). */
char *bl_bench_grounds_words (BlBench *self, BlMeasurementItem *item);

G_END_DECLS
