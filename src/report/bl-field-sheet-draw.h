/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-field-sheet.h"

#include <cairo.h>

G_BEGIN_DECLS

/* US Letter in points of 1/72 inch; A4 is BL_PAGE_WIDTH x BL_PAGE_HEIGHT of bl-report-page.h. */
#define BL_LETTER_WIDTH 612.0
#define BL_LETTER_HEIGHT 792.0

/* How many pages the sheet takes on upright paper of this size in points; at least one. */
guint bl_field_sheet_n_pages (const BlFieldSheet *sheet, double width, double height);
/* Draws one of them, from 0; margins are part of it. */
void bl_field_sheet_draw (const BlFieldSheet *sheet, guint page, cairo_t *cr, double width, double height);

/* All pages as PDF, on A4 or on Letter. (transfer full) */
GBytes *bl_field_sheet_to_pdf (const BlFieldSheet *sheet, gboolean letter, GError **error);
/* The same into a file, whole or not at all. */
gboolean bl_field_sheet_write_pdf (const BlFieldSheet *sheet, gboolean letter, const char *path, GError **error);

G_END_DECLS
