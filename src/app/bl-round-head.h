/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-quiz-round.h"

G_BEGIN_DECLS

/* The line above a round of questions: what it is, how many there are, a square for each answer, and the way back.
 * Right is a full square, near a half one, wrong an empty one; the counts stand beside them in words.
 *
 * Signal "left": back was pressed. */
#define BL_TYPE_ROUND_HEAD (bl_round_head_get_type ())
G_DECLARE_FINAL_TYPE (BlRoundHead, bl_round_head, BL, ROUND_HEAD, GtkWidget)

GtkWidget *bl_round_head_new (const char *title, const char *about);
/* now, n: the question and how many there are; now above n: all are done. */
void bl_round_head_count (BlRoundHead *self, guint now, guint n);
/* mark: BlQuizMark of each answer so far. */
void bl_round_head_marks (BlRoundHead *self, const BlQuizMark *marks, guint n);
/* Both, of a round. */
void bl_round_head_show (BlRoundHead *self, BlQuizRound *round);

/* The line of keys below: caps and words in pairs, NULL-terminated; a key without words does nothing and is left out. */
GtkWidget *bl_round_keys_new (const char *const *keys);
/* Other keys in the same strip. */
void bl_round_keys_show (GtkWidget *strip, const char *const *keys);
/* The square for a mark as a small widget. */
GtkWidget *bl_round_mark_new (BlQuizMark mark);
/* "right", "near", "not right" (transfer none) */
const char *bl_round_mark_word (BlQuizMark mark);
/* The column beside the photo, width px: panel, and below it the answers of this round, log (transfer none),
 * with a heading as soon as there are any. */
GtkWidget *bl_round_column_new (GtkWidget *panel, int width, GtkWidget **log);
/* Puts an answer on top of those of this round so far: its mark, words of what was asked, and the mark in words. */
void bl_round_log_add (GtkWidget *log, const char *words, BlQuizMark mark);

G_END_DECLS
