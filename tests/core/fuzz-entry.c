/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whatever is typed or opened: no parser may crash, leak, read beyond its text, or say both yes and no.
 *
 * LLVMFuzzerTestOneInput () is what a coverage-guided fuzzer calls. The main () here needs none: it makes
 * texts from the seeds below, some of them random, most of them a seed that was cut, repeated, spliced with
 * another or had bytes changed, so that invalid UTF-8, zero bytes and long texts come up. It tries the same
 * N_TEXTS each time; with seconds given ("fuzz-entry 600") others for that long. It says its random seed;
 * FUZZ_SEED sets it.
 *
 * What must hold: an error is set exactly when FALSE or NULL is returned, and its message is UTF-8 whatever
 * was typed; what is written for a thing read is read back as the same thing. */
#undef G_DISABLE_ASSERT
#include "bl-colour-code.h"
#include "bl-csv.h"
#include "bl-document.h"
#include "bl-evidence.h"
#include "bl-quantity.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

static const char board_text[]
  = "{\"format\": \"benchlore-board\", \"version\": 1,"
    " \"states\": [{\"id\": \"off\"}, {\"id\": \"run\", \"live\": true}],"
    " \"sections\": [{\"id\": \"s\"}], \"stages\": [{\"id\": \"a\", \"section\": \"s\"}],"
    " \"components\": [{\"id\": \"D5\", \"kind\": \"diode\", \"stage\": \"a\","
    "   \"modes\": [{\"mode\": \"short\", \"effects\": [{\"is\": \"absent\"}]}]}],"
    " \"measurements\": ["
    "   {\"id\": \"M1\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"a\","
    "    \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}},"
    "   {\"id\": \"M2\", \"measures\": \"diode\", \"state\": \"off\","
    "    \"expected\": {\"nominal\": 0.55, \"low\": 0.5, \"high\": 0.6}},"
    "   {\"id\": \"M3\", \"measures\": \"ohm\", \"state\": \"off\","
    "    \"expected\": {\"nominal\": \"4K7\", \"tolerance\": \"5 %\"}},"
    "   {\"id\": \"M4\", \"measures\": \"swing\", \"state\": \"run\","
    "    \"expected\": {\"min\": [0, 1], \"max\": [4, 6]}},"
    "   {\"id\": \"M5\", \"measures\": \"check\", \"state\": \"run\", \"expected\": {\"answer\": true}}],"
    " \"symptoms\": [{\"id\": \"E1\", \"when\": [{\"on\": \"a\", \"is\": \"absent\"}]}]}";

static const BlBoard *
board (void)
{
  static BlBoard *parsed = NULL;
  g_autoptr (GError) error = NULL;

  if (parsed == NULL)
    parsed = bl_document_parse (board_text, -1, NULL, &error);
  g_assert_no_error (error);
  return parsed;
}

/* Takes error: set exactly when it did not work, and readable. */
static void
check_answer (gboolean done, GError *error)
{
  g_assert_true (done == (error == NULL));
  if (error != NULL)
    {
      if (!g_utf8_validate (error->message, -1, NULL))
        g_error ("not UTF-8: %s", error->message);
      g_assert_cmpuint (strlen (error->message), >, 0);
    }
  g_clear_error (&error);
}

static void
try_quantity (const char *text)
{
  static const char *const units[] = { NULL, "V", "A", "ohm", "F", "H", "Hz", "s", "degC" };

  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    {
      GError *error = NULL;
      double value = NAN, back;
      gboolean done = bl_quantity_parse (text, units[i], &value, &error);

      check_answer (done, error);
      if (!done)
        continue;
      g_assert_true (isfinite (value));
      g_autofree char *written = bl_quantity_to_text (value, units[i], 17);
      g_autofree char *shown = bl_quantity_format (value, units[i], 4);
      g_assert_true (bl_quantity_parse (written, units[i], &back, NULL));
      g_assert_true (back == value);
      g_assert_true (g_utf8_validate (shown, -1, NULL));
    }
}

