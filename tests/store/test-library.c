/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Boards, photos and jobs in a library: what is kept comes back the same after reopening, and what
 * is refused leaves nothing behind. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library.h"

#include "sample.h"
#include "scratch.h"

#include <string.h>

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
} Fixture;

static void
reopen (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&f->library, bl_library_close);
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->folder = scratch_new ();
  f->path = g_build_filename (f->folder, "new", "folders", "shop.benchlore-library", NULL);
  reopen (f);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->library, bl_library_close);
  g_free (f->path);
  scratch_free (f->folder);
}

static gint64
add_sample (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  gint64 id = bl_library_add_board (f->library, board, FALSE, &error);

  g_assert_no_error (error);
  g_assert_cmpint (id, >, 0);
  return id;
}

static void
test_open (Fixture *f, gconstpointer data)
{
  g_autofree char *missing = scratch_file (f->folder, "missing"),
                  *standard = bl_library_default_path ();
  g_autoptr (GError) error = NULL;

  g_assert_cmpstr (bl_library_path (f->library), ==, f->path);
  g_assert_false (bl_library_is_read_only (f->library));
  g_assert_null (bl_library_open (missing, FALSE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN);
  g_assert_false (g_file_test (missing, G_FILE_TEST_EXISTS));
  g_assert_true (g_str_has_prefix (standard, g_get_user_data_dir ()));
}

static void
test_board_round_trip (Fixture *f, gconstpointer data)
{
  gint64 id = add_sample (f);
  g_autoptr (BlBoard) sample = sample_board (), board = NULL;
  g_autoptr (GPtrArray) rows = NULL;
  g_autofree char *before = bl_document_write (sample), *after = NULL;
  const BlBoardRow *row;

  reopen (f);
  board = bl_library_load_board (f->library, id, NULL);
  after = bl_document_write (board);
  g_assert_cmpstr (after, ==, before);
  rows = bl_library_boards (f->library, FALSE, NULL);
  g_assert_cmpuint (rows->len, ==, 1);
  row = g_ptr_array_index (rows, 0);
  g_assert_cmpint (row->id, ==, id);
  g_assert_cmpstr (row->uid, ==, SAMPLE_UID);
  g_assert_cmpstr (row->board_number, ==, "RB-17");
  g_assert_cmpstr (row->edition, ==, "C");
  g_assert_cmpuint (row->n_measurements, ==, 1);
  g_assert_cmpuint (row->n_components, ==, 1);
  g_assert_cmpuint (row->n_jobs, ==, 0);
  g_assert_cmpint (ABS (row->changed - g_get_real_time ()), <, 60 * G_USEC_PER_SEC);
}

static void
test_board_changes (Fixture *f, gconstpointer data)
{
  gint64 id = add_sample (f);
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, id, NULL), twin = sample_board (),
                      again = NULL;
  g_autoptr (BlBoard) fresh = bl_board_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) listed = NULL, all = NULL;
  gint64 other;

  /* The same uid again is refused, a board without one gets one. */
  g_assert_cmpint (bl_library_add_board (f->library, twin, FALSE, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  other = bl_library_add_board (f->library, fresh, TRUE, &error);
  g_assert_no_error (error);
  g_assert_true (g_uuid_string_is_valid (fresh->uid));

  g_free (board->edition);
  board->edition = g_strdup ("D");
  g_assert_true (bl_library_save_board (f->library, id, board, NULL));
  again = bl_library_load_board (f->library, id, NULL);
  g_assert_cmpstr (again->edition, ==, "D");
  g_assert_false (bl_library_save_board (f->library, other, board, &error)); /* uid of the first */
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_library_save_board (f->library, 99, fresh, &error));
  g_assert_nonnull (error);
  g_clear_error (&error);

  listed = bl_library_boards (f->library, FALSE, NULL);
  all = bl_library_boards (f->library, TRUE, NULL);
  g_assert_cmpuint (listed->len, ==, 1);
  g_assert_cmpuint (all->len, ==, 2);
  g_assert_true (bl_library_set_provisional (f->library, other, FALSE, NULL));
  g_assert_false (bl_library_set_provisional (f->library, 99, FALSE, NULL));
  g_clear_pointer (&listed, g_ptr_array_unref);
  listed = bl_library_boards (f->library, FALSE, NULL);
  g_assert_cmpuint (listed->len, ==, 2);
}

