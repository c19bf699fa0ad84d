/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-quiz-round.h"

G_BEGIN_DECLS

const char *bl_way_asks_words (const BlQuizQuestion *question);
/* What to say about an answer beside its mark. pressed_on: photo that was pressed, or NULL; shown: photo in sight, or NULL.
 * (transfer full) */
char *bl_way_reason_words (BlQuizRound *round, const BlQuizQuestion *question, const BlQuizJudgement *judged,
                           const char *pressed_on, const char *shown);
/* Keys of this question in strip. digits: they choose; turns: what F3 does, or NULL. */
void bl_way_keys_show (GtkWidget *strip, const BlQuizQuestion *question, gboolean digits, const char *turns);

G_END_DECLS
