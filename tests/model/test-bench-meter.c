/* SPDX-License-Identifier: GPL-3.0-or-later
 * A job measured with one of the shop's meters: the range and so the uncertainty of each reading, what is
 * said about loading, waves, ghost voltages and calibration, and what stays of it in the log. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bench.h"
#include "bl-document.h"
#include "bl-meter-words.h"

#include <string.h>

#define DOCUMENT                                                                                   \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"11111111-2222-4333-8444-555555555577\","        \
  "  \"states\": [{\"id\": \"run\", \"live\": true, \"volts\": 325}],"                             \
  "  \"test_points\": [{\"id\": \"TP1\", \"source_ohm\": \"500k\"}, {\"id\": \"TP5\", \"source_ohm\": 0},"       \
  "                    {\"id\": \"TP7\"}, {\"id\": \"TP8\"}, {\"id\": \"TP9\"}],"                  \
  "  \"measurements\": ["                                                                          \
  "    {\"id\": \"M1\", \"at\": \"TP1\", \"measures\": \"V DC\", \"state\": \"run\","              \
  "     \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}},"                             \
  "    {\"id\": \"M5\", \"at\": \"TP5\", \"measures\": \"V DC\", \"state\": \"run\","              \
  "     \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}},"                             \
  "    {\"id\": \"W7\", \"at\": \"TP7\", \"measures\": \"V AC\", \"state\": \"run\", \"waveform\": \"square\","  \
  "     \"expected\": {\"nominal\": 5, \"low\": 4.5, \"high\": 5.5}},"                             \
  "    {\"id\": \"P7\", \"at\": \"TP7\", \"measures\": \"V AC\", \"state\": \"run\", \"waveform\": \"pulse\","   \
  "     \"duty\": 0.01},"                                                                          \
  "    {\"id\": \"G8\", \"at\": \"TP8\", \"measures\": \"V AC\", \"state\": \"run\","              \
  "     \"expected\": {\"nominal\": 230, \"low\": 207, \"high\": 253}},"                           \
  "    {\"id\": \"E9\", \"at\": \"TP9\", \"measures\": \"ESR\", \"state\": \"run\"},"              \
  "    {\"id\": \"V1\", \"measures\": \"check\", \"state\": \"run\", \"expected\": {\"answer\": true}}] }"

#define DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

typedef struct
{
  BlLibrary *library;
  BlBench *bench;
  gint64 handheld, other; /* ids of meters */
} Fixture;

/* 4000 counts, averaging, 10 megohm: V DC and V AC. */
static gint64
add_meter (Fixture *f, const char *name, gboolean true_rms)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new (name);
  g_autoptr (GError) error = NULL;

  meter->input_ohm = 10e6;
  meter->true_rms = true_rms;
  bl_shop_meter_add_ranges (meter, BL_MEASURES_V_DC, 4, 1000, 4000, 0.5, 3);
  bl_shop_meter_add_ranges (meter, BL_MEASURES_V_AC, 4, 750, 4000, 1.2, 5);
  bl_library_put_meter (f->library, meter, &error);
  g_assert_no_error (error);
  return meter->id;
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (DOCUMENT, -1, NULL, &error);
  gint64 job;

  g_assert_no_error (error);
  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  job = bl_bench_start (f->library, bl_library_add_board (f->library, board, FALSE, NULL), NULL, NULL, NULL);
  f->handheld = add_meter (f, "Handheld", FALSE);
  f->other = add_meter (f, "Other", TRUE);
  f->bench = bl_bench_new (f->library, job, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  g_clear_object (&f->bench);
  g_clear_pointer (&f->library, bl_library_close);
}

static void
enter (Fixture *f, const char *text)
{
  g_autoptr (GError) error = NULL;

  bl_bench_enter (f->bench, text, &error);
  g_assert_no_error (error);
}

static void
take (Fixture *f, gint64 id)
{
  g_autoptr (GError) error = NULL;

  bl_bench_set_shop_meter (f->bench, id, &error);
  g_assert_no_error (error);
}

