/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What a meter shows of a voltage or current that is no sine. */
typedef enum
{
  BL_WAVE_SINE,
  BL_WAVE_FULL_WAVE, /* a sine rectified by a bridge */
  BL_WAVE_HALF_WAVE, /* a sine with one half left out */
  BL_WAVE_SQUARE,    /* symmetric about zero */
  BL_WAVE_TRIANGLE,  /* symmetric about zero */
  BL_WAVE_PULSE,     /* from zero to the peak for a share "duty" of the period */
  BL_N_WAVES
} BlWave;

/* Names used in documents: "sine", "full-wave rectified" ... Parsing NULL gives a sine. */
const char *bl_wave_name (BlWave wave);
gboolean bl_wave_parse (const char *name, BlWave *wave);

/* Of a wave of 1 V (or A) peak. */
typedef struct
{
  double mean;         /* what a DC range shows, coupling apart */
  double rms;          /* what a true-RMS meter shows */
  double average;      /* what a meter shows that averages the rectified value and is scaled for a sine */
  double crest_factor; /* largest excursion over rms */
  double error;        /* average over rms, less 1: +0.11 of a square wave */
} BlWaveFigures;

/* ac_coupled: the mean is taken out before, as the AC ranges of most meters do; else AC+DC. duty: of a pulse,
 * above 0 and below 1; otherwise not looked at. */
void bl_wave_figures (BlWave wave, double duty, gboolean ac_coupled, BlWaveFigures *figures);

/* The figures of an AC-coupled meter at a measurement, where its document says what wave is there and it
 * measures V AC or A AC. FALSE: a sine, not said, or nothing that can be computed. wave may be NULL. */
gboolean bl_measurement_wave (const BlMeasurement *measurement, BlWave *wave, BlWaveFigures *figures);

G_END_DECLS
