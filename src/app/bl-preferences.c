/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences, bound to the settings. A meter accuracy that cannot be read is not kept; the line below
 * the field says why. */
#include "config.h"

#include "bl-preferences.h"

#include <glib/gi18n-lib.h>

#include "bl-application.h"
#include "bl-style.h"
#include "bl-verdict.h"

struct _BlPreferences
{
  GtkWindow parent_instance;

  GtkDropDown *scheme;
  GtkEntry *meter;
  GtkLabel *meter_word;
  GtkSpinButton *probe_scale, *prior_strength;
};

G_DEFINE_FINAL_TYPE (BlPreferences, bl_preferences, GTK_TYPE_WINDOW)

static void
meter_changed (BlPreferences *self)
{
  GSettings *settings = bl_application_settings ();
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->meter));
  g_autoptr (GError) error = NULL;
  BlMeter meter;

  if (!bl_meter_parse (text, &meter, &error))
    {
      gtk_label_set_label (self->meter_word, error->message);
      return;
    }
  gtk_label_set_label (self->meter_word, _ ("per cent of reading + counts @ value of one count, in input resistance; "
                                            "taken for new jobs, F4 changes it in a job"));
  if (settings != NULL)
    g_settings_set_string (settings, "meter", text);
}

static void
scheme_changed (BlPreferences *self)
{
  GSettings *settings = bl_application_settings ();

  if (settings != NULL)
    g_settings_set_enum (settings, "colour-scheme", (int) gtk_drop_down_get_selected (self->scheme));
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
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, scheme);
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, meter);
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, meter_word);
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, probe_scale);
  gtk_widget_class_bind_template_child (widget_class, BlPreferences, prior_strength);
  gtk_widget_class_bind_template_callback (widget_class, meter_changed);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
bl_preferences_init (BlPreferences *self)
{
  GSettings *settings = bl_application_settings ();

  gtk_widget_init_template (GTK_WIDGET (self));
  bl_style_dress (GTK_WIDGET (self));
  if (settings != NULL)
    {
      g_autofree char *meter = g_settings_get_string (settings, "meter");
      gtk_drop_down_set_selected (self->scheme, (guint) g_settings_get_enum (settings, "colour-scheme"));
      gtk_editable_set_text (GTK_EDITABLE (self->meter), meter);
      g_settings_bind (settings, "probe-scale", gtk_spin_button_get_adjustment (self->probe_scale), "value",
                       G_SETTINGS_BIND_DEFAULT);
      g_settings_bind (settings, "prior-strength", gtk_spin_button_get_adjustment (self->prior_strength), "value",
                       G_SETTINGS_BIND_DEFAULT);
    }
  meter_changed (self);
  g_signal_connect_swapped (self->scheme, "notify::selected", G_CALLBACK (scheme_changed), self);
}

void
bl_preferences_present (GtkWindow *parent)
{
  BlPreferences *self = g_object_new (BL_TYPE_PREFERENCES, "transient-for", parent, "destroy-with-parent", TRUE, NULL);
  gtk_window_present (GTK_WINDOW (self));
}
