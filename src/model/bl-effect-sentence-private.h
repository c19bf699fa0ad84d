/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-effect-sentence.h"

G_BEGIN_DECLS

/* What could stand at a place. */
typedef enum
{
  BL_WANT_MODE_NAME = 1 << 0, /* of the component, before the arrow */
  BL_WANT_ARROW = 1 << 1,
  BL_WANT_CLAUSE = 1 << 2,    /* stage, measurement, verb */
  BL_WANT_CLASS = 1 << 3,     /* of want_on */
  BL_WANT_STATE = 1 << 4,
  BL_WANT_COMPONENT = 1 << 5,
  BL_WANT_MODE = 1 << 6,      /* of want_on */
  BL_WANT_CHANCE = 1 << 7,
  BL_WANT_AFTER = 1 << 8      /* an effect is complete: states, or the next clause */
} BlWant;

/* A sentence being read. What is furthest counts, for the reason as for what could stand there. */
typedef struct
{
  const BlBoard *board;
  const BlComponent *component;
  const char *text, *at;
  const char *trouble_at; /* NULL: none */
  char *trouble;
  const char *want_at;
  guint wants;
  const char *want_on; /* id of the stage, measurement or component */
} BlReader;

/* A name that stands at a place. */
typedef struct
{
  const char *id;
  gsize length; /* bytes it takes of the text */
  int rank;     /* smaller is better: ids before titles, as written before other capitals */
} BlNamed;

/* --- bl-effect-sentence-words.c --- */

/* Bytes of text that this name takes at its beginning, 0: another stands there. Capitals do not count, a run of
 * blanks is one; the name ends where a word ends. */
gsize bl_sentence_match (const char *text, const char *name);
/* The same for the first of the words, English or translated, NULL-terminated. */
gsize bl_sentence_word (const char *text, const char *const *words);
/* A name in quotation marks at the beginning of text, 0: none. name: (transfer full). */
gsize bl_sentence_quoted (const char *text, char **name);
/* The name as it can stand in a sentence: in quotation marks where it must, or always. (transfer full) */
char *bl_sentence_quote (const char *name, gboolean always);
/* Bytes of a chance: "20 %", "0.2", "half", "nine in ten", "always"; 0: none. */
gsize bl_sentence_chance (const char *text, double *chance);
/* Bytes of a figure with point or comma, 0: none. */
gsize bl_sentence_figure (const char *text, double *value);
/* The shortest text that is read back as this figure; a chance in per cent. (transfer full) */
char *bl_sentence_figure_text (double value);
char *bl_sentence_chance_text (double chance);
/* Blanks at the beginning. */
gsize bl_sentence_blanks (const char *text);

extern const char *const bl_words_own_stage[], *const bl_words_is[], *const bl_words_or[], *const bl_words_in[],
    *const bl_words_only[], *const bl_words_all_states[], *const bl_words_and[], *const bl_words_nothing[],
    *const bl_words_may[], *const bl_words_blow[], *const bl_words_bring[], *const bl_words_shows[],
    *const bl_words_time[], *const bl_words_when[], *const bl_words_weight[];

/* --- bl-effect-sentence-verbs.c --- */

/* A clause that begins with a verb. -1: it does not; 0: it cannot be read. */
int bl_reader_read_verb (BlReader *self, BlMode *mode);

/* --- bl-effect-sentence-names.c --- */

/* The best of them, NULL: none stands there. */
static inline const BlNamed *
bl_named_first (const GArray *names)
{
  return names->len > 0 ? &g_array_index (names, BlNamed, 0) : NULL;
}

/* Stages and measurements, states, components, modes that stand at text. (transfer full) sorted. */
GArray *bl_names_targets (const BlReader *reader, const char *text);
GArray *bl_names_states (const BlReader *reader, const char *text);
GArray *bl_names_components (const BlReader *reader, const char *text);
GArray *bl_names_modes (const BlReader *reader, const char *component, const char *text);
/* The classes that an effect on this stage or measurement may have. */
GArray *bl_names_classes (const BlReader *reader, const char *on, const char *text);
/* The same as a list of names, NULL-terminated; free with g_free (). */
const char **bl_target_classes (const BlBoard *board, const char *on);
/* What an effect is on: the component's own stage when nothing is named. */
const char *bl_effect_target (const BlComponent *component, const BlEffect *effect);
/* Whether two effects say the same; notes count for nothing. */
gboolean bl_effect_says_same (const BlComponent *component, const BlEffect *a, const BlEffect *b);
/* A component that a short blows. */
gboolean bl_is_fuse (const BlComponent *component);

/* --- bl-effect-sentence.c --- */

/* What could stand here; of these only the furthest are kept. */
void bl_reader_want (BlReader *self, BlWant what, const char *on);
/* Why reading stops here, unless it got further before. Takes reason. Returns: FALSE. */
gboolean bl_reader_trouble (BlReader *self, char *reason);
void bl_reader_skip (BlReader *self);
/* Reads over one of the words and the blanks behind it. */
gboolean bl_reader_take_word (BlReader *self, const char *const *words);
gboolean bl_reader_take_char (BlReader *self, char c);
/* Two things of the name that was chosen: which one is meant cannot be known. */
gboolean bl_reader_is_ambiguous (BlReader *self, const GArray *names, guint chosen);

/* Reads; what the reader wants at the end is left in it. reader->trouble is to be freed. (transfer full) */
BlMode *bl_reader_read (BlReader *reader);

G_END_DECLS
