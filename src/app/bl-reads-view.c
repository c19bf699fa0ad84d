/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What should it read: the four questions about a measurement stand one below the other in the order a technician sets up
 * in, each with what came of it; the one in hand is open. */
#include "config.h"

#include "bl-reads-view.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-round-head.h"
#include "bl-ruler.h"
#include "bl-shell.h"
#include "bl-style.h"

enum { COLUMN = 500, LANE = 40, FIGURES = 13 }; /* px */

struct _BlReadsView
{
  BlRoundView parent_instance;

  const BlRoundParts *parts;
  GtkWidget *lines, *ruler, *unit;
};

G_DEFINE_FINAL_TYPE (BlReadsView, bl_reads_view, BL_TYPE_ROUND_VIEW)

/* --- words --- */

static const char *
kind_words (BlQuizKind kind)
{
  switch (kind)
    {
    case BL_QUIZ_STATE:
      return _ ("board state");
    case BL_QUIZ_METER:
      return _ ("meter");
    case BL_QUIZ_BLACK:
      return _ ("black probe");
    case BL_QUIZ_VALUE:
    case BL_QUIZ_PLACE:
    case BL_QUIZ_NAME:
    case BL_N_QUIZ_KINDS:
    default:
      return _ ("should read");
    }
}

static const char *
choice_words (const BlQuizQuestion *question, const char *id)
{
  for (guint i = 0; i < bl_len (question->choices); i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      if (g_strcmp0 (choice->id, id) == 0)
        return choice->words;
    }
  return id;
}

/* What is right, as the document has it. (transfer full) */
static char *
answer_words (BlReadsView *self, const BlQuizQuestion *question)
{
  const BlBoard *board = bl_quiz_round_get_board (self->parts->round);

  return question->kind == BL_QUIZ_VALUE ? bl_format_expected (board, bl_board_measurement (board, question->id))
                                         : bl_quiz_fact (board, question->id, question->kind);
}

/* What was answered instead; NULL: nothing. (transfer full) */
static char *
instead_words (BlReadsView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  const BlMeasurement *measurement = bl_board_measurement (bl_quiz_round_get_board (self->parts->round), question->id);

  if (judged->mark == BL_QUIZ_RIGHT)
    return NULL;
  if (question->kind == BL_QUIZ_VALUE)
    return judged->verdict != NULL ? bl_format_reading (measurement->measures, &judged->reading) : NULL;
  return g_strdup (judged->there != NULL ? choice_words (question, judged->there) : NULL);
}

static char *
bl_reads_view_log_words (const BlQuizQuestion *question)
{
  return g_strdup_printf ("%s: %s", question->title, kind_words (question->kind));
}

/* --- showing --- */

/* The black probe shows unless that is still asked. */
static void
bl_reads_view_mark (BlRoundView *view, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  const BlRoundParts *parts = bl_round_view_parts (view);
  const BlMeasurement *measurement
    = question != NULL ? bl_board_measurement (bl_quiz_round_get_board (parts->round), question->id) : NULL;
  guint first, last;
  gboolean hidden = FALSE;

  if (measurement == NULL)
    return;
  if (measurement->at != NULL)
    bl_quiz_photo_mark (parts->photo, BL_QUIZ_POINT, measurement->at, measurement->at, TRUE);
  bl_quiz_round_group (parts->round, &first, &last);
  for (guint i = first; i <= last; i++)
    hidden = hidden || (bl_quiz_round_at (parts->round, i)->kind == BL_QUIZ_BLACK && bl_quiz_round_judged (parts->round, i) == NULL);
  if (measurement->black != NULL && !hidden)
    bl_quiz_photo_mark_black (parts->photo, measurement->black);
}

/* "board state", and what is known of it. */
static GtkWidget *
line_new (BlQuizKind kind)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label = bl_label (kind_words (kind), "muted", 0);

  gtk_widget_set_size_request (label, 92, -1);
  gtk_box_append (GTK_BOX (row), label);
  gtk_widget_add_css_class (row, "reads-line");
  return row;
}

static void
add_words (GtkWidget *row, const char *words, const char *css)
{
  GtkWidget *label = bl_label (words, css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 26);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), label);
}

