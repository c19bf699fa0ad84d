/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-discharge.h"
#include "bl-library.h"
#include "bl-proof-text.h"
#include "bl-safe-limits.h"

G_BEGIN_DECLS

/* What the bench log says about the danger on the bench: the state that was declared, since when, whether a proof of
 * dead still holds, what may still be charged. Derived from the whole log anew; reads no clock: now is UTC, us. */
typedef struct
{
  char *state;           /* declared last; NULL: none. Owned */
  gint64 state_time;     /* when; 0: none */
  gint64 state_restored; /* when that line was struck and restored; 0: never */
  gint64 proof_time;     /* of the last proof of dead; 0: none that still holds */
  double proof_volts;    /* most that it read at a point, V; NAN: no figure was typed */
  gint64 first_below;    /* of the proofs that hold, the first and the last below the limit for ohms; 0: none */
  gint64 last_below;
  gint64 off_time;       /* the board was declared unpowered, after a live state; 0: it is not */
  double charged;        /* highest voltage it may have been charged to since it was proved below that limit; NAN: never
                            live since, or not said */
  gboolean was_live;     /* at all in this job */
} BlSafe;

void bl_safe_clear (BlSafe *self);
/* records: BlRecord in order of time, struck ones too. */
void bl_safe_follow (BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, GPtrArray *records);

/* --- states that end by themselves --- */

/* Seconds until the declared state ends by itself, below 0 after that; NAN: it does not, or none is declared. */
double bl_safe_left_s (const BlSafe *self, const BlBoard *board, gint64 now);

/* --- ohms and diode tests --- */

typedef enum
{
  BL_OHMS_NOT_ASKED, /* the board cannot be live, or is declared live */
  BL_OHMS_NO_PROOF,
  BL_OHMS_NOT_BELOW, /* the proof read more than the limit for ohms, or no figure */
  BL_OHMS_OLD,       /* the proof was not repeated after the time in which a capacitor recovers */
  BL_OHMS_PROVED
} BlOhmsProof;
/* The first proof below the limit holds for limits->again_s. One that is taken after that time holds until the board is
 * live again: by then a capacitor has recovered. */
BlOhmsProof bl_safe_ohms (const BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, gint64 now);

/* --- the charge after switch-off --- */

typedef struct
{
  BlDischarge part;
  double from;               /* V that it may have been charged to */
  double to_shock_s, to_ohms_s; /* from switch-off until below the two limits, on the long side; infinite: never */
  double gone_s;             /* since switch-off */
} BlSafeCharge;
/* FALSE: it is not unpowered after a live state, or nothing is documented. */
gboolean bl_safe_charge (const BlSafe *self, const BlBoard *board, const BlSafeLimits *limits, gint64 now,
                         BlSafeCharge *charge);

/* --- grounds --- */

/* "hot ground": as a sentence has it. (transfer none) */
const char *bl_ground_word (const char *ground);

/* --- power --- */

/* A component whose section has a measured point on hot or mains ground. */
gboolean bl_safe_is_hot_part (const BlBoard *board, const char *component);

G_END_DECLS
