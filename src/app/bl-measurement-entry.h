/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"

G_BEGIN_DECLS

/* The line that adds a measurement at a test point, read as it is typed (bl-entry-line.h): kind, state and black
 * lead stand above it and stay as said last, what was understood stands below it. Enter adds it.
 *
 * Signals: "added" (const char *id); "skipped": Enter on an empty line, or Esc; "said": kind, state or black lead
 * were changed. */
#define BL_TYPE_MEASUREMENT_ENTRY (bl_measurement_entry_get_type ())
G_DECLARE_FINAL_TYPE (BlMeasurementEntry, bl_measurement_entry, BL, MEASUREMENT_ENTRY, GtkWidget)

/* What stays said and can be changed by a key of its own. */
typedef enum
{
  BL_ENTRY_KIND,
  BL_ENTRY_STATE,
  BL_ENTRY_BLACK
} BlEntryWord;

GtkWidget *bl_measurement_entry_new (void);
/* point NULL: nowhere yet. What is typed belongs to its point and is there again when that is. */
void bl_measurement_entry_set (BlMeasurementEntry *self, BlEdition *edition, const char *point);
void bl_measurement_entry_focus (BlMeasurementEntry *self);
/* As if c were typed there: the first character of a line begun elsewhere. */
void bl_measurement_entry_begin (BlMeasurementEntry *self, gunichar c);
/* Its key: the next of two or three, a list to choose from of more. */
void bl_measurement_entry_change (BlMeasurementEntry *self, BlEntryWord word);
/* The black lead is on this test point from now on. */
void bl_measurement_entry_set_black (BlMeasurementEntry *self, const char *point);
/* The black lead a measurement typed now has, NULL: none. (transfer none) */
const char *bl_measurement_entry_get_black (BlMeasurementEntry *self);

G_END_DECLS
