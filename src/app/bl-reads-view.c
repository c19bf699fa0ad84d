/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The screen of What should it read. The four questions about a measurement stand one below the other in the order a
 * technician sets up in, each with what came of it; the one in hand is open. */
#include "config.h"

#include "bl-reads-view.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-quiz-photo.h"
#include "bl-round-head.h"
#include "bl-ruler.h"
#include "bl-shell.h"
#include "bl-style.h"

enum { COLUMN = 500, LANE = 40, FIGURES = 13 }; /* px */

struct _BlReadsView
{
  GtkWidget parent_instance;

  BlQuizRound *round;
  GtkWidget *box, *head, *photo, *asks, *title, *lines, *choices, *entry, *hint, *ruler, *skip, *next, *next_word, *log,
      *keys;
};

enum { DONE, AGAIN, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlReadsView, bl_reads_view, GTK_TYPE_WIDGET)

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
  const BlBoard *board = bl_quiz_round_get_board (self->round);

  return question->kind == BL_QUIZ_VALUE ? bl_format_expected (board, bl_board_measurement (board, question->id))
                                         : g_strdup (choice_words (question, question->answer));
}

/* What was answered instead; NULL: nothing. (transfer full) */
static char *
instead_words (BlReadsView *self, const BlQuizQuestion *question, const BlQuizJudgement *judged)
{
  const BlMeasurement *measurement = bl_board_measurement (bl_quiz_round_get_board (self->round), question->id);

  if (judged->mark == BL_QUIZ_RIGHT)
    return NULL;
  if (question->kind == BL_QUIZ_VALUE)
    return judged->verdict != NULL ? bl_format_reading (measurement->measures, &judged->reading) : NULL;
  return g_strdup (judged->there != NULL ? choice_words (question, judged->there) : NULL);
}

/* --- showing --- */

static void
show_photo (BlReadsView *self)
{
  BlQuizPhoto *photo = BL_QUIZ_PHOTO (self->photo);
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const BlMeasurement *measurement = question != NULL
                                         ? bl_board_measurement (bl_quiz_round_get_board (self->round), question->id)
                                         : NULL;
  guint first, last;

  bl_quiz_photo_clear (photo);
  if (measurement != NULL && measurement->at != NULL)
    bl_quiz_photo_mark (photo, BL_QUIZ_POINT, measurement->at, measurement->at, TRUE);
  bl_quiz_round_group (self->round, &first, &last);
  for (guint i = first; measurement != NULL && measurement->black != NULL && i <= last; i++)
    if (bl_quiz_round_at (self->round, i)->kind == BL_QUIZ_BLACK && bl_quiz_round_judged (self->round, i) != NULL)
      bl_quiz_photo_mark_black (photo, measurement->black);
  bl_quiz_photo_done (photo);
}

/* "board state   [] running   not: standby" */
static GtkWidget *
line_new (BlReadsView *self, guint place)
{
  const BlQuizQuestion *question = bl_quiz_round_at (self->round, place);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->round, place);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label = bl_label (kind_words (question->kind), "muted", 0);
  gboolean in_hand = judged == NULL && place == bl_quiz_round_place (self->round);

  gtk_widget_set_size_request (label, 92, -1);
  gtk_box_append (GTK_BOX (row), label);
  gtk_widget_add_css_class (row, "reads-line");
  if (judged == NULL)
    {
      gtk_box_append (GTK_BOX (row), bl_label (in_hand ? _ ("?") : "·", in_hand ? "strong" : "muted", 0));
      return row;
    }
  g_autofree char *answer = answer_words (self, question), *instead = instead_words (self, question, judged);
  GtkWidget *words = bl_label (answer, "strong", 0);
  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 26);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (row), bl_round_mark_new (judged->mark));
  gtk_box_append (GTK_BOX (row), words);
  if (instead != NULL)
    {
      g_autofree char *said = g_strdup_printf (judged->mark == BL_QUIZ_NEAR ? _ ("near: %s") : _ ("not: %s"), instead);
      GtkWidget *other = bl_label (said, "muted", 1);
      gtk_label_set_ellipsize (GTK_LABEL (other), PANGO_ELLIPSIZE_END);
      gtk_widget_set_tooltip_text (other, instead);
      gtk_box_append (GTK_BOX (row), other);
    }
  else
    gtk_box_append (GTK_BOX (row), bl_label (bl_round_mark_word (judged->mark), "muted", 1));
  return row;
}

