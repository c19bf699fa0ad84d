/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The weight of one piece of evidence as a bar from the middle: filled to the right where it speaks for
 * the suspect, an outline to the left where it speaks against. */
#define BL_TYPE_WHY_BAR (bl_why_bar_get_type ())
G_DECLARE_FINAL_TYPE (BlWhyBar, bl_why_bar, BL, WHY_BAR, GtkWidget)

/* decibans: NAN draws a line through both halves, for what decides; most: that fills one half. */
GtkWidget *bl_why_bar_new (double decibans, double most);

G_END_DECLS
