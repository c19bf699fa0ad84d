/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-shop-meter.h"

G_BEGIN_DECLS

/* What has to be said about a meter at a measurement and after a reading. Sentences, translated; all return
 * (transfer full), and NULL where there is nothing to say. meter may be NULL: only an accuracy is known. */

/* Before it is read: a kind the meter cannot measure, a wave it is wrong on and by how much, with the expected
 * value as it would show it, a source of high resistance with an unknown input. */
char *bl_meter_warning (const BlShopMeter *meter, const char *spec, const BlBoard *board,
                        const BlMeasurement *measurement, const BlBand *band);
/* "reads 11 % high on a square wave"; for an averaging meter. */
char *bl_meter_wave_words (const BlMeasurement *measurement);
/* "corrected from 4.76 V for a 10 MΩ meter on 500 kΩ": the reading as it counts has been raised. */
char *bl_meter_loading_words (const BlReading *reading, const BlMeasurement *measurement, const char *spec,
                              double source_ohm);
/* An AC voltage far below its band on a meter of high input resistance may come from an open contact. */
char *bl_meter_ghost_words (const BlReading *reading, const BlMeasurement *measurement, const BlBand *band,
                            const char *spec);
/* "±0.038 V" of a reading: the limit of error, not u. */
char *bl_meter_error_words (const BlReading *reading, const BlMeasurement *measurement, const char *spec,
                            double source_ohm);
/* "Handheld: calibration due on 1 March 2026", "... was due on ...", NULL while it is not within 30 days. */
char *bl_meter_calibration_words (const BlShopMeter *meter, gint64 now);
/* "last calibrated 1 March 2025, due 1 March 2026", for a list. Never NULL. */
char *bl_meter_calibration_state (const BlShopMeter *meter, gint64 now);

/* Resistance of the source at the measurement's point, ohm; NAN: not known. */
double bl_measurement_source_ohm (const BlBoard *board, const BlMeasurement *measurement);

G_END_DECLS
