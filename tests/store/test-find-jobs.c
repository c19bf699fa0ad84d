/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs found by what their bench logs say. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-database.h"
#include "bl-library.h"

#include "sample.h"
#include "scratch.h"

typedef struct
{
  BlLibrary *library;
  gint64 jobs[3];
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (GError) error = NULL;

  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (f->library, board, FALSE, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (f->jobs); i++)
    {
      g_autoptr (BlJob) job = bl_job_new ();
      job->board = id;
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

/* Which jobs have these words: "0 2". */
static void
assert_found (Fixture *f, const char *words, const char *expected)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) found = bl_library_find_in_logs (f->library, words, &error);
  g_autoptr (GString) list = g_string_new (NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (f->jobs); i++)
    if (g_hash_table_contains (found, &f->jobs[i]))
      g_string_append_printf (list, "%s%u", list->len > 0 ? " " : "", i);
  g_assert_cmpstr (list->str, ==, expected);
}

static void
test_words (Fixture *f, gconstpointer data)
{
  say (f, 0, BL_RECORD_NOTE, NULL, "Relais überbrückt, then C12 resoldered");
  say (f, 0, BL_RECORD_REPLACED, "K1", "relay 12 V, 16 A");
  say (f, 1, BL_RECORD_NOTE, NULL, "water mark below the relay");
  say (f, 2, BL_RECORD_READING, "relay", "4.98");
  {
    g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_REPLACED, "D5", "ultrafast 1 A");
    record->job = f->jobs[2];
    record->old = g_strdup ("plain 1 A");
    record->why = g_strdup ("cracked by heat");
    g_assert_true (bl_library_append (f->library, record, NULL));
  }
  assert_found (f, "plain crack", "2");

  assert_found (f, "relay", "0 1");
  assert_found (f, "rela", "0 1");
  assert_found (f, "UBERBRUCKT", "0");
  assert_found (f, "c12 k1", "0"); /* not in one line */
  assert_found (f, "water k1", "");
  assert_found (f, "4.98", "");    /* readings are not words */
  assert_found (f, "elay", "");
  g_autoptr (GHashTable) found = bl_library_find_in_logs (f->library, "k1", NULL);
  g_assert_cmpstr (g_hash_table_lookup (found, &f->jobs[0]), ==, "K1 relay 12 V, 16 A");
}

/* What people type is never a question in the language of the search. */
static void
test_signs (Fixture *f, gconstpointer data)
{
  static const char *const words[] = { "\"", "a\"b", "*", "NOT", "AND", "NEAR(a b)", "subject:K1", "^a", "-a", "(", "'", "", " " };

  say (f, 1, BL_RECORD_NOTE, NULL, "not \"dead\"");
  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GHashTable) found = bl_library_find_in_logs (f->library, words[i], &error);
      g_assert_no_error (error);
      g_assert_nonnull (found);
    }
  assert_found (f, "NOT", "1");
  assert_found (f, "\"dead\"", "1");
}

/* A struck line was said all the same. */
static void
test_struck (Fixture *f, gconstpointer data)
{
  gint64 record = say (f, 2, BL_RECORD_NOTE, NULL, "cracked joint");

  g_assert_true (bl_library_strike (f->library, record, TRUE, "another board", NULL));
  assert_found (f, "cracked", "2");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/find-jobs/words", Fixture, NULL, set_up, test_words, tear_down);
  g_test_add ("/find-jobs/signs", Fixture, NULL, set_up, test_signs, tear_down);
  g_test_add ("/find-jobs/struck", Fixture, NULL, set_up, test_struck, tear_down);
  return g_test_run ();
}
