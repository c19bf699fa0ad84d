/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* When a topic is to be practised again, and how often a weak one is drawn. Reads no clock: days are given, as
 * g_date_get_julian () counts them. */
typedef struct
{
  guint32 due;      /* day from which it is due; 0: never practised, so it is not due but new */
  guint32 interval; /* days between the last answer and due; 0: it is due again the same day */
  guint streak;     /* right answers in a row */
} BlSpacing;

#define BL_SPACING_MOST_DAYS 64

/* Right: due again after a day, then after two, four ... up to BL_SPACING_MOST_DAYS. Wrong: due again the same day,
 * and after the next right answer in a day. A right answer before it is due leaves the day as it is, so that nobody gets
 * through a topic in an afternoon; before the first day of a topic is none too early. */
void bl_spacing_answer (BlSpacing *self, gboolean right, guint32 today);

/* Weight with which a topic is drawn, from 1 (nothing was ever wrong) to 4 (everything was). A topic that was never
 * tried has 2.5, the middle. It is 1 + 3 times the mean of a Beta (1, 1) prior with these answers: (wrong + 1) over
 * (right + wrong + 2). */
double bl_weak_share (guint n_right, guint n_wrong);

/* Number of one of n weights, drawn in proportion by random, a number from 0 to below 1; G_MAXUINT where all are 0. */
guint bl_weak_draw (const double *weights, guint n, double random);

G_END_DECLS
