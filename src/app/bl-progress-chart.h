/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* How practising goes, a row for each topic: weeks side by side with what was tried as an outline and what was right
 * filled, and the counts in words at the right. No per cent of few tries, and nobody is compared with anybody.
 * Assistive technology reads the rows as sentences. */
#define BL_TYPE_PROGRESS_CHART (bl_progress_chart_get_type ())
G_DECLARE_FINAL_TYPE (BlProgressChart, bl_progress_chart, BL, PROGRESS_CHART, GtkWidget)

#define BL_PROGRESS_WEEKS 12 /* columns; the last is the week that goes on */

typedef struct
{
  const char *title;     /* of the topic */
  guint tried, right;    /* altogether, older weeks too */
  guint tried_in[BL_PROGRESS_WEEKS], right_in[BL_PROGRESS_WEEKS];
  double given_away;     /* mean share of the effort that better choices would have saved; NAN: nothing measured */
  gboolean due;          /* today */
} BlProgressTopic;

GtkWidget *bl_progress_chart_new (void);
/* Begins anew. */
void bl_progress_chart_clear (BlProgressChart *self);
/* A line of its own above the rows that follow. */
void bl_progress_chart_add_head (BlProgressChart *self, const char *title);
void bl_progress_chart_add (BlProgressChart *self, const BlProgressTopic *topic);
/* How many rows with a topic there are. For tests. */
guint bl_progress_chart_n_topics (BlProgressChart *self);

G_END_DECLS