static void answer (BlReadsView *self, BlQuizJudgement *judgement);

static void
choice_pressed (const char *id, gpointer data)
{
  BlReadsView *self = data;
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);

  if (question != NULL)
    answer (self, bl_quiz_judge_choice (question, id));
}

static void
show_choices (BlReadsView *self, const BlQuizQuestion *question)
{
  static const char keys[] = "123456789abcdefghijklmnop"; /* what a board measures may be more than nine kinds */

  bl_widget_clear (self->choices);
  for (guint i = 0; question != NULL && i < bl_len (question->choices); i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      const char cap[] = { i < sizeof keys - 1 ? keys[i] : ' ', '\0' };
      GtkWidget *row = bl_act_button ("choice-row", choice->words, cap, TRUE);
      bl_button_tells (row, g_strdup (choice->id), choice_pressed, self);
      gtk_box_append (GTK_BOX (self->choices), row);
    }
}

static void
show_ruler (BlReadsView *self, guint last)
{
  const BlQuizQuestion *question = bl_quiz_round_at (self->round, last);
  const BlQuizJudgement *judged = bl_quiz_round_judged (self->round, last);
  gboolean shown = question != NULL && question->kind == BL_QUIZ_VALUE && judged != NULL && judged->band != NULL;

  gtk_widget_set_visible (self->ruler, shown);
  if (shown)
    bl_ruler_show (BL_RULER (self->ruler), judged->band, &judged->reading, judged->verdict, FALSE);
}

static void
show_question (BlReadsView *self, const BlQuizQuestion *question)
{
  guint first, last, place = bl_quiz_round_place (self->round);
  gboolean open = bl_quiz_round_judged (self->round, place) == NULL;
  const char *const asks[] = { [BL_QUIZ_STATE] = _ ("In which board state is this measured?"),
                               [BL_QUIZ_METER] = _ ("What is the meter set to?"),
                               [BL_QUIZ_BLACK] = _ ("Where is the black probe?"),
                               [BL_QUIZ_VALUE] = _ ("What does a board that works read here?") };

  bl_quiz_round_group (self->round, &first, &last);
  bl_widget_clear (self->lines);
  for (guint i = first; i <= last; i++)
    gtk_box_append (GTK_BOX (self->lines), line_new (self, i));
  gtk_label_set_label (GTK_LABEL (self->title), question->title);
  gtk_label_set_label (GTK_LABEL (self->asks), open ? asks[question->kind] : _ ("This is how it is taken:"));
  gtk_label_set_label (GTK_LABEL (self->hint), _ ("Type the value as a meter shows it: 4.98, 4k7, OL."));
  gtk_widget_set_visible (self->entry, open && question->kind == BL_QUIZ_VALUE);
  gtk_widget_set_visible (self->hint, open && question->kind == BL_QUIZ_VALUE);
  show_choices (self, open ? question : NULL);
  show_ruler (self, last);
  gtk_widget_set_visible (self->skip, open);
  gtk_widget_set_visible (self->next, !open);
}

static void
show_end (BlReadsView *self)
{
  guint right, near, wrong;

  bl_quiz_round_tally (self->round, &right, &near, &wrong);
  g_autofree char *words = g_strdup_printf (_ ("%u right, %u near, %u not right"), right, near, wrong);
  bl_widget_clear (self->lines);
  show_choices (self, NULL);
  gtk_label_set_label (GTK_LABEL (self->asks), _ ("This round is done."));
  gtk_label_set_label (GTK_LABEL (self->title), words);
  gtk_widget_set_visible (self->entry, FALSE);
  gtk_widget_set_visible (self->hint, FALSE);
  gtk_widget_set_visible (self->ruler, FALSE);
  gtk_widget_set_visible (self->skip, FALSE);
  gtk_widget_set_visible (self->next, TRUE);
  gtk_label_set_label (GTK_LABEL (self->next_word), _ ("Another round"));
  bl_widget_name (self->next, _ ("Another round"));
}

