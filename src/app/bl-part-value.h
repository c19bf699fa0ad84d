/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-sheet.h"

G_BEGIN_DECLS

/* What a component's value says, below the field it is typed in: read while it is typed, with how it was
 * read, whether it is made, its other meanings to choose from, and bands of colour to read it off. Shows
 * nothing for kinds of component whose values are no codes. */
#define BL_TYPE_PART_VALUE (bl_part_value_get_type ())
G_DECLARE_FINAL_TYPE (BlPartValue, bl_part_value, BL, PART_VALUE, GtkWidget)

/* sheet: where the value is typed. component: its id. */
GtkWidget *bl_part_value_new (BlSheet *sheet, BlEdition *edition, const char *component);

/* The bands, hidden at first; for the keyboard's sake the focus goes there. */
void bl_part_value_show_bands (BlPartValue *self, gboolean shown);

G_END_DECLS
