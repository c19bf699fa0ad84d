/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The measurement in hand: what is expected, the ruler, the entry. Always at the same place.
 *
 * Signals: "entered" (const char *text): Enter was pressed on text; "preview" (gpointer BlReading,
 * gpointer BlVerdict): what the text so far would be judged as, both NULL when it is no reading. */
#define BL_TYPE_FOCUS_PANEL (bl_focus_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlFocusPanel, bl_focus_panel, BL, FOCUS_PANEL, GtkWidget)

GtkWidget *bl_focus_panel_new (void);
void bl_focus_panel_set_bench (BlFocusPanel *self, BlBench *bench);
void bl_focus_panel_focus (BlFocusPanel *self);
void bl_focus_panel_clear (BlFocusPanel *self);
const char *bl_focus_panel_get_text (BlFocusPanel *self);

G_END_DECLS
