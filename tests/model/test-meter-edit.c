/* SPDX-License-Identifier: GPL-3.0-or-later
 * A meter as it is typed: cells that read back, lines that make ranges, what is refused. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-meter-edit.h"

#include <string.h>

static void
test_cells (void)
{
  static const struct
  {
    BlMeasures measures;
    BlMeterCell cell;
    const char *typed, *shown;
  } rows[] = {
    { BL_MEASURES_V_DC, BL_METER_CELL_SCALE, "4.000 V", "4.000 V" },
    { BL_MEASURES_V_DC, BL_METER_CELL_SCALE, "400,0 mV", "400.0 mV" },
    { BL_MEASURES_V_DC, BL_METER_CELL_SCALE, "1000", "1000 V" },
    { BL_MEASURES_OHM, BL_METER_CELL_SCALE, "40.00k", "40.00 k\xce\xa9" },
    { BL_MEASURES_OHM, BL_METER_CELL_SCALE, "4.000M", "4.000 M\xce\xa9" },
    { BL_MEASURES_F, BL_METER_CELL_SCALE, "40.00n", "40.00 nF" },
    { BL_MEASURES_V_DC, BL_METER_CELL_ACCURACY, "0.5%+3@0.01", "0.5 % + 3" },
    { BL_MEASURES_V_DC, BL_METER_CELL_ACCURACY, "0,5 %", "0.5 %" },
    { BL_MEASURES_V_DC, BL_METER_CELL_ACCURACY, "", "" },
    { BL_MEASURES_V_DC, BL_METER_CELL_COUNT, "1 mV", "1 mV" },
    { BL_MEASURES_V_DC, BL_METER_CELL_INPUT, "10M", "10 M\xce\xa9" },
    { BL_MEASURES_V_DC, BL_METER_CELL_INPUT, "", "" },
    { BL_MEASURES_V_AC, BL_METER_CELL_HZ, "45..400", "45..400" },
    { BL_MEASURES_V_AC, BL_METER_CELL_HZ, "", "" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlMeterRange) range = bl_meter_range_new (rows[i].measures, 4);
      g_autoptr (GError) error = NULL;
      g_autofree char *shown = NULL;
      g_assert_true (bl_meter_cell_set (range, rows[i].cell, rows[i].typed, &error));
      shown = bl_meter_cell_get (range, rows[i].cell);
      g_assert_cmpstr (shown, ==, rows[i].shown);
    }
}

/* What a cell shows is taken back as the same figures, for every range of the examples. */
static void
test_cells_read_back (void)
{
  for (guint m = 0;; m++)
    {
      g_autoptr (BlShopMeter) meter = bl_shop_meter_example (m);
      if (meter == NULL)
        break;
      for (guint i = 0; i < meter->ranges->len; i++)
        {
          BlMeterRange *range = bl_at (meter->ranges, i);
          g_autofree char *before = bl_shop_meter_to_json (meter), *after = NULL;
          for (int cell = 0; cell < BL_N_METER_CELLS; cell++)
            {
              g_autofree char *text = bl_meter_cell_get (range, (BlMeterCell) cell);
              g_autoptr (GError) error = NULL;
              bl_meter_cell_set (range, (BlMeterCell) cell, text, &error);
              g_assert_no_error (error);
            }
          range->counts = isnan (range->counts) ? 0 : range->counts; /* none is none */
          after = bl_shop_meter_to_json (meter);
          g_assert_cmpstr (before, ==, after);
        }
    }
}

