/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferences: how pictures and readings are taken, and what is spoken. Without a row the group is not shown. */
#include "config.h"

#include "bl-preferences.h"

void
bl_preferences_fill_capture (GtkWidget *group, BlLibrary *library)
{
}
