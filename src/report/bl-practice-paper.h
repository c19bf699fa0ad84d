/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-practice-results.h"

#include <cairo.h>

G_BEGIN_DECLS

/* What somebody has practised, on one page: it is a talk about what to do next, not an archive. What does not fit is told
 * by number; the file of results has all of it. */

/* Draws it on upright paper of this size in points; margins are part of it. */
void bl_practice_paper_draw (const BlPracticeResults *results, cairo_t *cr, double width, double height);
/* As PDF, on A4 or on Letter. (transfer full) */
GBytes *bl_practice_paper_to_pdf (const BlPracticeResults *results, gboolean letter, GError **error);
/* The same into a file, whole or not at all. */
gboolean bl_practice_paper_write_pdf (const BlPracticeResults *results, gboolean letter, const char *path, GError **error);

G_END_DECLS
