/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-board.h"

G_BEGIN_DECLS

/* What failed: every stage with its parts below it, to be found by typing and named by one key. Signals: "chosen": another
 * one is marked. "taken": Enter on it. */
#define BL_TYPE_DRILL_NAMING (bl_drill_naming_get_type ())
G_DECLARE_FINAL_TYPE (BlDrillNaming, bl_drill_naming, BL, DRILL_NAMING, GtkWidget)

/* head: what stands before the entry, in its line; NULL: nothing. (transfer floating) */
GtkWidget *bl_drill_naming_new (GtkWidget *head);
/* parts_only: a stage alone is not offered. */
void bl_drill_naming_set_board (BlDrillNaming *self, const BlBoard *board, gboolean parts_only);
/* What is marked; NULL: nothing, or (component) a stage alone. (transfer none) */
const char *bl_drill_naming_get_stage (BlDrillNaming *self);
const char *bl_drill_naming_get_component (BlDrillNaming *self);
/* Nothing is marked and nothing typed. */
void bl_drill_naming_clear (BlDrillNaming *self);
void bl_drill_naming_focus (BlDrillNaming *self);
/* A key while the focus is in it. FALSE: not for it. */
gboolean bl_drill_naming_key (BlDrillNaming *self, guint keyval, GdkModifierType state);

/* "D5 rectifier diode, in 12 V rail"; NULL where nothing is named. (transfer full) */
char *bl_named_words (const BlBoard *board, const char *stage, const char *component);
/* The part alone: "D5 rectifier diode", or its id. (transfer full) */
char *bl_part_words (const BlBoard *board, const char *component);
/* Stage a component is a part of, or (a cable, a conductor) acts on; NULL: none. (transfer none) */
const char *bl_stage_of_part (const BlBoard *board, const BlComponent *component);

G_END_DECLS
