/* SPDX-License-Identifier: GPL-3.0-or-later
 * The one-line form of expected values. */
#include "config.h"

#include "bl-expected.h"

static BlMeasurement *
read_line (BlMeasures measures, const char *text)
{
  g_autoptr (GError) error = NULL;
  BlMeasurement *measurement = bl_measurement_new ();

  measurement->measures = measures;
  bl_expected_from_text (measurement, text, &error);
  g_assert_no_error (error);
  return measurement;
}

static void
test_forms (void)
{
  static const struct
  {
    const char *text;
    double nominal, low, high;
    const char *tolerance;
  } cases[] = {
    { "12 V ±5 %", 12, NAN, NAN, "5 %" },     { "12V +-5%", 12, NAN, NAN, "5 %" },
    { "12 V +/- 0.5 V", 12, 11.5, 12.5, NULL }, { "4.8..5.2 V", NAN, 4.8, 5.2, NULL },
    { "4,8..5,2", NAN, 4.8, 5.2, NULL },        { "5 V 4.8..5.2", 5, 4.8, 5.2, NULL },
    { "< 0.3 V", NAN, NAN, 0.3, NULL },         { "≤300 mV", NAN, NAN, 0.3, NULL },
    { ">= 4.5", NAN, 4.5, NAN, NULL },          { "325 V", 325, NAN, NAN, NULL },
    { "4.8 – 5.2", NAN, 4.8, 5.2, NULL },       { "-12 V -12.6..-11.4", -12, -12.6, -11.4, NULL },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (BlMeasurement) m = read_line (BL_MEASURES_V_DC, cases[i].text);
      g_test_message ("%s", cases[i].text);
#define SAME(a, b) (isnan (a) ? isnan (b) : fabs ((a) - (b)) < 1e-12)
      g_assert_true (SAME (cases[i].nominal, m->expected.nominal.value));
      g_assert_true (SAME (cases[i].low, m->expected.low.value));
      g_assert_true (SAME (cases[i].high, m->expected.high.value));
      g_assert_cmpstr (m->expected.tolerance, ==, cases[i].tolerance);
    }
}

/* Documents have the point, whatever is typed. */
static void
test_comma (void)
{
  g_autoptr (BlMeasurement) level = read_line (BL_MEASURES_V_DC, "0,5 V ±2,5 %");
  g_assert_cmpstr (level->expected.nominal.text, ==, "0.5 V");
  g_assert_cmpstr (level->expected.tolerance, ==, "2.5 %");
  g_autoptr (BlMeasurement) range = read_line (BL_MEASURES_V_DC, "4,8..5,2 V");
  g_assert_cmpstr (range->expected.low.text, ==, "4.8");
  g_assert_cmpstr (range->expected.high.text, ==, "5.2 V");
  g_autoptr (BlMeasurement) swing = read_line (BL_MEASURES_SWING, "0..0,4 / 23,1..24 V");
  g_assert_cmpstr (swing->expected.min[1].text, ==, "0.4");
  g_assert_cmpstr (swing->expected.max[0].text, ==, "23.1");
}

static void
test_other_kinds (void)
{
  g_autoptr (BlMeasurement) ohm = read_line (BL_MEASURES_OHM, "4K7 ±5 %");
  g_assert_cmpfloat (ohm->expected.nominal.value, ==, 4700);
  g_autoptr (BlMeasurement) check = read_line (BL_MEASURES_CHECK, "no");
  g_assert_cmpint (check->expected.answer, ==, 0);
  g_autoptr (BlMeasurement) swing = read_line (BL_MEASURES_SWING, "0..0.4 / 23..24 V");
  g_assert_cmpfloat (swing->expected.min[1].value, ==, 0.4);
  g_assert_cmpfloat (swing->expected.max[0].value, ==, 23);
}

static void
test_there_and_back (void)
{
  const char *lines[] = { "12 V ±5 %", "4.8..5.2 V", "5 V 4.8..5.2", "< 0.3 V", "> 4.5 V", "325 V", "" };

  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    {
      g_autoptr (BlMeasurement) once = read_line (BL_MEASURES_V_DC, lines[i]);
      g_autofree char *text = bl_expected_to_text (once);
      g_autoptr (BlMeasurement) twice = read_line (BL_MEASURES_V_DC, text);
      g_autofree char *again = bl_expected_to_text (twice);
      g_assert_cmpstr (text, ==, again);
      g_assert_true (SAME (once->expected.nominal.value, twice->expected.nominal.value));
      g_assert_true (SAME (once->expected.low.value, twice->expected.low.value));
      g_assert_true (SAME (once->expected.high.value, twice->expected.high.value));
    }
}

static void
test_refused (void)
{
  const char *lines[] = { "12 A", "twelve", "5.2..4.8", "12 V ±x", "6 V 4.8..5.2", "12 V ±-5 %", "4.8.." };

  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (BlMeasurement) m = bl_measurement_new ();
      m->measures = BL_MEASURES_V_DC;
      g_test_message ("%s", lines[i]);
      g_assert_false (bl_expected_from_text (m, lines[i], &error));
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/expected/forms", test_forms);
  g_test_add_func ("/model/expected/comma", test_comma);
  g_test_add_func ("/model/expected/other-kinds", test_other_kinds);
  g_test_add_func ("/model/expected/there-and-back", test_there_and_back);
  g_test_add_func ("/model/expected/refused", test_refused);
  return g_test_run ();
}
