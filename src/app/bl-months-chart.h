/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-numbers.h"

G_BEGIN_DECLS

/* Months side by side: taken in as an outline, ended as a full bar, what came back as a mark on the bar, with the counts
 * in three lines below. Without bars where there are too few jobs for a chart. Many months are put together: quarters
 * above 24, years above 96. Assistive technology reads the counts. */
#define BL_TYPE_MONTHS_CHART (bl_months_chart_get_type ())
G_DECLARE_FINAL_TYPE (BlMonthsChart, bl_months_chart, BL, MONTHS_CHART, GtkWidget)

GtkWidget *bl_months_chart_new (void);
void bl_months_chart_show (BlMonthsChart *self, const BlNumbers *numbers);
/* What a column counts, as it stands above: "Jobs per month". For tests. */
const char *bl_months_chart_caption (BlMonthsChart *self);
/* How many columns there are; bars: whether they are drawn. For tests. */
guint bl_months_chart_n_columns (BlMonthsChart *self, gboolean *bars);

G_END_DECLS
