/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-practice.h"

G_BEGIN_DECLS

/* Where a trainer says what was done to a real board, and seals it for somebody.
 *
 * Signals: "sealed" (gint64 drill): it is in that person's list. "done": left. */
#define BL_TYPE_PLANT_VIEW (bl_plant_view_get_type ())
G_DECLARE_FINAL_TYPE (BlPlantView, bl_plant_view, BL, PLANT_VIEW, GtkWidget)

GtkWidget *bl_plant_view_new (BlPractice *practice, gint64 person, const BlPracticeSubject *subject);
void bl_plant_view_focus (BlPlantView *self);

G_END_DECLS
