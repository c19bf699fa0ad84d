/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-shop-meter.h"

G_BEGIN_DECLS

/* The ranges of a meter as a table of cells to type in, and a line that adds some. Signal "edit" (BlShopMeter *):
 * the meter as it should be; whoever hears it keeps it and shows it anew, or says why not. "refused" (const char
 * *reason): what was typed is no range. */
#define BL_TYPE_METER_TABLE (bl_meter_table_get_type ())
G_DECLARE_FINAL_TYPE (BlMeterTable, bl_meter_table, BL, METER_TABLE, GtkWidget)

GtkWidget *bl_meter_table_new (void);
/* Shows the ranges of meter; cells stay where they are while the ranges are the same ones. NULL: nothing. */
void bl_meter_table_show (BlMeterTable *self, const BlShopMeter *meter);

/* An entry that looks like words of a sentence until it is in hand; calls back on Enter and when it is left, if its
 * text was changed since it was last set by bl_slot_entry_show (). */
GtkWidget *bl_slot_entry_new (const char *name, int width_chars, GCallback taken, gpointer data);
void bl_slot_entry_show (GtkWidget *entry, const char *text);

G_END_DECLS
