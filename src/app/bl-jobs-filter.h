/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The states of the jobs as a row of chips with how many are in each: one of them is chosen. Signal: "changed". */
#define BL_TYPE_JOBS_FILTER (bl_jobs_filter_get_type ())
G_DECLARE_FINAL_TYPE (BlJobsFilter, bl_jobs_filter, BL, JOBS_FILTER, GtkWidget)

/* jobs: BlJob, all that there are. */
void bl_jobs_filter_count (BlJobsFilter *self, GPtrArray *jobs);
gboolean bl_jobs_filter_shows (BlJobsFilter *self, const BlJob *job);
/* 0: all, 1 to 7: the states in their order, 8: not ended. FALSE: there is no such chip. */
gboolean bl_jobs_filter_choose (BlJobsFilter *self, int chip);
/* Alt and a digit. FALSE: not for it. */
gboolean bl_jobs_filter_key (BlJobsFilter *self, guint keyval, GdkModifierType state);

G_END_DECLS