static const BlRecord *
last (Fixture *f)
{
  GPtrArray *records = bl_bench_get_records (f->bench);
  return bl_at (records, records->len - 1);
}

static BlMeasurementItem *
item (Fixture *f, const char *id)
{
  BlMeasurementItem *found = bl_bench_find (f->bench, id);

  g_assert_nonnull (found);
  return found;
}

/* Saves the meter with a date of calibration so many days ago, to be repeated every twelve months. */
static void
calibrate (Fixture *f, gint64 id, int days_ago)
{
  g_autoptr (BlShopMeter) meter = bl_library_load_meter (f->library, id, NULL, NULL);

  meter->calibrated = g_get_real_time () - days_ago * DAY;
  meter->interval_months = 12;
  g_assert_true (bl_library_put_meter (f->library, meter, NULL));
  bl_bench_meters_changed (f->bench);
}

static void
has (const char *text, const char *part)
{
  if (text == NULL || strstr (text, part) == NULL)
    g_error ("“%s” is not in “%s”", part, text != NULL ? text : "(nothing)");
}

/* The accuracy of the range, and u of it: (0.5 % of 4.98 + 3 counts of 0.01) / sqrt 3. */
static void
test_range (Fixture *f, gconstpointer unused)
{
  static const struct
  {
    const char *typed, *spec;
    double limit;
  } rows[] = {
    { "M5 4.98", "0.5%+3@0.01 in 10M", 0.0249 + 0.03 },
    { "M5 3.980", "0.5%+3@0.001 in 10M", 0.0199 + 0.003 },
    { "M5 3.98", "0.5%+3@0.01 in 10M", 0.0199 + 0.03 },
    { "M5 5", "0.5%+3@0.01 in 10M", 0.025 + 0.03 },
    { "G8 230.0", "1.2%+5@0.1 in 10M", 2.76 + 0.5 },
    { "M5 2000", "0.5%+3@1 in 10M", 13 }, /* beyond all: the widest, and never refused */
  };

  take (f, f->handheld);
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      enter (f, rows[i].typed);
      g_assert_cmpstr (last (f)->meter, ==, rows[i].spec);
      g_assert_cmpfloat_with_epsilon (last (f)->verdict->u * sqrt (3), rows[i].limit, 1e-9);
    }
  /* What it cannot measure is kept without an accuracy, and so is a check. */
  enter (f, "E9 0.4");
  g_assert_null (last (f)->meter);
  enter (f, "V1 yes");
  g_assert_null (last (f)->meter);
}

/* What is shown while typing is what is kept. */
static void
test_preview (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlVerdict) coarse = NULL, fine = NULL;
  g_autofree char *doubt = NULL, *none = NULL;
  BlReading reading;

  take (f, f->handheld);
  bl_bench_select (f->bench, item (f, "M5"));
  g_assert_true (bl_bench_preview (f->bench, "3.98", &reading, &coarse));
  g_assert_true (bl_bench_preview (f->bench, "3.980", &reading, &fine));
  g_assert_cmpfloat_with_epsilon (coarse->u * sqrt (3), 0.0499, 1e-9);
  g_assert_cmpfloat_with_epsilon (fine->u * sqrt (3), 0.0229, 1e-9);
  enter (f, "3.98");
  g_assert_cmpfloat (last (f)->verdict->u, ==, coarse->u);
  doubt = bl_bench_meter_doubt (f->bench, bl_measurement_item_get_measurement (item (f, "M5")), "1200");
  has (doubt, "Handheld");
  none = bl_bench_meter_doubt (f->bench, bl_measurement_item_get_measurement (item (f, "M5")), "12");
  g_assert_null (none);
}