/* What is not asked, since it is needed to know which measurement is meant, or there is nothing to choose from. */
static void
show_told (BlReadsView *self, BlQuizKind kind)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->parts->round);
  g_autofree char *fact = bl_quiz_fact (bl_quiz_round_get_board (self->parts->round), question->id, kind);

  if (fact == NULL)
    return;
  GtkWidget *row = line_new (kind);
  add_words (row, fact, NULL);
  gtk_widget_set_margin_start (gtk_widget_get_last_child (row), 24); /* in line with what follows a mark */
  gtk_box_append (GTK_BOX (row), bl_label (_ ("given"), "muted", 1));
  gtk_box_append (GTK_BOX (self->lines), row);
}

/* "board state   [] running   not: standby" */
static void
show_asked (BlReadsView *self, guint place)
{
  const BlQuizQuestion *question = bl_quiz_round_at (self->parts->round, place);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->parts->round, place);
  GtkWidget *row = line_new (question->kind);
  gboolean in_hand = judged == NULL && place == bl_quiz_round_place (self->parts->round);

  gtk_box_append (GTK_BOX (self->lines), row);
  if (judged == NULL)
    {
      gtk_box_append (GTK_BOX (row), bl_label (in_hand ? _ ("?") : "·", in_hand ? "strong" : "muted", 0));
      return;
    }
  g_autofree char *answer = answer_words (self, question), *instead = instead_words (self, question, judged);
  gtk_box_append (GTK_BOX (row), bl_round_mark_new (judged->mark));
  add_words (row, answer, "strong");
  if (instead != NULL)
    {
      g_autofree char *said = g_strdup_printf (judged->mark == BL_QUIZ_NEAR ? _ ("near: %s") : _ ("not: %s"), instead);
      GtkWidget *other = bl_label (said, "muted", 1);
      gtk_label_set_wrap (GTK_LABEL (other), TRUE);
      gtk_label_set_lines (GTK_LABEL (other), 2);
      gtk_label_set_max_width_chars (GTK_LABEL (other), 18);
      gtk_label_set_justify (GTK_LABEL (other), GTK_JUSTIFY_RIGHT);
      gtk_label_set_ellipsize (GTK_LABEL (other), PANGO_ELLIPSIZE_END);
      gtk_widget_set_tooltip_text (other, instead);
      gtk_box_append (GTK_BOX (row), other);
    }
  else
    gtk_box_append (GTK_BOX (row), bl_label (bl_round_mark_word (judged->mark), "muted", 1));
}

static void
show_lines (BlReadsView *self)
{
  guint first, last;

  bl_quiz_round_group (self->parts->round, &first, &last);
  bl_widget_clear (self->lines);
  for (BlQuizKind kind = BL_QUIZ_STATE; kind <= BL_QUIZ_VALUE; kind++)
    if (first <= last && bl_quiz_round_at (self->parts->round, first)->kind == kind)
      show_asked (self, first++);
    else
      show_told (self, kind);
}

static void
show_ruler (BlReadsView *self, guint last)
{
  const BlQuizQuestion *question = bl_quiz_round_at (self->parts->round, last);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->parts->round, last);
  gboolean shown = question != NULL && question->kind == BL_QUIZ_VALUE && judged != NULL && judged->band != NULL;

  gtk_widget_set_visible (self->ruler, shown);
  if (shown)
    bl_ruler_show (BL_RULER (self->ruler), judged->band, &judged->reading, judged->verdict, FALSE);
}

/* By then the meter was asked for, or told. */
static void
show_unit (BlReadsView *self, const BlQuizQuestion *question)
{
  const BlBoard *board = bl_quiz_round_get_board (self->parts->round);
  gboolean typed = question != NULL && question->kind == BL_QUIZ_VALUE;
  g_autofree char *unit = typed ? bl_format_unit (bl_board_measurement (board, question->id)->measures) : NULL;

  gtk_widget_set_visible (self->unit, typed);
  gtk_label_set_label (GTK_LABEL (self->unit), typed ? unit : "");
}