static void
judge (BlMeasures measures, const BlReading *reading)
{
  g_autoptr (BlBand) band = NULL;
  g_autoptr (BlVerdict) verdict = NULL;
  BlMeter meter = { 0.5, 3, 0.01, 10e6 };
  double sum = 0;

  for (guint i = 0; i < bl_len (board ()->measurements) && band == NULL; i++)
    {
      const BlMeasurement *measurement = bl_at (board ()->measurements, i);
      if (measurement->measures == measures)
        band = bl_band_resolve (measurement, NAN, NAN, NULL);
    }
  verdict = bl_judge (band, reading, &meter, NAN, 0);
  for (guint i = 0; i < verdict->n; i++)
    {
      g_assert_true (verdict->weights[i] >= -1e-12);
      sum += verdict->weights[i];
    }
  if (verdict->evidence)
    g_assert_cmpfloat_with_epsilon (sum, 1, 1e-9);
  g_assert_nonnull (bl_verdict_label (verdict));
}

static void
try_reading (const char *text)
{
  for (int measures = 0; measures < BL_N_MEASURES; measures++)
    {
      GError *error = NULL;
      BlReading reading, back;
      gboolean done = bl_reading_parse (text, (BlMeasures) measures, &reading, &error);

      check_answer (done, error);
      if (!done)
        continue;
      g_autofree char *written = bl_reading_to_text (&reading);
      g_assert_true (bl_reading_parse (written, (BlMeasures) measures, &back, NULL));
      g_assert_cmpint (back.kind, ==, reading.kind);
      g_assert_cmpint (back.both_ways, ==, reading.both_ways);
      if (reading.kind == BL_READING_VALUE || reading.kind == BL_READING_RANGE)
        g_assert_true (back.value == reading.value);
      if (reading.both_ways)
        g_assert_true (back.reverse == reading.reverse);
      judge ((BlMeasures) measures, &reading);
    }
}

static void
try_meter_and_tolerance (const char *text)
{
  GError *error = NULL;
  BlMeter meter;
  double below, above;
  gboolean done = bl_meter_parse (text, &meter, &error);

  check_answer (done, error);
  if (done)
    g_assert_true (meter.percent >= 0 && meter.counts >= 0 && meter.count >= 0 && !(meter.input_ohm <= 0));
  error = NULL;
  done = bl_tolerance_parse (text, &below, &above, &error);
  check_answer (done, error);
  if (done)
    g_assert_true (below >= 0 && above >= 0);
}

static void
try_meaning (const BlPartMeaning *meaning, const char *kind)
{
  g_autofree char *words = bl_part_meaning_words (meaning), *series = bl_part_series_words (meaning);
  g_autofree char *code = bl_part_meaning_code (meaning);
  g_autoptr (GPtrArray) back = bl_part_read (code, kind, NULL);
  BlRing rings[BL_MAX_RINGS];
  guint n;

  g_assert_true (g_utf8_validate (words, -1, NULL) && g_utf8_validate (meaning->how, -1, NULL));
  g_assert_true (meaning->value >= 0 && isfinite (meaning->value));
  /* The code has six figures and no more room than a field; where both do, it says the value. */
  if (back != NULL && meaning->value > 0)
    {
      const BlPartMeaning *first = g_ptr_array_index (back, 0);
      if (fabs (first->value - meaning->value) > 1e-5 * meaning->value)
        g_error ("%s: its code \"%s\" is read as %.17g and not %.17g", kind, code, first->value, meaning->value);
    }
  if (bl_rings_write (meaning, rings, &n))
    {
      g_autoptr (GPtrArray) read = bl_rings_read (rings, n, kind, NULL);
      gboolean found = FALSE;

      g_assert_nonnull (read);
      for (guint i = 0; i < read->len; i++)
        {
          const BlPartMeaning *other = g_ptr_array_index (read, i);
          found |= fabs (other->value - meaning->value) <= 2e-9 * meaning->value; /* written to 1e-9 */
        }
      if (!found)
        g_error ("%s: its bands are read as %.17g and not %.17g", code,
                 ((BlPartMeaning *) g_ptr_array_index (read, 0))->value, meaning->value);
    }
}

