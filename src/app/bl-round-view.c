/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rounds of questions have in common: their page, answering, going on, the keys, and the end. Some ten questions
 * a round; the page is filled anew after each act. */
#include "config.h"

#include "bl-round-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-round-head.h"
#include "bl-shell.h"
#include "bl-style.h"

typedef struct
{
  BlRoundParts parts;
  GtkWidget *box, *head, *panel, *skip, *skip_cap, *next, *next_word, *log, *keys;
} BlRoundViewPrivate;

enum { DONE, AGAIN, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_ABSTRACT_TYPE_WITH_PRIVATE (BlRoundView, bl_round_view, GTK_TYPE_WIDGET)

#define PRIVATE(self) ((BlRoundViewPrivate *) bl_round_view_get_instance_private (self))

const BlRoundParts *
bl_round_view_parts (BlRoundView *self)
{
  g_return_val_if_fail (BL_IS_ROUND_VIEW (self), NULL);
  return &PRIVATE (self)->parts;
}

static const BlQuizQuestion *
in_hand (BlRoundView *self, const BlQuizJudgement **judged)
{
  BlQuizRound *round = PRIVATE (self)->parts.round;

  *judged = bl_quiz_round_judged (round, bl_quiz_round_place (round));
  return bl_quiz_round_question (round);
}

/* The question that waits for an answer; NULL: none. */
static const BlQuizQuestion *
open_question (BlRoundView *self)
{
  const BlQuizJudgement *judged;
  const BlQuizQuestion *question = in_hand (self, &judged);

  return judged == NULL ? question : NULL;
}

/* --- showing --- */

static void
choice_pressed (const char *id, gpointer data)
{
  const BlQuizQuestion *question = open_question (data);

  if (question != NULL)
    bl_round_view_answer (data, bl_quiz_judge_choice (question, id));
}

/* The last of the labels of a row wraps: a board state may be described at length. */
static GtkWidget *
choice_row_new (const char *words, const char *cap)
{
  GtkWidget *row = bl_act_button ("choice-row", words, cap, TRUE), *child = gtk_button_get_child (GTK_BUTTON (row));
  GtkWidget *label = cap != NULL ? gtk_widget_get_last_child (child) : child;

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  gtk_widget_set_hexpand (label, TRUE);
  return row;
}

void
bl_round_view_choices (BlRoundView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  g_return_if_fail (BL_IS_ROUND_VIEW (self));
  BlRoundParts *parts = &PRIVATE (self)->parts;
  const char *caps = question != NULL ? BL_ROUND_VIEW_GET_CLASS (self)->caps (self, question) : NULL;

  bl_widget_clear (parts->choices);
  gtk_widget_set_visible (parts->choices, question != NULL && bl_len (question->choices) > 0);
  for (guint i = 0; question != NULL && i < bl_len (question->choices); i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      const char cap[] = { caps == NULL ? '\0' : i < strlen (caps) ? caps[i] : ' ', '\0' };
      gboolean right = g_strcmp0 (choice->id, question->answer) == 0;
      gboolean taken = judged != NULL && g_strcmp0 (choice->id, judged->there) == 0;
      GtkWidget *row = choice_row_new (choice->words, caps != NULL ? cap : NULL);
      gtk_widget_set_sensitive (row, judged == NULL);
      if (judged != NULL)
        gtk_widget_add_css_class (row, right ? "right" : taken ? "taken" : "rest");
      bl_button_tells (row, g_strdup (choice->id), choice_pressed, self);
      gtk_box_append (GTK_BOX (parts->choices), row);
    }
}

static void
show_photo (BlRoundView *self)
{
  BlQuizPhoto *photo = PRIVATE (self)->parts.photo;
  const BlQuizJudgement *judged;
  const BlQuizQuestion *question = in_hand (self, &judged);

  bl_quiz_photo_clear (photo);
  BL_ROUND_VIEW_GET_CLASS (self)->mark (self, question, judged);
  bl_quiz_photo_done (photo);
}

/* The round is over: of the panel only what says so is left. */
static void
show_end (BlRoundView *self)
{
  BlRoundParts *parts = &PRIVATE (self)->parts;
  GtkWidget *child = gtk_widget_get_first_child (PRIVATE (self)->panel);
  guint right, near, wrong;

  bl_quiz_round_tally (parts->round, &right, &near, &wrong);
  g_autofree char *words = g_strdup_printf (_ ("%u right, %u near, %u not right"), right, near, wrong);
  for (; child != NULL; child = gtk_widget_get_next_sibling (child))
    gtk_widget_set_visible (child, child == parts->asks || child == parts->title || child == parts->hint
                                     || child == parts->buttons);
  gtk_label_set_label (GTK_LABEL (parts->asks), _ ("This round is done."));
  gtk_label_set_label (GTK_LABEL (parts->title), words);
  gtk_label_set_label (GTK_LABEL (parts->hint),
                       _ ("A kind of section whose last answer was not right is due again today; the others later, each "
                          "time after twice as many days."));
}

/* One button carries on: keeps what is typed, goes on, asks once more. */
static void
show_buttons (BlRoundView *self, const BlQuizQuestion *question, gboolean open)
{
  BlRoundViewPrivate *own = PRIVATE (self);
  gboolean typing = open && gtk_widget_get_visible (own->parts.entry);
  const char *words = typing ? _ ("Keep") : question != NULL ? _ ("Next") : _ ("Another round");

  gtk_widget_set_visible (own->skip, open);
  gtk_widget_set_visible (own->skip_cap, open && BL_ROUND_VIEW_GET_CLASS (self)->caps (self, question) != NULL);
  gtk_widget_set_visible (own->next, typing || !open);
  gtk_label_set_label (GTK_LABEL (own->next_word), words);
  bl_widget_name (own->next, words);
}

static void
show_keys (BlRoundView *self, const BlQuizQuestion *question, gboolean open)
{
  GtkWidget *strip = PRIVATE (self)->keys;
  const char *const look[] = { _ ("Enter"), question != NULL ? _ ("next") : _ ("another round"),
                               "F3",        bl_quiz_photo_turn_words (PRIVATE (self)->parts.photo),
                               "+ −",       _ ("larger, smaller"),
                               "Z",         _ ("whole board"),
                               _ ("Esc"),   _ ("back"),
                               NULL };

  if (open)
    BL_ROUND_VIEW_GET_CLASS (self)->keys (self, question, strip);
  else
    bl_round_keys_show (strip, look);
}

static void
show_all (BlRoundView *self)
{
  BlRoundViewPrivate *own = PRIVATE (self);
  const BlQuizJudgement *judged;
  const BlQuizQuestion *question = in_hand (self, &judged);
  gboolean open = question != NULL && judged == NULL;

  bl_round_head_show (BL_ROUND_HEAD (own->head), own->parts.round);
  if (question != NULL)
    BL_ROUND_VIEW_GET_CLASS (self)->show (self, question, judged);
  else
    show_end (self);
  show_buttons (self, question, open);
  show_keys (self, question, open);
  show_photo (self);
}

void
bl_round_view_focus (BlRoundView *self)
{
  g_return_if_fail (BL_IS_ROUND_VIEW (self));
  BlRoundViewPrivate *own = PRIVATE (self);

  gtk_widget_grab_focus (open_question (self) == NULL                ? own->next
                         : gtk_widget_get_visible (own->parts.entry) ? own->parts.entry
                                                                     : GTK_WIDGET (bl_quiz_photo_get_view (own->parts.photo)));
}

/* --- answering --- */

static void
show_where (BlRoundView *self, const BlQuizQuestion *question)
{
  BlRoundParts *parts = &PRIVATE (self)->parts;
  BlQuizWhere where;

  if (bl_quiz_where (bl_quiz_round_get_board (parts->round), question->of, question->id,
                     bl_quiz_photo_get_shown (parts->photo), &where))
    bl_quiz_photo_show (parts->photo, where.photo);
}

/* Begins the question in hand: the photo that it is about is shown, unless that is what is asked. */
static void
begin_question (BlRoundView *self)
{
  const BlQuizQuestion *question = open_question (self);

  gtk_editable_set_text (GTK_EDITABLE (PRIVATE (self)->parts.entry), "");
  gtk_widget_add_css_class (PRIVATE (self)->parts.hint, "muted");
  if (question != NULL && question->kind != BL_QUIZ_PLACE)
    show_where (self, question);
  show_all (self);
  bl_round_view_focus (self);
}

static void
add_to_log (BlRoundView *self, const BlQuizQuestion *question, BlQuizMark mark)
{
  BlRoundViewClass *klass = BL_ROUND_VIEW_GET_CLASS (self);
  g_autofree char *words = klass->log_words != NULL ? klass->log_words (question) : g_strdup (question->title);

  bl_round_log_add (PRIVATE (self)->log, words, mark);
}

/* The next question about the same thing opens at once; after the last one there is something to look at. */
void
bl_round_view_answer (BlRoundView *self, BlQuizJudgement *judgement)
{
  g_return_if_fail (BL_IS_ROUND_VIEW (self) && judgement != NULL);
  BlRoundParts *parts = &PRIVATE (self)->parts;
  const BlQuizQuestion *question = open_question (self);
  guint place = bl_quiz_round_place (parts->round), first, last;
  GError *error = NULL;

  if (question == NULL)
    {
      bl_quiz_judgement_free (judgement);
      return;
    }
  if (!bl_quiz_round_keep (parts->round, judgement, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The answer was not kept"), error);
      return;
    }
  add_to_log (self, question, bl_quiz_round_judged (parts->round, place)->mark);
  bl_photo_view_set_aim (bl_quiz_photo_get_view (parts->photo), NAN, NAN);
  show_where (self, question);
  bl_quiz_round_group (parts->round, &first, &last);
  if (place < last)
    bl_quiz_round_next (parts->round);
  begin_question (self);
}

/* Nothing was answered: that counts as not right, and the answer is shown. */
static void
give_up (BlRoundView *self)
{
  bl_round_view_answer (self, bl_quiz_judgement_new ());
}

static void
typed (BlRoundView *self)
{
  BlRoundParts *parts = &PRIVATE (self)->parts;
  const BlQuizQuestion *question = open_question (self);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (parts->entry));
  g_autoptr (GError) error = NULL;

  if (question == NULL || *text == '\0')
    return;
  BlQuizJudgement *judgement = BL_ROUND_VIEW_GET_CLASS (self)->judge (self, question, text, &error);
  if (judgement != NULL)
    bl_round_view_answer (self, judgement);
  else
    {
      gtk_label_set_label (GTK_LABEL (parts->hint), error->message);
      gtk_widget_remove_css_class (parts->hint, "muted"); /* or it looks like the hint that stood there */
      gtk_editable_select_region (GTK_EDITABLE (parts->entry), 0, -1);
    }
}

static void
go_on (BlRoundView *self)
{
  BlRoundParts *parts = &PRIVATE (self)->parts;

  if (open_question (self) != NULL)
    {
      gtk_widget_grab_focus (parts->entry);
      typed (self);
      return;
    }
  if (bl_quiz_round_question (parts->round) == NULL)
    {
      g_signal_emit (self, signals[AGAIN], 0);
      return;
    }
  bl_quiz_round_next (parts->round);
  bl_photo_view_fit (bl_quiz_photo_get_view (parts->photo));
  begin_question (self);
}

static void
leave (BlRoundView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

/* --- keys --- */

static void
escape (BlRoundView *self)
{
  GtkEditable *entry = GTK_EDITABLE (PRIVATE (self)->parts.entry);

  if (*gtk_editable_get_text (entry) != '\0')
    gtk_editable_set_text (entry, "");
  else
    leave (self);
}

/* Nothing is typed that a key would add to: a refused answer stands there selected, to be read, and a key would replace it. */
static gboolean
entry_is_free (BlRoundView *self)
{
  GtkEditable *entry = GTK_EDITABLE (PRIVATE (self)->parts.entry);
  int from, to;

  return *gtk_editable_get_text (entry) == '\0'
         || (gtk_editable_get_selection_bounds (entry, &from, &to)
             && to - from == g_utf8_strlen (gtk_editable_get_text (entry), -1));
}

/* A key means a choice while nothing is typed. */
static gboolean
choose (BlRoundView *self, const BlQuizQuestion *question, guint keyval)
{
  const char *caps = BL_ROUND_VIEW_GET_CLASS (self)->caps (self, question);
  guint32 letter = gdk_keyval_to_unicode (gdk_keyval_to_lower (keyval));
  const char *cap = caps != NULL && letter > 0 && letter < 128 ? strchr (caps, (int) letter) : NULL;

  if (caps == NULL || !entry_is_free (self))
    return FALSE;
  if (letter == '0')
    return give_up (self), TRUE;
  if (cap == NULL || (guint) (cap - caps) >= bl_len (question->choices))
    return FALSE;
  choice_pressed (((BlQuizChoice *) bl_at (question->choices, (guint) (cap - caps)))->id, self);
  return TRUE;
}

static gboolean
open_key (BlRoundView *self, const BlQuizQuestion *question, guint keyval, GdkModifierType state, GtkWidget *focus)
{
  BlRoundViewClass *klass = BL_ROUND_VIEW_GET_CLASS (self);

  if (choose (self, question, keyval) || (klass->key != NULL && klass->key (self, question, keyval, state)))
    return TRUE;
  if (bl_widget_is_text (focus) && keyval != GDK_KEY_F3)
    return keyval == GDK_KEY_Up; /* would leave the page for what is above it */
  return bl_quiz_photo_key (PRIVATE (self)->parts.photo, keyval, state);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlRoundView *self)
{
  const BlQuizQuestion *question = open_question (self);
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));
  gboolean on = keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter || keyval == GDK_KEY_space;

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  if (keyval == GDK_KEY_Escape)
    return escape (self), GDK_EVENT_STOP;
  if (question != NULL)
    return open_key (self, question, keyval, state, focus) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
  if (on && !GTK_IS_BUTTON (focus))
    return go_on (self), GDK_EVENT_STOP;
  return bl_quiz_photo_key (PRIVATE (self)->parts.photo, keyval, state) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

GtkWidget *
bl_round_words_new (const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  return label;
}

static GtkWidget *
buttons_new (BlRoundView *self)
{
  BlRoundViewPrivate *own = PRIVATE (self);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  own->skip = bl_act_button ("plain", _ ("I do not know"), "0", FALSE);
  own->skip_cap = gtk_widget_get_last_child (gtk_button_get_child (GTK_BUTTON (own->skip)));
  own->next = gtk_button_new ();
  own->next_word = bl_label ("", NULL, 0.5);
  gtk_box_append (GTK_BOX (inner), own->next_word);
  gtk_box_append (GTK_BOX (inner), bl_key_cap (_ ("Enter")));
  gtk_button_set_child (GTK_BUTTON (own->next), inner);
  gtk_widget_add_css_class (own->next, "firm");
  g_signal_connect_object (own->skip, "clicked", G_CALLBACK (give_up), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (own->next, "clicked", G_CALLBACK (go_on), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (box), own->skip);
  gtk_box_append (GTK_BOX (box), own->next);
  gtk_widget_set_margin_top (box, 6);
  gtk_widget_set_margin_bottom (box, 6);
  return box;
}

void
bl_round_view_set_up (BlRoundView *self, BlQuizRound *round, const char *title, GtkWidget *panel, int column)
{
  g_return_if_fail (BL_IS_ROUND_VIEW (self) && BL_IS_QUIZ_ROUND (round) && GTK_IS_WIDGET (panel));
  BlRoundViewPrivate *own = PRIVATE (self);
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16), *photo = bl_quiz_photo_new (round);
  const char *const none[] = { NULL };

  own->parts.round = g_object_ref (round);
  own->parts.photo = BL_QUIZ_PHOTO (photo);
  own->panel = panel;
  own->head = bl_round_head_new (title, bl_quiz_round_get_title (round));
  own->keys = bl_round_keys_new (none);
  gtk_widget_add_css_class (panel, "focus-panel");
  gtk_widget_add_css_class (own->head, "round-head");
  gtk_widget_add_css_class (body, "round-body");
  gtk_widget_set_vexpand (body, TRUE);
  gtk_box_append (GTK_BOX (body), photo);
  gtk_box_append (GTK_BOX (body), bl_round_column_new (panel, column, &own->log));
  gtk_box_append (GTK_BOX (own->box), own->head);
  gtk_box_append (GTK_BOX (own->box), body);
  gtk_box_append (GTK_BOX (own->box), own->keys);
  g_signal_connect_object (own->head, "left", G_CALLBACK (leave), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (photo, "turned", G_CALLBACK (show_photo), self, G_CONNECT_SWAPPED);
  begin_question (self);
}

static void
bl_round_view_dispose (GObject *object)
{
  BlRoundViewPrivate *own = PRIVATE (BL_ROUND_VIEW (object));

  g_clear_pointer (&own->box, gtk_widget_unparent);
  g_clear_object (&own->parts.round);
  G_OBJECT_CLASS (bl_round_view_parent_class)->dispose (object);
}

static void
bl_round_view_class_init (BlRoundViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_round_view_dispose;
  signals[DONE] = g_signal_new ("done", BL_TYPE_ROUND_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[AGAIN] = g_signal_new ("again", BL_TYPE_ROUND_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_round_view_init (BlRoundView *self)
{
  BlRoundViewPrivate *own = PRIVATE (self);
  GtkEventController *keys = gtk_event_controller_key_new ();

  own->parts.asks = bl_round_words_new (NULL);
  own->parts.title = bl_round_words_new ("point");
  own->parts.hint = bl_round_words_new ("muted");
  own->parts.entry = gtk_entry_new ();
  own->parts.choices = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  own->parts.buttons = buttons_new (self);
  gtk_widget_add_css_class (own->parts.entry, "quiz-entry");
  g_signal_connect_object (own->parts.entry, "activate", G_CALLBACK (typed), self, G_CONNECT_SWAPPED);
  own->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (own->box, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}
