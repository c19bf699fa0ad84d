/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Meters to begin from, and ranges as a meter's number of counts gives them.
 *
 * The three meters are invented. Their figures are of the size that meters of such a class commonly
 * have (common practice, no source); whoever takes one puts the figures of his own meter's papers in. */
#include "config.h"

#include "bl-shop-meter.h"

#include <glib/gi18n-lib.h>

/* value as its nine digits say, so that 0.001 times ten is 0.01 and nothing beside it. */
static double
tidy (double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  return g_ascii_strtod (g_ascii_formatd (buffer, sizeof buffer, "%.9g", value), NULL);
}

void
bl_shop_meter_add_ranges (BlShopMeter *meter,
                          BlMeasures measures,
                          double first,
                          double last,
                          guint counts_shown,
                          double percent,
                          double counts)
{
  double scale = first, count;

  g_return_if_fail (meter != NULL && first > 0 && last >= first && counts_shown > 0 && last / first < 1e15);
  count = first / counts_shown;
  for (; scale < last * (1 - 1e-9); scale *= 10, count *= 10)
    bl_shop_meter_add_range (meter, measures, tidy (scale), percent, counts, tidy (count));
  bl_shop_meter_add_range (meter, measures, last, percent, counts, tidy (count));
}

/* Ranges first to last of a meter, each with the same limits of error. */
typedef struct
{
  BlMeasures measures;
  double first, last;
  guint counts_shown;
  double percent, counts;
  double input_ohm;      /* 0: the meter's */
  double from_hz, to_hz; /* 0: not said */
} Row;

static const Row handheld_4000[] = {
  { BL_MEASURES_V_DC, 0.4, 0.4, 4000, 0.8, 5, 0, 0, 0 },   { BL_MEASURES_V_DC, 4, 1000, 4000, 0.5, 3, 0, 0, 0 },
  { BL_MEASURES_V_AC, 4, 750, 4000, 1.2, 5, 0, 45, 400 },  { BL_MEASURES_A_DC, 0.04, 0.4, 4000, 1, 3, 0, 0, 0 },
  { BL_MEASURES_A_DC, 10, 10, 1000, 2, 5, 0, 0, 0 },       { BL_MEASURES_A_AC, 0.04, 0.4, 4000, 1.5, 5, 0, 45, 400 },
  { BL_MEASURES_A_AC, 10, 10, 1000, 2.5, 8, 0, 45, 400 },  { BL_MEASURES_HZ, 40, 400e3, 4000, 0.1, 3, 0, 0, 0 },
  { BL_MEASURES_F, 40e-9, 100e-6, 4000, 3, 10, 0, 0, 0 },  { BL_MEASURES_OHM, 400, 4e6, 4000, 0.8, 3, 0, 0, 0 },
  { BL_MEASURES_OHM, 40e6, 40e6, 4000, 2, 5, 0, 0, 0 },    { BL_MEASURES_DIODE, 2, 2, 2000, 1.5, 3, 0, 0, 0 },
  { BL_MEASURES_CONTINUITY, 400, 400, 4000, 1, 3, 0, 0, 0 },
};

static const Row handheld_6000[] = {
  { BL_MEASURES_V_DC, 0.6, 0.6, 6000, 0.5, 3, 0, 0, 0 },   { BL_MEASURES_V_DC, 6, 1000, 6000, 0.3, 2, 0, 0, 0 },
  { BL_MEASURES_V_AC, 6, 1000, 6000, 1, 5, 0, 45, 1000 },  { BL_MEASURES_A_DC, 0.06, 0.6, 6000, 0.8, 3, 0, 0, 0 },
  { BL_MEASURES_A_DC, 10, 10, 1000, 1.2, 5, 0, 0, 0 },     { BL_MEASURES_A_AC, 0.06, 0.6, 6000, 1.5, 5, 0, 45, 1000 },
  { BL_MEASURES_A_AC, 10, 10, 1000, 1.8, 5, 0, 45, 1000 }, { BL_MEASURES_HZ, 60, 600e3, 6000, 0.1, 2, 0, 0, 0 },
  { BL_MEASURES_DEGC, 600, 600, 6000, 1, 20, 0, 0, 0 },    { BL_MEASURES_F, 60e-9, 6e-3, 6000, 2, 5, 0, 0, 0 },
  { BL_MEASURES_OHM, 600, 6e6, 6000, 0.5, 3, 0, 0, 0 },    { BL_MEASURES_OHM, 60e6, 60e6, 6000, 1.5, 5, 0, 0, 0 },
  { BL_MEASURES_DIODE, 3, 3, 3000, 1, 5, 0, 0, 0 },        { BL_MEASURES_CONTINUITY, 600, 600, 6000, 1, 5, 0, 0, 0 },
};

