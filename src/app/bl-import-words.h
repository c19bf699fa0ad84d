/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-intake.h"

G_BEGIN_DECLS

/* What the import page says of what is in a file. */

/* "new, is added", "differs: merge" ... (transfer none) */
const char *bl_import_outcome_words (BlIntakeFinding finding, BlIntakeChoice choice);
/* Of a board, or (NULL) of the equipment: whether the library has it, and how that was found. (transfer full) */
char *bl_import_found_words (const BlIntake *intake, const BlIntakeBoard *board);
/* What that choice will do. (transfer none) */
const char *bl_import_choice_words (BlIntakeChoice choice, gboolean board);
/* What was done, after bl_intake_run (). *merged: the board that was merged, 0: none or several. (transfer full) */
char *bl_import_done_words (const BlIntake *intake, gint64 *merged);

G_END_DECLS
