/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Causes confirmed in jobs: which of them count, and how strongly the document counts against them. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library.h"

#include "sample.h"
#include "scratch.h"

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
      job->customer = g_strdup ("a customer");
      f->jobs[i] = bl_library_add_job (f->library, job, NULL);
    }
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->library, bl_library_close);
}

static gint64
say (Fixture *f, guint job, BlRecordKind kind, const char *component, const char *mode)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, component, mode);
  g_autoptr (GError) error = NULL;

  record->job = f->jobs[job];
  bl_library_append (f->library, record, &error);
  g_assert_no_error (error);
  return record->id;
}

/* "job:component:mode job:component:mode ..." */
static char *
causes (Fixture *f, gint64 except)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) found = bl_library_causes (f->library, f->board, except, &error);
  GString *text = g_string_new (NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < found->len; i++)
    {
      const BlFoundCause *cause = bl_at (found, i);
      g_string_append_printf (text, "%s%d:%s:%s", i > 0 ? " " : "", (int) cause->job,
                              cause->component, cause->mode != NULL ? cause->mode : "?");
    }
  return g_string_free (text, FALSE);
}

#define CAUSES(f, except, expected)                                                                \
  {                                                                                                \
    g_autofree char *found = causes (f, except);                                                   \
    g_assert_cmpstr (found, ==, expected);                                                         \
  }

/* A part replaced or tested bad is not yet a cause; what was said last about it counts. */
static void
test_confirmed_only (Fixture *f, gconstpointer data)
{
  say (f, 0, BL_RECORD_REPLACED, "U2", NULL);
  say (f, 0, BL_RECORD_PART_TEST, "U2", "open");
  CAUSES (f, 0, "");
  say (f, 0, BL_RECORD_CAUSE, "U2", NULL);
  CAUSES (f, 0, "1:U2:?");
  say (f, 0, BL_RECORD_CAUSE, "U2", "open");
  CAUSES (f, 0, "1:U2:open");
  say (f, 0, BL_RECORD_NO_CAUSE, "U2", NULL);
  CAUSES (f, 0, "");
  say (f, 0, BL_RECORD_CAUSE, "C3", "short");
  say (f, 1, BL_RECORD_CAUSE, "U2", "open");
  CAUSES (f, 0, "1:C3:short 2:U2:open");
  CAUSES (f, f->jobs[0], "2:U2:open");
}

static void
test_struck (Fixture *f, gconstpointer data)
{
  gint64 first = say (f, 0, BL_RECORD_CAUSE, "U2", "open");
  gint64 second = say (f, 0, BL_RECORD_NO_CAUSE, "U2", NULL);

  CAUSES (f, 0, "");
  /* What stood before it counts again. */
  g_assert_true (bl_library_strike (f->library, second, TRUE, "mistaken", NULL));
  CAUSES (f, 0, "1:U2:open");
  g_assert_true (bl_library_strike (f->library, first, TRUE, NULL, NULL));
  CAUSES (f, 0, "");
  g_assert_true (bl_library_strike (f->library, first, FALSE, NULL, NULL));
  CAUSES (f, 0, "1:U2:open");
}

static void
test_other_edition (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) job = bl_job_new ();

  g_free (board->uid);
  board->uid = g_strdup ("another");
  job->board = bl_library_add_board (f->library, board, FALSE, NULL);
  g_assert_cmpint (job->board, >, 0);
  f->jobs[1] = bl_library_add_job (f->library, job, NULL);
  say (f, 1, BL_RECORD_CAUSE, "U2", "open");
  CAUSES (f, 0, "");
  f->board = job->board;
  CAUSES (f, 0, "5:U2:open");
  g_assert_cmpint (bl_library_find_board (f->library, "another", NULL), ==, job->board);
  g_assert_cmpint (bl_library_find_board (f->library, "none", NULL), ==, 0);
}

/* Causes are no evidence: a confirmed one must not be told to the diagnosis as a tested part. */
static void
test_no_entries (Fixture *f, gconstpointer data)
{
  say (f, 0, BL_RECORD_CAUSE, "U2", "open");
  say (f, 0, BL_RECORD_NO_CAUSE, "U2", NULL);
  g_autoptr (GPtrArray) records = bl_library_records (f->library, f->jobs[0], NULL);
  g_autoptr (GPtrArray) entries = bl_records_to_entries (records);
  g_assert_cmpuint (records->len, ==, 2);
  g_assert_cmpint (((BlRecord *) bl_at (records, 1))->kind, ==, BL_RECORD_NO_CAUSE);
  g_assert_cmpuint (entries->len, ==, 0);
}

static void
test_strength (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  double strength = 0;

  g_assert_true (bl_library_get_strength (f->library, f->board, &strength, NULL));
  g_assert_true (isnan (strength));
  g_assert_true (bl_library_set_strength (f->library, f->board, 25, NULL));
  g_assert_true (bl_library_set_strength (f->library, f->board, 4.5, NULL));
  g_assert_true (bl_library_get_strength (f->library, f->board, &strength, NULL));
  g_assert_cmpfloat (strength, ==, 4.5);
  g_assert_false (bl_library_set_strength (f->library, f->board, 0, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_library_set_strength (f->library, 77, 5, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_assert_true (bl_library_set_strength (f->library, f->board, NAN, NULL));
  g_assert_true (bl_library_get_strength (f->library, f->board, &strength, NULL));
  g_assert_true (isnan (strength));
}

#define ADD(path, test) g_test_add (path, Fixture, NULL, set_up, test, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("/store/causes/confirmed-only", test_confirmed_only);
  ADD ("/store/causes/struck", test_struck);
  ADD ("/store/causes/other-edition", test_other_edition);
  ADD ("/store/causes/no-entries", test_no_entries);
  ADD ("/store/causes/strength", test_strength);
  return g_test_run ();
}
