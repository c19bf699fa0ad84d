/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Find your way: what is pressed on the photo or lit there. */
#include "config.h"

#include "bl-way-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-round-head.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-way-words.h"

#define STEP 24.0  /* of the cross with an arrow, view px; with Shift a sixth */
#define COLUMN 400 /* width of what is asked, px */

struct _BlWayView
{
  BlRoundView parent_instance;

  const BlRoundParts *parts;
  GtkWidget *verdict, *mark, *word, *reason;
  double press_x, press_y; /* photo px */
  char *pressed_on;        /* photo; NULL: nothing was pressed */
  guint pressed_for;       /* place of the question in the round */
};

G_DEFINE_FINAL_TYPE (BlWayView, bl_way_view, BL_TYPE_ROUND_VIEW)

/* The photo that was pressed for the question in hand; NULL: none. */
static const char *
pressed_on (BlWayView *self)
{
  return self->pressed_for == bl_quiz_round_place (self->parts->round) ? self->pressed_on : NULL;
}

/* --- showing --- */

/* Lit, and seen whole: the photo goes there where the place is small. */
static void
light (BlWayView *self, const BlQuizQuestion *question)
{
  const BlBoard *board = bl_quiz_round_get_board (self->parts->round);
  const char *shown = bl_quiz_photo_get_shown (self->parts->photo);
  BlQuizWhere where;

  if (bl_quiz_where (board, question->of, question->id, shown, &where) && g_strcmp0 (where.photo, shown) == 0)
    bl_photo_view_set_spot (bl_quiz_photo_get_view (self->parts->photo), where.outline,
                            where.outline != NULL ? NAN : where.x, where.outline != NULL ? NAN : where.y);
}

static void
show_answer (BlWayView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  BlQuizPhoto *photo = self->parts->photo;
  const BlBoard *board = bl_quiz_round_get_board (self->parts->round);
  g_autofree char *name = judged->there != NULL ? bl_quiz_name (board, question->of, judged->there) : NULL;
  g_autofree char *there = name != NULL ? g_strdup_printf (_ ("not: %s"), name) : NULL; /* two outlines look alike */
  const char *pressed = pressed_on (self);

  if (there != NULL)
    bl_quiz_photo_mark (photo, question->of, judged->there, there, FALSE);
  bl_quiz_photo_mark (photo, question->of, question->id, question->title, TRUE);
  if (pressed != NULL && g_strcmp0 (pressed, bl_quiz_photo_get_shown (photo)) == 0)
    bl_quiz_photo_mark_press (photo, self->press_x, self->press_y, judged->mark == BL_QUIZ_RIGHT ? NULL : _ ("pressed"));
}

static void
bl_way_view_mark (BlRoundView *view, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  BlWayView *self = BL_WAY_VIEW (view);
  gboolean to_press = question != NULL && judged == NULL && question->kind == BL_QUIZ_PLACE;

  bl_photo_view_set_tool (bl_quiz_photo_get_view (self->parts->photo), to_press ? BL_PHOTO_TOOL_PRESS : BL_PHOTO_TOOL_NONE);
  if (question != NULL && judged != NULL)
    show_answer (self, question, judged);
  else if (question != NULL && question->kind == BL_QUIZ_NAME)
    light (self, question);
}

static void
show_verdict (BlWayView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  const char *shown = bl_quiz_photo_get_shown (self->parts->photo);

  gtk_widget_set_visible (self->verdict, judged != NULL);
  if (judged == NULL)
    return;
  g_autofree char *reason = bl_way_reason_words (self->parts->round, question, judged, pressed_on (self), shown);
  bl_widget_clear (self->mark);
  gtk_box_append (GTK_BOX (self->mark), bl_round_mark_new (judged->mark));
  gtk_label_set_label (GTK_LABEL (self->word), bl_round_mark_word (judged->mark));
  gtk_label_set_label (GTK_LABEL (self->reason), reason);
}

static void
bl_way_view_show (BlRoundView *view, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  BlWayView *self = BL_WAY_VIEW (view);
  const BlRoundParts *parts = self->parts;
  gboolean named = question->kind == BL_QUIZ_NAME;

  gtk_label_set_label (GTK_LABEL (parts->asks), bl_way_asks_words (question));
  gtk_label_set_label (GTK_LABEL (parts->title), named && judged == NULL ? _ ("What is it?") : question->title);
  gtk_label_set_label (GTK_LABEL (parts->hint),
                       named ? _ ("Type its name, or choose.") : _ ("Press it on the photo, on whichever side it is."));
  gtk_widget_set_visible (parts->hint, judged == NULL);
  gtk_widget_set_visible (parts->entry, named && judged == NULL);
  bl_round_view_choices (view, named ? question : NULL, judged);
  show_verdict (self, question, judged);
}

/* --- answering --- */

/* A digit means a choice only where no name that could be typed begins with one. */
static const char *
bl_way_view_caps (BlRoundView *view, const BlQuizQuestion *question)
{
  if (question->kind == BL_QUIZ_PLACE)
    return "";
  return bl_quiz_has_digit_names (bl_quiz_round_get_board (bl_round_view_parts (view)->round), question) ? NULL : "123456";
}

