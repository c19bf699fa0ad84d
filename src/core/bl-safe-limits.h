/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What a shop takes for dangerous. Its own values; these are where it begins. They are reminders of a program, no
 * permission: local codes and licensed practice come first. */
typedef struct
{
  double shock_dc;   /* V; above it a direct voltage gives a shock */
  double shock_ac;   /* V r.m.s. */
  double ohms_below; /* V; ohms and diode tests want the point proved below it */
  double again_s;    /* s after which that proof is asked for again, for a capacitor recovers */
} BlSafeLimits;

/* 60 V DC and 30 V r.m.s.: energy source class ES1 of IEC 62368-1, table 4 (from memory; the same two figures stand in
 * IEC 61010-1, 6.3.1 for normal condition, from memory). IEC 61140 has 25 V AC and 60 V DC where no protection against
 * touching is asked for in dry places (from memory): a shop that goes by it enters 25.
 * 10 V and a minute: common practice, no source. */
#define BL_SAFE_SHOCK_DC 60.0
#define BL_SAFE_SHOCK_AC 30.0
#define BL_SAFE_OHMS_BELOW 10.0
#define BL_SAFE_AGAIN_S 60.0
#define BL_SAFE_LIMITS                                                                                               \
  ((BlSafeLimits){ BL_SAFE_SHOCK_DC, BL_SAFE_SHOCK_AC, BL_SAFE_OHMS_BELOW, BL_SAFE_AGAIN_S })

/* TRUE where what is not a positive number in limits had to be put back to where a shop begins. */
gboolean bl_safe_limits_mend (BlSafeLimits *limits);

/* TRUE for a state with more than a shock limit, or of unknown voltage. Its "volts" is taken for a direct voltage; it
 * is above the limit too where a reading of V AC expected in it is above that of AC. state NULL, or not said whether it
 * is live: TRUE; an unpowered one: FALSE. */
gboolean bl_safe_state_shocks (const BlBoard *board, const BlState *state, const BlSafeLimits *limits);
/* The highest V AC expected to be read in a state; 0: none is. */
double bl_safe_state_volts_ac (const BlBoard *board, const BlState *state);
/* The same question of figures that were taken from states: volts NAN or INFINITY: not said how high. What is not live
 * has 0 and 0. */
gboolean bl_safe_volts_shock (double volts, double volts_ac, const BlSafeLimits *limits);

/* TRUE for what drives a current of the meter through the board: ohm, ESR, diode, continuity, insulation, F. */
gboolean bl_measures_drives_current (BlMeasures measures);

/* FALSE only where the document says that the state is unpowered: what is not said, and a state that the document no
 * longer has, is taken for live. state NULL: FALSE. */
gboolean bl_board_state_may_be_live (const BlBoard *board, const char *state);
/* TRUE for a board with a state that may be live: only such a board needs a proof of dead. */
gboolean bl_board_may_be_live (const BlBoard *board);

/* The two grounds a measurement joins by its leads, where they differ. */
gboolean bl_safe_grounds (const BlBoard *board, const BlMeasurement *measurement, const BlTestPoint **at,
                          const BlTestPoint **black);
/* TRUE for a test point on hot or mains ground. point NULL, or none of the board: FALSE. */
gboolean bl_point_is_hot (const BlBoard *board, const char *point);

G_END_DECLS
