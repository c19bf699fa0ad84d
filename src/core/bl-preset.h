/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What one measurement follows from another, computed: lines to begin a followed band with. All values in SI
 * base units and degrees Celsius. */
typedef enum
{
  BL_PRESET_FULL_WAVE,  /* V DC behind a bridge and capacitor: sqrt 2 x - 2 a; a: drop of a diode, V */
  BL_PRESET_HALF_WAVE,  /* behind one diode and capacitor: sqrt 2 x - a */
  BL_PRESET_RATIO,      /* a x + b */
  BL_PRESET_DIVIDER,    /* x b/(a + b): a from the rail to the node, b from the node to 0 V, ohm */
  BL_PRESET_BETA,       /* thermistor, ohm at x degC: a exp(b (1/T - 1/298.15 K)); a: at 25 degC, b: K */
  BL_PRESET_TYPE_1,     /* thermistor of the published curve of material type 1; a: at 25 degC */
  BL_PRESET_PLATINUM,   /* platinum sensor of IEC 60751; a: ohm at 0 degC (Pt100: 100) */
  BL_N_PRESETS
} BlPresetKind;

typedef struct
{
  BlPresetKind kind;
  double a, b;
} BlPreset;

/* Usual values of a and b. */
BlPreset bl_preset_usual (BlPresetKind kind);
/* y at x; NAN outside what the formula or the published table is for (BETA and TYPE_1: -40..125, PLATINUM:
 * -200..850 degC). A rectifier gives no less than 0. */
double bl_preset_at (const BlPreset *preset, double x);
/* Points of a line from from to to that leaves the curve by at most 0.5 % between them (of 15 % of the
 * largest value where the curve is below that): double pairs, x rising, 2 to 65 points. NULL with
 * BL_CORE_ERROR_INVALID where the formula is not for these values. (transfer full) */
GArray *bl_preset_points (const BlPreset *preset, double from, double to, GError **error);
/* The formula as it is written down as the source of a band: "computed: √2 × LN − 2 × 0.9 V, capacitor behind
 * a bridge, no load". followed: what is called x. (transfer full) */
char *bl_preset_words (const BlPreset *preset, const char *followed);

/* Peak to peak ripple on a capacitor of farad behind a rectifier, V: amperes/(pulses frequency farad), pulses 2
 * for a full and 1 for a half wave. Linear discharge between peaks, published as Vpp = I/(2 f C). */
double bl_ripple_pp (double amperes, double frequency, double farad, int pulses);

G_END_DECLS
