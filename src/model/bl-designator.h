/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Reference designators: a class letter or two and a number, R12, TP5. */

/* Length of the letters an id begins with; 0 where it begins with anything else. */
gsize bl_designator_letters (const char *id);

/* The kind of component that the letters mean by common practice, "resistor" for R12; NULL: none.
 * (transfer none) */
const char *bl_designator_kind (const char *id);

/* The kind of a new component: as the one of the board with the same letters that stands nearest before it
 * in number, else after it, else by common practice, else `otherwise`. (transfer full) */
char *bl_designator_guess_kind (const BlBoard *board, const char *id, const char *otherwise);

/* The id itself where it is free, else the first free after it: R12, R13 ...; zeros in front stay: R07, R08.
 * Letters behind the number are left out: Q1A, Q2. taken: set of ids that are not free, compared without
 * case. (transfer full) */
char *bl_designator_free (const char *id, GHashTable *taken);
/* The next number, whether free or not. (transfer full) */
char *bl_designator_next (const char *id);

/* A set for bl_designator_free (). */
GHashTable *bl_designator_set_new (void);
void bl_designator_set_add (GHashTable *set, const char *id);
gboolean bl_designator_set_has (GHashTable *set, const char *id);

/* Orders K2 before K10: runs of digits by their number, the rest without case. */
int bl_designator_compare (const char *a, const char *b);

G_END_DECLS
