/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-effect-sentence.h"

G_BEGIN_DECLS

/* Ways to go on with what is typed, in one line below the entry: Tab takes the marked one, arrows mark another, a
 * press takes it. Nothing opens over the work.
 *
 * Signal "taken" (guint index): one was pressed. */
#define BL_TYPE_COMPLETION_STRIP (bl_completion_strip_get_type ())
G_DECLARE_FINAL_TYPE (BlCompletionStrip, bl_completion_strip, BL, COMPLETION_STRIP, GtkWidget)

GtkWidget *bl_completion_strip_new (void);
/* list: GPtrArray of BlCompletion, read at once; NULL or empty: nothing is shown. The first is marked. */
void bl_completion_strip_show (BlCompletionStrip *self, const GPtrArray *list);
/* Marks another; FALSE: there is none to mark. */
gboolean bl_completion_strip_move (BlCompletionStrip *self, int by);
/* Number of the marked one, -1: none. */
int bl_completion_strip_get_marked (BlCompletionStrip *self);

G_END_DECLS