/* A board that could not be read back must not get in. */
static void
test_board_invalid (Fixture *f, gconstpointer data)
{
  gint64 id = add_sample (f);
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, id, NULL), again = NULL;
  g_autoptr (GError) error = NULL;
  BlMeasurement *measurement = bl_board_measurement (board, "M5");

  g_free (measurement->state);
  measurement->state = g_strdup ("nowhere");
  g_assert_false (bl_library_save_board (f->library, id, board, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "measurements[0]"));
  again = bl_library_load_board (f->library, id, NULL);
  g_assert_cmpstr (bl_board_measurement (again, "M5")->state, ==, "run");
}

static void
test_photos (Fixture *f, gconstpointer data)
{
  gint64 id = add_sample (f);
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff\0one", 7),
                     second = g_bytes_new_static ("two", 3);
  g_autoptr (GBytes) small = g_bytes_new_static ("s", 1), found = NULL, replaced = NULL,
                     thumbnail = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *mime = NULL;

  g_assert_null (bl_library_get_board_photo (f->library, id, "front", NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  g_assert_true (
      bl_library_put_board_photo (f->library, id, "front", "image/jpeg", image, NULL, NULL));
  g_assert_null (bl_library_get_board_thumbnail (f->library, id, NULL));
  reopen (f);
  found = bl_library_get_board_photo (f->library, id, "front", &mime, NULL);
  g_assert_true (g_bytes_equal (found, image));
  g_assert_cmpstr (mime, ==, "image/jpeg");
  g_assert_true (
      bl_library_put_board_photo (f->library, id, "front", "image/png", second, small, NULL));
  replaced = bl_library_get_board_photo (f->library, id, "front", NULL, NULL);
  g_assert_true (g_bytes_equal (replaced, second));
  thumbnail = bl_library_get_board_thumbnail (f->library, id, NULL);
  g_assert_true (g_bytes_equal (thumbnail, small));
  g_assert_false (
      bl_library_put_board_photo (f->library, 99, "front", "image/png", second, NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_assert_true (bl_library_delete_board (f->library, id, NULL)); /* takes its photos with it */
  g_assert_null (bl_library_get_board_photo (f->library, id, "front", NULL, NULL));
}

static gint64
add_job (Fixture *f, gint64 board, int number, const char *complaint)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;
  gint64 id;

  job->board = board;
  job->number = number;
  job->complaint = g_strdup (complaint);
  id = bl_library_add_job (f->library, job, &error);
  g_assert_no_error (error);
  g_assert_cmpint (job->id, ==, id);
  return id;
}

static void
test_jobs (Fixture *f, gconstpointer data)
{
  gint64 board = add_sample (f), first = add_job (f, board, 0, "mute"),
         second = add_job (f, board, 412, "dark");
  gint64 third = add_job (f, board, 0, "noisy");
  g_autoptr (BlJob) job = bl_library_load_job (f->library, third, NULL), again = NULL;
  g_autoptr (GPtrArray) jobs = NULL, rows = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (job->number, ==, 413);
  g_assert_cmpstr (job->board_name, ==, "RB-17, edition C");
  g_assert_false (job->closed);
  job->closed = TRUE;
  job->cause = g_strdup ("U2: open");
  g_assert_true (bl_library_save_job (f->library, job, NULL));
  reopen (f);
  again = bl_library_load_job (f->library, third, NULL);
  g_assert_true (again->closed);
  g_assert_cmpstr (again->cause, ==, "U2: open");
  g_assert_cmpstr (again->complaint, ==, "noisy");
  g_assert_cmpint (again->created, ==, job->created);
  g_assert_cmpint (again->changed, >=, job->changed);
  jobs = bl_library_jobs (f->library, NULL);
  g_assert_cmpuint (jobs->len, ==, 3);
  g_assert_cmpint (((BlJob *) g_ptr_array_index (jobs, 0))->id, ==, third);
  g_assert_cmpint (((BlJob *) g_ptr_array_index (jobs, 1))->id, ==, second);
  g_assert_cmpint (((BlJob *) g_ptr_array_index (jobs, 2))->id, ==, first);
  rows = bl_library_boards (f->library, FALSE, NULL);
  g_assert_cmpuint (((BlBoardRow *) g_ptr_array_index (rows, 0))->n_jobs, ==, 3);

  g_assert_null (bl_library_load_job (f->library, 99, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  again->number = 412;
  g_assert_false (bl_library_save_job (f->library, again, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_false (bl_library_delete_board (f->library, board, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "3 jobs"));
}

static void
test_job_refused (Fixture *f, gconstpointer data)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) jobs = NULL;

  job->board = 99;
  g_assert_cmpint (bl_library_add_job (f->library, job, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  g_assert_cmpint (job->number, ==, 0);
  job->board = add_sample (f);
  job->number = -3;
  g_assert_cmpint (bl_library_add_job (f->library, job, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  jobs = bl_library_jobs (f->library, NULL);
  g_assert_cmpuint (jobs->len, ==, 0);
}

static void
test_job_photos (Fixture *f, gconstpointer data)
{
  gint64 job = add_job (f, add_sample (f), 0, "mute"), id, second;
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff", 3), found = NULL;
  g_autoptr (GPtrArray) photos = NULL;
  g_autofree char *mime = NULL;
  const BlJobPhoto *photo;

  id = bl_library_add_job_photo (f->library, job, "as it came", "image/jpeg", image, NULL);
  second = bl_library_add_job_photo (f->library, job, NULL, "image/jpeg", image, NULL);
  g_assert_cmpint (id, >, 0);
  g_assert_cmpint (second, >, id);
  g_assert_cmpint (bl_library_add_job_photo (f->library, 99, NULL, "image/jpeg", image, NULL), ==,
                   0);
  photos = bl_library_job_photos (f->library, job, NULL);
  g_assert_cmpuint (photos->len, ==, 2);
  photo = g_ptr_array_index (photos, 0);
  g_assert_cmpint (photo->id, ==, id);
  g_assert_cmpstr (photo->title, ==, "as it came");
  found = bl_library_get_job_photo (f->library, id, &mime, NULL);
  g_assert_true (g_bytes_equal (found, image));
  g_assert_cmpstr (mime, ==, "image/jpeg");
}

/* A head with everything on it comes back, closed follows the state, and a job about nothing is refused. */
static void
test_job_head (void)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) first = bl_job_new (), again = bl_job_new (), nothing = bl_job_new (), back = NULL;

  g_assert_no_error (error);
  first->board = again->board = bl_library_add_board (library, board, FALSE, NULL);
  bl_job_set_state (first, BL_JOB_RETURNED);
  g_assert_true (first->closed);
  g_assert_cmpint (bl_library_add_job (library, first, &error), !=, 0);
  again->uid = g_strdup ("abc");
  again->came_with = g_strdup ("cable, cover");
  again->return_of = again->part_of = first->id;
  bl_job_set_state (again, BL_JOB_WAITING_FOR_PARTS);
  g_assert_cmpint (bl_library_add_job (library, again, &error), !=, 0);
  g_assert_no_error (error);
  back = bl_library_load_job (library, again->id, &error);
  g_assert_cmpstr (back->uid, ==, "abc");
  g_assert_cmpstr (back->came_with, ==, "cable, cover");
  g_assert_cmpint (back->return_of, ==, first->id);
  g_assert_cmpint (back->part_of, ==, first->id);
  g_assert_cmpint (back->state, ==, BL_JOB_WAITING_FOR_PARTS);
  g_assert_cmpint (back->handed_back, ==, 0);
  /* Who only says closed, as those do who end a job, is understood. */
  back->closed = TRUE;
  g_assert_true (bl_library_save_job (library, back, &error));
  g_clear_pointer (&back, bl_job_free);
  back = bl_library_load_job (library, again->id, &error);
  g_assert_cmpint (back->state, ==, BL_JOB_HANDED_BACK);
  g_assert_cmpint (back->handed_back, >, 0);
  g_assert_cmpint (bl_library_add_job (library, nothing, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  bl_library_close (library);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/store/library/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("open", test_open);
  ADD ("board-round-trip", test_board_round_trip);
  ADD ("board-changes", test_board_changes);
  ADD ("board-invalid", test_board_invalid);
  ADD ("photos", test_photos);
  ADD ("jobs", test_jobs);
  ADD ("job-refused", test_job_refused);
  ADD ("job-photos", test_job_photos);
  g_test_add_func ("/store/library/job-head", test_job_head);
  return g_test_run ();
}
