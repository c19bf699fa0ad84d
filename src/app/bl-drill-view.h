/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-practice.h"

G_BEGIN_DECLS

/* One fault drill: the bench without odds and advice until stage and part are named, then the score and the path gone
 * through again. A drill that has ended opens with the score.
 *
 * Signal: "done": whoever practises goes back to where drills are chosen. */
#define BL_TYPE_DRILL_VIEW (bl_drill_view_get_type ())
G_DECLARE_FINAL_TYPE (BlDrillView, bl_drill_view, BL, DRILL_VIEW, GtkWidget)

/* drill: of the library of practice. What keeps it from being opened is said in its place. */
GtkWidget *bl_drill_view_new (BlPractice *practice, gint64 drill);
/* Puts the keyboard where it belongs; for when its place is shown. */
void bl_drill_view_focus (BlDrillView *self);

G_END_DECLS
