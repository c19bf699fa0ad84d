/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The screen of Find your way. What is asked stands in the one outlined panel, the photo takes the rest. The next question
 * comes when the junior says so: the answer is there to be looked at. */
#include "config.h"

#include "bl-way-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-quiz-photo.h"
#include "bl-round-head.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-way-words.h"

#define STEP 24.0  /* of the cross with an arrow, view px; with Shift a sixth */
#define COLUMN 400 /* width of what is asked, px */

struct _BlWayView
{
  GtkWidget parent_instance;

  BlQuizRound *round;
  GtkWidget *box, *head, *photo, *panel, *asks, *title, *hint, *entry, *choices, *verdict, *mark, *word, *reason, *skip,
      *skip_cap, *next, *next_word, *log, *keys;
  double press_x, press_y; /* photo px; NAN: nothing was pressed */
  char *pressed_on;        /* photo */
};

enum { DONE, AGAIN, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWayView, bl_way_view, GTK_TYPE_WIDGET)

/* --- showing --- */

/* Lit, and seen whole: the photo goes there where the place is small. */
static void
light (BlWayView *self, const BlQuizQuestion *question)
{
  BlPhotoView *view = bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo));
  const BlBoard *board = bl_quiz_round_get_board (self->round);
  const char *shown = bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo));
  BlQuizWhere where;

  if (bl_quiz_where (board, question->of, question->id, shown, &where) && g_strcmp0 (where.photo, shown) == 0)
    bl_photo_view_set_spot (view, where.outline, where.outline != NULL ? NAN : where.x, where.outline != NULL ? NAN : where.y);
}

static void
show_answer (BlWayView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  BlQuizPhoto *photo = BL_QUIZ_PHOTO (self->photo);
  const BlBoard *board = bl_quiz_round_get_board (self->round);
  g_autofree char *there = judged->there != NULL ? bl_quiz_name (board, question->of, judged->there) : NULL;

  if (judged->there != NULL)
    bl_quiz_photo_mark (photo, question->of, judged->there, there, FALSE);
  bl_quiz_photo_mark (photo, question->of, question->id, question->title, TRUE);
  if (g_strcmp0 (self->pressed_on, bl_quiz_photo_get_shown (photo)) == 0 && !isnan (self->press_x))
    bl_quiz_photo_mark_press (photo, self->press_x, self->press_y, judged->mark == BL_QUIZ_RIGHT ? NULL : _ ("pressed"));
}

/* What stands on the photo now. */
static void
show_photo (BlWayView *self)
{
  BlQuizPhoto *photo = BL_QUIZ_PHOTO (self->photo);
  BlPhotoView *view = bl_quiz_photo_get_view (photo);
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round));
  gboolean to_press = question != NULL && judged == NULL && question->kind == BL_QUIZ_PLACE;

  bl_quiz_photo_clear (photo);
  bl_photo_view_set_tool (view, to_press ? BL_PHOTO_TOOL_PRESS : BL_PHOTO_TOOL_NONE);
  if (question != NULL && judged != NULL)
    show_answer (self, question, judged);
  else if (question != NULL && question->kind == BL_QUIZ_NAME)
    light (self, question);
  bl_quiz_photo_done (photo);
}

static void answer (BlWayView *self, BlQuizJudgement *judgement);

static void
choice_pressed (const char *id, gpointer data)
{
  BlWayView *self = data;
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);

  if (question != NULL)
    answer (self, bl_quiz_judge_choice (question, id));
}

/* A digit means a choice only where no name that could be typed begins with one. */
static gboolean
digits_choose (BlWayView *self, const BlQuizQuestion *question)
{
  return question->kind == BL_QUIZ_NAME && !bl_quiz_has_digit_names (bl_quiz_round_get_board (self->round), question);
}

/* A row for each choice; answered: the right one is strong, the one taken is struck where it was not right. */
static void
show_choices (BlWayView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  gboolean digits = digits_choose (self, question);

  bl_widget_clear (self->choices);
  gtk_widget_set_visible (self->choices, question->kind == BL_QUIZ_NAME);
  for (guint i = 0; i < bl_len (question->choices); i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      g_autofree char *digit = g_strdup_printf ("%u", i + 1);
      gboolean right = g_strcmp0 (choice->id, question->answer) == 0;
      gboolean taken = judged != NULL && g_strcmp0 (choice->id, judged->there) == 0;
      GtkWidget *row = bl_act_button ("choice-row", choice->words, digits ? digit : NULL, TRUE);
      gtk_widget_set_sensitive (row, judged == NULL);
      if (judged != NULL)
        gtk_widget_add_css_class (row, right ? "right" : taken ? "taken" : "rest");
      bl_button_tells (row, g_strdup (choice->id), choice_pressed, self);
      gtk_box_append (GTK_BOX (self->choices), row);
    }
}