/* Those that do something now: a value is typed, and takes the others. */
static void
show_keys (BlReadsView *self, const BlQuizQuestion *question)
{
  gboolean open = question != NULL && bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round)) == NULL;
  const char *const value[] = { _ ("Enter"), _ ("keep"), "F3", _ ("front, back"), _ ("Esc"), _ ("back"), NULL };
  const char *const choose[] = { _ ("1 – 9"), _ ("choose"),      "0",          _ ("not known"),
                                 "F3",        _ ("front, back"), "+ −",        _ ("larger, smaller"),
                                 "Z",         _ ("whole board"), _ ("Esc"),    _ ("back"),
                                 NULL };
  const char *const look[] = { _ ("Enter"), _ ("next"),        "F3",       _ ("front, back"), "+ −", _ ("larger, smaller"),
                               "Z",         _ ("whole board"), _ ("Esc"),  _ ("back"),        NULL };

  bl_round_keys_show (self->keys, !open ? look : question->kind == BL_QUIZ_VALUE ? value : choose);
}

static void
show_all (BlReadsView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);

  bl_round_head_show (BL_ROUND_HEAD (self->head), self->round);
  if (question != NULL)
    show_question (self, question);
  else
    show_end (self);
  show_keys (self, question);
  show_photo (self);
}

/* --- answering --- */

/* Begins the question in hand: shows the photo that its point is on. */
static void
begin_question (BlReadsView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  BlQuizWhere where;

  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  if (question != NULL
      && bl_quiz_where (bl_quiz_round_get_board (self->round), question->of, question->id,
                        bl_quiz_photo_get_shown (BL_QUIZ_PHOTO (self->photo)), &where))
    bl_quiz_photo_show (BL_QUIZ_PHOTO (self->photo), where.photo);
  show_all (self);
  bl_reads_view_focus (self);
}

/* Takes judgement. The next question about the same measurement opens at once; after the last one there is something to
 * look at. */
static void
answer (BlReadsView *self, BlQuizJudgement *judgement)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  guint place = bl_quiz_round_place (self->round), first, last;
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
  g_autofree char *words = g_strdup_printf ("%s: %s", question->title, kind_words (question->kind));
  bl_round_log_add (self->log, words, bl_quiz_round_judged (self->round, place)->mark);
  bl_quiz_round_group (self->round, &first, &last);
  if (place < last)
    bl_quiz_round_next (self->round);
  begin_question (self);
}

static void
give_up (BlReadsView *self)
{
  answer (self, bl_quiz_judgement_new ());
}

static void
typed (BlReadsView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  g_autoptr (GError) error = NULL;

  if (question == NULL || question->kind != BL_QUIZ_VALUE || *text == '\0')
    return;
  BlQuizJudgement *judgement = bl_quiz_judge_value (bl_quiz_round_get_board (self->round), question, text, &error);
  if (judgement != NULL)
    answer (self, judgement);
  else
    gtk_label_set_label (GTK_LABEL (self->hint), error->message);
}

