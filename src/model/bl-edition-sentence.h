/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"

G_BEGIN_DECLS

/* A failure mode of an open document from one sentence (bl-effect-sentence.h), one labelled step of undo, on disk
 * at once. mode NULL: a new one, else the one of this name, which the sentence may call otherwise. What the sentence
 * leaves as it was keeps its notes. The same as before is no step. name (may be NULL): what the mode is called now
 * (transfer full). place: as bl_mode_from_sentence (); the length of text where a rule of the document refuses it. */
gboolean bl_edition_set_sentence (BlEdition *self, const char *component, const char *mode, const char *text, char **name,
                                  gsize *place, GError **error);

/* The board as it would be: for what a sentence would do before it is kept. NULL: it cannot be read, or a rule
 * refuses it. name as above. (transfer full) */
BlBoard *bl_sentence_draft (const BlBoard *board, const char *component, const char *mode, const char *text, char **name);

/* Effects that a usual mode of a kind was given by common practice say so in their notes until somebody accepts
 * them. TRUE: this mode has such effects. */
gboolean bl_mode_is_proposed (const BlMode *mode);
/* Accepts them: they say where they come from and are proposed no more. One step of undo. */
gboolean bl_edition_accept_proposed (BlEdition *self, const char *component, const char *mode, GError **error);

G_END_DECLS
