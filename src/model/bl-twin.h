/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* Another board read beside the one in hand, point by point: its document and the readings of its jobs,
 * or what its document expects where nobody read. A copy of how things stood when it was made. */
typedef struct BlTwin BlTwin;

BlTwin *bl_twin_new (BlLibrary *library, gint64 board, GError **error);
void bl_twin_free (BlTwin *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTwin, bl_twin_free)
const BlBoard *bl_twin_get_board (BlTwin *self);

/* The twin's measurement that compares with this one: the same point, kind and board state; NULL: none. */
const BlMeasurement *bl_twin_find (BlTwin *self, const BlMeasurement *measurement);
/* Its newest reading that is not struck; NULL: nobody read it. */
const BlRecord *bl_twin_record (BlTwin *self, const BlMeasurement *of_twin);
/* "11.8 V DC", "expected 11.4 – 12.6 V DC", "": what stands beside a point of the twin. (transfer full) */
char *bl_twin_words (BlTwin *self, const char *point);

/* TRUE when the reading of item is not as on the twin: judged otherwise where both were judged by a band;
 * else of another kind (open, unsteady, no), or apart by more than both uncertainties and what two good
 * boards differ by. Against a twin that was not read: outside what its document expects. */
gboolean bl_twin_differs (BlTwin *self, BlMeasurementItem *item);

G_END_DECLS
