/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition-parts.h"

G_BEGIN_DECLS

/* One slot of a board document as a word to be edited in place: an entry, or a word with choices.
 * Enter or leaving the entry keeps what was typed; what is refused stays in the entry, the reason goes
 * out in a signal and the document keeps the old value; Esc brings that back.
 *
 * Signals: "trouble" (const char *message): why it was refused, NULL: all is well again;
 *          "typing": the text changed and is not kept yet; "kept": Enter was pressed and it is kept;
 *          "renamed" (const char *old, const char *new): the name of the element itself changed. */
#define BL_TYPE_SLOT_FIELD (bl_slot_field_get_type ())
G_DECLARE_FINAL_TYPE (BlSlotField, bl_slot_field, BL, SLOT_FIELD, GtkWidget)

/* chars: width of an entry in characters, 0: as wide as its text, -1: takes the room there is. */
GtkWidget *bl_slot_field_new (BlEdition *edition, const BlRef *ref, BlSlot slot, int chars);
/* Reads the document anew; what is being typed stays. */
void bl_slot_field_refresh (BlSlotField *self);
const BlRef *bl_slot_field_get_ref (BlSlotField *self);
BlSlot bl_slot_field_get_slot (BlSlotField *self);
/* The text of the entry, NULL for a choice. */
const char *bl_slot_field_get_text (BlSlotField *self);
/* Something is typed that the document has not. */
gboolean bl_slot_field_is_changed (BlSlotField *self);

G_END_DECLS
