/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's meters: limits of error against published worked examples (the source beside each row), the
 * range that a reading was taken in, the meter as text, its calibration. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-shop-meter.h"

#include <string.h>

/* 0.4, 4, 40, 400 and 1000 V DC at 4000 counts, 10 Mohm. */
static BlShopMeter *
handheld (void)
{
  BlShopMeter *meter = bl_shop_meter_new ("Handheld");

  meter->input_ohm = 10e6;
  bl_shop_meter_add_ranges (meter, BL_MEASURES_V_DC, 0.4, 1000, 4000, 0.5, 3);
  return meter;
}

/* --- published limits of error --- */

/* The limit a of a reading is u times sqrt 3 (rectangular distribution, GUM, JCGM 100:2008, 4.3.7; the number
 * of the clause from memory, the formula computed). */
static void
test_published_limits (void)
{
  static const struct
  {
    const char *source;
    BlMeasures measures;
    double full_scale, percent, counts, count;
    const char *reading;
    double limit;
  } rows[] = {
    { "Kwantlen Polytechnic University, Digital Multimeter Uncertainties: 2.5 % + 3 dgt, 32.00 V",
      BL_MEASURES_V_DC, 40, 2.5, 3, 0.01, "32.00", 0.83 },
    { "the same: 0.09 V in that range", BL_MEASURES_V_DC, 40, 2.5, 3, 0.01, "0.09", 0.03225 },
    { "a contractors' forum, post 31601: 0.7 % + 2, 118.96 to 121.04 V", BL_MEASURES_V_DC, 400, 0.7, 2,
      0.1, "120.0", 1.04 },
    { "an instrument shop, introduction to multimeter accuracy: 1 % + 2, 98.8 to 101.2 V", BL_MEASURES_V_DC, 400,
      1, 2, 0.1, "100.0", 1.2 },
    { "the same, without counts: 99.0 to 101.0 V", BL_MEASURES_V_DC, 400, 1, 0, 0.1, "100.0", 1.0 },
    { "the same shop, multimeter error: 0.5 % + 3, 1.987 to 2.013 V", BL_MEASURES_V_DC, 4, 0.5, 3, 0.001,
      "2.000", 0.013 },
    { "an instrument maker's note: 0.08 % + 2 dgt, 1.9964 to 2.0036 V in the 5 V range", BL_MEASURES_V_DC, 5,
      0.08, 2, 0.001, "2.000", 0.0036 },
    { "a college's physics pages: 0.1 % + 4 dgt, 166.51 mV (the sum computed here)", BL_MEASURES_V_DC, 0.2, 0.1, 4,
      1e-5, "166.51 mV", 0.00020651 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
      g_autoptr (GError) error = NULL;
      g_autofree char *spec = NULL;
      BlReading reading;
      BlMeter accuracy;
      double value, u;

      bl_shop_meter_add_range (meter, rows[i].measures, rows[i].full_scale, rows[i].percent, rows[i].counts,
                               rows[i].count);
      g_assert_nonnull (bl_shop_meter_choose (meter, rows[i].measures, rows[i].reading, BL_METER_AUTO, &spec, &error));
      g_assert_no_error (error);
      g_assert_true (bl_meter_parse (spec, &accuracy, &error));
      g_assert_true (bl_reading_parse (rows[i].reading, rows[i].measures, &reading, &error));
      bl_reading_corrected (&reading, rows[i].measures, &accuracy, NAN, &value, &u);
      if (fabs (u * sqrt (3) - rows[i].limit) > 1e-9)
        g_error ("%s: %.9g instead of %.9g", rows[i].source, u * sqrt (3), rows[i].limit);
    }
}

/* --- the range --- */

static void
test_digits (void)
{
  static const struct
  {
    const char *text;
    BlMeasures measures;
    double resolution;
  } rows[] = {
    { "4.98", BL_MEASURES_V_DC, 0.01 },      { "4,980 V", BL_MEASURES_V_DC, 0.001 },
    { "-0.5", BL_MEASURES_V_DC, 0.1 },       { "12", BL_MEASURES_V_DC, NAN },
    { "12.", BL_MEASURES_V_DC, NAN },        { "230 V", BL_MEASURES_V_AC, NAN },
    { "12.0 mV", BL_MEASURES_V_DC, 0.0001 }, { "4K7", BL_MEASURES_OHM, 100 },
    { "4.70k", BL_MEASURES_OHM, 10 },        { "R47", BL_MEASURES_OHM, 0.01 },
    { "0.00", BL_MEASURES_V_DC, 0.01 },      { "10k", BL_MEASURES_OHM, NAN },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      double found = bl_reading_resolution (rows[i].text, rows[i].measures);
      if (isnan (found) != isnan (rows[i].resolution) || fabs (found - rows[i].resolution) > 1e-9 * fabs (found))
        g_error ("%s: %g instead of %g", rows[i].text, found, rows[i].resolution);
    }
}

static void
test_choice (void)
{
  g_autoptr (BlShopMeter) meter = handheld ();
  static const struct
  {
    const char *text;
    double full_scale; /* of the range chosen */
    const char *spec;
  } rows[] = {
    { "3.980", 4, "0.5%+3@0.001 in 10M" },  /* the digits of the 4 V range */
    { "3.98", 40, "0.5%+3@0.01 in 10M" },   /* set by hand, or not changed down yet */
    { "4.98", 40, "0.5%+3@0.01 in 10M" },   { "-4.98", 40, NULL },
    { "3.9", 400, "0.5%+3@0.1 in 10M" },    { "12", 40, NULL }, /* zeros left out: by its value */
    { "230", 400, NULL },                   { "401.0", 1000, NULL }, /* no range shows this: by its value */
    { "0.0500", 0.4, NULL },                { "0.050", 4, NULL },
    { "50.0 mV", 0.4, NULL },               { "4.0001", 40, NULL },
    { "0", 0.4, NULL },                     { "3..5", 40, NULL },
    { "OL", 1000, "0.5%+3@1 in 10M" },      { "1000", 1000, NULL },
    { "-", 1000, NULL },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *spec = NULL;
      const BlMeterRange *range
        = bl_shop_meter_choose (meter, BL_MEASURES_V_DC, rows[i].text, BL_METER_AUTO, &spec, &error);
      g_assert_no_error (error);
      if (range->full_scale != rows[i].full_scale)
        g_error ("%s: %g V instead of %g V", rows[i].text, range->full_scale, rows[i].full_scale);
      if (rows[i].spec != NULL)
        g_assert_cmpstr (spec, ==, rows[i].spec);
    }
}

static void
test_refused_choice (void)
{
  g_autoptr (BlShopMeter) meter = handheld ();
  g_autoptr (GError) error = NULL;
  g_autofree char *spec = NULL;
  const BlMeterRange *range;

  g_assert_null (bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "1001", BL_METER_AUTO, &spec, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_null (spec);
  g_clear_error (&error);
  g_assert_null (bl_shop_meter_choose (meter, BL_MEASURES_ESR, "0.5", BL_METER_AUTO, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_assert_null (bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "volts", BL_METER_AUTO, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
  g_clear_error (&error);

  /* Forced: 3.980 in the 400 V range, and 5 V where 4 V is set. */
  range = bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "3.980", 3, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (range->full_scale, ==, 400);
  g_assert_null (bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "5.000", 1, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

/* A swing is read as volts, continuity as ohms; a range of its own comes first. */
static void
test_other_kinds (void)
{
  g_autoptr (BlShopMeter) meter = handheld ();
  g_autofree char *spec = NULL;
  const BlMeterRange *range
    = bl_shop_meter_choose (meter, BL_MEASURES_SWING, "0.5..11", BL_METER_AUTO, NULL, NULL);

  g_assert_cmpfloat (range->full_scale, ==, 40);
  bl_shop_meter_add_range (meter, BL_MEASURES_OHM, 400, 1, 3, 0.1);
  range = bl_shop_meter_choose (meter, BL_MEASURES_CONTINUITY, "0.3", BL_METER_AUTO, &spec, NULL);
  g_assert_cmpint (range->measures, ==, BL_MEASURES_OHM);
  g_assert_cmpstr (spec, ==, "1%+3@0.1"); /* no input resistance in ohms */
  bl_shop_meter_add_range (meter, BL_MEASURES_CONTINUITY, 100, 2, 1, 0.1);
  range = bl_shop_meter_choose (meter, BL_MEASURES_CONTINUITY, "0.3", BL_METER_AUTO, NULL, NULL);
  g_assert_cmpint (range->measures, ==, BL_MEASURES_CONTINUITY);
}

static void
test_own_input (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("Bench");
  g_autofree char *low = NULL, *high = NULL, *exact = NULL;

  meter->input_ohm = 10e6;
  bl_shop_meter_add_range (meter, BL_MEASURES_V_DC, 12, 0.0035, 6, 1e-5)->input_ohm = 10e9;
  bl_shop_meter_add_range (meter, BL_MEASURES_V_DC, 120, 0.0045, 8, 1e-4);
  bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "5", BL_METER_AUTO, &low, NULL);
  bl_shop_meter_choose (meter, BL_MEASURES_V_DC, "50", BL_METER_AUTO, &high, NULL);
  g_assert_cmpstr (low, ==, "0.0035%+6@1e-05 in 10G");
  g_assert_cmpstr (high, ==, "0.0045%+8@0.0001 in 10M");
  meter->input_ohm = NAN;
  exact = bl_meter_range_spec (meter, bl_shop_meter_add_range (meter, BL_MEASURES_V_DC, 1200, NAN, 0, NAN));
  g_assert_cmpstr (exact, ==, "");
}

/* Every spec that comes out is read back as the same figures. */
static void
test_specs_read_back (void)
{
  for (guint i = 0;; i++)
    {
      g_autoptr (BlShopMeter) meter = bl_shop_meter_example (i);
      g_autoptr (GError) error = NULL;
      if (meter == NULL)
        {
          g_assert_cmpuint (i, ==, 3);
          break;
        }
      bl_shop_meter_validate (meter, &error);
      g_assert_no_error (error);
      for (guint j = 0; j < meter->ranges->len; j++)
        {
          const BlMeterRange *range = bl_at (meter->ranges, j);
          g_autofree char *spec = bl_meter_range_spec (meter, range);
          BlMeter read;
          g_assert_true (bl_meter_parse (spec, &read, &error));
          g_assert_cmpfloat (read.percent, ==, range->percent);
          g_assert_cmpfloat (read.counts, ==, range->counts);
          if (range->counts > 0)
            g_assert_cmpfloat_with_epsilon (read.count / range->count, 1, 1e-9);
          if (range->measures <= BL_MEASURES_V_PP)
            g_assert_cmpfloat (read.input_ohm, ==, bl_meter_range_input (meter, range));
          else
            g_assert_true (isnan (read.input_ohm));
        }
    }
}

static void
test_ranges_by_counts (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
  const double scales[] = { 6, 60, 600, 1000 }, counts[] = { 0.001, 0.01, 0.1, 1 };

  bl_shop_meter_add_ranges (meter, BL_MEASURES_V_DC, 6, 1000, 6000, 0.3, 2);
  g_assert_cmpuint (meter->ranges->len, ==, G_N_ELEMENTS (scales));
  for (guint i = 0; i < G_N_ELEMENTS (scales); i++)
    {
      const BlMeterRange *range = bl_at (meter->ranges, i);
      g_assert_cmpfloat (range->full_scale, ==, scales[i]);
      g_assert_cmpfloat (range->count, ==, counts[i]);
    }
}

/* --- text --- */

static void
test_round_trip (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_example (1);
  g_autofree char *text = NULL, *again = NULL;
  g_autoptr (BlShopMeter) read = NULL;
  g_autoptr (GError) error = NULL;

  meter->id = 4;
  meter->calibrated = G_GINT64_CONSTANT (1772323200000001);
  meter->driver = g_strdup ("a \"driver\"");
  meter->connection = g_strdup ("bus 3");
  text = bl_shop_meter_to_json (meter);
  read = bl_shop_meter_from_json (text, -1, &error);
  g_assert_no_error (error);
  again = bl_shop_meter_to_json (read);
  g_assert_cmpstr (text, ==, again);
  g_assert_cmpint (read->id, ==, 0);
  g_assert_cmpint (read->calibrated, ==, meter->calibrated);
  g_assert_true (read->true_rms);
  g_assert_cmpfloat (read->crest_factor, ==, 3);
  g_assert_cmpint (read->interval_months, ==, 12);
  g_assert_cmpstr (read->connection, ==, "bus 3");
  g_assert_cmpuint (read->ranges->len, ==, meter->ranges->len);
}

#define HEAD "{\"format\": \"benchlore-meter\", \"version\": 1, "

static void
test_trade_notation (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlShopMeter) meter = bl_shop_meter_from_json (
    HEAD "\"name\": \"M\", \"input_ohm\": \"10M\", \"calibrated\": \"2026-03-01\", \"ranges\": ["
         "{\"measures\": \"V DC\", \"full_scale\": \"400 mV\", \"percent\": 0.5, \"counts\": 3,"
         " \"count\": \"100 uV\"}]}",
    -1, &error);
  const BlMeterRange *range;

  g_assert_no_error (error);
  range = bl_at (meter->ranges, 0);
  g_assert_cmpfloat (range->full_scale, ==, 0.4);
  g_assert_cmpfloat_with_epsilon (range->count, 1e-4, 1e-15);
  g_assert_cmpfloat (meter->input_ohm, ==, 10e6);
  g_assert_cmpint (meter->calibrated, ==, G_GINT64_CONSTANT (1772323200000000)); /* that day, 0:00 UTC */
  g_assert_false (meter->true_rms);
}

static void
test_refused_text (void)
{
  static const struct
  {
    const char *text, *path;
  } rows[] = {
    { "[]", "$" },
    { "{}", "$.format" },
    { HEAD "\"ranges\": []}", "$.name" },
    { HEAD "\"name\": \"M\", \"volts\": 3}", "$.volts" },
    { HEAD "\"name\": \"M\", \"true_rms\": \"yes\"}", "$.true_rms" },
    { HEAD "\"name\": \"M\", \"input_ohm\": -1}", "$.input_ohm" },
    { HEAD "\"name\": \"M\", \"crest_factor\": 1}", "$.crest_factor" },
    { HEAD "\"name\": \"M\", \"calibrated\": \"last year\"}", "$.calibrated" },
    { HEAD "\"name\": \"M\", \"interval_months\": 1.5}", "$.interval_months" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"full_scale\": 4}]}", "$.ranges[0].measures" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"check\", \"full_scale\": 4}]}", "$.ranges[0].measures" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"V DC\"}]}", "$.ranges[0].full_scale" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"V DC\", \"full_scale\": 4, \"counts\": 3}]}",
      "$.ranges[0].count" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"V DC\", \"full_scale\": 4, \"percent\": -1}]}",
      "$.ranges[0].percent" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"V AC\", \"full_scale\": 4, \"from_hz\": 400,"
           " \"to_hz\": 45}]}",
      "$.ranges[0].to_hz" },
    { HEAD "\"name\": \"M\", \"ranges\": [{\"measures\": \"V DC\", \"full_scale\": 4},"
           " {\"measures\": \"V DC\", \"full_scale\": 4}]}",
      "$.ranges[1].full_scale" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *prefix = g_strconcat (rows[i].path, ":", NULL);
      if (bl_shop_meter_from_json (rows[i].text, -1, &error) != NULL)
        g_error ("%s was taken", rows[i].text);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
      if (!g_str_has_prefix (error->message, prefix))
        g_error ("%s: %s", rows[i].text, error->message);
    }
}

/* --- calibration --- */

static gint64
moment (const char *text)
{
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (text, NULL);

  g_assert_nonnull (time);
  return g_date_time_to_unix (time) * G_USEC_PER_SEC;
}

static void
test_calibration (void)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("M");
  gint64 due = -1;

  meter->interval_months = 12;
  g_assert_cmpint (bl_shop_meter_calibration (meter, 1, &due), ==, BL_CALIBRATION_UNKNOWN);
  g_assert_cmpint (due, ==, 0);
  meter->calibrated = moment ("2025-03-01T00:00:00Z");
  g_assert_cmpint (bl_shop_meter_calibration (meter, moment ("2026-01-29T23:59:59Z"), &due), ==,
                   BL_CALIBRATION_GOOD);
  g_assert_cmpint (due, ==, moment ("2026-03-01T00:00:00Z"));
  g_assert_cmpint (bl_shop_meter_calibration (meter, moment ("2026-01-30T00:00:00Z"), NULL), ==,
                   BL_CALIBRATION_SOON);
  g_assert_cmpint (bl_shop_meter_calibration (meter, due - 1, NULL), ==, BL_CALIBRATION_SOON);
  g_assert_cmpint (bl_shop_meter_calibration (meter, due, NULL), ==, BL_CALIBRATION_PAST);
  meter->interval_months = 0;
  g_assert_cmpint (bl_shop_meter_calibration (meter, due, NULL), ==, BL_CALIBRATION_UNKNOWN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/shop-meter/published-limits", test_published_limits);
  g_test_add_func ("/core/shop-meter/digits", test_digits);
  g_test_add_func ("/core/shop-meter/choice", test_choice);
  g_test_add_func ("/core/shop-meter/refused-choice", test_refused_choice);
  g_test_add_func ("/core/shop-meter/other-kinds", test_other_kinds);
  g_test_add_func ("/core/shop-meter/own-input", test_own_input);
  g_test_add_func ("/core/shop-meter/specs-read-back", test_specs_read_back);
  g_test_add_func ("/core/shop-meter/ranges-by-counts", test_ranges_by_counts);
  g_test_add_func ("/core/shop-meter/round-trip", test_round_trip);
  g_test_add_func ("/core/shop-meter/trade-notation", test_trade_notation);
  g_test_add_func ("/core/shop-meter/refused-text", test_refused_text);
  g_test_add_func ("/core/shop-meter/calibration", test_calibration);
  return g_test_run ();
}