static void
go_on (BlReadsView *self)
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
leave (BlReadsView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

void
bl_reads_view_focus (BlReadsView *self)
{
  g_return_if_fail (BL_IS_READS_VIEW (self));

  gtk_widget_grab_focus (gtk_widget_get_visible (self->next)    ? self->next
                         : gtk_widget_get_visible (self->entry) ? self->entry
                                                                : GTK_WIDGET (bl_quiz_photo_get_view (
                                                                      BL_QUIZ_PHOTO (self->photo))));
}

/* --- keys --- */

/* Number of the choice a key stands for; -1: none. */
static int
choice_of_key (guint keyval)
{
  guint32 letter = gdk_keyval_to_unicode (gdk_keyval_to_lower (keyval));

  if (letter >= '1' && letter <= '9')
    return (int) letter - '1';
  return letter >= 'a' && letter <= 'p' ? (int) letter - 'a' + 9 : -1;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlReadsView *self)
{
  const BlQuizQuestion *question = bl_quiz_round_question (self->round);
  gboolean open = question != NULL && bl_quiz_round_judged (self->round, bl_quiz_round_place (self->round)) == NULL;
  gboolean value = open && question->kind == BL_QUIZ_VALUE;
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));
  int choice = choice_of_key (keyval);

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
  if (value && bl_widget_is_text (focus))
    return keyval == GDK_KEY_F3 && bl_quiz_photo_key (BL_QUIZ_PHOTO (self->photo), keyval, state) ? GDK_EVENT_STOP
                                                                                                 : GDK_EVENT_PROPAGATE;
  if (open && !value && (keyval == GDK_KEY_0 || keyval == GDK_KEY_KP_0))
    return give_up (self), GDK_EVENT_STOP;
  if (open && !value && choice >= 0 && (guint) choice < bl_len (question->choices))
    {
      choice_pressed (((BlQuizChoice *) bl_at (question->choices, (guint) choice))->id, self);
      return GDK_EVENT_STOP;
    }
  if (!open && (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter || keyval == GDK_KEY_space) && !GTK_IS_BUTTON (focus))
    return go_on (self), GDK_EVENT_STOP;
  return bl_quiz_photo_key (BL_QUIZ_PHOTO (self->photo), keyval, state) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

static GtkWidget *
wrapped (const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  return label;
}

static GtkWidget *
buttons_new (BlReadsView *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->skip = bl_act_button ("plain", _ ("I do not know"), NULL, FALSE);
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
panel_new (BlReadsView *self)
{
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);

  self->title = wrapped ("point");
  self->lines = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->asks = wrapped ("strong");
  self->hint = wrapped ("muted");
  self->entry = gtk_entry_new ();
  self->choices = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->ruler = bl_ruler_new ();
  bl_ruler_set_sizes (BL_RULER (self->ruler), LANE, FIGURES, TRUE, TRUE);
  gtk_widget_add_css_class (self->entry, "quiz-entry");
  bl_widget_name (self->entry, _ ("What it should read"));
  g_signal_connect_object (self->entry, "activate", G_CALLBACK (typed), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (panel), self->title);
  gtk_box_append (GTK_BOX (panel), self->lines);
  gtk_box_append (GTK_BOX (panel), self->ruler);
  gtk_box_append (GTK_BOX (panel), self->asks);
  gtk_box_append (GTK_BOX (panel), self->hint);
  gtk_box_append (GTK_BOX (panel), self->entry);
  gtk_box_append (GTK_BOX (panel), self->choices);
  gtk_box_append (GTK_BOX (panel), buttons_new (self));
  gtk_widget_add_css_class (panel, "focus-panel");
  return panel;
}

static void
bl_reads_view_dispose (GObject *object)
{
  BlReadsView *self = BL_READS_VIEW (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->round);
  G_OBJECT_CLASS (bl_reads_view_parent_class)->dispose (object);
}

static void
bl_reads_view_class_init (BlReadsViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_reads_view_dispose;
  signals[DONE] = g_signal_new ("done", BL_TYPE_READS_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[AGAIN] = g_signal_new ("again", BL_TYPE_READS_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_reads_view_init (BlReadsView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
bl_reads_view_new (BlQuizRound *round)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (round), NULL);
  BlReadsView *self = g_object_new (BL_TYPE_READS_VIEW, NULL);
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  const char *const none[] = { NULL };

  self->round = g_object_ref (round);
  self->head = bl_round_head_new (_ ("What should it read?"), bl_quiz_round_get_title (round));
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
  g_signal_connect_object (self->photo, "turned", G_CALLBACK (show_photo), self, G_CONNECT_SWAPPED);
  begin_question (self);
  return GTK_WIDGET (self);
}
