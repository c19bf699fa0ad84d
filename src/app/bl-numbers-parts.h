/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library-numbers.h"

G_BEGIN_DECLS

/* Causes and parts as lines of a table: the counts, and from enough jobs on a bar beside each. */

/* Fills grid with the causes. */
void bl_numbers_fill_causes (GtkGrid *grid, const BlNumbers *numbers);
/* The same with the parts replaced, and how many to keep. */
void bl_numbers_fill_parts (GtkGrid *grid, const BlNumbers *numbers);

G_END_DECLS