static void
try_part (const char *text)
{
  static const char *const kinds[] = { "resistor",         "thermistor",  "capacitor.ceramic", "capacitor.electrolytic",
                                       "capacitor.film",   "capacitor.tantalum", "coil",       "diode.zener",
                                       "varistor",         "relay",       NULL };

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      GError *error = NULL;
      g_autoptr (GPtrArray) meanings = bl_part_read (text, kinds[i], &error);

      check_answer (meanings != NULL, error);
      g_assert_true (meanings == NULL || meanings->len > 0);
      for (guint m = 0; meanings != NULL && m < meanings->len; m++)
        try_meaning (g_ptr_array_index (meanings, m), kinds[i]);
    }
}

static void
try_csv (const char *data, gssize size)
{
  GError *error = NULL;
  g_autoptr (GPtrArray) records = bl_csv_parse (data, size, &error);
  g_autoptr (GPtrArray) entries = NULL;

  check_answer (records != NULL, error);
  error = NULL;
  entries = bl_evidence_parse_csv (board (), data, size, &error);
  check_answer (entries != NULL, error);
  if (entries == NULL)
    return;
  for (guint i = 0; i < entries->len; i++)
    {
      g_autofree char *line = bl_entry_to_csv (g_ptr_array_index (entries, i));
      g_assert_nonnull (line);
    }
  error = NULL;
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board (), entries, &error);
  check_answer (judged != NULL, error);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  /* A copy of its very size: what reads beyond it is seen. */
  g_autofree char *text = g_strndup ((const char *) data, size);
  g_autofree char *exact = g_memdup2 (data, MAX (size, 1));
  g_autofree char *csv = g_strconcat ("measurement,reading,meter\n", text, NULL);

  try_quantity (text);
  try_reading (text);
  try_meter_and_tolerance (text);
  try_part (text);
  try_csv (exact, (gssize) size);
  try_csv (csv, -1);
  return 0;
}

/* --- texts ------------------------------------------------------------------------------------- */

static const char *const seeds[] = {
  "4K7", "R47", "4n7", "11,8 V", "100 nF", "3V3", "1e3", "12 000,5", "−0.3", "１２．１", "١٢٫١", "1.2 kOhm",
  "- 12", "OL", ".OL", "0L", "∞", "3..5", "3…5", "yes", "no", "-", "- coated", "0.52/OL", "OL/0.52", "0.5 V/1.8 V", "-OL",
  "0.5%+3@0.01 in 10M", "3@0.001", "1%", "±2%+5@1m in 1M", "4 %", "+5 %/-10 %", "±10%",
  "472", "4702", "R010", "104K", "4p7C", "68C", "10R", "01F", "S3", "000", "470 uF 25 V low ESR", "10k 1 % 2 W",
  "22n +80/-20%", "4K99 0.1% 25ppm/K", "10k B3435", "2 x 3 mH", "yellow violet red gold", "BN BK BK RD BN RD", "101K",
  "measurement,reading,meter\nM1,4.98,0.5%+3@0.01 in 10M\nM2,0.52/OL,\nround,wet\nM4,0..5\nM5,yes\n",
  "measurement;reading\r\nM3;4k7\r\npart:D5;short\r\nsymptom:E1;yes\r\npart:D5;replaced\r\nM1;\"11,8\"\r\n",
  "\xef\xbb\xbfmeasurement,reading\n\"M1\",\"- \"\"coated\"\"\"\n", "M2,0.52/OL\npart:D5,good", "1e999", "nan", "0x10",
  "9999999999999999999999999999999999999999999999999999999999999e", "\xff\xfe", "\xe2\x88", "4\xc2\xb5""7",
};