static void
bl_reads_view_show (BlRoundView *view, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  BlReadsView *self = BL_READS_VIEW (view);
  const BlRoundParts *parts = self->parts;
  guint first, last;
  gboolean open = judged == NULL;
  const char *const asks[] = { [BL_QUIZ_STATE] = _ ("In which board state is this measured?"),
                               [BL_QUIZ_METER] = _ ("What is the meter set to?"),
                               [BL_QUIZ_BLACK] = _ ("Where is the black probe?"),
                               [BL_QUIZ_VALUE] = _ ("What does a board that works read here?") };

  bl_quiz_round_group (parts->round, &first, &last);
  show_lines (self);
  gtk_label_set_label (GTK_LABEL (parts->title), question->title);
  gtk_label_set_label (GTK_LABEL (parts->asks), asks[question->kind]);
  gtk_label_set_label (GTK_LABEL (parts->hint), _ ("Type the value as a meter shows it: 4.98, 4k7, OL."));
  gtk_widget_set_visible (parts->asks, open);
  gtk_widget_set_visible (parts->entry, open && question->kind == BL_QUIZ_VALUE);
  show_unit (self, open ? question : NULL);
  gtk_widget_set_visible (parts->hint, open && question->kind == BL_QUIZ_VALUE);
  bl_round_view_choices (view, open ? question : NULL, NULL);
  show_ruler (self, last);
}

/* --- answering --- */

/* What a board measures may be more than nine kinds. */
static const char *
bl_reads_view_caps (BlRoundView *view, const BlQuizQuestion *question)
{
  return question->kind == BL_QUIZ_VALUE ? NULL : "123456789abcdefghijklmnop";
}

static void
bl_reads_view_keys (BlRoundView *view, const BlQuizQuestion *question, GtkWidget *strip)
{
  const char *turns = bl_quiz_photo_turn_words (bl_round_view_parts (view)->photo);
  const char *const value[] = { _ ("Enter"), _ ("keep"), _ ("Tab"), _ ("to “I do not know”"), "F3", turns,
                                _ ("Esc"),   _ ("back"), NULL };
  const char *const choose[] = { _ ("1 – 9"), _ ("choose"),      "0",       _ ("not known"),
                                 "F3",        turns,             "+ −",     _ ("larger, smaller"),
                                 "Z",         _ ("whole board"), _ ("Esc"), _ ("back"),
                                 NULL };

  bl_round_keys_show (strip, question->kind == BL_QUIZ_VALUE ? value : choose);
}

static BlQuizJudgement *
bl_reads_view_judge (BlRoundView *view, const BlQuizQuestion *question, const char *text, GError **error)
{
  return bl_quiz_judge_value (bl_quiz_round_get_board (bl_round_view_parts (view)->round), question, text, error);
}

/* --- object --- */

static GtkWidget *
panel_new (BlReadsView *self)
{
  const BlRoundParts *parts = self->parts;
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *field = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->unit = bl_label ("", "strong", 0);
  gtk_widget_set_hexpand (parts->entry, TRUE);
  gtk_box_append (GTK_BOX (field), parts->entry);
  gtk_box_append (GTK_BOX (field), self->unit);
  self->lines = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->ruler = bl_ruler_new ();
  bl_ruler_set_sizes (BL_RULER (self->ruler), LANE, FIGURES, TRUE, TRUE);
  gtk_widget_add_css_class (parts->asks, "strong");
  bl_widget_name (parts->entry, _ ("What it should read"));
  gtk_box_append (GTK_BOX (panel), parts->title);
  gtk_box_append (GTK_BOX (panel), self->lines);
  gtk_box_append (GTK_BOX (panel), self->ruler);
  gtk_box_append (GTK_BOX (panel), parts->asks);
  gtk_box_append (GTK_BOX (panel), parts->hint);
  gtk_box_append (GTK_BOX (panel), field);
  gtk_box_append (GTK_BOX (panel), parts->choices);
  gtk_box_append (GTK_BOX (panel), parts->buttons);
  return panel;
}

static void
bl_reads_view_class_init (BlReadsViewClass *klass)
{
  BlRoundViewClass *round = BL_ROUND_VIEW_CLASS (klass);

  round->show = bl_reads_view_show;
  round->mark = bl_reads_view_mark;
  round->judge = bl_reads_view_judge;
  round->caps = bl_reads_view_caps;
  round->keys = bl_reads_view_keys;
  round->log_words = bl_reads_view_log_words;
}

static void
bl_reads_view_init (BlReadsView *self)
{
  self->parts = bl_round_view_parts (BL_ROUND_VIEW (self));
}

GtkWidget *
bl_reads_view_new (BlQuizRound *round)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (round), NULL);
  BlReadsView *self = g_object_new (BL_TYPE_READS_VIEW, NULL);

  bl_round_view_set_up (BL_ROUND_VIEW (self), round, _ ("What should it read?"), panel_new (self), COLUMN);
  return GTK_WIDGET (self);
}
