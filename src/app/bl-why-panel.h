/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Why a suspect stands where it stands, and what does not fit together. Lies where the photo is while it
 * is open; takes no key but its own, so that typing goes on.
 *
 * Signals with a measurement's id: "go" (take it in hand), "again" (the same, to measure it again),
 * "strike" (its newest reading), "expected" (edit what is expected there). "closed". */
#define BL_TYPE_WHY_PANEL (bl_why_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlWhyPanel, bl_why_panel, BL, WHY_PANEL, GtkWidget)

GtkWidget *bl_why_panel_new (void);
void bl_why_panel_set_bench (BlWhyPanel *self, BlBench *bench);
/* suspect: component or stage; NULL: elsewhere. */
void bl_why_panel_open (BlWhyPanel *self, const char *suspect);
/* Whatever is first, also when another one comes first later; "elsewhere" where that is likeliest. */
void bl_why_panel_open_leader (BlWhyPanel *self);
void bl_why_panel_close (BlWhyPanel *self);
gboolean bl_why_panel_is_open (BlWhyPanel *self);
/* Handles one of its own keys while open. FALSE: not for it. */
gboolean bl_why_panel_key (BlWhyPanel *self, guint keyval, GdkModifierType state);
/* FALSE while reasons are being worked out; for tests. */
gboolean bl_why_panel_is_complete (BlWhyPanel *self);

G_END_DECLS
