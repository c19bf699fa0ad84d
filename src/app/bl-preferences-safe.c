/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: from which voltage on the program warns. They are reminders; none of them allows anything. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-settings.h"
#include "bl-style.h"

static void
add_limit (GtkWidget *group, const char *label, const char *key, double least, double most, guint digits,
           const char *explanation)
{
  GSettings *settings = bl_settings ();
  GtkWidget *spin = gtk_spin_button_new_with_range (least, most, digits > 0 ? 0.5 : 1);

  gtk_spin_button_set_digits (GTK_SPIN_BUTTON (spin), digits);
  gtk_spin_button_set_snap_to_ticks (GTK_SPIN_BUTTON (spin), FALSE);
  gtk_widget_set_halign (spin, GTK_ALIGN_START);
  gtk_widget_set_sensitive (spin, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, key, gtk_spin_button_get_adjustment (GTK_SPIN_BUTTON (spin)), "value",
                     G_SETTINGS_BIND_DEFAULT);
  bl_preferences_group_add (group, label, spin, explanation);
}

void
bl_preferences_fill_safe (GtkWidget *group, BlLibrary *library)
{
  GtkWidget *first = bl_label (_ ("Your shop's own limits. The program warns by them and never says that a board is "
                                  "safe. Local codes and licensed practice come first."), "", 0);

  gtk_label_set_wrap (GTK_LABEL (first), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (first), 60);
  bl_preferences_group_add_wide (group, first);
  add_limit (group, _ ("Shock, _DC"), "shock-dc", 1, 120, 0,
             _ ("volts; above it a live state has the red banner. 60 V: energy class ES1 of IEC 62368-1, table 4, and "
                "IEC 61010-1 (from memory)."));
  add_limit (group, _ ("Shock, _AC"), "shock-ac", 1, 60, 0,
             _ ("volts r.m.s. 30 V: the same two standards (from memory). IEC 61140 has 25 V where nothing keeps people "
                "from touching it (from memory)."));
  add_limit (group, _ ("_Ohms below"), "ohms-below", 0.5, 60, 1,
             _ ("volts, proved before ohms and diode tests. 10 V: common practice, no source."));
  add_limit (group, _ ("Proved a_gain"), "ohms-again", 10, 3600, 0,
             _ ("seconds after the first proof, for a discharged capacitor recovers. A minute: common practice, no "
                "source."));
}
