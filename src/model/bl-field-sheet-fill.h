/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-field-sheet.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* The sheet of field checks of an equipment in the library, words by the locale. job: a job on it, whose head and
 * readings are on the sheet; 0: none. BL_STORE_ERROR_INVALID when the equipment has no field checks, or the job is
 * about something else. (transfer full) */
BlFieldSheet *bl_field_sheet_fill (BlLibrary *library, gint64 equipment, gint64 job, GError **error);
/* The same from a document whose boards are joined already. (transfer full); NULL: it has no field checks. */
BlFieldSheet *bl_field_sheet_of (const BlBoard *joined, const BlEquipment *equipment);

/* What a group of checks is called. (transfer none) */
const char *bl_site_step_words (BlSiteStep step);

G_END_DECLS
