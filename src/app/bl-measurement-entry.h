/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"

G_BEGIN_DECLS

/* The line that adds a measurement at a test point: kind, state and black lead as last time, the
 * expected value typed in one line and checked as it is typed. Enter adds it.
 *
 * Signals: "added" (const char *id); "skipped": Enter on an empty line, or Esc. */
#define BL_TYPE_MEASUREMENT_ENTRY (bl_measurement_entry_get_type ())
G_DECLARE_FINAL_TYPE (BlMeasurementEntry, bl_measurement_entry, BL, MEASUREMENT_ENTRY, GtkWidget)

GtkWidget *bl_measurement_entry_new (void);
/* point NULL: nowhere yet. What is typed stays while the point is the same. */
void bl_measurement_entry_set (BlMeasurementEntry *self, BlEdition *edition, const char *point);
void bl_measurement_entry_focus (BlMeasurementEntry *self);

G_END_DECLS
