/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What waits from the trainer, then what is due today, the longest first. Pressed, it is asked for at once on the board that is chosen. */
#include "config.h"

#include "bl-practice-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-practice-seed.h"
#include "bl-shell.h"
#include "bl-style.h"

enum { MOST_DUE = 12 }; /* rows; the others are counted */

/* A family of faults that is due: where such a fault lies is drawn among weak sections. */
static void
drill_family (BlPracticePage *self, const char *family)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  BlPracticeOrder order = { { 0, 0 }, 1, 1u << BL_DRILL_SINGLE, NULL, bl_practice_new_seed (), family };
  GError *error = NULL;

  if (person == NULL || !bl_practice_begin_subject (self, &order.subject))
    return;
  gint64 id = person->id;
  if (bl_practice_compose (self->practice, id, &order, &error) == 0)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("Nothing was begun"), error);
      return;
    }
  g_autoptr (GPtrArray) drills = bl_practice_drills (self->practice, id, NULL);
  if (bl_len (drills) > 0)
    bl_practice_page_drill (self, ((BlDrillRow *) bl_at (drills, 0))->id);
}

/* Drawn in sections of this kind where the board has some. */
static void
drill_section (BlPracticePage *self, const char *kind)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  BlPracticeSubject subject;
  GError *error = NULL;

  if (person == NULL || !bl_practice_begin_subject (self, &subject))
    return;
  for (guint i = 0; self->board != NULL && i < bl_len (self->board->sections); i++)
    {
      const BlSection *section = bl_at (self->board->sections, i);
      if (g_strcmp0 (section->kind, kind) == 0)
        g_strv_builder_add (builder, section->id);
    }
  g_auto (GStrv) sections = g_strv_builder_end (builder);
  if (*sections == NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("The board that is chosen has no such section: choose another one."));
      return;
    }
  BlDrillOrder order = { BL_DRILL_SINGLE, (const char *const *) sections, bl_practice_new_seed () };
  order.seed = bl_practice_fresh_seed (self->practice, person->id, &subject, &order, &error);
  gint64 drill = order.seed != 0 ? bl_practice_add_drill (self->practice, person->id, &subject, &order, &error) : 0;
  if (drill == 0)
    bl_widget_report (GTK_WIDGET (self), _ ("Nothing was begun"), error);
  else
    bl_practice_page_drill (self, drill);
}

static void
topic_pressed (const char *what, gpointer data)
{
  BlPracticePage *self = data;
  g_autofree char *topic = g_strdup (what + 1);

  switch (*what)
    {
    case 'w':
      bl_practice_page_ask (self, BL_ANSWER_WAY, NULL, topic);
      break;
    case 'r':
      bl_practice_page_ask (self, BL_ANSWER_READS, NULL, topic);
      break;
    case 's':
      drill_section (self, topic);
      break;
    default:
      drill_family (self, topic);
    }
}

static char
topic_letter (BlTopicKind kind)
{
  return kind == BL_TOPIC_WAY ? 'w' : kind == BL_TOPIC_READS ? 'r' : kind == BL_TOPIC_SECTION ? 's' : 'f';
}

/* NULL: today, as the heading says. (transfer full) */
static char *
since_words (const BlTopic *topic)
{
  int late = -topic->days;

  return late <= 0 ? NULL : g_strdup_printf (ngettext ("since %d day", "since %d days", (gulong) late), late);
}

static GtkWidget *
topic_row (BlPracticePage *self, const BlTopic *topic)
{
  GtkWidget *button = gtk_button_new (), *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *title = bl_label (topic->title, NULL, 0);
  g_autofree char *since = since_words (topic);
  g_autofree char *words = since != NULL ? g_strdup_printf ("%s, %s", topic->title, since) : g_strdup (topic->title);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (button, topic->title);
  gtk_box_append (GTK_BOX (row), title);
  if (since != NULL)
    gtk_box_append (GTK_BOX (row), bl_label (since, "muted small", 0));
  gtk_widget_set_valign (row, GTK_ALIGN_CENTER);
  gtk_button_set_child (GTK_BUTTON (button), row);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_add_css_class (button, "due-row");
  bl_widget_name (button, words);
  bl_button_tells (button, g_strdup_printf ("%c%s", topic_letter (topic->kind), topic->topic), topic_pressed, self);
  return button;
}

static void
waiting_pressed (const char *what, gpointer data)
{
  bl_practice_page_drill (data, g_ascii_strtoll (what, NULL, 10));
}

/* Drills that were composed, given or planted for whoever practises. NULL: none wait. */
static GtkWidget *
waiting_row (BlPracticePage *self, gint64 person)
{
  g_autofree char *first = NULL;
  gint64 drill = 0;
  guint n = bl_practice_waiting (self, person, &drill, &first);

  if (n == 0)
    return NULL;
  GtkWidget *button = gtk_button_new (), *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *title = g_strdup_printf (ngettext ("%u drill waits, from the trainer", "%u drills wait, from the trainer", n),
                                            n);
  /* Translators: of the drills that wait, the one that is begun next */
  g_autofree char *which = n > 1 ? g_strdup_printf (_ ("first %s"), first) : g_strdup (first);
  g_autofree char *name = g_strdup_printf ("%s, %s", title, which);
  gtk_box_append (GTK_BOX (row), bl_label (title, "strong", 0));
  gtk_box_append (GTK_BOX (row), bl_practice_words (which, "muted small"));
  gtk_button_set_child (GTK_BUTTON (button), row);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_add_css_class (button, "due-row");
  bl_widget_name (button, name);
  bl_button_tells (button, g_strdup_printf ("%" G_GINT64_FORMAT, drill), waiting_pressed, self);
  return button;
}

void
bl_practice_due_show (BlPracticePage *self)
{
  const BlPerson *person = bl_practice_get_person (self->practice);
  g_autoptr (GPtrArray) due = person != NULL ? bl_practice_due (self->practice, person->id, NULL) : NULL;
  GtkWidget *waiting = person != NULL ? waiting_row (self, person->id) : NULL;
  guint n = 0;

  bl_widget_clear (self->due);
  if (waiting != NULL)
    gtk_box_append (GTK_BOX (self->due), waiting);
  for (guint i = 0; i < bl_len (due); i++)
    if (n++ < MOST_DUE)
      gtk_box_append (GTK_BOX (self->due), topic_row (self, bl_at (due, i)));
  if (n > MOST_DUE)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u more", "and %u more", n - MOST_DUE), n - MOST_DUE);
      gtk_box_append (GTK_BOX (self->due), bl_label (more, "muted small", 0));
    }
  if (n == 0 && waiting == NULL)
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
