/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Taking in: what a job can be about, whether the edition is established, whether the serial number was here before,
 * and that all of it is kept or nothing. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-take-in.h"

#include <string.h>

#include "bl-bundle.h"
#include "bl-job-link.h"
#include "bl-job-tag-fill.h"
#include "bl-library-known-good.h"
#include "bl-library-take-in.h"

typedef struct
{
  BlLibrary *library;
  gint64 a, c, other; /* editions A and C of one number, and another board */
  GPtrArray *subjects;
} Fixture;

static gint64
add_board (Fixture *f, const char *number, const char *edition)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);

  g_assert_no_error (error);
  g_clear_pointer (&board->uid, g_free);
  g_free (board->maker);
  board->maker = g_strdup ("Hearthway");
  g_free (board->board_number);
  board->board_number = g_strdup (number);
  g_free (board->edition);
  board->edition = g_strdup (edition);
  gint64 id = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  f->a = add_board (f, "BX-200", "A");
  f->c = add_board (f, "BX-200", "C");
  f->other = add_board (f, "RX-10", "B");
  f->subjects = bl_subjects (f->library, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->subjects, g_ptr_array_unref);
  g_clear_pointer (&f->library, bl_library_close);
}

/* Ids of those that match; 0: the photo alone. */
static char *
matching (Fixture *f, const char *number, const char *edition)
{
  g_autoptr (GPtrArray) found = bl_subjects_matching (f->subjects, number, edition);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < found->len; i++)
    {
      const BlSubject *subject = bl_at (found, i);
      g_string_append (text, subject->kind == BL_SUBJECT_PHOTO ? "photo" : subject->id == f->a ? "A " : subject->id == f->c
                                                                                              ? "C " : "other ");
    }
  return g_string_free (text, FALSE);
}

static void
assert_matching (Fixture *f, const char *number, const char *edition, const char *expected)
{
  g_autofree char *got = matching (f, number, edition);
  g_assert_cmpstr (got, ==, expected);
}

static const BlSubject *
subject (Fixture *f, gint64 id)
{
  for (guint i = 0; i < f->subjects->len; i++)
    if (((const BlSubject *) bl_at (f->subjects, i))->id == id)
      return bl_at (f->subjects, i);
  g_assert_not_reached ();
}

static void
test_matching (Fixture *f, gconstpointer data)
{
  assert_matching (f, "", "", "A C other photo");
  assert_matching (f, "bx", "", "A C photo");
  assert_matching (f, "200 hearth", "", "A C photo");
  /* The edition that was typed comes first, the others of the number stay in reach. */
  assert_matching (f, "BX-200", "c", "C A photo");
  assert_matching (f, "", "b", "other A C photo");
  assert_matching (f, "nothing", "", "photo");
  g_assert_cmpstr (subject (f, f->c)->title, ==, "Hearthway BX-200, edition C");
}

static void
test_doubt (Fixture *f, gconstpointer data)
{
  g_autofree char *open = bl_subject_doubt (f->subjects, subject (f, f->a), "BX-200", "");
  g_autofree char *wrong = bl_subject_doubt (f->subjects, subject (f, f->a), "BX-200", "D");
  g_autofree char *unknown = bl_subject_doubt (f->subjects, subject (f, 0), "ZZ-9", "");

  g_assert_nonnull (strstr (open, "A, C are documented"));
  g_assert_nonnull (strstr (wrong, "Edition D is not documented, but A, C are. Taken in as edition A"));
  g_assert_nonnull (strstr (unknown, "ZZ-9 is not documented"));
  g_assert_null (bl_subject_doubt (f->subjects, subject (f, f->c), "BX-200", " c "));
  /* The only edition of its number. */
  g_assert_null (bl_subject_doubt (f->subjects, subject (f, f->other), "RX-10", ""));
  g_assert_null (bl_subject_doubt (f->subjects, subject (f, 0), "", ""));
  g_assert_null (bl_subject_doubt (f->subjects, NULL, "", ""));
}

