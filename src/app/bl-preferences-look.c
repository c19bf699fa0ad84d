/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: dark or light, and the size of what is read from across the bench. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-settings.h"

static void
scheme_changed (GtkDropDown *scheme, GParamSpec *pspec, gpointer data)
{
  g_settings_set_enum (bl_settings (), "colour-scheme", (int) gtk_drop_down_get_selected (scheme));
}

void
bl_preferences_fill_look (GtkWidget *group, BlLibrary *library)
{
  const char *const schemes[] = { _ ("as the desktop"), _ ("light"), _ ("dark"), NULL };
  GSettings *settings = bl_settings ();
  GtkWidget *scheme = gtk_drop_down_new_from_strings (schemes),
            *scale = gtk_spin_button_new_with_range (0.5, 2, 0.05);

  gtk_widget_set_halign (scheme, GTK_ALIGN_START);
  gtk_widget_set_size_request (scheme, 220, -1);
  gtk_widget_set_halign (scale, GTK_ALIGN_START);
  gtk_widget_set_sensitive (scheme, settings != NULL);
  gtk_widget_set_sensitive (scale, settings != NULL);
  if (settings != NULL)
    {
      gtk_drop_down_set_selected (GTK_DROP_DOWN (scheme), (guint) g_settings_get_enum (settings, "colour-scheme"));
      g_signal_connect (scheme, "notify::selected", G_CALLBACK (scheme_changed), NULL);
      g_settings_bind (settings, "probe-scale", gtk_spin_button_get_adjustment (GTK_SPIN_BUTTON (scale)), "value",
                       G_SETTINGS_BIND_DEFAULT);
    }
  bl_preferences_group_add (group, _ ("_Light or dark"), scheme, NULL);
  bl_preferences_group_add (group, _ ("Text of the _probe view"), scale,
                            _ ("times its usual size; F5 shows the view"));
}
