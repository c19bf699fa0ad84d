/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"
#include "bl-live.h"

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
/* Says below the entry why what was typed is not kept, or (refused FALSE) asks about it; the text stays
 * to be mended. It goes with the next change of the text. NULL: nothing more to say. */
void bl_focus_panel_say (BlFocusPanel *self, const char *text, gboolean refused);
/* What Enter does while nothing is typed, beside its cap; NULL: nothing. */
void bl_focus_panel_set_offer (BlFocusPanel *self, const char *words);
/* Nothing can be typed: the field shows the reading kept. */
void bl_focus_panel_set_look_back (BlFocusPanel *self, gboolean look_back);
/* In a look back, what the step is while nothing is in hand, and what is to be said of it. */
void bl_focus_panel_set_step (BlFocusPanel *self, const char *title, const char *words);
/* What Enter declares besides, or how the measurement's state differs from the board's; NULL: nothing.
 * (transfer full) */
char *bl_state_hint (BlBench *bench, BlMeasurementItem *item);
/* What the meter shows now, where nothing is typed; NULL: no meter is read. (copied) */
void bl_focus_panel_set_live (BlFocusPanel *self, const BlLive *live);

G_END_DECLS
