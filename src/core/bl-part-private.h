/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the readers of codes share; bl-part-code.h is for everybody else. */
#pragma once

#include "bl-part-code.h"

G_BEGIN_DECLS

typedef struct
{
  BlPartFamily family;
  const char *kind;
  GPtrArray *meanings; /* BlPartMeaning, as found */
} BlPartReader;

/* "ohm", "F", "H", "V". */
const char *bl_part_unit (BlPartFamily family);
/* The kind is this one or one below it ("capacitor.film" is below "capacitor"). */
gboolean bl_part_is (const char *kind, const char *above);

/* digits times 10^exponent as the nearest double; digits may have a point. */
double bl_part_number (const char *digits, int exponent);

/* Adds a meaning; letter: of its tolerance, 0: none. how: (transfer full). rank: see BlPartMeaning.
 * A letter that says no tolerance adds nothing. Returns what was added, for more to be said of it. */
BlPartMeaning *bl_part_add (BlPartReader *reader, double value, char letter, int rank, char *how);

/* Sorts by rank; meanings of one rank stay in the order they were found in. */
void bl_part_sort (GPtrArray *meanings);

/* The readers: each adds the meanings that a text (ASCII, without tolerance and ratings behind a blank)
 * has in its notation, if any. */
void bl_part_read_letters (BlPartReader *reader, const char *code);
void bl_part_read_chip (BlPartReader *reader, const char *code);
void bl_part_read_plain (BlPartReader *reader, const char *code);

G_END_DECLS
