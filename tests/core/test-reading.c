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
  { "OL.", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "O.L", BL_MEASURES_V_DC, BL_READING_OVER, NAN, NAN },
  { "0L.", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "ovld", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "Overload", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "∞", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "∞ Ω", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "ＯＬ", BL_MEASURES_OHM, BL_READING_OVER, NAN, NAN },
  { "12,1", BL_MEASURES_V_DC, BL_READING_VALUE, 12.1, NAN },
  { "12.1v", BL_MEASURES_V_DC, BL_READING_VALUE, 12.1, NAN },
  { "12.1 volts", BL_MEASURES_V_DC, BL_READING_VALUE, 12.1, NAN },
  { "4k7Ω", BL_MEASURES_OHM, BL_READING_VALUE, 4700, NAN },
  { "1.2 kOhm", BL_MEASURES_OHM, BL_READING_VALUE, 1200, NAN },
  { "1m2", BL_MEASURES_V_DC, BL_READING_VALUE, 1.2e-3, NAN },
  { "- 0.3", BL_MEASURES_V_DC, BL_READING_VALUE, -0.3, NAN },
  { "−0.3", BL_MEASURES_V_DC, BL_READING_VALUE, -0.3, NAN },
  { "–0.3", BL_MEASURES_V_DC, BL_READING_VALUE, -0.3, NAN },
  { "٣..٥", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "３…５", BL_MEASURES_V_DC, BL_READING_RANGE, 3, 5 },
  { "−5..−3", BL_MEASURES_V_DC, BL_READING_RANGE, -5, -3 },
  { "—", BL_MEASURES_V_DC, BL_READING_NOT_REACHED, NAN, NAN },
  { "− übergossen", BL_MEASURES_V_DC, BL_READING_NOT_REACHED, NAN, NAN },
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
    { "−∞", BL_MEASURES_V_DC, "below zero" },
    { "inf", BL_MEASURES_OHM, "begin with a number" },
    { "5 A", BL_MEASURES_V_DC, "in A where V is expected" },
    { "12 1", BL_MEASURES_V_DC, "digits after a blank" },
    { "1,234.5", BL_MEASURES_V_DC, "more than one decimal sign" },
    { "O.5", BL_MEASURES_V_DC, "letter O" },
    { "0.52/OL", BL_MEASURES_OHM, "diode test only" },
    { "12/13", BL_MEASURES_V_DC, "diode test only" },
    { "0.52/", BL_MEASURES_DIODE, "forward/reverse" },
    { "/OL", BL_MEASURES_DIODE, "forward/reverse" },
    { "0.5/0.6/0.7", BL_MEASURES_DIODE, "forward/reverse" },
    { "0.5..0.6/OL", BL_MEASURES_DIODE, "one value each way" },
    { "0.5/0.5..0.6", BL_MEASURES_DIODE, "one value each way" },
    { "0.5/x", BL_MEASURES_DIODE, "begin with a number" },
    { "0.5/-", BL_MEASURES_DIODE, "begin with a number" },
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

/* A diode read both ways, forward first (common practice, no source). */
static void
test_both_ways (void)
{
  static const struct
  {
    const char *text;
    BlReadingKind kind;
    double forward, reverse;
    const char *written;
  } both[] = {
    { "0.52/OL", BL_READING_VALUE, 0.52, INFINITY, "0.52/OL" },
    { "0,52 / OL", BL_READING_VALUE, 0.52, INFINITY, "0.52/OL" },
    { "520mV/.OL", BL_READING_VALUE, 0.52, INFINITY, "0.52/OL" },
    { "0.52／∞", BL_READING_VALUE, 0.52, INFINITY, "0.52/OL" },
    { "OL/OL", BL_READING_OVER, NAN, INFINITY, "OL/OL" },
    { "OL/0.6", BL_READING_OVER, NAN, 0.6, "OL/0.6" },
    { "0.002/0.002", BL_READING_VALUE, 0.002, 0.002, "0.002/0.002" },
    { "0.5 V/1.8 V", BL_READING_VALUE, 0.5, 1.8, "0.5/1.8" },
  };
  BlReading alone;

  for (gsize i = 0; i < G_N_ELEMENTS (both); i++)
    {
      BlReading reading;
      g_autofree char *text = NULL;

      g_assert_true (bl_reading_parse (both[i].text, BL_MEASURES_DIODE, &reading, NULL));
      g_assert_true (reading.both_ways);
      g_assert_cmpint (reading.kind, ==, both[i].kind);
      if (both[i].kind == BL_READING_VALUE)
        g_assert_cmpfloat (reading.value, ==, both[i].forward);
      g_assert_cmpfloat (reading.reverse, ==, both[i].reverse);
      text = bl_reading_to_text (&reading);
      g_assert_cmpstr (text, ==, both[i].written);
    }
  g_assert_true (bl_reading_parse ("0.52", BL_MEASURES_DIODE, &alone, NULL));
  g_assert_false (alone.both_ways);
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
  g_test_add_func ("/core/reading/both-ways", test_both_ways);
  g_test_add_func ("/core/reading/written", test_written);
  return g_test_run ();
}
