/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fault drills, worked cases and planted faults of the place Practice: how hard a drill is to be, those of whoever practises
 * now, and what begins them. What is wrong with a board is never shown here; of a drill that has ended, how it went. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-chooser.h"
#include "bl-plan-words.h"
#include "bl-plant-view.h"
#include "bl-practice-seed.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-worked-view.h"
#include "bl-wrap-box.h"

enum { MOST_ENDED = 6 };

static const struct
{
  BlDrillKind kind;
  const char *title, *words;
} kinds[] = {
  { BL_DRILL_SINGLE, N_ ("one part"), N_ ("One part failed.") },
  { BL_DRILL_PROVOKED, N_ ("and what it took along"), N_ ("One part failed and took another with it.") },
  { BL_DRILL_TWO, N_ ("two parts"), N_ ("Two parts failed, neither because of the other.") },
  { BL_DRILL_MISREAD, N_ ("one misread"), N_ ("One part failed, and one reading is wrong the first time.") },
  { BL_DRILL_CONDUCTOR, N_ ("a conductor"), N_ ("Of an equipment: a conductor or a cable.") },
};

static BlDrillKind
chosen_kind (BlPracticePage *self)
{
  for (GtkWidget *chip = gtk_widget_get_first_child (self->kinds); chip != NULL; chip = gtk_widget_get_next_sibling (chip))
    if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (chip)))
      return (BlDrillKind) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (chip), "kind"));
  return BL_DRILL_SINGLE;
}

void
bl_practice_kinds_allow (BlPracticePage *self, gboolean conductor)
{
  GtkWidget *first = gtk_widget_get_first_child (self->kinds);

  for (GtkWidget *chip = first; chip != NULL; chip = gtk_widget_get_next_sibling (chip))
    if (GPOINTER_TO_INT (g_object_get_data (G_OBJECT (chip), "kind")) == BL_DRILL_CONDUCTOR)
      {
        gtk_widget_set_visible (chip, conductor);
        if (!conductor && gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (chip)))
          gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (first), TRUE);
      }
}

/* --- beginning --- */

/* TRUE with who practises and what on. */
static gboolean
get_order (BlPracticePage *self, gint64 *person, BlPracticeSubject *subject)
{
  const BlPerson *now = bl_practice_get_person (self->practice);

  if (now == NULL || !bl_practice_begin_subject (self, subject))
    return FALSE;
  *person = now->id;
  return TRUE;
}

void
bl_practice_begin_drill (BlPracticePage *self)
{
  g_auto (GStrv) sections = bl_practice_begin_sections (self);
  BlDrillOrder order = { chosen_kind (self), (const char *const *) sections,
                         bl_practice_new_seed () };
  BlPracticeSubject subject;
  gint64 person, drill;
  GError *error = NULL;

  if (!get_order (self, &person, &subject))
    return;
  if (bl_practice_waiting (self, person, &drill, NULL) > 0) /* what the trainer chose comes before what is drawn */
    {
      bl_practice_page_drill (self, drill);
      return;
    }
  order.seed = bl_practice_fresh_seed (self->practice, person, &subject, &order, &error);
  drill = order.seed != 0 ? bl_practice_add_drill (self->practice, person, &subject, &order, &error) : 0;
  if (drill != 0)
    bl_practice_page_drill (self, drill);
  else
    bl_widget_report (GTK_WIDGET (self), _ ("Nothing was begun"), error);
}

void
bl_practice_begin_worked (BlPracticePage *self)
{
  g_auto (GStrv) sections = bl_practice_begin_sections (self);
  BlDrillOrder order = { BL_DRILL_SINGLE, (const char *const *) sections,
                         bl_practice_new_seed () };
  g_autoptr (BlWorkedCase) worked = NULL;
  BlPracticeSubject subject;
  gint64 person;
  GError *error = NULL;

  if (!get_order (self, &person, &subject))
    return;
  worked = bl_worked_case_next (self->practice, person, &subject, &order, &error);
  if (worked == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was begun"), error);
      return;
    }
  GtkWidget *view = bl_worked_view_new (self->practice, worked);
  bl_practice_page_begin (self, view);
  bl_worked_view_focus (BL_WORKED_VIEW (view));
}

/* Sealed: back to the place, where it stands among the drills. */
static void
sealed (GtkWidget *view, gint64 drill, BlPracticePage *self)
{
  bl_widget_notify (GTK_WIDGET (self), _ ("Sealed. It stands among the drills, and says nothing before it has ended."));
  g_signal_emit_by_name (view, "done");
}

