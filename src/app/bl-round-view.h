/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-quiz-photo.h"
#include "bl-quiz-round.h"

G_BEGIN_DECLS

/* A round of questions as a page: the head, the photo, what is asked in the one outlined panel, the answers so far, and
 * the keys. The next thing comes when the junior says so: the answer is there to be looked at. What is asked, and what
 * stands on the photo, is the matter of the kinds derived from it.
 *
 * Signals: "done": leave; "again": another round of the same. */
#define BL_TYPE_ROUND_VIEW (bl_round_view_get_type ())
G_DECLARE_DERIVABLE_TYPE (BlRoundView, bl_round_view, BL, ROUND_VIEW, GtkWidget)

struct _BlRoundViewClass
{
  GtkWidgetClass parent_class;

  /* Fills the panel: what is asked, or with judged what came of it. */
  void (*show) (BlRoundView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged);
  /* Marks on the photo, which has none; both may be NULL. */
  void (*mark) (BlRoundView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged);
  /* What is typed. (transfer full); NULL: error says why it is no answer. */
  BlQuizJudgement *(*judge) (BlRoundView *self, const BlQuizQuestion *question, const char *text, GError **error);
  /* The key of each choice, as long as nothing is typed; with any, also "", 0 means not known. NULL: keys type. */
  const char *(*caps) (BlRoundView *self, const BlQuizQuestion *question);
  /* Shows the keys of an open question in strip. */
  void (*keys) (BlRoundView *self, const BlQuizQuestion *question, GtkWidget *strip);
  /* A key of its own while a question is open. NULL: it has none. */
  gboolean (*key) (BlRoundView *self, const BlQuizQuestion *question, guint keyval, GdkModifierType state);
  /* For the list of answers so far. (transfer full); NULL: the title of the question. */
  char *(*log_words) (const BlQuizQuestion *question);
};

/* What a kind puts into its panel in its own order, each once. */
typedef struct
{
  BlQuizRound *round;
  BlQuizPhoto *photo;
  GtkWidget *asks, *title, *hint; /* labels */
  GtkWidget *entry, *choices, *buttons;
} BlRoundParts;
/* (transfer none) */
const BlRoundParts *bl_round_view_parts (BlRoundView *self);
/* Makes the page, once; column: width of the panel, px. Begins the first question. */
void bl_round_view_set_up (BlRoundView *self, BlQuizRound *round, const char *title, GtkWidget *panel, int column);

/* A row for each choice with its cap; answered: the right one is strong, the one taken is struck where it was not right.
 * question NULL: none. */
void bl_round_view_choices (BlRoundView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged);
/* Keeps the answer and shows what came of it; takes judgement. Nothing while one is shown already. */
void bl_round_view_answer (BlRoundView *self, BlQuizJudgement *judgement);
/* The place for the keys is the view. */
void bl_round_view_focus (BlRoundView *self);

/* A label that wraps. */
GtkWidget *bl_round_words_new (const char *css);

G_END_DECLS
