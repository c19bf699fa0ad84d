/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: groups at the left, the rows of one at the right. Whatever is changed is kept at once and
 * there is nothing to confirm. What is in a group is said in a file of its own
 * (bl-preferences-NAME.c); a group without a row is not shown. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

struct _BlPreferences
{
  GtkWindow parent_instance;

  GtkStack *stack;
  GtkStackSidebar *sidebar;
};

G_DEFINE_FINAL_TYPE (BlPreferences, bl_preferences, GTK_TYPE_WINDOW)

static const struct
{
  const char *name, *title;
  void (*fill) (GtkWidget *group, BlLibrary *library);
} groups[] = {
  { "look", N_ ("Look"), bl_preferences_fill_look },
  { "meters", N_ ("Meters"), bl_preferences_fill_meters },
  { "known-good", N_ ("Known-good boards"), bl_preferences_fill_known_good },
  { "capture", N_ ("Capture and speech"), bl_preferences_fill_capture },
  { "odds", N_ ("Odds"), bl_preferences_fill_odds },
  { "proving", N_ ("Time and proving"), bl_preferences_fill_proving },
  { "report", N_ ("Reports"), bl_preferences_fill_report },
  { "safe", N_ ("Danger"), bl_preferences_fill_safe },
};

static void
add_groups (BlPreferences *self, BlLibrary *library)
{
  for (guint i = 0; i < G_N_ELEMENTS (groups); i++)
    {
      GtkWidget *group = bl_preferences_group_new (), *scroller;
      GtkStackPage *page;
      groups[i].fill (group, library);
      scroller = gtk_scrolled_window_new ();
      gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
      gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), group);
      page = gtk_stack_add_titled (self->stack, scroller, groups[i].name, _ (groups[i].title));
      gtk_stack_page_set_visible (page, !bl_preferences_group_is_empty (group));
    }
}

static void
bl_preferences_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_PREFERENCES);
  G_OBJECT_CLASS (bl_preferences_parent_class)->dispose (object);
}

static void
bl_preferences_class_init (BlPreferencesClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_preferences_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-preferences.ui");
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, stack);
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, sidebar);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
bl_preferences_init (BlPreferences *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  bl_style_dress (GTK_WIDGET (self));
}

void
bl_preferences_present (GtkWindow *parent, BlLibrary *library, const char *group)
{
  BlPreferences *self = g_object_new (BL_TYPE_PREFERENCES, "transient-for", parent, "destroy-with-parent", TRUE, NULL);

  add_groups (self, library);
  if (group != NULL)
    gtk_stack_set_visible_child_name (self->stack, group);
  gtk_window_present (GTK_WINDOW (self));
  gtk_widget_child_focus (GTK_WIDGET (group != NULL ? GTK_WIDGET (self->stack) : GTK_WIDGET (self->sidebar)),
                          GTK_DIR_TAB_FORWARD);
}

/* --- groups --- */

GtkWidget *
bl_preferences_group_new (void)
{
  GtkWidget *grid = gtk_grid_new ();

  gtk_widget_add_css_class (grid, "group");
  gtk_grid_set_row_spacing (GTK_GRID (grid), 4);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 16);
  return grid;
}

static int
free_row (GtkWidget *group)
{
  int row = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (group); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      int at, height;
      gtk_grid_query_child (GTK_GRID (group), child, NULL, &at, NULL, &height);
      row = MAX (row, at + height);
    }
  return row;
}

void
bl_preferences_group_add (GtkWidget *group, const char *label, GtkWidget *control, const char *explanation)
{
  GtkWidget *word = bl_label (NULL, "", 0);
  int row = free_row (group);

  g_return_if_fail (GTK_IS_GRID (group) && GTK_IS_WIDGET (control));
  gtk_label_set_text_with_mnemonic (GTK_LABEL (word), label);
  gtk_label_set_mnemonic_widget (GTK_LABEL (word), control);
  gtk_widget_set_valign (word, GTK_ALIGN_CENTER);
  gtk_widget_set_margin_top (word, row > 0 ? 10 : 0);
  gtk_widget_set_margin_top (control, row > 0 ? 10 : 0);
  gtk_grid_attach (GTK_GRID (group), word, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (group), control, 1, row, 1, 1);
  if (explanation != NULL)
    {
      GtkWidget *below = bl_label (explanation, "muted small", 0);
      gtk_label_set_wrap (GTK_LABEL (below), TRUE);
      gtk_label_set_max_width_chars (GTK_LABEL (below), 60);
      gtk_grid_attach (GTK_GRID (group), below, 1, row + 1, 1, 1);
    }
}

void
bl_preferences_group_add_wide (GtkWidget *group, GtkWidget *widget)
{
  int row = free_row (group);

  g_return_if_fail (GTK_IS_GRID (group) && GTK_IS_WIDGET (widget));
  gtk_widget_set_hexpand (widget, TRUE);
  gtk_widget_set_margin_top (widget, row > 0 ? 10 : 0);
  gtk_grid_attach (GTK_GRID (group), widget, 0, row, 2, 1);
}

gboolean
bl_preferences_group_is_empty (GtkWidget *group)
{
  return gtk_widget_get_first_child (group) == NULL;
}
