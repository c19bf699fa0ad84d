/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-point-sheet.h"

#include <cairo.h>

G_BEGIN_DECLS

/* Draws one page of the sheet, a photo of it (from 0), on paper of this size in points of 1/72 inch; margins
 * are part of it. Upright paper has the photo above the table, wide paper beside it. FALSE with
 * BL_CORE_ERROR_INVALID when the photo is no picture that can be read. */
gboolean bl_point_sheet_draw (const BlPointSheet *sheet, guint page, cairo_t *cr, double width, double height,
                              GError **error);

/* All pages as PDF on A4. (transfer full) */
GBytes *bl_point_sheet_to_pdf (const BlPointSheet *sheet, GError **error);
/* The same into a file, whole or not at all. */
gboolean bl_point_sheet_write_pdf (const BlPointSheet *sheet, const char *path, GError **error);

G_END_DECLS