void
bl_practice_begin_plant (BlPracticePage *self)
{
  BlPracticeSubject subject;
  gint64 person;

  if (!get_order (self, &person, &subject))
    return;
  GtkWidget *view = bl_plant_view_new (self->practice, person, &subject);
  g_signal_connect_object (view, "sealed", G_CALLBACK (sealed), self, 0);
  bl_practice_page_begin (self, view);
  bl_plant_view_focus (BL_PLANT_VIEW (view));
}

/* --- a set for somebody --- */

/* Drills of the kind that is chosen; where they lie, weak sections and families first. */
static void
compose_pressed (BlPracticePage *self)
{
  g_auto (GStrv) sections = bl_practice_begin_sections (self);
  BlPracticeOrder order = { { 0, 0 }, 0, 1u << chosen_kind (self), (const char *const *) sections,
                            bl_practice_new_seed () };
  gint64 person;
  GError *error = NULL;

  if (!get_order (self, &person, &order.subject))
    return;
  order.n = (guint) gtk_spin_button_get_value_as_int (GTK_SPIN_BUTTON (self->count));
  guint n = bl_practice_compose (self->practice, person, &order, &error);
  if (n == 0)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("No set was composed"), error);
      return;
    }
  const BlPerson *now = bl_practice_get_person (self->practice);
  g_autofree char *words = g_strdup_printf (ngettext ("%u drill waits for %s.", "%u drills wait for %s.", n), n, now->name);
  bl_widget_notify (GTK_WIDGET (self), words);
}

/* How many comes first, then Enter: a slip on the key composes nothing. */
void
bl_practice_compose_focus (BlPracticePage *self)
{
  gtk_widget_grab_focus (self->count);
}

static void
count_entered (BlPracticePage *self)
{
  gtk_spin_button_update (GTK_SPIN_BUTTON (self->count));
  compose_pressed (self);
  bl_practice_people_focus (self); /* Enter once more is no second set, and a digit begins */
}

static GtkWidget *
compose_new (BlPracticePage *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *words = bl_label (_ ("for whoever practises; weak spots come more often"), "muted small", 0);

  self->count = gtk_spin_button_new_with_range (1, 20, 1);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->count), 5);
  bl_widget_name (self->count, _ ("Drills in the set"));
  self->compose = bl_act_button ("plain", _ ("Compose a set"), _ ("C Enter"), FALSE);
  gtk_widget_set_tooltip_text (self->compose, _ ("What is due first, then from easy to hard; weak spots come more often"));
  g_signal_connect_object (self->compose, "clicked", G_CALLBACK (compose_pressed), self, G_CONNECT_SWAPPED);
  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 18);
  gtk_widget_set_hexpand (words, TRUE);
  g_signal_connect_object (gtk_editable_get_delegate (GTK_EDITABLE (self->count)), "activate", G_CALLBACK (count_entered),
                           self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (row), self->count);
  gtk_box_append (GTK_BOX (row), self->compose);
  gtk_box_append (GTK_BOX (row), words);
  gtk_widget_set_margin_top (row, 2);
  gtk_widget_set_margin_bottom (row, 4);
  return row;
}

/* --- the list --- */

static char *
how_words (const BlDrillRow *row)
{
  if (row->ended == 0)
    return g_strdup (row->started != 0 ? _ ("under way") : row->planted ? _ ("sealed, not begun") : _ ("not begun"));
  if (!row->scored)
    return g_strdup (_ ("ended"));
  if (row->failed)
    return g_strdup (_ ("failed: unsafe"));
  if (row->regret_s < 0.5)
    return g_strdup (row->component_right ? _ ("right, no time given away")
                     : row->stage_right   ? _ ("stage right, no time given away")
                                          : _ ("not found, no time given away"));
  g_autofree char *given = bl_effort_words (row->regret_s);
  /* Translators: %s is a time, "4 min" */
  return g_strdup_printf (row->component_right ? _ ("right, %s given away")
                          : row->stage_right   ? _ ("stage right, %s given away")
                                               : _ ("not found, %s given away"),
                          given);
}

static void
drill_pressed (const char *what, gpointer data)
{
  bl_practice_page_drill (data, g_ascii_strtoll (what, NULL, 10));
}

/* The same drill for another person; once it has ended, also once more for the same one. */
static void
give_fill (BlChooser *chooser)
{
  BlPracticePage *self = BL_PRACTICE_PAGE (gtk_widget_get_ancestor (GTK_WIDGET (chooser), BL_TYPE_PRACTICE_PAGE));
  GPtrArray *persons = bl_practice_get_persons (self->practice);
  const BlPerson *now = bl_practice_get_person (self->practice);
  gboolean ended = g_object_get_data (G_OBJECT (chooser), "ended") != NULL;

  for (guint i = 0; i < bl_len (persons); i++)
    {
      const BlPerson *person = bl_at (persons, i);
      gboolean own = now != NULL && person->id == now->id;
      g_autofree char *id = g_strdup_printf ("%" G_GINT64_FORMAT, person->id);
      g_autofree char *words = own ? g_strdup_printf (_ ("%s, once more"), person->name) : g_strdup (person->name);
      if (!own || ended)
        bl_chooser_add (chooser, id, words);
    }
}

