/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two benches that work on the same jobs apart and exchange them: both end with the same lines, whichever way round and
 * however often; numbers that are taken, boards that differ, and files that are not what they say. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-job-intake.h"
#include "bl-library-steps.h"
#include "bl-library-take-in.h"

#include "pictures.h"
#include "sample.h"
#include "scratch.h"

#include <string.h>

typedef struct
{
  char *folder, *file;
  BlLibrary *a, *b;
  gint64 board; /* of a */
} Benches;

static gint64 now_of_test;

/* Each look at the clock is a second later. */
static gint64
test_clock (void)
{
  return now_of_test += G_USEC_PER_SEC;
}

static void
set_up (Benches *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();

  now_of_test = (gint64) 1700000000 * G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
  f->folder = scratch_new ();
  f->file = scratch_file (f->folder, "jobs.benchlore");
  f->a = bl_library_open (":memory:", TRUE, &error);
  f->b = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  f->board = bl_library_add_board (f->a, board, FALSE, &error);
  g_assert_no_error (error);
}

static void
tear_down (Benches *f, gconstpointer data)
{
  bl_library_set_clock (NULL);
  bl_library_close (f->a);
  bl_library_close (f->b);
  g_free (f->file);
  scratch_free (f->folder);
}

static gint64
add_job (BlLibrary *library, gint64 board, const char *customer)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;

  job->board = board;
  job->customer = g_strdup (customer);
  gint64 id = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
  return id;
}

static gint64
say (BlLibrary *library, gint64 job, BlRecordKind kind, const char *subject, const char *text)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  g_autoptr (GError) error = NULL;

  record->job = job;
  bl_library_append (library, record, &error);
  g_assert_no_error (error);
  return record->id;
}

/* All jobs of one bench to the other, by way of a file. */
static BlJobIntake *
carry (Benches *f, BlLibrary *from, BlLibrary *to)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) jobs = bl_library_jobs (from, &error);
  g_autofree gint64 *ids = g_new0 (gint64, jobs->len + 1);

  for (guint i = 0; i < jobs->len; i++)
    ids[i] = ((BlJob *) bl_at (jobs, i))->id;
  g_autoptr (BlJobBundle) out = bl_library_export_jobs (from, ids, jobs->len, &error);
  g_assert_no_error (error);
  g_assert_true (bl_job_bundle_write (out, f->file, &error));
  g_assert_no_error (error);
  g_assert_true (bl_job_bundle_is (f->file));
  g_autoptr (BlJobBundle) in = bl_job_bundle_read (f->file, NULL, &error);
  g_assert_no_error (error);
  BlJobIntake *intake = bl_job_intake_run (to, in, &error);
  g_assert_no_error (error);
  return intake;
}

static int
by_name (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* Everything that both benches should have alike: heads, lines with their strikes, photos. Sorted, one a line. */
static char *
contents (BlLibrary *library)
{
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, NULL), lines = g_ptr_array_new_with_free_func (g_free);
  GString *all = g_string_new (NULL);

  for (guint i = 0; i < jobs->len; i++)
    {
      const BlJob *job = bl_at (jobs, i);
      g_autoptr (GPtrArray) records = bl_library_records (library, job->id, NULL);
      g_autoptr (GPtrArray) photos = bl_library_job_photos (library, job->id, NULL);
      g_ptr_array_add (lines, g_strdup_printf ("%s head %s %s %s %s %" G_GINT64_FORMAT " %" G_GINT64_FORMAT, job->uid,
                                               job->customer, job->complaint, bl_job_state_name (job->state), job->cause,
                                               job->changed, job->handed_back));
      for (guint j = 0; j < records->len; j++)
        {
          const BlRecord *r = bl_at (records, j);
          gboolean photo = r->kind == BL_RECORD_PHOTO || r->kind == BL_RECORD_MARK;
          g_ptr_array_add (lines, g_strdup_printf ("%s line %s %" G_GINT64_FORMAT " %s %s %s %s %s %d %" G_GINT64_FORMAT " %s",
                                                   job->uid, r->uid, r->time, bl_record_kind_name (r->kind),
                                                   photo || r->kind == BL_RECORD_METER ? "" : r->subject, r->text, r->old,
                                                   r->why, r->struck, r->struck + r->restored_time, r->struck_reason));
        }
      for (guint j = 0; j < photos->len; j++)
        {
          const BlJobPhoto *photo = bl_at (photos, j);
          g_ptr_array_add (lines, g_strdup_printf ("%s photo %" G_GINT64_FORMAT " %s", job->uid, photo->time, photo->title));
        }
    }
  g_ptr_array_sort (lines, by_name);
  for (guint i = 0; i < lines->len; i++)
    g_string_append_printf (all, "%s\n", (char *) bl_at (lines, i));
  return g_string_free (all, FALSE);
}

