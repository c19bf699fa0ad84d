/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-known-good.h"

G_BEGIN_DECLS

/* The readings of known-good boards as dots beside the documented and the proposed band. The pointer over a dot, or
 * Left and Right, says which board it is.
 *
 * Signal "marked" (const char *words): the board in hand, NULL: none. */
#define BL_TYPE_SPREAD_PLOT (bl_spread_plot_get_type ())
G_DECLARE_FINAL_TYPE (BlSpreadPlot, bl_spread_plot, BL, SPREAD_PLOT, GtkWidget)

/* raised: it stands on the raised ground. */
GtkWidget *bl_spread_plot_new (gboolean raised);
void bl_spread_plot_show (BlSpreadPlot *self, const BlGoodProposal *proposal);
/* How many dots there are, and how many of them are hollow. */
guint bl_spread_plot_n_dots (BlSpreadPlot *self, guint *n_hollow);

G_END_DECLS