static BlTakeIn *
example (Fixture *f)
{
  BlTakeIn *taken = bl_take_in_new ();

  taken->about = BL_SUBJECT_BOARD;
  taken->subject = f->c;
  taken->customer = g_strdup (" Ms Okafor ");
  taken->unit = g_strdup ("Hearthway 350");
  taken->serial = g_strdup ("W3-2207-0117");
  taken->complaint = g_strdup ("blinks five times\nafter rain");
  taken->came_with = g_strdup ("remote control, mounting plate");
  return taken;
}

static gint64
keep (Fixture *f, const BlTakeIn *taken)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_take_in_keep (taken, f->library, &error);

  g_assert_no_error (error);
  g_assert_cmpint (id, !=, 0);
  return id;
}

static guint
count_of (Fixture *f, gint64 job, BlRecordKind kind)
{
  g_autoptr (GPtrArray) records = bl_library_records (f->library, job, NULL);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    n += ((const BlRecord *) bl_at (records, i))->kind == kind;
  return n;
}

static void
test_keep (Fixture *f, gconstpointer data)
{
  g_autoptr (BlTakeIn) taken = example (f);
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);
  BlKnownGoodMark mark;

  g_assert_cmpint (bl_library_next_job_number (f->library, NULL), ==, 1);
  taken->number = 2047;
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, f->c, NULL);
  taken->symptom = g_strdup (((const BlSymptom *) bl_at (board->symptoms, 0))->id);
  taken->doubt = g_strdup ("Edition not established");
  taken->known_good = TRUE;
  g_ptr_array_add (taken->photos, bl_taken_photo_new ("front", "image/png", image, NULL));
  g_ptr_array_add (taken->photos, bl_taken_photo_new ("label", "image/png", image, NULL));
  gint64 id = keep (f, taken);
  g_autoptr (BlJob) job = bl_library_load_job (f->library, id, NULL);
  g_autoptr (GPtrArray) photos = bl_library_job_photos (f->library, id, NULL);
  g_assert_cmpint (job->number, ==, 2047);
  g_assert_cmpint (job->board, ==, f->c);
  g_assert_cmpint (job->state, ==, BL_JOB_WAITING);
  g_assert_cmpstr (job->customer, ==, "Ms Okafor");
  g_assert_cmpstr (job->came_with, ==, "remote control, mounting plate");
  g_assert_cmpuint (photos->len, ==, 2);
  g_assert_cmpuint (count_of (f, id, BL_RECORD_PHOTO), ==, 2); /* each has a line in the log */
  g_assert_cmpuint (count_of (f, id, BL_RECORD_SYMPTOM), ==, 1);
  g_assert_cmpuint (count_of (f, id, BL_RECORD_NOTE), ==, 1);
  g_assert_true (bl_library_get_known_good (f->library, id, &mark, NULL, NULL));
  g_assert_cmpint (mark, ==, BL_KNOWN_GOOD_YES);
  g_assert_cmpint (bl_library_next_job_number (f->library, NULL), ==, 2048);
}

/* A number that is taken: nothing of the second one is left behind. */
static void
test_refused (Fixture *f, gconstpointer data)
{
  g_autoptr (BlTakeIn) taken = example (f), alone = bl_take_in_new ();
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);
  g_autoptr (GError) error = NULL;

  taken->number = 7;
  keep (f, taken);
  alone->number = 7;
  g_assert_cmpint (bl_take_in_keep (alone, f->library, &error), ==, 0);
  g_assert_nonnull (strstr (error->message, "photo"));
  g_clear_error (&error);
  g_ptr_array_add (alone->photos, bl_taken_photo_new ("front", "image/png", image, image));
  g_assert_cmpint (bl_take_in_keep (alone, f->library, &error), ==, 0);
  g_assert_nonnull (strstr (error->message, "7"));
  g_autoptr (GPtrArray) boards = bl_library_boards (f->library, TRUE, NULL);
  g_assert_cmpuint (boards->len, ==, 3);
}

