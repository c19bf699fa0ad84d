/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-report.h"

#include <gio/gio.h>

G_BEGIN_DECLS

/* What the shop's preferences say of reports and other papers. settings: of the program, or NULL where its schema is not installed; then
 * nothing is said and the paper is that of the locale. */

/* Name, address, foot and warranty, what is empty stays NULL; and what it takes for dangerous. */
void bl_report_take_shop (BlJobReport *report, GSettings *settings);
/* What it takes for dangerous; what nobody says, or what is no such figure, is where a shop begins. */
BlSafeLimits bl_shop_limits (GSettings *settings);
BlReportPaper bl_report_paper_wanted (GSettings *settings);

/* The program's settings where its schema is installed; NULL: it is not. For programs that have no other way to them.
 * Returns: (transfer full) (nullable). */
GSettings *bl_report_settings (void);

G_END_DECLS
