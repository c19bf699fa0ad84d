/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A worked case on the screen. One step of the case is one round of the five headings, which always stand in the same
 * places; what is not told yet says so instead of being left out, so that one knows what comes. With SHOWN everything of a
 * step is there at once. With ASKED_NEXT what to measure is asked first; with ASKED what could cause it is told after the
 * answer as well. Odds are frequencies: of a hundred boards that read like this one, so many.
 *
 * The case computes; here is only which of its words are shown when. */
#include "config.h"

#include "bl-worked-view.h"

#include <glib/gi18n-lib.h>
#include "bl-case-photo.h"
#include "bl-drill-words.h"
#include "bl-format.h"
#include "bl-plan-words.h"
#include "bl-round-head.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-worked-rows.h"

#define MOST_ODDS 4

struct _BlWorkedView
{
  GtkWidget parent_instance;

  BlPractice *practice;
  BlWorkedCase *worked;
  BlWorkedHelp help;
  GtkWidget *box, *photo, *column, *where, *go, *go_words, *leave, *keys;
  guint step;         /* shown; the number of steps: the end, or one that is not worked out yet */
  guint told;         /* steps before this one have been told in full */
  GPtrArray *chosen;  /* of each step up to the last that was answered the measurement chosen, or NULL */
  gboolean ended;     /* the end was reached, and kept */
};

enum
{
  DONE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWorkedView, bl_worked_view, GTK_TYPE_WIDGET)

static void show (BlWorkedView *self);

static const BlBoard *
board_of (BlWorkedView *self)
{
  return bl_worked_case_get_board (self->worked);
}

static GPtrArray *
steps_of (BlWorkedView *self)
{
  return bl_worked_case_get_steps (self->worked);
}

static const BlWorkedStep *
step_at (BlWorkedView *self, guint i)
{
  return g_ptr_array_index (steps_of (self), i);
}

/* Whether the step in hand is the last, or the end. */
static gboolean
is_last (BlWorkedView *self)
{
  return bl_worked_case_is_whole (self->worked) && self->step + 1 >= steps_of (self)->len;
}

/* The step in hand is not worked out yet. */
static gboolean
is_waiting (BlWorkedView *self)
{
  return self->step == steps_of (self)->len && !bl_worked_case_is_whole (self->worked);
}

/* What was chosen at a step, or NULL. */
static const char *
chosen_at (BlWorkedView *self, guint step)
{
  return step < self->chosen->len ? g_ptr_array_index (self->chosen, step) : NULL;
}

/* Something is to be chosen before the step is told. */
static gboolean
is_asked (BlWorkedView *self)
{
  return self->step < steps_of (self)->len && self->step >= self->told && self->help != BL_WORKED_SHOWN
         && bl_len (step_at (self, self->step)->choices) > 1;
}

/* --- words and rows --- */

static GtkWidget *
wrapped (const char *words, const char *classes)
{
  GtkWidget *label = bl_label (words, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  return label;
}

static GtkWidget *
add (BlWorkedView *self, GtkWidget *widget)
{
  gtk_box_append (GTK_BOX (self->column), widget);
  return widget;
}

static void
add_heading (BlWorkedView *self, guint number, const char *words, const char *aside)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *figure = g_strdup_printf ("%u", number);
  GtkWidget *label = bl_label (aside != NULL ? aside : "", "muted small", 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (line), bl_label (figure, "worked-number", 0.5));
  gtk_box_append (GTK_BOX (line), bl_label (words, "heading", 0));
  gtk_box_append (GTK_BOX (line), label);
  gtk_widget_add_css_class (line, "worked-head");
  add (self, line);
}

static void
add_odds (BlWorkedView *self, GPtrArray *odds)
{
  for (guint i = 0; i < MIN (bl_len (odds), MOST_ODDS); i++)
    {
      const BlWorkedOdd *odd = bl_at (odds, i);
      if (i == 0 || odd->probability >= 0.005)
        add (self, bl_worked_odds_row (odd));
    }
}

