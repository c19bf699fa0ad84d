/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"
#include "bl-outline-edit.h"
#include "bl-slot.h"

G_BEGIN_DECLS

/* Changes to any part of an open document, each one labelled step of undo, saved at once. A change that
 * breaks a rule of the document is refused: the message says at which part and why, and nothing has
 * changed. */

/* Sets a slot from text; the same text as before is no change and no step. */
gboolean bl_edition_set_slot (BlEdition *self, const BlRef *ref, BlSlot slot, const char *text, GError **error);

/* Adds an element inside parent (the board itself for what has no parent) with the least that makes it
 * valid: a feed from the first stage that closes no loop, an effect 'absent', and so on. added (may be
 * NULL) leads to it. */
gboolean bl_edition_add_part (BlEdition *self, const BlRef *parent, BlElement element, BlRef *added, GError **error);
gboolean bl_edition_remove_part (BlEdition *self, const BlRef *ref, GError **error);

/* Adds the failure modes which the table of kinds has for this component and it has not yet; n_added may
 * be NULL. Effects that common practice knows of are proposed (bl-usual-effects.h, bl_mode_is_proposed ()), the
 * others have none. Refused where the table has none. */
gboolean bl_edition_add_usual_modes (BlEdition *self, const char *component, guint *n_added, GError **error);

/* Puts a test point, component or landmark (which stays on its own) on a photo. Steps of one drag merge until
 * bl_edition_settle (). */
gboolean bl_edition_place (BlEdition *self, const BlRef *ref, const char *photo, double x, double y, GError **error);
/* The scale of a photo from two places on it (photo pixels) and how far apart they are: "25.4", "25.4 mm". */
gboolean bl_edition_set_scale (BlEdition *self, const char *photo, double x0, double y0, double x1, double y1,
                               const char *distance, GError **error);
/* Outlines of a section or stage; points: double pairs x, y in photo pixels. index counts those on this
 * photo. Dragging merges as with bl_edition_place (). */
gboolean bl_edition_add_outline (BlEdition *self, const BlRef *ref, const char *photo, const GArray *points,
                                 GError **error);
gboolean bl_edition_set_outline (BlEdition *self, const BlRef *ref, const char *photo, guint index,
                                 const GArray *points, GError **error);
/* The same; what was done says what undo calls it. */
gboolean bl_edition_change_outline (BlEdition *self, const BlRef *ref, const char *photo, guint index,
                                    const GArray *points, BlOutlineChange change, GError **error);
gboolean bl_edition_remove_outlines (BlEdition *self, const BlRef *ref, const char *photo, GError **error);

/* FALSE with BL_CORE_ERROR_INVALID and the first rule of the document that is broken, at which part, in words. */
gboolean bl_board_check_in_words (const BlBoard *board, GError **error);

/* The next change begins a new step of undo, whatever its merge key. */
void bl_edition_settle (BlEdition *self);

G_END_DECLS