/* Bytes that mean something somewhere. */
static const char telling[] = "0123456789.,-+/%@ eEkKmMuUnNpPRVAFJZ\"\n\r;:\t\xc2\xb5\xce\xa9\xe2\x88\x92\xff\0OLol";

static void
change_byte (GRand *rand, GByteArray *bytes)
{
  guint at = (guint) g_rand_int_range (rand, 0, (gint32) bytes->len);

  switch (g_rand_int_range (rand, 0, 4))
    {
    case 0:
      bytes->data[at] = (guint8) g_rand_int_range (rand, 0, 256);
      break;
    case 1:
      bytes->data[at] = (guint8) telling[g_rand_int_range (rand, 0, sizeof telling - 1)];
      break;
    case 2:
      bytes->data[at] ^= (guint8) (1u << g_rand_int_range (rand, 0, 8));
      break;
    default:
      g_byte_array_remove_index (bytes, at);
      break;
    }
}

static void
append_seed (GRand *rand, GByteArray *bytes)
{
  const char *seed = seeds[g_rand_int_range (rand, 0, G_N_ELEMENTS (seeds))];
  gsize length = strlen (seed), from = 0;

  if (g_rand_boolean (rand))
    {
      from = (gsize) g_rand_int_range (rand, 0, (gint32) length + 1);
      length = (gsize) g_rand_int_range (rand, (gint32) from, (gint32) length + 1) - from;
    }
  g_byte_array_append (bytes, (const guint8 *) seed + from, (guint) length);
}

static GByteArray *
make_text (GRand *rand)
{
  GByteArray *bytes = g_byte_array_new ();
  gint32 sort = g_rand_int_range (rand, 0, 100);

  if (sort < 15) /* random, of telling bytes */
    for (int i = g_rand_int_range (rand, 0, 24); i > 0; i--)
      g_byte_array_append (bytes, (const guint8 *) &telling[g_rand_int_range (rand, 0, sizeof telling - 1)], 1);
  else
    for (int i = g_rand_int_range (rand, 0, sort < 70 ? 1 : 3); i >= 0; i--)
      append_seed (rand, bytes);
  for (int i = g_rand_int_range (rand, 0, 4); i > 0 && bytes->len > 0; i--)
    change_byte (rand, bytes);
  if (sort == 99) /* very long: the same over and over */
    for (int i = g_rand_int_range (rand, 1, 12); i > 0 && bytes->len > 0 && bytes->len < 65536; i--)
      {
        g_autofree guint8 *copy = g_memdup2 (bytes->data, bytes->len);
        g_byte_array_append (bytes, copy, bytes->len);
      }
  return bytes;
}

#define N_TEXTS 6000 /* two seconds here */

int
main (int argc, char *argv[])
{
  /* As a test it tries the same texts on every machine; with SECONDS it runs as long, each time others. */
  double seconds = argc > 1 ? g_ascii_strtod (argv[1], NULL) : 0;
  const char *wish = g_getenv ("FUZZ_SEED");
  guint32 seed = wish != NULL ? (guint32) g_ascii_strtoull (wish, NULL, 10) : argc > 1 ? g_random_int () : 1;
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  gint64 end = g_get_monotonic_time () + (gint64) (seconds * G_USEC_PER_SEC);
  guint64 count = 0;

  g_log_set_always_fatal (G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING | G_LOG_FATAL_MASK);
  g_print ("1..1\n# seed %u\n", seed);
  for (gsize i = 0; i < G_N_ELEMENTS (seeds); i++, count++)
    LLVMFuzzerTestOneInput ((const uint8_t *) seeds[i], strlen (seeds[i]));
  while (count < N_TEXTS || g_get_monotonic_time () < end)
    for (int i = 0; i < 16; i++, count++)
      {
        g_autoptr (GByteArray) text = make_text (rand);
        LLVMFuzzerTestOneInput (text->len > 0 ? text->data : (const uint8_t *) "", text->len);
      }
  g_print ("# %" G_GUINT64_FORMAT " texts\nok 1 /core/fuzz/entry\n", count);
  return 0;
}
