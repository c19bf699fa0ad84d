/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-surface.h"
#include "bl-practice.h"
#include "bl-quiz.h"

G_BEGIN_DECLS

/* One round of questions: the board with its photos, what is asked, and what was answered so far. An answer is kept
 * before anything of it is shown.
 *
 * Signal "photo" (const char *id): a photo that was asked for is there, or cannot be shown. */
#define BL_TYPE_QUIZ_ROUND (bl_quiz_round_get_type ())
G_DECLARE_FINAL_TYPE (BlQuizRound, bl_quiz_round, BL, QUIZ_ROUND, GObject)

/* kind: WAY or READS. sections: ids or NULL; topic: only what belongs to sections of this kind, NULL: any. n: things asked
 * about; seed: the same one asks the same. NULL with error where there is nothing to ask. */
BlQuizRound *bl_quiz_round_new (BlPractice *practice, const BlPracticeSubject *subject, BlAnswerKind kind,
                                const char *const *sections, const char *topic, guint n, guint32 seed, GError **error);
const BlBoard *bl_quiz_round_get_board (BlQuizRound *self);
/* "RB-17, edition C", or the equipment's title. (transfer none) */
const char *bl_quiz_round_get_title (BlQuizRound *self);

/* The one that is asked now; NULL: the round is over. (transfer none) */
const BlQuizQuestion *bl_quiz_round_question (BlQuizRound *self);
/* Questions that follow each other about the same thing, from the one asked now on backwards and forwards: *first to
 * *last. */
void bl_quiz_round_group (BlQuizRound *self, guint *first, guint *last);
guint bl_quiz_round_place (BlQuizRound *self);
const BlQuizQuestion *bl_quiz_round_at (BlQuizRound *self, guint place);
/* What came of the question at this place; NULL: not answered. (transfer none) */
const BlQuizJudgement *bl_quiz_round_judged (BlQuizRound *self, guint place);
/* Keeps the answer to the one asked now; takes judgement. FALSE: it was not kept, and can be given again. */
gboolean bl_quiz_round_keep (BlQuizRound *self, BlQuizJudgement *judgement, GError **error);
/* Goes on to the next question. FALSE: the round is over. */
gboolean bl_quiz_round_next (BlQuizRound *self);

/* Things asked about: how many, and the number of the one asked now, from 1. */
void bl_quiz_round_count (BlQuizRound *self, guint *now, guint *n);
/* Answers so far. */
void bl_quiz_round_tally (BlQuizRound *self, guint *right, guint *near, guint *wrong);

/* A photo of the board; NULL while it is opened, then message says so, or why it cannot be shown. (transfer none, both) */
BlPhotoSurface *bl_quiz_round_photo (BlQuizRound *self, const char *id, const char **message);
/* "Front", "wall: Back". (transfer full) */
char *bl_quiz_round_photo_title (BlQuizRound *self, const BlPhoto *photo);

G_END_DECLS
