/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a board may still hold a charge after power is off: arithmetic on two documented components. It errs on the
 * long side, and it is no proof of anything: a bleeder that failed open discharges nothing, and how fast a capacitor
 * loses its charge by its own leakage is not known. */
#include "config.h"

#include "bl-discharge.h"

#include "bl-part-code.h"

#include <math.h>

/* Where a value says no tolerance. Electrolytic capacitors are commonly made to 20 %, resistors to 5 %: common practice,
 * no source. */
#define USUAL_C 0.2
#define USUAL_R 0.05
#define MAINS_MOST 1.1 /* of its nominal voltage: EN 50160 and IEC 60038, plus 10 % (from memory) */

double
bl_discharge_time (double from, double volts, double r, double c)
{
  if (isnan (from) || isnan (volts) || isnan (r) || isnan (c))
    return NAN;
  if (from <= volts)
    return 0;
  if (isinf (r) || volts <= 0)
    return INFINITY;
  return r * c * log (from / volts);
}

/* Likeliest value of a component and the most it may be; NAN where it cannot be read as this. */
static double
value_of (const BlComponent *component, BlPartFamily family, double usual, double *most)
{
  g_autoptr (GPtrArray) meanings = NULL;

  *most = NAN;
  if (component == NULL || component->value == NULL || bl_part_family (component->kind) != family)
    return NAN;
  meanings = bl_part_read (component->value, component->kind, NULL);
  if (meanings == NULL || meanings->len == 0)
    return NAN;
  const BlPartMeaning *meaning = bl_at (meanings, 0);
  double share = isnan (meaning->above) ? usual : meaning->absolute ? meaning->above / meaning->value : meaning->above;
  if (!(meaning->value > 0))
    return NAN;
  *most = meaning->value * (1 + share);
  return meaning->value;
}

gboolean
bl_discharge_of (const BlBoard *board, const BlState *state, BlDischarge *discharge)
{
  g_return_val_if_fail (board != NULL && discharge != NULL, FALSE);

  *discharge = (BlDischarge){ NULL, NULL, NAN, INFINITY, NAN, INFINITY };
  if (state == NULL || state->capacitor == NULL)
    return FALSE;
  discharge->capacitor = bl_board_component (board, state->capacitor);
  discharge->c = value_of (discharge->capacitor, BL_PART_CAPACITOR, USUAL_C, &discharge->c_most);
  if (isnan (discharge->c))
    return FALSE;
  if (state->bleeder == NULL)
    return TRUE;
  discharge->bleeder = bl_board_component (board, state->bleeder);
  discharge->r = value_of (discharge->bleeder, BL_PART_RESISTOR, USUAL_R, &discharge->r_most);
  return !isnan (discharge->r);
}

double
bl_discharge_from (const BlBoard *board, const BlState *live)
{
  g_return_val_if_fail (board != NULL, NAN);

  if (live != NULL && isfinite (live->volts))
    return live->volts;
  return board->has_mains ? board->mains_voltage * G_SQRT2 * MAINS_MOST : NAN;
}