/* --- the five headings --- */

static void
add_shown (BlWorkedView *self)
{
  const char *symptom = bl_worked_case_get_symptom (self->worked);
  guint first = self->step > 5 ? self->step - 5 : 0;

  add_heading (self, 1, _ ("What is shown"), NULL);
  add (self, wrapped (symptom != NULL ? symptom : _ ("No symptom was said."), "drill-shown"));
  if (first > 0)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u reading before these", "and %u readings before these",
                                                         first), first);
      add (self, bl_label (more, "muted small", 0));
    }
  for (guint i = first; i < self->step; i++)
    add (self, bl_worked_read_row (board_of (self), step_at (self, i), FALSE));
}

static void
add_could (BlWorkedView *self, const BlWorkedStep *step, gboolean told)
{
  add_heading (self, 2, _ ("What could cause it"), _ ("of 100 boards that read like this"));
  if (told)
    add_odds (self, step->stages_before);
  else
    add (self, wrapped (_ ("Think of it first: which stages could show this, and which oftenest? It is told after your "
                           "answer."), "muted"));
}

static char *
choice_words (const BlWorkedChoice *choice)
{
  if (choice->tells_nothing)
    return g_strdup (_ ("tells nothing new"));
  if (choice->right)
    return g_strdup (_ ("right"));
  g_autofree char *given = bl_effort_words (choice->regret_s);
  return g_strdup_printf (_ ("%s given away"), given);
}

static void
choose (BlWorkedView *self, guint number)
{
  const BlWorkedStep *step = self->step < steps_of (self)->len ? step_at (self, self->step) : NULL;
  GError *error = NULL;

  if (step == NULL || !is_asked (self) || number >= step->choices->len)
    return;
  const BlWorkedChoice *choice = bl_at (step->choices, number);
  if (bl_worked_case_choose (self->worked, self->step, choice->measurement, &error) == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The answer was not kept"), error); /* the case goes on */
  if (self->chosen->len <= self->step)
    g_ptr_array_set_size (self->chosen, (int) self->step + 1);
  g_free (g_ptr_array_index (self->chosen, self->step));
  g_ptr_array_index (self->chosen, self->step) = g_strdup (choice->measurement);
  self->told = self->step + 1;
  show (self);
}

static void
choice_pressed (const char *what, gpointer data)
{
  choose (data, (guint) g_ascii_strtoull (what, NULL, 10));
}

static GtkWidget *
choice_row (BlWorkedView *self, const BlWorkedStep *step, guint i, gboolean told)
{
  const BlWorkedChoice *choice = bl_at (step->choices, i);
  g_autofree char *cap = g_strdup_printf ("%u", i + 1), *words = told ? choice_words (choice) : g_strdup ("");
  gboolean mine = g_strcmp0 (chosen_at (self, self->step), choice->measurement) == 0;
  gboolean taken = told && !step->is_part && g_strcmp0 (step->subject, choice->measurement) == 0;
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *title = bl_label (choice->title, NULL, 0);

  if (!told)
    {
      GtkWidget *button = bl_act_button ("bare", choice->title, cap, TRUE);
      gtk_widget_set_halign (button, GTK_ALIGN_FILL);
      bl_button_tells (button, g_strdup_printf ("%u", i), choice_pressed, self);
      return button;
    }
  /* No cap: nothing can be chosen here any more. */
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (line), title);
  if (mine || taken)
    gtk_box_append (GTK_BOX (line), bl_label (mine && taken ? _ ("your choice, and measured here")
                                              : mine        ? _ ("your choice")
                                                            : _ ("measured here"), "muted small", 1));
  gtk_box_append (GTK_BOX (line), bl_label (words, choice->right && !choice->tells_nothing ? "strong" : "muted", 1));
  gtk_widget_add_css_class (line, mine ? "choice-mine" : "choice-told");
  return line;
}

