/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-fault-shown.h"

G_BEGIN_DECLS

/* The fault that the equipment shows, said lamp by lamp: by count, tapped along, lit or out; beside it the entries of
 * the indication tables that fit. Lies where the photo is while it is open.
 *
 * Signals: "taken" (const char *symptom of the board on the bench, const char *what was seen); "others": other symptoms
 * are wanted, those without a lamp; "closed". */
#define BL_TYPE_FAULT_PANEL (bl_fault_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlFaultPanel, bl_fault_panel, BL, FAULT_PANEL, GtkWidget)

GtkWidget *bl_fault_panel_new (void);
/* shown (transfer full); job: id of the one on the bench. */
void bl_fault_panel_open (BlFaultPanel *self, BlFaultShown *shown, gint64 job);
void bl_fault_panel_close (BlFaultPanel *self);
gboolean bl_fault_panel_is_open (BlFaultPanel *self);
/* Handles a key while open. FALSE: not for it. */
gboolean bl_fault_panel_key (BlFaultPanel *self, guint keyval, GdkModifierType state);

G_END_DECLS