/* A share of the range is written as counts of its last digit. */
static const Row bench_6_and_a_half[] = {
  { BL_MEASURES_V_DC, 0.12, 12, 1200000, 0.0035, 6, 10e9, 0, 0 },
  { BL_MEASURES_V_DC, 120, 1000, 1200000, 0.0045, 8, 0, 0, 0 },
  { BL_MEASURES_V_AC, 0.12, 750, 1200000, 0.08, 400, 1e6, 20, 20e3 },
  { BL_MEASURES_A_DC, 0.012, 3, 1200000, 0.05, 80, 0, 0, 0 },
  { BL_MEASURES_A_AC, 1.2, 3, 1200000, 0.15, 500, 0, 20, 5e3 },
  { BL_MEASURES_HZ, 300e3, 300e3, 3000000, 0.01, 0, 0, 0, 0 },
  { BL_MEASURES_OHM, 120, 12e6, 1200000, 0.01, 15, 0, 0, 0 },
  { BL_MEASURES_OHM, 120e6, 120e6, 1200000, 0.8, 100, 0, 0, 0 },
  { BL_MEASURES_DIODE, 1.2, 1.2, 120000, 0.01, 15, 0, 0, 0 },
  { BL_MEASURES_CONTINUITY, 1200, 1200, 12000, 0.05, 10, 0, 0, 0 },
};

static void
add_row (BlShopMeter *meter, const Row *row)
{
  g_autoptr (BlShopMeter) part = bl_shop_meter_new (NULL);

  bl_shop_meter_add_ranges (part, row->measures, row->first, row->last, row->counts_shown, row->percent, row->counts);
  for (guint i = 0; i < part->ranges->len; i++)
    {
      const BlMeterRange *from = bl_at (part->ranges, i);
      BlMeterRange *to = bl_shop_meter_add_range (meter, from->measures, from->full_scale, from->percent,
                                                  from->counts, from->count);
      to->input_ohm = row->input_ohm > 0 ? row->input_ohm : NAN;
      to->from_hz = row->to_hz > 0 ? row->from_hz : NAN;
      to->to_hz = row->to_hz > 0 ? row->to_hz : NAN;
    }
}

BlShopMeter *
bl_shop_meter_example (guint index)
{
  static const struct
  {
    const char *name;
    gboolean true_rms;
    double crest_factor;
    const Row *rows;
    guint n;
  } examples[] = {
    { N_ ("Handheld, 4000 counts (example)"), FALSE, 0, handheld_4000, G_N_ELEMENTS (handheld_4000) },
    { N_ ("Handheld, 6000 counts, true RMS (example)"), TRUE, 3, handheld_6000, G_N_ELEMENTS (handheld_6000) },
    { N_ ("Bench meter, 6½ digits (example)"), TRUE, 5, bench_6_and_a_half, G_N_ELEMENTS (bench_6_and_a_half) },
  };
  BlShopMeter *meter;

  if (index >= G_N_ELEMENTS (examples))
    return NULL;
  meter = bl_shop_meter_new (_ (examples[index].name));
  meter->true_rms = examples[index].true_rms;
  meter->crest_factor = examples[index].crest_factor > 0 ? examples[index].crest_factor : NAN;
  meter->input_ohm = 10e6;
  meter->interval_months = 12;
  for (guint i = 0; i < examples[index].n; i++)
    add_row (meter, &examples[index].rows[i]);
  return meter;
}
