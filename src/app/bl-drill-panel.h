/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Below the photo during a drill, where the bench has suspects and advice: what is shown, the way of working, and where
 * stage and part are named.
 *
 * Signals: "conclude": what is named ends the drill. "test-part" (const char *component): that is marked. "cautions": they
 * are to be read. "leave": to go on another time. "back": the keyboard belongs to the reading again. */
#define BL_TYPE_DRILL_PANEL (bl_drill_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlDrillPanel, bl_drill_panel, BL, DRILL_PANEL, GtkWidget)

/* shown: what is shown, in a few words; about: what kind of drill it is. part_words: what F7 does with a part. */
GtkWidget *bl_drill_panel_new (BlBench *bench, const char *shown, const char *about, const char *part_words);
void bl_drill_panel_set_cautions_read (BlDrillPanel *self, gboolean read);
/* Goes to where the failed part is named. */
void bl_drill_panel_name (BlDrillPanel *self);
/* What is marked there; NULL: nothing. (transfer none) */
const char *bl_drill_panel_get_stage (BlDrillPanel *self);
const char *bl_drill_panel_get_component (BlDrillPanel *self);
/* A key before anybody else sees it. FALSE: not for the panel. */
gboolean bl_drill_panel_key (BlDrillPanel *self, guint keyval, GdkModifierType state);

G_END_DECLS