static void
add_would_tell (BlWorkedView *self, const BlWorkedStep *step, gboolean told)
{
  add_heading (self, 3, _ ("What would tell"), told ? NULL : _ ("choose what to measure"));
  for (guint i = 0; i < bl_len (step->choices); i++)
    add (self, choice_row (self, step, i, told));
  if (told && step->why != NULL)
    add (self, wrapped (step->why, NULL));
  if (bl_len (step->choices) == 0 && step->why == NULL)
    add (self, wrapped (_ ("Nothing else is left to be measured: the part itself is tested."), "muted"));
}

static void
add_measured (BlWorkedView *self, const BlWorkedStep *step, gboolean told)
{
  add_heading (self, 4, step->is_part ? _ ("Test the part") : _ ("Measure"), NULL);
  if (!told)
    {
      add (self, wrapped (_ ("What it read comes after your choice."), "muted"));
      return;
    }
  add (self, bl_worked_read_row (board_of (self), step, TRUE));
  GtkWidget *ruler = bl_worked_ruler_row (board_of (self), step);
  if (ruler != NULL)
    add (self, ruler);
  if (step->says != NULL)
    add (self, wrapped (step->says, NULL));
}

static void
add_concluded (BlWorkedView *self, const BlWorkedStep *step, gboolean told)
{
  add_heading (self, 5, _ ("Conclude"), told ? _ ("of 100 boards that read like this") : NULL);
  if (!told)
    add (self, wrapped (_ ("So does what follows from it."), "muted"));
  else
    add_odds (self, bl_len (step->parts_after) > 0 && is_last (self) ? step->parts_after : step->stages_after);
}

static void
add_end (BlWorkedView *self)
{
  g_autofree char *was = bl_drill_faults_words (bl_worked_case_get_causes (self->worked));
  guint n = 0, right = 0;

  add_heading (self, 5, _ ("Conclude"), NULL);
  add (self, wrapped (was, "drill-outcome"));
  if (bl_worked_case_get_symptom (self->worked) != NULL)
    {
      g_autofree char *what = g_strdup_printf (_ ("Shown was: %s."), bl_worked_case_get_symptom (self->worked));
      add (self, wrapped (what, NULL));
    }
  gtk_widget_set_margin_top (add (self, bl_label (_ ("What was measured"), "heading", 0)), 8);
  for (guint i = 0; i < steps_of (self)->len; i++)
    {
      const BlWorkedStep *step = step_at (self, i);
      add (self, bl_worked_read_row (board_of (self), step, FALSE));
      if (step->says != NULL)
        gtk_widget_set_margin_bottom (add (self, wrapped (step->says, "muted small")), 5);
      for (guint k = 0; chosen_at (self, i) != NULL && k < bl_len (step->choices); k++)
        {
          const BlWorkedChoice *choice = bl_at (step->choices, k);
          if (g_str_equal (choice->measurement, chosen_at (self, i)))
            {
              n++;
              right += choice->right;
            }
        }
    }
  if (n > 0)
    {
      g_autofree char *words = g_strdup_printf (ngettext ("%u of %u choice was right: at most a fifth longer than the best.",
                                                          "%u of %u choices were right: at most a fifth longer than the "
                                                          "best.", n), right, n);
      add (self, wrapped (words, "strong"));
    }
}

/* --- showing --- */

static const char *
help_words (BlWorkedHelp help)
{
  switch (help)
    {
    case BL_WORKED_ASKED_NEXT:
      return _ ("What to measure is asked; the reason follows.");
    case BL_WORKED_ASKED:
      return _ ("You are asked; causes and reasons follow your answer.");
    case BL_WORKED_SHOWN:
    default:
      return _ ("Everything is shown, with its reason.");
    }
}

