/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files about known-good boards share; bl-known-good.h is for everybody else. */
#pragma once

#include "bl-known-good.h"

G_BEGIN_DECLS

struct BlKnownGood
{
  BlEdition *edition;
  double coverage, confidence;
  GPtrArray *readings;    /* BlGoodReading, by measurement */
  GHashTable *left_out;   /* "MEASUREMENT\tJOB" */
  GHashTable *answers;    /* measurement -> BlBandAnswer */
  GHashTable *proposals;  /* measurement -> BlGoodProposal */
  GHashTable *factors;    /* 2 n + two-sided -> double *: the same for a hundred measurements */
  guint n_boards;
};

/* bl-known-good-boards.c */
void bl_good_board_free (gpointer data);
/* The reading of a measurement in a job; NULL: none. (transfer none) */
const BlGoodReading *bl_good_reading_of (BlKnownGood *self, const char *measurement, gint64 job);
/* FALSE: its accuracy is not known. */
gboolean bl_good_meter_of (const BlGoodReading *reading, BlMeter *meter);
/* (transfer full) */
BlGoodBoard *bl_good_board_take (BlKnownGood *self, const BlMeasurement *measurement, const BlGoodReading *reading);
/* Names the outliers among the boards that count. */
void bl_good_find_outliers (BlGoodProposal *proposal);

G_END_DECLS
