/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Known-good boards: which jobs count, which of their readings, and what was said about proposed bands. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library-known-good.h"

#include "sample.h"

#include <math.h>

typedef struct
{
  BlLibrary *library;
  gint64 board, jobs[4];
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (GError) error = NULL;

  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  f->board = bl_library_add_board (f->library, board, FALSE, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (f->jobs); i++)
    {
      g_autoptr (BlJob) job = bl_job_new ();
      job->board = f->board;
      job->serial = g_strdup_printf ("S-%u", i + 1);
      f->jobs[i] = bl_library_add_job (f->library, job, NULL);
    }
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->library, bl_library_close);
}

static gint64
say (Fixture *f, guint job, BlRecordKind kind, const char *subject, const char *text)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  g_autoptr (GError) error = NULL;

  record->job = f->jobs[job];
  bl_library_append (f->library, record, &error);
  g_assert_no_error (error);
  return record->id;
}

static void
mark (Fixture *f, guint job, BlKnownGoodMark how)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_mark_known_good (f->library, f->jobs[job], how, &error));
  g_assert_no_error (error);
}

/* "1:5.01 2:5.02(struck)": job number and text. */
static char *
readings (Fixture *f, const char *measurement)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) found = bl_library_known_good (f->library, f->board, measurement, &error);
  GString *text = g_string_new (NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < found->len; i++)
    {
      const BlGoodReading *reading = bl_at (found, i);
      g_string_append_printf (text, "%s%d:%s%s", i > 0 ? " " : "", reading->number, reading->text,
                              reading->struck ? "(struck)" : "");
    }
  return g_string_free (text, FALSE);
}

#define READS(f, measurement, expected)                                                                                \
  {                                                                                                                    \
    g_autofree char *found = readings (f, measurement);                                                                \
    g_assert_cmpstr (found, ==, expected);                                                                             \
  }

static void
test_last_reading_of_marked_jobs (Fixture *f, gconstpointer data)
{
  say (f, 0, BL_RECORD_READING, "M5", "5.00");
  gint64 later = say (f, 0, BL_RECORD_READING, "M5", "5.01");
  say (f, 1, BL_RECORD_READING, "M5", "4.99");
  say (f, 1, BL_RECORD_READING, "M9", "1k");
  READS (f, "M5", "");
  mark (f, 0, BL_KNOWN_GOOD_YES);
  READS (f, "M5", "1:5.01");
  mark (f, 1, BL_KNOWN_GOOD_YES);
  READS (f, "M5", "1:5.01 2:4.99");
  READS (f, NULL, "1:5.01 2:4.99 2:1k");
  /* A struck reading gives way to the one before, and is shown where there is no other. */
  g_assert_true (bl_library_strike (f->library, later, TRUE, "slipped", NULL));
  READS (f, "M5", "1:5.00 2:4.99");
  gint64 only = say (f, 2, BL_RECORD_READING, "M5", "7");
  mark (f, 2, BL_KNOWN_GOOD_YES);
  g_assert_true (bl_library_strike (f->library, only, TRUE, NULL, NULL));
  READS (f, "M5", "1:5.00 2:4.99 3:7(struck)");
  mark (f, 1, BL_KNOWN_GOOD_NO);
  READS (f, "M5", "1:5.00 3:7(struck)");
}

/* What was read wet or hot, or heard on the telephone, says nothing about a healthy board on the bench. */
static void
test_other_conditions (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) told = bl_record_new (BL_RECORD_READING, "M9", "1k");

  mark (f, 0, BL_KNOWN_GOOD_YES);
  say (f, 0, BL_RECORD_READING, "M5", "5.0");
  say (f, 0, BL_RECORD_ROUND, NULL, "wet");
  say (f, 0, BL_RECORD_READING, "M5", "4.2");
  READS (f, "M5", "1:5.0");
  say (f, 0, BL_RECORD_ROUND, NULL, "");
  say (f, 0, BL_RECORD_READING, "M5", "5.1");
  READS (f, "M5", "1:5.1");
  told->job = f->jobs[0];
  told->misread = 0.15;
  g_assert_true (bl_library_append (f->library, told, NULL));
  READS (f, "M9", "");
}

