/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-entry-line.h"

G_BEGIN_DECLS

/* bl-entry-value.c: what stands in the line beside the words. */

/* How an expected value is written in the form that bl_expected_from_text () reads: ranges without blanks,
 * "(12 ± 0.5) V" with the unit at both. (transfer full) */
char *bl_entry_value_plain (const char *value);
/* Reads it into measurement, whose kind is set. FALSE with the reason, *wrong is then the part at fault (transfer
 * full), where it can be told. */
gboolean bl_entry_value_read (BlMeasurement *measurement, const char *value, char **wrong, GError **error);
/* The kind a value is of when no word says it. FALSE with the reason. */
gboolean bl_entry_value_kind (const BlEntryHabit *habit, const char *value, BlMeasures *measures, GError **error);

/* bl-entry-names.c: the state or stage a word names best, NULL: none; *several: another that it names as well. */
const BlState *bl_entry_name_state (const BlBoard *board, const char *word, const BlState **several);
const BlStage *bl_entry_name_stage (const BlBoard *board, const char *word, const BlStage **several);

G_END_DECLS
