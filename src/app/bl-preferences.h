/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* What the shop has and how the program looks, in groups. Kept at once. */
#define BL_TYPE_PREFERENCES (bl_preferences_get_type ())
G_DECLARE_FINAL_TYPE (BlPreferences, bl_preferences, BL, PREFERENCES, GtkWindow)

/* Shows the window over parent, at the group of this name ("look", "meters", "known-good", "capture", "odds", "proving",
 * "report";
 * NULL: where it begins). library: of the application, NULL where it could not be opened. */
void bl_preferences_present (GtkWindow *parent, BlLibrary *library, const char *group);

/* --- groups: one file each, which fills it --- */

/* A group of rows; it is shown in the list at the left while it has one. */
GtkWidget *bl_preferences_group_new (void);
/* Adds a row: what it is about ("_Light or dark", with its mnemonic), the control, and a line of explanation below
 * it or NULL. */
void bl_preferences_group_add (GtkWidget *group, const char *label, GtkWidget *control, const char *explanation);
/* Adds something that takes the whole width, and all the height that is left if it wants it. */
void bl_preferences_group_add_wide (GtkWidget *group, GtkWidget *widget);
gboolean bl_preferences_group_is_empty (GtkWidget *group);

/* library may be NULL. */
void bl_preferences_fill_look (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_meters (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_known_good (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_capture (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_odds (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_proving (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_report (GtkWidget *group, BlLibrary *library);
void bl_preferences_fill_safe (GtkWidget *group, BlLibrary *library);

G_END_DECLS