static void
bl_way_view_keys (BlRoundView *view, const BlQuizQuestion *question, GtkWidget *strip)
{
  bl_way_keys_show (strip, question, bl_way_view_caps (view, question) != NULL,
                    bl_quiz_photo_turn_words (bl_round_view_parts (view)->photo));
}

static BlQuizJudgement *
bl_way_view_judge (BlRoundView *view, const BlQuizQuestion *question, const char *text, GError **error)
{
  return bl_quiz_judge_typed (bl_quiz_round_get_board (bl_round_view_parts (view)->round), question, text, error);
}

static void
press (BlWayView *self, double x, double y)
{
  BlQuizRound *round = self->parts->round;
  const BlQuizQuestion *question = bl_quiz_round_question (round);
  const char *photo = bl_quiz_photo_get_shown (self->parts->photo);

  if (question == NULL || question->kind != BL_QUIZ_PLACE || photo == NULL
      || bl_quiz_round_judged (round, bl_quiz_round_place (round)) != NULL)
    return;
  self->press_x = x;
  self->press_y = y;
  g_free (self->pressed_on);
  self->pressed_on = g_strdup (photo);
  self->pressed_for = bl_quiz_round_place (round);
  bl_round_view_answer (BL_ROUND_VIEW (self),
                        bl_quiz_judge_place (bl_quiz_round_get_board (round), question, self->pressed_on, x, y));
}

static void
clicked (BlPhotoView *view, double x, double y, BlWayView *self)
{
  press (self, x, y);
}

static gboolean
move_cross (BlPhotoView *photo, guint keyval, GdkModifierType state)
{
  double step = state & GDK_SHIFT_MASK ? STEP / 6 : STEP;
  double dx = keyval == GDK_KEY_Left ? -step : keyval == GDK_KEY_Right ? step : 0;
  double dy = keyval == GDK_KEY_Up ? -step : keyval == GDK_KEY_Down ? step : 0;

  if (dx == 0 && dy == 0)
    return FALSE;
  bl_photo_view_move_aim (photo, dx, dy);
  return TRUE;
}

/* The cross moves, and presses where it is; the first press brings it. */
static gboolean
bl_way_view_key (BlRoundView *view, const BlQuizQuestion *question, guint keyval, GdkModifierType state)
{
  BlPhotoView *photo = bl_quiz_photo_get_view (bl_round_view_parts (view)->photo);
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (view)));
  gboolean presses = keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter || keyval == GDK_KEY_space;
  double x, y;

  if (question->kind != BL_QUIZ_PLACE)
    return FALSE;
  if (!presses || GTK_IS_BUTTON (focus))
    return move_cross (photo, keyval, state);
  if (bl_photo_view_get_aim (photo, &x, &y))
    press (BL_WAY_VIEW (view), x, y);
  else
    bl_photo_view_move_aim (photo, 0, 0);
  return TRUE;
}

/* --- object --- */

static GtkWidget *
verdict_new (BlWayView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->mark = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->word = bl_label ("", "word", 0);
  self->reason = bl_round_words_new (NULL);
  gtk_box_append (GTK_BOX (line), self->mark);
  gtk_box_append (GTK_BOX (line), self->word);
  gtk_box_append (GTK_BOX (box), line);
  gtk_box_append (GTK_BOX (box), self->reason);
  return self->verdict = box;
}

static GtkWidget *
panel_new (BlWayView *self)
{
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);

  gtk_widget_add_css_class (self->parts->asks, "muted");
  bl_widget_name (self->parts->entry, _ ("Name of what is lit"));
  gtk_box_append (GTK_BOX (panel), self->parts->asks);
  gtk_box_append (GTK_BOX (panel), self->parts->title);
  gtk_box_append (GTK_BOX (panel), self->parts->hint);
  gtk_box_append (GTK_BOX (panel), self->parts->entry);
  gtk_box_append (GTK_BOX (panel), self->parts->choices);
  gtk_box_append (GTK_BOX (panel), verdict_new (self));
  gtk_box_append (GTK_BOX (panel), self->parts->buttons);
  return panel;
}

static void
bl_way_view_finalize (GObject *object)
{
  g_free (BL_WAY_VIEW (object)->pressed_on);
  G_OBJECT_CLASS (bl_way_view_parent_class)->finalize (object);
}

static void
bl_way_view_class_init (BlWayViewClass *klass)
{
  BlRoundViewClass *round = BL_ROUND_VIEW_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_way_view_finalize;
  round->show = bl_way_view_show;
  round->mark = bl_way_view_mark;
  round->judge = bl_way_view_judge;
  round->caps = bl_way_view_caps;
  round->keys = bl_way_view_keys;
  round->key = bl_way_view_key;
}

static void
bl_way_view_init (BlWayView *self)
{
  self->parts = bl_round_view_parts (BL_ROUND_VIEW (self));
}

GtkWidget *
bl_way_view_new (BlQuizRound *round)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (round), NULL);
  BlWayView *self = g_object_new (BL_TYPE_WAY_VIEW, NULL);

  bl_round_view_set_up (BL_ROUND_VIEW (self), round, _ ("Find your way"), panel_new (self), COLUMN);
  g_signal_connect_object (bl_quiz_photo_get_view (self->parts->photo), "clicked", G_CALLBACK (clicked), self, 0);
  return GTK_WIDGET (self);
}
