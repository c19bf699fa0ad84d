/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-network.h"

G_BEGIN_DECLS

/* How likely at most values that an elimination foretells are; see bl-forecast.c. */
typedef struct BlForecast BlForecast;
/* network must be finished and outlive it. Returns NULL where no gate is worth it. */
BlForecast *bl_forecast_new (const BlNetwork *network);
void bl_forecast_free (BlForecast *self); /* NULL is nothing */

/* The forecast for all factors with these fields (as in bl-foretold.h); gone: nodes eliminated; except: a gate
 * whose value follows from the factor itself. NULL: it says nothing of them. */
typedef struct BlForecastView BlForecastView;
BlForecastView *bl_forecast_view (BlForecast *self, const gboolean *gone, const guint *fields, guint n,
                                  guint except);
void bl_forecast_view_free (BlForecastView *view); /* NULL is nothing */

/* The most that the events which are not part of a row can be, for the values it foretells to come true: at most 1. */
double bl_forecast_most (BlForecastView *view, const guint64 *key);

G_END_DECLS
