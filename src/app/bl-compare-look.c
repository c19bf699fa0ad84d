/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is to be looked at on a real board of a copied edition. Each part is ticked when it was seen to be the same; what
 * is not is edited, and is then one of the differences. A tick is kept in the library at once; pressed again it is gone.
 */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-shell.h"
#include "bl-style.h"

static const char *
group_words (const char *list)
{
  if (g_str_equal (list, "photos"))
    return _ ("Photos");
  if (g_str_equal (list, "components"))
    return _ ("Components: the same part, the same value, at the same place?");
  if (g_str_equal (list, "test_points"))
    return _ ("Test points: the same net at the same place?");
  return _ ("Lamp patterns: the same meaning?");
}

static void
add_group (BlCompareView *self, const char *list)
{
  GtkWidget *row = gtk_list_box_row_new ();

  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), bl_label (group_words (list), "heading", 0));
  gtk_list_box_row_set_selectable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_widget_set_focusable (row, FALSE);
  gtk_widget_add_css_class (row, "group-head");
  gtk_list_box_append (GTK_LIST_BOX (self->look), row);
}

/* The part already differs from the edition it was copied from: somebody looked. */
static const BlDifference *
difference_of (BlCompareView *self, const BlLookAt *part)
{
  const BlDifference *difference = bl_compare_find (self, part->part);

  return self->comparison != NULL && self->origin != NULL
             && bl_comparison_get_other_id (self->comparison) == self->origin->board
             && difference != NULL && bl_comparison_shows (difference)
           ? difference
           : NULL;
}

static void
tick_toggled (GtkCheckButton *check, BlCompareView *self)
{
  g_autofree char *key = g_strdup (g_object_get_data (G_OBJECT (check), "key"));
  GError *error = NULL;

  if (self->filling)
    return;
  if (!bl_library_set_looked_at (self->library, bl_edition_get_id (self->edition), key,
                                 gtk_check_button_get_active (check), &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The tick was not kept"), error);
  bl_compare_queue_refresh (self);
}

static GtkWidget *
row_of (BlCompareView *self, const BlLookAt *part)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *check = gtk_check_button_new (), *label;
  const BlDifference *difference = difference_of (self, part);
  g_autofree char *name = g_strdup_printf (_ ("%s, %s: the same on the board"), part->id, part->words);

  gtk_check_button_set_active (GTK_CHECK_BUTTON (check), part->looked_at);
  gtk_widget_set_focusable (check, FALSE);
  bl_widget_name (check, name);
  g_object_set_data_full (G_OBJECT (check), "key", g_strdup (part->part), g_free);
  g_signal_connect (check, "toggled", G_CALLBACK (tick_toggled), self);
  gtk_box_append (GTK_BOX (box), check);
  label = bl_label (part->id, "strong", 0);
  gtk_label_set_width_chars (GTK_LABEL (label), 7);
  gtk_box_append (GTK_BOX (box), label);
  label = bl_label (part->words, part->looked_at ? "muted" : NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, part->words);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (box), label);
  if (difference != NULL)
    {
      gtk_box_append (GTK_BOX (box), bl_difference_icon_new (bl_difference_mark_of (difference->kind)));
      gtk_box_append (GTK_BOX (box), bl_label (bl_comparison_kind_words (difference->kind), NULL, 0));
    }
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  g_object_set_data_full (G_OBJECT (row), "key", g_strdup (part->part), g_free);
  g_object_set_data (G_OBJECT (row), "check", check);
  return row;
}

static void
show_words (BlCompareView *self, guint seen, guint all)
{
  g_autofree char *count = g_strdup_printf (_ ("%u of %u looked at"), seen, all);
  g_autofree char *words = NULL;

  if (self->origin != NULL)
    {
      g_autofree char *day = bl_format_day (self->origin->time, g_get_real_time ());
      words = g_strdup_printf (_ ("Copied from %s, %s. Everything here is said of that edition until it was seen on a "
                                  "board of this one. Jobs, known-good boards and causes found stayed there: readings "
                                  "of this edition begin anew."),
                               self->origin->name, day);
    }
  gtk_label_set_label (GTK_LABEL (self->look_words), words != NULL ? words : "");
  gtk_label_set_label (GTK_LABEL (self->look_rest), count);
}

void
bl_compare_look_fill (BlCompareView *self)
{
  g_autoptr (GHashTable) seen = bl_library_looked_at (self->library, bl_edition_get_id (self->edition), NULL);
  g_autoptr (GPtrArray) parts = bl_next_edition_parts (bl_edition_get_board (self->edition), seen);
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->look_scroll));
  double at = gtk_adjustment_get_value (adjustment);
  guint ticked = 0;

  self->filling = TRUE;
  bl_widget_clear (self->look);
  for (guint i = 0; i < parts->len; i++)
    {
      const BlLookAt *part = bl_at (parts, i);
      if (i == 0 || !g_str_equal (part->list, ((BlLookAt *) bl_at (parts, i - 1))->list))
        add_group (self, part->list);
      gtk_list_box_append (GTK_LIST_BOX (self->look), row_of (self, part));
      ticked += part->looked_at;
    }
  self->filling = FALSE;
  show_words (self, ticked, parts->len);
  if (self->selected != NULL)
    bl_compare_list_select (self->look, self->selected, bl_compare_tab (self) == BL_COMPARE_LOOK);
  gtk_adjustment_set_value (adjustment, at);
}

/* The row after this one that can be ticked; NULL: it was the last. */
static GtkWidget *
next_row (GtkWidget *row)
{
  do
    row = gtk_widget_get_next_sibling (row);
  while (row != NULL && g_object_get_data (G_OBJECT (row), "key") == NULL);
  return row;
}

void
bl_compare_look_tick (BlCompareView *self)
{
  GtkWidget *row = GTK_WIDGET (gtk_list_box_get_selected_row (GTK_LIST_BOX (self->look)));
  GtkCheckButton *check = row != NULL ? g_object_get_data (G_OBJECT (row), "check") : NULL;
  GtkWidget *next = row != NULL ? next_row (row) : NULL;

  if (check == NULL)
    return;
  gboolean ticked = !gtk_check_button_get_active (check);
  gtk_check_button_set_active (check, ticked);
  if (ticked && next != NULL)
    bl_compare_select (self, g_object_get_data (G_OBJECT (next), "key"));
}
