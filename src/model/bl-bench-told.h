/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* Readings that somebody else took elsewhere and told: by phone, on a sheet. */

/* How likely such a reading is another one than was meant; own choice, and what the document says where that is
 * more. */
#define BL_TOLD_MISREAD 0.15

/* Who took what is entered from now on; NULL or blank: whoever is at the bench. Emits "changed" of the bench. It is
 * forgotten with the bench. A reading that is told says nothing about the state of the board on the bench, is not
 * taken with its meter, and needs no proof of dead here. */
void bl_bench_set_told_by (BlBench *self, const char *name);
const char *bl_bench_get_told_by (BlBench *self);
/* The name last told by in this job, struck lines too; NULL: none. (transfer none), until "changed" */
const char *bl_bench_last_told_by (BlBench *self);

/* Keeps one reading of any measurement of the job, told by name; what is in hand and who is entered from now on stay.
 * "-" is not reached, with its reason. */
gboolean bl_bench_enter_told (BlBench *self, const char *measurement, const char *text, const char *name,
                              GError **error);

/* "told by NAME"; NULL: it was read at the bench. (transfer full) */
char *bl_record_told_words (const BlRecord *record);
/* The same of the last reading of a measurement that is not struck. (transfer full) */
char *bl_bench_told_words (BlBench *self, const char *measurement);

G_END_DECLS
