/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities: tables of strings with the value each must have, refusals with their reason, and a
 * round trip of random values. */
#undef G_DISABLE_ASSERT
#include "bl-quantity.h"

#include <locale.h>
#include <string.h>

typedef struct
{
  const char *text;
  const char *unit;
  double value;
} Row;

static void
check_rows (const Row *rows, gsize n_rows)
{
  for (gsize i = 0; i < n_rows; i++)
    {
      g_autoptr (GError) error = NULL;
      double value = NAN;

      if (!bl_quantity_parse (rows[i].text, rows[i].unit, &value, &error))
        g_error ("%s: %s", rows[i].text, error->message);
      if (value != rows[i].value)
        g_error ("%s: %.17g instead of %.17g", rows[i].text, value, rows[i].value);
    }
}

/* Resistance examples as the encyclopedia article on the RKM code gives them after IEC 60062;
 * R10, 0R22 and R010 as in published decoders of chip resistor marks. */
static void
test_iec_60062_resistance (void)
{
  static const Row rows[] = {
    { "R47", "ohm", 0.47 },  { "4R7", "ohm", 4.7 },    { "470R", "ohm", 470 },
    { "4K7", "ohm", 4700 },  { "47K", "ohm", 47000 },  { "47K3", "ohm", 47300 },
    { "470K", "ohm", 470e3 }, { "4M7", "ohm", 4.7e6 }, { "R10", "ohm", 0.1 },
    { "0R22", "ohm", 0.22 }, { "R010", "ohm", 0.01 },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* Capacitance codes of IEC 60062, from memory. */
static void
test_iec_60062_capacitance (void)
{
  static const Row rows[] = {
    { "4n7", "F", 4.7e-9 }, { "p47", "F", 0.47e-12 }, { "4p7", "F", 4.7e-12 },
    { "470n", "F", 470e-9 }, { "4u7", "F", 4.7e-6 },  { "4µ7", "F", 4.7e-6 },
    { "n47", "F", 0.47e-9 },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* Every value of the E24 series of IEC 60063 in letter notation means what it means with a point. */
static void
test_e24_series (void)
{
  static const int e24[] = { 10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
                             33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91 };
  static const struct
  {
    char letter;
    int exponent;
  } decades[] = { { 'R', 0 }, { 'K', 3 }, { 'M', 6 }, { 'G', 9 } };

  for (gsize i = 0; i < G_N_ELEMENTS (e24); i++)
    for (gsize d = 0; d < G_N_ELEMENTS (decades); d++)
      {
        g_autofree char *code =
          g_strdup_printf ("%d%c%d", e24[i] / 10, decades[d].letter, e24[i] % 10);
        g_autofree char *plain = g_strdup_printf ("%de%d", e24[i], decades[d].exponent - 1);
        Row row = { code, "ohm", g_ascii_strtod (plain, NULL) };

        check_rows (&row, 1);
      }
}

/* SI prefixes: the values are those of the SI brochure, 9th edition, table 7. */
static void
test_prefixes (void)
{
  static const Row rows[] = {
    { "1 f", NULL, 1e-15 },     { "1 pF", "F", 1e-12 },    { "100 nF", "F", 100e-9 },
    { "3 µA", "A", 3e-6 },      { "3 μA", "A", 3e-6 },     { "3uA", "A", 3e-6 },
    { "5 mV", "V", 5e-3 },      { "5m", "V", 5e-3 },       { "5M", "ohm", 5e6 },
    { "980k", "ohm", 980e3 },   { "12 kHz", "Hz", 12e3 },  { "12 KHz", "Hz", 12e3 },
    { "1 GHz", "Hz", 1e9 },     { "1 Tohm", "ohm", 1e12 }, { "100 ms", "s", 0.1 },
    { "100 mF", "F", 0.1 },     { "1 F", "F", 1 },         { "1 fF", "F", 1e-15 },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* What technicians write; common practice, no source. */
static void
test_trade (void)
{
  static const Row rows[] = {
    { "12 V", "V", 12 },         { "12V", NULL, 12 },          { "12", "V", 12 },
    { "12 VDC", "V", 12 },       { "230 V AC", "V", 230 },     { "3V3", "V", 3.3 },
    { "5V1", NULL, 5.1 },        { "3.15 A", "A", 3.15 },      { "3,15 A", "A", 3.15 },
    { "11,8 V", "V", 11.8 },     { "-12 V", "V", -12 },        { "−12 V", "V", -12 },
    { "- 12", "V", -12 },        { "+5", "V", 5 },             { ".5", "V", 0.5 },
    { "5.", "V", 5 },            { "1e3", "V", 1000 },         { "1.5E-3 V", "V", 1.5e-3 },
    { "100R", "ohm", 100 },      { "100 R", "ohm", 100 },      { "1k2", "ohm", 1200 },
    { "1k2Ω", "ohm", 1200 },     { "1k2", "V", 1200 },         { "1M1", "ohm", 1.1e6 },
    { "4.7 kΩ", "ohm", 4700 },   { "4.7 kΩ", "ohm", 4700 },    { "4.7 kOhm", "ohm", 4700 },
    { "25 °C", "degC", 25 },     { "25 ℃", "degC", 25 },       { "-5 degC", "degC", -5 },
    { "25", "degC", 25 },        { "12\u00a0V", "V", 12 },     { "12\u2009V", "V", 12 },
    { "12\u202fV", "V", 12 },    { "12\u202f000 V", "V", 12e3 }, { "1 200 000", NULL, 1.2e6 },
    { "  5 V \t", "V", 5 },      { "1,234", "V", 1.234 },      { "-4K7", "ohm", -4700 },
    { "0", "V", 0 },             { "007", "V", 7 },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* How the same is typed in a hurry, on other keyboards and in other scripts; common practice, no source. */
static void
test_forgiving (void)
{
  static const Row rows[] = {
    { "12,1", "V", 12.1 },        { "12.1v", "V", 12.1 },        { "12.1 volts", "V", 12.1 },
    { "12.1 Volt", "V", 12.1 },   { "12.1 vdc", "V", 12.1 },     { "230 vac", "V", 230 },
    { "12.1mv", "V", 12.1e-3 },   { "3v3", "V", 3.3 },           { "2a5", "A", 2.5 },
    { "250 ma", "A", 0.25 },      { "3 amps", "A", 3 },          { "1.2 kOhm", "ohm", 1200 },
    { "1.2 kohms", "ohm", 1200 }, { "1.2 k ohm", "ohm", 1200 },  { "1.2 K Ω", "ohm", 1200 },
    { "4k7Ω", "ohm", 4700 },      { "4k7 OHM", "ohm", 4700 },    { "100r", "ohm", 100 },
    { "100nf", "F", 100e-9 },     { "4.7uf", "F", 4.7e-6 },      { "22 pf", "F", 22e-12 },
    { "4.7 µF", "F", 4.7e-6 },    { "4.7 μF", "F", 4.7e-6 },     { "4.7 uF", "F", 4.7e-6 },
    { "10 mh", "H", 0.01 },       { "50 hertz", "Hz", 50 },      { "3 seconds", "s", 3 },
    { "25 celsius", "degC", 25 }, { "25c", "degC", 25 },         { "- 0.3", "V", -0.3 },
    { "−0.3", "V", -0.3 },        { "–0.3", "V", -0.3 },         { "‑0.3", "V", -0.3 },
    { "1m2", "V", 1.2e-3 },       { "１２．１", "V", 12.1 },      { "１２．１Ｖ", "V", 12.1 },
    { "١٢٫١", "V", 12.1 },        { "۱۲.۱ V", "V", 12.1 },       { "-４.７ k", "ohm", -4700 },
    { "१२", "V", 12 },            { "2.2\tV", "V", 2.2 },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text, *unit, *reason;
  } rows[] = {
    { "12 A", "V", "in A where V is expected" },
    { "5 A", "V", "in A where V is expected" },
    { "5 amps", "V", "in A where V is expected" },
    { "12 1", "V", "write one number, “12.1” or “121”" },
    { "1,234.5", "V", "write thousands without a sign" },
    { "1'234", "V", "no unit or prefix" },
    { "1٬234", "V", "“٬” is a character" },
    { "O.5", "V", "letter O" },
    { "O,5", "V", "letter O" },
    { "1O", "V", "letter O" },
    { "1O.2", "V", "letter O" },
    { "O", "V", "begin with a number" },
    { "~12", "V", "as it was read" },
    { "<0.1", "V", "as it was read" },
    { "ca. 12", "V", "as it was read" },
    { "100 mf", "F", "read in two ways" },
    { "5 S", "s", "no unit or prefix" },
    { "12 V V", "V", "no unit or prefix" },
    { "12 €", "V", "“€” is a character" },
    { "4R7", "V", "in ohm where V is expected" },
    { "3V3", "A", "in V where A is expected" },
    { "5 mH", "F", "in H where F is expected" },
    { "1,234.5", "V", "more than one decimal sign" },
    { "1.234.567", "V", "more than one decimal sign" },
    { "4K7.2", "ohm", "more than one decimal sign" },
    { "4K7K", "ohm", "no unit or prefix" },
    { "4K7 mV", "V", "no unit or prefix" },
    { "0x10", "V", "no unit or prefix" },
    { "12 X", NULL, "no unit or prefix" },
    { "12 mm", NULL, "no unit or prefix" },
    { "12 °F", "degC", "no unit or prefix" },
    { "1 23", "V", "digits after a blank" },
    { "1 2345", "V", "digits after a blank" },
    { "12 5 V", "V", "digits after a blank" },
    { "nan", "V", "begin with a number" },
    { "inf", "V", "begin with a number" },
    { "-", "V", "begin with a number" },
    { "V", "V", "begin with a number" },
    { ".", "V", "begin with a number" },
    { "K", "ohm", "begin with a number" },
    { "--5", "V", "begin with a number" },
    { "1e", "V", "begin with a number" },
    { "1e999", "V", "too large" },
    { "1e400", "V", "too large" },
    { "", "V", "empty" },
    { "  ", "V", "empty" },
    { "5 k", "degC", "without a prefix" },
    { "5 kdegC", NULL, "without a prefix" },
    { "5\xff", "V", "character" },
    { "5\x01", "V", "character" },
    { "5 ½", "V", "character" },
    { "0000000000000000000000000000000000000000000000000000000000000000000001", "V", "too long" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      double value = 42;

      if (bl_quantity_parse (rows[i].text, rows[i].unit, &value, &error))
        g_error ("%s: taken as %.17g", rows[i].text, value);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
      g_assert_nonnull (strstr (error->message, rows[i].reason));
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      g_assert_cmpfloat (value, ==, 42);
    }
}

static void
test_written (void)
{
  static const struct
  {
    double value;
    const char *unit;
    int digits;
    const char *text, *shown;
  } rows[] = {
    { 4700, "ohm", 3, "4.7 kohm", "4.7 kΩ" },
    { 999.6, "ohm", 3, "1 kohm", "1 kΩ" },
    { 100e-9, "F", 3, "100 nF", "100 nF" },
    { 4.7e-6, "F", 3, "4.7 uF", "4.7 µF" },
    { 2200e-6, "F", 3, "2200 uF", "2200 µF" },
    { 11.83, "V", 3, "11.8 V", "11.8 V" },
    { -0.5, "V", 3, "-500 mV", "-500 mV" },
    { 0, "V", 3, "0 V", "0 V" },
    { 120, "V", 1, "100 V", "100 V" },
    { 180, "s", 3, "180 s", "180 s" },
    { 5400, "s", 3, "5400 s", "5400 s" },
    { 0.02, "degC", 3, "0.02 degC", "0.02 °C" },
    { 1234.5, NULL, 3, "1.23k", "1.23k" },
    { 1e300, "V", 3, "1e300 V", "1e300 V" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *text = bl_quantity_to_text (rows[i].value, rows[i].unit, rows[i].digits);
      g_autofree char *shown = bl_quantity_format (rows[i].value, rows[i].unit, rows[i].digits);

      g_assert_cmpstr (text, ==, rows[i].text);
      g_assert_cmpstr (shown, ==, rows[i].shown);
    }
}

/* 17 digits bring every double back, whatever the unit. */
static void
test_round_trip (void)
{
  static const char *const units[] = { "V", "A", "ohm", "F", "s", "Hz", "degC", NULL };
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);

  for (int i = 0; i < 20000; i++)
    {
      const char *unit = units[g_rand_int_range (rand, 0, G_N_ELEMENTS (units))];
      double value = g_rand_double_range (rand, -1, 1) *
                     exp (g_rand_double_range (rand, -60, 60)), back = NAN;
      g_autofree char *text = bl_quantity_to_text (value, unit, 17);
      g_autoptr (GError) error = NULL;

      bl_quantity_parse (text, unit, &back, &error);
      g_assert_no_error (error);
      if (back != value)
        g_error ("%s is %.17g instead of %.17g", text, back, value);
    }
}

/* A locale with the comma changes what a reader sees and nothing of what is read or filed. */
static void
test_locale (void)
{
  static const char *const names[] = { "de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "de_AT.UTF-8" };
  g_autofree char *before = g_strdup (setlocale (LC_NUMERIC, NULL));
  g_autofree char *text = NULL, *shown = NULL;
  const Row row = { "11.8 V", "V", 11.8 };
  gboolean found = FALSE;

  for (gsize i = 0; i < G_N_ELEMENTS (names) && !found; i++)
    found = setlocale (LC_NUMERIC, names[i]) != NULL;
  if (!found)
    {
      g_test_skip ("no locale with a decimal comma is installed");
      return;
    }
  text = bl_quantity_to_text (11.8, "V", 3);
  shown = bl_quantity_format (11.8, "V", 3);
  check_rows (&row, 1);
  setlocale (LC_NUMERIC, before);
  g_assert_cmpstr (text, ==, "11.8 V");
  g_assert_cmpstr (shown, ==, "11,8 V");
}

static void
test_struct (void)
{
  BlQuantity one = { 4700, g_strdup ("4K7") }, two = BL_QUANTITY_NONE;

  g_assert_false (bl_quantity_is_set (&two));
  bl_quantity_copy (&two, &one);
  bl_quantity_clear (&one);
  g_assert_false (bl_quantity_is_set (&one));
  g_assert_cmpfloat (two.value, ==, 4700);
  g_assert_cmpstr (two.text, ==, "4K7");
  bl_quantity_clear (&two);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/quantity/iec-60062-resistance", test_iec_60062_resistance);
  g_test_add_func ("/core/quantity/iec-60062-capacitance", test_iec_60062_capacitance);
  g_test_add_func ("/core/quantity/e24-series", test_e24_series);
  g_test_add_func ("/core/quantity/prefixes", test_prefixes);
  g_test_add_func ("/core/quantity/trade", test_trade);
  g_test_add_func ("/core/quantity/forgiving", test_forgiving);
  g_test_add_func ("/core/quantity/refused", test_refused);
  g_test_add_func ("/core/quantity/written", test_written);
  g_test_add_func ("/core/quantity/round-trip", test_round_trip);
  g_test_add_func ("/core/quantity/locale", test_locale);
  g_test_add_func ("/core/quantity/struct", test_struct);
  return g_test_run ();
}
