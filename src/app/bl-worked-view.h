/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-worked-case.h"

G_BEGIN_DECLS

/* A case worked step by step in the order that is taught: what is shown, what could cause it, what would tell, measure,
 * conclude. As much of it is asked for as whoever practises has got on.
 *
 * Signal: "done": left. */
#define BL_TYPE_WORKED_VIEW (bl_worked_view_get_type ())
G_DECLARE_FINAL_TYPE (BlWorkedView, bl_worked_view, BL, WORKED_VIEW, GtkWidget)

GtkWidget *bl_worked_view_new (BlPractice *practice, BlWorkedCase *worked);
void bl_worked_view_focus (BlWorkedView *self);

G_END_DECLS
