/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: time spent, what the shop asks after a repair, and its limits of the electrical safety test. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-proving-settings.h"
#include "bl-quantity.h"
#include "bl-settings.h"
#include "bl-style.h"

static GtkWidget *
spin (const char *key, double least, double most)
{
  GtkWidget *button = gtk_spin_button_new_with_range (least, most, 1);
  GSettings *settings = bl_settings ();

  gtk_widget_set_halign (button, GTK_ALIGN_START);
  gtk_widget_set_sensitive (button, settings != NULL);
  if (settings != NULL)
    g_settings_bind (settings, key, gtk_spin_button_get_adjustment (GTK_SPIN_BUTTON (button)), "value",
                     G_SETTINGS_BIND_DEFAULT);
  return button;
}

/* --- checks: one in a line --- */

static void
checks_changed (GtkTextBuffer *buffer)
{
  GtkTextIter start, end;

  gtk_text_buffer_get_bounds (buffer, &start, &end);
  g_autofree char *text = gtk_text_buffer_get_text (buffer, &start, &end, FALSE);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  g_autoptr (GPtrArray) checks = g_ptr_array_new ();

  for (guint i = 0; lines[i] != NULL; i++)
    if (*g_strstrip (lines[i]) != '\0')
      g_ptr_array_add (checks, lines[i]);
  g_ptr_array_add (checks, NULL);
  bl_proving_settings_set_checks ((const char *const *) checks->pdata);
}

static void
usual_checks (GtkTextBuffer *buffer)
{
  bl_proving_settings_set_checks (NULL);
  g_auto (GStrv) checks = bl_proving_settings_checks ();
  g_autofree char *text = g_strjoinv ("\n", checks);
  gtk_text_buffer_set_text (buffer, text, -1);
}

static GtkWidget *
checks_field (void)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *view = gtk_text_view_new ();
  GtkWidget *frame = gtk_scrolled_window_new (), *usual = bl_act_button ("plain", _ ("As the program came"), NULL, FALSE);
  GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (view));
  g_auto (GStrv) checks = bl_proving_settings_checks ();
  g_autofree char *text = g_strjoinv ("\n", checks);

  gtk_text_buffer_set_text (buffer, text, -1);
  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_left_margin (GTK_TEXT_VIEW (view), 8);
  gtk_text_view_set_top_margin (GTK_TEXT_VIEW (view), 6);
  bl_widget_name (view, _ ("Checks after a repair"));
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (frame), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (frame), view);
  gtk_widget_set_size_request (frame, 420, 96);
  gtk_widget_add_css_class (frame, "text-frame");
  g_signal_connect (buffer, "changed", G_CALLBACK (checks_changed), NULL);
  g_signal_connect_object (usual, "clicked", G_CALLBACK (usual_checks), buffer, G_CONNECT_SWAPPED);
  gtk_widget_set_halign (usual, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (box), frame);
  gtk_box_append (GTK_BOX (box), usual);
  return box;
}

/* --- limits --- */

/* "0.3" in the row's unit. */
static char *
limit_text (const BlLimitRow *row)
{
  BlSafetyLimits limits;

  bl_proving_settings_limits (&limits);
  return g_strdup_printf ("%.6g", *(double *) (gpointer) ((char *) &limits + row->offset) / row->scale);
}

/* What is no number, or below 0, is not kept, and stands marked until it is mended or left. */
static void
limit_changed (GtkEditable *editable, const BlLimitRow *row)
{
  double value = NAN;
  gboolean ok = bl_quantity_parse (gtk_editable_get_text (editable), NULL, &value, NULL) && value >= 0;

  if (ok)
    {
      gtk_widget_remove_css_class (GTK_WIDGET (editable), "error");
      bl_proving_settings_set_limit (row, value);
    }
  else
    gtk_widget_add_css_class (GTK_WIDGET (editable), "error");
}

static void
limit_left (GtkEventControllerFocus *controller, const BlLimitRow *row)
{
  GtkWidget *entry = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  g_autofree char *text = limit_text (row);

  if (gtk_widget_has_css_class (entry, "error"))
    gtk_editable_set_text (GTK_EDITABLE (entry), text);
}

static void
add_limit (GtkWidget *group, const BlLimitRow *row)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *entry = gtk_entry_new ();
  GtkEventController *focus = gtk_event_controller_focus_new ();
  g_autofree char *text = limit_text (row);

  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 8);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), 8);
  gtk_widget_set_sensitive (entry, bl_settings () != NULL);
  g_signal_connect (entry, "changed", G_CALLBACK (limit_changed), (gpointer) row);
  g_signal_connect (focus, "leave", G_CALLBACK (limit_left), (gpointer) row);
  gtk_widget_add_controller (entry, focus);
  gtk_box_append (GTK_BOX (box), entry);
  gtk_box_append (GTK_BOX (box), bl_label (row->unit, "muted", 0));
  bl_preferences_group_add (group, _ (row->title), box, NULL);
}

static GtkWidget *
source_field (void)
{
  GtkWidget *entry = gtk_entry_new ();
  GSettings *settings = bl_settings ();

  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), BL_SAFETY_LIMITS_SOURCE);
  if (settings != NULL)
    g_settings_bind (settings, "safety-source", entry, "text", G_SETTINGS_BIND_DEFAULT);
  return entry;
}

void
bl_preferences_fill_proving (GtkWidget *group, BlLibrary *library)
{
  GSettings *settings = bl_settings ();
  GtkWidget *counted = gtk_switch_new ();
  guint n;
  const BlLimitRow *rows = bl_proving_settings_rows (&n);

  gtk_widget_set_halign (counted, GTK_ALIGN_START);
  if (settings != NULL)
    g_settings_bind (settings, "time-counted", counted, "active", G_SETTINGS_BIND_DEFAULT);
  bl_preferences_group_add (group, _ ("Count _time spent"), counted,
                            _ ("While something is typed or moved on the bench, for the job that is on it. Ctrl T pauses it "
                               "and takes what you type."));
  bl_preferences_group_add (group, _ ("_Without input up to"), spin ("time-idle", 1, 60),
                            _ ("minutes still count; a longer gap does not count at all."));
  bl_preferences_group_add (group, _ ("_Soak"), spin ("soak-minutes", 1, 10080),
                            _ ("minutes that are offered; 30 to 120 with load, relays switched 50 to 100 times, hot and cold "
                               "start: common practice, no source."));
  bl_preferences_group_add (group, _ ("Chec_ks after a repair"), checks_field (),
                            _ ("One question a line, to be answered yes. Those of an edition stand in its document, as "
                               "measurements of kind check in a live state."));
  bl_preferences_group_add (group, _ ("Limits are _from"), source_field (),
                            _ ("Kept with every value of the electrical safety test. The usual limits are those of VDE "
                               "0701-0702:2008, quoted second-hand; it was split in 2021 into EN 50678 and EN 50699. Check what "
                               "holds now, and where you are, before you use them."));
  for (guint i = 0; i < n; i++)
    add_limit (group, &rows[i]);
}