static void
test_digits_give_count (void)
{
  g_autoptr (BlMeterRange) range = bl_meter_range_new (BL_MEASURES_V_DC, NAN);
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_meter_cell_set (range, BL_METER_CELL_SCALE, "40.00 V", NULL));
  g_assert_cmpfloat_with_epsilon (range->count, 0.01, 1e-12);
  g_assert_true (bl_meter_cell_set (range, BL_METER_CELL_ACCURACY, "0.5%+3", NULL));
  g_assert_cmpfloat (range->counts, ==, 3);
  g_assert_cmpfloat_with_epsilon (range->count, 0.01, 1e-12);
  range->count = NAN;
  g_assert_false (bl_meter_cell_set (range, BL_METER_CELL_ACCURACY, "1%+5", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
  g_assert_cmpfloat (range->percent, ==, 0.5);
}

static void
test_lines (void)
{
  static const struct
  {
    const char *text;
    BlMeasures measures;
    guint n;
    double first, last, count_of_last, percent, counts;
  } rows[] = {
    { "4000 counts 4..1000 V 0.5%+3", BL_MEASURES_V_DC, 4, 4, 1000, 1, 0.5, 3 },
    { "6000 counts 600 mV..600 V 0.3 % + 2", BL_MEASURES_V_DC, 4, 0.6, 600, 0.1, 0.3, 2 },
    { "4000 counts 400..40M 0.8%+3", BL_MEASURES_OHM, 0, 0, 0, 0, 0, 0 }, /* 400 what? */
    { "4000 counts 400 ohm..40M 0.8%+3", BL_MEASURES_OHM, 6, 400, 40e6, 1e4, 0.8, 3 },
    { "4.000 V 0.5%+3", BL_MEASURES_V_DC, 1, 4, 4, 0.001, 0.5, 3 },
    { "400 V 1%+2@0.1", BL_MEASURES_V_AC, 1, 400, 400, 0.1, 1, 2 },
    { "4..40 V 0.5%+3", BL_MEASURES_V_DC, 0, 0, 0, 0, 0, 0 },
    { "4 V", BL_MEASURES_V_DC, 0, 0, 0, 0, 0, 0 },
    { "4 A 1%", BL_MEASURES_V_DC, 0, 0, 0, 0, 0, 0 },
    { "4000 counts 1000..4 V 0.5%+3", BL_MEASURES_V_DC, 0, 0, 0, 0, 0, 0 },
    { "4 V 0.5%+3", BL_MEASURES_V_DC, 0, 0, 0, 0, 0, 0 }, /* 3 of what? */
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
      g_autoptr (GError) error = NULL;
      const BlMeterRange *first, *last;
      gboolean done = bl_meter_add_typed (meter, rows[i].measures, rows[i].text, &error);
      if (done != (rows[i].n > 0) || meter->ranges->len != rows[i].n)
        g_error ("%s: %u ranges: %s", rows[i].text, meter->ranges->len, error != NULL ? error->message : "");
      if (rows[i].n == 0)
        continue;
      first = bl_at (meter->ranges, 0);
      last = bl_at (meter->ranges, rows[i].n - 1);
      g_assert_cmpfloat_with_epsilon (first->full_scale, rows[i].first, 1e-9);
      g_assert_cmpfloat_with_epsilon (last->full_scale, rows[i].last, 1e-9);
      g_assert_cmpfloat_with_epsilon (last->count, rows[i].count_of_last, 1e-9);
      g_assert_cmpfloat_with_epsilon (first->percent, rows[i].percent, 1e-9);
      g_assert_cmpfloat_with_epsilon (last->counts, rows[i].counts, 1e-9);
    }
}

/* The same range twice is refused as a whole. */
static void
test_line_twice (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_meter_add_typed (meter, BL_MEASURES_V_DC, "40.00 V 0.5%+3", NULL));
  g_assert_false (bl_meter_add_typed (meter, BL_MEASURES_V_DC, "4000 counts 4..1000 V 0.5%+3", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_cmpuint (meter->ranges->len, ==, 1);
}

static void
test_day (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
  g_autofree char *day = NULL, *none = NULL;

  g_assert_true (bl_meter_day_set (meter, " 2026-03-01 ", NULL));
  g_assert_cmpint (meter->calibrated, ==, G_GINT64_CONSTANT (1772323200000000));
  day = bl_meter_day_get (meter);
  g_assert_cmpstr (day, ==, "2026-03-01");
  g_assert_false (bl_meter_day_set (meter, "2026-02-30", NULL));
  g_assert_false (bl_meter_day_set (meter, "March", NULL));
  g_assert_true (bl_meter_day_set (meter, "", NULL));
  none = bl_meter_day_get (meter);
  g_assert_cmpstr (none, ==, "");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/meter-edit/cells", test_cells);
  g_test_add_func ("/model/meter-edit/cells-read-back", test_cells_read_back);
  g_test_add_func ("/model/meter-edit/digits-give-count", test_digits_give_count);
  g_test_add_func ("/model/meter-edit/lines", test_lines);
  g_test_add_func ("/model/meter-edit/line-twice", test_line_twice);
  g_test_add_func ("/model/meter-edit/day", test_day);
  return g_test_run ();
}
