/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"

G_BEGIN_DECLS

/* Component limits that a measurement's band can be taken from: a button that says how many fit, and, unfolded below
 * it, the rows with their limits, conditions and sources; typing narrows them. A row taken gives band and source. */
#define BL_TYPE_LIMITS_LIST (bl_limits_list_get_type ())
G_DECLARE_FINAL_TYPE (BlLimitsList, bl_limits_list, BL, LIMITS_LIST, GtkWidget)

GtkWidget *bl_limits_list_new (BlEdition *edition, const char *measurement);

G_END_DECLS