static void
show_photo (BlWorkedView *self, const BlWorkedStep *step, gboolean told)
{
  g_autoptr (GHashTable) read = g_hash_table_new (g_str_hash, g_str_equal);
  guint n = steps_of (self)->len;
  GPtrArray *odds = step == NULL ? (n > 0 ? step_at (self, n - 1)->stages_after : NULL) : told ? step->stages_after : NULL;
  const BlWorkedOdd *first = bl_len (odds) > 0 ? bl_at (odds, 0) : NULL;
  g_autofree char *words = NULL;

  for (guint i = 0; i < n; i++)
    {
      const BlWorkedStep *one = step_at (self, i);
      if (!one->is_part && one->verdict != NULL && (i < self->step || (i == self->step && told)))
        g_hash_table_insert (read, one->subject, GINT_TO_POINTER (bl_worked_shape (board_of (self), one)));
    }
  if (first != NULL && first->id != NULL && first->probability >= 0.5)
    {
      g_autofree char *odds_words = bl_format_odds (first->probability);
      words = g_strdup_printf (_ ("likely failed: %s %s"), first->title, odds_words);
    }
  g_autoptr (GHashTable) offered = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; step != NULL && i < bl_len (step->choices); i++)
    g_hash_table_add (offered, ((BlWorkedChoice *) bl_at (step->choices, i))->measurement);
  bl_case_photo_offer (BL_CASE_PHOTO (self->photo), offered);
  bl_case_photo_show (BL_CASE_PHOTO (self->photo), read, step != NULL && told ? step->subject : NULL,
                      words != NULL ? first->id : NULL, words);
}

/* Only those that work now. */
static void
show_keys (BlWorkedView *self)
{
  const char *keys[12] = { NULL };
  g_autofree char *digits = NULL;
  guint n = 0;

  if (is_asked (self))
    {
      keys[n++] = digits = g_strdup_printf ("1 – %u", step_at (self, self->step)->choices->len);
      keys[n++] = _ ("choose what to measure");
    }
  else if (!is_waiting (self))
    {
      keys[n++] = _ ("Enter →");
      keys[n++] = self->step < steps_of (self)->len ? _ ("go on") : _ ("back to practice");
    }
  if (self->step > 0)
    {
      keys[n++] = _ ("←");
      keys[n++] = _ ("the step before");
    }
  keys[n++] = _ ("Alt Q");
  keys[n++] = _ ("leave");
  keys[n++] = _ ("F1");
  keys[n++] = _ ("all keys");
  bl_round_keys_show (self->keys, keys);
}

static char *
where_words (BlWorkedView *self)
{
  guint n = steps_of (self)->len;

  if (is_waiting (self))
    return g_strdup (self->step == 0 ? _ ("The case is worked through …") : _ ("The next step is worked out …"));
  if (self->step == n)
    return g_strdup (_ ("The end of the case."));
  if (!bl_worked_case_is_whole (self->worked))
    return g_strdup_printf (_ ("Step %u. %s"), self->step + 1, help_words (self->help));
  return g_strdup_printf (_ ("Step %u of %u. %s"), self->step + 1, n, help_words (self->help));
}

static void
show_foot (BlWorkedView *self)
{
  guint n = steps_of (self)->len;
  g_autofree char *where = where_words (self);
  const char *words = self->step == n ? _ ("Back to practice") : is_last (self) ? _ ("What it was") : _ ("Next step");

  gtk_label_set_label (GTK_LABEL (self->where), where);
  gtk_label_set_label (GTK_LABEL (self->go_words), words);
  bl_widget_name (self->go, words);
  gtk_widget_set_visible (self->go, !is_asked (self) && !is_waiting (self));
  gtk_widget_set_visible (self->leave, self->step < n || is_waiting (self)); /* at the end there is one way on */
  show_keys (self);
}

/* Till the step is there: what is known already, and what is going on; or why it does not come. */
static void
add_waiting (BlWorkedView *self)
{
  const char *symptom = bl_worked_case_get_symptom (self->worked), *trouble = bl_worked_case_get_trouble (self->worked);

  if (symptom != NULL)
    {
      add_heading (self, 1, _ ("What is shown"), NULL);
      add (self, wrapped (symptom, "drill-shown"));
    }
  if (trouble != NULL)
    add (self, wrapped (trouble, "trouble"));
  else
    add (self, wrapped (_ ("At each step everything that could be measured is weighed against everything else. That takes "
                           "a while: think of what could cause it meanwhile."), "muted"));
}

