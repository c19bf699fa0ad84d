/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"
#include "bl-limits.h"
#include "bl-preset.h"

G_BEGIN_DECLS

/* Ways to give a measurement its band, each one labelled step of undo, refused with the reason where the document's
 * rules would be broken. */

/* Takes band and source from a row of the component limits. */
gboolean bl_edition_take_limit (BlEdition *self, const char *measurement, const BlLimit *limit, GError **error);

/* Lets the band follow other along a formula from from to to; the source says the formula. A measurement that reads
 * the output of a stage is expected to be there whatever the other reads: below from the line stays level, so that
 * a supply that is missing reads as absent and not as expected. The width stays, or is 5 % to begin with. */
gboolean bl_edition_follow (BlEdition *self, const char *measurement, const char *other, const BlPreset *preset,
                            double from, double to, GError **error);
/* Replaces the points of the line: double pairs x, y, sorted here. Steps of one drag merge until the edition is
 * settled. Points of the same x are refused. */
gboolean bl_edition_set_line (BlEdition *self, const char *measurement, const GArray *points, GError **error);

/* Where readings of a measurement may lie, to draw or compute a line over: 20 % beyond its limits, or about its
 * nominal value; degrees -20 to 80; else 0 to 1. */
void bl_measurement_range (const BlMeasurement *measurement, double *from, double *to);

/* What a measurement usually reads, to show what is to be expected where it is followed: its nominal value, of a
 * temperature without one 25 degC; NAN: it has none. */
double bl_measurement_typical (const BlMeasurement *measurement);

/* Which formulas can be meant between measurements of these kinds: V AC to V DC rectifiers, degrees to ohms
 * sensors ... */
gboolean bl_preset_fits (BlPresetKind kind, BlMeasures from, BlMeasures to);

G_END_DECLS