static void
assert_alike (Benches *f)
{
  g_autofree char *a = contents (f->a), *b = contents (f->b);
  g_assert_cmpstr (a, ==, b);
}

static gint64
job_at (BlLibrary *library, gint64 like, BlLibrary *other)
{
  g_autoptr (BlJob) job = bl_library_load_job (other, like, NULL);
  return bl_library_find_job (library, job->uid, NULL);
}

static void
test_there (Benches *f, gconstpointer data)
{
  gint64 job = add_job (f->a, f->board, "Ms Okafor");
  g_autoptr (GBytes) image = g_bytes_new_static (picture_png, sizeof picture_png);
  g_autoptr (GError) error = NULL;

  say (f->a, job, BL_RECORD_METER, "3", "Handheld (meter 3)");
  say (f->a, job, BL_RECORD_READING, "M5", "4.98");
  gint64 photo = bl_library_add_job_photo (f->a, job, "burnt", "image/png", image, &error);
  g_assert_no_error (error);
  g_autofree char *name = g_strdup_printf ("job:%" G_GINT64_FORMAT, photo);
  say (f->a, job, BL_RECORD_PHOTO, name, "burnt");
  bl_library_strike (f->a, say (f->a, job, BL_RECORD_NOTE, NULL, "wrong board"), TRUE, "typed twice", NULL);
  /* Another photo there has taken the id. */
  g_autoptr (BlBoard) board = sample_board ();
  g_clear_pointer (&board->uid, g_free);
  g_free (board->edition);
  board->edition = g_strdup ("D");
  gint64 own = add_job (f->b, bl_library_add_board (f->b, board, FALSE, NULL), "somebody else");
  bl_library_add_job_photo (f->b, own, "own", "image/png", image, NULL);

  g_autoptr (BlJobIntake) intake = carry (f, f->a, f->b);
  g_assert_cmpuint (intake->added, ==, 1);
  g_assert_cmpuint (intake->lines, ==, 4);
  g_assert_cmpuint (intake->strikes, ==, 1);
  g_assert_cmpuint (intake->photos, ==, 1);
  g_assert_cmpuint (intake->boards, ==, 1);
  /* Number 1 is taken: it is 2 here, and that is told. */
  const BlJobMerged *merged = bl_at (intake->jobs, 0);
  g_assert_cmpint (merged->old_number, ==, 1);
  g_assert_cmpint (merged->number, ==, 2);
  g_autofree char *words = bl_job_intake_words (intake);
  g_assert_nonnull (strstr (words, "Job 1 of the other bench is job 2 here."));
  /* The line about the photo names the photo that there is here, and the meter is nobody's. */
  g_autoptr (GPtrArray) records = bl_library_records (f->b, merged->job, NULL), photos
    = bl_library_job_photos (f->b, merged->job, NULL);
  g_autofree char *here = g_strdup_printf ("job:%" G_GINT64_FORMAT, ((BlJobPhoto *) bl_at (photos, 0))->id);
  g_assert_cmpuint (records->len, ==, 4);
  g_assert_cmpstr (((BlRecord *) bl_at (records, 2))->subject, ==, here);
  g_assert_cmpstr (here, !=, name);
  g_assert_cmpstr (((BlRecord *) bl_at (records, 0))->subject, ==, "0");
  g_assert_true (((BlRecord *) bl_at (records, 3))->struck);
  /* What was said is found by its words here, too. */
  g_autoptr (GHashTable) found = bl_library_find_in_logs (f->b, "wrong board", NULL);
  g_assert_true (g_hash_table_contains (found, &merged->job));
}

