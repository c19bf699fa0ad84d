/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition-parts.h"

G_BEGIN_DECLS

/* Lines of words, slots and buttons that describe a part of a board document. Whoever fills a sheet
 * describes it wholly after every change; lines that are the same stay, with focus and what is being
 * typed in them.
 *
 * Signals: "act" (const char *act, gpointer BlRef): a button was pressed;
 *          "selected" (gpointer BlRef): the name of a part was pressed, or one of its slots got the focus;
 *          "renamed" (gpointer BlRef, const char *old, const char *new): as of BlSlotField;
 *          "kept" (gpointer BlRef, int slot): Enter in a slot, and it is kept;
 *          "typing" (gpointer BlRef, int slot, const char *text): what stands in a slot now, not kept yet. */
#define BL_TYPE_SHEET (bl_sheet_get_type ())
G_DECLARE_FINAL_TYPE (BlSheet, bl_sheet, BL, SHEET, GtkWidget)

GtkWidget *bl_sheet_new (const char *name, gboolean raised);

/* Begins to describe; edition NULL: nothing is shown. */
void bl_sheet_begin (BlSheet *self, BlEdition *edition);
/* A new line. css: classes, NULL: none. indent: px. about: the part it is about, NULL: none;
 * label: what assistive technology reads for the line, NULL: nothing. */
void bl_sheet_line (BlSheet *self, const char *css, int indent, const BlRef *about, const char *label);
/* Words; css "stretch" takes the room there is, "wrap" may take several lines. */
void bl_sheet_words (BlSheet *self, const char *words, const char *css);
/* The name of the part the line is about: pressing it selects the part. */
void bl_sheet_name (BlSheet *self, const char *words, const char *css);
/* Words in front of a slot are the slot's own label when named. */
void bl_sheet_slot (BlSheet *self, const BlRef *ref, BlSlot slot, int chars, gboolean named);
/* act goes out with ref in the signal. cap: key to press for the same, or NULL. tip: full name. */
void bl_sheet_button (BlSheet *self, const char *words, const char *cap, const char *tip, const char *act,
                      const BlRef *ref);
/* The band ruler of a measurement; follows what is typed as its expected value in the same line. */
void bl_sheet_lane (BlSheet *self, const char *measurement, gboolean joined);
/* Any widget, used once when the line is made. key: tells it from others. (transfer floating) */
void bl_sheet_widget (BlSheet *self, const char *key, GtkWidget *widget);
void bl_sheet_end (BlSheet *self);

/* Puts the focus in a slot, now or when the sheet that has it is described next. */
void bl_sheet_focus (BlSheet *self, const BlRef *ref, BlSlot slot);
/* Scrolls what the sheet is in so that the line about this part is in view, once it is described. */
void bl_sheet_reveal (BlSheet *self, const BlRef *ref);
/* Marks the lines about this part; NULL: none. */
void bl_sheet_mark (BlSheet *self, const BlRef *ref);

G_END_DECLS
