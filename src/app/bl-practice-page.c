/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The place Practice: three columns, and what is begun in their place. The same documents, photos and drawing as on the
 * bench; only the file is another one, so that nothing practised is ever taken for work. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>

#include "bl-drill-view.h"
#include "bl-pair-box.h"
#include "bl-plant-view.h"
#include "bl-practice-seed.h"
#include "bl-reads-view.h"
#include "bl-round-head.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-way-view.h"
#include "bl-worked-view.h"

enum { WAY_QUESTIONS = 10, MEASUREMENTS = 5, WIDEST = 1880, TWO_COLUMNS = 900 };

G_DEFINE_FINAL_TYPE (BlPracticePage, bl_practice_page, GTK_TYPE_WIDGET)

GtkWidget *
bl_practice_words (const char *text, const char *css)
{
  GtkWidget *label = bl_label (text, css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 20); /* as wide as there is room, no wider than the column */
  return label;
}

/* --- what is begun --- */

/* Which child of a list the focus is in; -1: none. */
static int
place_of_focus (BlPracticePage *self, GtkWidget *list)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  int place = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (list); child != NULL; child = gtk_widget_get_next_sibling (child), place++)
    if (focus != NULL && (focus == child || gtk_widget_is_ancestor (focus, child)))
      return place;
  return -1;
}

/* To the row that stands there now, or the last one. */
static gboolean
focus_place (GtkWidget *list, int place)
{
  GtkWidget *child = place >= 0 ? gtk_widget_get_first_child (list) : NULL;

  for (; child != NULL && place > 0 && gtk_widget_get_next_sibling (child) != NULL; place--)
    child = gtk_widget_get_next_sibling (child);
  return child != NULL && (gtk_widget_grab_focus (child) || gtk_widget_child_focus (child, GTK_DIR_TAB_FORWARD));
}

/* The lists are made anew: the focus stays where it was in them. */
static void
show_home (BlPracticePage *self)
{
  /* Every answer of a round is a change; the page is behind it, and is shown anew when it is left. */
  if (self->practice == NULL || gtk_stack_get_visible_child (GTK_STACK (self->stack)) != self->home)
    return;
  int person = place_of_focus (self, self->people), due = place_of_focus (self, self->due);
  int drill = place_of_focus (self, self->drills);

  bl_practice_people_show (self);
  bl_practice_begin_show (self);
  bl_practice_due_show (self);
  bl_practice_drills_show (self);
  bl_practice_progress_show (self);
  if ((person >= 0 || due >= 0 || drill >= 0) && !focus_place (self->due, due) && !focus_place (self->drills, drill))
    bl_practice_people_focus (self);
}

/* What was begun is left. It may still be in its own signal: it goes when that is over. */
static gboolean
drop_activity (gpointer data)
{
  g_autoptr (BlPracticePage) self = data;
  GtkWidget *left = self->activity;

  if (left == NULL || gtk_stack_get_visible_child (GTK_STACK (self->stack)) == left)
    return G_SOURCE_REMOVE;
  self->activity = NULL;
  gtk_stack_remove (GTK_STACK (self->stack), left);
  return G_SOURCE_REMOVE;
}

static void
activity_done (BlPracticePage *self)
{
  gtk_stack_set_visible_child (GTK_STACK (self->stack), self->home);
  show_home (self);
  bl_practice_people_focus (self);
  g_idle_add (drop_activity, g_object_ref (self));
}

void
bl_practice_page_begin (BlPracticePage *self, GtkWidget *activity)
{
  GtkWidget *left = self->activity;

  self->activity = activity;
  gtk_stack_add_child (GTK_STACK (self->stack), activity);
  g_signal_connect_object (activity, "done", G_CALLBACK (activity_done), self, G_CONNECT_SWAPPED);
  gtk_stack_set_visible_child (GTK_STACK (self->stack), activity);
  if (left != NULL)
    gtk_stack_remove (GTK_STACK (self->stack), left);
}

static void
focus_activity (BlPracticePage *self)
{
  GtkWidget *view = self->activity;

  if (BL_IS_ROUND_VIEW (view))
    bl_round_view_focus (BL_ROUND_VIEW (view));
  else if (BL_IS_DRILL_VIEW (view))
    bl_drill_view_focus (BL_DRILL_VIEW (view));
  else if (BL_IS_WORKED_VIEW (view))
    bl_worked_view_focus (BL_WORKED_VIEW (view));
  else if (BL_IS_PLANT_VIEW (view))
    bl_plant_view_focus (BL_PLANT_VIEW (view));
  else
    gtk_widget_child_focus (view, GTK_DIR_TAB_FORWARD);
}