static void
test_twice (Benches *f, gconstpointer data)
{
  gint64 job = add_job (f->a, f->board, "Ms Okafor");

  say (f->a, job, BL_RECORD_NOTE, NULL, "one");
  bl_job_intake_free (carry (f, f->a, f->b));
  g_autofree char *before = contents (f->b);
  g_autoptr (BlJobIntake) again = carry (f, f->a, f->b);
  g_assert_cmpuint (again->added + again->merged + again->lines + again->strikes + again->photos + again->boards, ==, 0);
  g_autofree char *after = contents (f->b);
  g_assert_cmpstr (before, ==, after);
  g_autofree char *words = bl_job_intake_words (again);
  g_assert_cmpstr (words, ==, "Everything in it was here already.");
  assert_alike (f);
}

/* Both benches go on apart: lines, strikes of each other's lines, states, heads. Merged both ways they have the same. */
static void
test_apart (Benches *f, gconstpointer data)
{
  gint64 one = add_job (f->a, f->board, "Ms Okafor"), two = add_job (f->a, f->board, NULL);
  gint64 line = say (f->a, one, BL_RECORD_READING, "M5", "4.98"), other = say (f->a, one, BL_RECORD_NOTE, NULL, "common");
  g_autoptr (GError) error = NULL;

  bl_job_intake_free (carry (f, f->a, f->b));
  assert_alike (f);
  gint64 one_b = job_at (f->b, one, f->a), two_b = job_at (f->b, two, f->a);
  g_autoptr (GPtrArray) records = bl_library_records (f->b, one_b, NULL);
  gint64 line_b = ((BlRecord *) bl_at (records, 0))->id, other_b = ((BlRecord *) bl_at (records, 1))->id;
  /* Here, then there, then here again. */
  bl_library_strike (f->a, line, TRUE, "here", NULL);
  say (f->a, one, BL_RECORD_REPLACED, "U2", "new");
  bl_library_strike (f->b, line_b, TRUE, "there", NULL);
  bl_library_strike (f->b, line_b, FALSE, NULL, NULL);
  bl_library_strike (f->b, other_b, TRUE, "there", NULL);
  bl_library_strike (f->a, other, TRUE, "later here", NULL);
  say (f->b, one_b, BL_RECORD_CAUSE, "U2", "open");
  say (f->b, two_b, BL_RECORD_NOTE, NULL, "there alone");
  gint64 three = add_job (f->b, bl_library_find_board (f->b, SAMPLE_UID, NULL), "new there");
  say (f->b, three, BL_RECORD_NOTE, NULL, "begun there");
  g_autoptr (BlJob) head = bl_library_load_job (f->b, one_b, NULL);
  g_free (head->complaint);
  head->complaint = g_strdup ("dark, says the other bench");
  g_free (head->customer);
  head->customer = g_strdup ("Ms Okafor, Quay Row");
  bl_job_set_state (head, BL_JOB_HANDED_BACK);
  g_assert_true (bl_library_save_job (f->b, head, &error));

  g_autoptr (BlJobIntake) there = carry (f, f->a, f->b), here = carry (f, f->b, f->a);
  g_assert_cmpuint (there->lines, ==, 1);
  g_assert_cmpuint (here->lines, ==, 3);
  g_assert_cmpuint (here->added, ==, 1);
  assert_alike (f);
  /* The last word on each line: restored there; struck here after it was struck there. */
  g_autoptr (GPtrArray) now = bl_library_records (f->a, one, NULL);
  g_assert_false (((BlRecord *) bl_at (now, 0))->struck);
  g_assert_cmpstr (((BlRecord *) bl_at (now, 1))->struck_reason, ==, "later here");
  g_autoptr (BlJob) mine = bl_library_load_job (f->a, one, NULL);
  g_assert_cmpstr (mine->customer, ==, "Ms Okafor, Quay Row");
  g_assert_cmpint (mine->state, ==, BL_JOB_HANDED_BACK);
  /* Nothing is left to be told. */
  g_autoptr (BlJobIntake) quiet = carry (f, f->a, f->b), quiet_too = carry (f, f->b, f->a);
  g_assert_cmpuint (quiet->lines + quiet->strikes + quiet_too->lines + quiet_too->strikes, ==, 0);
  assert_alike (f);
}

