/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* A failure mode as one sentence that is read back to the same thing:
 *
 *   short → 12 V rail low, K1X “whole supply” in run, and may blow F1 (20 %), shows half the time, 90 % when wet
 *
 * Before the arrow (→ or ->) stands the mode, after it clauses between commas or semicolons: a stage or
 * measurement (id or title) with what it becomes and the states in which it does; what it brings about; how
 * often it shows; its weight. "its stage" is the component's own, "nothing said" that no effect is known.
 * A name in quotation marks is taken as it stands: those with a comma in them need that. English words and
 * those of the language at hand are read, capitals or not; figures with a point or a comma. */

/* (transfer full) */
char *bl_mode_sentence (const BlBoard *board, const BlComponent *component, const BlMode *mode);

/* The mode that a sentence says, without notes. NULL with BL_CORE_ERROR_PARSE, the reason, and in place (may be
 * NULL) where it stopped to be readable, as an offset in bytes. The rules of the whole document are not
 * checked. (transfer full) */
BlMode *bl_mode_from_sentence (const BlBoard *board, const BlComponent *component, const char *text, gsize *place,
                               GError **error);

/* Whether two modes of this component say the same: name, effects, what they bring about, chances and weight;
 * notes count for nothing, nor whether its own stage is named or left out. */
gboolean bl_mode_says_same (const BlComponent *component, const BlMode *a, const BlMode *b);

/* One way to go on with a sentence. */
typedef struct
{
  char *text;   /* takes the place of what was typed since `from` */
  char *words;  /* for the reader */
  char *detail; /* what it is; NULL: nothing more to say */
  gsize from;   /* offset in bytes */
} BlCompletion;
/* What may stand at the end of text, at most `most`, the likeliest first. (transfer full) GPtrArray of
 * BlCompletion. */
GPtrArray *bl_sentence_complete (const BlBoard *board, const BlComponent *component, const char *text, guint most);

G_END_DECLS