/* What a round was asked with, for another one. */
typedef struct
{
  BlAnswerKind kind;
  char **sections, *topic;
} Asked;

static void
asked_free (gpointer data)
{
  Asked *asked = data;

  g_strfreev (asked->sections);
  g_free (asked->topic);
  g_free (asked);
}

static gboolean
ask_again (gpointer data)
{
  g_autoptr (GtkWidget) view = data;
  BlPracticePage *self = BL_PRACTICE_PAGE (gtk_widget_get_ancestor (view, BL_TYPE_PRACTICE_PAGE));
  Asked *asked = g_object_get_data (G_OBJECT (view), "asked");

  if (self != NULL && self->activity == view)
    bl_practice_page_ask (self, asked->kind, (const char *const *) asked->sections, asked->topic);
  return G_SOURCE_REMOVE;
}

/* The view is in its own signal, and will be gone. */
static void
again_pressed (GtkWidget *view)
{
  g_idle_add (ask_again, g_object_ref (view));
}

void
bl_practice_page_ask (BlPracticePage *self, BlAnswerKind kind, const char *const *sections, const char *topic)
{
  BlPracticeSubject subject;
  GError *error = NULL;

  if (!bl_practice_begin_subject (self, &subject))
    return;
  g_autoptr (BlQuizRound) round = bl_quiz_round_new (self->practice, &subject, kind, sections, topic,
                                                     kind == BL_ANSWER_WAY ? WAY_QUESTIONS : MEASUREMENTS,
                                                     bl_practice_new_seed (), &error);
  if (round == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was begun"), error);
      return;
    }
  GtkWidget *view = kind == BL_ANSWER_WAY ? bl_way_view_new (round) : bl_reads_view_new (round);
  Asked *asked = g_new0 (Asked, 1);
  asked->kind = kind;
  asked->sections = g_strdupv ((char **) sections);
  asked->topic = g_strdup (topic);
  g_object_set_data_full (G_OBJECT (view), "asked", asked, asked_free);
  g_signal_connect (view, "again", G_CALLBACK (again_pressed), NULL);
  bl_practice_page_begin (self, view);
  focus_activity (self);
}

void
bl_practice_page_drill (BlPracticePage *self, gint64 drill)
{
  bl_practice_page_begin (self, bl_drill_view_new (self->practice, drill));
  focus_activity (self);
}

/* --- the place --- */

/* The file of practice is opened when somebody wants to practise, not when the program starts. */
static gboolean
open_practice (BlPracticePage *self)
{
  g_autoptr (GError) error = NULL;

  if (self->practice != NULL)
    return TRUE;
  self->practice = bl_practice_new (self->shop, self->path, &error);
  if (self->practice == NULL)
    {
      g_autofree char *words = g_strdup_printf (_ ("The file of practice cannot be opened: %s"), error->message);
      gtk_label_set_label (GTK_LABEL (self->trouble), words);
      gtk_stack_set_visible_child (GTK_STACK (self->stack), self->trouble);
      return FALSE;
    }
  g_signal_connect_object (self->practice, "changed", G_CALLBACK (show_home), self, G_CONNECT_SWAPPED);
  gtk_stack_set_visible_child (GTK_STACK (self->stack), self->home);
  return TRUE;
}

void
bl_practice_page_enter (BlPracticePage *self)
{
  g_return_if_fail (BL_IS_PRACTICE_PAGE (self));

  if (!open_practice (self))
    return;
  if (self->activity != NULL && gtk_stack_get_visible_child (GTK_STACK (self->stack)) == self->activity)
    {
      focus_activity (self);
      return;
    }
  bl_practice_begin_read (self);
  show_home (self);
  bl_practice_people_focus (self);
}

BlPractice *
bl_practice_page_get_practice (BlPracticePage *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE_PAGE (self), NULL);
  return self->practice;
}

GtkWidget *
bl_practice_page_get_activity (BlPracticePage *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE_PAGE (self), NULL);
  return self->activity;
}

