/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-response.h"

G_BEGIN_DECLS

/* Between the files that draw readings: levels of the stages (bl-simulate-level.c), values and their
 * texts (bl-simulate-value.c), the draw as a whole (bl-simulate.c). */

/* Values from low to high, as magnitudes (a negative rail's sign reversed). */
typedef struct
{
  double low, high;
} BlSpan;

/* The values that show as a class of a band of values, cut to what is physically sensible where the
 * class has no end; several spans where marks lie inside. Returns: (transfer full) of BlSpan, empty
 * for classes that no value shows as (unsteady, open without a limit). */
GArray *bl_simulate_spans (const BlBand *band, guint class_index);

/* A healthy value of the band, above 0 where there is any: nominal, else the middle, else a limit. */
double bl_simulate_reference (const BlBand *band);

/* A reading that shows as the class, near level times nominal where level is given (NAN: anywhere in
 * the class), written with the digits a meter would show. For an unsteady one level is the lower end
 * of the range. Returns: (transfer full). */
char *bl_simulate_reading (const BlBand *band, guint class_index, double level, GRand *random);

/* The same reading taken once more: its values times factor, with a meter's digits. NULL where it would no longer show
 * as the class. Returns: (transfer full). */
char *bl_simulate_again (const BlBand *band, guint class_index, const BlReading *reading, double factor);

/* The level every measurement is read off (a share of its healthy value), coherent along the feeds,
 * given the active modes and the classes that measurements show; NAN where the class doesn't come
 * from the stage it reads. Returns: (transfer full), one a measurement. */
double *bl_simulate_levels (const BlResponse *response, const guint8 *active, const guint8 *classes,
                            GRand *random);

G_END_DECLS