static void
end_case (BlWorkedView *self)
{
  GError *error = NULL;

  if (self->ended)
    return;
  self->ended = bl_worked_case_end (self->worked, &error);
  if (!self->ended)
    bl_widget_report (GTK_WIDGET (self), _ ("The end of the case was not kept"), error);
}

static void
show (BlWorkedView *self)
{
  const BlWorkedStep *step = self->step < steps_of (self)->len ? step_at (self, self->step) : NULL;
  gboolean told = !is_asked (self);

  bl_widget_clear (self->column);
  if (is_waiting (self))
    add_waiting (self);
  else if (steps_of (self)->len == 0)
    add (self, wrapped (_ ("This case has no steps."), "trouble"));
  else if (step != NULL)
    {
      add_shown (self);
      add_could (self, step, told || self->help == BL_WORKED_ASKED_NEXT);
      add_would_tell (self, step, told);
      add_measured (self, step, told);
      add_concluded (self, step, told);
      if (told)
        self->told = MAX (self->told, self->step + 1);
    }
  else
    {
      add_end (self);
      end_case (self);
    }
  show_photo (self, step, told);
  show_foot (self);
  bl_worked_view_focus (self);
}

static void
go_on (BlWorkedView *self)
{
  if (is_waiting (self))
    return;
  if (self->step == steps_of (self)->len)
    g_signal_emit (self, signals[DONE], 0);
  else if (!is_asked (self))
    {
      self->step++;
      show (self);
    }
}

static void
go_back (BlWorkedView *self)
{
  if (self->step == 0)
    return;
  self->step--;
  show (self);
}

static void
leave (BlWorkedView *self)
{
  g_signal_emit (self, signals[DONE], 0);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlWorkedView *self)
{
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));

  if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_q)
    leave (self);
  else if (modifiers != 0)
    return FALSE;
  else if ((keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter) && GTK_IS_BUTTON (focus))
    return FALSE; /* it presses what has the focus */
  else if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter || keyval == GDK_KEY_Right)
    go_on (self);
  else if (keyval == GDK_KEY_Left)
    go_back (self);
  else if (keyval >= GDK_KEY_1 && keyval <= GDK_KEY_9 && is_asked (self))
    choose (self, keyval - GDK_KEY_1);
  else
    return FALSE;
  return TRUE;
}

/* --- building --- */

/* One more step is there, or all are: what is shown changes where it was waited for, or is the last. */
static void
grown (BlWorkedView *self)
{
  guint n = steps_of (self)->len;
  gboolean whole = bl_worked_case_is_whole (self->worked);

  if (self->step + 1 == n || (whole && self->step >= n) || bl_worked_case_get_trouble (self->worked) != NULL)
    show (self);
  else
    show_foot (self);
}

