/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* Where a band comes from, in words. A band whose source nobody said says so. */

/* At most some thirty characters: "follows LN (218)", "read LN first", "data sheet of the 78xx series",
 * "source not said"; "" where nothing is expected. band: as it is now, NULL: none. followed: the reading
 * it follows, NAN: unread. (transfer full) */
char *bl_band_from_short (const BlMeasurement *measurement, const BlBand *band, double followed);
/* All of it: "follows LN (supply at the terminals, 218 V AC): 296.1 – 314.4 V DC. computed: ..." (transfer full) */
char *bl_band_from_long (const BlBoard *board, const BlMeasurement *measurement, const BlBand *band, double followed);
/* The same for a band that a reading was judged by, which knows less: what it followed and its source. band may
 * be NULL: "". (transfer full) */
char *bl_band_from_kept (const BlBand *band);

G_END_DECLS
