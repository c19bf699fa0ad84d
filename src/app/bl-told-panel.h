/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* What somebody else read elsewhere, taken down from a sheet or by phone: the name once, then one field for each check in
 * the order of the sheet, Enter goes on. Each entry is on disk at once. Lies where the photo is while it is open; what is
 * typed elsewhere on the bench meanwhile is told by the same name.
 *
 * Signal: "closed". */
#define BL_TYPE_TOLD_PANEL (bl_told_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlToldPanel, bl_told_panel, BL, TOLD_PANEL, GtkWidget)

GtkWidget *bl_told_panel_new (void);
/* The checks of an equipment's job, else all measurements. */
void bl_told_panel_open (BlToldPanel *self, BlBench *bench);
/* Ends it: what is typed from now on was read at the bench. */
void bl_told_panel_close (BlToldPanel *self);
gboolean bl_told_panel_is_open (BlToldPanel *self);
/* Handles a key while open. FALSE: not for it. */
gboolean bl_told_panel_key (BlToldPanel *self, guint keyval, GdkModifierType state);
/* Whether one types in it: then plain keys are its text. */
gboolean bl_told_panel_has_focus (BlToldPanel *self);

G_END_DECLS
