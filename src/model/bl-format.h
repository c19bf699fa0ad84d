/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* Numbers as the screen and the paper show them, decimal sign by the locale, without the unit.
 * All return (transfer full). */

/* A value of this kind: volts and the like as they stand, ohms, farads and seconds with a prefix. */
char *bl_format_value (BlMeasures measures, double value);
/* "4.8 – 5.2", "≥ 900 k", "≤ 0.3", "yes", "0 – 0.4 / 23 – 24"; "" when the band has no limits. */
char *bl_format_band (const BlBand *band);
/* "11.8", "OL", "3 … 5", "yes", "–". */
char *bl_format_reading (BlMeasures measures, const BlReading *reading);
/* "V DC", "Ω", "°C", "" for a check. (transfer full) */
char *bl_format_unit (BlMeasures measures);
/* "4.8 – 5.2 V DC"; "by M1" where the band follows a reading; the unit alone where nothing is expected. */
char *bl_format_expected (const BlBoard *board, const BlMeasurement *measurement);
/* A point in time (UTC microseconds) as the local day seen from now: "today 09:05", "yesterday 17:30",
 * "3 May 2026". */
char *bl_format_day (gint64 time, gint64 now);
/* The words of a component's kind, the widest last as one says it: "film capacitor" for capacitor.film,
 * "logic IC" for ic.logic; "" for NULL. (transfer full) */
char *bl_format_kind (const char *kind);
/* "95 %", "<1 %", ">99 %". */
char *bl_format_odds (double probability);

G_END_DECLS
