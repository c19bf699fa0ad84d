/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of the job just taken in: what it looks like, and the row of its sizes and of what stands on it. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"
#include "bl-tag-choice.h"
#include "bl-take-in-private.h"

#define TAG_WIDTH 496 /* px; a label of 62 mm at 8 px a mm */

typedef enum
{
  CUSTOMER = BL_N_TAG_SIZES,
  COMPLAINT,
  N_CHOICES
} Choice;

static gboolean
is_chosen (const BlTagChoice *choice, int which)
{
  return which == CUSTOMER ? choice->customer : which == COMPLAINT ? choice->complaint : (int) choice->size == which;
}

void
bl_take_in_tag_show (BlTakeInPage *self)
{
  BlTagChoice choice = bl_tag_choice ();

  self->filling_tag = TRUE;
  for (int i = 0; i < N_CHOICES; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->tag_choices[i]), is_chosen (&choice, i));
  self->filling_tag = FALSE;
  bl_tag_preview_show (BL_TAG_PREVIEW (self->tag_preview), self->library, self->taken);
}

void
bl_take_in_tag_choose (BlTakeInPage *self, int which)
{
  g_return_if_fail (which >= 0 && which < N_CHOICES);
  BlTagChoice choice = bl_tag_choice ();

  if (which == CUSTOMER)
    choice.customer = !choice.customer;
  else if (which == COMPLAINT)
    choice.complaint = !choice.complaint;
  else
    choice.size = (BlTagSize) which;
  bl_tag_choose (&choice);
  bl_take_in_tag_show (self);
}

static void
toggled (GtkToggleButton *button, BlTakeInPage *self)
{
  int which = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "which"));

  if (!self->filling_tag)
    bl_take_in_tag_choose (self, which);
}

GtkWidget *
bl_take_in_tag_new (BlTakeInPage *self)
{
  static const char *const caps[N_CHOICES] = { "1", "2", "3", "4", "C", "W" };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *sizes = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *shown = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  for (int i = 0; i < N_CHOICES; i++)
    {
      const char *words = i == CUSTOMER ? _ ("the customer") : i == COMPLAINT ? _ ("what is wrong") : bl_tag_size_words ((BlTagSize) i);
      GtkWidget *button = gtk_toggle_button_new (), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
      gtk_box_append (GTK_BOX (line), bl_label (words, NULL, 0));
      gtk_box_append (GTK_BOX (line), bl_key_cap (caps[i]));
      gtk_button_set_child (GTK_BUTTON (button), line);
      gtk_widget_add_css_class (button, "segment");
      gtk_widget_set_focus_on_click (button, FALSE);
      bl_widget_name (button, words);
      g_object_set_data (G_OBJECT (button), "which", GINT_TO_POINTER (i));
      g_signal_connect (button, "toggled", G_CALLBACK (toggled), self);
      self->tag_choices[i] = button;
      gtk_box_append (GTK_BOX (i < BL_N_TAG_SIZES ? sizes : shown), button);
    }
  self->tag_preview = bl_tag_preview_new (TAG_WIDTH);
  gtk_box_prepend (GTK_BOX (shown), bl_label (_ ("On it beside number, board and code:"), "muted", 0));
  gtk_widget_set_margin_end (gtk_widget_get_first_child (shown), 8);
  gtk_box_append (GTK_BOX (box), self->tag_preview);
  gtk_box_append (GTK_BOX (box), sizes);
  gtk_box_append (GTK_BOX (box), shown);
  return box;
}
