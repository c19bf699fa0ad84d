/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values as they are written on components. Rows say what each code means and where that is from:
 * "RKM": examples of IEC 60062 as quoted by the encyclopedia article on the RKM code, second-hand;
 * "decoders": alike in published decoders of chip marks that were read; "table": computed from the E96
 * table; "memory"; "trade": common practice, no source. Over 600
 * lines: tables of codes with the source beside each. */
#undef G_DISABLE_ASSERT
#include "bl-colour-code.h"

#include <locale.h>
#include <string.h>

#include "bl-quantity.h"

#define NONE NAN

typedef struct
{
  const char *text, *kind, *unit;
  double value, below, above; /* tolerance per cent */
  double second;              /* value of the second meaning; NONE: there is none */
} Row;

static GPtrArray *
read_part (const char *text, const char *kind)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *meanings = bl_part_read (text, kind, &error);

  if (meanings == NULL)
    g_error ("%s on %s: %s", text, kind, error->message);
  g_assert_no_error (error);
  g_assert_cmpuint (meanings->len, >, 0);
  return meanings;
}

static const BlPartMeaning *
at (GPtrArray *meanings, guint i)
{
  return g_ptr_array_index (meanings, i);
}

static void
check_number (const Row *row, const char *what, double is, double wanted)
{
  if (isnan (wanted) ? !isnan (is) : !(fabs (is - wanted) <= 1e-12 * fabs (wanted)))
    g_error ("%s on %s: %s %.17g instead of %.17g", row->text, row->kind, what, is, wanted);
}

static void
check_rows (const Row *rows, gsize n)
{
  for (gsize i = 0; i < n; i++)
    {
      g_autoptr (GPtrArray) meanings = read_part (rows[i].text, rows[i].kind);
      const BlPartMeaning *first = at (meanings, 0);

      g_assert_cmpstr (first->unit, ==, rows[i].unit);
      if (first->value != rows[i].value)
        g_error ("%s on %s: %.17g instead of %.17g", rows[i].text, rows[i].kind, first->value, rows[i].value);
      check_number (&rows[i], "below", first->below, rows[i].below / 100);
      check_number (&rows[i], "above", first->above, rows[i].above / 100);
      check_number (&rows[i], "second", meanings->len > 1 ? at (meanings, 1)->value : NAN, rows[i].second);
      g_assert_nonnull (first->how);
    }
}

