/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-practice-results.h"

G_BEGIN_DECLS

/* How practising goes. Above, the last twelve weeks side by side: what was tried as an outline, what was right filled.
 * Below a row for each kind of section and each fault family, a column for each exercise, and the time given away in
 * drills. Counts everywhere: no per cent of few tries, and nobody is compared with anybody. Assistive technology reads
 * the rows as sentences. */
#define BL_TYPE_PROGRESS_CHART (bl_progress_chart_get_type ())
G_DECLARE_FINAL_TYPE (BlProgressChart, bl_progress_chart, BL, PROGRESS_CHART, GtkWidget)

GtkWidget *bl_progress_chart_new (void);
/* results: read at once; NULL: nothing. */
void bl_progress_chart_show (BlProgressChart *self, const BlPracticeResults *results);
/* How many rows there are, and weeks with something in them. For tests. */
guint bl_progress_chart_n_rows (BlProgressChart *self, guint *n_weeks);

G_END_DECLS
