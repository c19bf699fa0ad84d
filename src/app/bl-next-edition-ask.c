/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The question before an edition is copied to the next one: its mark, proposed, and what comes along. It opens beside
 * the button and closes by Esc. A mark that is taken is refused there and then, with the reason. */
#include "config.h"

#include "bl-next-edition-ask.h"

#include <glib/gi18n-lib.h>

#include "bl-next-edition.h"
#include "bl-style.h"

typedef struct
{
  BlLibrary *library;
  gint64 board;
  BlNextEditionMade made;
  gpointer data;
  GtkWidget *popover, *mark, *refusal;
} Ask;

static void
copy (Ask *ask)
{
  g_autoptr (GError) error = NULL;
  gint64 made = bl_next_edition_make (ask->library, ask->board, gtk_editable_get_text (GTK_EDITABLE (ask->mark)), &error);

  if (made == 0)
    {
      gtk_label_set_label (GTK_LABEL (ask->refusal), error->message);
      gtk_widget_set_visible (ask->refusal, TRUE);
      gtk_widget_add_css_class (ask->mark, "refused");
      return;
    }
  BlNextEditionMade then = ask->made;
  gpointer data = ask->data;
  gtk_popover_popdown (GTK_POPOVER (ask->popover));
  then (made, data);
}

static gboolean
unparent_later (gpointer popover)
{
  gtk_widget_unparent (popover);
  return G_SOURCE_REMOVE;
}

static void
closed (GtkWidget *popover)
{
  /* Its own signal is still running. */
  g_idle_add_full (G_PRIORITY_DEFAULT, unparent_later, g_object_ref (popover), g_object_unref);
}

static GtkWidget *
words (const char *text, const char *css)
{
  GtkWidget *label = bl_label (text, css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 52);
  return label;
}

static GtkWidget *
make_box (Ask *ask)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *button = gtk_button_new_with_label (_ ("Copy"));
  g_autofree char *mark = bl_next_edition_propose (ask->library, ask->board, NULL);

  gtk_box_append (GTK_BOX (box), bl_label (_ ("Copy to the next edition"), "heading", 0));
  gtk_box_append (GTK_BOX (line), bl_label (_ ("edition mark on the board"), NULL, 0));
  ask->mark = gtk_entry_new ();
  gtk_editable_set_text (GTK_EDITABLE (ask->mark), mark != NULL ? mark : "");
  gtk_editable_set_width_chars (GTK_EDITABLE (ask->mark), 8);
  bl_widget_name (ask->mark, _ ("edition mark on the board"));
  g_signal_connect_swapped (ask->mark, "activate", G_CALLBACK (copy), ask);
  gtk_box_append (GTK_BOX (line), ask->mark);
  gtk_widget_add_css_class (button, "firm");
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (copy), ask);
  gtk_box_append (GTK_BOX (line), button);
  gtk_box_append (GTK_BOX (line), bl_key_cap (_ ("Enter")));
  gtk_box_append (GTK_BOX (box), line);
  ask->refusal = words ("", "danger");
  gtk_widget_set_visible (ask->refusal, FALSE);
  gtk_box_append (GTK_BOX (box), ask->refusal);
  gtk_box_append (GTK_BOX (box), words (_ ("Comes along: photos, points, bands, sections, components with their "
                                           "failure modes, symptoms, lamp patterns."), NULL));
  gtk_box_append (GTK_BOX (box), words (_ ("Stays with the old edition: jobs, readings of known-good boards, causes "
                                           "found. They were of other boards."), NULL));
  gtk_box_append (GTK_BOX (box), words (_ ("Then a list is shown of what to look at on a real board of the new edition."),
                                        "muted"));
  return box;
}

/* Points at a button, but is not inside it: what is written on buttons is underlined. */
static void
attach (GtkWidget *popover, GtkWidget *widget)
{
  GtkWidget *holder = GTK_IS_BUTTON (widget) ? gtk_widget_get_parent (widget) : widget;
  graphene_rect_t bounds;

  gtk_widget_set_parent (popover, holder);
  if (holder != widget && gtk_widget_compute_bounds (widget, holder, &bounds))
    gtk_popover_set_pointing_to (GTK_POPOVER (popover),
                                 &(GdkRectangle){ (int) bounds.origin.x, (int) bounds.origin.y,
                                                  (int) bounds.size.width, (int) bounds.size.height });
}

void
bl_next_edition_ask (GtkWidget *widget, BlLibrary *library, gint64 board, BlNextEditionMade made, gpointer data)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL && made != NULL);
  Ask *ask = g_new0 (Ask, 1);

  *ask = (Ask){ library, board, made, data, gtk_popover_new (), NULL, NULL };
  g_object_set_data_full (G_OBJECT (ask->popover), "ask", ask, g_free);
  gtk_popover_set_child (GTK_POPOVER (ask->popover), make_box (ask));
  attach (ask->popover, widget);
  g_signal_connect (ask->popover, "closed", G_CALLBACK (closed), NULL);
  gtk_popover_popup (GTK_POPOVER (ask->popover));
  gtk_widget_grab_focus (ask->mark);
}
