/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Time in s until a capacitor of c (F) has fallen from `from` to `volts` through a resistor of r (ohm), by
 * V = V0 e^(-t/RC): textbook; IEC 60950-1, 2.1.1.7 has it as "uF times Mohm is s, and to 37 % in that time" (from
 * memory). 0 where it is not above that; infinite where r is (nothing bleeds it), or volts is 0; NAN where something
 * is not known. */
double bl_discharge_time (double from, double volts, double r, double c);

/* What a state of the document says about the charge it leaves: its "capacitor" and "bleeder", components whose values
 * are read. The most they may be, by the tolerance their values say or else the usual one, makes the time long. */
typedef struct
{
  const BlComponent *capacitor, *bleeder; /* bleeder NULL: none is documented. (transfer none) */
  double c, r;           /* F, ohm; r infinite where nothing bleeds it */
  double c_most, r_most; /* with the tolerance */
} BlDischarge;

/* FALSE: the state (may be NULL) says none, or no value of it can be read. */
gboolean bl_discharge_of (const BlBoard *board, const BlState *state, BlDischarge *discharge);

/* Voltage that a board may be charged to by a live state: what that says, else the peak of the mains at its upper
 * tolerance; NAN: nothing is said. */
double bl_discharge_from (const BlBoard *board, const BlState *live);

G_END_DECLS