/* A return and the job it comes back from find each other again. */
static void
test_return (Benches *f, gconstpointer data)
{
  gint64 first = add_job (f->a, f->board, "Ms Okafor");
  g_autoptr (BlJob) head = bl_library_load_job (f->a, first, NULL), back = bl_job_new ();

  bl_job_set_state (head, BL_JOB_HANDED_BACK);
  g_assert_true (bl_library_save_job (f->a, head, NULL));
  back->board = f->board;
  back->return_of = first;
  gint64 second = bl_library_add_job (f->a, back, NULL);
  bl_job_intake_free (carry (f, f->a, f->b));
  g_autoptr (BlJob) there = bl_library_load_job (f->b, job_at (f->b, second, f->a), NULL);
  g_assert_cmpint (there->return_of, ==, job_at (f->b, first, f->a));
  assert_alike (f);
}

/* A photo job's own board stays one that is not listed; a board that is here otherwise stays as it is. */
static void
test_boards (Benches *f, gconstpointer data)
{
  g_autoptr (BlBoard) bare = bl_board_new (), other = sample_board ();
  g_autoptr (GError) error = NULL;

  add_job (f->a, bl_library_add_board (f->a, bare, TRUE, &error), "photo alone");
  add_job (f->a, f->board, "Ms Okafor");
  g_assert_no_error (error);
  g_free (other->maker);
  other->maker = g_strdup ("Somebody else");
  gint64 mine = bl_library_add_board (f->b, other, FALSE, &error);
  g_autoptr (BlJobIntake) intake = carry (f, f->a, f->b);
  g_assert_cmpuint (intake->boards, ==, 1);
  g_assert_cmpuint (intake->boards_otherwise, ==, 1);
  g_autoptr (GPtrArray) listed = bl_library_boards (f->b, FALSE, NULL), all = bl_library_boards (f->b, TRUE, NULL);
  g_assert_cmpuint (listed->len, ==, 1);
  g_assert_cmpuint (all->len, ==, 2);
  g_autoptr (BlBoard) still = bl_library_load_board (f->b, mine, NULL);
  g_assert_cmpstr (still->maker, ==, "Somebody else");
}

/* A line that says it belongs to two jobs is refused, and nothing of the file is taken. */
static void
test_refused (Benches *f, gconstpointer data)
{
  gint64 one = add_job (f->a, f->board, "Ms Okafor"), two = add_job (f->a, f->board, "Mr Brandt"), ids[] = { one, two };
  g_autoptr (GError) error = NULL;

  say (f->a, one, BL_RECORD_NOTE, NULL, "one");
  say (f->a, two, BL_RECORD_NOTE, NULL, "two");
  g_autoptr (BlJobBundle) bundle = bl_library_export_jobs (f->a, ids, 2, &error);
  BlBundleLine *line = bl_at (((BlBundleJob *) bl_at (bundle->jobs, 0))->lines, 0);
  BlBundleLine *other = bl_at (((BlBundleJob *) bl_at (bundle->jobs, 1))->lines, 0);
  g_free (other->record->uid);
  other->record->uid = g_strdup (line->record->uid);
  g_assert_null (bl_job_intake_run (f->b, bundle, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (f->b, NULL), boards = bl_library_boards (f->b, TRUE, NULL);
  g_assert_cmpuint (jobs->len + boards->len, ==, 0);
  g_clear_error (&error);
  /* A board alone is no bundle of jobs. */
  g_autoptr (BlBundle) board = bl_library_export (f->a, f->board, NULL);
  g_assert_true (bl_bundle_write (board, f->file, NULL));
  g_assert_false (bl_job_bundle_is (f->file));
  g_assert_null (bl_job_bundle_read (f->file, NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(path, func) g_test_add (path, Benches, NULL, set_up, func, tear_down)
  ADD ("/model/job-intake/there", test_there);
  ADD ("/model/job-intake/twice", test_twice);
  ADD ("/model/job-intake/apart", test_apart);
  ADD ("/model/job-intake/return", test_return);
  ADD ("/model/job-intake/boards", test_boards);
  ADD ("/model/job-intake/refused", test_refused);
  return g_test_run ();
}
