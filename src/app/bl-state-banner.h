/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-bench.h"

G_BEGIN_DECLS

/* What state the board is in and how dangerous it is; always in sight on every page of a job. */
#define BL_TYPE_STATE_BANNER (bl_state_banner_get_type ())
G_DECLARE_FINAL_TYPE (BlStateBanner, bl_state_banner, BL, STATE_BANNER, GtkWidget)

GtkWidget *bl_state_banner_new (void);
void bl_state_banner_set_bench (BlStateBanner *self, BlBench *bench);
/* 36 on the bench, 64 in the probe view; px. */
void bl_state_banner_set_height (BlStateBanner *self, int height);

G_END_DECLS
