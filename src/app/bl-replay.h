/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-drill-run.h"

G_BEGIN_DECLS

/* The end of a drill: what was wrong, the score in plain words, and the path gone through again beside the best plan, on
 * photo, odds and fault tree.
 *
 * Signal: "done": left. */
#define BL_TYPE_REPLAY (bl_replay_get_type ())
G_DECLARE_FINAL_TYPE (BlReplay, bl_replay, BL, REPLAY, GtkWidget)

/* library: of practice; run: ended, scored or about to be. */
GtkWidget *bl_replay_new (BlLibrary *library, BlDrillRun *run);
void bl_replay_focus (BlReplay *self);
/* A key before anybody else sees it. FALSE: not for it. */
gboolean bl_replay_key (BlReplay *self, guint keyval, GdkModifierType state);

G_END_DECLS
