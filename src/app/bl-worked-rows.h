/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-worked-case.h"

G_BEGIN_DECLS

/* Rows of a worked case. (transfer floating) */

/* "12 V rail", a bar, "41 of 100". */
GtkWidget *bl_worked_odds_row (const BlWorkedOdd *odd);
/* "TP5 12 V rail", the reading, its shape and word. */
/* What is expected there, and a ruler with the reading; NULL where nothing is. */
GtkWidget *bl_worked_ruler_row (const BlBoard *board, const BlWorkedStep *step);
GtkWidget *bl_worked_read_row (const BlBoard *board, const BlWorkedStep *step, gboolean large);
/* BlShape of the step's verdict, -1: none. */
int bl_worked_shape (const BlBoard *board, const BlWorkedStep *step);

G_END_DECLS
