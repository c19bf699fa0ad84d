/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-view.h"
#include "bl-quiz-round.h"

G_BEGIN_DECLS

/* The photos of the board that questions are asked about, front, back and further ones, with nothing on them but what is
 * handed to the view.
 *
 * Signal "turned": another one is shown, because it was pressed or F3 was. */
#define BL_TYPE_QUIZ_PHOTO (bl_quiz_photo_get_type ())
G_DECLARE_FINAL_TYPE (BlQuizPhoto, bl_quiz_photo, BL, QUIZ_PHOTO, GtkWidget)

GtkWidget *bl_quiz_photo_new (BlQuizRound *round);
/* (transfer none) */
BlPhotoView *bl_quiz_photo_get_view (BlQuizPhoto *self);
/* Shows a photo of the board; no signal. */
void bl_quiz_photo_show (BlQuizPhoto *self, const char *id);
/* Id of the one shown; NULL: the board has none. (transfer none) */
const char *bl_quiz_photo_get_shown (BlQuizPhoto *self);
/* Keys of every such page: F3 the next photo, + - Z size. FALSE: not one of them. */
gboolean bl_quiz_photo_key (BlQuizPhoto *self, guint keyval, GdkModifierType state);
/* What F3 does, for the line of keys; NULL: there is one photo only, or none. (transfer none) */
const char *bl_quiz_photo_turn_words (BlQuizPhoto *self);
/* Takes everything off the photo. */
void bl_quiz_photo_clear (BlQuizPhoto *self);
/* Marks where something is, by its outline or its point, with words (NULL: without); after bl_quiz_photo_clear (), any
 * number of times, then bl_quiz_photo_done (). What lies on another photo is left out. */
void bl_quiz_photo_mark (BlQuizPhoto *self, BlQuizOf of, const char *id, const char *words, gboolean in_hand);
/* Where was pressed. */
void bl_quiz_photo_mark_press (BlQuizPhoto *self, double x, double y, const char *words);
/* The black probe. */
void bl_quiz_photo_mark_black (BlQuizPhoto *self, const char *point);
void bl_quiz_photo_done (BlQuizPhoto *self);

G_END_DECLS
