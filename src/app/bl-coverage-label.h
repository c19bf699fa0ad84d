/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-board.h"

G_BEGIN_DECLS

/* One line about what a board's measurements tell; empty until it is known. board is copied; NULL, or a
 * board without stages: stays empty. */
GtkWidget *bl_coverage_label_new (const BlBoard *board, const char *classes);

G_END_DECLS