static void
test_resistor_letters (void)
{
  static const Row rows[] = {
    /* RKM */
    { "R47", "resistor", "ohm", 0.47, NONE, NONE, NONE },
    { "4R7", "resistor", "ohm", 4.7, NONE, NONE, NONE },
    { "470R", "resistor", "ohm", 470, NONE, NONE, NONE },
    { "4K7", "resistor", "ohm", 4700, NONE, NONE, NONE },
    { "47K", "resistor.film", "ohm", 47e3, NONE, NONE, NONE },
    { "47K3", "resistor", "ohm", 47.3e3, NONE, NONE, NONE },
    { "470K", "resistor", "ohm", 470e3, NONE, NONE, NONE },
    { "4M7", "resistor", "ohm", 4.7e6, NONE, NONE, NONE },
    /* decoders */
    { "R10", "resistor", "ohm", 0.1, NONE, NONE, NONE },
    { "0R22", "resistor", "ohm", 0.22, NONE, NONE, NONE },
    { "R010", "resistor", "ohm", 0.01, NONE, NONE, NONE },
    /* letters and tolerances, memory */
    { "4L7", "resistor", "ohm", 4.7e-3, NONE, NONE, NONE },
    { "1G0", "resistor", "ohm", 1e9, NONE, NONE, NONE },
    { "1T0", "resistor", "ohm", 1e12, NONE, NONE, NONE },
    { "4K7J", "resistor", "ohm", 4700, 5, 5, NONE },
    { "4K7K", "resistor", "ohm", 4700, 10, 10, NONE },
    { "47KM", "resistor", "ohm", 47e3, 20, 20, NONE },
    { "4K99F", "resistor", "ohm", 4990, 1, 1, NONE },
    { "10K0B", "resistor", "ohm", 10e3, 0.1, 0.1, NONE },
    { "R47G", "resistor", "ohm", 0.47, 2, 2, NONE },
    { "100RD", "resistor", "ohm", 100, 0.5, 0.5, NONE },
    { "1M0C", "resistor", "ohm", 1e6, 0.25, 0.25, NONE },
    { "1K0W", "resistor", "ohm", 1e3, 0.05, 0.05, NONE },
    { "1K0N", "resistor", "ohm", 1e3, 30, 30, NONE },
    /* trade */
    { "4k7", "resistor", "ohm", 4700, NONE, NONE, NONE },
    { "4k7Ω", "resistor", "ohm", 4700, NONE, NONE, NONE },
    { "100r", "resistor", "ohm", 100, NONE, NONE, NONE },
    { "10K", "thermistor", "ohm", 10e3, NONE, NONE, NONE },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

static void
test_capacitors (void)
{
  static const Row rows[] = {
    /* letters: memory */
    { "4n7", "capacitor.film", "F", 4.7e-9, NONE, NONE, NONE },
    { "p47", "capacitor.ceramic", "F", 0.47e-12, NONE, NONE, NONE },
    { "4p7", "capacitor.ceramic", "F", 4.7e-12, NONE, NONE, NONE },
    { "470n", "capacitor.film", "F", 470e-9, NONE, NONE, NONE },
    { "4u7", "capacitor.electrolytic", "F", 4.7e-6, NONE, NONE, NONE },
    { "4µ7", "capacitor.electrolytic", "F", 4.7e-6, NONE, NONE, NONE },
    { "n47", "capacitor.ceramic", "F", 0.47e-9, NONE, NONE, NONE },
    { "4n7K", "capacitor.ceramic", "F", 4.7e-9, 10, 10, NONE },
    { "47pJ", "capacitor.ceramic", "F", 47e-12, 5, 5, NONE },
    { "4n7Z", "capacitor.ceramic", "F", 4.7e-9, 20, 80, NONE },
    { "4n7S", "capacitor.ceramic", "F", 4.7e-9, 20, 50, NONE },
    { "470uT", "capacitor.electrolytic", "F", 470e-6, 10, 50, NONE },
    { "100uQ", "capacitor.electrolytic", "F", 100e-6, 10, 30, NONE },
    /* digits: memory for the code, trade for the kinds it is on */
    { "104", "capacitor.ceramic", "F", 100e-9, NONE, NONE, 104e-12 },
    { "104K", "capacitor.ceramic", "F", 100e-9, 10, 10, NONE },
    { "104Z", "capacitor.ceramic.chip", "F", 100e-9, 20, 80, NONE },
    { "103", "capacitor", "F", 10e-9, NONE, NONE, 103e-12 },
    { "222J", "capacitor.film", "F", 2.2e-9, 5, 5, NONE },
    { "106M", "capacitor.tantalum", "F", 10e-6, 20, 20, NONE },
    { "100", "capacitor.ceramic", "F", 10e-12, NONE, NONE, 100e-12 },
    { "229", "capacitor.ceramic", "F", 2.2e-12, NONE, NONE, 229e-12 },
    { "158", "capacitor.ceramic", "F", 0.15e-12, NONE, NONE, 158e-12 },
    /* letter and digit, EIA-198: memory */
    { "S3", "capacitor.ceramic.chip", "F", 4.7e-9, NONE, NONE, NONE },
    { "A5", "capacitor.ceramic.chip", "F", 100e-9, NONE, NONE, NONE },
    { "Z1", "capacitor.ceramic.chip", "F", 91e-12, NONE, NONE, NONE },
    { "e2", "capacitor.ceramic.chip", "F", 450e-12, NONE, NONE, NONE },
    { "J9", "capacitor.ceramic.chip", "F", 0.22e-12, NONE, NONE, NONE },
    /* figures alone and R: trade */
    { "47", "capacitor.ceramic", "F", 47e-12, NONE, NONE, NONE },
    { "47K", "capacitor.ceramic", "F", 47e-12, 10, 10, NONE },
    { "4700", "capacitor.ceramic", "F", 4.7e-9, NONE, NONE, NONE },
    { "4700", "capacitor.electrolytic", "F", 4700e-6, NONE, NONE, NONE },
    { "470", "capacitor.electrolytic", "F", 470e-6, NONE, NONE, 47e-12 },
    { "0.22", "capacitor.film", "F", 0.22e-6, NONE, NONE, NONE },
    { ".1", "capacitor.film", "F", 0.1e-6, NONE, NONE, NONE },
    { "4R7", "capacitor.ceramic", "F", 4.7e-12, NONE, NONE, 4.7e-6 },
    { "4R7", "capacitor.electrolytic", "F", 4.7e-6, NONE, NONE, 4.7e-12 },
    { "100 nF", "capacitor", "F", 100e-9, NONE, NONE, NONE },
    { "100nf", "capacitor", "F", 100e-9, NONE, NONE, NONE },
    { "100 uF 10 V", "capacitor.electrolytic", "F", 100e-6, NONE, NONE, NONE },
    { "2200/35V", "capacitor.electrolytic", "F", 2200e-6, NONE, NONE, NONE },
    { "470 nF 275 V AC X2", "capacitor.film", "F", 470e-9, NONE, NONE, NONE },
    { "100n K", "capacitor.ceramic", "F", 100e-9, 10, 10, NONE },
    { "100n ±10 %", "capacitor.ceramic", "F", 100e-9, 10, 10, NONE },
    { "22n +80/-20%", "capacitor.ceramic", "F", 22e-9, 20, 80, NONE },
    { "22n +80 % -20 %", "capacitor.ceramic", "F", 22e-9, 20, 80, NONE },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* Below 10 pF letters are pF and not per cent (memory). */
static void
test_small_capacitors (void)
{
  static const struct
  {
    const char *text;
    double value, pf;
  } rows[] = {
    { "4p7C", 4.7e-12, 0.25 }, { "4p7B", 4.7e-12, 0.1 },  { "8p2D", 8.2e-12, 0.5 },     { "9p1F", 9.1e-12, NONE },
    { "4R7C", 4.7e-12, 0.25 }, { "479C", 4.7e-12, 0.25 }, { "5p6 ±0.5 pF", 5.6e-12, 0.5 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GPtrArray) meanings = read_part (rows[i].text, "capacitor.ceramic");
      const BlPartMeaning *meaning = at (meanings, 0);

      g_assert_cmpfloat (meaning->value, ==, rows[i].value);
      if (isnan (rows[i].pf))
        continue; /* the F is the farad */
      g_assert_true (meaning->absolute);
      g_assert_cmpfloat_with_epsilon (meaning->above, rows[i].pf * 1e-12, 1e-18);
      g_assert_cmpfloat (meaning->below, ==, meaning->above);
    }
  {
    g_autoptr (GPtrArray) meanings = read_part ("9p1F", "capacitor.ceramic");
    g_assert_cmpuint (meanings->len, ==, 2);
    g_assert_true (isnan (at (meanings, 0)->above));
    g_assert_cmpfloat_with_epsilon (at (meanings, 1)->above, 1e-12, 1e-18);
  }
}

static void
test_chip_resistors (void)
{
  static const Row rows[] = {
    /* decoders */
    { "472", "resistor", "ohm", 4700, NONE, NONE, 472 },
    { "4702", "resistor", "ohm", 47e3, NONE, NONE, 4702 },
    { "103", "resistor", "ohm", 10e3, NONE, NONE, 103 },
    { "0", "resistor", "ohm", 0, NONE, NONE, NONE },
    { "00", "resistor", "ohm", 0, NONE, NONE, NONE },
    { "000", "resistor", "ohm", 0, NONE, NONE, NONE },
    { "0000", "resistor", "ohm", 0, NONE, NONE, NONE },
    /* EIA-96, table; 01C, 68C and 96A are the usual examples. That the parts are of 1 %: memory */
    { "01A", "resistor", "ohm", 100, 1, 1, NONE },
    { "01C", "resistor", "ohm", 10e3, 1, 1, NONE },
    { "68C", "resistor", "ohm", 49.9e3, 1, 1, NONE },
    { "96A", "resistor", "ohm", 976, 1, 1, NONE },
    { "01Y", "resistor", "ohm", 1, 1, 1, NONE },
    { "12B", "resistor", "ohm", 1300, 1, 1, NONE },
    { "12H", "resistor", "ohm", 1300, 1, 1, NONE },
    { "30Z", "resistor", "ohm", 0.2, 1, 1, NONE },
    { "30X", "resistor", "ohm", 20, 1, 1, NONE },
    { "30S", "resistor", "ohm", 20, 1, 1, NONE },
    /* A note on a real part reads it so, seen in the source. */
    { "01F", "resistor", "ohm", 10e6, 1, 1, NONE },
    /* The clash: R of the letter code first, as the decoders take it; the second from the table. */
    { "10R", "resistor", "ohm", 10, NONE, NONE, 1.24 },
    { "47R", "resistor", "ohm", 47, NONE, NONE, 3.01 },
    { "17R", "resistor", "ohm", 17, NONE, NONE, 1.47 },
    { "99R", "resistor", "ohm", 99, NONE, NONE, NONE },
    /* A code whose value nobody makes steps back behind the figure as it stands (own rule). */
    { "487", "resistor", "ohm", 487, NONE, NONE, 480e6 },
    { "100", "resistor", "ohm", 10, NONE, NONE, 100 },
    { "1002F", "resistor", "ohm", 10e3, 1, 1, NONE },
    { "472J", "resistor", "ohm", 4700, 5, 5, NONE },
    { "431", "varistor", "V", 430, NONE, NONE, 431 },
    { "431K", "varistor", "V", 430, 10, 10, NONE },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* Every index of EIA-96 with every letter is the E96 value times its power (table). */
static void
test_eia96_whole (void)
{
  static const struct
  {
    char letter;
    double factor;
  } letters[] = { { 'Z', 1e-3 }, { 'Y', 1e-2 }, { 'R', 1e-2 }, { 'X', 0.1 }, { 'S', 0.1 }, { 'A', 1 },   { 'B', 10 },
                  { 'H', 10 },   { 'C', 100 },  { 'D', 1e3 },  { 'E', 1e4 }, { 'F', 1e5 } };

  for (guint i = 1; i <= 96; i++)
    for (gsize l = 0; l < G_N_ELEMENTS (letters); l++)
      {
        g_autofree char *code = g_strdup_printf ("%02u%c", i, letters[l].letter);
        g_autoptr (GPtrArray) meanings = read_part (code, "resistor");
        const BlPartMeaning *meaning = at (meanings, meanings->len - 1);
        double wanted = bl_e_series_step (BL_E96, i - 1) * letters[l].factor;

        g_assert_cmpuint (meanings->len, ==, letters[l].letter == 'R' ? 2 : 1);
        g_assert_cmpfloat_with_epsilon (meaning->value, wanted, 1e-12 * wanted);
        g_assert_true (bl_e_series_has (BL_E96, meaning->value));
      }
}

/* Coils: trade. */
static void
test_coils (void)
{
  static const Row rows[] = {
    { "101", "coil", "H", 100e-6, NONE, NONE, 101e-6 },  { "101K", "choke", "H", 100e-6, 10, 10, NONE },
    { "4R7", "coil", "H", 4.7e-6, NONE, NONE, NONE },    { "R47", "coil", "H", 0.47e-6, NONE, NONE, NONE },
    { "4R7M", "coil", "H", 4.7e-6, 20, 20, NONE },       { "10N", "coil", "H", 10e-9, NONE, NONE, 10e-6 },
    { "4N7", "coil", "H", 4.7e-9, NONE, NONE, NONE },    { "N47", "coil", "H", 0.47e-9, NONE, NONE, NONE },
    { "4u7", "coil", "H", 4.7e-6, NONE, NONE, NONE },    { "3 mH", "choke", "H", 3e-3, NONE, NONE, NONE },
    { "100", "coil", "H", 10e-6, NONE, NONE, 100e-6 },
    { "47", "coil", "H", 47e-6, NONE, NONE, NONE },
  };

  check_rows (rows, G_N_ELEMENTS (rows));
  {
    g_autoptr (GPtrArray) twice = read_part ("2 x 3 mH", "choke");

    g_assert_cmpfloat (at (twice, 0)->value, ==, 3e-3);
    g_assert_cmpuint (at (twice, 0)->times, ==, 2);
  }
}

/* Plain values and what is written behind them; trade. */
static void
test_beside (void)
{
  static const Row rows[] = {
    { "10k 1 %", "resistor", "ohm", 10e3, 1, 1, NONE },
    { "38.3k 1 %", "resistor", "ohm", 38.3e3, 1, 1, NONE },
    { "4.7k 2 W", "resistor", "ohm", 4700, NONE, NONE, NONE },
    { "22 ohm 2 W", "resistor", "ohm", 22, NONE, NONE, NONE },
    { "100R 1/4W 5%", "resistor", "ohm", 100, 5, 5, NONE },
    { "4K7 J", "resistor", "ohm", 4700, 5, 5, NONE },
    { "4K7 5%", "resistor", "ohm", 4700, 5, 5, NONE },
    { "4K7 ±5 %", "resistor", "ohm", 4700, 5, 5, NONE },
    { "4,7 kΩ +/- 0,1 %", "resistor", "ohm", 4700, 0.1, 0.1, NONE },
    { "10k B3435", "thermistor", "ohm", 10e3, NONE, NONE, NONE },
    { "1/4W 4K7", "resistor", "ohm", 4700, NONE, NONE, NONE },
    { "0 ohm", "resistor", "ohm", 0, NONE, NONE, NONE },
    { "1000uF/35V 105°C", "capacitor.electrolytic", "F", 1000e-6, NONE, NONE, NONE },
    { "10/50", "capacitor.electrolytic", "F", 10e-6, NONE, NONE, NONE },
    { "2A104J", "capacitor.film", "F", 100e-9, 5, 5, NONE },
    { "2a104J", "capacitor.film", "F", 100e-9, 5, 5, NONE },
    { "47", "resistor", "ohm", 47, NONE, NONE, NONE },
    { "4.7", "resistor", "ohm", 4.7, NONE, NONE, NONE },
    { "5V1", "diode.zener", "V", 5.1, NONE, NONE, NONE },
    { "12 V", "diode.zener", "V", 12, NONE, NONE, NONE },
    { "5.1", "diode.zener", "V", 5.1, NONE, NONE, NONE },
    { "275 V AC", "varistor", "V", 275, NONE, NONE, NONE },
  };
  g_autoptr (GPtrArray) ppm = read_part ("4K99 0.1% 25ppm/K", "resistor");
  g_autoptr (GPtrArray) rated = read_part ("470 uF 25 V low ESR", "capacitor.electrolytic");

  check_rows (rows, G_N_ELEMENTS (rows));
  g_assert_cmpfloat (at (ppm, 0)->ppm, ==, 25);
  g_assert_cmpstr (at (rated, 0)->left, ==, "low ESR 25 V");
}

/* Nine of a chip's letter and digit divides: no number of noughts is told. */
static void
test_tenth (void)
{
  g_autoptr (GPtrArray) tenth = bl_part_read ("S9", "capacitor.ceramic.chip", NULL);
  g_autoptr (GPtrArray) one = bl_part_read ("S1", "capacitor.ceramic.chip", NULL);

  g_assert_cmpfloat_with_epsilon (at (tenth, 0)->value, 0.47e-12, 1e-18);
  g_assert_nonnull (strstr (at (tenth, 0)->how, "S is 4.7, a tenth of that"));
  g_assert_nonnull (strstr (at (one, 0)->how, "S is 4.7, times 1 and 1 nought,"));
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text, *kind, *reason;
  } rows[] = {
    { "7805", "ic.regulator", "no value in a code" },
    { "12 V 360 ohm", "relay", "no value in a code" },
    { "4K7", NULL, "no value in a code" },
    { "", "resistor", "4K7" },
    { "   ", "capacitor", "104K" },
    { "K", "resistor", "4K7" },
    { "4K7K7", "resistor", "4K7" },
    { "97A", "resistor", "4K7" },
    { "4.7 kΩ %", "resistor", "4K7" }, /* no number before the sign: "4K7 %" would be 4 kΩ and 7 % */
    { "11,8 V %", "diode.zener", "5V1" },
    { "00A", "resistor", "4K7" },
    { "4K7X", "resistor", "4K7" },
    { "4K7Z", "resistor", "4K7" }, /* +80/-20 % is for capacitors */
    { "4n7", "resistor", "4K7" },
    { "100 nF", "resistor", "4K7" },
    { "4.7 kΩ", "capacitor", "104K" },
    { "0", "capacitor", "104K" },
    { "-47", "resistor", "4K7" },
    { "ten ohm", "resistor", "4K7" },
    { "10 20 30", "resistor", "4K7" },
    { "4K7\xff", "resistor", "4K7" },
    { "black black", "resistor", "4K7" },
    /* short enough as it was typed, too long in ASCII */
    { "ΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩΩ", "resistor", "4K7" },
    { "red gold gold red", "coil", "no meaning" },
    { "yellow violet red", "capacitor.film", "resistors and coils only" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) meanings = bl_part_read (rows[i].text, rows[i].kind, &error);

      if (meanings != NULL)
        g_error ("“%s” was taken as %g", rows[i].text, at (meanings, 0)->value);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
      if (strstr (error->message, rows[i].reason) == NULL)
        g_error ("“%s”: %s", rows[i].text, error->message);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
    }
}

static void
test_words (void)
{
  static const struct
  {
    const char *text, *kind, *words, *series, *code;
  } rows[] = {
    { "4K7J", "resistor", "4.7 kΩ ±5 %", "E24 value, in E3 too", "4K7 5%" },
    { "5K1", "resistor", "5.1 kΩ", "E24 value", "5K1" },
    { "68C", "resistor", "49.9 kΩ ±1 %", "E96 value", "49K9 1%" },
    { "10R", "resistor", "10 Ω", "E24 value, in E3 too", "10R0" },
    { "R010", "resistor", "10 mΩ", "E24 value, in E3 too", "R01" },
    { "1000000", "resistor", "1 MΩ", "E24 value, in E3 too", "1M" },
    { "4K8 5%", "resistor", "4.8 kΩ ±5 %", "not a standard value; nearest 4.7 kΩ (E24)", "4K8 5%" },
    { "16.8342k 1%", "resistor", "16.8342 kΩ ±1 %", "not a standard value; nearest 16.9 kΩ (E96)", "16K8342 1%" },
    { "9K2", "resistor", "9.2 kΩ", "E192 value", "9K2" },
    { "000", "resistor", "0 Ω, a jumper", NULL, "0R" },
    { "104Z", "capacitor.ceramic", "100 nF +80/−20 %", "E24 value, in E3 too", "100n +80/-20%" },
    { "4p7C", "capacitor.ceramic", "4.7 pF ±250 fF", "E24 value, in E3 too", "4p7 ±0.25pF" },
    { "470 uF 25 V", "capacitor.electrolytic", "470 µF", "E24 value, in E3 too", "470u 25 V" },
    { "101", "coil", "100 µH", "E24 value, in E3 too", "100u" },
    { "5V1", "diode.zener", "5.1 V", "E24 value", "5V1" },
    { "431", "varistor", "430 V", NULL, "430V" },
    { "10k B3435", "thermistor", "10 kΩ", NULL, "10K B3435" },
    { "2 x 3 mH", "choke", "2 × 3 mH", "E24 value", "2 x 3m" },
    { "2A104J", "capacitor.film", "100 nF ±5 %", "E24 value, in E3 too", "100n 5% 100 V" },
    { "2a104J", "capacitor.film", "100 nF ±5 %", "E24 value, in E3 too", "100n 5% 100 V" },
    { "1H473K", "capacitor.film", "47 nF ±10 %", "E24 value, in E3 too", "47n 10% 50 V" },
    { "10/50", "capacitor.electrolytic", "10 µF", "E24 value, in E3 too", "10u 50 V" },
    { "100R 1/4W", "resistor", "100 Ω", "E24 value, in E3 too", "100R 1/4W" },
    { "brown black black red brown red", "resistor", "10 kΩ ±1 % 50 ppm/K", "E24 value, in E3 too", "10K 1% 50ppm" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GPtrArray) meanings = read_part (rows[i].text, rows[i].kind);
      g_autofree char *words = bl_part_meaning_words (at (meanings, 0));
      g_autofree char *series = bl_part_series_words (at (meanings, 0));
      g_autofree char *code = bl_part_meaning_code (at (meanings, 0));

      g_assert_cmpstr (words, ==, rows[i].words);
      g_assert_cmpstr (series, ==, rows[i].series);
      g_assert_cmpstr (code, ==, rows[i].code);
    }
}

/* The notation written for any E24 and E96 value is read back as that value and nothing else first. */
static void
test_round_trip (void)
{
  static const struct
  {
    const char *kind, *unit;
    int from, to;
  } families[] = { { "resistor", "ohm", -2, 8 }, { "capacitor.ceramic", "F", -12, -4 },
                   { "capacitor.electrolytic", "F", -7, -2 }, { "coil", "H", -9, -2 }, { "diode.zener", "V", 0, 2 } };

  for (gsize f = 0; f < G_N_ELEMENTS (families); f++)
    for (int exponent = families[f].from; exponent <= families[f].to; exponent++)
      for (guint i = 0; i < 192; i++)
        {
          g_autofree char *plain
            = g_strdup_printf ("%ue%d", bl_e_series_step (i < 96 ? BL_E24 : BL_E96, i % (i < 96 ? 24 : 96)),
                               exponent - 2);
          BlPartMeaning meaning = { .value = g_ascii_strtod (plain, NULL), .unit = families[f].unit, .below = 0.05,
                                    .above = 0.05, .ppm = NAN };
          g_autofree char *code = bl_part_meaning_code (&meaning);
          g_autoptr (GPtrArray) back = read_part (code, families[f].kind);

          if (at (back, 0)->value != meaning.value || back->len != 1)
            g_error ("%s on %s: %.17g of %u instead of %.17g", code, families[f].kind, at (back, 0)->value, back->len,
                     meaning.value);
          g_assert_cmpfloat (at (back, 0)->above, ==, 0.05);
        }
}

/* --- colours: memory, but for what the rows say --- */

static void
test_bands (void)
{
  static const Row rows[] = {
    { "yellow violet red", "resistor", "ohm", 4700, 20, 20, 270e3 }, /* from the other end 27 x 10^4 */
    { "yellow violet red gold", "resistor", "ohm", 4700, 5, 5, NONE },
    { "gold red violet yellow", "resistor", "ohm", 4700, 5, 5, NONE }, /* held the wrong way round */
    { "brown black gold silver", "resistor", "ohm", 1, 10, 10, NONE },
    { "brown black silver gold", "resistor", "ohm", 0.1, 5, 5, NONE },
    { "brown black pink gold", "resistor", "ohm", 0.01, 5, 5, NONE },
    { "yellow white white red gold", "resistor", "ohm", 49.9e3, 5, 5, NONE },
    { "YE VT RD GD", "resistor", "ohm", 4700, 5, 5, NONE },
    { "Yellow, Violet, Red, Gold", "resistor", "ohm", 4700, 5, 5, NONE },
    { "yellow violet gold silver", "coil", "H", 4.7e-6, 10, 10, NONE },
    { "yellow purple red gold", "resistor", "ohm", 4700, 5, 5, NONE },
  };
  check_rows (rows, G_N_ELEMENTS (rows));
}

/* Both ends are tried; a value in an E series goes first, and the direction given where both are. */
static void
test_directions (void)
{
  static const struct
  {
    const char *text;
    double first, second;
  } rows[] = {
    { "yellow violet red brown", 4700, 120e6 },
    { "brown red violet yellow", 120e6, 4700 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GPtrArray) meanings = read_part (rows[i].text, "resistor");

      g_assert_cmpuint (meanings->len, ==, 2);
      g_assert_cmpfloat (at (meanings, 0)->value, ==, rows[i].first);
      g_assert_cmpfloat (at (meanings, 1)->value, ==, rows[i].second);
    }
  {
    /* 174 x 10^2 = 17.4 k is in E96; from the other end 124 x 10^7 is, too: as given first. */
    g_autoptr (GPtrArray) given = read_part ("brown violet yellow red brown", "resistor");
    g_autoptr (GPtrArray) turned = read_part ("brown brown grey yellow red", "resistor");

    g_assert_cmpfloat (at (given, 0)->value, ==, 17.4e3);
    g_assert_cmpuint (given->len, ==, 2);
    g_assert_cmpfloat (at (given, 1)->value, ==, 1.24e9);
    /* as given 118 x 10^4 (E96), 2 %; turned 248 x 10 (no series), 1 %. */
    g_assert_cmpfloat (at (turned, 0)->value, ==, 1.18e6);
    g_assert_cmpfloat (at (turned, 1)->value, ==, 2480);
  }
  {
    /* The same held the other way: the standard value still goes first. */
    g_autoptr (GPtrArray) meanings = read_part ("red yellow grey brown brown", "resistor");

    g_assert_cmpfloat (at (meanings, 0)->value, ==, 1.18e6);
    g_assert_cmpfloat (at (meanings, 1)->value, ==, 2480);
    g_assert_nonnull (strstr (at (meanings, 0)->how, "other end"));
  }
}

/* What the edition of 2016 changed is told. */
static void
test_editions (void)
{
  g_autoptr (GPtrArray) grey = read_part ("yellow violet black brown grey", "resistor");
  g_autoptr (GPtrArray) yellow = read_part ("green brown black brown yellow", "resistor");

  g_assert_cmpuint (grey->len, >=, 2);
  g_assert_cmpfloat_with_epsilon (at (grey, 0)->above, 0.0001, 1e-12);
  g_assert_nonnull (strstr (at (grey, 0)->how, "60062:2016"));
  g_assert_cmpfloat (at (grey, 0)->value, ==, at (grey, 1)->value);
  g_assert_cmpfloat_with_epsilon (at (grey, 1)->above, 0.0005, 1e-12);
  g_assert_nonnull (strstr (at (grey, 1)->how, "before 2016"));
  g_assert_cmpfloat (at (yellow, 0)->value, ==, 5100);
  g_assert_cmpfloat_with_epsilon (at (yellow, 0)->above, 0.0002, 1e-12);
  g_assert_nonnull (strstr (at (yellow, 0)->how, "60062:2016"));
}

/* Bands written for every E24 value with 5 %, and every E96 value with 1 % and 50 ppm/K, are read back as
 * the first meaning or, where the other end is as good a value, as one of the two. */
static void
test_bands_round_trip (void)
{
  for (int exponent = 0; exponent <= 6; exponent++)
    for (guint i = 0; i < 24 + 96; i++)
      {
        gboolean fine = i >= 24;
        g_autofree char *plain = g_strdup_printf ("%ue%d", bl_e_series_step (fine ? BL_E96 : BL_E24, fine ? i - 24 : i),
                                                  exponent - 2);
        double share = fine ? 0.01 : 0.05;
        BlPartMeaning meaning = { .value = g_ascii_strtod (plain, NULL), .unit = "ohm", .below = share, .above = share,
                                  .ppm = fine ? 50 : NAN };
        BlRing rings[BL_MAX_RINGS], back[BL_MAX_RINGS];
        g_autofree char *text = NULL;
        g_autoptr (GPtrArray) meanings = NULL;
        guint n, m;

        g_assert_true (bl_rings_write (&meaning, rings, &n));
        g_assert_cmpuint (n, ==, fine ? 6 : 4);
        text = bl_rings_to_text (rings, n);
        g_assert_true (bl_rings_parse (text, back, &m));
        g_assert_cmpuint (m, ==, n);
        g_assert_cmpmem (rings, n * sizeof *rings, back, m * sizeof *back);
        meanings = bl_rings_read (rings, n, "resistor", NULL);
        g_assert_nonnull (meanings);
        g_assert_cmpfloat (at (meanings, 0)->value, ==, meaning.value);
        g_assert_cmpfloat (at (meanings, 0)->above, ==, share);
      }
}

static void
test_multipliers (void)
{
  static const char *const words[]
    = { "0.001", "0.01", "0.1", "1", "10", "100", "1k", "10k", "100k", "1M", "10M", "100M", "1G" };

  for (int i = -3; i <= 9; i++)
    {
      g_autofree char *multiplier = bl_ring_multiplier (i);
      g_assert_cmpstr (multiplier, ==, words[i + 3]);
    }
}

static void
test_bands_refused (void)
{
  static const BlPartMeaning bad[] = {
    { .value = 4.999e3, .unit = "ohm", .below = 0.01, .above = 0.01, .ppm = NAN },
    { .value = 4700, .unit = "ohm", .below = 0.03, .above = 0.03, .ppm = NAN },
    { .value = 4700, .unit = "ohm", .below = 0.2, .above = 0.8, .ppm = NAN },
    { .value = 4700, .unit = "ohm", .below = 0.05, .above = 0.05, .ppm = 33 },
    { .value = 4.7e15, .unit = "ohm", .below = 0.05, .above = 0.05, .ppm = NAN },
    { .value = 0, .unit = "ohm", .below = NAN, .above = NAN, .ppm = NAN },
  };
  BlRing rings[BL_MAX_RINGS];
  guint n;

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    g_assert_false (bl_rings_write (&bad[i], rings, &n));
  g_assert_false (bl_rings_parse ("yellow violet", rings, &n));
  g_assert_false (bl_rings_parse ("yellow violet mauve", rings, &n));
  g_assert_false (bl_rings_parse ("red red red red red red red", rings, &n));
  g_assert_false (bl_rings_parse ("", rings, &n));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/part-code/resistor-letters", test_resistor_letters);
  g_test_add_func ("/core/part-code/capacitors", test_capacitors);
  g_test_add_func ("/core/part-code/small-capacitors", test_small_capacitors);
  g_test_add_func ("/core/part-code/chip-resistors", test_chip_resistors);
  g_test_add_func ("/core/part-code/eia96-whole", test_eia96_whole);
  g_test_add_func ("/core/part-code/coils", test_coils);
  g_test_add_func ("/core/part-code/beside", test_beside);
  g_test_add_func ("/core/part-code/tenth", test_tenth);
  g_test_add_func ("/core/part-code/refused", test_refused);
  g_test_add_func ("/core/part-code/words", test_words);
  g_test_add_func ("/core/part-code/round-trip", test_round_trip);
  g_test_add_func ("/core/part-code/bands", test_bands);
  g_test_add_func ("/core/part-code/directions", test_directions);
  g_test_add_func ("/core/part-code/editions", test_editions);
  g_test_add_func ("/core/part-code/bands-round-trip", test_bands_round_trip);
  g_test_add_func ("/core/part-code/multipliers", test_multipliers);
  g_test_add_func ("/core/part-code/bands-refused", test_bands_refused);
  return g_test_run ();
}
