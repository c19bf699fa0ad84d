/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-quiz.h"

G_BEGIN_DECLS

/* Shared by bl-quiz.c (drawing and judging), bl-quiz-place.c (where things are), bl-quiz-told.c (titles that give an answer
 * away) and bl-quiz-typed.c (names). */
/* The list of the document that holds these; (transfer none) */
const GPtrArray *bl_quiz_list (const BlBoard *board, BlQuizOf of);
const char *bl_quiz_id_at (const BlBoard *board, BlQuizOf of, guint i);
/* Section that something belongs to; NULL: none. (transfer none) */
const BlSection *bl_quiz_section (const BlBoard *board, BlQuizOf of, const char *id);
/* Id of the smallest section or stage round a place of a photo; NULL: none. (transfer none) */
const char *bl_quiz_around (const BlBoard *board, BlQuizOf of, const char *photo, double x, double y);
/* The title has a word of the right choice that no other choice has. */
gboolean bl_quiz_title_tells (const BlQuizQuestion *question);

G_END_DECLS
