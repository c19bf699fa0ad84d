/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a job in the library to its report: head, log, pictures and odds arrive, struck lines are no
 * evidence. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-report-gather.h"
#include "bl-report.h"

#include "sample.h"

typedef struct
{
  BlLibrary *library;
  gint64 board, job;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) job = bl_job_new ();

  f->library = bl_library_open (":memory:", TRUE, NULL);
  f->board = bl_library_add_board (f->library, board, FALSE, NULL);
  job->board = f->board;
  job->number = 412;
  job->customer = g_strdup ("Ellery bakery");
  f->job = bl_library_add_job (f->library, job, NULL);
  g_assert_cmpint (f->job, >, 0);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  bl_library_close (f->library);
}

static gint64
add_reading (Fixture *f, const char *text)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_READING, "M5", text);
  g_autoptr (BlBoard) board = sample_board ();
  BlReading reading;

  record->job = f->job;
  record->band = bl_band_resolve (bl_board_measurement (board, "M5"), NAN, NAN, NULL);
  g_assert_true (bl_reading_parse (text, BL_MEASURES_V_DC, &reading, NULL));
  record->verdict = bl_judge (record->band, &reading, NULL, NAN, 0);
  g_assert_true (bl_library_append (f->library, record, NULL));
  return record->id;
}

static BlJobReport *
report_ok (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  BlJobReport *report = bl_report_gather (f->library, f->job, &error);

  g_assert_no_error (error);
  bl_job_report_compute (report, NULL);
  return report;
}

static double
odds_of_stage (const BlJobReport *report)
{
  const BlOdd *odd = bl_diagnosis_find (report->diagnosis->stages, "rail5");

  g_assert_nonnull (odd);
  return odd->probability;
}

static void
test_all (Fixture *f, gconstpointer data)
{
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff", 3), pdf = NULL;
  g_autoptr (BlJobReport) report = NULL;

  g_assert_true (
      bl_library_put_board_photo (f->library, f->board, "front", "image/jpeg", image, NULL, NULL));
  g_assert_cmpint (
      bl_library_add_job_photo (f->library, f->job, "as it came", "image/jpeg", image, NULL), >, 0);
  add_reading (f, "0.1");
  report = report_ok (f);
  g_assert_cmpint (report->number, ==, 412);
  g_assert_cmpstr (report->customer, ==, "Ellery bakery");
  g_assert_cmpuint (g_hash_table_size (report->photos), ==, 1); /* the other was never there */
  g_assert_cmpuint (report->pictures->len, ==, 1);
  g_assert_cmpuint (report->lines->len, ==, 1);
  g_assert_nonnull (report->diagnosis);
  g_assert_cmpstr (report->diagnosis->likely_stage, ==, "rail5");
  pdf = bl_report_to_pdf (report, NULL, NULL, NULL);
  g_assert_nonnull (pdf);
}

static void
test_struck (Fixture *f, gconstpointer data)
{
  g_autoptr (BlJobReport) with = NULL, without = NULL;
  gint64 slip;

  add_reading (f, "5.01");
  slip = add_reading (f, "0.1"); /* the last one counts */
  with = report_ok (f);
  g_assert_true (bl_library_strike (f->library, slip, TRUE, "wrong point", NULL));
  without = report_ok (f);
  g_assert_cmpuint (without->lines->len, ==, 2); /* still told */
  g_assert_true (((BlReportLine *) bl_at (without->lines, 1))->struck);
  g_assert_cmpfloat (odds_of_stage (without), <, odds_of_stage (with) / 2);
}

/* Lines about what was deleted from the document since are told, and the odds of the rest are there. */
static void
test_deleted (Fixture *f, gconstpointer data)
{
  static const BlRecordKind kinds[] = { BL_RECORD_READING, BL_RECORD_PART_TEST, BL_RECORD_SYMPTOM };
  static const char *const texts[] = { "3", "good", "yes" };
  g_autoptr (BlJobReport) report = NULL;
  double without;

  add_reading (f, "0.1");
  report = report_ok (f);
  without = odds_of_stage (report);
  g_clear_pointer (&report, bl_job_report_free);
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autoptr (BlRecord) record = bl_record_new (kinds[i], "gone", texts[i]);
      record->job = f->job;
      g_assert_true (bl_library_append (f->library, record, NULL));
    }
  report = report_ok (f);
  g_assert_cmpuint (report->lines->len, ==, 4);
  g_assert_null (report->trouble);
  g_assert_cmpfloat_with_epsilon (odds_of_stage (report), without, 1e-12);
}

/* Causes of other jobs weigh, the job's own does not; both are told in the log. */
static void
test_history (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) own = bl_record_new (BL_RECORD_CAUSE, "U2", "open");
  g_autoptr (BlRecord) other = bl_record_new (BL_RECORD_CAUSE, "U2", NULL);
  g_autoptr (BlJob) known = bl_library_load_job (f->library, f->job, NULL), job = bl_job_new ();
  g_autoptr (BlJobReport) alone = NULL, with = NULL;

  add_reading (f, "0.1");
  own->job = f->job;
  g_assert_true (bl_library_append (f->library, own, NULL));
  alone = report_ok (f);
  g_assert_cmpint (((BlReportLine *) bl_at (alone->lines, 1))->kind, ==, BL_REPORT_CAUSE);
  g_assert_null (alone->weighed);
  g_assert_cmpuint (alone->repairs, ==, 0);
  job->board = known->board;
  other->job = bl_library_add_job (f->library, job, NULL);
  g_assert_true (bl_library_append (f->library, other, NULL));
  with = report_ok (f);
  g_assert_nonnull (with->weighed);
  g_assert_cmpuint (with->repairs, ==, 1);
  g_assert_nonnull (with->diagnosis);
}

static void
test_nothing_entered (Fixture *f, gconstpointer data)
{
  g_autoptr (BlJobReport) report = report_ok (f);

  g_assert_null (report->diagnosis);
  g_assert_null (report->trouble);
}

static void
test_no_job (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (bl_report_gather (f->library, 99, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/model/report-gather/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("all", test_all);
  ADD ("struck", test_struck);
  ADD ("deleted", test_deleted);
  ADD ("history", test_history);
  ADD ("nothing-entered", test_nothing_entered);
  ADD ("no-job", test_no_job);
  return g_test_run ();
}