/* (transfer full) */
static char *
given_words (BlPracticePage *self, gint64 person)
{
  GPtrArray *persons = bl_practice_get_persons (self->practice);
  const char *name = "?";

  for (guint i = 0; i < bl_len (persons); i++)
    if (((BlPerson *) bl_at (persons, i))->id == person)
      name = ((BlPerson *) bl_at (persons, i))->name;
  return g_strdup_printf (_ ("The same drill waits for %s, to be done from the beginning."), name);
}

static void
give_chosen (BlChooser *chooser, const char *value, gpointer data)
{
  BlPracticePage *self = BL_PRACTICE_PAGE (gtk_widget_get_ancestor (GTK_WIDGET (chooser), BL_TYPE_PRACTICE_PAGE));
  gint64 drill = g_ascii_strtoll (g_object_get_data (G_OBJECT (chooser), "drill"), NULL, 10);
  gint64 person = g_ascii_strtoll (value, NULL, 10);
  g_autofree char *words = given_words (self, person);
  GError *error = NULL;

  /* The list is made anew with it, and the chooser goes. */
  if (bl_practice_give (self->practice, drill, person, &error) == 0)
    bl_widget_report (GTK_WIDGET (self), _ ("The drill was not given"), error);
  else
    bl_widget_notify (GTK_WIDGET (self), words);
}

static GtkWidget *
give_new (const BlDrillRow *row)
{
  GtkWidget *give = bl_chooser_new (_ ("give the same drill to"), FALSE);

  bl_chooser_show (BL_CHOOSER (give), "", _ ("give to"), TRUE);
  gtk_widget_set_tooltip_text (give, row->ended != 0 ? _ ("The same drill for another person, or once more")
                                                     : _ ("The same drill for another person"));
  g_object_set_data (G_OBJECT (give), "ended", row->ended != 0 ? give : NULL);
  g_object_set_data_full (G_OBJECT (give), "drill", g_strdup_printf ("%" G_GINT64_FORMAT, row->id), g_free);
  g_signal_connect (give, "fill", G_CALLBACK (give_fill), NULL);
  g_signal_connect (give, "chosen", G_CALLBACK (give_chosen), NULL);
  return give;
}

