/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is due today, the longest first. Pressed, it is asked for at once, on the board that is chosen. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

enum { MOST_DUE = 6 }; /* rows; the others are counted */

static void
topic_pressed (const char *what, gpointer data)
{
  BlPracticePage *self = data;
  BlTopicKind kind = *what == 'w' ? BL_TOPIC_WAY : BL_TOPIC_READS;

  bl_practice_page_ask (self, kind == BL_TOPIC_WAY ? BL_ANSWER_WAY : BL_ANSWER_READS, NULL, what + 1);
}

static char *
since_words (const BlTopic *topic)
{
  int late = -topic->days;

  return late <= 0 ? g_strdup (_ ("today")) : g_strdup_printf (ngettext ("since %d day", "since %d days", (gulong) late), late);
}

static GtkWidget *
topic_row (BlPracticePage *self, const BlTopic *topic)
{
  GtkWidget *button = gtk_button_new (), *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *title = bl_label (topic->title, NULL, 0);
  g_autofree char *since = since_words (topic);
  g_autofree char *words = g_strdup_printf ("%s, %s", topic->title, since);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), bl_label (since, "muted small", 1));
  gtk_button_set_child (GTK_BUTTON (button), row);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_add_css_class (button, "due-row");
  bl_widget_name (button, words);
  bl_button_tells (button, g_strconcat (topic->kind == BL_TOPIC_WAY ? "w" : "r", topic->topic, NULL), topic_pressed, self);
  return button;
}

static gboolean
is_shown (const BlTopic *topic)
{
  return topic->kind == BL_TOPIC_WAY;
}

void
bl_practice_due_show (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  g_autoptr (GPtrArray) due = person != NULL ? bl_practice_due (self->practice, person->id, NULL) : NULL;
  guint n = 0;

  bl_widget_clear (self->due);
  for (guint i = 0; i < bl_len (due); i++)
    if (is_shown (bl_at (due, i)) && n++ < MOST_DUE)
      gtk_box_append (GTK_BOX (self->due), topic_row (self, bl_at (due, i)));
  if (n > MOST_DUE)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u more", "and %u more", n - MOST_DUE), n - MOST_DUE);
      gtk_box_append (GTK_BOX (self->due), bl_label (more, "muted small", 0));
    }
  if (n == 0)
    gtk_box_append (GTK_BOX (self->due), bl_practice_words (
                      person == NULL ? _ ("Nobody practises now.")
                                     : _ ("Nothing. What was right comes again after 1, 2, 4 and more days, what was not comes "
                                          "again the same day."), "muted"));
}

GtkWidget *
bl_practice_due_new (BlPracticePage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);

  self->due = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (column), bl_label (_ ("Due today"), "heading", 0));
  gtk_box_append (GTK_BOX (column), self->due);
  return column;
}
