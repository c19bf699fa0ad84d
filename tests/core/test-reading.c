/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings as typed. The forms of an overload are those that meters show (common practice, no
 * source). */
#undef G_DISABLE_ASSERT
#include "bl-verdict.h"

#include <string.h>

typedef struct
{
  const char *text;
  BlMeasures measures;
  BlReadingKind kind;
  double value, high;
} Row;

static const Row rows[] = {
  { "11.8", BL_MEASURES_V_DC, BL_READING_VALUE, 11.8, NAN },
  { "11,8 V", BL_MEASURES_V_DC, BL_READING_VALUE, 11.8, NAN },
  { "12 VDC", BL_MEASURES_V_DC, BL_READING_VALUE, 12, NAN },
  { "230 V AC", BL_MEASURES_V_AC, BL_READING_VALUE, 230, NAN },
  { " -12 ", BL_MEASURES_V_DC, BL_READING_VALUE, -12, NAN },
  { "1k2", BL_MEASURES_OHM, BL_READING_VALUE, 1200, NAN },
  { "100 n", BL_MEASURES_F, BL_READING_VALUE, 100e-9, NAN },
  { "0.62", BL_MEASURES_DIODE, BL_READING_VALUE, 0.62, NAN },
  { "2.5", BL_MEASURES_SWING, BL_READING_VALUE, 2.5, NAN },
  { "OL", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "0L", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { ".OL", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "0.L", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "ol", BL_MEASURES_DIODE, BL_READING_OVER, NAN, NAN },
  { "OL MΩ", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "-", BL_MEASURES_V_DC, BL_READING_NOT_REACHED, NAN, NAN },
  { "–", BL_MEASURES_CHECK, BL_READING_NOT_REACHED, NAN, NAN },
  { "- coated", BL_MEASURES_V_DC, BL_READING_NOT_REACHED, NAN, NAN },
  { "- 12", BL_MEASURES_V_DC, BL_READING_VALUE, -12, NAN },
  { "3..5", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "3…5", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "3 .. 5 V", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "0,2..11,8", BL_MEASURES_SWING, BL_READING_RANGE, 0.2, 11.8 },
  { "5..3", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "-5..-3", BL_MEASURES_V_DC, BL_READING_RANGE, -5, -3 },
  { "200 mV..5 V", BL_MEASURES_V_DC, BL_READING_RANGE, 0.2, 5 },
  { "0..5k", BL_MEASURES_OHM, BL_READING_RANGE, 0, 5000 },
  { "200..1k2", BL_MEASURES_OHM, BL_READING_RANGE, 200, 1200 },
};

static void
test_forms (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      BlReading reading;

      if (!bl_reading_parse (rows[i].text, rows[i].measures, &reading, &error))
        g_error ("%s: %s", rows[i].text, error->message);
      g_assert_cmpint (reading.kind, ==, rows[i].kind);
      if (!isnan (rows[i].value))
        g_assert_cmpfloat (reading.value, ==, rows[i].value);
      if (!isnan (rows[i].high))
        g_assert_cmpfloat (reading.high, ==, rows[i].high);
    }
}

static void
test_answers (void)
{
  BlReading reading;

  g_assert_true (bl_reading_parse ("yes", BL_MEASURES_CHECK, &reading, NULL));
  g_assert_cmpint (reading.kind, ==, BL_READING_ANSWER);
  g_assert_true (reading.answer);
  g_assert_true (bl_reading_parse (" No ", BL_MEASURES_CHECK, &reading, NULL));
  g_assert_false (reading.answer);
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text;
    BlMeasures measures;
    const char *reason;
  } bad[] = {
    { "", BL_MEASURES_V_DC, "empty" },
    { "12 A", BL_MEASURES_V_DC, "in A where V is expected" },
    { "12 VAC", BL_MEASURES_V_DC, "AC and DC" },
    { "12 VDC", BL_MEASURES_V_AC, "AC and DC" },
    { "230 VAC", BL_MEASURES_V_PP, "AC and DC" },
    { "ja", BL_MEASURES_CHECK, "yes, no or -" },
    { "1", BL_MEASURES_CHECK, "yes, no or -" },
    { "OL", BL_MEASURES_CHECK, "yes, no or -" },
    { "yes", BL_MEASURES_V_DC, "begin with a number" },
    { "-OL", BL_MEASURES_V_DC, "below zero" },
    { "OLE", BL_MEASURES_V_DC, "begin with a number" },
    { "3...5", BL_MEASURES_V_DC, "two points" },
    { "1..5k", BL_MEASURES_OHM, "one end only" },
    { "2..5 mV", BL_MEASURES_V_DC, "one end only" },
    { "3 mV..5", BL_MEASURES_V_DC, "one end only" },
    { "3..", BL_MEASURES_V_DC, "empty" },
    { "..5", BL_MEASURES_V_DC, "empty" },
    { "3..4..5", BL_MEASURES_V_DC, "decimal sign" },
    { "nan", BL_MEASURES_V_DC, "begin with a number" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (GError) error = NULL;
      BlReading reading;

      if (bl_reading_parse (bad[i].text, bad[i].measures, &reading, &error))
        g_error ("“%s” was taken", bad[i].text);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
      if (strstr (error->message, bad[i].reason) == NULL)
        g_error ("“%s”: %s", bad[i].text, error->message);
    }
}

static void
test_written (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      BlReading reading, back;
      g_autofree char *text = NULL;

      g_assert_true (bl_reading_parse (rows[i].text, rows[i].measures, &reading, NULL));
      text = bl_reading_to_text (&reading);
      g_assert_true (bl_reading_parse (text, rows[i].measures, &back, NULL));
      g_assert_cmpint (back.kind, ==, reading.kind);
      if (reading.kind == BL_READING_VALUE || reading.kind == BL_READING_RANGE)
        g_assert_cmpfloat (back.value, ==, reading.value);
      if (reading.kind == BL_READING_RANGE)
        g_assert_cmpfloat (back.high, ==, reading.high);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/reading/forms", test_forms);
  g_test_add_func ("/core/reading/answers", test_answers);
  g_test_add_func ("/core/reading/refused", test_refused);
  g_test_add_func ("/core/reading/written", test_written);
  return g_test_run ();
}
