/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench-equipment.h"

G_BEGIN_DECLS

/* The line of a job on an equipment: how likely the fault is on which board or between them, and what can be done with
 * that. Hidden for a job on one board, unless that goes on from one on an equipment.
 *
 * Signals: "place" (const char *role, NULL: between the boxes): it was pressed; "board" and "direction": so were the
 * buttons. */
#define BL_TYPE_PLACES_BAR (bl_places_bar_get_type ())
G_DECLARE_FINAL_TYPE (BlPlacesBar, bl_places_bar, BL, PLACES_BAR, GtkWidget)

GtkWidget *bl_places_bar_new (void);
void bl_places_bar_set_bench (BlPlacesBar *self, BlBench *bench);
/* Shows the places alone, without what begins or changes jobs. */
void bl_places_bar_leave_jobs (BlPlacesBar *self);
/* Whether another equipment joins the same boards the other way round, and can still be chosen. */
void bl_places_bar_set_direction (BlPlacesBar *self, gboolean changeable);

G_END_DECLS
