/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-proving.h"

G_BEGIN_DECLS

/* Proving a repair: odds that something is still wrong, before and after, what the board does, soak, electrical
 * safety, cause. Lies where the photo is while it is open; takes no key but its own, so that typing goes on.
 *
 * Signals: "act" (const char *what): "go:MEASUREMENT", "checks", "check:ID", "soak", "safety", "safety:TEST",
 * "cause"; "closed". */
#define BL_TYPE_PROVING_PANEL (bl_proving_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlProvingPanel, bl_proving_panel, BL, PROVING_PANEL, GtkWidget)

GtkWidget *bl_proving_panel_new (void);
void bl_proving_panel_set_bench (BlProvingPanel *self, BlBench *bench);
void bl_proving_panel_open (BlProvingPanel *self);
void bl_proving_panel_close (BlProvingPanel *self);
gboolean bl_proving_panel_is_open (BlProvingPanel *self);
/* Handles one of its own keys while open. FALSE: not for it. */
gboolean bl_proving_panel_key (BlProvingPanel *self, guint keyval, GdkModifierType state);

G_END_DECLS
