/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Where a job stands, as a small sign: a line from the door to the door with a block on it. Waiting is at the left end,
 * the bench left of the middle, hollow while it waits for parts, proving right of it; handed back is at the right end,
 * hollow when it was not economical; a returned one runs back to the left. The word always stands beside it. */
#define BL_TYPE_STATE_SIGN (bl_state_sign_get_type ())
G_DECLARE_FINAL_TYPE (BlStateSign, bl_state_sign, BL, STATE_SIGN, GtkWidget)

GtkWidget *bl_state_sign_new (void);
void bl_state_sign_set (BlStateSign *self, BlJobState state);

G_END_DECLS
