/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: the shop's meters, and what a shop without any measures with. An accuracy that cannot be read is
 * not kept; the line below the field says why. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-meters-view.h"
#include "bl-settings.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-verdict.h"

static void
typed_changed (GtkEditable *entry, GtkLabel *note)
{
  GSettings *settings = bl_settings ();
  const char *text = gtk_editable_get_text (entry);
  g_autoptr (GError) error = NULL;
  BlMeter meter;

  if (!bl_meter_parse (text, &meter, &error))
    {
      gtk_label_set_label (note, error->message);
      return;
    }
  gtk_label_set_label (note, _ ("per cent of reading + counts @ value of one count, in input resistance; "
                                "taken for new jobs while no meter of the shop is; F4 changes it in a job"));
  if (settings != NULL)
    g_settings_set_string (settings, "meter", text);
}

/* The job that is open behind the preferences follows at once. */
static void
meters_changed (GtkWidget *view)
{
  GtkRoot *root = gtk_widget_get_root (view);
  GtkWindow *parent = GTK_IS_WINDOW (root) ? gtk_window_get_transient_for (GTK_WINDOW (root)) : NULL;

  if (parent != NULL && BL_IS_SHELL (parent))
    bl_shell_meters_changed (BL_SHELL (parent));
}

void
bl_preferences_fill_meters (GtkWidget *group, BlLibrary *library)
{
  GSettings *settings = bl_settings ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *entry = gtk_entry_new (),
            *note = bl_label ("", "muted small", 0);
  g_autofree char *meter = settings != NULL ? g_settings_get_string (settings, "meter") : g_strdup ("");

  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), _ ("exact; or 0.5%+3@0.01 in 10M"));
  gtk_editable_set_text (GTK_EDITABLE (entry), meter);
  gtk_label_set_wrap (GTK_LABEL (note), TRUE);
  gtk_box_append (GTK_BOX (box), entry);
  gtk_box_append (GTK_BOX (box), note);
  g_signal_connect_object (entry, "changed", G_CALLBACK (typed_changed), note, 0);
  typed_changed (GTK_EDITABLE (entry), GTK_LABEL (note));
  if (library != NULL)
    {
      GtkWidget *view = bl_meters_view_new (library);
      gtk_widget_set_vexpand (view, TRUE);
      g_signal_connect (view, "changed", G_CALLBACK (meters_changed), NULL);
      bl_preferences_group_add_wide (group, view);
    }
  bl_preferences_group_add (group, _ ("_Other meter"), box, NULL);
}
