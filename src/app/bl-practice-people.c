/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who practises: short names or initials, which stay on this machine. Some ten of them. Removing somebody asks in its own
 * place, for it cannot be undone. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-one-stop.h"
#include "bl-shell.h"
#include "bl-style.h"

static GtkWidget *
person_row (BlPracticePage *self, const BlPerson *person)
{
  g_autoptr (GPtrArray) due = bl_practice_due (self->practice, person->id, NULL);
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *name = bl_label (person->name, "strong", 0);
  guint n = bl_len (due), waiting = bl_practice_waiting (self, person->id, NULL, NULL);
  g_autofree char *wait = waiting > 0 ? g_strdup_printf (ngettext ("%u waits", "%u wait", waiting), waiting) : g_strdup ("");
  g_autofree char *of_due = n > 0 ? g_strdup_printf (ngettext ("%u due", "%u due", n), n) : g_strdup ("");
  g_autofree char *count = g_strconcat (wait, waiting > 0 && n > 0 ? " · " : "", of_due, NULL);
  g_autofree char *words = *count != '\0' ? g_strdup_printf ("%s, %s", person->name, count) : g_strdup (person->name);

  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (name, TRUE);
  gtk_box_append (GTK_BOX (box), name);
  gtk_box_append (GTK_BOX (box), bl_label (count, "muted small", 1));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, words);
  return row;
}

/* The entry adds again. */
static void
stop_renaming (BlPracticePage *self)
{
  self->renaming = 0;
  gtk_editable_set_text (GTK_EDITABLE (self->add), "");
  gtk_label_set_label (GTK_LABEL (self->add_words), _ ("Somebody new"));
  bl_widget_name (self->add, _ ("Short name or initials"));
}

void
bl_practice_people_show (BlPracticePage *self)
{
  GPtrArray *persons = bl_practice_get_persons (self->practice);
  const BlPerson *now = bl_practice_get_person (self->practice);

  self->filling = TRUE;
  bl_widget_clear (self->people);
  for (guint i = 0; i < bl_len (persons); i++)
    {
      const BlPerson *person = bl_at (persons, i);
      GtkWidget *row = person_row (self, person);
      gtk_list_box_append (GTK_LIST_BOX (self->people), row);
      if (now != NULL && person->id == now->id)
        gtk_list_box_select_row (GTK_LIST_BOX (self->people), GTK_LIST_BOX_ROW (row));
    }
  self->filling = FALSE;
  gtk_widget_set_visible (self->people, bl_len (persons) > 0);
  gtk_widget_set_visible (self->acts, now != NULL);
  gtk_widget_set_visible (self->sure, FALSE);
}

void
bl_practice_people_focus (BlPracticePage *self)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->people));

  if (row != NULL)
    gtk_widget_grab_focus (GTK_WIDGET (row));
  else if (gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->people), 0) == NULL)
    gtk_widget_grab_focus (self->add);
}

static void
person_selected (GtkListBox *list, GtkListBoxRow *row, BlPracticePage *self)
{
  GPtrArray *persons = bl_practice_get_persons (self->practice);
  const BlPerson *now = bl_practice_get_person (self->practice);
  GError *error = NULL;

  if (self->filling || row == NULL || (guint) gtk_list_box_row_get_index (row) >= bl_len (persons))
    return;
  const BlPerson *person = bl_at (persons, (guint) gtk_list_box_row_get_index (row));
  if (now != NULL && now->id == person->id)
    return;
  stop_renaming (self);
  if (!bl_practice_set_person (self->practice, person->id, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("Who practises was not kept"), error);
  bl_practice_people_focus (self);
}

static void
entered (BlPracticePage *self)
{
  g_autofree char *name = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->add))));
  GError *error = NULL;
  gboolean done = self->renaming != 0 ? bl_practice_rename_person (self->practice, self->renaming, name, &error)
                                      : bl_practice_add_person (self->practice, name, &error) != 0;

  if (!done)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The name was not kept"), error);
      return;
    }
  bl_widget_notify (GTK_WIDGET (self), NULL); /* what was said of the name before is over */
  stop_renaming (self);
  bl_practice_people_focus (self);
}

