/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-shop-meter.h"

G_BEGIN_DECLS

/* A meter as it is typed: the table of its ranges, cell by cell, and whole rows in one line. */

typedef enum
{
  BL_METER_CELL_SCALE,    /* "4.000 V": its digits give the value of one count */
  BL_METER_CELL_ACCURACY, /* "0.5%+3", or "0.5%+3@0.01" with the value of one count */
  BL_METER_CELL_COUNT,    /* "1 mV" */
  BL_METER_CELL_INPUT,    /* "10M"; "": the meter's */
  BL_METER_CELL_HZ,       /* "45..400"; "": not said */
  BL_N_METER_CELLS
} BlMeterCell;

/* TRUE where a range of this kind has such a cell: input of voltages, frequencies of AC. */
gboolean bl_meter_cell_exists (BlMeasures measures, BlMeterCell cell);
/* Returns: (transfer full), "" where nothing is said. */
char *bl_meter_cell_get (const BlMeterRange *range, BlMeterCell cell);
/* FALSE with the reason, and range as it was. */
gboolean bl_meter_cell_set (BlMeterRange *range, BlMeterCell cell, const char *text, GError **error);

/* Adds what one line says: "4.000 V 0.5%+3" a range, "4000 counts 4..1000 V 0.5%+3" all of them from the first
 * full scale to the last. FALSE with the reason, and the meter as it was. */
gboolean bl_meter_add_typed (BlShopMeter *meter, BlMeasures measures, const char *text, GError **error);

/* "2026-03-01" of the day it was calibrated; "": not known. Returns: (transfer full). */
char *bl_meter_day_get (const BlShopMeter *meter);
gboolean bl_meter_day_set (BlShopMeter *meter, const char *text, GError **error);

G_END_DECLS