/* A digit begins an exercise, C a set, unless it is typed. */
static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlPracticePage *self)
{
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (GTK_WIDGET (self)));
  guint32 letter = gdk_keyval_to_unicode (keyval);

  if (gtk_stack_get_visible_child (GTK_STACK (self->stack)) != self->home || bl_widget_is_text (focus)
      || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)))
    return GDK_EVENT_PROPAGATE;
  if (letter == 'c' || letter == 'C')
    {
      bl_practice_compose_focus (self);
      return GDK_EVENT_STOP;
    }
  if (letter < '1' || letter > '9')
    return GDK_EVENT_PROPAGATE;
  return bl_practice_begin_number (self, letter - '0') ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

static GtkWidget *
scrolled (GtkWidget *child)
{
  GtkWidget *window = gtk_scrolled_window_new ();

  gtk_widget_set_margin_end (child, 12); /* the scroll bar is not to lie over words */
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (window), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (window), child);
  gtk_widget_set_vexpand (window, TRUE);
  return window;
}

static GtkWidget *
home_new (BlPracticePage *self)
{
  const char *const keys[] = { _ ("1 – 5"), _ ("begin"), _ ("C"), _ ("compose a set"), _ ("Tab"), _ ("to the next"),
                               _ ("↑ ↓"), _ ("who practises"), _ ("Enter"), _ ("open what is in hand"),
                               _ ("Ctrl 1 – 4"), _ ("places"), _ ("F1"), _ ("all keys"), NULL };
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *clamp = adw_clamp_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *columns = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24);
  GtkWidget *left = gtk_box_new (GTK_ORIENTATION_VERTICAL, 20), *title = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *begin = bl_practice_begin_new (self), *window;

  gtk_box_append (GTK_BOX (left), bl_practice_people_new (self));
  gtk_box_append (GTK_BOX (left), bl_practice_due_new (self));
  gtk_box_append (GTK_BOX (title), bl_label (_ ("Practice"), "page-title", 0));
  gtk_box_append (GTK_BOX (title), bl_label (_ ("on the shop's own documented boards; nothing here is counted as work"), "muted", 0));
  gtk_box_append (GTK_BOX (columns), scrolled (left));
  window = scrolled (bl_pair_box_new (begin, bl_practice_drills_new (self), TWO_COLUMNS));
  gtk_widget_set_hexpand (window, TRUE);
  gtk_box_append (GTK_BOX (columns), window);
  window = scrolled (bl_practice_progress_new (self));
  gtk_widget_set_hexpand (window, FALSE); /* the chart has its width; what is to begin takes the rest */
  gtk_box_append (GTK_BOX (columns), window);
  gtk_widget_set_vexpand (columns, TRUE);
  gtk_box_append (GTK_BOX (box), title);
  gtk_box_append (GTK_BOX (box), columns);
  gtk_widget_add_css_class (box, "practice-home");
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), WIDEST);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), WIDEST);
  adw_clamp_set_child (ADW_CLAMP (clamp), box);
  gtk_box_append (GTK_BOX (all), clamp);
  gtk_box_append (GTK_BOX (all), bl_round_keys_new (keys));
  return self->home = all;
}

static void
bl_practice_page_dispose (GObject *object)
{
  BlPracticePage *self = BL_PRACTICE_PAGE (object);

  if (self->dialog != NULL)
    gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (self->dialog));
  g_clear_object (&self->dialog);
  self->activity = NULL;
  g_clear_pointer (&self->stack, gtk_widget_unparent);
  g_clear_object (&self->practice);
  g_clear_pointer (&self->subjects, g_ptr_array_unref);
  g_clear_pointer (&self->board, bl_board_free);
  g_clear_pointer (&self->path, g_free);
  G_OBJECT_CLASS (bl_practice_page_parent_class)->dispose (object);
}

static void
bl_practice_page_class_init (BlPracticePageClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_practice_page_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_practice_page_init (BlPracticePage *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->stack = gtk_stack_new ();
  self->trouble = bl_practice_words ("", "trouble");
  gtk_widget_set_halign (self->trouble, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (self->trouble, GTK_ALIGN_CENTER);
  gtk_label_set_max_width_chars (GTK_LABEL (self->trouble), 70);
  gtk_stack_add_child (GTK_STACK (self->stack), home_new (self));
  gtk_stack_add_child (GTK_STACK (self->stack), self->trouble);
  gtk_widget_set_parent (self->stack, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
bl_practice_page_new (BlLibrary *shop, const char *path)
{
  g_return_val_if_fail (shop != NULL, NULL);
  BlPracticePage *self = g_object_new (BL_TYPE_PRACTICE_PAGE, NULL);

  self->shop = shop;
  self->path = g_strdup (path);
  return GTK_WIDGET (self);
}
