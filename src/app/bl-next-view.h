/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* Three measurements worth taking, the plan's first, and parts to test once a stage is isolated: an
 * offer, any order is fine. */
#define BL_TYPE_NEXT_VIEW (bl_next_view_get_type ())
G_DECLARE_FINAL_TYPE (BlNextView, bl_next_view, BL, NEXT_VIEW, GtkWidget)

GtkWidget *bl_next_view_new (void);
void bl_next_view_set_bench (BlNextView *self, BlBench *bench);
/* Whether there is an offer of that number, 1 to 3. */
gboolean bl_next_view_offers (BlNextView *self, guint number);
/* Selects offer number 1 to 3; FALSE: there is none. */
gboolean bl_next_view_take (BlNextView *self, guint number);

G_END_DECLS