static void
show_verdict (BlWayView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  const char *shown = bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo));
  g_autofree char *reason = judged != NULL
                                ? bl_way_reason_words (self->round, question, judged, self->pressed_on, shown)
                                : NULL;

  gtk_widget_set_visible (self->verdict, judged != NULL);
  gtk_widget_set_visible (self->skip, judged == NULL);
  gtk_widget_set_visible (self->next, judged != NULL);
  if (judged == NULL)
    return;
  bl_widget_clear (self->mark);
  gtk_box_append (GTK_BOX (self->mark), bl_round_mark_new (judged->mark));
  gtk_label_set_label (GTK_LABEL (self->word), bl_round_mark_word (judged->mark));
  gtk_label_set_label (GTK_LABEL (self->reason), reason);
}

static void
show_question (BlWayView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round));
  gboolean named = question->kind == BL_QUIZ_NAME;

  gtk_label_set_label (GTK_LABEL (self->asks), bl_way_asks_words (question));
  gtk_label_set_label (GTK_LABEL (self->title), named && judged == NULL ? _ ("What is it?") : question->title);
  gtk_label_set_label (GTK_LABEL (self->hint),
                       named ? _ ("Type its name, or choose.") : _ ("Press it on the photo, on whichever side it is."));
  gtk_widget_set_visible (self->hint, judged == NULL);
  gtk_widget_set_visible (self->entry, named && judged == NULL);
  show_choices (self, question, judged);
  show_verdict (self, question, judged);
}

static void
show_keys (BlWayView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  gboolean open = question != NULL && bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round)) == NULL;
  gboolean digits = open && digits_choose (self, question);

  gtk_widget_set_visible (self->skip_cap, digits || (open && question->kind == BL_QUIZ_PLACE));
  bl_way_keys_show (self->keys, open ? question : NULL, digits);
}

/* The round is over. */
static void
show_end (BlWayView *self)
{
  guint right, near, wrong;

  bl_quiz_round_tally (self->round, &right, &near, &wrong);
  g_autofree char *words = g_strdup_printf (_ ("%u right, %u near, %u not right"), right, near, wrong);
  gtk_label_set_label (GTK_LABEL (self->asks), _ ("This round is done."));
  gtk_label_set_label (GTK_LABEL (self->title), words);
  gtk_label_set_label (GTK_LABEL (self->hint),
                       _ ("A kind of section whose last answer was not right is due again today; the others later, each "
                          "time after twice as many days."));
  gtk_widget_set_visible (self->hint, TRUE);
  gtk_widget_set_visible (self->entry, FALSE);
  gtk_widget_set_visible (self->choices, FALSE);
  gtk_widget_set_visible (self->verdict, FALSE);
  gtk_widget_set_visible (self->skip, FALSE);
  gtk_label_set_label (GTK_LABEL (self->next_word), _ ("Another round"));
  bl_widget_name (self->next, _ ("Another round"));
  gtk_widget_set_visible (self->next, TRUE);
}

static void
show_all (BlWayView *self)
{
  bl_round_head_show (BL_ROUND_HEAD (self->head), self->round);
  if (bl_quiz_round_question (self->round) != NULL)
    show_question (self);
  else
    show_end (self);
  show_keys (self);
  show_photo (self);
}

/* --- answering --- */

/* Takes judgement. */
static void
answer (BlWayView *self, BlQuizJudgement *judgement)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  guint place = bl_quiz_round_place (self->round);
  BlQuizWhere where;
  GError *error = NULL;

  if (bl_quiz_round_judged (self->round, place) != NULL)
    {
      bl_quiz_judgement_free (judgement);
      return;
    }
  if (!bl_quiz_round_keep (self->round, judgement, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The answer was not kept"), error);
      return;
    }
  bl_round_log_add (self->log, question->title, bl_quiz_round_judged (self->round, place)->mark);
  bl_photo_view_set_aim (bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo)), NAN, NAN);
  if (bl_quiz_where (bl_quiz_round_get_board (self->round), question->of, question->id,
                     bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo)), &where))
    bl_quiz_photo_show (BL_QUIZ_PHOTO (self->photo), where.photo);
  show_all (self);
  gtk_widget_grab_focus (self->next);
}

static void
press (BlWayView *self, double x, double y)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const char *photo = bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo));

  if (question == NULL || question->kind != BL_QUIZ_PLACE || photo == NULL
      || bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round)) != NULL)
    return;
  self->press_x = x;
  self->press_y = y;
  g_free (self->pressed_on);
  self->pressed_on = g_strdup (photo);
  answer (self, bl_quiz_judge_place (bl_quiz_round_get_board (self->round), question, photo, x, y));
}