/* The line tells name and number; the job opens with it again; a typed accuracy takes its place. */
static void
test_log (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBench) again = NULL;

  take (f, f->other);
  g_assert_cmpstr (last (f)->text, ==, "Other (meter 2)");
  again = bl_bench_new (f->library, bl_bench_get_job (f->bench)->id, &error);
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_get_shop_meter (again)->id, ==, f->other);
  g_assert_null (bl_bench_get_meter (again));
  g_assert_true (bl_bench_set_meter (f->bench, "1%", NULL));
  g_assert_null (bl_bench_get_shop_meter (f->bench));
  g_assert_cmpstr (bl_bench_get_meter (f->bench), ==, "1%");
  enter (f, "M5 4.98");
  g_assert_cmpstr (last (f)->meter, ==, "1%");
  g_assert_false (bl_bench_set_shop_meter (f->bench, 99, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_assert_cmpstr (bl_bench_get_meter (f->bench), ==, "1%");
}

/* Readings keep what they were taken with; undo gives the meter before back. */
static void
test_meter_changed_later (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlShopMeter) meter = bl_library_load_meter (f->library, f->handheld, NULL, NULL);

  take (f, f->handheld);
  enter (f, "M5 4.98");
  ((BlMeterRange *) bl_at (meter->ranges, 1))->percent = 2; /* 40 V DC */
  g_assert_true (bl_library_put_meter (f->library, meter, NULL));
  bl_bench_meters_changed (f->bench);
  g_assert_cmpstr (last (f)->meter, ==, "0.5%+3@0.01 in 10M");
  enter (f, "M5 4.99");
  g_assert_cmpstr (last (f)->meter, ==, "2%+3@0.01 in 10M");
  /* Removed from the shop, a job that has it goes on with it. */
  g_assert_true (bl_library_delete_meter (f->library, f->handheld, NULL));
  bl_bench_meters_changed (f->bench);
  enter (f, "M5 5.01");
  g_assert_cmpstr (last (f)->meter, ==, "2%+3@0.01 in 10M");
  take (f, f->other);
  g_assert_true (bl_bench_undo (f->bench, NULL));
  g_assert_cmpint (bl_bench_get_shop_meter (f->bench)->id, ==, f->handheld);
}

/* 4.76 V read with 10 megohm behind 500 kilohm are 4.76 x 1.05 = 4.998 V (divider of two resistors). */
static void
test_loading (Fixture *f, gconstpointer unused)
{
  g_autofree char *typed = NULL, *kept = NULL, *elsewhere = NULL, *unknown = NULL, *of_log = NULL,
                  *beyond = NULL;

  take (f, f->handheld);
  typed = bl_bench_meter_words (f->bench, item (f, "M1"), "4.76");
  has (typed, "40 V DC range");
  has (typed, "counts as 4.998 V: corrected from 4.76 V for a 10 M\xce\xa9 meter on 500 k\xce\xa9");
  enter (f, "M1 4.76");
  g_assert_cmpfloat_with_epsilon (last (f)->verdict->value, 4.998, 1e-9);
  kept = bl_bench_meter_words (f->bench, item (f, "M1"), "");
  has (kept, "40 V DC range");
  has (kept, "corrected from 4.76 V");
  of_log = bl_bench_record_meter_words (f->bench, last (f));
  has (of_log, "Handheld (meter 1)");
  has (of_log, "corrected from 4.76 V");
  enter (f, "M5 4.98");
  elsewhere = bl_bench_meter_words (f->bench, item (f, "M5"), "");
  has (elsewhere, "V DC range");
  g_assert_null (strstr (elsewhere, "corrected"));
  beyond = bl_bench_meter_words (f->bench, item (f, "M1"), "1200");
  g_assert_null (strstr (beyond, "V DC range:"));
  has (beyond, "beyond the 1 kV DC range");
  /* With an input nobody knows nothing is corrected, which is said. */
  g_assert_true (bl_bench_set_meter (f->bench, "1%", NULL));
  unknown = bl_bench_meter_words (f->bench, item (f, "M1"), "4.76");
  has (unknown, "unknown input resistance");
  g_assert_null (strstr (unknown, "counts as"));
}

