/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"

G_BEGIN_DECLS

/* How a band follows: the line drawn, to be changed by hand, and formulas to begin with, those that can be meant
 * between the two kinds of measurement, with their figures. Nothing is shown while the band follows nothing. */
#define BL_TYPE_FOLLOWS_FORM (bl_follows_form_get_type ())
G_DECLARE_FINAL_TYPE (BlFollowsForm, bl_follows_form, BL, FOLLOWS_FORM, GtkWidget)

GtkWidget *bl_follows_form_new (BlEdition *edition, const char *measurement);

G_END_DECLS
