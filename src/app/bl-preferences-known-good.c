/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: how sure the band is that known-good boards propose. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-settings.h"

static void
add_share (GtkWidget *group, const char *label, const char *key, const char *explanation)
{
  GSettings *settings = bl_settings ();
  GtkWidget *spin = gtk_spin_button_new_with_range (50, 99.9, 1);

  gtk_spin_button_set_digits (GTK_SPIN_BUTTON (spin), 1);
  gtk_spin_button_set_snap_to_ticks (GTK_SPIN_BUTTON (spin), FALSE);
  gtk_widget_set_halign (spin, GTK_ALIGN_START);
  gtk_widget_set_sensitive (spin, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, key, gtk_spin_button_get_adjustment (GTK_SPIN_BUTTON (spin)), "value",
                     G_SETTINGS_BIND_DEFAULT);
  bl_preferences_group_add (group, label, spin, explanation);
}

void
bl_preferences_fill_known_good (GtkWidget *group, BlLibrary *library)
{
  add_share (group, _ ("_Coverage"), "good-coverage",
             _ ("per cent: so many of all good boards of an edition are to read within a proposed band"));
  add_share (group, _ ("C_onfidence"), "good-confidence",
             _ ("per cent: how sure that is to be. Few boards make a band wide: at 95 and 95 per cent ten boards "
                "3.4 standard deviations to each side, thirty 2.6. Below ten none is proposed."));
}
