/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>

#include "bl-job-tag.h"

G_BEGIN_DECLS

/* Papers it is made for: two usual sizes of label printers, and sheets to cut it from. */
typedef enum
{
  BL_TAG_62X29,
  BL_TAG_89X36,
  BL_TAG_A4,
  BL_TAG_LETTER,
  BL_N_TAG_SIZES
} BlTagSize;
/* "62x29", "89x36", "A4", "Letter"; NULL beyond the last. */
const char *bl_tag_size_name (BlTagSize size);
gboolean bl_tag_size_parse (const char *name, BlTagSize *size);
/* Width and height of the paper, mm. */
void bl_tag_size_mm (BlTagSize size, double *width, double *height);

/* Draws it on paper of width by height points; paper of more than 130 mm holds it in its upper left corner, with lines to
 * cut along. FALSE with error where link is too long for a code. */
gboolean bl_job_tag_draw (const BlJobTag *tag, cairo_t *cr, double width, double height, GError **error);
gboolean bl_job_tag_write_pdf (const BlJobTag *tag, BlTagSize size, const char *path, GError **error);

G_END_DECLS
