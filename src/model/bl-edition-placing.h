/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"
#include "bl-slot.h"

G_BEGIN_DECLS

/* Placing one thing after the other: components (BL_ELEMENT_COMPONENT) and test points
 * (BL_ELEMENT_TEST_POINT) alike. */

/* The name the next press gives: `from` itself, or the first after it, that has no place yet: one of the
 * document that waits for its place, or a new one. (transfer full) */
char *bl_placing_next (const BlBoard *board, BlElement element, const char *from);
/* TRUE when the document has this thing, and it waits for a place. */
gboolean bl_placing_waits (const BlBoard *board, BlElement element, const char *id);
/* Those of the document that wait for a place, in its order; GPtrArray of const char * (transfer container),
 * valid as long as the board is. */
GPtrArray *bl_placing_waiting (const BlBoard *board, BlElement element);
/* The name to begin with: after `last` where the document has it, else after the last of its kind, else the
 * first usual name. (transfer full) */
char *bl_placing_begin (const BlBoard *board, BlElement element, const char *last);

/* Puts it there; makes it where the document does not have it. A new component goes to the stage whose
 * outline lies there, else to `stage`; where both are missing it is refused. One of the document keeps its
 * stage. One step of undo, "Place R13". */
gboolean bl_edition_place_named (BlEdition *self, BlElement element, const char *id, const char *stage,
                                 const char *photo, double x, double y, GError **error);

G_END_DECLS