static void
test_photo_alone (Fixture *f, gconstpointer data)
{
  g_autoptr (BlTakeIn) taken = bl_take_in_new ();
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);

  taken->board_number = g_strdup ("ZZ-9");
  taken->edition = g_strdup ("0.3");
  taken->on_bench = TRUE;
  g_ptr_array_add (taken->photos, bl_taken_photo_new ("front", "image/png", image, image));
  g_ptr_array_add (taken->photos, bl_taken_photo_new ("back", "image/png", image, NULL));
  gint64 id = keep (f, taken);
  g_autoptr (BlJob) job = bl_library_load_job (f->library, id, NULL);
  g_autoptr (GPtrArray) photos = bl_library_job_photos (f->library, id, NULL);
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, job->board, NULL);
  g_assert_cmpint (job->state, ==, BL_JOB_ON_THE_BENCH);
  g_assert_cmpuint (photos->len, ==, 1);
  g_assert_cmpstr (board->board_number, ==, "ZZ-9");
  g_assert_cmpstr (board->edition, ==, "0.3");
  g_assert_cmpuint (bl_len (board->photos), ==, 1);
}

static void
test_returned (Fixture *f, gconstpointer data)
{
  g_autoptr (BlTakeIn) taken = example (f), again = example (f);
  g_autoptr (GError) error = NULL;
  gint64 first = keep (f, taken);
  g_autoptr (BlJob) head = bl_library_load_job (f->library, first, NULL);

  bl_job_set_state (head, BL_JOB_HANDED_BACK);
  head->cause = g_strdup ("K1: contact does not make");
  g_assert_true (bl_library_save_job (f->library, head, &error));
  g_assert_no_error (error);
  /* As somebody else copies it. */
  g_autoptr (GPtrArray) earlier = bl_library_jobs_of_serial (f->library, "w3 22070117", &error);
  g_autoptr (GPtrArray) none = bl_library_jobs_of_serial (f->library, "W3-2207-011", &error);
  g_autoptr (GPtrArray) blank = bl_library_jobs_of_serial (f->library, " - ", &error);
  g_assert_no_error (error);
  g_assert_cmpuint (earlier->len, ==, 1);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (blank->len, ==, 0);
  g_autofree char *words = bl_earlier_words (bl_at (earlier, 0), head->handed_back + 75 * G_TIME_SPAN_DAY);
  g_assert_nonnull (strstr (words, "Job 1,"));
  g_assert_nonnull (strstr (words, "K1: contact does not make; handed back 75 days ago"));
  again->return_of = first;
  gint64 second = keep (f, again);
  g_autoptr (BlJob) old = bl_library_load_job (f->library, first, NULL);
  g_autoptr (BlJob) now = bl_library_load_job (f->library, second, NULL);
  g_assert_cmpint (now->return_of, ==, first);
  g_assert_cmpint (old->state, ==, BL_JOB_RETURNED);
}

static void
test_label (Fixture *f, gconstpointer data)
{
  g_autoptr (BlTakeIn) taken = example (f);
  g_autoptr (GError) error = NULL;
  gint64 id = keep (f, taken);
  g_autoptr (BlJobTag) tag = bl_job_tag_fill (f->library, id, &error);

  g_assert_no_error (error);
  g_autofree char *uid = bl_job_link_parse (tag->link);
  g_assert_nonnull (uid);
  g_assert_cmpint (bl_library_find_job (f->library, uid, &error), ==, id);
  g_assert_cmpint (bl_library_find_job (f->library, "0f3c91d27a554f06b1c28e90d3ab4410", &error), ==, 0);
  g_assert_no_error (error);
  g_assert_cmpint (tag->number, ==, 1);
  g_assert_cmpstr (tag->board, ==, "BX-200, edition C");
  g_assert_cmpstr (tag->serial, ==, "S/N W3-2207-0117");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, test) g_test_add ("/model/take-in/" name, Fixture, NULL, set_up, test, tear_down)
  ADD ("matching", test_matching);
  ADD ("doubt", test_doubt);
  ADD ("keep", test_keep);
  ADD ("refused", test_refused);
  ADD ("photo-alone", test_photo_alone);
  ADD ("returned", test_returned);
  ADD ("label", test_label);
  return g_test_run ();
}
