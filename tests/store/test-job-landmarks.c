/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Landmarks of the photos of a job: kept, moved, taken away, undone and redone, and gone with nothing else. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library-job-landmarks.h"
#include "bl-library-steps.h"

#include "sample.h"

typedef struct
{
  BlLibrary *library;
  gint64 job, photo;
} Fixture;

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);

  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  job->board = bl_library_add_board (f->library, board, FALSE, &error);
  f->job = bl_library_add_job (f->library, job, &error);
  f->photo = bl_library_add_job_photo (f->library, f->job, NULL, "image/png", image, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  bl_library_close (f->library);
}

static void
set (Fixture *f, const char *landmark, double x, double y)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_JOB, f->job, landmark, &error));
  g_assert_true (bl_library_end_step (f->library,
                                      bl_library_set_job_landmark (f->library, f->photo, landmark, x, y, &error), NULL,
                                      &error));
  g_assert_no_error (error);
}

static void
assert_landmark (Fixture *f, guint n, guint index, const char *id, double x, double y)
{
  g_autoptr (GPtrArray) landmarks = bl_library_job_landmarks (f->library, f->photo, NULL);

  g_assert_cmpuint (bl_len (landmarks), ==, n);
  if (n == 0)
    return;
  const BlLandmark *landmark = bl_at (landmarks, index);
  g_assert_cmpstr (landmark->id, ==, id);
  g_assert_cmpfloat (landmark->x, ==, x);
  g_assert_cmpfloat (landmark->y, ==, y);
}

static void
take (Fixture *f, gboolean undo)
{
  g_auto (BlStepTaken) taken = { 0 };
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_take_step (f->library, BL_STEPS_JOB, f->job, undo, &taken, &error));
  g_assert_no_error (error);
  g_assert_cmpint (taken.id, !=, 0);
}

static void
test_keep (Fixture *f, gconstpointer unused)
{
  set (f, "L10", 1, 2);
  set (f, "L2", 300.25, 400);
  assert_landmark (f, 2, 0, "L2", 300.25, 400);
  assert_landmark (f, 2, 1, "L10", 1, 2);
  set (f, "L2", 301.5, 399.125);
  assert_landmark (f, 2, 0, "L2", 301.5, 399.125);
  g_assert_true (bl_library_remove_job_landmark (f->library, f->photo, "L10", NULL));
  assert_landmark (f, 1, 0, "L2", 301.5, 399.125);
}

static void
test_undo (Fixture *f, gconstpointer unused)
{
  set (f, "L1", 10, 20);
  set (f, "L1", 11, 21.5);
  take (f, TRUE);
  assert_landmark (f, 1, 0, "L1", 10, 20);
  take (f, TRUE);
  assert_landmark (f, 0, 0, NULL, 0, 0);
  take (f, FALSE);
  take (f, FALSE);
  assert_landmark (f, 1, 0, "L1", 11, 21.5);
}

static void
test_side (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJobPhoto) before = bl_library_load_job_photo (f->library, f->photo, &error);
  g_assert_null (before->side);
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_JOB, f->job, "side", &error));
  g_assert_true (bl_library_end_step (f->library,
                                      bl_library_set_job_photo_side (f->library, f->photo, "back", &error), NULL,
                                      &error));
  g_autoptr (BlJobPhoto) after = bl_library_load_job_photo (f->library, f->photo, &error);
  g_assert_cmpstr (after->side, ==, "back");
  take (f, TRUE);
  g_autoptr (BlJobPhoto) undone = bl_library_load_job_photo (f->library, f->photo, &error);
  g_assert_null (undone->side);
  g_assert_no_error (error);
  g_assert_false (bl_library_set_job_photo_side (f->library, f->photo, "top", &error));
  g_clear_error (&error);
  g_assert_null (bl_library_load_job_photo (f->library, f->photo + 1, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_clear_error (&error);
  g_assert_false (bl_library_set_job_landmark (f->library, f->photo + 1, "L1", 0, 0, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/store/job-landmarks/keep", Fixture, NULL, set_up, test_keep, tear_down);
  g_test_add ("/store/job-landmarks/undo", Fixture, NULL, set_up, test_undo, tear_down);
  g_test_add ("/store/job-landmarks/side", Fixture, NULL, set_up, test_side, tear_down);
  return g_test_run ();
}
