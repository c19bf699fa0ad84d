/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: paper of a report, and the shop's own words on it. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-settings.h"
#include "bl-style.h"

static void
paper_changed (GtkDropDown *paper, GParamSpec *pspec, gpointer data)
{
  g_settings_set_enum (bl_settings (), "report-paper", (int) gtk_drop_down_get_selected (paper));
}

static GtkWidget *
line (const char *key, const char *hint)
{
  GtkWidget *entry = gtk_entry_new ();
  GSettings *settings = bl_settings ();

  gtk_widget_set_size_request (entry, 420, -1);
  gtk_widget_set_halign (entry, GTK_ALIGN_START);
  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), hint);
  gtk_widget_set_sensitive (entry, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, key, entry, "text", G_SETTINGS_BIND_DEFAULT);
  return entry;
}

/* Text of several lines, kept while it is typed. */
static GtkWidget *
lines (const char *key, const char *name, int height)
{
  GtkWidget *view = gtk_text_view_new (), *frame = gtk_scrolled_window_new ();
  GSettings *settings = bl_settings ();

  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_left_margin (GTK_TEXT_VIEW (view), 8);
  gtk_text_view_set_top_margin (GTK_TEXT_VIEW (view), 6);
  bl_widget_name (view, name);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (frame), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (frame), view);
  gtk_widget_set_size_request (frame, 420, height);
  gtk_widget_set_halign (frame, GTK_ALIGN_START);
  gtk_widget_add_css_class (frame, "text-frame");
  gtk_widget_set_sensitive (view, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, key, gtk_text_view_get_buffer (GTK_TEXT_VIEW (view)), "text", G_SETTINGS_BIND_DEFAULT);
  return frame;
}

void
bl_preferences_fill_report (GtkWidget *group, BlLibrary *library)
{
  const char *const papers[] = { _ ("as is usual here"), _ ("A4"), _ ("Letter"), NULL };
  GSettings *settings = bl_settings ();
  GtkWidget *paper = gtk_drop_down_new_from_strings (papers);

  gtk_widget_set_halign (paper, GTK_ALIGN_START);
  gtk_widget_set_size_request (paper, 220, -1);
  gtk_widget_set_sensitive (paper, settings != NULL);
  if (settings != NULL)
    {
      gtk_drop_down_set_selected (GTK_DROP_DOWN (paper), (guint) g_settings_get_enum (settings, "report-paper"));
      g_signal_connect (paper, "notify::selected", G_CALLBACK (paper_changed), NULL);
    }
  bl_preferences_group_add (group, _ ("_Paper"), paper, NULL);
  bl_preferences_group_add (group, _ ("_Name of the shop"), line ("shop-name", NULL), NULL);
  bl_preferences_group_add (group, _ ("_Address"), lines ("shop-address", _ ("Address of the shop"), 72),
                            _ ("line by line, telephone too: at the head of what the customer gets"));
  bl_preferences_group_add (group, _ ("_Foot of the page"), line ("shop-foot", _ ("open on weekdays from 8 to 16")), NULL);
  bl_preferences_group_add (group, _ ("_Warranty and returns"), lines ("shop-warranty", _ ("Warranty and returns"), 96),
                            _ ("What was repaired, what is left out, for how long, what to do when it comes back. Stands on "
                               "the customer’s report as it is typed here; in any language and script."));
}