static GtkWidget *
build_foot (BlWorkedView *self)
{
  GtkWidget *foot = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->leave = bl_act_button ("plain", _ ("Leave"), _ ("Alt Q"), FALSE);
  self->where = bl_label (_ ("The case is worked through …"), "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->where), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->where, TRUE);
  self->go = gtk_button_new ();
  self->go_words = bl_label ("", NULL, 0);
  gtk_box_append (GTK_BOX (inner), self->go_words);
  gtk_box_append (GTK_BOX (inner), bl_key_cap (_ ("Enter")));
  gtk_button_set_child (GTK_BUTTON (self->go), inner);
  gtk_widget_add_css_class (self->go, "firm");
  gtk_widget_set_focus_on_click (self->go, FALSE);
  gtk_widget_set_visible (self->go, FALSE);
  gtk_box_append (GTK_BOX (foot), self->where);
  gtk_box_append (GTK_BOX (foot), self->go);
  gtk_box_append (GTK_BOX (foot), self->leave);
  g_signal_connect_swapped (self->go, "clicked", G_CALLBACK (go_on), self);
  g_signal_connect_swapped (self->leave, "clicked", G_CALLBACK (leave), self);
  gtk_widget_add_css_class (foot, "worked-foot");
  return foot;
}

/* What is open, as above a round of questions; the way back stands at the foot. */
static GtkWidget *
build_head (BlWorkedView *self)
{
  const BlBoard *board = bl_worked_case_get_board (self->worked);
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_widget_add_css_class (head, "round-head");
  gtk_box_append (GTK_BOX (head), bl_label (_ ("Worked case"), "page-title", 0));
  if (board->board_number != NULL && *board->board_number != '\0')
    {
      g_autofree char *title = board->edition != NULL && *board->edition != '\0'
                                 ? g_strdup_printf (_ ("%s, edition %s"), board->board_number, board->edition)
                                 : g_strdup (board->board_number);
      gtk_box_append (GTK_BOX (head), bl_label (title, "muted", 0));
    }
  return head;
}

static void
build (BlWorkedView *self)
{
  GtkWidget *both = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16), *scrolled = gtk_scrolled_window_new ();

  self->photo = bl_case_photo_new (bl_practice_get_library (self->practice), bl_worked_case_get_copy (self->worked),
                                   bl_worked_case_get_board (self->worked));
  gtk_widget_set_hexpand (self->photo, TRUE);
  gtk_widget_set_vexpand (both, TRUE);
  self->column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  gtk_widget_add_css_class (self->column, "worked-column");
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->column);
  gtk_widget_set_size_request (scrolled, 620, -1);
  gtk_widget_set_hexpand (scrolled, FALSE); /* the photo has the rest, whatever stands in it */
  gtk_box_append (GTK_BOX (both), self->photo);
  gtk_box_append (GTK_BOX (both), scrolled);
  gtk_box_append (GTK_BOX (self->box), build_head (self));
  gtk_box_append (GTK_BOX (self->box), both);
  gtk_box_append (GTK_BOX (self->box), build_foot (self));
  self->keys = bl_round_keys_new ((const char *const[]){ NULL });
  gtk_box_append (GTK_BOX (self->box), self->keys);
}

/* --- object --- */

static void
bl_worked_view_dispose (GObject *object)
{
  BlWorkedView *self = BL_WORKED_VIEW (object);

  if (self->worked != NULL)
    {
      g_signal_handlers_disconnect_by_data (self->worked, self);
      bl_worked_case_stop (self->worked);
    }
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->chosen, g_ptr_array_unref);
  g_clear_object (&self->worked);
  g_clear_object (&self->practice);
  G_OBJECT_CLASS (bl_worked_view_parent_class)->dispose (object);
}

static void
bl_worked_view_class_init (BlWorkedViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_worked_view_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[DONE] = g_signal_new ("done", BL_TYPE_WORKED_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_worked_view_init (BlWorkedView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
bl_worked_view_new (BlPractice *practice, BlWorkedCase *worked)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice) && BL_IS_WORKED_CASE (worked), NULL);
  BlWorkedView *self = g_object_new (BL_TYPE_WORKED_VIEW, NULL);

  self->practice = g_object_ref (practice);
  self->worked = g_object_ref (worked);
  self->help = bl_worked_case_help (worked);
  self->chosen = g_ptr_array_new_with_free_func (g_free);
  build (self);
  g_signal_connect_object (worked, "step", G_CALLBACK (grown), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (worked, "ready", G_CALLBACK (grown), self, G_CONNECT_SWAPPED);
  bl_worked_case_begin (worked);
  show (self);
  return GTK_WIDGET (self);
}

void
bl_worked_view_focus (BlWorkedView *self)
{
  g_return_if_fail (BL_IS_WORKED_VIEW (self));
  gtk_widget_grab_focus (GTK_WIDGET (self));
}
