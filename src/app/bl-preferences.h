/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Dark or light, the bench meter, size of the probe view. Kept at once. */
#define BL_TYPE_PREFERENCES (bl_preferences_get_type ())
G_DECLARE_FINAL_TYPE (BlPreferences, bl_preferences, BL, PREFERENCES, GtkWindow)

void bl_preferences_present (GtkWindow *parent);

G_END_DECLS
