/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: how the odds are found. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-settings.h"

void
bl_preferences_fill_odds (GtkWidget *group, BlLibrary *library)
{
  GSettings *settings = bl_settings ();
  GtkWidget *strength = gtk_spin_button_new_with_range (1, 1000, 1);

  gtk_widget_set_halign (strength, GTK_ALIGN_START);
  gtk_widget_set_sensitive (strength, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, "prior-strength", gtk_spin_button_get_adjustment (GTK_SPIN_BUTTON (strength)), "value",
                     G_SETTINGS_BIND_DEFAULT);
  bl_preferences_group_add (group, _ ("_Document weighs"), strength,
                            _ ("confirmed causes: handbook and own figures against what your repairs of an edition "
                               "found. Small, because the handbook is of other equipment; not so small that one repair "
                               "decides. Taken for jobs opened from now on; Ctrl H in a job changes it for its "
                               "edition."));
}
