/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is remembered of reading a meter live: which meter of the shop, its connection, the foot switch. */
#include "config.h"

#include "bl-live-meter.h"

#include <glib/gi18n-lib.h>

static gboolean
is_live_meter (const BlShopMeter *meter)
{
  return meter->driver != NULL && *meter->driver != '\0';
}

BlShopMeter *
bl_live_meter (BlLibrary *library)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GPtrArray) meters = bl_library_meters (library, NULL);
  const BlShopMeter *found = NULL;
  gint64 usual = 0;

  bl_library_get_usual_meter (library, &usual, NULL);
  for (guint i = 0; i < bl_len (meters); i++)
    {
      const BlShopMeter *meter = bl_at (meters, i);
      if (is_live_meter (meter) && (found == NULL || meter->id == usual))
        found = meter;
    }
  return found != NULL ? bl_shop_meter_copy (found) : NULL;
}

void
bl_live_connection (const char *text, char **connection, char **serialcomm)
{
  g_return_if_fail (connection != NULL && serialcomm != NULL);
  g_autofree char *stripped = g_strstrip (g_strdup (text != NULL ? text : ""));
  g_auto (GStrv) parts = g_strsplit (stripped, " ", 2);

  *connection = parts[0] != NULL && *parts[0] != '\0' ? g_strdup (parts[0]) : NULL;
  *serialcomm = parts[0] != NULL && parts[1] != NULL ? g_strdup (g_strstrip (parts[1])) : NULL;
}

char *
bl_foot_key_words (const char *accelerator)
{
  guint keyval = 0;
  GdkModifierType state = 0;

  if (accelerator == NULL || *accelerator == '\0' || !gtk_accelerator_parse (accelerator, &keyval, &state))
    return g_strdup (_ ("Space"));
  return gtk_accelerator_get_label (keyval, state);
}

gboolean
bl_foot_key_matches (const char *accelerator, guint keyval, GdkModifierType state, gboolean in_entry)
{
  GdkModifierType pressed = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK), wanted = 0;
  guint key = 0;

  if (accelerator == NULL || *accelerator == '\0' || !gtk_accelerator_parse (accelerator, &key, &wanted))
    return in_entry && pressed == 0
           && (keyval == GDK_KEY_space || keyval == GDK_KEY_Page_Down || keyval == GDK_KEY_KP_Page_Down);
  return gdk_keyval_to_lower (keyval) == gdk_keyval_to_lower (key) && pressed == wanted;
}
