/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Adds the rows that say how a meter of the shop is read live: which meter, its driver and connection, and a
 * search for what is connected. Kept with the meter in the library at once. */
void bl_live_setup_add (GtkWidget *group, BlLibrary *library);

G_END_DECLS
