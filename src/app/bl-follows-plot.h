/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-board.h"

G_BEGIN_DECLS

/* The line that a band follows, drawn: what the other measurement reads to the right, what is expected here upwards,
 * the tolerance as a lane about the line, its points as squares, and what is expected at the other's nominal value.
 * Points are dragged, a double click on the ground adds one, with the right button one is removed. By keys: left and
 * right choose a point, up and down move it (with Ctrl sideways, with Shift in small steps), + adds one after it,
 * Delete removes it.
 *
 * Signals: "moved" (guint index, double x, double y, gboolean finished), "added" (double x, double y), "removed"
 * (guint index): asked for; nothing has changed yet. */
#define BL_TYPE_FOLLOWS_PLOT (bl_follows_plot_get_type ())
G_DECLARE_FINAL_TYPE (BlFollowsPlot, bl_follows_plot, BL, FOLLOWS_PLOT, GtkWidget)

GtkWidget *bl_follows_plot_new (void);
/* measurement must follow something; followed: what it follows, NULL: no such measurement. All is copied. */
void bl_follows_plot_show (BlFollowsPlot *self, const BlMeasurement *measurement, const BlMeasurement *followed);
/* Where on the widget a point of the line is drawn, px; FALSE: no such point. */
gboolean bl_follows_plot_place (BlFollowsPlot *self, guint index, double *x, double *y);

G_END_DECLS
