/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: how readings are taken off a live meter, and what is spoken. The meter itself is in
 * bl-live-setup.c. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-live-meter.h"
#include "bl-live-setup.h"
#include "bl-settings.h"
#include "bl-speaker.h"
#include "bl-style.h"

static GtkWidget *
bound_switch (const char *key)
{
  GtkWidget *button = gtk_switch_new ();
  GSettings *settings = bl_settings ();

  gtk_widget_set_halign (button, GTK_ALIGN_START);
  if (settings != NULL)
    g_settings_bind (settings, key, button, "active", G_SETTINGS_BIND_DEFAULT);
  return button;
}

/* --- the foot switch --- */

static void
show_foot_key (GtkButton *button)
{
  GSettings *settings = bl_settings ();
  g_autofree char *key = settings != NULL ? g_settings_get_string (settings, "capture-key") : g_strdup ("");
  g_autofree char *words = bl_foot_key_words (key);

  gtk_button_set_label (button, *key != '\0' ? words : _ ("Space or Page Down"));
  gtk_widget_remove_css_class (GTK_WIDGET (button), "firm");
}

static gboolean
is_learning (GtkButton *button)
{
  return gtk_widget_has_css_class (GTK_WIDGET (button), "firm");
}

static void
learn (GtkButton *button)
{
  gtk_button_set_label (button, _ ("press the foot switch …"));
  gtk_widget_add_css_class (GTK_WIDGET (button), "firm");
}

static gboolean
is_modifier (guint keyval)
{
  return (keyval >= GDK_KEY_Shift_L && keyval <= GDK_KEY_Hyper_R) || keyval == GDK_KEY_ISO_Level3_Shift
         || keyval == GDK_KEY_Num_Lock || keyval == GDK_KEY_VoidSymbol;
}

/* Esc keeps what there was, Backspace goes back to the usual keys; all others are learned, but for Enter, which
 * takes anyhow, and what a value begins with. */
static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, GtkButton *button)
{
  GSettings *settings = bl_settings ();
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);
  gunichar letter = gdk_keyval_to_unicode (keyval);

  if (!is_learning (button) || is_modifier (keyval))
    return GDK_EVENT_PROPAGATE;
  if (modifiers == 0 && (g_unichar_isdigit (letter) || letter == '-' || letter == '.' || letter == ','))
    {
      gtk_button_set_label (button, _ ("a value begins with that; another key …"));
      return GDK_EVENT_STOP;
    }
  if (settings != NULL && keyval != GDK_KEY_Escape)
    {
      gboolean usual = keyval == GDK_KEY_BackSpace || keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter;
      g_autofree char *name = usual ? g_strdup ("") : gtk_accelerator_name (keyval, modifiers);
      g_settings_set_string (settings, "capture-key", name);
    }
  show_foot_key (button);
  return GDK_EVENT_STOP;
}

static GtkWidget *
foot_switch (void)
{
  GtkWidget *button = gtk_button_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_add_css_class (button, "plain");
  gtk_widget_set_halign (button, GTK_ALIGN_START);
  show_foot_key (GTK_BUTTON (button));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), button);
  gtk_widget_add_controller (button, keys);
  g_signal_connect (button, "clicked", G_CALLBACK (learn), NULL);
  return button;
}

/* --- speech --- */

static void
voice_told (BlSpeaker *voice, GtkLabel *note)
{
  const char *trouble = bl_speaker_get_trouble (voice);
  g_autofree char *words = g_strdup ("");

  if (trouble != NULL)
    {
      g_free (words);
      words = g_strdup_printf (_ ("Nothing can be said: the desktop's speech service is not there. %s"), trouble);
    }
  gtk_label_set_label (note, words);
  gtk_widget_set_visible (GTK_WIDGET (note), *words != '\0');
}

static void
speech_switched (GtkSwitch *button, GParamSpec *property, BlSpeaker *voice)
{
  if (gtk_switch_get_active (button))
    bl_speaker_say (voice, _ ("Speech is on."), FALSE);
}

static GtkWidget *
speech_row (void)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *button = bound_switch ("speech");
  GtkWidget *note = bl_label ("", "muted small", 0);
  BlSpeaker *voice = bl_voice_new ();

  gtk_label_set_wrap (GTK_LABEL (note), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (note), 60);
  gtk_box_append (GTK_BOX (box), button);
  gtk_box_append (GTK_BOX (box), note);
  gtk_widget_set_visible (note, FALSE);
  g_signal_connect_object (voice, "trouble", G_CALLBACK (voice_told), note, 0);
  g_signal_connect (button, "notify::active", G_CALLBACK (speech_switched), voice);
  g_object_set_data_full (G_OBJECT (box), "voice", voice, g_object_unref);
  bl_widget_name (button, _ ("Speech"));
  return box;
}

void
bl_preferences_fill_capture (GtkWidget *group, BlLibrary *library)
{
  if (library != NULL)
    bl_live_setup_add (group, library);
  bl_preferences_group_add (group, _ ("Take by _itself"), bound_switch ("capture-auto"),
                            _ ("A value that stands still for a second after the leads were lifted. Absent, open and "
                               "proof of dead always wait for the key."));
  bl_preferences_group_add (group, _ ("_Foot switch"), foot_switch (),
                            _ ("Press the button, then the switch; it works as a keyboard. Backspace: the usual "
                               "keys."));
  bl_preferences_group_add (group, _ ("S_ound"), bound_switch ("capture-sound"),
                            _ ("When a reading was taken, and when the key is needed."));
  bl_preferences_group_add (group, _ ("S_peech"), speech_row (),
                            _ ("Says the point, the verdict, what comes next, and danger."));
}
