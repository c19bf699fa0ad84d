/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition-sentence.h"

G_BEGIN_DECLS

/* A failure mode as the sentence it is, to be written over: "short → 12 V rail low, and may blow F1 (20 %)". Enter
 * or leaving it keeps what was typed, Tab takes the completion shown below, Esc brings the old sentence back. What
 * cannot be read stays as typed, marked at its place, with the reason.
 *
 * Signals: "in-hand": the focus came; "typing": the text is another than the document's, or is so no more;
 *          "kept" (const char *mode): the document has it now, under this name. */
#define BL_TYPE_SENTENCE_FIELD (bl_sentence_field_get_type ())
G_DECLARE_FINAL_TYPE (BlSentenceField, bl_sentence_field, BL, SENTENCE_FIELD, GtkWidget)

/* The index-th mode of the component; -1: one to be added. */
GtkWidget *bl_sentence_field_new (BlEdition *edition, const char *component, int index);
/* The mode as the document calls it; NULL: none yet. (transfer none) */
const char *bl_sentence_field_get_mode (BlSentenceField *self);
int bl_sentence_field_get_index (BlSentenceField *self);
/* What is typed and not kept; NULL: nothing is. (transfer full) */
char *bl_sentence_field_get_typed (BlSentenceField *self);
gboolean bl_sentence_field_is_changed (BlSentenceField *self);
/* Puts the old sentence back. FALSE: nothing was typed. */
gboolean bl_sentence_field_drop (BlSentenceField *self);

G_END_DECLS