static void
clicked (BlPhotoView *view, double x, double y, BlWayView *self)
{
  press (self, x, y);
}

/* Nothing was answered: that counts as not right, and the answer is shown. */
static void
give_up (BlWayView *self)
{
  answer (self, bl_quiz_judgement_new ());
}

static void
typed (BlWayView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  g_autoptr (GError) error = NULL;

  if (question == NULL || *text == '\0')
    return;
  BlQuizJudgement *judgement = bl_quiz_judge_typed (bl_quiz_round_get_board (self->round), question, text, &error);
  if (judgement != NULL)
    answer (self, judgement);
  else
    {
      gtk_label_set_label (GTK_LABEL (self->hint), error->message);
      gtk_editable_select_region (GTK_EDITABLE (self->entry), 0, -1);
    }
}

/* Begins the question that is in hand now. */
static void
begin_question (BlWayView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  BlQuizWhere where;

  self->press_x = self->press_y = NAN;
  g_clear_pointer (&self->pressed_on, g_free);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  if (question != NULL && question->kind == BL_QUIZ_NAME
      && bl_quiz_where (bl_quiz_round_get_board (self->round), question->of, question->id,
                        bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo)), &where))
    bl_quiz_photo_show (BL_QUIZ_PHOTO (self->photo), where.photo);
  bl_photo_view_fit (bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo)));
  show_all (self);
  bl_way_view_focus (self);
}

static void
go_on (BlWayView *self)
{
  if (bl_quiz_round_question (self->round) == NULL)
    {
      g_signal_emit (self, signals[AGAIN], 0);
      return;
    }
  bl_quiz_round_next (self->round);
  begin_question (self);
}

static void
leave (BlWayView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

void
bl_way_view_focus (BlWayView *self)
{
  g_return_if_fail (BL_IS_WAY_VIEW (self));
  GtkWidget *view = GTK_WIDGET (bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo)));

  gtk_widget_grab_focus (gtk_widget_get_visible (self->next)    ? self->next
                         : gtk_widget_get_visible (self->entry) ? self->entry
                                                                : view);
}

/* --- keys --- */

static gboolean
is_enter (guint keyval)
{
  return keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter;
}

static gboolean
move_cross (BlWayView *self, guint keyval, GdkModifierType state)
{
  BlPhotoView *view = bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo));
  double step = state & GDK_SHIFT_MASK ? STEP / 6 : STEP;
  double dx = keyval == GDK_KEY_Left ? -step : keyval == GDK_KEY_Right ? step : 0;
  double dy = keyval == GDK_KEY_Up ? -step : keyval == GDK_KEY_Down ? step : 0;

  if (dx == 0 && dy == 0)
    return FALSE;
  bl_photo_view_move_aim (view, dx, dy);
  return TRUE;
}

static gboolean
place_key (BlWayView *self, guint keyval, GdkModifierType state, GtkWidget *focus)
{
  BlPhotoView *view = bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo));
  double x, y;

  if (move_cross (self, keyval, state))
    return TRUE;
  if ((is_enter (keyval) || keyval == GDK_KEY_space) && !GTK_IS_BUTTON (focus))
    {
      if (bl_photo_view_get_aim (view, &x, &y))
        press (self, x, y);
      else
        bl_photo_view_move_aim (view, 0, 0);
      return TRUE;
    }
  if (keyval == GDK_KEY_0 || keyval == GDK_KEY_KP_0)
    return give_up (self), TRUE;
  return bl_quiz_photo_key (BL_QUIZ_PHOTO (self->photo), keyval, state);
}

/* A digit means a choice while nothing is typed. */
static gboolean
name_key (BlWayView *self, const BlQuizQuestion *question, guint keyval, GdkModifierType state)
{
  gboolean empty = *gtk_editable_get_text (GTK_EDITABLE (self->entry)) == '\0';
  guint32 letter = gdk_keyval_to_unicode (keyval);

  if (keyval == GDK_KEY_F3)
    return bl_quiz_photo_key (BL_QUIZ_PHOTO (self->photo), keyval, state);
  if (!empty || letter < '0' || letter > '9' || letter - '0' > bl_len (question->choices)
      || !digits_choose (self, question))
    return FALSE;
  if (letter == '0')
    give_up (self);
  else
    choice_pressed (((BlQuizChoice *) bl_at (question->choices, letter - '1'))->id, self);
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlWayView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  gboolean judged = bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round)) != NULL;
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  if (keyval == GDK_KEY_Escape)
    {
      if (*gtk_editable_get_text (GTK_EDITABLE (self->entry)) != '\0')
        gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
      else
        leave (self);
      return GDK_EVENT_STOP;
    }
  if (question == NULL || judged)
    {
      if ((is_enter (keyval) || keyval == GDK_KEY_space) && !GTK_IS_BUTTON (focus))
        return go_on (self), GDK_EVENT_STOP;
      return bl_quiz_photo_key (BL_QUIZ_PHOTO (self->photo), keyval, state) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
    }
  if (question->kind == BL_QUIZ_PLACE)
    return place_key (self, keyval, state, focus) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
  return name_key (self, question, keyval, state) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

