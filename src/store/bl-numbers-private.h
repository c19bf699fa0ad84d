/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-numbers.h"

G_BEGIN_DECLS

/* Private to store: what is counted once the jobs are. */

/* Fills months and months_known. jobs: BlJob that are asked for. end: of the period, or now. */
void bl_numbers_count_months (BlNumbers *numbers, GPtrArray *jobs, gint64 end);

/* The part that a line of an equipment's job is about: of "wall/K1" its board, and its name there, a part of component.
 * What lies between the boards keeps its name, *board is 0. equipments: a table of id (gint64 *) to its boards, for what
 * was asked before. (transfer none) */
const char *bl_numbers_place_part (BlLibrary *library, GHashTable *equipments, gint64 equipment, const char *component,
                                   gint64 *board);

/* Most first, then by edition and name. */
void bl_numbers_sort_parts (GPtrArray *parts);
/* Sorts them, and sets what the documents say of them. */
void bl_numbers_name_parts (BlLibrary *library, GPtrArray *parts);
/* Sets how many are expected and enough. */
void bl_numbers_stock_parts (BlNumbers *numbers);

G_END_DECLS
