/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The checklist as one line above the photo: progress, the thing in hand and why it matters, and what can be done with
 * it. It covers nothing and asks nothing; whoever does not look at it loses a line. */
#include "config.h"

#include "bl-checklist-bar.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

struct _BlChecklistBar
{
  GtkWidget parent_instance;

  GtkWidget *box, *progress, *level, *words, *why, *go, *aside, *next;
};

enum
{
  ACT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlChecklistBar, bl_checklist_bar, GTK_TYPE_WIDGET)

void
bl_checklist_bar_show (BlChecklistBar *self, const BlChecklist *list, const BlThing *thing)
{
  g_return_if_fail (BL_IS_CHECKLIST_BAR (self) && list != NULL);
  g_autofree char *progress = bl_checklist_progress (list);
  g_autofree char *all = g_strdup_printf (_ ("The whole list: %s"), progress);

  gtk_label_set_label (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (self->progress))), progress);
  gtk_widget_set_tooltip_text (self->progress, all);
  bl_widget_name (self->progress, all);
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->level),
                                 list->n_checks > 0 ? (double) list->n_done / list->n_checks : 0);
  gtk_label_set_label (GTK_LABEL (self->words), thing != NULL ? thing->words : _ ("Nothing is missing."));
  gtk_widget_set_tooltip_text (self->words, thing != NULL ? thing->words : NULL);
  gtk_label_set_label (GTK_LABEL (self->why), thing != NULL ? thing->why : "");
  gtk_widget_set_tooltip_text (self->why, thing != NULL ? thing->why : NULL);
  gtk_widget_set_visible (self->go, thing != NULL);
  gtk_widget_set_visible (self->aside, thing != NULL);
  gtk_widget_set_visible (self->next, thing != NULL);
}

static void
pressed (GtkButton *button, BlChecklistBar *self)
{
  g_signal_emit (self, signals[ACT], 0, g_object_get_data (G_OBJECT (button), "act"));
}

static void
bl_checklist_bar_dispose (GObject *object)
{
  g_clear_pointer (&BL_CHECKLIST_BAR (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_checklist_bar_parent_class)->dispose (object);
}

static void
bl_checklist_bar_class_init (BlChecklistBarClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_checklist_bar_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[ACT] = g_signal_new ("act", BL_TYPE_CHECKLIST_BAR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                               G_TYPE_STRING);
}

static GtkWidget *
make_button (BlChecklistBar *self, const char *words, const char *cap, const char *tip, const char *act)
{
  GtkWidget *button = bl_act_button ("act", words, cap, FALSE);

  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_widget_set_tooltip_text (button, tip);
  g_object_set_data (G_OBJECT (button), "act", (gpointer) act);
  g_signal_connect (button, "clicked", G_CALLBACK (pressed), self);
  gtk_box_append (GTK_BOX (self->box), button);
  return button;
}

static void
bl_checklist_bar_init (BlChecklistBar *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_add_css_class (self->box, "checklist-bar");
  self->progress = make_button (self, "", NULL, NULL, "check-list");
  self->level = gtk_progress_bar_new ();
  gtk_widget_set_valign (self->level, GTK_ALIGN_CENTER);
  gtk_widget_set_size_request (self->level, 90, -1);
  gtk_box_append (GTK_BOX (self->box), self->level);
  self->words = bl_label ("", "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->words), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (self->box), self->words);
  self->why = bl_label ("", "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->why), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->why, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->why);
  self->go = make_button (self, _ ("go there"), NULL, _ ("Shows where it is put right"), "check-go");
  self->aside = make_button (self, _ ("does not apply"), _ ("Shift F9"),
                             _ ("Sets it aside for this board; the list under Checks brings it back"), "check-aside");
  self->next = make_button (self, _ ("next"), _ ("F9"), _ ("Goes on to the next thing that is missing"), "check-next");
}

GtkWidget *
bl_checklist_bar_new (void)
{
  return g_object_new (BL_TYPE_CHECKLIST_BAR, NULL);
}
