/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-private.h"
#include "bl-proving.h"

G_BEGIN_DECLS

/* Place in the log of the line that proving begins after; -1: there is none. */
gssize bl_proving_repair_place (BlBench *bench);
/* The last line of this kind and subject that is not struck; NULL: none. */
const BlRecord *bl_proving_last (BlBench *bench, BlRecordKind kind, const char *subject, gboolean since_repair);
/* It is asked among what the board does, not among what is read on it. */
gboolean bl_proving_is_check (BlBench *bench, BlMeasurementItem *item);
/* A line of kind test that was answered: as expected where yes is as it should be. (transfer full) */
BlRecord *bl_proving_answered (const char *subject, const char *text, gboolean yes);

G_END_DECLS