/* A board in which a fault was found is good only when the technician says so. */
static void
test_fault_found (Fixture *f, gconstpointer data)
{
  BlKnownGoodMark how;
  gboolean fault;

  say (f, 0, BL_RECORD_READING, "M5", "5");
  mark (f, 0, BL_KNOWN_GOOD_YES);
  READS (f, "M5", "1:5");
  say (f, 0, BL_RECORD_CAUSE, "U2", "open");
  READS (f, "M5", "");
  g_assert_true (bl_library_get_known_good (f->library, f->jobs[0], &how, &fault, NULL));
  g_assert_true (how == BL_KNOWN_GOOD_YES && fault && !bl_known_good_counts (how, fault));
  mark (f, 0, BL_KNOWN_GOOD_DESPITE_FAULT);
  READS (f, "M5", "1:5");
  mark (f, 0, BL_KNOWN_GOOD_YES);
  say (f, 0, BL_RECORD_NO_CAUSE, "U2", NULL);
  READS (f, "M5", "1:5");
  gint64 replaced = say (f, 0, BL_RECORD_REPLACED, "U2", NULL);
  READS (f, "M5", "");
  g_assert_true (bl_library_strike (f->library, replaced, TRUE, NULL, NULL));
  READS (f, "M5", "1:5");
  g_autoptr (BlJob) head = bl_library_load_job (f->library, f->jobs[0], NULL);
  head->cause = g_strdup ("U2: open");
  g_assert_true (bl_library_save_job (f->library, head, NULL));
  READS (f, "M5", "");
}

static void
test_counts (Fixture *f, gconstpointer data)
{
  mark (f, 0, BL_KNOWN_GOOD_YES);
  mark (f, 1, BL_KNOWN_GOOD_YES);
  mark (f, 2, BL_KNOWN_GOOD_YES);
  say (f, 2, BL_RECORD_REPLACED, "U2", NULL);
  g_autoptr (GHashTable) counts = bl_library_known_good_counts (f->library, NULL);
  g_autoptr (GHashTable) jobs = bl_library_known_good_jobs (f->library, NULL);

  g_assert_cmpint (GPOINTER_TO_INT (g_hash_table_lookup (counts, &f->board)), ==, 2);
  g_assert_cmpint (GPOINTER_TO_INT (g_hash_table_lookup (jobs, &f->jobs[1])), ==, BL_KNOWN_GOOD_YES);
  g_assert_null (g_hash_table_lookup (jobs, &f->jobs[2]));
  g_assert_null (g_hash_table_lookup (jobs, &f->jobs[3]));
}

static void
test_errors (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  BlKnownGoodMark how;

  g_assert_false (bl_library_mark_known_good (f->library, 99, BL_KNOWN_GOOD_YES, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  g_assert_false (bl_library_get_known_good (f->library, 99, &how, NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  g_assert_false (bl_library_leave_out (f->library, f->board, "M5", 99, TRUE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

static void
test_left_out (Fixture *f, gconstpointer data)
{
  g_autofree char *key = g_strdup_printf ("M5\t%d", (int) f->jobs[1]);

  for (int i = 0; i < 2; i++) /* twice is once */
    g_assert_true (bl_library_leave_out (f->library, f->board, "M5", f->jobs[1], TRUE, NULL));
  g_autoptr (GHashTable) out = bl_library_left_out (f->library, f->board, NULL);
  g_assert_true (g_hash_table_contains (out, key));
  g_assert_true (bl_library_leave_out (f->library, f->board, "M5", f->jobs[1], FALSE, NULL));
  g_autoptr (GHashTable) back = bl_library_left_out (f->library, f->board, NULL);
  g_assert_cmpuint (g_hash_table_size (back), ==, 0);
}

static void
test_answers (Fixture *f, gconstpointer data)
{
  char measurement[] = "M5", jobs[] = "1,2";
  BlBandAnswer answer = { measurement, FALSE, 4.9, NAN, jobs, 7 };

  g_assert_true (bl_library_answer_band (f->library, f->board, &answer, NULL));
  answer.accepted = TRUE;
  g_assert_true (bl_library_answer_band (f->library, f->board, &answer, NULL));
  g_autoptr (GHashTable) answers = bl_library_band_answers (f->library, f->board, NULL);
  const BlBandAnswer *kept = g_hash_table_lookup (answers, "M5");
  g_assert_cmpuint (g_hash_table_size (answers), ==, 1);
  g_assert_true (kept->accepted && kept->low == 4.9 && isnan (kept->high) && kept->time == 7);
  g_assert_cmpstr (kept->jobs, ==, "1,2");
}

#define ADD(name, func) g_test_add ("/store/known-good/" name, Fixture, NULL, set_up, func, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("last-reading", test_last_reading_of_marked_jobs);
  ADD ("other-conditions", test_other_conditions);
  ADD ("fault-found", test_fault_found);
  ADD ("counts", test_counts);
  ADD ("errors", test_errors);
  ADD ("left-out", test_left_out);
  ADD ("answers", test_answers);
  return g_test_run ();
}