static void
rename_pressed (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);

  if (person == NULL)
    return;
  g_autofree char *words = g_strdup_printf (_ ("New name of %s"), person->name);
  self->renaming = person->id;
  gtk_editable_set_text (GTK_EDITABLE (self->add), person->name);
  gtk_label_set_label (GTK_LABEL (self->add_words), words);
  bl_widget_name (self->add, words);
  gtk_widget_grab_focus (self->add);
}

static void
remove_pressed (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);

  if (person == NULL)
    return;
  g_autofree char *words = g_strdup_printf (_ ("Remove %s with all drills, answers and what is due? This cannot be undone."),
                                            person->name);
  gtk_label_set_label (GTK_LABEL (self->sure_words), words);
  gtk_widget_set_visible (self->sure, TRUE);
}

static void
remove_sure (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  GError *error = NULL;

  stop_renaming (self);
  if (person != NULL && !bl_practice_remove_person (self->practice, person->id, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("Nobody was removed"), error);
  bl_practice_people_focus (self);
}

static void
remove_not (BlPracticePage *self)
{
  bl_practice_people_focus (self); /* the button goes with its question */
  gtk_widget_set_visible (self->sure, FALSE);
}

/* --- layout --- */

static GtkWidget *
act (BlPracticePage *self, const char *css, const char *words, GCallback call)
{
  GtkWidget *button = bl_act_button (css, words, NULL, FALSE);

  g_signal_connect_swapped (button, "clicked", call, self);
  return button;
}

static GtkWidget *
sure_new (BlPracticePage *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->sure_words = bl_practice_words ("", NULL);
  gtk_box_append (GTK_BOX (row), act (self, "plain", _ ("Remove"), G_CALLBACK (remove_sure)));
  gtk_box_append (GTK_BOX (row), act (self, "plain", _ ("Keep"), G_CALLBACK (remove_not)));
  gtk_box_append (GTK_BOX (box), self->sure_words);
  gtk_box_append (GTK_BOX (box), row);
  gtk_widget_add_css_class (box, "remark");
  return self->sure = box;
}

GtkWidget *
bl_practice_people_new (BlPracticePage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *acts = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->people = gtk_list_box_new ();
  self->add = gtk_entry_new ();
  self->add_words = bl_label ("", "muted small", 0);
  self->acts = acts;
  gtk_widget_add_css_class (self->people, "big-list");
  bl_widget_name (self->people, _ ("Who practises"));
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->add), _ ("short name or initials"));
  gtk_entry_set_max_length (GTK_ENTRY (self->add), 40);
  g_signal_connect (self->people, "row-selected", G_CALLBACK (person_selected), self);
  g_signal_connect_swapped (self->add, "activate", G_CALLBACK (entered), self);
  gtk_box_append (GTK_BOX (acts), act (self, "act", _ ("rename"), G_CALLBACK (rename_pressed)));
  gtk_box_append (GTK_BOX (acts), act (self, "act", _ ("remove"), G_CALLBACK (remove_pressed)));
  gtk_box_append (GTK_BOX (column), bl_label (_ ("Who practises"), "heading", 0));
  gtk_box_append (GTK_BOX (column), bl_one_stop_new (self->people));
  gtk_box_append (GTK_BOX (column), acts);
  gtk_box_append (GTK_BOX (column), sure_new (self));
  gtk_box_append (GTK_BOX (column), self->add_words);
  gtk_box_append (GTK_BOX (column), self->add);
  gtk_box_append (GTK_BOX (column),
                  bl_practice_words (_ ("Kept on this machine only, in a file of its own: nothing of it is in the shop's jobs, "
                                        "numbers, reports or exports."), "muted small"));
  gtk_widget_set_size_request (column, 232, -1);
  stop_renaming (self);
  return column;
}
