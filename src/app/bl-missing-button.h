/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* A button that says how far the checklist of an edition is and how much is missing: what the editor says of the same
 * edition, as soon as it is worked out what the measurements tell. board is copied; title: how the edition is called. */
GtkWidget *bl_missing_button_new (BlLibrary *library, gint64 id, const BlBoard *board, const char *title);

G_END_DECLS
