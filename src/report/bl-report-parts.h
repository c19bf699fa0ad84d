/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-report-page.h"
#include "bl-report-words.h"

G_BEGIN_DECLS

/* The parts of the report, each in a file of its own; each draws its heading with what is under it, or nothing where it
 * has nothing to say. */

/* For both. */
void bl_report_draw_head (BlPage *page);
void bl_report_draw_parts (BlPage *page);
void bl_report_draw_tests (BlPage *page);
void bl_report_draw_cautions (BlPage *page);
void bl_report_draw_photos (BlPage *page);

/* For the customer. */
void bl_report_draw_found (BlPage *page);
void bl_report_draw_done (BlPage *page);
void bl_report_draw_pairs (BlPage *page);
void bl_report_draw_few_photos (BlPage *page);
void bl_report_draw_untested (BlPage *page);
void bl_report_draw_advice (BlPage *page);
void bl_report_draw_end (BlPage *page);

/* For the shop. */
void bl_report_draw_findings (BlPage *page);
void bl_report_draw_readings (BlPage *page);
void bl_report_draw_steps (BlPage *page);
void bl_report_draw_meters (BlPage *page);
void bl_report_draw_log (BlPage *page);

/* Shared by them: a label and a value, over pages where it is long; nothing without a value. */
void bl_report_draw_field (BlPage *page, const char *label, const char *value);
/* A paragraph behind a small square. */
void bl_report_draw_point (BlPage *page, const BlColour *colour, const char *text);
/* Highest voltage of any live state, V; INFINITY where a live one does not say. */
double bl_report_highest_voltage (const BlBoard *board);
/* Draws a photo of the board fitted into max_w by max_h with what the job says on it. Returns its height, 0 when it
 * cannot be read. all: sections, points and marks; else only where the fault was. */
double bl_report_draw_board_photo (BlPage *page, const BlPhoto *photo, GBytes *image, double max_w, double max_h,
                                   gboolean all);
/* TRUE when a fault of the job, confirmed or likely, lies on this photo. */
gboolean bl_report_photo_has_fault (const BlJobReport *report, const BlPhoto *photo);

G_END_DECLS