/* 11 % on a square wave: the published table of the waveform test. */
static void
test_wave (Fixture *f, gconstpointer unused)
{
  g_autofree char *averaging = NULL, *true_rms = NULL, *crest = NULL, *typed = NULL, *none = NULL;
  g_autoptr (BlShopMeter) meter = NULL;

  take (f, f->handheld);
  averaging = bl_bench_meter_words (f->bench, item (f, "W7"), NULL);
  has (averaging, "reads 11 % high on a square wave");
  has (averaging, "5.55 V");
  typed = bl_bench_meter_words (f->bench, item (f, "W7"), "5.55");
  has (typed, "reads 11 % high on a square wave");
  take (f, f->other);
  true_rms = bl_bench_meter_words (f->bench, item (f, "W7"), NULL);
  g_assert_null (true_rms);
  none = bl_bench_meter_words (f->bench, item (f, "P7"), NULL);
  g_assert_null (none);
  meter = bl_library_load_meter (f->library, f->other, NULL, NULL);
  meter->crest_factor = 3;
  g_assert_true (bl_library_put_meter (f->library, meter, NULL));
  bl_bench_meters_changed (f->bench);
  crest = bl_bench_meter_words (f->bench, item (f, "P7"), NULL);
  has (crest, "crest factor 9.9"); /* AC-coupled: 0.99 / sqrt (0.01 x 0.99) */
  has (crest, "up to 3");
}

static void
test_ghost_and_missing (Fixture *f, gconstpointer unused)
{
  g_autofree char *ghost = NULL, *loaded = NULL, *dc = NULL, *missing = NULL;

  take (f, f->handheld);
  ghost = bl_bench_meter_words (f->bench, item (f, "G8"), "70.0");
  has (ghost, "open contact");
  loaded = bl_bench_meter_words (f->bench, item (f, "G8"), "200.0");
  g_assert_null (strstr (loaded, "open contact"));
  dc = bl_bench_meter_words (f->bench, item (f, "M5"), "2.00");
  g_assert_null (strstr (dc, "open contact"));
  missing = bl_bench_meter_words (f->bench, item (f, "E9"), NULL);
  has (missing, "no range");
}

/* Past the date the log says so before the first reading, once; after a calibration it says that, too. */
static void
test_calibration (Fixture *f, gconstpointer unused)
{
  g_autofree char *good = NULL, *soon = NULL, *past = NULL;
  guint before;

  calibrate (f, f->handheld, 100);
  take (f, f->handheld);
  good = bl_bench_calibration_words (f->bench);
  g_assert_null (good);
  enter (f, "M5 4.98");
  g_assert_false (bl_record_meter_past_due (bl_bench_meter_record (f->bench, last (f))));
  calibrate (f, f->handheld, 350);
  soon = bl_bench_calibration_words (f->bench);
  has (soon, "due on");
  calibrate (f, f->handheld, 400);
  past = bl_bench_calibration_words (f->bench);
  has (past, "was due on");
  before = bl_bench_get_records (f->bench)->len;
  enter (f, "M5 4.97");
  g_assert_cmpuint (bl_bench_get_records (f->bench)->len, ==, before + 2);
  g_assert_true (bl_record_meter_past_due (bl_bench_meter_record (f->bench, last (f))));
  has (bl_bench_meter_record (f->bench, last (f))->text, "past its calibration");
  enter (f, "M5 4.96");
  g_assert_cmpuint (bl_bench_get_records (f->bench)->len, ==, before + 3);
  calibrate (f, f->handheld, 1);
  g_assert_true (bl_record_meter_past_due (bl_bench_meter_record (f->bench, last (f))));
  enter (f, "M5 4.95");
  g_assert_false (bl_record_meter_past_due (bl_bench_meter_record (f->bench, last (f))));
}

int
main (int argc, char **argv)
{
  g_setenv ("LC_ALL", "C.UTF-8", TRUE);
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/bench-meter/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("range", test_range);
  ADD ("preview", test_preview);
  ADD ("log", test_log);
  ADD ("meter-changed-later", test_meter_changed_later);
  ADD ("loading", test_loading);
  ADD ("wave", test_wave);
  ADD ("ghost-and-missing", test_ghost_and_missing);
  ADD ("calibration", test_calibration);
  return g_test_run ();
}