static GtkWidget *
wrapped (const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  return label;
}

static GtkWidget *
verdict_new (BlWayView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->mark = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->word = bl_label ("", "word", 0);
  self->reason = wrapped (NULL);
  gtk_box_append (GTK_BOX (line), self->mark);
  gtk_box_append (GTK_BOX (line), self->word);
  gtk_box_append (GTK_BOX (box), line);
  gtk_box_append (GTK_BOX (box), self->reason);
  return self->verdict = box;
}

static GtkWidget *
buttons_new (BlWayView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->skip = bl_act_button ("plain", _ ("I do not know"), "0", FALSE);
  self->skip_cap = gtk_widget_get_last_child (gtk_button_get_child (GTK_BUTTON (self->skip)));
  self->next = gtk_button_new ();
  self->next_word = bl_label (_ ("Next"), NULL, 0.5);
  gtk_box_append (GTK_BOX (inner), self->next_word);
  gtk_box_append (GTK_BOX (inner), bl_key_cap (_ ("Enter")));
  gtk_button_set_child (GTK_BUTTON (self->next), inner);
  gtk_widget_add_css_class (self->next, "firm");
  bl_widget_name (self->next, _ ("Next"));
  g_signal_connect_object (self->skip, "clicked", G_CALLBACK (give_up), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->next, "clicked", G_CALLBACK (go_on), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (box), self->skip);
  gtk_box_append (GTK_BOX (box), self->next);
  gtk_widget_set_margin_top (box, 6);
  gtk_widget_set_margin_bottom (box, 6);
  return box;
}

static GtkWidget *
panel_new (BlWayView *self)
{
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);

  self->asks = bl_label ("", "muted", 0);
  self->title = wrapped ("point");
  self->hint = wrapped ("muted");
  self->entry = gtk_entry_new ();
  self->choices = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (self->entry, "quiz-entry");
  bl_widget_name (self->entry, _ ("Name of what is lit"));
  g_signal_connect_object (self->entry, "activate", G_CALLBACK (typed), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (panel), self->asks);
  gtk_box_append (GTK_BOX (panel), self->title);
  gtk_box_append (GTK_BOX (panel), self->hint);
  gtk_box_append (GTK_BOX (panel), self->entry);
  gtk_box_append (GTK_BOX (panel), self->choices);
  gtk_box_append (GTK_BOX (panel), verdict_new (self));
  gtk_box_append (GTK_BOX (panel), buttons_new (self));
  gtk_widget_add_css_class (panel, "focus-panel");
  return self->panel = panel;
}

static void
bl_way_view_dispose (GObject *object)
{
  BlWayView *self = BL_WAY_VIEW (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->pressed_on, g_free);
  g_clear_object (&self->round);
  G_OBJECT_CLASS (bl_way_view_parent_class)->dispose (object);
}

static void
bl_way_view_class_init (BlWayViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_way_view_dispose;
  signals[DONE] = g_signal_new ("done", BL_TYPE_WAY_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[AGAIN] = g_signal_new ("again", BL_TYPE_WAY_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_way_view_init (BlWayView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->press_x = self->press_y = NAN;
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
bl_way_view_new (BlQuizRound *round)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (round), NULL);
  BlWayView *self = g_object_new (BL_TYPE_WAY_VIEW, NULL);
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  const char *const none[] = { NULL };

  self->round = g_object_ref (round);
  self->head = bl_round_head_new (_ ("Find your way"), bl_quiz_round_get_title (round));
  self->photo = bl_quiz_photo_new (round);
  gtk_box_append (GTK_BOX (body), self->photo);
  gtk_box_append (GTK_BOX (body), bl_round_column_new (panel_new (self), COLUMN, &self->log));
  gtk_widget_add_css_class (self->head, "round-head");
  gtk_widget_add_css_class (body, "round-body");
  gtk_widget_set_vexpand (body, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->head);
  gtk_box_append (GTK_BOX (self->box), body);
  self->keys = bl_round_keys_new (none);
  gtk_box_append (GTK_BOX (self->box), self->keys);
  g_signal_connect_object (self->head, "left", G_CALLBACK (leave), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bl_quiz_photo_get_view (BL_QUIZ_PHOTO (self->photo)), "clicked", G_CALLBACK (clicked), self, 0);
  g_signal_connect_object (self->photo, "turned", G_CALLBACK (show_photo), self, G_CONNECT_SWAPPED);
  begin_question (self);
  return GTK_WIDGET (self);
}
