/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>

#include "bl-cautions.h"

G_BEGIN_DECLS

/* Draws one page of the cautions (from 0) on paper of this size in points; a page that there is not draws nothing.
 * Returns how many there are. */
guint bl_cautions_draw (cairo_t *cr, guint page, double width, double height, const BlSafeLimits *limits);

/* All of them as PDF, whole or not at all. */
gboolean bl_cautions_write (const char *path, double width, double height, const BlSafeLimits *limits, GError **error);

G_END_DECLS
