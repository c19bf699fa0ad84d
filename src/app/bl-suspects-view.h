/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* The likely failed stage, then the components, with odds and the reason for the first. Signals:
 * "asked" (const char *suspect): why it stands there; NULL: elsewhere. "quarrel-asked": what does not fit. */
#define BL_TYPE_SUSPECTS_VIEW (bl_suspects_view_get_type ())
G_DECLARE_FINAL_TYPE (BlSuspectsView, bl_suspects_view, BL, SUSPECTS_VIEW, GtkWidget)

GtkWidget *bl_suspects_view_new (void);
void bl_suspects_view_set_bench (BlSuspectsView *self, BlBench *bench);

/* "K1 contact does not make" or "something else in 5 V rail"; mode NULL: the component alone.
 * (transfer full) */
char *bl_component_words (const BlBoard *board, const char *component, const char *mode);
/* "K1 output, 95 %" of the likely failed stage, NULL while there is none. (transfer full) */
char *bl_likely_words (BlBench *bench);
/* What must be said about the whole evidence: trouble, quarrel, all in band. NULL: nothing.
 * (transfer full); trouble: set TRUE when it is a contradiction. */
char *bl_evidence_words (BlBench *bench, gboolean *trouble);

G_END_DECLS
