/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Reads the one-line form of expected values into measurement, whose kind is kept: "12 V ±5 %",
 * "4.8..5.2 V", "5 V 4.8..5.2", "< 0.3 V", "> 1M", "yes", for a swing "0..0.4 / 23..24"; "" expects
 * nothing. FALSE with BL_CORE_ERROR_PARSE and the reason; measurement is then half changed, so the
 * caller works on a copy. */
gboolean bl_expected_from_text (BlMeasurement *measurement, const char *text, GError **error);

/* The same text for what a measurement expects now, to be shown and edited; "" when nothing is
 * expected. bl_expected_from_text reads it back. Returns: (transfer full). */
char *bl_expected_to_text (const BlMeasurement *measurement);

G_END_DECLS
