/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-evidence.h"
#include "bl-response.h"

G_BEGIN_DECLS

/* Readings of every measurement on a board with these own events (each "COMPONENT:MODE"); links and
 * show events drawn by their chance, values inside the class that shows and coherent with each other
 * (feeds ordered). Not-reachable ones are left out. condition: of the round ("": none).
 * The same seed gives the same readings. Returns: (transfer full) GPtrArray of BlEntry. */
GPtrArray *bl_simulate (const BlBoard *board, const char *const *faults, guint32 seed, const char *condition,
                        GError **error);

/* The same with exactly these modes active (one flag a mode of the response, which is of this board): nothing but
 * the values is drawn. Returns: (transfer full) GPtrArray of BlEntry, one a measurement in the board's order. */
GPtrArray *bl_simulate_active (const BlBoard *board, const BlResponse *response, const guint8 *active, guint32 seed);

G_END_DECLS