static void
take_back_pressed (const char *what, gpointer data)
{
  BlPracticePage *self = data;
  GError *error = NULL;

  if (!bl_practice_delete_drill (self->practice, g_ascii_strtoll (what, NULL, 10), &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The drill was not taken back"), error);
}

/* A composed drill that nobody has begun. */
static GtkWidget *
take_back_new (BlPracticePage *self, const BlDrillRow *row)
{
  GtkWidget *button = bl_act_button ("act", _ ("take back"), NULL, FALSE);

  bl_button_tells (button, g_strdup_printf ("%" G_GINT64_FORMAT, row->id), take_back_pressed, self);
  return button;
}

/* "drill 70, two parts", and of one that waits the day it was given. (transfer full) */
static char *
which_words (const BlDrillRow *row)
{
  g_autoptr (GDateTime) made = g_date_time_new_from_unix_local (row->made / G_USEC_PER_SEC);
  g_autofree char *day = row->started == 0 && made != NULL ? g_date_time_format (made, "%x") : NULL;
  g_autofree char *which = NULL;

  if (row->planted)
    which = g_strdup (_ ("planted"));
  for (guint i = 0; which == NULL && i < G_N_ELEMENTS (kinds); i++)
    if (kinds[i].kind == row->kind)
      which = g_strdup_printf (_ ("drill %u, %s"), row->seed, _ (kinds[i].title));
  return day != NULL ? g_strdup_printf (_ ("%s, of %s"), which, day) : g_steal_pointer (&which);
}

guint
bl_practice_waiting (BlPracticePage *self, gint64 person, gint64 *first, char **words)
{
  g_autoptr (GPtrArray) drills = bl_practice_drills (self->practice, person, NULL);
  const BlDrillRow *oldest = NULL;
  guint n = 0;

  for (guint i = 0; i < bl_len (drills); i++) /* the newest first */
    {
      const BlDrillRow *row = bl_at (drills, i);
      if (row->started != 0)
        continue;
      oldest = row;
      n++;
    }
  if (oldest != NULL && first != NULL)
    *first = oldest->id;
  if (oldest != NULL && words != NULL)
    {
      g_autofree char *which = which_words (oldest);
      /* Translators: the board, then which drill on it */
      *words = g_strdup_printf (_ ("%s: %s"), oldest->title, which);
    }
  return n;
}

static GtkWidget *
drill_row (BlPracticePage *self, const BlDrillRow *row)
{
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *button = gtk_button_new (), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *both = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *number = which_words (row);
  g_autofree char *how = how_words (row);
  g_autofree char *name = g_strdup_printf ("%s, %s: %s", row->title, number, how);
  GtkWidget *title = bl_label (row->title, NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (line), title);
  gtk_box_append (GTK_BOX (line), bl_label (how, row->ended == 0 ? "strong small" : row->failed ? "danger small" : "small", 1));
  gtk_box_append (GTK_BOX (both), line);
  gtk_box_append (GTK_BOX (both), bl_label (number, "muted small", 0));
  gtk_button_set_child (GTK_BUTTON (button), both);
  gtk_widget_add_css_class (button, "row-button");
  bl_widget_name (button, name);
  bl_button_tells (button, g_strdup_printf ("%" G_GINT64_FORMAT, row->id), drill_pressed, self);
  gtk_widget_set_hexpand (button, TRUE);
  gtk_box_append (GTK_BOX (all), button);
  if (row->ended != 0 || bl_len (bl_practice_get_persons (self->practice)) > 1)
    gtk_box_append (GTK_BOX (all), give_new (row));
  if (row->started == 0)
    gtk_box_append (GTK_BOX (all), take_back_new (self, row));
  return all;
}

/* What is to be done, all of it, then the newest that have ended. Returns how many are shown. */
static guint
show_rows (BlPracticePage *self, GPtrArray *drills)
{
  guint shown = 0, ended = 0;

  for (guint pass = 0; pass < 2; pass++)
    for (guint i = 0; i < bl_len (drills); i++)
      {
        const BlDrillRow *row = bl_at (drills, i);
        if ((row->ended != 0) != (pass == 1) || (pass == 1 && ended++ >= MOST_ENDED))
          continue;
        gtk_box_append (GTK_BOX (self->drills), drill_row (self, row));
        shown++;
      }
  return shown;
}

void
bl_practice_drills_show (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  GError *error = NULL;
  g_autoptr (GPtrArray) drills = person != NULL ? bl_practice_drills (self->practice, person->id, &error) : NULL;
  guint n = bl_len (drills), shown;

  if (error != NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The drills cannot be listed"), error);
  gtk_widget_set_sensitive (self->compose, person != NULL); /* who practises is asked for above */
  bl_widget_clear (self->drills);
  shown = show_rows (self, drills);
  if (n > shown)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u earlier", "and %u earlier", n - shown), n - shown);
      gtk_box_append (GTK_BOX (self->drills), bl_label (more, "muted small", 0));
    }
  if (n == 0)
    gtk_box_append (GTK_BOX (self->drills), bl_practice_words (_ ("None yet. One that was broken off is taken up here; one "
                                                                  "that has ended can be gone through again."), "muted"));
}

/* How hard the next one is to be. One is always chosen. */
static GtkWidget *
kinds_new (BlPracticePage *self)
{
  GtkWidget *first = NULL;

  self->kinds = bl_wrap_box_new (6, 4);
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      GtkWidget *chip = gtk_toggle_button_new_with_label (_ (kinds[i].title));
      gtk_widget_add_css_class (chip, "chip");
      gtk_widget_set_focus_on_click (chip, FALSE);
      gtk_widget_set_tooltip_text (chip, _ (kinds[i].words));
      g_object_set_data (G_OBJECT (chip), "kind", GINT_TO_POINTER ((int) kinds[i].kind));
      if (first == NULL)
        first = chip;
      else
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (chip), GTK_TOGGLE_BUTTON (first));
      bl_wrap_box_append (BL_WRAP_BOX (self->kinds), chip);
    }
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (first), TRUE);
  return self->kinds;
}

GtkWidget *
bl_practice_drills_new (BlPracticePage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (line), bl_label (_ ("Drills"), "heading", 0));
  gtk_box_append (GTK_BOX (line), bl_label (_ ("what fails in the next one"), "muted small", 0));
  gtk_box_append (GTK_BOX (column), line);
  gtk_box_append (GTK_BOX (column), kinds_new (self));
  gtk_box_append (GTK_BOX (column), compose_new (self));
  self->drills = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (column), self->drills);
  return column;
}
