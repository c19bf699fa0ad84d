/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* TRUE when a reading is more than ten times beyond everything known of its measurement: the limits
 * of its band, its marks, and the volts of the board's state for what is measured in volts. To be
 * asked about, never refused: the meter may be right. band may be NULL; volts NAN: not known. Never
 * for resistances, which an open part or a spoilt contact makes as large as any meter shows. */
gboolean
bl_reading_is_far (BlMeasures measures, const BlBand *band, double volts, const BlReading *reading);

G_END_DECLS
