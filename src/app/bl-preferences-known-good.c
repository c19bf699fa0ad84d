/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: the shop's known-good boards. Without a row the group is not shown. */
#include "config.h"

#include "bl-preferences.h"

void
bl_preferences_fill_known_good (GtkWidget *group, BlLibrary *library)
{
}
