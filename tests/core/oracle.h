/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>

/* The diagnosis by brute force: every combination of all basic events is tried and weighed. Reads
 * the board document and the readings table itself and shares no code with the engine, so that both
 * can only agree by both being right. document: JSON text; table: CSV text with its header.
 * Returns the object that the engine should print (lists unordered), or NULL when the evidence has
 * probability zero. spoil: multiplies the weight of one event, to prove that a wrong number is
 * noticed (1: none). (transfer full) */
json_t *oracle_diagnose (const char *document, const char *table, double spoil);

/* The odds that at least one own event of each set happened; sets: NULL-terminated, of "COMPONENT:MODE",
 * at most ORACLE_UNIONS. FALSE when the evidence has probability zero. */
enum { ORACLE_UNIONS = 16 };
gboolean oracle_unions (const char *document, const char *table, char ***sets, double *odds);

/* Number of basic events that it would have to enumerate, setups (done in an inner loop) apart. */
guint oracle_size (const char *document, const char *table, guint *setups);
