/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-report.h"

#include <cairo.h>

G_BEGIN_DECLS

/* The report as PDF, on the paper that report says. n_pages may be NULL. *missing (missing may be NULL): the letters
 * that no font here has and that therefore stand as boxes, for telling somebody (transfer full); NULL: all are there.
 * G_IO_ERROR or the error of cairo as BL_CORE_ERROR_INVALID when it cannot be drawn. (transfer full) */
GBytes *bl_report_to_pdf (const BlJobReport *report, guint *n_pages, char **missing, GError **error);
/* The same into a file, whole or not at all. */
gboolean bl_report_write_pdf (const BlJobReport *report, const char *path, char **missing, GError **error);

/* Its sheets one by one, for printing: recording surfaces in points. (transfer full) GPtrArray of cairo_surface_t */
GPtrArray *bl_report_sheets (const BlJobReport *report, GError **error);

/* The word announced for a reading, translated: class names, a mark's own name, "too close to
 * call", "leads swapped?", "not reached", "not judged" without a band. (transfer full) */
char *bl_report_verdict_word (const BlBand *band, const BlVerdict *verdict);

/* "95 %", "<1 %", ">99 %". (transfer full) */
char *bl_report_odds (double probability);

G_END_DECLS
